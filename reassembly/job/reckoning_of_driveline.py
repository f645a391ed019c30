"""What can be computed of the vehicle as it drives, and of its fluids."""

# ruff: noqa: ARG001 - one signature for every kind of fact
from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from reassembly.job import entries as said
from reassembly.job.job import fold
from reassembly.job.reckon import Around, Reckoned, reckon, tried
from reassembly.job.vehicle import AT, Vehicle, vehicle
from reassembly.trade.catalogue_turning import critical_speed, orders, suspects
from reassembly.trade.driveline import joint_acceleration, joint_doubts, residual_angle
from reassembly.trade.fluid import expansion, filled_of_drained, level_error
from reassembly.trade.inputs import understand
from reassembly.trade.quantity import of, plain, read, value
from reassembly.trade.rotation import gear_ratio, read_tyre, slip, slip_share
from reassembly.trade.vibration import SHAFT, speeds
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pint import Quantity

    from reassembly.job.job import Job

# What customers call a vibration.
_SHAKES = re.compile(r"vibrat|shak|shudder|judder|dron|hum\b|hums\b|hummi|wobbl|boom|resonan|buzz|rumbl", re.IGNORECASE)


def about_vibration(text: str) -> bool:
    """Whether words of a complaint or a road test tell of a vibration."""
    return bool(_SHAKES.search(text))


@reckon.register(said.DrivelineNoted)
def driveline(fact: said.DrivelineNoted, around: Around) -> Iterator[Reckoned]:
    """From everything noted of the driveline, this fact and the others."""
    known = vehicle(around.job)
    if known.tyre:
        yield from tried(f"diameter of {known.tyre}", lambda: read_tyre(known.tyre).workings)
        yield from tried(f"roll-out of {known.tyre}", lambda: read_tyre(known.tyre).rollout)
    for title, speed in (("wheel", known.wheel), ("propeller shaft", known.shaft)):
        if speed is not None:
            yield Reckoned(f"{title} at {AT}", speed)
    if known.shaft is None:
        yield Reckoned(f"propeller shaft at {AT}", None, known.missing or "a tyre and an axle ratio that can be")
    yield from _joints(known)
    yield from _critical(known)


def _joints(known: Vehicle) -> Iterator[Reckoned]:
    if not known.joint_angles:
        return
    residual = residual_angle(known.joint_angles)
    angle = value(residual.result, "deg")
    doubts = "; ".join(joint_doubts(known.joint_angles, angle))
    phase = "yokes in phase and all joints in one plane"
    yield Reckoned("residual angle of the joints", replace(residual, note="; ".join(filter(None, [phase, doubts]))))
    shaft = known.shaft
    if shaft is not None:
        yield from tried(f"acceleration behind the joints at {AT}", lambda: joint_acceleration(shaft.result, angle))


def _critical(known: Vehicle) -> Iterator[Reckoned]:
    length, tube, wall = known.shaft_length, known.tube, known.wall
    named = {"length": length, "tube diameter": tube, "wall": wall}
    if all(each is None for each in named.values()):
        return
    if length is None or tube is None or wall is None:
        missing = " and ".join(name for name, each in named.items() if each is None)
        yield Reckoned("critical speed of the propeller shaft", None, f"its {missing}")
        return
    yield from tried("critical speed of the propeller shaft", lambda: critical_speed(length, tube, None, wall))
    shaft = known.shaft
    if shaft is not None:
        yield from tried(
            f"propeller shaft at {AT} as a share of its critical speed",
            lambda: _share(shaft.result, critical_speed(length, tube, None, wall).result),
        )


def _share(speed: Quantity[float], critical: Quantity[float]) -> Workings[Quantity[float]]:
    return Workings(
        of(100 * value(speed, "rpm") / value(critical, "rpm"), "%"),
        "speed / critical speed",
        {"speed": speed, "critical speed": critical},
        "definition of a share",
        "stay below 70 % (from memory)",
    )


@reckon.register(said.RoadTested)
def road_test(fact: said.RoadTested, around: Around) -> Iterator[Reckoned]:
    """Suspects for what was felt, best first; the orders where no frequency was measured."""
    told = fact.speed or fact.frequency or fact.engine_speed
    if not told:
        if about_vibration(fact.felt):
            yield Reckoned(
                "suspects for the vibration", None, "road speed or engine speed, and the frequency if it can be"
            )
        return
    known = vehicle(around.job)
    try:
        given = _given(fact, known)
        felt = understand(fact.frequency, "turning", "Hz").value if fact.frequency.strip() else None
        found = suspects(felt, *given) if felt is not None else orders(*given)
    except ValueError:
        missing = known.missing if fact.speed else f"road speed{f', {known.missing}' if known.missing else ''}"
        if missing:
            yield Reckoned("suspects for the vibration", None, missing)
        return
    title = "suspects, best first" if felt is not None else "frequencies at that speed"
    yield from (Reckoned(name or title, workings) for name, workings in found)
    yield from _through_the_gearbox(*given)
    if felt is None:
        yield Reckoned("suspects, best first", None, "the frequency of what was felt")
    if known.missing:
        yield Reckoned("propeller shaft orders", None, known.missing)


