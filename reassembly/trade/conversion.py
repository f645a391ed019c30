"""One quantity in another unit, with the factor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.trade.quantity import of, read, symbol, value
from reassembly.trade.rotation import turns_per_second
from reassembly.trade.units import UNITS, fold
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pint import Quantity

    from reassembly.trade.units import Dimension, Unit

_SOURCE = "NIST SP 811 (2008), appendix B.8: exact definitions"
_TURNING = {"rotational speed", "frequency"}
_DEGREES = {
    ("°C", "°F"): "1.8 x typed + 32",
    ("°F", "°C"): "(typed - 32) / 1.8",
    ("°C", "K"): "typed + 273.15",
    ("K", "°C"): "typed - 273.15",
    ("°F", "K"): "(typed + 459.67) / 1.8",
    ("K", "°F"): "1.8 x typed - 459.67",
}


def converted(text: str, to: str) -> Workings[Quantity[float]]:
    """A quantity as typed in the unit `to`. Raises ValueError when either cannot be read, or they do not go together.

    Source of the factors: NIST SP 811; rpm and Hz go into each other as turns and cycles.
    """
    wanted = list(_units(to))
    if not wanted:
        raise ValueError(f"{to[:30]} is no unit that is known here: type for example N.m, lbf.ft, mm, °C or rpm")
    refused = ""
    for dimension, unit in wanted:
        for other in sorted(_TURNING) if dimension in _TURNING else [dimension]:
            try:
                typed = read(text, other)  # type: ignore[arg-type]
            except ValueError as why:
                refused = refused or str(why)
                continue
            return _in(typed.quantity, dimension, unit)
    raise ValueError(refused)


def _units(text: str) -> Iterator[tuple[Dimension, Unit]]:
    return (
        (dimension, unit)
        for dimension, units in UNITS.items()
        for unit in units
        if fold(text.strip()) in unit.spellings
    )


def _in(typed: Quantity[float], dimension: Dimension, unit: Unit) -> Workings[Quantity[float]]:
    if dimension in _TURNING:
        turns = turns_per_second(typed)
        found = of(turns / turns_per_second(of(1, unit.symbol)), unit.symbol)
    else:
        found = of(value(typed, unit.symbol), unit.symbol)
    if dimension == "temperature":
        formula = _DEGREES.get((symbol(typed), unit.symbol), "as typed")
        return Workings(found, formula, {"typed": typed}, _SOURCE)
    factor = value(of(1, symbol(typed)), unit.symbol) if dimension not in _TURNING else _turning(symbol(typed), unit)
    return Workings(found, "typed x factor", {"typed": typed, "factor": factor}, _SOURCE)


def _turning(one: str, unit: Unit) -> float:
    return turns_per_second(of(1, one)) / turns_per_second(of(1, unit.symbol))
