"""Fluid: a level in its temperature window, volume against temperature, what was drained against what was filled."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from reassembly.trade.quantity import Reading, of, plain, read, show, value
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pint import Quantity

# Expansion of transmission oil by volume, per kelvin: oil about 0.0007 (a fluids engineer, quoted); API lubricants
# of 850 kg/m³ 0.00074 (table 54D, from memory).
EXPANSION = 0.0007
_MOST_EXPANSION = 0.01  # per kelvin, well beyond any liquid of a vehicle
_NOTED = "the amounts noted in this job"
_SAME = 1e-6  # kelvin: 104 °F is 40 °C, whatever the rounding of the conversion


@dataclass(frozen=True, slots=True)
class WindowVerdict:
    """Whether a measured temperature is in its window (both ends belong to it), and the sentence that says so."""

    inside: bool
    sentence: str


def within_window(measured: str, low: str, high: str, default_unit: str = "°C") -> WindowVerdict:
    """Compare a temperature with its window, all as typed; an empty end is open.

    Raises ValueError, in words, when one cannot be read, no end is given, or the window is upside down.
    """
    found = read(measured, "temperature", default_unit)
    ends = [read(text, "temperature", default_unit) if text.strip() else None for text in (low, high)]
    window = _window(*ends)
    outside = _outside(found, *ends)
    if outside == 0:
        return WindowVerdict(True, f"{found.shown} is {window}")
    nearest = ends[0] if outside < 0 else ends[1]
    assert nearest is not None
    fahrenheit = found.unit == nearest.unit == "°F"
    apart = f"{plain(round(abs(outside) * (1.8 if fahrenheit else 1), 4))} {'°F' if fahrenheit else '°C'}"
    where, reads, cure = ("below", "low", "warm it up") if outside < 0 else ("above", "high", "let it cool")
    return WindowVerdict(
        False, f"{found.shown} is {apart} {where} {nearest.shown}: the level reads too {reads}, {cure} first"
    )


def _window(low: Reading | None, high: Reading | None) -> str:
    if low is None or high is None:
        end = low or high
        if end is None:
            raise ValueError("no temperature window was given: note it from the manual first")
        return f"{'at or above' if low else 'at or below'} {end.shown}"
    if value(low.quantity, "K") > value(high.quantity, "K") + _SAME:
        raise ValueError(f"a window from {low.shown} to {high.shown} is upside down: type the lower temperature first")
    return f"in the window {low.shown} to {high.shown}"


def _outside(found: Reading, low: Reading | None, high: Reading | None) -> float:
    """Kelvin above (below: negative) the nearest end of the window; 0 inside it."""
    kelvin = value(found.quantity, "K")
    if low and kelvin < value(low.quantity, "K") - _SAME:
        return kelvin - value(low.quantity, "K")
    if high and kelvin > value(high.quantity, "K") + _SAME:
        return kelvin - value(high.quantity, "K")
    return 0.0


def expansion(
    volume: Quantity[float], start: Quantity[float], end: Quantity[float], per_kelvin: float = EXPANSION
) -> Workings[Quantity[float]]:
    """What a volume of oil gains (loses: negative) from one temperature to another, in litres.

    Raises ValueError for a volume below nothing. Source of the formula: dV = V x beta x dT, definition of beta.
    """
    litres = value(volume, "l")
    if litres < 0:
        raise ValueError(f"{show(volume)} of fluid cannot be: type the volume again")
    if not 0 < per_kelvin <= _MOST_EXPANSION:
        raise ValueError(f"{plain(per_kelvin)} /K is no expansion that oil has: about {EXPANSION} /K")
    rise = value(end, "K") - value(start, "K")
    return Workings(
        of(litres * per_kelvin * rise, "l"),
        "volume x expansion x (end - start)",
        {"volume": volume, "expansion": of(per_kelvin, "1/K"), "start": start, "end": end},
        "dV = V beta dT; beta of oil about 0.0007 /K, a figure for oils in general",
    )


def level_error(volume: Quantity[float], measured: str, low: str, high: str) -> Workings[Quantity[float]]:
    """Litres by which a level read outside its window misleads: too much shown above 0, too little below 0.

    `volume` is all the fluid in the unit. 0 inside the window. Raises ValueError as `within_window` does.
    """
    found = read(measured, "temperature", "°C")
    ends = [read(text, "temperature", "°C") if text.strip() else None for text in (low, high)]
    _window(*ends)
    outside = _outside(found, *ends)
    nearest = ends[0] if outside < 0 else ends[1] if outside > 0 else found
    assert nearest is not None
    return expansion(volume, nearest.quantity, found.quantity)


@dataclass(frozen=True, slots=True)
class FillTotals:
    """Drained against filled: totals and what is still out (below 0: too much went in), None where not measured."""

    sentence: str
    filled: Workings[Quantity[float]] | None
    drained: Workings[Quantity[float]] | None
    still_out: Workings[Quantity[float]] | None


def filled_of_drained(filled: Sequence[str], drained: Sequence[str], default_unit: str = "l") -> FillTotals:
    """Add up what was filled and what was drained, as typed: "2.5 l + 1,5 l = 4.0 l of 5.8 l drained".

    Raises ValueError, in words, when an amount cannot be read.
    """
    fills = [read(text, "volume", default_unit) for text in filled if text.strip()]
    drains = [read(text, "volume", default_unit) for text in drained if text.strip()]
    went_in = _sum_in_words(fills) if fills else "nothing filled"
    came_out = f" of {_sum_in_words(drains)} drained" if drains else ", nobody noted how much was drained"
    in_total, out_total = (_total(readings) if readings else None for readings in (fills, drains))
    still_out = None
    if in_total and out_total:
        unit = drains[0].unit
        still_out = Workings(
            of(value(out_total.result, unit) - value(in_total.result, unit), unit),
            "drained - filled",
            {"drained": out_total.result, "filled": in_total.result},
            _NOTED,
        )
    return FillTotals(f"{went_in}{came_out}", in_total, out_total, still_out)


def _total(readings: Sequence[Reading]) -> Workings[Quantity[float]]:
    """The sum in the unit of the first amount, exact where all have the same."""
    unit = readings[0].unit
    return Workings(
        of(float(_sum(readings)), unit),
        " + ".join(f"amount {number}" for number, _ in enumerate(readings, 1)),
        {f"amount {number}": reading.quantity for number, reading in enumerate(readings, 1)},
        _NOTED,
    )


def _sum(readings: Sequence[Reading]) -> Decimal:
    unit = readings[0].unit
    same = (r.number if r.unit == unit else Decimal(repr(value(r.quantity, unit))) for r in readings)
    return sum(same, Decimal(0))


def _sum_in_words(readings: Sequence[Reading]) -> str:
    if len(readings) == 1:
        return readings[0].shown
    unit = readings[0].unit
    typed = [-min(int(r.number.as_tuple().exponent), 0) if r.unit == unit else 2 for r in readings]
    return f"{' + '.join(r.shown for r in readings)} = {_sum(readings):.{max(typed)}f} {unit}"
