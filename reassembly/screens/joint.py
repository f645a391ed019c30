"""The joint as it looks from the side where the technician stands: every position at its place."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from textual.content import Content
from textual.widget import Widget

from reassembly.job.asks import words
from reassembly.screens.text import cut
from reassembly.trade.order import centroid

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from textual.app import RenderResult

    from reassembly.job.joint import Joint
    from reassembly.trade.layout import Layout, Point


_NO_ARTICLE = {"above", "below"}


class JointView(Widget):
    """Positions numbered, each with its mark; the next one stands between > and <."""

    def __init__(self, id: str) -> None:  # noqa: A002 - Textual's own word
        super().__init__(id=id)
        self._layout: Layout | None = None
        self._marks: tuple[str, ...] = ()

    def show(self, layout: Layout | None, marks: tuple[str, ...]) -> None:
        self._layout, self._marks = layout, marks
        self.refresh()

    def render(self) -> RenderResult:
        rows = drawn(self._layout, self._marks, self.size.width, self.size.height)
        content = Content("\n".join(rows))
        plain = content.plain
        at = plain.find(">")
        return content.stylize("bold reverse", at, plain.find("<", at) + 1) if at >= 0 else content


def drawn(layout: Layout | None, marks: Sequence[str], width: int, height: int) -> list[str]:
    """The drawing in so many cells. Where the positions have no room at their places, or no layout is known, they
    stand in rows by number, as many as fit around the next one."""
    if not marks or width < 1 or height < 1:
        return []
    if layout is not None and layout.count == len(marks):
        for stretched in (False, True):
            rows = _at_their_places(layout, marks, width, height, stretched)
            if rows:
                return rows
    return _in_rows(marks, width, height)


def _at_their_places(
    layout: Layout, marks: Sequence[str], width: int, height: int, stretched: bool
) -> list[str] | None:
    widest = max(map(len, marks))
    xs, ys = zip(*layout.points, strict=True)
    left, top = min(xs), max(ys)
    span = max(xs) - left or 1e-9, top - min(ys) or 1e-9
    # A cell is about twice as high as it is wide.
    across, down = (width - widest) / span[0], (height - 1) / span[1]
    if across < 0:
        return None
    if not stretched:
        across = min(across, 2 * down)
        down = across / 2
    elif max(ys) == min(ys):
        down = 0

    def cell(point: Point) -> tuple[int, int]:
        return round((point[0] - left) * across), round((top - point[1]) * down)

    rows: dict[int, list[tuple[int, str]]] = {}
    for point, mark in zip(layout.points, marks, strict=True):
        x, y = cell(point)
        rows.setdefault(y, []).append((x + (widest - len(mark)) // 2, mark))
    if layout.kind == "circle":
        x, y = cell(centroid(layout.points))
        if y not in rows:
            rows[y] = [(x + widest // 2, "+")]
    lines = [_line(rows.get(y, [])) for y in range(max(rows) + 1)]
    return None if None in lines else [line for line in lines if line is not None]


def _line(placed: list[tuple[int, str]]) -> str | None:
    """The marks of one row; None where two would touch."""
    placed = sorted(placed)
    if any(x + len(mark) >= following for (x, mark), (following, _) in pairwise(placed)):
        return None
    line = ""
    for x, mark in placed:
        line = line.ljust(x) + mark
    return line


def _in_rows(marks: Sequence[str], width: int, height: int) -> list[str]:
    cells = max(map(len, marks)) + 1
    a_row = max(1, (width + 1) // cells)
    rows = ["".join(mark.ljust(cells) for mark in marks[at : at + a_row]) for at in range(0, len(marks), a_row)]
    following = next((n for n, row in enumerate(rows) if ">" in row), 0)
    start = max(0, min(following - height // 2, len(rows) - height))
    return [row.rstrip() for row in rows[start : start + height]]


def marks(found: Joint, at: int | None) -> Iterator[str]:
    """For each position its number and shape; a star for a bolt of another length."""
    wrong, lengths = found.out_of_order, found.long_ones
    for n in range(1, found.stage.positions + 1):
        star = "*" if n in lengths else ""
        if n == at:
            yield f">{n}<{star}"
        elif n in wrong:
            yield f"{n}[!]{star}"
        else:
            yield f"{n}[{'x' if n in found.done.positions or found.done.whole else ' '}]{star}"


def legend(found: Joint, at: int | None, width: int) -> str:
    """The side it is seen from, bolts of another length, and the order. Where the whole has no room in so many cells,
    the order is that of the positions that follow the one on display."""
    whole = "   ".join(_legend(found, "length ", words("order", *map(str, found.order), between=" ")))
    if len(whole) <= width:
        return whole
    following = [str(position) for position in found.left if position != at]
    return cut("  ".join(_legend(found, "", f"then {' '.join(following)}" if following else "")), width)


def _legend(found: Joint, of_length: str, order: str) -> Iterator[str]:
    if found.seen_from:
        side = found.seen_from.removeprefix("the ")
        yield f"seen from {side if side in _NO_ARTICLE else f'the {side}'}"
    else:
        yield "side not said"
    by_length: dict[str, list[str]] = {}
    for n, length in found.long_ones.items():
        by_length.setdefault(length, []).append(str(n))
    for length, several in by_length.items():
        yield f"* {of_length}{length} at {', '.join(several)}"
    if found.out_of_order:
        yield "[!] out of order"
    if order:
        yield order
