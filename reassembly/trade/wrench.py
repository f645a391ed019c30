"""Torque wrenches: what to set, what reaches the bolt, and whether a wrench can be trusted for a value."""

from __future__ import annotations

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date
from math import cos, radians
from typing import TYPE_CHECKING

from reassembly.trade.quantity import plain, read, show, value
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from pint import Quantity

# ISO 6789 type II class A, as in a wrench maker's manual: share of the reading, up to and above 10 N.m
DEVIATION_SMALL, DEVIATION = 0.06, 0.04
SMALL = 10.0
LOWEST_SHARE = 0.20  # of full scale: below it no accuracy is claimed (US Army TM 1-1500-204-23-9 table 8-1)
BEST_SHARES = 0.30, 0.80  # of full scale (the same table)
_LONGEST = 120  # months, beyond any shop's rule
CYCLES, MONTHS = 5000, 12  # whichever comes first (a wrench maker on ISO 6789); a shop's own rule has precedence


@dataclass(frozen=True, slots=True)
class Wrench:
    """One torque tool of the rack. `low` and `high` are decimal text with unit, as on its scale.

    `doubt` says why it is not to be trusted on the day it is used, out of calibration or failed; empty while it is."""

    name: str
    low: str
    high: str
    doubt: str = ""
    cycles_allowed: int = CYCLES


def setting_with_adapter(
    torque: Quantity[float], lever: Quantity[float], adapter: Quantity[float], degrees: float = 0
) -> Workings[Quantity[float]]:
    """The setting that puts `torque` on the bolt through an adapter on the wrench's square.

    `lever` runs from drive square to middle of hand, `adapter` from drive square to bolt, `degrees` from straight out
    (0) over square (90) to turned back (180). Any units. Raises ValueError when no lever is left, and for a lever or an
    adapter that cannot be. Source: US Army TM 1-1500-204-23-9; the angle TM 9-254.
    """
    reach = _reach(lever, adapter, degrees)
    return Workings(
        (torque * lever / reach).to(torque.units),
        "torque x lever / (lever + adapter x cos angle)",
        {"torque": torque, "lever": lever, "adapter": adapter, "angle": f"{plain(degrees)} deg"},
        "US Army TM 1-1500-204-23-9, TM 9-254",
        "pull at the middle of the hand grip: the lever counts from there",
    )


def torque_through_adapter(
    setting: Quantity[float], lever: Quantity[float], adapter: Quantity[float], degrees: float = 0
) -> Workings[Quantity[float]]:
    """The torque on the bolt when the wrench is set to `setting`: `setting_with_adapter` the other way round."""
    reach = _reach(lever, adapter, degrees)
    return Workings(
        (setting * reach / lever).to(setting.units),
        "setting x (lever + adapter x cos angle) / lever",
        {"setting": setting, "lever": lever, "adapter": adapter, "angle": f"{plain(degrees)} deg"},
        "US Army TM 9-254",
    )


def _reach(lever: Quantity[float], adapter: Quantity[float], degrees: float) -> Quantity[float]:
    """How far the hand is from the bolt, along the wrench."""
    if not lever.m > 0:
        raise ValueError(f"a lever of {show(lever)} is none: measure from drive square to middle of hand")
    if not adapter.m >= 0:
        raise ValueError(
            f"an adapter of {show(adapter)} is none: measure from drive square to bolt, and give the angle"
        )
    if not -360 <= degrees <= 360:
        raise ValueError(f"an adapter at {plain(degrees)} deg: 0 is straight out, 90 square, 180 turned back")
    along = 0.0 if degrees % 180 == 90 else cos(radians(degrees))
    reach: Quantity[float] = lever + adapter * along
    if not reach.m > 0:
        raise ValueError(
            f"an adapter of {show(adapter)} at {plain(degrees)} deg leaves no lever of {show(lever)}: turn it outwards"
        )
    return reach


def true_torque_band(setting: Quantity[float]) -> tuple[Workings[Quantity[float]], Workings[Quantity[float]]]:
    """The least and the most that a wrench in calibration puts on the bolt at a setting.

    From the deviation (set - true) / true of ISO 6789: 4 % above 10 N.m, 6 % up to it.
    """
    share = DEVIATION if value(setting, "N.m") > SMALL else DEVIATION_SMALL
    inputs = {"set": setting, "deviation": share}
    source = "ISO 6789 type II class A"
    return (
        Workings(setting / (1 + share), "set / (1 + deviation)", inputs, source),
        Workings(setting / (1 - share), "set / (1 - deviation)", inputs, source),
    )


def lowest_usable(wrench: Wrench) -> Workings[Quantity[float]]:
    """The lowest setting to use: a fifth of full scale, or the lowest mark where that is higher."""
    low, high = _scale(wrench)
    fifth = LOWEST_SHARE * high
    least = low if value(low, "N.m") > value(fifth, "N.m") else fifth
    return Workings(
        least,
        "the higher of lowest mark and 0.2 x full scale",
        {"lowest mark": low, "full scale": high},
        "US Army TM 1-1500-204-23-9 table 8-1",
    )


