"""One of a few words, chosen with the arrow keys, the space bar or a touch; all stand in view."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.widget import Widget

if TYPE_CHECKING:
    from textual.app import RenderResult
    from textual.events import Click, Key


class Choice(Widget, can_focus=True):
    """The chosen word stands in brackets, so that it can be told without colour."""

    BINDINGS = [("left", "step(-1)", "Other"), ("right,space", "step(1)", "Other")]

    class Changed(Message):
        """Another word was chosen."""

    class Typed(Message):
        """A letter was typed where words are chosen: said back, so that it is not taken for kept."""

    def __init__(self, choices: tuple[str, ...], value: str, id: str) -> None:  # noqa: A002 - Textual's own word
        super().__init__(id=id)
        self.choices = choices
        self._at = choices.index(value) if value in choices else 0

    @property
    def value(self) -> str:
        return self.choices[self._at]

    def render(self) -> RenderResult:
        return Content(" ").join(
            Content.styled(f"[{word or '-'}]", "bold") if n == self._at else Content(f" {word or '-'} ")
            for n, word in enumerate(self.choices)
        )

    def action_step(self, by: int) -> None:
        self._choose((self._at + by) % len(self.choices))

    def on_key(self, event: Key) -> None:
        if event.is_printable and event.key != "space":
            event.stop()
            self.post_message(self.Typed())

    def on_click(self, event: Click) -> None:
        left = 0
        for n, word in enumerate(self.choices):
            left += len(word or "-") + 3
            if event.x < left:
                self._choose(n)
                return

    def choose(self, number: int) -> bool:
        """Take the word at this place, from 1; False where there is none."""
        if not 1 <= number <= len(self.choices):
            return False
        self._choose(number - 1)
        return True

    def _choose(self, at: int) -> None:
        self._at = at
        self.refresh()
        self.post_message(self.Changed())
