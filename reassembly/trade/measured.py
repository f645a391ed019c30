"""A line from a measuring tool that types or sits on a serial line: what it says, and whether it is within limits.

Most digital torque tools and callipers send a sign, a number, perhaps a unit, and Enter (from memory, not checked).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from reassembly.trade.quantity import LONGEST, plain, read, value
from reassembly.trade.wrench import DEVIATION, DEVIATION_SMALL, SMALL

if TYPE_CHECKING:
    from reassembly.trade.quantity import Reading
    from reassembly.trade.units import Dimension

ANGLE_EITHER_WAY = 5.0  # degrees: common practice, no source
_ROUNDING = 1e-9

_LINE = re.compile(
    r"(?:(?P<label>[A-Z][A-Z0-9_-]{0,15})(?:\s*[:=]\s*|\s+))?"
    r"(?P<number>[+-]?(?:\d[\d.,]*|[.,]\d+)(?:E[+-]?\d+)?)"
    r"(?:\s*(?P<unit>(?!(?:OK|NG)\b)[^\s\d+-]\S*(?:\s(?!(?:OK|NG)\b)[^\s\d]+)?))?"
    r"(?:\s*\b(?P<verdict>OK|NG))?",
    re.ASCII | re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Measured:
    """What a tool sent. `label` is whatever it puts before the number, `verdict` its own OK or NG: shown to the person,
    and never in the place of the limits here."""

    reading: Reading
    label: str = ""
    verdict: str = ""


@dataclass(frozen=True, slots=True)
class Limits:
    """Both ends, in the unit asked, and what they are taken from."""

    low: float
    high: float
    unit: str
    source: str

    def outside(self, reading: Reading) -> str:
        """Why a reading is out of limits, in one sentence; empty when it is within."""
        got = value(reading.quantity, self.unit)
        room = _ROUNDING * max(abs(self.low), abs(self.high))
        if self.low - room <= got <= self.high + room:
            return ""
        side = "below" if got < self.low else "above"
        return f"{reading.shown} is {side} {plain(self.low)} to {plain(self.high)} {self.unit} ({self.source})"


def looks_measured(line: str) -> bool:
    """Whether a line is built like one from a measuring tool, whatever its unit."""
    return _match(line) is not None


def read_measured(line: str, dimension: Dimension, default_unit: str | None = None) -> Measured:
    """Understand "45.2 N.m", "+45,2", "TQ 45.2 Nm OK", "12.34mm NG". A bare number takes `default_unit`.

    Raises ValueError with one sentence for anything else: no number, an exponent, thousands signs, another unit, digits
    of other scripts, control characters, more than 64 characters.
    """
    found = _match(line)
    if found is None:
        seen = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in line[:LONGEST])
        raise ValueError(f"{seen}: not a measured value: a number and a unit, for example 45.2 N.m")
    number, unit = found["number"], found["unit"] or ""
    reading = read(f"{number} {unit}".strip(), dimension, default_unit)
    return Measured(reading, found["label"] or "", (found["verdict"] or "").upper())


def _match(line: str) -> re.Match[str] | None:
    text = line.strip(" \r\n\t")
    return _LINE.fullmatch(text) if len(text) <= LONGEST and text.isprintable() else None


def limits(asked: str, dimension: Dimension, default_unit: str) -> Limits:
    """The band round the value of a stage. Raises ValueError for a value that cannot be read.

    A torque may be off as much as a wrench may: 4 % of it, 6 % up to 10 N.m (ISO 6789 type II class A, as in a wrench
    maker's manual). The source of the torque may allow less or more: its word counts. An angle: 5 degrees either way,
    common practice, no source.
    """
    wanted = read(asked, dimension, default_unit)
    number = float(wanted.number)
    if dimension == "angle":
        room = value(read(f"{ANGLE_EITHER_WAY} deg", "angle").quantity, wanted.unit)
        return Limits(number - room, number + room, wanted.unit, f"{plain(ANGLE_EITHER_WAY)} deg either way")
    share = DEVIATION_SMALL if value(wanted.quantity, "N.m") <= SMALL else DEVIATION
    low, high = number * (1 - share), number * (1 + share)
    return Limits(low, high, wanted.unit, f"{wanted.shown}, {share:.0%} either way, as ISO 6789".replace("%", " %"))
