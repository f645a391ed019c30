"""Which wrench for this torque: the one in hand and what speaks against it, and the rack with reasons."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.asks import words

if TYPE_CHECKING:
    from pint import Quantity

    from reassembly.job.shop import RackWrench, Shop
    from reassembly.trade.workings import Workings

_BETWEEN = re.compile(r"(?<!\d),|,(?!\d)")  # 8,5 N.m is one number
_LISTED = re.compile(r"\d+(?:,\d+)+", re.ASCII)


class Offered(NamedTuple):
    """One wrench of the rack, as it is offered for a torque."""

    wrench: str
    line: str
    best: bool


def in_hand(wrench: str, shop: Shop) -> str:
    """The wrench in hand with its range and the day to which its calibration holds."""
    found = shop.wrench(wrench)
    if not wrench:
        return "NO WRENCH IN HAND: k chooses one, or scan its tag"
    if found is None:
        return f"wrench {wrench}, not in the rack"
    until = f"calibrated to {found.good_until}" if found.good_until else "no calibration that holds"
    return words(f"wrench {wrench}  {scale(found)}", until)


def scale(found: RackWrench) -> str:
    """Both ends of its scale, the unit once where it is the same."""
    low, high = found.added.low.strip(), found.added.high.strip()
    unit = high.partition(" ")[2]
    return f"{low.removesuffix(unit).strip()} to {high}" if unit and low.endswith(unit) else f"{low} to {high}"


def offered(shop: Shop, torque: str, today: str, torque_unit: str) -> list[Offered]:
    """The whole rack, the best for the torque first, with what speaks against each. Without a torque, as it hangs."""
    from reassembly.trade.quantity import read
    from reassembly.trade.wrench import Wrench, best

    rack = list(shop.rack.values())
    try:
        wanted = read(torque, "torque", torque_unit).quantity
    except ValueError:
        return [Offered(found.added.wrench, _line(found, ""), False) for found in rack]
    tools = {
        found.added.wrench: Wrench(
            found.added.wrench,
            found.added.low,
            found.added.high,
            found.doubt(today),
            found.cycles_allowed,
        )
        for found in rack
    }
    choice = best(list(tools.values()), wanted, {name: shop.cycles_done(name, today) for name in tools})
    first = [choice.best] if choice.best else []
    against = {tool.name: "; ".join(why) for tool, why in choice.others}
    return [
        Offered(tool.name, _line(shop.rack[tool.name], against.get(tool.name, "BEST")), tool is choice.best)
        for tool in (*first, *(tool for tool, _ in choice.others))
    ]


def _line(found: RackWrench, told: str) -> str:
    return f"{found.added.wrench:<6} {scale(found):<18} {words(found.added.name, told, between=': ')}"


def setting(typed: str, torque: str, torque_unit: str) -> str:
    """What to set the wrench to, with its unit: a torque as typed, or reckoned: "+ 8 N.m" for what a self-locking
    thread takes, "410 mm, 38 mm, 90 deg" for lever, adapter and angle, or both. Raises ValueError with one sentence."""
    from reassembly.trade.quantity import read, show, value

    steps = reckoned_setting(typed, torque, torque_unit)
    if not steps:
        return read(typed, "torque", torque_unit).shown
    unit = read(torque, "torque", torque_unit).unit
    found = steps[-1].of.result
    size = value(found, unit)
    return show(found, unit, 1 if size >= 10 else 2 if size >= 1 else 3)


def set_to(typed: str, torque: str, torque_unit: str) -> str:
    """The same; empty where nothing was typed, and for a stage without a readable torque, which has no setting."""
    try:
        return setting(typed, torque, torque_unit) if typed else ""
    except ValueError:
        return ""


def is_reckoned(typed: str) -> bool:
    """Whether a setting is typed as what it is reckoned from, and so goes for every stage."""
    return typed.startswith("+") or len(_BETWEEN.split(typed)) > 1


class Step(NamedTuple):
    """One number on the way from the torque to what the wrench is set to."""

    title: str
    of: Workings[Quantity[float]]


def reckoned_setting(typed: str, torque: str, torque_unit: str) -> list[Step]:
    """The numbers on the way to the setting, in order; none where a torque was typed. Raises ValueError."""
    from reassembly.trade.quantity import read
    from reassembly.trade.stages import with_prevailing
    from reassembly.trade.wrench import setting_with_adapter

    if _LISTED.fullmatch(typed.strip()):
        raise ValueError(f"{typed}: a torque, or a lever and an adapter? Type their units: 53,5 N.m, or 400 mm, 50 mm")
    asked = read(torque, "torque", torque_unit)
    found: list[Step] = []
    lever, *adapter = (piece.strip() for piece in _BETWEEN.split(typed))
    wanted = asked.quantity
    if lever.startswith("+"):
        added = read(lever[1:], "torque", torque_unit)
        step = with_prevailing(wanted, added.quantity)
        found.append(Step(f"{asked.shown} and {added.shown} that the thread takes to turn", step))
        wanted = step.result
        lever, *adapter = adapter or [""]
    if adapter:
        degrees = read(adapter[1], "angle", "deg") if len(adapter) > 1 else None
        if degrees and degrees.unit != "deg":
            raise ValueError(f"{adapter[1]}: type the angle of the adapter in degrees, 0 straight out, 90 square")
        arm, across = (read(each, "length", "mm").quantity for each in (lever, adapter[0]))
        step = setting_with_adapter(wanted, arm, across, float(degrees.number) if degrees else 0)
        found.append(Step("what the wrench is set to, with the adapter", step))
    elif lever and found:
        raise ValueError(f"{lever}: an adapter has a lever too: type both, 410 mm, 38 mm")
    return found
