"""One line of typing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import Input

from reassembly.screens.text import safe

if TYPE_CHECKING:
    from textual import events


class Line(Input):
    """An Input that takes no character which could move the cursor, hide or reverse others.

    It does not blink, which would redraw the screen for ever. Coming to it selects nothing, so that a key adds to what
    was typed and does not replace it.
    """

    def __init__(self, value: str = "", **more: object) -> None:
        super().__init__(value, compact=True, select_on_focus=False, **more)  # type: ignore[arg-type]
        self.cursor_blink = False

    def on_paste(self, event: events.Paste) -> None:
        """Several lines become one; Textual's own would keep the first and drop the rest."""
        self.replace(" ".join(event.text.splitlines()), *self.selection)
        event.prevent_default()
        event.stop()

    def validate_value(self, value: str) -> str:
        return safe(value)


def by_card(line: Input, card: str) -> bool:
    """Type what a number card says; UNDO takes the last letter back. False for any other card."""
    if card.isdecimal() or card == "point":
        line.insert_text_at_cursor("." if card == "point" else card)
    elif card == "undo":
        line.action_delete_left()
    else:
        return False
    return True
