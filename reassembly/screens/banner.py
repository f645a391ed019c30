"""The answer to a scan across the whole screen, in letters to be read from two metres, and in words."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from textual.content import Content
from textual.widget import Widget

from reassembly.screens.figures import fitted
from reassembly.screens.text import cut, safe

if TYPE_CHECKING:
    from textual.app import RenderResult
    from textual.geometry import Size

    from reassembly.job.answer import Answer, Kind

BIG: dict[Kind, str] = {
    "fit now": "FIT NOW",
    "too early": "TOO EARLY",
    "already fitted": "ALREADY FITTED",
    "another vehicle": "ANOTHER VEHICLE",
    "not our label": "NOT OURS",
}
OTHER_JOB = "ANOTHER JOB"
LETTERS = 6
"""Rows at most for the letters: two lines of them on a small panel."""


class Banner(Widget):
    """Shown while an answer stands; the next key or a touch takes it away. Its last line says what Space does."""

    answer: Answer | None = None
    confirms = ""
    """What Space confirms of the part in the answer; empty where it only takes the answer away."""
    _letters = LETTERS

    def show(self, answer: Answer | None, letters: int = LETTERS, confirms: str = "") -> None:
        """`letters` are the rows that its letters may take, `confirms` what Space confirms."""
        if answer is None and self.answer is None:
            return
        before = len(self._rows(self.size.width))
        self.answer, self._letters, self.confirms = answer, letters, confirms
        self.display = answer is not None
        self.set_class(self.refuses, "refuses")
        # Not on the screen: the style of every widget on it would be worked out anew; nor where it means nothing.
        low = self.screen.has_class("-low")
        for place in "#now", "#touch":
            self.screen.query_one(place).set_class(self.refuses, "-refused", update=low)
        for place in "#now", "#under", "#drawing":
            self.screen.query_one(place).set_class(answer is not None, "-answered", update=low or place != "#under")
        self.refresh(layout=len(self._rows(self.size.width)) != before)

    @property
    def refuses(self) -> bool:
        """Whether the answer is any but `fit now`."""
        return self.answer is not None and self.answer.kind != "fit now"

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self._rows(width))

    def _size_updated(self, size: Size, virtual_size: Size, container_size: Size, layout: bool = True) -> bool:
        """As that of `Told`."""
        return super()._size_updated(size, virtual_size, container_size, layout=False)

    def render(self) -> RenderResult:
        return Content("\n".join(self._rows(self.size.width)))

    def _rows(self, width: int) -> list[str]:
        if self.answer is None:
            return []
        letters = fitted(OTHER_JOB if self.answer.same_vehicle else BIG[self.answer.kind], width, self._letters)
        told = self.answer.detail
        if self.answer.kind == "not our label":
            told = f"{self.answer.headline}: {told}"
        space = f"Space: {self.confirms}" if self.confirms else "Space takes this away"
        beside = safe(f"{told}   {space}")
        if self.confirms and Content(beside).cell_length <= width:  # the list below needs each row
            return [*letters, beside]
        rows = [*wrap(safe(told), max(5, width), max_lines=3, placeholder=" ..."), safe(cut(space, max(5, width)))]
        return [*letters, *rows]

    def on_click(self) -> None:
        self.show(None)
