"""Preload and torque of a bolt: guards against slips, never a vehicle maker's value."""

from __future__ import annotations

from math import pi, sqrt
from typing import TYPE_CHECKING

from reassembly.trade.grade import GRADES, Grade, read_grade
from reassembly.trade.quantity import of, plain, read, show, value
from reassembly.trade.thread import Thread, pitch_diameter, read_thread, stress_area
from reassembly.trade.units import UNITS
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from pint import Quantity

# Diameter across the bearing face and of the clearance hole, mm (ISO 4014, ISO 273 medium).
# M8 to M24 as in REFERENCES section 4a; M4 to M6 from memory.
BEARING = {
    "4": (5.9, 4.5), "5": (6.9, 5.5), "6": (8.9, 6.6), "8": (11.6, 9), "10": (14.6, 11), "12": (16.6, 13.5),
    "14": (19.6, 15.5), "16": (22.5, 17.5), "18": (25.3, 20), "20": (28.2, 22), "22": (31.7, 24), "24": (33.6, 26),
}  # fmt: skip
_MEAN_BEARING = 1.25  # of the diameter, where no table has it: mean of a face of 1.5 d and a hole of d (textbooks)

# Guide values of K in T = K d F by surface, a supplier's page; sources scatter.
NUT_FACTORS: dict[str, tuple[float, float]] = {
    "dry steel": (0.20, 0.25),
    "zinc, light oil": (0.18, 0.22),
    "oiled": (0.15, 0.18),
    "anti-seize": (0.12, 0.16),
    "wax or PTFE": (0.10, 0.14),
}

SLIPPERY, ROUGH = 0.08, 0.20  # the friction between which the torque window is drawn
YIELD_SHARE = 0.9  # VDI 2230: share of yield used when tightening
VDI = "VDI 2230"
_LOAD = "0.9 Rp As / sqrt(1 + 3 (1.5 (d2/d0) (P/(pi d2) + 1.155 mu))^2)"
AT_YIELD = f"FM (0.16 P + 0.58 d2 mu + mu DKm/2), FM = {_LOAD} for each mu"


def preload_at_yield(thread: Thread, grade: Grade, friction: float) -> Workings[Quantity[float]]:
    """The preload at which tension and twist together use 90 % of the yield strength, N.

    FM = 0.9 Rp As / sqrt(1 + 3 (1.5 (d2/d0) (P/(pi d2) + 1.155 mu))^2), d0 the diameter of the stress area.
    Source: VDI 2230. Raises ValueError for a friction outside 0 to 0.5, or where the grade has no such thread.
    """
    _check_friction(friction)
    area = stress_area(thread.diameter, thread.pitch, inch=thread.inch)
    strength = grade.stress(grade.strength(thread).yield_)
    p, d2 = value(thread.pitch, "mm"), value(pitch_diameter(thread.diameter, thread.pitch), "mm")
    d0 = sqrt(4 * value(area, "mm**2") / pi)
    twist = 1.5 * d2 / d0 * (p / (pi * d2) + 1.155 * friction)
    load = (YIELD_SHARE * strength * area).to("N") / sqrt(1 + 3 * twist**2)
    return Workings(
        load,
        _LOAD,
        {"Rp": strength, "As": area, "d2": of(d2, "mm"), "d0": of(d0, "mm"), "P": of(p, "mm"), "mu": friction},
        f"{VDI}; Rp of {grade.source}",
    )


def mean_bearing(thread: Thread) -> Quantity[float]:
    """The mean diameter on which head or nut rubs: (dw + dh)/2 of a hexagon, else 1.25 d."""
    if not thread.inch and (known := BEARING.get(str(thread.major))):
        return of(sum(known) / 2, "mm")
    wide: Quantity[float] = _MEAN_BEARING * thread.diameter
    return wide


def torque_for(
    preload: Quantity[float],
    thread: Thread,
    friction: float,
    *,
    under_head: float | None = None,
    bearing: Quantity[float] | None = None,
) -> Workings[Quantity[float]]:
    """The torque that gives a preload: MA = FM (0.16 P + 0.58 d2 muG + muK DKm/2), N.m. Source: VDI 2230.

    `friction` is of the thread and, unless `under_head` says otherwise, of the head; `bearing` the mean diameter DKm.
    """
    head = friction if under_head is None else under_head
    _check_friction(friction)
    _check_friction(head)
    across = mean_bearing(thread) if bearing is None else bearing
    p, d2 = thread.pitch.to("mm"), pitch_diameter(thread.diameter, thread.pitch).to("mm")
    torque = (preload * (0.16 * p + 0.58 * d2 * friction + head * across / 2)).to("N*m")
    return Workings(
        torque,
        "FM (0.16 P + 0.58 d2 muG + muK DKm/2)",
        {"FM": preload, "P": p, "d2": d2, "muG": friction, "muK": head, "DKm": across},
        VDI,
    )


