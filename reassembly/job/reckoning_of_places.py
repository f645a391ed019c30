"""What can be computed from marks, weights, clock positions and codes: what a place means, what a wrong one does."""

# ruff: noqa: ARG001 - one signature for every kind of fact
from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job import entries as said
from reassembly.job.places import HOLE
from reassembly.job.reckon import Around, Reckoned, reckon, tried
from reassembly.job.vehicle import AT, vehicle
from reassembly.trade.balance import force, grade_reached, left_by_angle, left_by_holes, permissible, unbalance
from reassembly.trade.facing import clock_angle, clock_from_other_side, read_clock
from reassembly.trade.identity import code_workings, read_code, read_vin, vin_workings
from reassembly.trade.layout import positions
from reassembly.trade.quantity import plain, read, value
from reassembly.trade.spline import Place, angle_out, degrees_apart, place_angle, read_place, yokes_out

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.job import Part
    from reassembly.trade.workings import Workings

SHAFT_GRADE = 16.0  # ISO 21940-11: cardan and propeller shafts
_TURNED = 10.0  # degrees, an example of how far a weight without holes is put back wrongly


@reckon.register(said.JobOpened)
def check_digit(fact: said.JobOpened, around: Around) -> Iterator[Reckoned]:
    if fact.vin.strip():
        yield from tried("check digit of the VIN", lambda: vin_workings(read_vin(fact.vin)))


@reckon.register(said.CodeRead)
def trouble_code(fact: said.CodeRead, around: Around) -> Iterator[Reckoned]:
    if fact.code.strip():
        yield from tried(f"what {fact.code.strip()} means", lambda: code_workings(read_code(fact.code)))


@reckon.register(said.OrientationNoted)
def clock(fact: said.OrientationNoted, around: Around) -> Iterator[Reckoned]:
    if fact.clock.strip():
        yield from tried(
            f"{fact.feature} seen from the other side",
            lambda: clock_from_other_side(read_clock(fact.clock, fact.seen_from)),
        )
        yield from tried(
            f"{fact.feature} in degrees from 12", lambda: clock_angle(read_clock(fact.clock, fact.seen_from))
        )


@reckon.register(said.MarkMade)
def marks(fact: said.MarkMade, around: Around) -> Iterator[Reckoned]:
    teeth = fact.spline_teeth
    if teeth:
        yield from tried("one tooth to the next", lambda: degrees_apart(teeth))
        if fact.marked_tooth:
            yield from tried("the marked tooth", lambda: place_angle(Place(fact.marked_tooth or 0, teeth)))
        yield from tried("one tooth out turns it", lambda: angle_out(1, teeth))
        yield from tried("yokes of one shaft, one tooth out", lambda: yokes_out(1, teeth))
    elif fact.marked_tooth:
        yield Reckoned("degrees a tooth", None, "the number of teeth")
    holes = circle(fact.part, around)
    if holes:
        yield from tried("one hole out turns it", lambda: angle_out(1, holes, "hole"))


def circle(part: str, around: Around) -> int:
    """How many holes a part has in a circle; 0 where no circle was recorded."""
    return circle_of(around.part(part))[0]


def circle_of(part: Part) -> tuple[int, str]:
    """How many holes a part has in a circle, and the side they are counted from; 0 where no circle was recorded."""
    for entry in part.said(said.TorqueSpecified):
        fasteners = part.fasteners(entry.fact.fasteners)
        try:
            layout = positions(entry.fact.layout, fasteners.count if fasteners else entry.fact.count)
        except ValueError:
            continue
        if layout.kind == "circle":
            return layout.count, entry.fact.seen_from or layout.side
    return 0, ""


class Refit(NamedTuple):
    """A weight put back one hole, or some degrees, out."""

    slip: str
    left: Workings[Any]
    holes: int


def weight_out(fact: said.WeightFound, around: Around) -> Refit | None:
    """The unbalance left by the smallest slip; None where mass or radius are not known."""
    try:
        own = _unbalance(fact)
        holes = holes_of(fact, around.part(fact.part))
        if holes:
            return Refit("one hole out", left_by_holes(own.result, 1, holes), holes)
        return Refit(f"{plain(_TURNED)} deg out", left_by_angle(own.result, _TURNED), 0)
    except ValueError:
        return None


def _unbalance(fact: said.WeightFound) -> Workings[Any]:
    return unbalance(read(fact.mass, "mass", "g").quantity, read(fact.radius, "length", "mm").quantity)


def holes_of(fact: said.WeightFound, part: Part) -> int:
    """Of how many holes the weight's place is one: as typed with it, else those of the part; 0 for an angle."""
    hole = HOLE.fullmatch(fact.position.strip())
    if hole is None:
        return 0
    counts = [e.fact.count for e in part.said(said.FastenersRemoved)]
    found = int(hole[2]) if hole[2] else circle_of(part)[0] or max(counts, default=0)
    return found if found > 1 else 0


@reckon.register(said.WeightFound)
def weight(fact: said.WeightFound, around: Around) -> Iterator[Reckoned]:
    missing = " and ".join(name for name in ("mass", "radius") if not getattr(fact, name).strip())
    if missing:
        yield Reckoned("what one hole out leaves", None, f"the weight's {missing}")
        return
    out = weight_out(fact, around)
    if out is None:
        return
    yield from tried(f"unbalance of the weight at {fact.position}", lambda: _unbalance(fact))
    if out.holes:
        yield from tried("one hole to the next", lambda: degrees_apart(out.holes, "hole"))
        yield from tried("angle of the hole", lambda: place_angle(read_place(fact.position.lower(), "hole", out.holes)))
    yield Reckoned(f"{out.slip} leaves", out.left)
    yield from _at_speed(out, around)


def _at_speed(out: Refit, around: Around) -> Iterator[Reckoned]:
    known = vehicle(around.job)
    shaft = known.shaft
    if shaft is None:
        yield Reckoned(f"force of {out.slip} at {AT}", None, known.missing or "a tyre and an axle ratio that can be")
        return
    yield Reckoned(f"propeller shaft at {AT}", shaft)
    yield from tried(f"force of {out.slip} at {AT}", lambda: force(out.left.result, shaft.result))
    mass = known.shaft_mass
    if mass is None:
        yield Reckoned("balance grade against G16", None, "the mass of the propeller shaft")
        return
    yield from tried(f"what G16 allows the shaft at {AT}", lambda: permissible(SHAFT_GRADE, mass, shaft.result))
    yield from tried(f"grade that {out.slip} means", lambda: grade_reached(out.left.result, mass, shaft.result))


def weight_consequence(fact: said.WeightFound, around: Around) -> str:
    """ "one hole out leaves 482 g.mm: 2 times the G16 limit at 100 km/h", as far as it can be told; else empty."""
    out = weight_out(fact, around)
    if out is None:
        return ""
    moment = value(out.left.result, "g.mm")
    told = f"{out.slip} leaves {plain(float(f'{moment:.3g}'))} g.mm"
    known = vehicle(around.job)
    shaft, mass = known.shaft, known.shaft_mass
    if shaft is None:
        return told
    try:
        newtons = value(force(out.left.result, shaft.result).result, "N")
        if mass is None:
            return f"{told}: {plain(float(f'{newtons:.2g}'))} N at {AT}"
        limit = value(permissible(SHAFT_GRADE, mass, shaft.result).result, "g.mm")
    except ValueError:
        return told
    times = moment / limit
    share = f"{plain(float(f'{times:.2g}'))} times" if times >= 1 else f"{plain(float(f'{100 * times:.2g}'))} % of"
    return f"{told}: {share} the G16 limit at {AT}"
