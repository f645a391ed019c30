"""Decimal text with a unit, as a person types it, read into a quantity and shown again.

The rule of this folder: what was typed stays text for ever; formulas take and return pint quantities in any unit of
the right dimension (an angle in a joint or on a clock may be plain degrees where the formula says so).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from math import floor, isfinite, log10
from threading import Lock
from typing import TYPE_CHECKING, Any

from reassembly.trade.units import DEFINITIONS, SLIPS, UNITS, Dimension, Unit, every_unit, fold

if TYPE_CHECKING:  # pint costs a tenth of a second and more on a Pi; reading what was typed does not need it
    from pint import Quantity, UnitRegistry
    from pint import Unit as PintUnit

LONGEST = 64
_SIGNED = {"angle", "temperature"}
_COLDEST = {"°C": Decimal("-273.15"), "°F": Decimal("-459.67"), "K": Decimal(0)}
_FRACTIONS = {"in", "ft", "turn"}
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)", re.ASCII)
_FRACTION = re.compile(r"([+-]?)(?:(\d{1,4})[ -]+)?(\d{1,4}) ?/ ?(\d{1,4})(?!\d)", re.ASCII)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}", re.ASCII)
_PLAIN = str.maketrans(
    {"−": "-", "–": "-", "‐": "-", "‑": "-", **dict.fromkeys("\u00a0\u2007\u2009\u200a\u202f", " ")},
)
_KEPT = 1024
"""How many readings are kept: a sign-off compares the range of one wrench with each stage of three hundred joints."""
_BUILDING = Lock()

_UNIT_DIGITS = re.compile(r"(?:(?<=[a-z])[23]|\b1(?=/)|(?<=min)-1)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Reading:
    """What was typed, understood: `unit` is the symbol of this folder, `assumed` when the person typed none."""

    typed: str
    number: Decimal
    unit: str
    dimension: Dimension
    assumed: bool = False

    @property
    def quantity(self) -> Quantity[float]:
        return of(float(self.number), self.unit)

    @property
    def shown(self) -> str:
        """As typed, with the unit added where it was assumed."""
        return f"{self.typed} {self.unit}" if self.assumed else self.typed


def registry() -> UnitRegistry[float]:
    """The one registry, built on first use: by one thread, as quantities of two registries cannot be compared."""
    with _BUILDING:
        return _registry()


@cache
def _registry() -> UnitRegistry[float]:
    import pint

    units: UnitRegistry[float] = pint.UnitRegistry(None, on_redefinition="raise", cache_folder=None)
    units.load_definitions(DEFINITIONS.strip().splitlines())
    units.formatter.default_format = "~P"
    return units


@cache
def _pint_name(unit: str) -> str:
    return next((known.pint for known in every_unit() if known.symbol == unit), unit)


def of(number: float, unit: str) -> Quantity[float]:
    """A quantity from a number and a symbol of this folder ("N.m") or an expression of pint's ("N*m", "mm**2")."""
    return _of(number, unit)


@lru_cache(_KEPT, typed=True)  # 2 and 2.0 are shown as different numbers
def _of(number: float, unit: str) -> Quantity[float]:
    return registry().Quantity(number, _pint_name(unit))


def value(quantity: Quantity[Any], unit: str) -> float:
    """The plain number of a quantity in a unit written as for `of`. Raises DimensionalityError for another kind."""
    return float(quantity.m_as(_pint_name(unit)))


def read(text: str, dimension: Dimension, default_unit: str | None = None) -> Reading:
    """Understand "85 Nm", "62 ft lbs", "8,5 mkg", "40 °C", "3/8 in", "1/4 turn".

    A bare number takes `default_unit` (a symbol or any spelling) and is marked as assumed. Raises ValueError with one
    sentence that says what is wrong and what to type instead.
    """
    return _read(text, dimension, default_unit)


@lru_cache(_KEPT)
def _read(text: str, dimension: Dimension, default_unit: str | None) -> Reading:
    line = _printable(text, dimension)
    number, rest = _number(line, dimension)
    unit, assumed = _unit(line, rest, dimension, default_unit)
    if "/" in line.removesuffix(rest) and unit.symbol not in _FRACTIONS:
        raise ValueError(f"{line}: a fraction goes with inches, feet or turns: type a decimal number")
    if number < 0 and dimension not in _SIGNED:
        raise ValueError(f"{line}: a {dimension} is not below nothing: leave out the minus")
    if number < _COLDEST.get(unit.symbol, number):
        raise ValueError(f"{line} is colder than anything can be: type the {dimension} again")
    return Reading(text.strip(), number, unit.symbol, dimension, assumed)


def _printable(text: str, dimension: Dimension) -> str:
    """The line with its look-alike signs made plain. Refuses what no person types on purpose."""
    if len(text) > LONGEST:
        raise ValueError(f"{len(text)} characters are too many for a {dimension}: {_example(dimension)}")
    line = text.translate(_PLAIN).strip()
    if not line:
        raise ValueError(f"no {dimension} typed: {_example(dimension)}")
    if not line.isprintable():
        raise ValueError(f"there is a sign in that {dimension} that cannot be seen: {_example(dimension)}")
    if any(sign.isdigit() and not sign.isascii() and sign not in "²³¹" for sign in line):
        raise ValueError(f"{line}: the digits are not 0 to 9: {_example(dimension)}")
    return line


