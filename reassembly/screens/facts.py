"""A list of facts with a key for each kind that can be added, one to correct or strike out, one to bring back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.entries import EntryStruck, Fact, Unknown
from reassembly.job.telling import tell, title_of
from reassembly.screens.form import FormScreen
from reassembly.screens.frame import Frame
from reassembly.screens.lists import Lines
from reassembly.screens.strike import ask_instead, ask_strike, say_instead
from reassembly.screens.struck import StruckScreen
from reassembly.screens.text import column, shown

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from textual.app import ComposeResult

    from reassembly.job.entries import Entry
    from reassembly.job.job import Job
    from reassembly.job.reckon import Reckoned
    from reassembly.job.shop import Shop


class Kind(NamedTuple):
    """A kind of fact that can be said here: its key, and what the key line calls it."""

    key: str
    words: str
    fact: type[Fact]


def bindings_of(kinds: Sequence[Kind]) -> list[Binding]:
    """A key for each kind, by its place in the list."""
    return [Binding(kind.key, f"add({n})", kind.words) for n, kind in enumerate(kinds)]


class FactsScreen(Frame):
    """What was said. Letters add, x corrects or strikes out, z lists what was struck out and brings it back."""

    CSS_PATH = "facts.tcss"
    KINDS: tuple[Kind, ...] = ()
    BINDINGS = [
        Binding("x", "strike", "Correct"),
        Binding("z", "struck", "Struck"),
        Binding("escape", "app.pop_screen", "Back"),
    ]

    def body(self) -> ComposeResult:
        yield Static(id="above", markup=False)
        yield Lines(id="facts", markup=False)

    def entries(self) -> Sequence[Entry[Any]]:
        """The facts listed here."""
        raise NotImplementedError

    def fixed(self, kind: type[Fact]) -> Mapping[str, Any]:
        """Fields of a new fact that the screen knows already."""
        return {}

    def suggest(self, kind: type[Fact]) -> Mapping[str, tuple[str, ...]]:
        """Words to offer for the fields of a kind."""
        return {}

    def show(self) -> None:
        names = self.names()
        listed = self.query_one("#facts", OptionList)
        kept, at = listed.highlighted_option, listed.highlighted
        entries = self.entries()
        listed.set_options(
            Option(shown(f"{self.notation.day(e.time)} {column(e.who, 6)} {tell(e, names)}"), id=e.id)
            for e in reversed(entries)
        )
        ids = [e.id for e in reversed(entries)]
        if kept is not None and kept.id in ids:
            listed.highlighted = ids.index(kept.id)
        elif ids:
            listed.highlighted = min(at or 0, len(ids) - 1)

    def reckoned(self) -> list[Reckoned]:
        """Of the fact under the bar first, then of the others."""
        from reassembly.job.reckoning import distinct, of_fact

        option = self.query_one("#facts", OptionList).highlighted_option
        entry = self.job.entry(option.id or "") if option else None
        job, shop = self.job, self.desk.shop()
        return distinct([*(of_fact(entry.fact, job, shop) if entry else ()), *self.reckoned_of_all(job, shop)])

    def reckoned_of_all(self, job: Job, shop: Shop) -> list[Reckoned]:
        """Of all that this screen is about."""
        return []

    def action_add(self, number: int) -> None:
        self.add(self.KINDS[number].fact)

    def heading_of(self, kind: type[Fact]) -> str:
        """What the form of a kind is called."""
        return next((k.words for k in self.KINDS if k.fact is kind), title_of(kind)).upper()

    def add(self, kind: type[Fact], start: Fact | None = None, strike: EntryStruck | None = None) -> None:
        """Ask for a fact of this kind and say it; `start` fills the form in. With `strike` it is said in the place of
        the fact that is struck out, or nothing is."""
        fixed = {name: getattr(start, name) for name in self.fixed(kind)} if start else self.fixed(kind)
        form = self.form_of(kind, fixed, start)

        def say(fact: Fact) -> None:
            if self.say_of(fact, strike):
                self.query_one("#facts", OptionList).action_first()
            else:
                self.add(kind, fact, strike)

        ask_instead(self, form, say, strike)

    def form_of(self, kind: type[Fact], fixed: Mapping[str, Any], start: Fact | None) -> FormScreen[Any]:
        """The form in which a fact of this kind is typed."""
        return FormScreen(kind, self.heading_of(kind), fixed, start, self.suggest(kind))

    def say_of(self, fact: Fact, strike: EntryStruck | None) -> bool:
        """Say a fact, in the place of the one that is struck out if any."""
        return say_instead(self, strike, fact) if strike else self.say(fact) is not None

    def action_strike(self) -> None:
        listed = self.query_one("#facts", OptionList)
        if listed.highlighted is None:
            self.answer("nothing is said here yet that could be struck out: a letter below says something", "warn")
            return
        entry = self.job.entry(listed.get_option_at_index(listed.highlighted).id or "")
        if entry is not None:
            self.strike(entry)

    def strike(self, entry: Entry[Any]) -> None:
        """Correct one entry, or withdraw it, with a reason."""
        again = self.again(entry.fact)
        ask_strike(self, entry, again and (lambda why: again(EntryStruck(entry=entry.id, why=why))))

    def action_struck(self) -> None:
        self.app.push_screen(StruckScreen(of_the_shop=self.OF_THE_SHOP))

    def again(self, fact: Fact | Unknown) -> Callable[[EntryStruck], None] | None:
        """How a fact is said again in place of itself, with what it said filled in; None where that makes no sense."""
        if isinstance(fact, Fact) and any(kind.fact is type(fact) for kind in self.KINDS):
            return lambda strike: self.add(type(fact), fact, strike)
        return None
