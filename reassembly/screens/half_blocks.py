"""A picture on the terminal: every cell an upper half block, its two colours two dots one above the other."""

from __future__ import annotations

from functools import lru_cache
from itertools import groupby
from textwrap import wrap
from typing import TYPE_CHECKING

from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from reassembly.screens.text import safe

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reassembly.record.pictures import Colour

CONSOLE: tuple[Colour, ...] = (
    (0, 0, 0), (170, 0, 0), (0, 170, 0), (170, 85, 0), (0, 0, 170), (170, 0, 170), (0, 170, 170), (170, 170, 170),
    (85, 85, 85), (255, 85, 85), (85, 255, 85), (255, 255, 85), (85, 85, 255), (255, 85, 255), (85, 255, 255),
    (255, 255, 255),
)  # fmt: skip
"""The sixteen colours of a bare console; source: Linux, drivers/tty/vt/vt.c, default_red, _grn, _blu (from memory)."""

_UPPER_HALF = "\N{UPPER HALF BLOCK}"


def half_blocks(rows: Sequence[Sequence[Colour]]) -> list[Strip]:
    """Rows of dots as lines of cells, half as many; below an odd last row it is black."""
    lines = []
    for at in range(0, len(rows), 2):
        upper = rows[at]
        lower = rows[at + 1] if at + 1 < len(rows) else [(0, 0, 0)] * len(upper)
        cells = groupby(zip(upper, lower, strict=True))
        lines.append(Strip([Segment(_UPPER_HALF * len(list(same)), _style(*two)) for two, same in cells]))
    return lines


@lru_cache(maxsize=4096)
def _style(upper: Colour, lower: Colour) -> Style:
    return Style(color=Color.from_rgb(*upper), bgcolor=Color.from_rgb(*lower))


class PhotoView(Widget):
    """A picture in its middle, or words in place of one."""

    def __init__(self, id: str) -> None:  # noqa: A002 - Textual's own word
        super().__init__(id=id)
        self.words = ""
        self._lines: list[Strip] = []

    class Resized(Message):
        """There is another number of cells now."""

    def on_resize(self) -> None:
        self.post_message(self.Resized())

    def show(self, found: list[Strip] | str) -> None:
        self.words, self._lines = (found, []) if isinstance(found, str) else ("", found)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        width, ground = self.size.width, self.rich_style
        if self.words:
            told = wrap(safe(self.words), max(1, width - 2))
            line = Strip([Segment(f" {told[y]}", ground)]) if y < len(told) else Strip.blank(0)
            return line.adjust_cell_length(width, ground)
        at = y - (self.size.height - len(self._lines)) // 2
        if not 0 <= at < len(self._lines):
            return Strip.blank(width, ground)
        line = self._lines[at]
        left = max(0, (width - line.cell_length) // 2)
        return Strip.join([Strip.blank(left, ground), line]).adjust_cell_length(width, ground)
