"""A list of facts with a key for each kind that can be added, and one to strike out and say again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.entries import EntryStruck, Fact, Unknown
from reassembly.job.telling import Names, tell
from reassembly.screens.form import FormScreen
from reassembly.screens.frame import Frame
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from textual.app import ComposeResult

    from reassembly.job.entries import Entry


class Kind(NamedTuple):
    """A kind of fact that can be said here: its key, and what the key line calls it."""

    key: str
    words: str
    fact: type[Fact]


def bindings_of(kinds: Sequence[Kind]) -> list[Binding]:
    """A key for each kind, by its place in the list."""
    return [Binding(kind.key, f"add({n})", kind.words) for n, kind in enumerate(kinds)]


class FactsScreen(Frame):
    """What was said, oldest first; letters add, x strikes out."""

    CSS_PATH = "facts.tcss"
    KINDS: tuple[Kind, ...] = ()
    BINDINGS = [
        Binding("x", "strike", "Strike out"),
        Binding("escape", "app.pop_screen", "Back"),
    ]

    def body(self) -> ComposeResult:
        yield Static(id="above", markup=False)
        yield OptionList(id="facts", markup=False)

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
        names = Names.of(self.job)
        listed = self.query_one("#facts", OptionList)
        at = listed.highlighted
        before = listed.option_count
        entries = self.entries()
        listed.set_options(
            Option(shown(f"{e.time[5:10]} {e.who:<6} {tell(e, names)}"), id=e.id) for e in reversed(entries)
        )
        if entries:
            listed.highlighted = 0 if at is None or len(entries) > before else min(at, len(entries) - 1)

    def action_add(self, number: int) -> None:
        self.add(self.KINDS[number].fact)

    def add(self, kind: type[Fact], start: Fact | None = None) -> None:
        """Ask for a fact of this kind and say it; `start` fills the form in."""
        fixed = {name: getattr(start, name) for name in self.fixed(kind)} if start else self.fixed(kind)
        words = next((k.words for k in self.KINDS if k.fact is kind), kind.__name__)
        form: FormScreen[Fact] = FormScreen(kind, words.upper(), fixed, start, self.suggest(kind))
        self.ask(form, self.say)

    def action_strike(self) -> None:
        listed = self.query_one("#facts", OptionList)
        if listed.highlighted is None:
            self.answer("nothing here to strike out", "warn")
            return
        entry = self.job.entry(listed.get_option_at_index(listed.highlighted).id or "")
        if entry is not None:
            self.strike(entry)

    def strike(self, entry: Entry[Any]) -> None:
        """Strike one entry out with a reason; its form opens again with everything still in it."""
        told = tell(entry, Names.of(self.job))

        def struck(why: str) -> None:
            if self.say(EntryStruck(entry=entry.id, why=why)) and self.may_say_again(entry.fact):
                self.add(type(entry.fact), entry.fact)

        self.ask(PromptScreen("STRIKE OUT", f"{told}\n\nWhat was wrong with it?"), struck)

    def may_say_again(self, fact: Fact | Unknown) -> bool:
        return any(kind.fact is type(fact) for kind in self.KINDS)