def _example(dimension: Dimension) -> str:
    return f"type a number and a unit, for example {_LIKELY.get(dimension, '85')} {UNITS[dimension][0].symbol}"


_LIKELY: dict[Dimension, str] = {"volume": "2.5", "mass": "14", "temperature": "40", "length": "35"}
"""An amount that may well be meant, where 85 is none."""


def _number(line: str, dimension: Dimension) -> tuple[Decimal, str]:
    """The number at the start of the line, and what follows it."""
    if fraction := _FRACTION.match(line):
        sign, whole, top, bottom = fraction.groups()
        if dimension in ("length", "angle"):
            if int(bottom) == 0:
                raise ValueError(f"{line}: nothing can be divided by 0: type the fraction again")
            size = int(whole or 0) + Decimal(top) / int(bottom)
            return (-size if sign == "-" else size), line[fraction.end() :]
    found = _NUMBER.match(line)
    if found is None:
        raise ValueError(f"{line} does not begin with a number: {_example(dimension)}")
    digits, rest = found[0], line[found.end() :]
    if re.match(r"e[+-]?\d", rest, re.ASCII | re.IGNORECASE):
        raise ValueError(f"{line}: write the number out in full, without an exponent")
    if re.match(r"[.,]?\d", rest, re.ASCII):
        raise ValueError(f"{line}: the number has more than one point or comma: type it without thousands signs")
    if _THOUSANDS.fullmatch(digits):
        raise ValueError(
            f"{digits} can mean {digits.replace(',', '')} or {digits.replace(',', '.')}: type one of the two"
        )
    return Decimal(digits.replace(",", ".")), rest


def _unit(line: str, rest: str, dimension: Dimension, default_unit: str | None) -> tuple[Unit, bool]:
    """The unit that follows the number, and whether it was assumed."""
    if re.match(r" *(±|\+/-|\+|- *\d|\.\.|to \d)", rest):
        raise ValueError(f"{line}: type one value and its unit; a range or a tolerance goes in the note")
    if re.search(r"\d", _UNIT_DIGITS.sub("", rest), re.ASCII):
        raise ValueError(f"{line}: there is a second number in it: type one number and its unit")
    typed = fold(rest)
    if not typed or (dimension == "temperature" and default_unit and typed in ("°", "º", "deg", "degrees")):
        if default_unit is None:
            raise ValueError(f"{line} has no unit: type for example {line} {UNITS[dimension][0].symbol}")
        return _known(fold(default_unit), dimension), True
    try:
        return _known(typed, dimension), False
    except LookupError:
        units = ", ".join(unit.symbol for unit in UNITS[dimension])
        why = SLIPS.get(dimension, {}).get(typed, f"{rest.strip()} is not a unit of {dimension}: type one of {units}")
        raise ValueError(f"{line}: {why}") from None


def _known(typed: str, dimension: Dimension) -> Unit:
    for unit in UNITS[dimension]:
        if typed in unit.spellings:
            return unit
    raise LookupError(typed)


def show(quantity: Quantity[Any], unit: str | None = None, decimals: int | None = None) -> str:
    """A quantity as a person reads it, "81 lbf.ft": in its own unit, and to four figures, unless told otherwise."""
    number = float(quantity.m) if unit is None else value(quantity, unit)
    return f"{plain(number, decimals)} {symbol(quantity) if unit is None else unit}".rstrip()


def plain(number: float, decimals: int | None = None) -> str:
    """A number without exponent: with `decimals` as told, else to four figures with no idle zeros."""
    if decimals is not None:
        return f"{number:.{decimals}f}"
    if number == 0 or not isfinite(number):
        return f"{number:.0f}"
    places = 3 - floor(log10(abs(number)))
    shown = f"{round(number, places):.{max(places, 0)}f}"
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


def symbol(quantity: Quantity[Any]) -> str:
    """How this folder writes the unit of a quantity; pint's own way where the list has none."""
    return _symbol(quantity.units)


@cache
def _symbol(unit: PintUnit) -> str:
    units = registry().parse_units
    return next((known.symbol for known in every_unit() if units(known.pint) == unit), f"{unit:~P}")


def other_torque(reading: Reading) -> tuple[str, int]:
    """The unit to show beside a torque, and to how many decimals: as exact as what was typed, never under two figures.

    Below 20 N.m the inch unit, as printed manuals do (common practice, no source)."""
    torque = value(reading.quantity, "N.m")
    metric = reading.unit.endswith(("N.m", "N.cm"))
    unit = ("lbf.in" if torque < 20 else "lbf.ft") if metric else "N.m"
    beside = value(reading.quantity, unit)
    if beside == 0:
        return unit, 0
    exponent = reading.number.as_tuple().exponent
    step = beside / float(reading.number) * 10.0 ** (min(exponent, 0) if isinstance(exponent, int) else 0)
    as_exact = round(-log10(step))
    two_figures = 1 - floor(log10(beside))
    return unit, max(as_exact, two_figures, 0)


def torque_pair(text: str, default_unit: str | None = None) -> str:
    """A torque as typed with the other unit beside it, "110 N.m (81 lbf.ft)". What cannot be read is shown as typed."""
    try:
        reading = read(text, "torque", default_unit)
    except ValueError:
        return text
    unit, decimals = other_torque(reading)
    return f"{reading.shown} ({show(reading.quantity, unit, decimals)})"
