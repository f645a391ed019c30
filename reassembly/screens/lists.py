"""A list of lines under a bar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import OptionList

if TYPE_CHECKING:
    from textual.events import Click


class Lines(OptionList):
    """An OptionList that turns no page where the rest of the screen leaves it no row, and takes no touch on a line that
    went meanwhile: Textual raises there."""

    def on_click(self, event: Click) -> None:
        if event.style.meta.get("option", 0) >= self.option_count:
            event.prevent_default()

    def action_page_up(self) -> None:
        if self.scrollable_content_region:
            super().action_page_up()  # type: ignore[no-untyped-call]

    def action_page_down(self) -> None:
        if self.scrollable_content_region:
            super().action_page_down()  # type: ignore[no-untyped-call]
