"""Cardan joints of a propeller shaft: uneven speed, phase, what is left of it, and the critical speed of the tube.

Angles are plain degrees. A joint's angle is the working angle between its two shafts, 0 to under 90.
"""

from __future__ import annotations

from cmath import exp
from dataclasses import dataclass
from itertools import pairwise
from math import acos, atan, atan2, cos, degrees, isfinite, pi, radians, sin, sqrt, tan
from typing import TYPE_CHECKING, Any

from reassembly.trade.quantity import of, plain, show, value
from reassembly.trade.rotation import rpm, turns_per_second
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pint import Quantity

_HANDBOOK = "cardan joint, mechanical engineer's data handbook 2.4.3"

# Rules of thumb, degrees, each with where it was found. The vehicle maker's own limits come first.
WORKING_LIMIT = 6.0  # largest working angle: engineering page after SAE AE-7
DIFFERENCE_LIMIT = 1.5  # between the joints of one shaft: the same page
RESIDUAL_LIMIT = 3.0  # residual angle of a whole driveline: a shaft maker


def speed_ratio(angle: float, turned: float) -> Workings[float]:
    """Speed of the driven shaft over that of the driving one, its yoke `turned` degrees from the plane of the joint."""
    b, t = _joint(angle), radians(turned)
    return Workings(
        cos(b) / (cos(b) ** 2 + (sin(b) * sin(t)) ** 2),  # the formula with 1 - cos^2 t = sin^2 t: never 0 / 0
        "cos b / (1 - sin^2 b x cos^2 t)",
        {"b": of(angle, "deg"), "t": of(turned, "deg")},
        _HANDBOOK,
    )


def speed_band(speed: Quantity[float], angle: float) -> Workings[tuple[Quantity[float], Quantity[float]]]:
    """Highest and lowest speed of the driven shaft in one turn, in rpm; twice a turn each."""
    b, turns = _joint(angle), turns_per_second(speed)
    return Workings(
        (rpm(turns / cos(b)), rpm(turns * cos(b))),
        "speed / cos b, speed x cos b",
        {"speed": speed, "b": of(angle, "deg")},
        _HANDBOOK,
    )


def unevenness(angle: float) -> Workings[float]:
    """Highest less lowest speed of the driven shaft, as a share of the driving one."""
    b = _joint(angle)
    return Workings(tan(b) * sin(b), "tan b x sin b", {"b": of(angle, "deg")}, "1/cos b - cos b; a shaft maker")


def angle_for_fluctuation(speed: Quantity[float], fluctuation: Quantity[float]) -> Workings[Quantity[float]]:
    """The joint angle at which highest and lowest speed differ by `fluctuation`, in degrees."""
    turns, apart = turns_per_second(speed), turns_per_second(fluctuation)
    if turns == 0:
        raise ValueError("a shaft that stands still does not fluctuate: give its speed")
    share = apart / turns
    return Workings(
        of(degrees(acos((sqrt(share**2 + 4) - share) / 2)), "deg"),
        "arc cos((sqrt(u^2 + 4) - u) / 2), u = fluctuation / speed",
        {"speed": speed, "fluctuation": fluctuation},
        "1/cos b - cos b = u solved for b",
    )


def equal_speed_angle(angle: float) -> Workings[Quantity[float]]:
    """How far from the plane of the joint its yoke stands when both shafts turn equally fast, in degrees."""
    b = _joint(angle)
    return Workings(of(degrees(atan(sqrt(cos(b)))), "deg"), "arc tan sqrt(cos b)", {"b": of(angle, "deg")}, _HANDBOOK)


def working_angle(first: tuple[float, float], second: tuple[float, float] = (0.0, 0.0)) -> Workings[Quantity[float]]:
    """The true angle of a joint between two shafts, each as (side view, plan view) in degrees, signs kept.

    With the second left out: the compound angle of one shaft to the straight line. In one view alone: the difference.
    """
    one, other = (_direction(side, plan) for side, plan in (first, second))
    across = sqrt(sum((one[i - 2] * other[i - 1] - one[i - 1] * other[i - 2]) ** 2 for i in range(3)))
    along = sum(a * b for a, b in zip(one, other, strict=True))
    return Workings(
        of(degrees(atan2(across, along)), "deg"),
        "angle between the directions (1, tan plan, tan side); about sqrt(side^2 + plan^2) of the differences",
        {
            "first, side view": of(first[0], "deg"),
            "first, plan view": of(first[1], "deg"),
            "second, side view": of(second[0], "deg"),
            "second, plan view": of(second[1], "deg"),
        },
        "geometry",
    )


