"""One line of typing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.widgets import Input

from reassembly.screens.frame import Frame
from reassembly.screens.text import safe

if TYPE_CHECKING:
    from textual import events
    from textual.screen import Screen


class Line(Input):
    """An Input that takes no character which could move the cursor, hide or reverse others.

    It does not blink, which would redraw the screen for ever. Coming to it selects nothing, so that a key adds to what
    was typed and does not replace it.
    """

    def __init__(self, value: str = "", **more: object) -> None:
        super().__init__(value, compact=True, select_on_focus=False, **more)  # type: ignore[arg-type]
        self.cursor_blink = False

    def on_paste(self, event: events.Paste) -> None:
        """Several lines become one, what does not fit is left out, and it is said; Textual's own would keep the first
        line alone, and nothing of what is too long."""
        text = one_line(event.text)
        start, end = sorted(self.selection)
        room = self.max_length - len(self.value) + end - start if self.max_length else len(text)
        self.replace(text[: max(0, room)], start, end)
        if len(text) > room and isinstance(self.screen, Frame):
            self.screen.answer(
                f"at most {self.max_length} letters go in here: the rest of what was pasted is left out", "warn"
            )
        else:
            tell_joined(self.screen, event.text)
        event.prevent_default()
        event.stop()

    def validate_value(self, value: str) -> str:
        return safe(value)


def one_line(text: str) -> str:
    """The lines of a pasted text, parted by commas as pieces of one are; nothing of them is lost."""
    lines = (line.strip() for line in text.splitlines())
    kept = [line for line in lines if line]
    return ", ".join([*(line.rstrip(", ") for line in kept[:-1]), *kept[-1:]]) if len(kept) > 1 else text.strip("\r\n")


def tell_joined(screen: Screen[Any], text: str) -> None:
    """Say on the answer line that several lines were pasted into one."""
    number = sum(1 for line in text.splitlines() if line.strip())
    if number > 1 and isinstance(screen, Frame):
        screen.answer(f"{number} lines pasted, joined by commas: look at them before you say it", "warn")


def by_card(line: Input, card: str) -> bool:
    """Type what a number card says; UNDO takes the last letter back. False for any other card."""
    if card.isdecimal() or card == "point":
        line.insert_text_at_cursor("." if card == "point" else card)
    elif card == "undo":
        line.action_delete_left()
    else:
        return False
    return True
