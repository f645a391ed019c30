"""Which wrench for this torque: the one in hand and what speaks against it, and the rack with reasons."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.asks import words

if TYPE_CHECKING:
    from reassembly.job.shop import RackWrench, Shop


class Offered(NamedTuple):
    """One wrench of the rack, as it is offered for a torque."""

    wrench: str
    line: str
    best: bool


def in_hand(wrench: str, shop: Shop) -> str:
    """The wrench in hand with its range and the day to which its calibration holds."""
    found = shop.rack.get(wrench)
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
        )
        for found in rack
    }
    choice = best(list(tools.values()), wanted)
    first = [choice.best] if choice.best else []
    against = {tool.name: "; ".join(why) for tool, why in choice.others}
    return [
        Offered(tool.name, _line(shop.rack[tool.name], against.get(tool.name, "BEST")), tool is choice.best)
        for tool in (*first, *(tool for tool, _ in choice.others))
    ]


def _line(found: RackWrench, told: str) -> str:
    return f"{found.added.wrench:<6} {scale(found):<18} {words(found.added.name, told, between=': ')}"


def setting(typed: str, torque: str, torque_unit: str) -> str:
    """What to set the wrench to, with its unit: a torque as typed, or reckoned from lever, adapter and angle
    ("410 mm, 38 mm, 90 deg"). Raises ValueError with one sentence."""
    from reassembly.trade.quantity import read, show
    from reassembly.trade.wrench import setting_with_adapter

    lever, *adapter = (piece.strip() for piece in typed.split(","))
    if not adapter:
        return read(typed, "torque", torque_unit).shown
    asked = read(torque, "torque", torque_unit)
    degrees = read(adapter[1], "angle", "deg") if len(adapter) > 1 else None
    if degrees and degrees.unit != "deg":
        raise ValueError(f"{adapter[1]}: type the angle of the adapter in degrees, 0 straight out, 90 square")
    found = setting_with_adapter(
        asked.quantity,
        read(lever, "length", "mm").quantity,
        read(adapter[0], "length", "mm").quantity,
        float(degrees.number) if degrees else 0,
    )
    return show(found.result, asked.unit, 1)