def _direction(side: float, plan: float) -> tuple[float, float, float]:
    for angle in (side, plan):
        if not abs(angle) < 90:
            raise ValueError(f"a shaft at {plain(angle)} deg in a view does not run lengthwise: type an angle under 90")
    return 1.0, tan(radians(plan)), tan(radians(side))


def bend_plane(side: float, plan: float) -> Workings[Quantity[float]]:
    """How far the plane of a joint is turned about the shaft, from upright towards plan view, -180 to 180 degrees.

    `side` and `plan` are the changes of direction at the joint, in degrees, signs kept.
    """
    _, across, up = _direction(side, plan)
    if across == up == 0:
        raise ValueError("a straight joint has no plane")
    return Workings(
        of(degrees(atan2(across, up)), "deg"),
        "arc tan(tan plan / tan side)",
        {"side": of(side, "deg"), "plan": of(plan, "deg")},
        "geometry",
    )


def residual_angle(
    angles: Sequence[float], out_of_phase: Sequence[float] = (), planes: Sequence[float] = ()
) -> Workings[Quantity[float]]:
    """The angle of the one joint that would turn as unevenly as all of them in a row, in degrees.

    `out_of_phase`: for each shaft between two joints how far its yokes are out of phase, 0 when its yokes lie in one
    plane. `planes`: how far each joint's plane is turned about the line, as from `bend_plane`. Both default to 0.
    In phase and in one plane it is sqrt|b1² - b2² + b3²|. Raises ValueError when the counts do not belong together.
    """
    if not angles:
        raise ValueError("no joint was given: type the working angle of each")
    phases = list(out_of_phase) or [0.0] * (len(angles) - 1)
    turned = list(planes) or [0.0] * len(angles)
    if len(phases) != len(angles) - 1 or len(turned) != len(angles):
        raise ValueError(f"{len(angles)} joints have {len(angles) - 1} shafts between them and {len(angles)} planes")
    yoke, vectors = 0.0, []  # length b², direction twice the yoke's angle from its joint's plane
    for angle, plane, phase in zip(angles, turned, [*phases, 0.0], strict=True):
        vectors.append((_joint(angle) ** 2, 2 * (yoke - plane) % 360))
        yoke += 90 + phase  # the two yokes of one cross stand square to each other
    total = sum(length * exp(1j * radians(direction)) for length, direction in vectors)
    inputs: dict[str, Any] = {f"b{n}": of(angle, "deg") for n, angle in enumerate(angles, 1)}
    formula = "sqrt|b1^2" + "".join(f" {'+-'[n % 2]} b{n + 1}^2" for n in range(1, len(angles))) + "|"
    if any(phases) or any(turned):
        inputs |= {f"v{n}": of(direction, "deg") for n, (_, direction) in enumerate(vectors, 1)}
        formula = "sqrt|sum of b^2 at v|, as vectors; v = 2 x (angle of the joint's yoke - its plane)"
    return Workings(
        of(degrees(sqrt(abs(total))), "deg"),
        formula,
        inputs,
        "a shaft maker: joints with the same fork position get the same sign",
    )


def joint_acceleration(speed: Quantity[float], residual: float) -> Workings[Quantity[float]]:
    """Greatest angular acceleration behind a joint (or a residual angle), in rad/s²; good for small angles."""
    omega = 2 * pi * turns_per_second(speed)
    return Workings(
        of(omega**2 * _joint(residual) ** 2, "rad/s**2"),
        "(2 pi x speed / 60)^2 x b^2, b in radians",
        {"speed": speed, "b": of(residual, "deg")},
        "small-angle form of the cardan equation; reproduces the chart after SAE AE-7",
    )


