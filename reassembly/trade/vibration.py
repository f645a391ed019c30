"""Vibration: from speeds to the frequency of every order, and back from a felt frequency to its likely causes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from reassembly.trade.quantity import of, plain, show
from reassembly.trade.rotation import engine_speed, rpm, shaft_speed, turns_per_second, wheel_speed
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from pint import Quantity

WHEEL, SHAFT, ENGINE = "wheel", "propeller shaft", "engine"

# What shakes at so many times a turn. Imbalance is the first order and a cardan joint the second (vibration theory
# page); the other rows are common practice, no source.
_CAUSES: dict[str, dict[float, str]] = {
    WHEEL: {
        1: "wheel or tyre out of balance or out of round, or a bent wheel, hub or axle flange",
        2: "tyre or wheel oval, or a cardan joint at wheel speed",
        3: "tripod joint of a side shaft, or a tyre with three high spots",
    },
    SHAFT: {
        1: "propeller shaft out of balance, bent or off centre, or run-out of a flange or the pinion",
        2: "cardan joint: working angle, stiff joint, or yokes out of phase",
    },
    ENGINE: {
        0.5: "one cylinder weak (four-stroke)",
        1: "crankshaft, flywheel or torque converter out of balance",
        2: "pistons of a four-cylinder engine",
    },
}
_FIRING = "firing: an engine mount, or the engine touching something"
GOOD, FAIR = 0.03, 0.08  # relative: tyres roll 2 to 4 % less than their size says, a counted frequency is coarser


@dataclass(frozen=True, slots=True)
class Order:
    """One frequency that something turning gives: `number` times a turn of `what`."""

    what: str
    number: float
    cause: str
    workings: Workings[Quantity[float]]

    @property
    def hertz(self) -> float:
        return turns_per_second(self.workings.result)

    @property
    def name(self) -> str:
        return f"{self.what} order {plain(self.number)}"


@dataclass(frozen=True, slots=True)
class Suspect:
    """An order compared with what was felt: `apart` is its distance, relative to what was felt, signed."""

    order: Order
    apart: float

    @property
    def fit(self) -> str:
        return "good" if abs(self.apart) <= GOOD else "fair" if abs(self.apart) <= FAIR else "poor"

    @property
    def sentence(self) -> str:
        """ "good fit: propeller shaft order 1 at 21.56 Hz, 2 % below: ..." """
        percent = plain(round(abs(self.apart) * 100, 1))
        where = "exactly" if percent == "0" else f"{percent} % {'above' if self.apart > 0 else 'below'}"
        return f"{self.fit} fit: {self.order.name} at {plain(self.order.hertz)} Hz, {where}: {self.order.cause}"


def speeds(
    road_speed: Quantity[float] | None = None,
    rollout: Quantity[float] | None = None,
    axle_ratio: float | None = None,
    gear_ratio: float | None = None,
    measured_engine: Quantity[float] | None = None,
) -> dict[str, Workings[Quantity[float]]]:
    """How fast wheel, propeller shaft and engine turn, in rpm, as far as it can be told from what is known.

    From road speed and roll-out forwards, or from the engine backwards through gear and axle. A measured engine speed
    counts before a reckoned one: a converter slips. Raises ValueError for a ratio or a roll-out that cannot be.
    """
    found: dict[str, Workings[Quantity[float]]] = {}
    if road_speed is not None and rollout is not None:
        found[WHEEL] = wheel_speed(road_speed, rollout)
        if axle_ratio is not None:
            found[SHAFT] = shaft_speed(found[WHEEL].result, axle_ratio)
            if gear_ratio is not None:
                found[ENGINE] = engine_speed(found[SHAFT].result, gear_ratio)
    elif measured_engine is not None and gear_ratio is not None:
        found[SHAFT] = _back("engine speed", measured_engine, "gear ratio", gear_ratio)
        if axle_ratio is not None:
            found[WHEEL] = _back("shaft speed", found[SHAFT].result, "axle ratio", axle_ratio)
    if measured_engine is not None:
        measured = rpm(turns_per_second(measured_engine))
        found[ENGINE] = Workings(measured, "as measured", {"engine speed": measured_engine}, "the rev counter")
    return found


def _back(name: str, speed: Quantity[float], ratio_name: str, ratio: float) -> Workings[Quantity[float]]:
    if not ratio > 0:
        raise ValueError(f"{ratio_name} {plain(ratio)} cannot be: type how many turns in make one turn out")
    inputs = {name: speed, ratio_name: ratio}
    return Workings(rpm(turns_per_second(speed) / ratio), f"{name} / {ratio_name}", inputs, "definition of a ratio")


def orders(turning: Mapping[str, Workings[Quantity[float]]], cylinders: int | None = None) -> list[Order]:
    """Every order worth a thought of what turns, slowest first. `cylinders` of a four-stroke engine adds its firing."""
    if cylinders is not None and not 1 <= cylinders <= 16:
        raise ValueError(f"{cylinders} cylinders: type from 1 to 16")
    found = []
    for what, speed in turning.items():
        causes = dict(_CAUSES[what])
        if what == ENGINE and cylinders:
            firing = cylinders / 2
            causes[firing] = "; ".join(filter(None, [_FIRING, causes.get(firing)]))
        for number, cause in causes.items():
            frequency = Workings(
                of(turns_per_second(speed.result) * number, "Hz"),
                f"order x {what} speed / 60",
                {"order": number, f"{what} speed": speed.result},
                "an order is a frequency in shakes a turn",
            )
            found.append(Order(what, number, cause, frequency))
    return sorted(found, key=lambda order: order.hertz)


def suspects(felt: Quantity[float], possible: Iterable[Order]) -> list[Suspect]:
    """The orders ranked by how well each fits what was felt (a frequency in Hz, or counted a minute), best first.

    Raises ValueError when nothing was felt.
    """
    hertz = turns_per_second(felt)
    if hertz == 0:
        raise ValueError(f"a vibration of {show(felt)} is none: measure or count it again")
    found = [Suspect(order, order.hertz / hertz - 1) for order in possible]
    return sorted(found, key=lambda suspect: abs(suspect.apart))


def not_told_apart(ranked: Sequence[Suspect]) -> str | None:
    """How to tell two causes apart that fit alike, in one sentence; None when the best stands alone."""
    if not ranked or ranked[0].fit == "poor":
        return None
    best = ranked[0].order
    near = {s.order.what for s in ranked if abs(s.order.hertz / best.hertz - 1) <= GOOD} | {best.what}
    if len(near) == 1:
        return None
    names = " and ".join(sorted(near))
    if ENGINE in near:
        return f"{names} fit alike: drive the same road speed in another gear; only the engine's frequency moves"
    return f"{names} fit alike: run it on a lift with the wheels off; what stays does not come from the wheels"
