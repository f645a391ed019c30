"""What turns how fast: tyre, wheel, propeller shaft, engine, and the ratio between two of them."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, Any

from reassembly.trade.quantity import of, plain, show, value
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from pint import Quantity

_CYCLES = ("hertz", "Hz", "cycle_per_minute", "cpm")


def turns_per_second(speed: Quantity[Any]) -> float:
    """A rotational speed (rpm, rad/s) or a frequency (Hz, cpm) as turns or cycles a second.

    Radian and turn have no dimension, so pint would take 1 Hz for 1 rad/s; a speed in rpm that is meant in Hz is
    wrong by 2 pi without a word. Raises DimensionalityError for anything but these, ValueError below nothing.
    """
    counts_cycles = any(name in f"{speed.units}".split() for name in _CYCLES)
    turns = value(speed, "Hz" if counts_cycles else "turn/s")
    if turns < 0:
        raise ValueError(f"a speed of {show(speed)} is below nothing: leave out the minus")
    return turns


def rpm(turns: float) -> Quantity[float]:
    """Turns a second as a quantity in rpm."""
    return of(turns * 60, "rpm")


@dataclass(frozen=True, slots=True)
class Tyre:
    """A tyre by its size code: section width and free diameter, new and unloaded."""

    code: str
    width: Quantity[float]
    diameter: Quantity[float]
    workings: Workings[Quantity[float]]

    @property
    def rollout(self) -> Workings[Quantity[float]]:
        """Distance of one turn, pi x diameter. On the ground it is 2 to 4 % less: a measured roll-out is better."""
        return Workings(
            of(pi * value(self.diameter, "m"), "m"),
            "pi x diameter",
            {"diameter": self.diameter},
            "geometry",
            "on the ground 2 to 4 % less (common practice, no source): measure the roll-out where it matters",
        )


_METRIC = re.compile(r"(?:P|LT|C|ST|T)?(\d{3})(?:/(\d{2,3}))?(?:Z?R|R|B|D|-)(\d{2}(?:\.5)?)(?:C|LT)?(?:[\s/].*|\d.*)?")
_FLOTATION = re.compile(r"(?:LT)?(\d{2}(?:\.\d{1,2})?)X(\d{1,2}(?:\.\d{1,2})?)(?:R|B|D|-)(\d{2}(?:\.5)?)(?:C|LT)?.*")
_FULL_PROFILE = 80  # percent, a code without aspect ratio such as 165R13: from memory, 80 to 82


def read_tyre(text: str) -> Tyre:
    """Read "235/60R18", "P235/60 R18 103H", "225/75R16C", "165R13" or "31x10.50R15". Raises ValueError for others.

    Source: ISO 4000-1, width in mm / height in percent of it, rim in inches.
    """
    typed = unicodedata.normalize("NFKC", text).upper().replace("×", "X").replace(",", ".").strip()
    tight = re.sub(r"\s*([/XR-])\s*", r"\1", typed)
    if metric := _METRIC.fullmatch(tight):
        width, rim = int(metric[1]), float(metric[3])
        aspect = int(metric[2] or _FULL_PROFILE)
        if 100 <= width <= 455 and 20 <= aspect <= 100 and 8 <= rim <= 30:
            diameter = of(rim * 25.4 + 2 * width * aspect / 100, "mm")
            inputs: dict[str, Any] = {"width": of(width, "mm"), "height": of(aspect, "%"), "rim": of(rim, "in")}
            formula = "rim + 2 x width x height"
            note = "" if metric[2] else f"no height in the code: {_FULL_PROFILE} % taken (from memory)"
            workings = Workings(diameter, formula, inputs, "ISO 4000-1, meaning of the size code", note)
            return Tyre(text.strip(), of(width, "mm"), diameter, workings)
    if flotation := _FLOTATION.fullmatch(tight):
        across, wide, rim = (float(flotation[n]) for n in (1, 2, 3))
        if 20 <= across <= 50 and rim < across:
            diameter = of(across * 25.4, "mm")
            workings = Workings(diameter, "the first number, in inches", {"code": text.strip()}, "meaning of the code")
            return Tyre(text.strip(), of(wide * 25.4, "mm"), diameter, workings)
    raise ValueError(f'"{text.strip()}" is not a tyre size: type it from the sidewall, as 235/60R18')


def wheel_speed(road_speed: Quantity[float], rollout: Quantity[float]) -> Workings[Quantity[float]]:
    """How fast a wheel turns, in rpm: road speed over the distance of one turn. Raises ValueError for no roll-out."""
    distance = more_than_nothing("roll-out", rollout, "m")
    metres = value(road_speed, "m/s")
    if metres < 0:
        raise ValueError(f"a road speed of {show(road_speed)} is below nothing: leave out the minus")
    return Workings(
        rpm(metres / distance),
        "road speed / roll-out, in m/s and m, x 60",
        {"road speed": road_speed, "roll-out": rollout},
        "definition: wheel Hz = v / (2 pi r)",
    )


def shaft_speed(wheel: Quantity[float], axle_ratio: float) -> Workings[Quantity[float]]:
    """How fast the propeller shaft turns, in rpm: wheel speed times axle ratio, driving straight on."""
    return _geared("wheel speed x axle ratio", "wheel speed", wheel, "axle ratio", axle_ratio)


def engine_speed(shaft: Quantity[float], gear_ratio: float) -> Workings[Quantity[float]]:
    """How fast the engine turns, in rpm: shaft speed times gear ratio, converter clutch closed."""
    return _geared("shaft speed x gear ratio", "shaft speed", shaft, "gear ratio", gear_ratio)


def _geared(
    formula: str, name: str, speed: Quantity[float], ratio_name: str, ratio: float
) -> Workings[Quantity[float]]:
    if not ratio > 0:
        raise ValueError(f"{ratio_name} {plain(ratio)} cannot be: type how many turns in make one turn out")
    return Workings(
        rpm(turns_per_second(speed) * ratio), formula, {name: speed, ratio_name: ratio}, "definition of a ratio"
    )


def gear_ratio(input_speed: Quantity[float], output_speed: Quantity[float]) -> Workings[float]:
    """Turns in for one turn out. Raises ValueError when the output stands still."""
    going_out = turns_per_second(output_speed)
    if going_out == 0:
        raise ValueError("the output stands still: no ratio can be told")
    return Workings(
        turns_per_second(input_speed) / going_out,
        "input speed / output speed",
        {"input speed": input_speed, "output speed": output_speed},
        "definition of a ratio",
    )


def slip(input_speed: Quantity[float], output_speed: Quantity[float], ratio: float) -> Workings[Quantity[float]]:
    """What a clutch or the converter slips, in rpm at the input: above 0 driving, below 0 on the overrun."""
    if not ratio > 0:
        raise ValueError(f"gear ratio {plain(ratio)} cannot be: type how many turns in make one turn out")
    return Workings(
        rpm(turns_per_second(input_speed) - turns_per_second(output_speed) * ratio),
        "input speed - output speed x gear ratio",
        {"input speed": input_speed, "output speed": output_speed, "gear ratio": ratio},
        "definition of slip",
    )


def slip_share(input_speed: Quantity[float], output_speed: Quantity[float], ratio: float) -> Workings[Quantity[float]]:
    """Slip as a share of the input speed, in percent. Raises ValueError when the input stands still."""
    slipped = slip(input_speed, output_speed, ratio)
    going_in = turns_per_second(input_speed)
    if going_in == 0:
        raise ValueError("the input stands still: no share can be told")
    return Workings(
        of(100 * value(slipped.result, "turn/s") / going_in, "%"),
        "(input speed - output speed x gear ratio) / input speed",
        slipped.inputs,
        slipped.source,
    )


def planetary_ratio(sun_teeth: int, ring_teeth: int) -> Workings[float]:
    """Ratio of a simple planetary set with the sun driving, the carrier driven and the ring held: 1 + ring / sun."""
    if not 0 < sun_teeth < ring_teeth:
        raise ValueError(f"a sun of {sun_teeth} teeth in a ring of {ring_teeth} cannot be: the ring has more")
    return Workings(
        1 + ring_teeth / sun_teeth,
        "1 + ring teeth / sun teeth",
        {"ring teeth": ring_teeth, "sun teeth": sun_teeth},
        "planetary gear equation, as in a maker's bulletin",
    )


def more_than_nothing(name: str, quantity: Quantity[float], unit: str) -> float:
    """The plain number of a quantity in a unit. Raises ValueError, in words, unless it is above 0."""
    number = value(quantity, unit)
    if not number > 0:
        raise ValueError(f"a {name} of {show(quantity)} cannot be: type the {name} again")
    return number