def torque_at_yield(thread: Thread, grade: Grade, friction: float) -> Workings[Quantity[float]]:
    """The torque that uses 90 % of the yield strength of a hexagon bolt at one friction. Source: VDI 2230."""
    load = preload_at_yield(thread, grade, friction)
    found = torque_for(load.result, thread, friction)
    formula = f"{found.formula}, FM = {load.formula}"
    return Workings(found.result, formula, {**found.inputs, **load.inputs}, load.source)


def torque_window(thread: Thread, grade: Grade) -> tuple[Workings[Quantity[float]], Workings[Quantity[float]]]:
    """The torque at 90 % of yield with slippery (0.08) and with rough (0.20) threads: a guard, not a specification."""
    return torque_at_yield(thread, grade, SLIPPERY), torque_at_yield(thread, grade, ROUGH)


GUARD = "a guard against a wrong unit or class, not a specification: the value to tighten to comes from the maker"


def share_of_window(
    torque: Quantity[float], thread: Thread, grade: Grade
) -> Workings[tuple[Quantity[float], Quantity[float]]]:
    """A torque as a share of both ends of the window, the rough end first, in percent.

    Near 100 % the bolt is used as far as it is meant to be; several times that is a slip of unit or class."""
    low, high = torque_window(thread, grade)
    ends = {"at mu 0.20": high.result, "at mu 0.08": low.result}
    return Workings(
        tuple(of(100 * value(torque, "N.m") / value(end, "N.m"), "%") for end in ends.values()),  # type: ignore[arg-type]
        f"torque / torque that uses 90 % of yield at mu 0.20 and 0.08, which is {AT_YIELD}",
        {"torque": torque, **ends, **shared(low)},
        low.source,
        GUARD,
    )


def shared(end: Workings[Quantity[float]]) -> dict[str, object]:
    """What both ends of a window are computed from: the inputs that no friction is in."""
    return {name: end.inputs[name] for name in ("P", "d2", "DKm", "Rp", "As", "d0")}


def preload_from(
    torque: Quantity[float], thread: Thread, friction: float, *, under_head: float | None = None
) -> Workings[Quantity[float]]:
    """The preload a torque gives at one friction, N: the formula of `torque_for` the other way round."""
    per_newton = torque_for(of(1, "N"), thread, friction, under_head=under_head)
    inputs = {
        "MA": torque,
        **{name: each for name, each in per_newton.inputs.items() if name != "FM"},
    }
    load = (torque / per_newton.result * of(1, "N")).to("N")
    return Workings(load, "MA / (0.16 P + 0.58 d2 muG + muK DKm/2)", inputs, VDI)


def nut_factor(thread: Thread, friction: float) -> Workings[float]:
    """The K of T = K d F that a friction means for a thread: the long formula divided by d F."""
    long = torque_for(of(1, "N"), thread, friction)
    factor = value(long.result, "N.m") / value(thread.diameter, "m")
    inputs = {
        "d": thread.diameter,
        **{name: each for name, each in long.inputs.items() if name != "FM"},
    }
    return Workings(factor, "(0.16 P + 0.58 d2 muG + muK DKm/2) / d", inputs, VDI)


def short_torque(preload: Quantity[float], diameter: Quantity[float], factor: float) -> Workings[Quantity[float]]:
    """T = K d F, N.m. Source: NASA RP-1228."""
    _check_short(factor, diameter)
    inputs = {"K": factor, "d": diameter, "F": preload}
    return Workings((factor * diameter * preload).to("N*m"), "K d F", inputs, "NASA RP-1228, NASA-STD-5020")


def short_preload(torque: Quantity[float], diameter: Quantity[float], factor: float) -> Workings[Quantity[float]]:
    """F = T / (K d), N: the short form the other way round."""
    _check_short(factor, diameter)
    inputs = {"T": torque, "K": factor, "d": diameter}
    return Workings((torque / (factor * diameter)).to("N"), "T / (K d)", inputs, "NASA RP-1228, NASA-STD-5020")


