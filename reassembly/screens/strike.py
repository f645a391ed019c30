"""Striking out, in its two ways: to correct a fact, or to withdraw it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from textual.binding import Binding
from textual.widgets import Input

from reassembly.job.struck import may_be_withdrawn, withdrawal
from reassembly.job.telling import tell, told
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.text import cut

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.job.entries import Entry, EntryStruck, Fact
    from reassembly.record.customer import Customer
    from reassembly.screens.form import FormScreen
    from reassembly.screens.frame import Frame


class Withdrawn(NamedTuple):
    """The answer that a fact is struck out with nothing said in its place."""

    why: str


class StrikeScreen(PromptScreen):
    """What was wrong with a fact. Returns the reason, as a text where the fact is to be said again."""

    BINDINGS = [Binding("f8", "withdraw", "Strike out only"), Binding("f9", "struck", "Bring back")]

    def __init__(self, told: str, why: str, *, again: bool, withdraw: bool, of_the_shop: bool) -> None:
        self.OF_THE_SHOP = of_the_shop
        self._again = again
        self._withdraw = withdraw
        ways = (
            ("Enter", "correct it: its form opens, and it is struck out when you say it anew", again),
            ("F8" if again else "Enter", "strike it out, and say nothing in its place", withdraw),
            ("F9", "what was struck out before: bring it back", True),
            ("Esc", "it stands as it is", True),
        )
        hint = "\n".join(f"  {key:<7}{words}" for key, words, there in ways if there)
        super().__init__("STRIKE OUT", f"{cut(told, 300)}\n\nWhat is wrong with it?", why, hint=hint)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        return self._withdraw if action == "withdraw" else super().check_action(action, parameters)

    def _say(self, value: str) -> None:
        typed = self._typed(value)
        if typed:
            self.dismiss(typed if self._again else Withdrawn(typed))

    def action_withdraw(self) -> None:
        typed = self._typed(self.query_one(Input).value)
        if typed:
            self.dismiss(Withdrawn(typed))

    def action_struck(self) -> None:
        from reassembly.screens.struck import StruckScreen

        self.app.push_screen(StruckScreen(of_the_shop=self.OF_THE_SHOP))


def ask_strike(screen: Frame, entry: Entry[Any], again: Callable[[str], None] | None, why: str = "") -> None:
    """Ask what is wrong with a fact; withdraw it, or go on with `again`, which is given the reason, to correct it."""

    def answered(answer: str | Withdrawn) -> None:
        if isinstance(answer, Withdrawn):
            if not withdraw(screen, entry, answer.why):
                ask_strike(screen, entry, again, answer.why)
        elif again is not None:
            again(answer)

    told = tell(entry, screen.names())
    asked = StrikeScreen(
        told,
        why,
        again=again is not None,
        withdraw=may_be_withdrawn(entry, screen.job),
        of_the_shop=screen.OF_THE_SHOP,
    )
    screen.ask(asked, answered, lambda: tell_it_stands(screen, entry.id))


def withdraw(screen: Frame, entry: Entry[Any], why: str) -> bool:
    """Strike a fact out and say nothing in its place."""
    if not _stands(screen, entry.id):
        return True
    facts = withdrawal(entry, why, screen.job)
    more = f", and {len(facts) - 1} more that was said of it" if len(facts) > 1 else ""
    return screen.say_all(facts, f"struck out: {tell(entry, screen.names())}{more}")


def ask_instead(
    screen: Frame, form: FormScreen[Any], then: Callable[[Any], object], strike: EntryStruck | None
) -> None:
    """Ask for a fact; where there is a strike it is said in the place of what is struck out, which stands if the form
    is left."""
    if strike is None:
        screen.ask(form, then)
    else:
        form.replaces = strike.entry
        screen.ask(form, then, lambda: tell_it_stands(screen, strike.entry))


def say_instead(screen: Frame, strike: EntryStruck, fact: Fact, details: Customer | None = None) -> bool:
    """Strike a fact out and say another one in its place: both or neither. False, with the reason on the answer line,
    where that cannot be."""
    if not _stands(screen, strike.entry):
        return False
    anew = told(fact, screen.names())
    return screen.say_all((strike, fact), f"{anew}   (struck out as it was: {strike.why})", details)


def tell_it_stands(screen: Frame, key: str) -> None:
    """A correction was left half way."""
    entry = screen.job.entry(key)
    if entry is not None:
        screen.answer(f"nothing struck: {tell(entry, screen.names())} stands", "warn")


def _stands(screen: Frame, key: str) -> bool:
    stands = screen.job.entry(key) is not None
    if not stands:
        screen.answer("it was struck out at another terminal meanwhile: Esc, and look at what stands now", "warn")
    return stands
