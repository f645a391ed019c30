"""Where the positions of a fastener set are: circle, rectangle, perimeter, row or points."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import cos, pi, sin
from typing import Literal, TypeAlias

Kind = Literal["circle", "rectangle", "perimeter", "row", "points"]
Point: TypeAlias = tuple[float, float]

CIRCLE, ROW, OTHER = (3, 64), (1, 64), (3, 200)  # fewest and most positions
_LONGEST = 2000
_EXAMPLE = "type circle 8, rectangle 2x5, perimeter 14, row 4 or points 0,0 10,5 20,0"
_NAMES: dict[str, Kind] = {
    "circle": "circle", "bolt circle": "circle", "ring": "circle", "flange": "circle",
    "rectangle": "rectangle", "grid": "rectangle",
    "perimeter": "perimeter", "pan": "perimeter", "sump": "perimeter", "cover": "perimeter",
    "row": "row", "line": "row",
    "points": "points", "free": "points",
}  # fmt: skip
_SIDE = re.compile(r"[, ]*\b(?:seen )?from (?:the )?([a-z ]+?) *$", re.IGNORECASE)
_BY = r"(\d{1,4}(?:\.\d{1,4})?) ?x ?(\d{1,4}(?:\.\d{1,4})?)"
_POINT = re.compile(r"([+-]?\d{1,6}(?:\.\d{1,6})?) ?, ?([+-]?\d{1,6}(?:\.\d{1,6})?)", re.ASCII)


@dataclass(frozen=True, slots=True)
class Layout:
    """Positions 1, 2, 3 ... as points in a box from (0, 0) to (1, 1), x to the right and y up, seen from `side`.

    Circle, rectangle and perimeter are numbered clockwise from the top (left); a row from the left; points as typed.
    """

    kind: Kind
    points: tuple[Point, ...]
    side: str = ""

    @property
    def count(self) -> int:
        return len(self.points)


def positions(text: str, count: int | None = None) -> Layout:
    """Understand "circle 8", "rectangle 2x5" (rows x columns), "perimeter 14 400x300", "row 4", "points 0,0 10,5",
    each with "from the rear" or another side after it.

    The number of positions may stand in the text or come as `count`. Raises ValueError with one sentence.
    """
    line = " ".join(text.replace("×", "x").replace("−", "-").split())
    if not line or len(line) > _LONGEST or not line.isprintable() or not line.isascii():
        raise ValueError(f"that is no layout: {_EXAMPLE}")
    seen = _SIDE.search(line)
    side = seen[1].lower() if seen else ""
    line = line[: seen.start()] if seen else line
    name = re.match(r"(?:bolt )?[a-z]*", line, re.IGNORECASE)
    kind = _NAMES.get(name[0].strip().lower()) if name else None
    if kind is None or name is None:
        raise ValueError(f"{_short(line)} is no layout that is known here: {_EXAMPLE}")
    rest = re.sub(r"^of ", "", line[name.end() :].strip(" ,:"))
    match kind:
        case "circle":
            points = _circle(_number(rest, count, kind, CIRCLE))
        case "row":
            points = _row(_number(rest, count, kind, ROW))
        case "rectangle":
            points = _rectangle(rest, count)
        case "perimeter":
            points = _perimeter(rest, count)
        case "points":
            points = _points(rest)
    if count is not None and count != len(points):
        raise ValueError(
            f"{_short(line)} has {len(points)} positions and the set has {count} fasteners: correct one of the two"
        )
    return Layout(kind, _in_unit_box(points), side)


def _short(line: str) -> str:
    return line if len(line) <= 40 else f"{line[:40]}..."


def _number(rest: str, count: int | None, kind: Kind, limits: tuple[int, int]) -> int:
    if rest and not re.fullmatch(r"\d{1,4}", rest):
        raise ValueError(f"{kind} {_short(rest)}: after {kind} goes the number of positions: {_EXAMPLE}")
    number = int(rest) if rest else count
    if number is None:
        raise ValueError(f"{kind} of how many: {_EXAMPLE}")
    return _within(number, kind, limits)


def _within(number: int, kind: Kind, limits: tuple[int, int]) -> int:
    fewest, most = limits
    if not fewest <= number <= most:
        raise ValueError(f"{kind} {number}: a {kind} has {fewest} to {most} positions: type another number")
    return number


def _circle(count: int) -> list[Point]:
    return [(sin(2 * pi * k / count), cos(2 * pi * k / count)) for k in range(count)]


def _row(count: int) -> list[Point]:
    return [(float(k), 0.0) for k in range(count)]


def _rectangle(rest: str, count: int | None) -> list[Point]:
    """Rows and columns, numbered clockwise from the top left, ring after ring inwards."""
    if found := re.fullmatch(r"(\d{1,3}) ?x ?(\d{1,3})", rest):
        rows, columns = int(found[1]), int(found[2])
    elif not rest and count is not None and count >= 4 and count % 2 == 0:
        rows, columns = 2, count // 2
    else:
        raise ValueError(f"rectangle {_short(rest)}: type rows x columns, for example rectangle 2x5")
    if rows < 2 or columns < 2:
        raise ValueError(f"rectangle {rest}: it needs 2 rows and 2 columns: type row {rows * columns} for a single row")
    _within(rows * columns, "rectangle", OTHER)
    points: list[Point] = []
    left, right, top, bottom = 0, columns - 1, 0, rows - 1
    while left <= right and top <= bottom:
        ring = [(x, top) for x in range(left, right + 1)] + [(right, y) for y in range(top + 1, bottom + 1)]
        if bottom > top:
            ring += [(x, bottom) for x in range(right - 1, left - 1, -1)]
        if right > left:
            ring += [(left, y) for y in range(bottom - 1, top, -1)]
        points += [(float(x), float(-y)) for x, y in ring]
        left, right, top, bottom = left + 1, right - 1, top + 1, bottom - 1
    return points


def _perimeter(rest: str, count: int | None) -> list[Point]:
    """Round the edge, clockwise from the top left corner: one at each corner, the others spread by length of side."""
    found = re.fullmatch(rf"(\d{{1,4}})?(?:[, ]*\b{_BY}(?: ?mm| ?in)?)?", rest)
    if found is None:
        raise ValueError(f"perimeter {_short(rest)}: type the number and, if you like, the size: perimeter 14 400x300")
    number = int(found[1]) if found[1] else count
    if number is None:
        raise ValueError("perimeter of how many: type for example perimeter 14")
    _within(number, "perimeter", OTHER)
    wide, high = (float(found[2]), float(found[3])) if found[2] else (4.0, 3.0)
    if wide <= 0 or high <= 0:
        raise ValueError(f"perimeter {rest}: neither side is nothing: type the size again, for example 400x300")
    corners: list[Point] = [(0, 0), (wide, 0), (wide, -high), (0, -high)]
    if number == 3:
        return [corners[0], corners[1], (wide / 2, -high)]
    spaces = _share_out(number, wide, high)
    points: list[Point] = []
    for (x, y), (to_x, to_y), parts in zip(corners, [*corners[1:], corners[0]], spaces, strict=True):
        points += [(x + (to_x - x) * k / parts, y + (to_y - y) * k / parts) for k in range(parts)]
    return points


def _share_out(number: int, wide: float, high: float) -> list[int]:
    """How many spaces each side gets, top, right, bottom, left: at least one, the next to the side with the widest."""
    spaces, lengths = [1, 1, 1, 1], [wide, high, wide, high]
    for _ in range(number - 4):
        widest = max(range(4), key=lambda side: lengths[side] / spaces[side])
        spaces[widest] += 1
    return spaces


def _points(rest: str) -> list[Point]:
    """Pairs x,y in any one unit, x to the right and y up, in the order in which they are numbered."""
    pairs = [(float(x), float(y)) for x, y in _POINT.findall(rest)]
    if not pairs or re.sub(r"[;\s()]", "", _POINT.sub("", rest)):
        raise ValueError(f"points {_short(rest)}: type x,y for each, with a point in decimals: points 0,0 10,5 20,0")
    if len(set(pairs)) < len(pairs):
        twice = next(index for index, pair in enumerate(pairs, 1) if pair in pairs[: index - 1])
        raise ValueError(f"point {twice} is where another one is: type its place again")
    if len(pairs) > OTHER[1]:
        raise ValueError(f"{len(pairs)} points are more than {OTHER[1]}: type fewer")
    return pairs


def _in_unit_box(points: list[Point]) -> tuple[Point, ...]:
    """The same picture, its longer side from 0 to 1 and its shorter side in the middle."""
    left, bottom = min(x for x, _ in points), min(y for _, y in points)
    wide, high = max(x for x, _ in points) - left, max(y for _, y in points) - bottom
    scale = max(wide, high) or 1.0
    return tuple(((x - left - wide / 2) / scale + 0.5, (y - bottom - high / 2) / scale + 0.5) for x, y in points)