def _through_the_gearbox(
    road_speed: Quantity[float] | None,
    rollout: Quantity[float] | None,
    axle: float | None,
    gear: float | None,
    engine: Quantity[float] | None,
    _cylinders: int | None,
) -> Iterator[Reckoned]:
    """From a rev counter against the speed of the shaft: the ratio, and what slips where that of the gear is known."""
    shaft = speeds(road_speed, rollout, axle).get(SHAFT)
    if shaft is None or engine is None:
        return
    yield from tried("ratio from engine to propeller shaft, slip included", lambda: gear_ratio(engine, shaft.result))
    if gear is not None:
        yield from tried("slip between engine and gearbox", lambda: slip(engine, shaft.result, gear))
        yield from tried("slip as a share of the engine speed", lambda: slip_share(engine, shaft.result, gear))


def _given(fact: said.RoadTested, known: Vehicle) -> tuple[Any, ...]:
    """What `orders` takes: road speed, roll-out, axle ratio, gear ratio, engine speed, cylinders."""
    speed = read(fact.speed, "speed", "km/h").quantity if fact.speed.strip() else None
    gear = understand(fact.gear_ratio, "ratio").value if fact.gear_ratio.strip() else None
    engine = understand(fact.engine_speed, "turning", "rpm").value if fact.engine_speed.strip() else None
    return speed, known.rollout, known.axle_ratio, gear, engine, known.cylinders


@reckon.register(said.FluidDrained)
@reckon.register(said.FluidFilled)
def amounts(fact: said.FluidDrained | said.FluidFilled, around: Around) -> Iterator[Reckoned]:
    same = fold(fact.fluid)
    filled = [e.fact.amount for e in around.job.said(said.FluidFilled) if fold(e.fact.fluid) == same]
    drained = [e.fact.amount for e in around.job.said(said.FluidDrained) if fold(e.fact.fluid) == same]
    try:
        totals = filled_of_drained(filled, drained)
    except ValueError:
        return
    for title, found in (("drained", totals.drained), ("filled", totals.filled), ("still out", totals.still_out)):
        if found is not None:
            yield Reckoned(f"{fact.fluid} {title}", replace(found, note=totals.sentence))


@reckon.register(said.LevelSpecified)
def level_window(fact: said.LevelSpecified, around: Around) -> Iterator[Reckoned]:
    litres = volume(fact.fluid, around.job)
    title = f"{fact.fluid}: what 10 °C above the window is worth"
    if litres is None:
        yield Reckoned(title, None, "all the fluid in the unit, or what was drained")
    elif fact.high.strip():
        yield from tried(title, lambda: ten_above(fact.high, litres))


def ten_above(high: str, litres: Quantity[float]) -> Workings[Quantity[float]]:
    """How much too high a level reads 10 °C above its window."""
    end = read(high, "temperature", "°C").quantity
    return expansion(litres, end, of(value(end, "°C") + 10, "°C"))


def volume(fluid: str, job: Job) -> Quantity[float] | None:
    """All the fluid in the unit as noted with the level, else what was drained of it."""
    same = fold(fluid)
    noted = [e.fact.volume for e in job.said(said.LevelSpecified) if fold(e.fact.fluid) == same and e.fact.volume]
    try:
        if noted:
            return read(noted[-1], "volume", "l").quantity
        drained = [e.fact.amount for e in job.said(said.FluidDrained) if fold(e.fact.fluid) == same]
        total = filled_of_drained((), drained).drained
    except ValueError:
        return None
    return total.result if total else None


@reckon.register(said.LevelChecked)
def level(fact: said.LevelChecked, around: Around) -> Iterator[Reckoned]:
    if not fact.temperature.strip():
        return
    litres = volume(fact.fluid, around.job)
    for entry in around.job.said(said.LevelSpecified):
        asked = entry.fact
        if fold(asked.fluid) != fold(fact.fluid) or not (asked.low.strip() or asked.high.strip()):
            continue
        title = f"{fact.fluid}: by how much the level read at {fact.temperature} misleads"
        if litres is None:
            yield Reckoned(title, None, "all the fluid in the unit, or what was drained")
        else:
            yield from tried(title, lambda a=asked: level_error(litres, fact.temperature, a.low, a.high))  # type: ignore[misc]


def level_consequence(fact: said.LevelSpecified, around: Around) -> str:
    """ "10 °C above its window it reads 0.06 l too high", where that can be told; else empty."""
    litres = volume(fact.fluid, around.job)
    if litres is None or not fact.high.strip():
        return ""
    try:
        found = ten_above(fact.high, litres)
    except ValueError:
        return ""
    litres_more = plain(float(f"{value(found.result, 'l'):.1g}"))
    return f"10 °C above its window it reads {litres_more} l too high"
