"""Balance weights as vectors: what a weight put back wrongly leaves, the force it makes, and how it compares.

Unbalance is mass times radius, in g·mm. Angles are degrees round the shaft.
"""

from __future__ import annotations

from math import pi, radians, sin
from typing import TYPE_CHECKING

from reassembly.trade.quantity import of, plain, show, value
from reassembly.trade.rotation import more_than_nothing, turns_per_second
from reassembly.trade.spline import angle_out
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from pint import Quantity

# ISO 21940-11:2016 table 1, the grades a driveline meets: millimetres a second, and what they are for.
GRADES = {
    2.5: "turbines and machine-tool drives",
    6.3: "machinery in general, gears",
    16.0: "cardan and propeller shafts",
    40.0: "car wheels and wheel sets",
}
_VECTORS = "vector algebra"
_ISO = "ISO 21940-11"


def unbalance(mass: Quantity[float], radius: Quantity[float]) -> Workings[Quantity[float]]:
    """Mass times radius, in g·mm. Raises ValueError unless both are above nothing."""
    moment = more_than_nothing("mass", mass, "g") * more_than_nothing("radius", radius, "mm")
    return Workings(of(moment, "g.mm"), "mass x radius", {"mass": mass, "radius": radius}, "definition of unbalance")


def left_by_angle(weight: Quantity[float], turned: float) -> Workings[Quantity[float]]:
    """Unbalance left when a part or weight of unbalance `weight` goes back `turned` degrees out, in g·mm."""
    moment = _moment(weight)
    return Workings(
        of(2 * moment * abs(sin(radians(_turn(turned)) / 2)), "g.mm"),
        "2 x unbalance x sin(angle / 2)",
        {"unbalance": weight, "angle": of(turned, "deg")},
        _VECTORS,
    )


def left_by_holes(weight: Quantity[float], holes_out: int, holes: int) -> Workings[Quantity[float]]:
    """Unbalance left when a weight goes back some holes out of `holes` equally spaced ones, in g·mm."""
    turned = angle_out(holes_out, holes, "hole")
    left = left_by_angle(weight, value(turned.result, "deg"))
    formula = f"2 x unbalance x sin(angle / 2); angle = {turned.formula}"
    return Workings(left.result, formula, {**left.inputs, **turned.inputs}, _VECTORS)


def force(weight: Quantity[float], speed: Quantity[float]) -> Workings[Quantity[float]]:
    """The force of an unbalance at a shaft speed, in newtons. It turns with the shaft and grows with speed squared."""
    omega = 2 * pi * turns_per_second(speed)
    return Workings(
        of(_moment(weight) * 1e-6 * omega**2, "N"),
        "unbalance x (2 pi x speed / 60)^2, unbalance in kg.m = g.mm / 1 000 000",
        {"unbalance": weight, "speed": speed},
        "F = m r omega^2",
    )


def permissible(grade: float, mass: Quantity[float], speed: Quantity[float]) -> Workings[Quantity[float]]:
    """Unbalance that a grade allows a rotor of this mass at its highest speed, in g·mm; half for each of two planes."""
    if not grade > 0:
        raise ValueError(f"a balance grade of {plain(grade)} cannot be: shafts have G16, wheels G40")
    kilograms, omega = more_than_nothing("mass", mass, "kg"), 2 * pi * _turning(speed)
    return Workings(
        of(grade / omega * kilograms * 1000, "g.mm"),
        "9549 x grade x mass / speed (g·mm from mm/s, kg, rpm)",
        {"grade": of(grade, "mm/s"), "mass": mass, "speed": speed},
        _ISO,
        "of the whole rotor: half each for two planes near its ends",
    )


def grade_reached(weight: Quantity[float], mass: Quantity[float], speed: Quantity[float]) -> Workings[Quantity[float]]:
    """The balance grade that an unbalance means for a rotor of this mass at this speed, in mm/s."""
    omega = 2 * pi * _turning(speed)
    millimetres = _moment(weight) / (more_than_nothing("mass", mass, "kg") * 1000)
    return Workings(
        of(millimetres * omega, "mm/s"),
        "unbalance x speed / (9549 x mass) (mm/s from g·mm, rpm, kg)",
        {"unbalance": weight, "speed": speed, "mass": mass},
        _ISO,
    )


def grade_sentence(reached: Quantity[float]) -> str:
    """How a grade compares with those of the standard: "G21: worse than G16 (...), within G40 (...)"."""
    grade = value(reached, "mm/s")
    worse = [g for g in GRADES if g < grade]
    within = [g for g in GRADES if g >= grade]
    words = [f"worse than G{plain(worse[-1])} ({GRADES[worse[-1]]})"] if worse else []
    words += [f"within G{plain(within[0])} ({GRADES[within[0]]})"] if within else []
    return f"G{plain(float(f'{grade:.2g}'))}: {', '.join(words)}"


def at_radius(mass: Quantity[float], radius: Quantity[float], new_radius: Quantity[float]) -> Workings[Quantity[float]]:
    """The mass that does at `new_radius` what `mass` does at `radius`, in grams."""
    grams = unbalance(mass, radius).result / of(more_than_nothing("new radius", new_radius, "mm"), "mm")
    return Workings(
        of(value(grams, "g"), "g"),
        "mass x radius / new radius",
        {"mass": mass, "radius": radius, "new radius": new_radius},
        "equal unbalance: mass x radius stays",
    )


def split(
    mass: Quantity[float], wanted: float, first: float, second: float
) -> Workings[tuple[Quantity[float], Quantity[float]]]:
    """The two masses, in grams, that at angles `first` and `second` do what `mass` would do at angle `wanted`.

    All at one radius. Raises ValueError when the two places are in line or the wanted one is not between them.
    """
    grams = more_than_nothing("mass", mass, "g")
    between = _turn(second - first)
    if abs(sin(radians(between))) < 1e-6:
        raise ValueError(f"places {plain(abs(between))} deg apart cannot share a weight: take two nearer ones")
    parts = [grams * sin(radians(angle)) / sin(radians(between)) for angle in (second - wanted, wanted - first)]
    if min(parts) < -1e-9 * grams:
        raise ValueError(
            f"{plain(wanted)} deg is not between {plain(first)} and {plain(second)} deg: take the places beside it"
        )
    one, other = (of(max(part, 0.0), "g") for part in parts)
    return Workings(
        (one, other),
        "mass x sin(second - wanted) / sin(second - first), mass x sin(wanted - first) / sin(second - first)",
        {"mass": mass, "wanted": of(wanted, "deg"), "first": of(first, "deg"), "second": of(second, "deg")},
        _VECTORS,
    )


def _turn(angle: float) -> float:
    return (angle + 180) % 360 - 180


def _turning(speed: Quantity[float]) -> float:
    turns = turns_per_second(speed)
    if turns == 0:
        raise ValueError("a rotor that stands still has no balance grade: give its highest speed")
    return turns


def _moment(weight: Quantity[float]) -> float:
    moment = value(weight, "g.mm")
    if not moment >= 0:
        raise ValueError(f"an unbalance of {show(weight)} is below nothing: type it again")
    return moment
