"""One of several lines, picked with the arrow keys, Enter or a touch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.screens.frame import Frame
from reassembly.screens.lists import Lines
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events
    from textual.app import ComposeResult

_OPEN = "a list is open: arrows and Enter, Esc goes back"
_AGAIN = "letters were typed into this list: Enter again takes "


class PickLines(Lines):
    """Enter picks nothing after letters, which were meant for a line: the first one tells what the next would take."""

    armed = True

    def on_key(self, event: events.Key) -> None:
        if event.is_printable:
            if event.key not in self.screen.active_bindings:
                self.refuse()
        elif event.key != "enter":
            self.armed = True

    def on_mouse_down(self) -> None:
        self.armed = True

    def action_select(self) -> None:
        line = self.highlighted_option
        if self.armed or line is None:
            super().action_select()
        else:
            self.armed = True
            self._tell(f"{_AGAIN}{line.prompt}")

    def refuse(self) -> None:
        self.armed = False
        self._tell(_OPEN)

    def _tell(self, words: str) -> None:
        if isinstance(self.screen, Frame):
            self.screen.answer(words, "warn")


class PickScreen(Frame):
    """Returns the number of the picked line, from 0, or None when it is left."""

    DEFAULT_CSS = """
    PickScreen #question { padding: 1 1; text-style: bold; }
    PickScreen #lines { height: 1fr; padding: 0 1; }
    """
    BINDINGS = [("enter", "take", "This one"), ("escape", "dismiss(None)", "Back")]

    def __init__(self, heading: str, question: str, lines: Sequence[str], at: int = 0, *, picks: bool = True) -> None:
        """With `picks` false the lines are only read."""
        super().__init__()
        self.HEADING = heading
        self._question = question
        self._lines = lines
        self._at = at
        self._picks = picks

    def body(self) -> ComposeResult:
        yield Static(shown(self._question), id="question", markup=False)
        yield PickLines(*(Option(shown(line)) for line in self._lines), id="lines", markup=False)

    def on_mount(self) -> None:
        listed = self.query_one("#lines", OptionList)
        listed.highlighted = self._at if self._lines else None
        listed.focus()

    def show(self) -> None:
        """The lines were made when it was asked."""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        return super().check_action(action, parameters) and (action != "take" or self._picks)

    def action_take(self) -> None:
        self.query_one(PickLines).action_select()

    def card(self, name: str) -> bool:
        """A number picks its line."""
        self.query_one(PickLines).armed = True
        if name.isdecimal() and 1 <= int(name) <= len(self._lines):
            self.dismiss(int(name) - 1)
            return True
        return False

    def scanned(self, code: str) -> bool:
        """A label says more than a line picked: the list is left, and the screen below answers the scan."""
        self.dismiss()
        self.bench.scans.take(code)
        return True

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option_index)
