"""The numbers of a screen with their workings: pick one, and read formula, inputs, source."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.screens.computation import pick_computation
from reassembly.screens.frame import Frame
from reassembly.screens.lists import Lines
from reassembly.screens.text import cut, shown
from reassembly.trade.workings import words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult

    from reassembly.job.reckon import Reckoned


class WorkingsScreen(Frame):
    """How each number comes about, so that a second person can check it with a pencil. Up and Down pick a number,
    Enter gives its workings the whole screen."""

    CSS_PATH = "workings.tcss"
    HEADING = "WORKINGS"
    BINDINGS = [
        Binding("down,pagedown,right", "further(1)", "Read on", show=False),
        Binding("up,pageup,left", "further(-1)", "Read back", show=False),
        Binding("r", "reckon", "Reckon another"),
        Binding("escape,f6,w", "back", "Back"),
    ]

    def __init__(self, numbers: Sequence[Reckoned]) -> None:
        """`numbers` in the order in which they are listed; there is at least one."""
        super().__init__()
        self._numbers = numbers
        self._at = 0

    def body(self) -> ComposeResult:
        yield Lines(id="computed", markup=False)
        with VerticalScroll(id="how", can_focus=False):
            yield Static(id="workings-lines", markup=False)

    def on_mount(self) -> None:
        self.query_one("#computed").focus()

    def show(self) -> None:
        """What was computed when it was asked for stays as it is: only the width may have changed."""
        listed = self.query_one("#computed", OptionList)
        width, at = self.app.size.width - 3, self._at
        with self.prevent(OptionList.OptionHighlighted):
            listed.set_options(Option(shown(self._line(each, width))) for each in self._numbers)
            listed.highlighted = at
        self._tell()

    def _line(self, each: Reckoned, width: int) -> str:
        """The title gives way before the number: a number without its unit would be another number."""
        if each.workings is None:
            return cut(f"{each.title}: not yet, needs {each.missing}", width)
        found = words(each.workings.result, self.notation.decimal)
        return cut(f"{cut(each.title, max(width // 3, width - len(found) - 2))}: {found}", width)

    def _tell(self) -> None:
        each = self._numbers[self._at]
        lines = [f"needs {each.missing}"] if each.workings is None else each.workings.lines(self.notation.decimal)
        self.query_one("#workings-lines", Static).update(
            shown("\n".join([each.title, *(f"  {line}" for line in lines)]))
        )
        self.query_one("#how", VerticalScroll).scroll_home(animate=False)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        self._at = event.option_index
        self._tell()

    def on_option_list_option_selected(self) -> None:
        """Enter, or a touch: the list makes room."""
        self.add_class("-whole")
        self.set_focus(None)  # Up and Down now turn the pages

    def action_further(self, by: int) -> None:
        panel = self.query_one("#how", VerticalScroll)
        panel.scroll_relative(y=by * max(1, panel.size.height - 1), animate=False)

    def action_reckon(self) -> None:
        pick_computation(self)

    def action_back(self) -> None:
        """From the large view to the list, from the list to where the key was pressed."""
        if self.has_class("-whole"):
            self.remove_class("-whole")
            self.query_one("#computed").focus()
        else:
            self.dismiss(None)
