"""The order in which the positions of one stage are tightened.

A manual's own order always wins; what is made here is generic and is shown as such.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reassembly.trade.layout import Layout, Point

_LONGEST = 1000
_NEAR = 1e-9  # distances in the unit box that differ by less are the same


def generic_order(layout: Layout) -> tuple[int, ...]:
    """Every position once, numbered from 1, opposite ones in turn.

    Circle: opposite pairs, the next pair square to the last (gives the lists of ASME PCC-1).
    Rectangle, perimeter and row: from the centre outwards, alternating sides (common practice; makers differ).
    Points: each next one where it brings the middle of what is tight nearest to the middle of all.
    """
    if layout.kind == "circle":
        return circle_order(layout.count)
    if layout.kind == "points":
        return _balanced(layout.points)
    return _centre_outwards(layout.points)


_RULE = {
    "circle": ("opposite pairs, the next pair square to the last", "gives the lists of ASME PCC-1"),
    "points": ("each next one where it brings the middle of what is tight nearest to the middle of all", "geometry"),
}


def order_workings(layout: Layout) -> Workings[tuple[int, ...]]:
    """The generic order of a layout with its rule, and how even it is beside going round by number."""
    rule, source = _RULE.get(layout.kind, ("from the centre outwards, alternating sides", "common practice, no source"))
    order = generic_order(layout)
    return Workings(
        order,
        rule,
        {
            "layout": layout.kind,
            "positions": layout.count,
            "unevenness": unevenness(layout.points, order),
            "unevenness by number": unevenness(layout.points, range(1, layout.count + 1)),
        },
        source,
        "generic: the manual's own order goes first; unevenness is the mean distance of the middle of what is tight "
        "from the middle of all, in widths of the joint",
    )


def circle_order(count: int) -> tuple[int, ...]:
    """The crossing order for holes numbered round a circle, any count from 1.

    In fours, each two opposite pairs at right angles, where the count allows; the fours themselves begin in the
    crossing order of a quarter of the circle. With an odd count the pairs are opposite to the nearest hole."""
    if count <= 2:
        return tuple(range(1, count + 1))
    if count in (3, 5):  # the star of five as published, skipping one
        return tuple(1 + (count // 2) * k % count for k in range(count))
    if count % 2:
        return _without_last(circle_order(count + 1))
    half = count // 2
    if count % 4:
        starts = [1 + (half // 2) * k % half for k in range(half)]
        return tuple(hole for start in starts for hole in (start, start + half))
    quarter = count // 4
    fours = ((start, start + half, start + quarter, start + half + quarter) for start in circle_order(quarter))
    return tuple(hole for four in fours for hole in four)


def _without_last(order: tuple[int, ...]) -> tuple[int, ...]:
    """An even circle's order for one hole fewer: the group that loses a hole goes last, its single hole at the end."""
    missing = order.index(len(order))
    group = 4 if len(order) % 4 == 0 else 2
    start = missing - missing % group
    single = order[missing ^ 1]
    rest = [hole for hole in order[start : start + group] if hole not in (len(order), single)]
    return (*order[:start], *order[start + group :], *rest, single)


def _centre_outwards(points: Sequence[Point]) -> tuple[int, ...]:
    """The free position nearest the middle, then the one most nearly opposite to it, and so on outwards."""
    middle = centroid(points)
    left = set(range(len(points)))
    order: list[int] = []
    while left:
        first = min(left, key=lambda k: (round(_apart(points[k], middle), 9), k))
        left.remove(first)
        order.append(first)
        mirrored = (2 * middle[0] - points[first][0], 2 * middle[1] - points[first][1])
        if left:
            second = min(left, key=lambda k: (round(_apart(points[k], mirrored), 9), k))
            if _apart(points[second], middle) <= _apart(points[first], middle) + _NEAR:
                left.remove(second)
                order.append(second)
    return tuple(k + 1 for k in order)


def _balanced(points: Sequence[Point]) -> tuple[int, ...]:
    middle = centroid(points)
    left = set(range(len(points)))
    order: list[int] = []
    x = y = 0.0
    while left:
        done = len(order) + 1
        step = min(
            left,
            key=lambda k: (round(_apart(((x + points[k][0]) / done, (y + points[k][1]) / done), middle), 9), k),
        )
        left.remove(step)
        order.append(step)
        x, y = x + points[step][0], y + points[step][1]
    return tuple(k + 1 for k in order)


def centroid(points: Sequence[Point]) -> Point:
    """The middle of a set of points."""
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)


def _apart(one: Point, other: Point) -> float:
    return float(((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5)


def unevenness(points: Sequence[Point], order: Sequence[int]) -> float:
    """How far, on average over a sequence, the middle of what is tight lies from the middle of all. 0 is even."""
    middle = centroid(points)
    tight = [points[position - 1] for position in order]
    return sum(_apart(centroid(tight[:done]), middle) for done in range(1, len(tight) + 1)) / len(tight)


def read_order(text: str, count: int) -> tuple[int, ...]:
    """A manual's own order, "1 3 2 4" or "1-3-2-4": each position from 1 to `count` exactly once.

    Raises ValueError with one sentence that names what is missing, twice or out of range."""
    if len(text) > _LONGEST or not text.strip():
        raise ValueError(f"no order typed: type the {count} positions in turn, for example {_example(count)}")
    parts = [part for part in re.split(r"[\s,;>/→–-]+", text.strip()) if part]
    for part in parts:
        if not re.fullmatch(r"\d{1,4}", part, re.ASCII):
            shown = part[:20] if part.isprintable() else "a sign that cannot be seen"
            raise ValueError(f"{shown} is not a position: type numbers only, for example {_example(count)}")
    order = tuple(int(part) for part in parts)
    faults = [
        _named(sorted(set(order) - set(range(1, count + 1))), f"not among the {count} positions"),
        _named(sorted({position for position in order if order.count(position) > 1}), "there more than once"),
        _named(sorted(set(range(1, count + 1)) - set(order)), "missing"),
    ]
    if any(faults):
        raise ValueError(f"{'; '.join(filter(None, faults))}: type each of the {count} positions once")
    return order


def _example(count: int) -> str:
    return " ".join(str(position) for position in circle_order(min(count, 6)))


def _named(numbers: Sequence[int], fault: str) -> str:
    if not numbers:
        return ""
    listed = ", ".join(str(number) for number in numbers[:10]) + (", ..." if len(numbers) > 10 else "")
    return f"{listed} {'is' if len(numbers) == 1 else 'are'} {fault}"