def largest_second_joint(
    speed: Quantity[float], first: float, acceleration: Quantity[float]
) -> Workings[Quantity[float]]:
    """The largest angle of the second of two joints in phase that keeps within an acceleration, in degrees."""
    turns = turns_per_second(speed)
    if turns == 0:
        raise ValueError("a shaft that stands still has no limit: give its speed")
    if value(acceleration, "rad/s**2") < 0:
        raise ValueError(f"an acceleration of {show(acceleration)} is below nothing: leave out the minus")
    own = value(acceleration, "rad/s**2") / (2 * pi * turns) ** 2
    return Workings(
        of(degrees(sqrt(own + _joint(first) ** 2)), "deg"),
        "sqrt(acceleration / (2 pi x speed / 60)^2 + b1^2), b1 in radians",
        {"acceleration": acceleration, "speed": speed, "b1": of(first, "deg")},
        "residual angle of two joints in phase, solved for the second",
    )


def joint_doubts(angles: Sequence[float], residual: float) -> list[str]:
    """What a second look should settle, in sentences: rules of thumb, not the vehicle maker's limits."""
    doubts = [
        f"joint {n} works at {plain(angle)} deg, common rule {plain(WORKING_LIMIT)} deg"
        for n, angle in enumerate(angles, 1)
        if angle > WORKING_LIMIT
    ]
    doubts += [
        f"joints {n} and {n + 1} differ by {plain(abs(one - other))} deg, common rule {plain(DIFFERENCE_LIMIT)} deg"
        for n, (one, other) in enumerate(pairwise(angles), 1)
        if abs(one - other) > DIFFERENCE_LIMIT
    ]
    if residual > RESIDUAL_LIMIT:
        doubts.append(f"residual angle {plain(residual)} deg, over the {plain(RESIDUAL_LIMIT)} deg of a shaft maker")
    return doubts


@dataclass(frozen=True, slots=True)
class Material:
    """Stiffness (GPa) and density (kg/m³) of a shaft tube."""

    name: str
    modulus: float
    density: float


STEEL = Material("steel", 207, 7830)  # as in the check values
ALUMINIUM = Material("aluminium", 70, 2700)  # from memory
MARGIN = 0.7  # highest speed over critical speed, from memory: 0.7 to 0.75


def critical_speed(
    length: Quantity[float], outer: Quantity[float], inner: Quantity[float], material: Material = STEEL
) -> Workings[Quantity[float]]:
    """Speed at which a tube between simple supports bends and whips, in rpm. `inner` 0 for a solid bar.

    Stay below 0.7 of it. Raises ValueError when the tube has no wall, no length, or is shorter than wide.
    """
    metres, out, bore = value(length, "m"), value(outer, "m"), value(inner, "m")
    if not metres > 0:
        raise ValueError(f"a tube {show(length)} long cannot be: type the length again")
    if not material.modulus > 0 or not material.density > 0:
        raise ValueError("a material without stiffness or weight cannot be: type modulus in GPa, density in kg/m3")
    if metres <= out:
        raise ValueError(f"a tube {show(length)} long and {show(outer)} across is no shaft: is the unit right?")
    if not 0 <= bore < out:
        raise ValueError(f"a tube of {show(outer)} outside and {show(inner)} inside has no wall: type both again")
    stiffness = material.modulus * 1e9 * (out**2 + bore**2) / 16  # E I / A of a tube
    return Workings(
        rpm(pi / 2 / metres**2 * sqrt(stiffness / material.density)),
        "(30/pi) (pi/length)^2 sqrt(E (outer^2 + inner^2) / (16 density))",
        {
            "length": length,
            "outer": outer,
            "inner": inner,
            "E": of(material.modulus, "GPa"),
            "density": of(material.density, "kg/m**3"),
        },
        "first bending of a uniform beam on simple supports",
        f"{material.name}; real joints give less: stay below {plain(MARGIN)} of it (from memory)",
    )


def _joint(angle: float) -> float:
    """A joint angle in radians. Raises ValueError unless 0 <= angle < 90."""
    if not (isfinite(angle) and 0 <= angle < 90):
        raise ValueError(f"a joint at {plain(angle) if isfinite(angle) else angle} deg cannot turn: from 0 to under 90")
    return radians(angle)