def _scale(wrench: Wrench) -> tuple[Quantity[float], Quantity[float]]:
    """Both ends of the scale; an end typed without a unit takes the other's. Raises ValueError in one sentence."""
    high = read(wrench.high, "torque", _unit_of(wrench.low))
    low = read(wrench.low, "torque", high.unit)
    if not 0 <= value(low.quantity, "N.m") < value(high.quantity, "N.m"):
        raise ValueError(f"{wrench.name} runs from {low.shown} to {high.shown}: correct its range in the wrench rack")
    return low.quantity, high.quantity


def _unit_of(text: str) -> str | None:
    try:
        return read(text, "torque").unit
    except ValueError:
        return None


def day_of(text: str) -> date | None:
    """The day that a date names, written year-month-day: 2026-03-14; None for anything else."""
    try:
        return date.fromisoformat(text) if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text) else None
    except ValueError:
        return None


def last_good_day(calibrated: date, months: int = MONTHS) -> date:
    """The last good day of a calibration: the same day so many months later, or the last day of a shorter month."""
    if months < 1:
        raise ValueError("a calibration holds at least one month: type the months again")
    if months > _LONGEST:
        raise ValueError(f"a calibration of {months} months is none: type the months again")
    year, month = divmod(calibrated.year * 12 + calibrated.month - 1 + months, 12)
    return date(year, month + 1, min(calibrated.day, monthrange(year, month + 1)[1]))


def calibration_workings(calibrated: date, months: int = MONTHS) -> Workings[str]:
    """The last good day of a calibration, ISO, with its workings."""
    return Workings(
        last_good_day(calibrated, months).isoformat(),
        "the same day so many months later, or the last day of a shorter month",
        {"calibrated": calibrated.isoformat(), "months": months},
        f"a wrench maker on ISO 6789: {MONTHS} months or {CYCLES} cycles, whichever is first",
        "the shop's own rule goes first",
    )


def suitability(wrench: Wrench, setting: Quantity[float], cycles: int = 0) -> list[str]:
    """Why a wrench is not to be used for a setting, each a plain sentence; empty when it is suitable.

    `cycles` counts its uses since the last calibration. Never raises: a range that cannot be read is a reason too.
    """
    return [*_of_range(wrench, setting), *_of_trust(wrench, cycles)]


def _of_range(wrench: Wrench, setting: Quantity[float]) -> list[str]:
    try:
        low, high = _scale(wrench)
    except ValueError as unread:
        return [f"its range cannot be read: {unread}"]
    unit = read(wrench.high, "torque", _unit_of(wrench.low)).unit
    wanted = _beside(setting, unit)
    torque, least, full = (value(each, "N.m") for each in (setting, low, high))
    if torque > full * (1 + 1e-9):
        return [f"{wanted} is above its range, which ends at {show(high, unit)}"]
    if torque < least * (1 - 1e-9):
        return [f"{wanted} is below its range, which begins at {show(low, unit)}"]
    if torque < LOWEST_SHARE * full * (1 - 1e-9):
        return [f"{wanted} is below a fifth of its full scale, {show(LOWEST_SHARE * high, unit)}"]
    return []


def _beside(setting: Quantity[float], unit: str) -> str:
    """The setting in its own unit, and in the wrench's where that is another."""
    own = show(setting)
    return own if own.endswith(f" {unit}") else f"{own} ({show(setting, unit)})"


def _of_trust(wrench: Wrench, cycles: int) -> list[str]:
    reasons = [wrench.doubt] if wrench.doubt else []
    if cycles >= wrench.cycles_allowed:
        reasons.append(f"it has done {cycles} cycles since its calibration, and {wrench.cycles_allowed} are allowed")
    return reasons


@dataclass(frozen=True, slots=True)
class Choice:
    """The best wrench for a setting, None when none is suitable, and why each of the others is not it."""

    best: Wrench | None
    others: tuple[tuple[Wrench, tuple[str, ...]], ...]


def best(rack: Sequence[Wrench], setting: Quantity[float], cycles: Mapping[str, int] | None = None) -> Choice:
    """The suitable wrench that has the setting nearest to the middle of its best range, 30 to 80 % of full scale.

    `cycles` counts the uses of each since its calibration, by name. Equal ones stand in the order of the rack.
    """
    counted = cycles or {}
    reasons = {index: suitability(wrench, setting, counted.get(wrench.name, 0)) for index, wrench in enumerate(rack)}
    shares = {index: _share(rack[index], setting) for index, against in reasons.items() if not against}
    middle = sum(BEST_SHARES) / 2
    chosen = min(shares, key=lambda index: abs(shares[index] - middle), default=None)
    others = []
    for index, wrench in enumerate(rack):
        if index == chosen:
            continue
        why = reasons[index]
        if chosen is not None and not why:
            why = [_less_good(shares[index], rack[chosen].name, shares[chosen])]
        others.append((wrench, tuple(why)))
    return Choice(None if chosen is None else rack[chosen], tuple(others))


def _share(wrench: Wrench, setting: Quantity[float]) -> float:
    return value(setting, "N.m") / value(_scale(wrench)[1], "N.m")


def _less_good(share: float, better: str, its_share: float) -> str:
    low, high = BEST_SHARES
    there = f"{share:.0%} of its full scale, {better} at {its_share:.0%}"
    return f"it would work at {there}; {low:.0%} to {high:.0%} is best".replace("%", " %")
