"""Teeth of a spline, holes of a flange: places equally spaced round a circle, and what a refit some places out means.

Places are counted 1 to n clockwise, seen from the side that was noted. Angles are degrees.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from reassembly.trade.quantity import of, plain
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from pint import Quantity

MOST = 400  # places: beyond any spline or flange
_NOUNS = {"tooth": "tooth", "teeth": "tooth", "spline": "tooth", "hole": "hole", "bolt": "hole"}
PHASE_LIMIT = 1.0  # degrees between the yokes of one shaft: army manual, as quoted in the check values


@dataclass(frozen=True, slots=True)
class Place:
    """Place `number` of `count` ("tooth 3 of 16"). Raises ValueError, in words, for a place that is not there."""

    number: int
    count: int
    noun: str = "tooth"

    def __post_init__(self) -> None:
        _counted(self.count, self.noun)
        if not 1 <= self.number <= self.count:
            raise ValueError(f"there is no {self.noun} {self.number} of {self.count}: count from 1 to {self.count}")

    def __str__(self) -> str:
        return f"{self.noun} {self.number} of {self.count}"


def read_place(text: str, noun: str = "tooth", count: int | None = None) -> Place:
    """Read "3 of 16", "3/16", "tooth 3 of 16", "hole 2" (then `count` says of how many); `noun` where none is typed.

    Raises ValueError, in words, when it is not a place or says another count.
    """
    match = re.fullmatch(
        r"(?:(tooth|teeth|hole|bolt|spline)\s*)?(?:no\.?\s*)?(\d{1,3})(?:\s*(?:of|/)\s*(\d{1,3}))?",
        text.strip(),
        re.ASCII | re.IGNORECASE,
    )
    if match is None:
        raise ValueError(f'"{text.strip()}" is not a place: type it as {noun} 3 of 16')
    typed = int(match[3]) if match[3] else count
    if typed is None:
        raise ValueError(f'"{text.strip()}" of how many? Count them and type {noun} {match[2]} of the count')
    if count is not None and typed != count:
        raise ValueError(f"{count} were counted at strip-down, here {typed}: count again")
    return Place(int(match[2]), typed, _NOUNS.get((match[1] or "").lower(), noun))


def degrees_apart(count: int, noun: str = "tooth") -> Workings[Quantity[float]]:
    """The angle from one place to the next, 360/n degrees. Raises ValueError for fewer than two places."""
    _counted(count, noun)
    return Workings(of(360 / count, "deg"), f"360 deg / {_plural(noun)}", {_plural(noun): count}, "geometry")


def place_angle(place: Place) -> Workings[Quantity[float]]:
    """The angle of a place from place 1, clockwise seen from the side noted."""
    return Workings(
        of((place.number - 1) * 360 / place.count, "deg"),
        f"({place.noun} - 1) x 360 deg / {_plural(place.noun)}",
        {place.noun: place.number, _plural(place.noun): place.count},
        "geometry",
    )


def places_out(noted: Place, found: Place) -> int:
    """How many places out, the short way round: clockwise above 0, anticlockwise below; half a turn counts clockwise.

    Raises ValueError when the two were not counted round the same circle.
    """
    if (noted.count, noted.noun) != (found.count, found.noun):
        raise ValueError(f"{noted} and {found} are not on one circle: count again")
    out = (found.number - noted.number) % noted.count
    return out - noted.count if out > noted.count / 2 else out


def angle_out(places: int, count: int, noun: str = "tooth") -> Workings[Quantity[float]]:
    """The angle that a refit `places` out has turned the part, -180 to 180 degrees, clockwise above 0.

    The same whichever of the two parts was turned. Raises ValueError for fewer than two places, and for more places
    out than there are.
    """
    _counted(count, noun)
    if abs(places) > count:
        raise ValueError(f"{abs(places)} {_plural(noun)} out on a circle of {count} cannot be: count again")
    turned = places % count
    turned -= count if turned > count / 2 else 0
    return Workings(
        of(turned * 360 / count, "deg"),
        f"{_plural(noun)} out x 360 deg / {_plural(noun)}, the short way round",
        {f"{_plural(noun)} out": places, _plural(noun): count},
        "geometry",
    )


def phase_out(degrees: float) -> Workings[Quantity[float]]:
    """How far the yokes of one shaft are out of phase, -90 to 90 degrees: half a turn apart is in phase again."""
    out = (degrees + 90) % 180 - 90
    return Workings(
        of(90.0 if out == -90 else out, "deg"),
        "angle between the yokes, less 180 deg where that is nearer to 0",
        {"angle between the yokes": of(degrees, "deg")},
        "geometry: a cardan joint repeats every half turn",
    )


def yokes_out(teeth_out: int, teeth: int) -> Workings[Quantity[float]]:
    """How far a slip joint refitted some teeth out puts the yokes of its shaft out of phase, -90 to 90 degrees."""
    turned = angle_out(teeth_out, teeth)
    phase = phase_out(turned.result.m_as("degree"))
    return Workings(
        phase.result,
        f"{turned.formula}; less 180 deg where that is nearer to 0",
        turned.inputs,
        phase.source,
    )


def tooth_doubt(noted: Place, found: Place) -> str | None:
    """What being some teeth or holes out means, in one sentence; None when it is the same place."""
    out = places_out(noted, found)
    if out == 0:
        return None
    degrees = abs(out) * 360 / noted.count
    many = f"{abs(out)} {noted.noun if abs(out) == 1 else _plural(noted.noun)}"
    way = "half a turn" if 2 * abs(out) == noted.count else "clockwise" if out > 0 else "anticlockwise"
    return f"noted {noted}, found {noted.noun} {found.number}: {many} out, {plain(degrees)} deg {way}"


def phase_sentence(degrees: float) -> str:
    """Whether yokes standing `degrees` to each other are in phase, for the person at the shaft."""
    out = abs(phase_out(degrees).result.m_as("degree"))
    if out <= PHASE_LIMIT:
        turned = abs((degrees + 180) % 360 - 180)
        half = "; one end is half a turn from where it was, so the balance is not" if turned > 90 else ""
        return f"yokes in phase within {plain(PHASE_LIMIT)} deg{half}"
    return f"yokes {plain(out)} deg out of phase: the shaft turns unevenly twice a turn and shakes with load"


def _counted(count: int, noun: str) -> None:
    if not 2 <= count <= MOST:
        raise ValueError(f"{count} {_plural(noun)} make no circle to count round: from 2 to {MOST}")


def _plural(noun: str) -> str:
    return {"tooth": "teeth"}.get(noun, f"{noun}s")
