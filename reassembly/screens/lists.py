"""A list of lines under a bar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import OptionList

if TYPE_CHECKING:
    from textual.events import Click
    from textual.geometry import Size


class Lines(OptionList):
    """An OptionList that turns no page where the rest of the screen leaves it no row, takes no touch on a line that
    went meanwhile, and may be left no column: Textual raises there."""

    def on_click(self, event: Click) -> None:
        if event.style.meta.get("option", 0) >= self.option_count:
            event.prevent_default()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return super().get_content_height(container, viewport, max(1, width))

    def action_page_up(self) -> None:
        if self.scrollable_content_region:
            super().action_page_up()  # type: ignore[no-untyped-call]

    def action_page_down(self) -> None:
        if self.scrollable_content_region:
            super().action_page_down()  # type: ignore[no-untyped-call]
