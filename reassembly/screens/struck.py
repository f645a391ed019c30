"""What was struck out of a job, why and by whom; one that was right after all is brought back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.asks import words
from reassembly.job.struck import Struck, bring_back, said_since, struck_out
from reassembly.job.telling import Names, tell
from reassembly.screens.frame import Frame
from reassembly.screens.lists import Lines
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.text import column, cut, shown

if TYPE_CHECKING:
    from textual.app import ComposeResult


class StruckScreen(Frame):
    """Every fact that is struck out, the last one first. Enter brings one back: its strike is struck out itself."""

    CSS_PATH = "facts.tcss"
    HEADING = "STRUCK OUT"
    BINDINGS = [Binding("enter", "back", "Bring it back"), Binding("escape", "app.pop_screen", "Back")]

    def __init__(self, *, of_the_shop: bool = False) -> None:
        super().__init__()
        self.OF_THE_SHOP = of_the_shop

    def body(self) -> ComposeResult:
        yield Static(id="above", markup=False)
        yield Lines(id="facts", markup=False)

    def on_mount(self) -> None:
        self.query_one("#facts").focus()

    def show(self) -> None:
        names, found = self.names(), struck_out(self.job)
        told = f"{len(found)} struck out; each stays readable" if found else "nothing is struck out"
        self.query_one("#above", Static).update(shown(told))
        listed = self.query_one("#facts", OptionList)
        kept = listed.highlighted_option
        listed.set_options(Option(shown(self._line(struck, names)), id=struck.entry.id) for struck in found)
        ids = [struck.entry.id for struck in found]
        listed.highlighted = (ids.index(kept.id) if kept and kept.id in ids else 0) if ids else None

    def on_option_list_option_selected(self) -> None:
        self.do("back")

    def action_back(self, why: str = "struck out by mistake") -> None:
        option = self.query_one("#facts", OptionList).highlighted_option
        struck = next((s for s in struck_out(self.job) if option and s.entry.id == option.id), None)
        if struck is None:
            self.answer("nothing was struck out here: nothing to bring back", "warn")
            return
        names = self.names()
        told = tell(struck.entry, names)
        since = [f"said since, and stands too: {tell(e, names)}" for e in said_since(struck, self.job)]
        lines = [cut(line, 300) for line in (told, *since[:2])]
        question = "\n".join((*lines, "", "Why does it stand after all?"))

        def back(why: str) -> None:
            facts = bring_back(struck, why, self.job)
            more = f", with {len(facts) - 1} more" if len(facts) > 1 else ""
            if not self.say_all(facts, f"stands again: {told}{more}"):
                self.do("back", why)

        self.ask(PromptScreen("BRING BACK", question, why), back)

    def _line(self, struck: Struck, names: Names) -> str:
        strike = struck.strikes[-1]
        said = f"{self.notation.day(strike.time)} {column(strike.who, 6)} {tell(struck.entry, names)}"
        return words(said, f"({strike.fact.why})", between="  ")