def _check_friction(friction: float) -> None:
    if not 0 < friction <= 0.5:
        raise ValueError(f"a friction of {plain(friction)} is none that steel has: type one from 0.05 to 0.5")


def _check_short(factor: float, diameter: Quantity[float]) -> None:
    if not diameter.m > 0:
        raise ValueError(f"a bolt {show(diameter)} thick cannot be: type its diameter again")
    if not 0 < factor <= 1:
        raise ValueError(f"a nut factor of {plain(factor)} is none that a bolt has: type one from 0.1 to 0.4")


# A typed value is doubted above 1.15 of the window's upper end and below 0.3 of its lower: soft joints, gaskets and
# light alloy take far less than the bolt could (the shear-nut torques of AC 43.13-1B table 7-1 come down to 0.35).
_TOO_MUCH, _TOO_LITTLE = 1.15, 0.3
_COMMON, _COMMON_INCH = "8.8", "grade 5"  # assumed where no class is said: common practice, no source
_SELDOM_SEEN = {"5.6", "9.8"}  # not offered as the class that was meant


def doubt_about_torque(
    thread: str, grade: str, torque: str, default_unit: str | None = None, *, angle_follows: bool = False
) -> str | None:
    """One sentence when a typed torque does not fit its thread and class, naming the likely slip; else None.

    Tries the other units and the neighbouring classes. None also when a text cannot be read: then not enough is known.
    With `angle_follows` a low value is no doubt, because the angle does the work. For an empty `grade` a common one is
    assumed, which is said; then only too much is a doubt, as a weaker bolt takes less.
    """
    no_grade = not grade.strip()
    try:
        bolt, typed = read_thread(thread), read(torque, "torque", default_unit)
        strength = read_grade((_COMMON_INCH if bolt.inch else _COMMON) if no_grade else grade)
        low, high = _ends(bolt, strength)
    except ValueError:
        return None
    newton_metres = value(typed.quantity, "N.m")
    if newton_metres > _TOO_MUCH * high:
        times = newton_metres / high
        much = f"{times:.0f} times" if times >= 1.95 else f"{times:.1f} times"
    elif newton_metres < _TOO_LITTLE * low and not angle_follows and not no_grade:
        much = f"only {plain(float(f'{100 * newton_metres / low:.1g}'))} % of"
    else:
        return None
    article = "an" if bolt.designation.startswith("M") else "a"
    assumed = f", {strength.name} assumed as no class is said" if no_grade else ""
    called = bolt.designation if no_grade else f"{bolt.designation} {strength.name}"
    takes = f"{typed.shown} is {much} what {article} {called} usually takes{assumed}"
    slips = _other_unit(float(typed.number), typed.unit, low, high)
    if newton_metres > high or not slips:
        slips += _other_class(bolt, strength, newton_metres)
    return f"{takes}: {', or '.join(slips)}?" if slips else f"{takes}: look at unit, thread and class again"


def _ends(thread: Thread, grade: Grade) -> tuple[float, float]:
    low, high = torque_window(thread, grade)
    return value(low.result, "N.m"), value(high.result, "N.m")


def _fits(newton_metres: float, low: float, high: float) -> bool:
    return _TOO_LITTLE * low <= newton_metres <= _TOO_MUCH * high


def _other_unit(number: float, unit: str, low: float, high: float) -> list[str]:
    """The commonest unit in which the same number fits the bolt, as a question; one that fits well goes first."""
    worth = {each.symbol: value(of(number, each.symbol), "N.m") for each in UNITS["torque"] if each.symbol != unit}
    fitting = [symbol for symbol, torque in worth.items() if _fits(torque, low, high)]
    fitting.sort(key=lambda symbol: worth[symbol] < low / 2)
    return [f"is it {symbol}" for symbol in fitting[:1]]


def _other_class(thread: Thread, grade: Grade, newton_metres: float) -> list[str]:
    """The nearest class in which the torque fits this thread, as a question."""
    family = [
        each for each in GRADES.values() if each.inch == grade.inch and each.name not in _SELDOM_SEEN - {grade.name}
    ]
    here = family.index(grade)
    for other in sorted(family, key=lambda each: abs(family.index(each) - here))[1:]:
        if _fits(newton_metres, *_ends(thread, other)):
            return [f"is the bolt {other.name}"]
    return []
