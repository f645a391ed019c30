"""A list of lines under a bar."""

from __future__ import annotations

from textual.widgets import OptionList


class Lines(OptionList):
    """An OptionList that turns no page where the rest of the screen leaves it no row: Textual raises KeyError there."""

    def action_page_up(self) -> None:
        if self.scrollable_content_region:
            super().action_page_up()  # type: ignore[no-untyped-call]

    def action_page_down(self) -> None:
        if self.scrollable_content_region:
            super().action_page_down()  # type: ignore[no-untyped-call]
