"""A circle with what stands where on it: a clock face, a spline, a flange; and the side it is seen from."""

from __future__ import annotations

from math import ceil, cos, floor, radians, sin
from textwrap import wrap
from typing import TYPE_CHECKING

from textual.content import Content
from textual.widget import Widget

from reassembly.screens.step import below
from reassembly.screens.text import cut, safe

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from textual.app import RenderResult
    from textual.geometry import Size

    from reassembly.job.drawn import Drawing, Spot

WIDE, SMALL = 29, 16  # cells for the drawing with its words, and for the drawing alone
ELSEWHERE = 8  # rows of a small panel: first line, name, places to touch, answer, keys
LOWEST = 2  # rows from the middle to the top: in fewer no place can be told from the next
TALLEST = 6


class DrawingView(Widget):
    """Shown beside the checks where there is room; a touch walks round to the other side."""

    def __init__(self, id: str) -> None:  # noqa: A002 - Textual's own word
        super().__init__(id=id)
        self._drawing: Drawing | None = None
        self._shown: tuple[Drawing | None, int] | None = None

    def show(self, drawing: Drawing | None, cells: int) -> None:
        """Take so many cells of the width for this drawing; none where there is nothing to draw."""
        if (drawing, cells) == self._shown:
            return
        self._drawing, self._shown = drawing, (drawing, cells)
        self.display = drawing is not None and cells > 0
        self.styles.width = cells
        self.refresh()

    def render(self) -> RenderResult:
        rows = arranged(self._drawing, self.size.width, self.size.height) if self._drawing else []
        content = Content("\n".join(rows))
        at = content.plain.find(">")
        return content.stylize("bold reverse", at, content.plain.find("<", at) + 1) if at >= 0 else content

    async def on_click(self) -> None:
        await self.run_action("screen.other_side")


def cells_for(drawing: Drawing | None, terminal: Size, under: Iterable[str], now: Iterable[str]) -> int:
    """How much of the width a drawing takes: beside the list of checks; on a small panel a small one, where every word
    that stands there (`under` the name, and what to do `now`) keeps its row."""
    if drawing is None:
        return 0
    if terminal.width >= 66 and terminal.height >= 20:
        return min(44, max(WIDE, terminal.width // 3))
    rows = terminal.height - ELSEWHERE - len(below(under, terminal.width - 2))
    needed = len(below(now, terminal.width - SMALL - 2))
    return SMALL if max(needed, 2 * LOWEST + 2) <= rows else 0


def arranged(drawing: Drawing, width: int, height: int) -> list[str]:
    """The side, the circle as large as it goes, and the same in words; words alone where the circle has no room."""
    side = f"from {drawing.seen_from}" if drawing.seen_from else "side not said"
    head = [cut(f"seen {side}" if drawing.seen_from and len(side) + 5 <= width else side, width).upper()]
    words = [row for line in drawing.told for row in _wrapped(line, width)]
    for told in (words, words[:1], []):
        free = height - len(head) - len(told)
        for across in range(min(TALLEST, (free - 1) // 2, (width - 2) // 4), LOWEST - 1, -1):
            circle = _circle(drawing.spots, across)
            if circle and max(map(len, circle)) <= width:
                indent = " " * ((width - max(map(len, circle))) // 2)
                return [*head, *(f"{indent}{row}".rstrip() for row in circle), *told]
    return [*head, *words][:height]


def _wrapped(line: str, width: int) -> list[str]:
    """A sign and its words, which stay beside it."""
    rows = wrap(safe(line[2:]), max(1, width - 2)) or [""]
    return [f"{line[:2] if n == 0 else '  '}{cut(row, width - 2)}" for n, row in enumerate(rows)]


def _circle(spots: tuple[Spot, ...], radius: int) -> list[str] | None:
    """The circle in 2 x radius + 1 rows, a cell being twice as high as wide; None where what is needed would touch."""
    middle = 2 * radius + 2  # room for a sign on either side
    taken: dict[tuple[int, int], str] = {}

    def put(at: int, row: int, text: str) -> bool:
        here = range(at - 1, at + len(text) + 1)
        if any((x, row) in taken for x in here):
            return False
        taken.update({(at + n, row): sign for n, sign in enumerate(text)})
        return True

    for spot in sorted(spots, key=lambda s: not s.asked):
        if spot.needed and not put(*_cell(spot, middle, radius)):
            return None
    put(middle, radius, "+")
    for spot in spots:
        if not spot.needed and spot.label:
            put(*_cell(spot, middle, radius))
    for x, row in _dots(spots, middle, radius):
        taken.setdefault((x, row), ".")
    left, right = min(x for x, _ in taken), max(x for x, _ in taken)
    return ["".join(taken.get((x, row), " ") for x in range(left, right + 1)).rstrip() for row in range(2 * radius + 1)]


def _dots(spots: tuple[Spot, ...], middle: int, radius: int) -> Iterator[tuple[int, int]]:
    """One for each place that is only counted by; none where two would be one."""
    cells = [(middle + x, y) for x, y in (_offset(s.degrees, radius) for s in spots if not (s.needed or s.label))]
    if len(set(cells)) == len(cells):
        yield from cells


def _cell(spot: Spot, middle: int, radius: int) -> tuple[int, int, str]:
    """Where the text of a spot begins, its row and the text: its number stands at its place, the sign behind it."""
    text = f"{spot.label}{spot.sign}"
    x, y = _offset(spot.degrees, radius)
    at = middle + x - (len(spot.label or text) - 1) // 2
    return (at - 1, y, f">{text}<") if spot.asked else (at, y, text)


def _offset(degrees: float, radius: int) -> tuple[int, int]:
    """Cells right of the middle, and row from the top."""
    turned = radians(degrees)
    return _nearest(2 * radius * sin(turned)), radius - _nearest(radius * cos(turned))


def _nearest(number: float) -> int:
    """Half away from nothing, so that left and right are alike."""
    number = round(number, 6)
    return floor(number + 0.5) if number >= 0 else ceil(number - 0.5)
