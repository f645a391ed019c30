"""What a drawing says better than words: where on a circle a feature, a tooth, a weight or a mark stands.

Pure geometry: every place is an angle, clockwise from the top, as it looks from the side it is seen from. Whoever walks
round to the other side and keeps the same way up sees each place mirrored: 12 and 6 stay, left changes with right.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job import entries as said
from reassembly.job.asks import words
from reassembly.job.job import part_in, parts
from reassembly.job.places import counted_from, seen_from
from reassembly.job.reckoning_of_places import circle_of, holes_of
from reassembly.trade.facing import Clock, read_clock, read_side, seen_from_other_side
from reassembly.trade.quantity import plain
from reassembly.trade.spline import Place

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job, Part
    from reassembly.trade.facing import Side

_WEIGHT, _MARK, _FEATURE = "*", "^", "*"
_DEGREES = re.compile(r"(\d{1,3}(?:\.\d+)?) ?(?:deg(?:rees)?|°)", re.IGNORECASE | re.ASCII)
_HOLE = re.compile(r"\b(?:hole|bolt|stud|position) ?(\d{1,3})\b", re.IGNORECASE | re.ASCII)
_BETWEEN = re.compile(
    r"\bbetween (?:(?:hole|bolt|stud|position)s? ?)?(\d{1,3}) and (?:(?:hole|bolt|stud) ?)?(\d{1,3})\b",
    re.IGNORECASE | re.ASCII,
)


class Spot(NamedTuple):
    """One place on the circle: degrees clockwise from the top, the number that stands there, the sign of what is there.

    `asked` is what the check on display is about; a spot that is not `needed` is there to count by.
    """

    degrees: float
    label: str = ""
    sign: str = ""
    asked: bool = False
    needed: bool = True


class Drawing(NamedTuple):
    """A circle, the side it is seen from where that was said, and the same in words, a line for each sign."""

    spots: tuple[Spot, ...]
    seen_from: str
    told: tuple[str, ...]


class _View(NamedTuple):
    """The side from which something was noted, and whether it is looked at from the other one."""

    side: Side | None
    other: bool

    def degrees(self, noted: float) -> float:
        return -noted % 360 if self.other else noted % 360

    @property
    def seen_from(self) -> str:
        if self.side is None:
            return ""
        seen = seen_from_other_side(Clock(0, self.side)).side if self.other else self.side
        assert seen is not None
        return seen.seen


def drawing(check: Check, job: Job, other_side: bool = False) -> Drawing | None:
    """The drawing of what a check asks, as it was noted or as it looks from the other side.

    None where no place was said, or none that can be read; and from the other side where nobody said which side it
    was noted from. Never raises.
    """
    fact = check.asked_by.fact
    try:
        match fact:
            case said.OrientationNoted() if fact.clock.strip():
                return _face(fact, other_side)
            case said.MarkMade(spline_teeth=int(), marked_tooth=int()):
                return _spline(fact, other_side)
            case said.MarkMade() | said.WeightFound():
                return _flange(check.asked_by, job, other_side)
    except ValueError:
        pass  # what cannot be read is not drawn: the doubts tell it in words
    return None


def _view(side: str, other: bool) -> _View:
    found = read_side(side) if side.strip() else None
    if other and found is None:
        raise ValueError("seen from which side? From the other side it is another place")
    return _View(found, other)


def _face(fact: said.OrientationNoted, other: bool) -> Drawing:
    clock = read_clock(fact.clock, fact.seen_from)
    view = _view(clock.side.seen if clock.side else "", other)
    seen = seen_from_other_side(clock) if other else clock
    hours = (Spot(30 * hour % 360, str(hour) if hour % 3 == 0 else "", needed=False) for hour in range(1, 13))
    on_the_hour = str(seen.minutes // 60 or 12) if seen.minutes % 60 == 0 else ""
    feature = Spot(seen.degrees, on_the_hour, _FEATURE, asked=True)
    rest = (hour for hour in hours if hour.degrees != feature.degrees)
    return Drawing((*rest, feature), view.seen_from, (f"{_FEATURE} {fact.feature} at {seen}",))


def _spline(fact: said.MarkMade, other: bool) -> Drawing:
    assert fact.spline_teeth is not None
    assert fact.marked_tooth is not None
    tooth = Place(fact.marked_tooth, fact.spline_teeth)
    view = _view(counted_from(fact), other)
    spots = tuple(
        Spot(
            view.degrees((n - 1) * 360 / tooth.count),
            str(n) if n in {1, tooth.number} else "",
            _MARK if n == tooth.number else "",
            asked=n == tooth.number,
            needed=n in {1, tooth.number},
        )
        for n in range(1, tooth.count + 1)
    )
    way = "anticlockwise" if other else "clockwise"
    return Drawing(spots, view.seen_from, (f"{_MARK} {tooth}, drawn {way} from 1 (our convention)", f"  {fact.mark}"))


class _Found(NamedTuple):
    """Something on a flange: degrees from the top, the hole it is at (0: none), its sign, its words."""

    degrees: float
    hole: int
    by_angle: bool
    sign: str
    told: str
    asked: bool


def _flange(entry: Entry[said.MarkMade | said.WeightFound], job: Job, other: bool) -> Drawing | None:
    fact = entry.fact
    part = part_in(parts(job), fact.part)
    holes, side = circle_of(part)
    if isinstance(fact, said.WeightFound):
        holes = holes_of(fact, part) or holes
    side = counted_from(fact) or side
    found = list(_on(part, entry.id, holes, side))
    asked = any(each.asked for each in found)
    if not found or (isinstance(fact, said.WeightFound) and not asked):
        return None
    view = _view(side, other)
    ring = [
        Spot(
            view.degrees((n - 1) * 360 / holes),
            str(n),
            "".join(dict.fromkeys(each.sign for each in found if each.hole == n)),
            any(each.asked for each in found if each.hole == n),
        )
        for n in range(1, holes + 1)
    ]
    loose = [Spot(view.degrees(each.degrees), "", each.sign, each.asked) for each in found if not each.hole]
    told = [f"{each.sign} {each.told}{_from_here(each, view)}" for each in found]
    if isinstance(fact, said.MarkMade) and not asked:
        told.append(f"{_MARK} {words(fact.mark, fact.to, between=', to ')}: no place noted")
    if any(each.by_angle for each in found):
        told.append("  degrees are clockwise, 0 drawn at the top")
        ring += [] if holes else [Spot(0, "0", needed=False)]
    return Drawing((*ring, *loose), view.seen_from, tuple(told))


def _from_here(found: _Found, view: _View) -> str:
    return f": {plain(view.degrees(found.degrees))} deg from here" if view.other and found.by_angle else ""


def _on(part: Part, asked: str, holes: int, side: str) -> Iterator[_Found]:
    """The weights and marks of a part that have a place on this circle, all as they look from one side."""
    for entry in part.about:
        fact = entry.fact
        match fact:
            case said.WeightFound():
                sign, text = _WEIGHT, fact.position
                told = f"{fact.mass or fact.what or 'balance weight'} at {fact.position}"
            case said.MarkMade(spline_teeth=None):
                sign, text = _MARK, " ".join((fact.mark, fact.to, fact.note))
                told = words(fact.mark, fact.note)
            case _:
                continue
        own = counted_from(fact)
        place, turned = _place(text, holes), bool(own) and bool(side) and read_side(own) != read_side(side)
        if place and turned:
            degrees, hole, by_angle = place
            if read_side(own).opposite != read_side(side).name:
                continue  # no angle of this circle tells where that is
            place = -degrees % 360, (holes + 1 - hole) % holes + 1 if hole else 0, by_angle
            told = f"{told} {seen_from(own)}"
        if place:
            yield _Found(*place, sign, told, entry.id == asked)


def _place(text: str, holes: int) -> tuple[float, int, bool] | None:
    """Degrees from the top, the hole (0 for a place that is none), and whether it was told as an angle."""
    if between := _BETWEEN.search(text):
        first, second = sorted(int(n) for n in between.groups())
        if first < 1 or second > holes or (second - first != 1 and (first, second) != (1, holes)):
            return None
        return ((first if second - first == 1 else holes) - 0.5) * 360 / holes, 0, False
    if hole := _HOLE.search(text):
        number = int(hole[1])
        return ((number - 1) * 360 / holes, number, False) if 1 <= number <= holes else None
    if degrees := _DEGREES.search(text):
        return float(degrees[1]) % 360, 0, True
    return None
