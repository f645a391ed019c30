"""Balancing by trial: the correction from runs with a trial weight, with a phase reading or without, and by two clamps.

Amplitudes are plain numbers in one unit, whatever the meter shows. Angles are degrees round the shaft, all counted in
the same direction: against rotation where the meter gives phase lag.
"""

from __future__ import annotations

from cmath import phase, rect
from math import acos, cos, degrees, hypot, isfinite, pi, radians, sin
from typing import TYPE_CHECKING, Any, TypeAlias

from reassembly.trade.quantity import of, plain, show, value
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pint import Quantity

    Weight: TypeAlias = tuple[Quantity[float], Quantity[float]]  # grams, degrees

_CLOSES = 0.02  # relative: nearer than this the two ways to reckon four runs say the same
_ENOUGH = 0.30, 30.0  # a trial should change amplitude by 30 % or phase by 30 deg (a meter maker's rule of thumb)


def correction_with_phase(
    original: tuple[float, float], with_trial: tuple[float, float], trial: Quantity[float], trial_at: float
) -> Workings[Weight]:
    """The weight that takes out the vibration, from one trial run; each run is (amplitude, phase in degrees).

    The trial weight comes off again and the correction goes on at the same radius. Raises ValueError when an amplitude
    is not above nothing or the trial changed nothing.
    """
    grams = _above("trial weight", trial)
    before, after = (rect(_amplitude(size), radians(angle)) for size, angle in (original, with_trial))
    effect = after - before
    if abs(effect) < 1e-6 * abs(before):
        raise ValueError("the trial weight changed nothing: take a heavier one, or it is not the balance")
    correction = -before * rect(grams, radians(trial_at)) / effect
    return Workings(
        _weight(correction),
        "trial x (0 - original) / (with trial - original), all as vectors",
        {
            "original": f"{plain(original[0])} at {plain(original[1])} deg",
            "with trial": f"{plain(with_trial[0])} at {plain(with_trial[1])} deg",
            "trial": f"{show(trial)} at {plain(trial_at)} deg",
        },
        "vector method in one plane",
        _too_little(original, with_trial) or "trial weight off, correction on at the same radius",
    )


def _too_little(original: tuple[float, float], with_trial: tuple[float, float]) -> str:
    size, turn = _ENOUGH
    changed = abs(with_trial[0] / original[0] - 1)
    turned = abs((with_trial[1] - original[1] + 180) % 360 - 180)
    if changed >= size or turned >= turn:
        return ""
    return f"the trial changed less than {plain(size * 100)} % and {plain(turn)} deg: a heavier one tells more"


def correction_without_phase(
    original: float, trials: Sequence[tuple[float, float]], trial: Quantity[float]
) -> Workings[Weight]:
    """The weight that takes out the vibration, from four runs without a phase reading.

    `trials` are three (amplitude, place of the trial weight in degrees), usually 120 apart. Three circles, each about
    a trial's place at the distance of the original amplitude, with the trial's amplitude as radius, meet in a point:
    its direction is the correction's, its distance the effect of the trial weight. Where readings do not quite fit,
    the point of equal power of the three circles is taken. Raises ValueError for other than three places apart.
    """
    grams, at_first = _above("trial weight", trial), _amplitude(original)
    if len(trials) != 3:
        raise ValueError(f"the four-run method takes three trial runs, not {len(trials)}")
    # R_i^2 - R_0^2 = mean - across cos a_i - along sin a_i, three equations in three unknowns
    mean, across, along = _solve([(1.0, -cos(radians(a)), -sin(radians(a)), _power(r, at_first)) for r, a in trials])
    effect = hypot(across, along) / (2 * at_first)
    if effect < 1e-6 * at_first:
        raise ValueError("the trial weight changed nothing: take a heavier one, or it is not the balance")
    other = mean**0.5 if mean > 0 else 0.0
    place = phase(complex(across, along))
    inputs: dict[str, Any] = {"original": at_first, "trial": trial}
    inputs |= {f"run {n}": f"{plain(float(r))} with the trial at {plain(a)} deg" for n, (r, a) in enumerate(trials, 1)}
    note = f"distance {plain(effect)}; trial weight off, correction on at the same radius"
    if abs(other / effect - 1) > _CLOSES:
        second = f"{plain(grams * at_first / other)} g" if other else "no weight at all"
        note += f"; the circles do not meet in one point: by the mean of the squares it would be {second}, so try again"
    return Workings(
        _weight(rect(grams * at_first / effect, place)),
        "trial x original / distance of the point where the three circles meet",
        inputs,
        "four-run method, three circles on the circle of the original amplitude",
        note,
    )


def _power(amplitude: float, original: float) -> float:
    return _amplitude(amplitude) ** 2 - original**2


def _solve(rows: Sequence[tuple[float, float, float, float]]) -> tuple[float, float, float]:
    """Three equations a x + b y + c z = d, by determinants."""

    def determinant(columns: tuple[int, int, int]) -> float:
        (a, b, c), (d, e, f), (g, h, i) = ([row[n] for n in columns] for row in rows)
        return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)

    whole = determinant((0, 1, 2))
    if abs(whole) < 1e-3:
        raise ValueError("the three places of the trial weight are too near each other: take them 120 deg apart")
    return determinant((3, 1, 2)) / whole, determinant((0, 3, 2)) / whole, determinant((0, 1, 3)) / whole


def clamps_together(head: Quantity[float], apart: float) -> Workings[Quantity[float]]:
    """What two equal clamps do whose screw heads stand `apart` degrees from each other, in grams, midway."""
    return Workings(
        of(2 * _above("clamp head", head) * abs(cos(radians(apart) / 2)), "g"),
        "2 x head x cos(apart / 2)",
        {"head": head, "apart": of(apart, "deg")},
        "vector algebra; two-clamp method of propeller shaft workshops",
    )


def clamps_apart(wanted: Quantity[float], head: Quantity[float]) -> Workings[Quantity[float]]:
    """How far apart, 0 to 180 degrees, two equal clamp heads stand to do what `wanted` would do midway between them.

    Raises ValueError when both heads together are too light.
    """
    grams, each = value(wanted, "g"), _above("clamp head", head)
    if not 0 <= grams <= 2 * each:
        raise ValueError(f"two clamp heads give nothing to {show(of(2 * each, 'g'))}, not {show(wanted)}")
    return Workings(
        of(degrees(2 * acos(grams / (2 * each))), "deg"),
        "2 x arc cos(wanted / (2 x head))",
        {"wanted": wanted, "head": head},
        "vector algebra; two-clamp method of propeller shaft workshops",
        "each head half of it either side of the light place",
    )


def _weight(vector: complex) -> Weight:
    return of(abs(vector), "g"), of(degrees(phase(vector) % (2 * pi)), "deg")


def _amplitude(number: float) -> float:
    if not (isfinite(number) and number > 0):
        raise ValueError(f"an amplitude of {number} tells nothing: measure the run again")
    return float(number)


def _above(name: str, quantity: Quantity[float]) -> float:
    number = value(quantity, "g")
    if not number > 0:
        raise ValueError(f"a {name} of {show(quantity)} cannot be: weigh it again")
    return number
