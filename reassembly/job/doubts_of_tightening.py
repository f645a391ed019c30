"""What is doubtful about a torque specification, about tightening by it, and about a value for the spec book."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.doubt import Doubt, Seen, advise, doubtful, measured, reading_of, refuse, unit_of
from reassembly.job.doubts_of_stripdown import thread_doubts
from reassembly.job.job import part_in
from reassembly.job.measured import does_not_confirm
from reassembly.job.tightening import StageAsked, set_to, stages_of
from reassembly.job.wrenches import unsuitable
from reassembly.trade import stages as stages_rules
from reassembly.trade.layout import positions
from reassembly.trade.order import read_order
from reassembly.trade.thread import read_thread

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from reassembly.trade.quantity import Reading
    from reassembly.trade.units import Dimension


@doubtful.register(said.TorqueSpecified)
def specification(fact: said.TorqueSpecified, seen: Seen) -> Iterator[Doubt]:
    part = seen.parts[fact.part]
    found = part.fasteners(fact.fasteners)
    yield from _stages(fact.stages, seen)
    if found is None and fact.fasteners:
        names = ", ".join(e.fact.fasteners or e.fact.what for e in part.said(said.FastenersRemoved))
        known = f": there are {names}" if names else ", none is recorded yet"
        yield advise("fasteners", f"{part.name} has no fasteners called {fact.fasteners}{known}")
    if found and fact.count and fact.count != found.count:
        yield refuse("count", f"{found.count} {found.what}s were recorded, here {fact.count}: leave the count out")
    yield from _places(fact, found.count if found else fact.count)
    if found:
        yield from plausible(fact.stages, found.thread, found.strength, seen)
    if not fact.source.strip():
        yield advise("source", "no source given: name the manual and page, or sign-off will warn of it")


def _places(fact: said.TorqueSpecified, count: int | None) -> Iterator[Doubt]:
    if fact.layout.strip():
        try:
            count = positions(fact.layout, count).count
        except ValueError as error:
            yield refuse("layout", str(error))
        else:
            yield from _counted_or_measured(fact.layout, count)
    if not fact.order:
        return
    if count is None:
        yield advise("order", f"an order of {len(fact.order)} positions: of how many? Record the fasteners, or a count")
    elif min(fact.order) < 1:
        yield refuse("order", f"there is no position {min(fact.order)}: count from 1 to {count}")
    else:
        try:
            read_order(" ".join(map(str, fact.order)), count)
        except ValueError as error:
            yield refuse("order", str(error))


_SIDES = re.compile(r"(?:perimeter|pan|sump|cover) (\d{1,2}) ?[x×] ?(\d{1,2})\b(?! ?(?:mm|in)\b)", re.IGNORECASE)
_MOST_COUNTED = 20  # along a side of a pan, common practice; no pan is so many millimetres long


def _counted_or_measured(layout: str, count: int) -> Iterator[Doubt]:
    """Small numbers may be bolts counted along the sides; they are taken as the shape. Each corner is on two sides."""
    sides = _SIDES.match(layout.strip())
    if sides is None:
        return
    wide, high = int(sides[1]), int(sides[2])
    around = 2 * (wide + high) - 4
    if min(wide, high) >= 2 and max(wide, high) <= _MOST_COUNTED and around != count:
        yield advise(
            "layout",
            f"{wide} along one side and {high} along the other make {around} positions round the edge, the set has "
            f"{count}: count again; {wide}x{high} is taken as the shape",
        )


@doubtful.register(said.SpecNoted)
def spec_book(fact: said.SpecNoted, seen: Seen) -> Iterator[Doubt]:
    yield from _stages(fact.stages, seen)
    if fact.thread.strip():
        try:
            yield from thread_doubts(read_thread(fact.thread))
        except ValueError as error:
            yield advise("thread", str(error))
    yield from plausible(fact.stages, fact.thread, fact.strength, seen)


def _stages(stages: Iterable[said.Stage], seen: Seen) -> Iterator[Doubt]:
    every = tuple(stages)
    if not every:
        yield refuse("stages", "no stage: type for example 30 N.m, 60 N.m, 90 deg")
    read_so_far: list[stages_rules.Stage] = []
    for number, stage in enumerate(every, 1):
        dimension = _dimension(stage)
        text = stage.value if dimension else ""
        if stage.kind in _EXAMPLE and not text.strip():
            yield refuse("stages", f"stage {number}: how much? Type for example {_EXAMPLE[stage.kind]}")
        reading: Reading | None = None
        if dimension and text.strip():
            yield from measured("stages", text, dimension, seen)
            reading, _ = reading_of("stages", text, dimension, unit_of(dimension, seen.job))
        if reading and reading.number <= 0:
            yield refuse("stages", f"stage {number}: {reading.shown} tightens nothing")
        read_so_far.append(stages_rules.Stage(stage.kind, reading.shown if reading else ""))
    sentence = stages_rules.doubt_about_stages(read_so_far)
    if sentence:
        yield advise("stages", sentence)


_EXAMPLE = {"torque": "60 N.m", "angle": "90 deg"}


def _dimension(stage: said.Stage) -> Dimension | None:
    """What the value of a stage is. Backing off may be said as an angle or in words; by hand has no value."""
    match stage.kind:
        case "torque" | "check pass":
            return "torque"
        case "angle":
            return "angle"
    return None


def plausible(stages: Iterable[said.Stage], thread: str, strength: str, seen: Seen) -> Iterator[Doubt]:
    """Whether the last torque is one that such a bolt usually takes: a guard against slips of unit and class."""
    every = tuple(stages)
    torques = [number for number, stage in enumerate(every) if stage.kind == "torque"]
    if not (torques and thread.strip()):
        return
    from reassembly.trade.fastener import doubt_about_torque

    last = torques[-1]
    angle_follows = any(stage.kind == "angle" for stage in every[last:])
    unit = unit_of("torque", seen.job)
    sentence = doubt_about_torque(thread, strength, every[last].value, unit, angle_follows=angle_follows)
    if sentence:
        yield advise("stages", sentence)


@doubtful.register(said.StageTightened)
def tightened(fact: said.StageTightened, seen: Seen) -> Iterator[Doubt]:
    spec = seen.job.entry(fact.specification)
    if spec is None or not isinstance(spec.fact, said.TorqueSpecified):
        yield refuse("specification", f"{fact.specification} is no torque specification of this job")
        return
    stages = stages_of(spec.fact, part_in(seen.parts, spec.fact.part))
    if fact.stage > len(stages):
        yield refuse("stage", f"there is no stage {fact.stage}: the specification has {len(stages)}")
        return
    stage = stages[fact.stage - 1]
    if fact.position and stage.positions and fact.position > stage.positions:
        yield refuse("position", f"there is no position {fact.position}: the set has {stage.positions}")
    yield from _value(fact, stage, seen)
    yield from _wrench(fact, stage, seen)


def _value(fact: said.StageTightened, stage: StageAsked, seen: Seen) -> Iterator[Doubt]:
    dimension: Dimension = "angle" if stage.kind == "angle" else "torque"
    if stage.kind in {"torque", "angle", "check pass"}:
        yield from measured("value", fact.value, dimension, seen)
    if out := does_not_confirm(stage, fact, unit_of("torque", seen.job)):
        yield refuse("value", out)


def _wrench(fact: said.StageTightened, stage: StageAsked, seen: Seen) -> Iterator[Doubt]:
    if not fact.wrench.strip():
        if stage.kind == "torque":
            yield advise("wrench", "which wrench? Sign-off will warn of a torque without one")
    elif seen.shop.wrench(fact.wrench) is None:
        yield advise("wrench", f"wrench {fact.wrench} is not in the rack: look at its tag, or add it")
    elif seen.today:
        unit = unit_of("torque", seen.job)
        for trouble in unsuitable(fact.wrench, set_to(fact, stage), seen.today, seen.shop, unit):
            yield advise("wrench", trouble)
