"""Any computation of the trade, from what is typed: for numbers that belong to no fact of the job."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

from reassembly.screens.frame import Frame
from reassembly.screens.line import Line
from reassembly.screens.pick import PickScreen
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.app import ComposeResult

    from reassembly.trade.computation import Computation, Result


def pick_computation(screen: Frame) -> None:
    """Ask which number, then for what it takes."""
    from reassembly.trade.catalogue import EVERY

    lines = [f"{each.name:<24}{each.says}" for each in EVERY]
    screen.ask(
        PickScreen("RECKON", "Which number?", lines), lambda at: screen.app.push_screen(ComputationScreen(EVERY[at]))
    )


class ComputationScreen(Frame):
    """Type what is known, with its unit; the number and its workings stand below as soon as it can be computed.
    Nothing typed here is kept."""

    CSS_PATH = "computation.tcss"
    HEADING = "RECKON"
    BINDINGS = [
        Binding("down,enter", "app.focus_next", "Next", priority=True),
        Binding("up", "app.focus_previous", "Before", priority=True),
        Binding("escape", "app.pop_screen", "Back"),
    ]

    def __init__(self, computation: Computation) -> None:
        super().__init__()
        self._computation = computation

    def subject(self) -> str:
        return f"{self._computation.name}: {self._computation.says}"

    def body(self) -> ComposeResult:
        with VerticalScroll(id="inputs", can_focus=False):
            for number, each in enumerate(self._computation.inputs):
                with Horizontal(classes="input"):
                    needed = " *" if each.default is None else ""
                    yield Static(shown(f"{each.name}{needed}"), classes="input-name", markup=False)
                    yield Line(placeholder=each.default or each.example, id=f"input-{number}")
        yield Static(id="takes", markup=False)
        with VerticalScroll(id="result", can_focus=False):
            yield Static(id="result-lines", markup=False)

    def on_mount(self) -> None:
        self.query_one("#input-0").focus()

    def show(self) -> None:
        """What the field with the cursor takes, and the number as far as it can be told."""
        self.query_one("#takes", Static).update(shown(self._takes()))
        typed = {
            each.name: text
            for number, each in enumerate(self._computation.inputs)
            if (text := self.query_one(f"#input-{number}", Line).value).strip()
        }
        try:
            lines = list(_told(self._computation.of_text(typed), self.notation.decimal)) if typed else []
        except ValueError as why:
            lines = [str(why)]
        self.query_one("#result-lines", Static).update(shown("\n".join(lines)))

    def _takes(self) -> str:
        from reassembly.trade.inputs import in_words

        at = (self.focused.id or "").removeprefix("input-") if self.focused else ""
        if not at.isdecimal():
            return ""
        each = self._computation.inputs[int(at)]
        if_empty = {None: "", "": "may be left out"}.get(each.default, f"{each.default} if left out")
        told = (in_words(each.kind, each.unit), f"for example {each.example}", each.says, if_empty)
        return "; ".join(filter(None, told))

    def on_descendant_focus(self) -> None:
        self.show()

    def on_input_changed(self) -> None:
        self.show()


def _told(result: Result, decimal: str) -> Iterator[str]:
    yield from result.workings.lines(decimal)
    yield from result.remarks
    for title, each in result.also:
        yield ""
        yield title
        yield from (f"  {line}" for line in each.lines(decimal))
