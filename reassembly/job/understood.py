"""What was understood of a fact, to show beside what is typed: sizes with their pitch, values in the other unit."""

# ruff: noqa: ARG001 - one signature for every kind of fact
from __future__ import annotations

from contextlib import suppress
from functools import singledispatch
from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.aids import bears_weight, purpose
from reassembly.job.asks import words
from reassembly.job.doubt import INCH_UNIT, METRE_UNIT, unit_of
from reassembly.job.doubts_of_stripdown import pitch_in_words
from reassembly.job.job import Job, fold, odd_lengths, parts
from reassembly.job.places import seen_from
from reassembly.job.refit_order import refit_order
from reassembly.job.wording import many
from reassembly.trade.facing import clock_check, facing_check, read_clock, read_facing
from reassembly.trade.fluid import filled_of_drained, within_window
from reassembly.trade.identity import read_code, read_vin
from reassembly.trade.layout import positions
from reassembly.trade.order import generic_order
from reassembly.trade.quantity import plain, read, show, torque_pair
from reassembly.trade.spline import Place
from reassembly.trade.thread import Thread, thread_or_none

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from reassembly.job.entries import Fact
    from reassembly.trade.units import Dimension


def understood(fact: Fact, job: Job) -> list[str]:
    """One line for each thing understood, in the order of the fields. What cannot be read is left to the doubts."""
    return [line for line in lines(fact, job) if line]


@singledispatch
def lines(fact: object, job: Job) -> Iterable[str]:
    """What was understood of one kind. Every kind has to say so: there is no default."""
    raise NotImplementedError(type(fact).__name__)


@lines.register(said.CustomerNamed)
@lines.register(said.FindingNoted)
@lines.register(said.PhotoKept)
@lines.register(said.BagPacked)
@lines.register(said.PartStuck)
@lines.register(said.CareNoted)
@lines.register(said.RenewalNeeded)
@lines.register(said.RenewalReceived)
@lines.register(said.LabelPrinted)
@lines.register(said.LabelSeen)
@lines.register(said.BagShelved)
@lines.register(said.CheckPutOff)
@lines.register(said.CheckConfirmed)
@lines.register(said.AidRemoved)
@lines.register(said.SecondCheckMade)
@lines.register(said.ExceptionAccepted)
@lines.register(said.CodesCleared)
@lines.register(said.SignedOff)
@lines.register(said.JobReopened)
@lines.register(said.EntryStruck)
@lines.register(said.DetailsErased)
@lines.register(said.PersonAdded)
@lines.register(said.WrenchCalibrated)
@lines.register(said.WrenchFailed)
@lines.register(said.ShelfAdded)
@lines.register(said.BenchNamed)
def as_typed(fact: object, job: Job) -> Iterable[str]:
    """Kept as it was typed: there is nothing to read out of it."""
    return ()


@lines.register(said.JobOpened)
def vehicle(fact: said.JobOpened, job: Job) -> Iterator[str]:
    if fact.vin.strip():
        yield from read_vin(fact.vin).certain
    if fact.vehicle:  # an addition to a check-in says nothing of it
        yield f"a torque typed bare is in {fact.torque_unit}"


@lines.register(said.CodeRead)
def trouble_code(fact: said.CodeRead, job: Job) -> Iterator[str]:
    if fact.none_stored:
        yield "no code stored"
    with suppress(ValueError):
        yield str(read_code(fact.code))


@lines.register(said.RoadTested)
def road_test(fact: said.RoadTested, job: Job) -> Iterator[str]:
    yield _beside(fact.speed, "speed", "mph", job)


@lines.register(said.DrivelineNoted)
def driveline(fact: said.DrivelineNoted, job: Job) -> Iterator[str]:
    from reassembly.trade.rotation import read_tyre

    with suppress(ValueError):
        yield f"roll-out {show(read_tyre(fact.tyre).rollout.result)} by the size; on the ground it is less"


@lines.register(said.PartRemoved)
def removal(fact: said.PartRemoved, job: Job) -> Iterator[str]:
    yield {"off": "off", "loosened": "loosened, not off", "aside": "swung aside, not off"}.get(fact.how, fact.how)
    every = parts(job)
    if fact.parent in every:
        yield f"goes back before {every[fact.parent].name} does"


@lines.register(said.OrientationNoted)
def orientation(fact: said.OrientationNoted, job: Job) -> Iterator[str]:
    with suppress(ValueError):
        if fact.faces.strip():
            yield facing_check(fact.feature, read_facing(fact.faces))
    with suppress(ValueError):
        if fact.clock.strip():
            yield clock_check(fact.feature, read_clock(fact.clock, fact.seen_from))


@lines.register(said.MarkMade)
def spline(fact: said.MarkMade, job: Job) -> Iterator[str]:
    teeth = fact.spline_teeth
    if teeth and teeth > 1:
        yield f"360/{teeth} = {plain(360 / teeth, 1)} deg a tooth"
        with suppress(ValueError):
            if fact.marked_tooth:
                yield words(str(Place(fact.marked_tooth, teeth)), seen_from(fact.seen_from), between=" ")


@lines.register(said.WeightFound)
def weight(fact: said.WeightFound, job: Job) -> Iterator[str]:
    yield _beside(fact.mass, "mass", "oz", job)
    yield words("radius", _beside(fact.radius, "length", "in", job), between=" ") if fact.radius.strip() else ""


def _beside(text: str, dimension: Dimension, other: str, job: Job) -> str:
    """A quantity as typed with another unit beside it; nothing where it cannot be read or is in that unit already."""
    try:
        reading = read(text, dimension, unit_of(dimension, job))
    except ValueError:
        return ""
    return reading.shown if reading.unit == other else f"{reading.shown} ({show(reading.quantity, other)})"


@lines.register(said.FastenersRemoved)
def fastener_set(fact: said.FastenersRemoved, job: Job) -> Iterator[str]:
    yield f"{many(fact.count, fact.what)}{', new ones at refit' * (fact.reuse == 'renew')}"
    thread = thread_or_none(fact.thread)
    if thread:
        yield from thread_in_words(thread)
    unit = INCH_UNIT if thread and thread.inch else METRE_UNIT
    yield _lengths(fact.lengths, unit)
    if fact.strength.strip():
        yield _class(fact.strength)
    if fact.safety_critical:
        yield "safety-critical: a second person confirms"


def coarse_unsaid(thread: Thread) -> str:
    """A pitch that nobody said, and what it would be."""
    return f"pitch not said (coarse would be {pitch_in_words(thread)})"


def thread_in_words(thread: Thread) -> Iterator[str]:
    told = pitch_in_words(thread) if thread.inch else f"pitch {pitch_in_words(thread)}"
    pitch = coarse_unsaid(thread) if thread.coarse_assumed else told
    size = thread.designation.partition("x")[0] if not thread.inch else thread.designation
    yield words(size, pitch, "left-hand" if thread.left_hand else "")
    if thread.reach:
        yield f"length {thread.reach.shown}"


def _lengths(lengths: Sequence[str], unit: str) -> str:
    """One length for all, or the common one and what stands elsewhere, position by position."""
    try:
        shown = [read(text, "length", unit).shown for text in lengths]
    except ValueError:
        return ""
    if len(set(shown)) < 2:
        return f"length {shown[0]}" if shown else ""
    usual, odd = odd_lengths(shown)
    if len(odd) == len(shown) - 1:
        return f"lengths by position: {', '.join(shown)}"
    return f"length {usual}, {', '.join(f'{each} at {place}' for place, each in odd.items())}"


def _class(text: str) -> str:
    from reassembly.trade.grade import read_grade

    try:
        grade = read_grade(text)
    except ValueError:
        return ""
    return grade.name if grade.inch else f"class {grade.name}"


@lines.register(said.TorqueSpecified)
def specification(fact: said.TorqueSpecified, job: Job) -> Iterator[str]:
    yield from _stages(fact.stages, job)
    part = parts(job).get(fact.part)
    found = part.fasteners(fact.fasteners) if part else None
    with suppress(ValueError):
        if fact.layout.strip():
            layout = positions(fact.layout, found.count if found else fact.count)
            yield words(f"{layout.kind} of {layout.count}", seen_from(fact.seen_from or layout.side), between=" ")
            if not fact.order:
                yield f"order {_listed(generic_order(layout))}: generic, the manual's own goes first"
    if fact.order:
        yield f"order {_listed(fact.order)}: as the manual gives it"


def _listed(order: Sequence[int]) -> str:
    return " ".join(map(str, order))


def _stages(stages: Sequence[said.Stage], job: Job) -> Iterator[str]:
    for number, stage in enumerate(stages, 1):
        which = f"stage {number} of {len(stages)}: " if len(stages) > 1 else ""
        if stage.kind in {"torque", "check pass"} and stage.value.strip():
            yield f"{which}{stage.kind} {torque_pair(stage.value, unit_of('torque', job))}"
        elif stage.kind == "angle":
            with suppress(ValueError):
                yield f"{which}turn {read(stage.value, 'angle', unit_of('angle', job)).shown} further"
        else:
            yield f"{which}{words(stage.kind, stage.value, between=' ')}"


@lines.register(said.AidFitted)
def aid(fact: said.AidFitted, job: Job) -> Iterator[str]:
    match purpose(fact):
        case "holds" if bears_weight(fact):
            yield "it bears weight: asked out when all parts are back"
        case "holds":
            yield "it holds: asked out last, when the part is back and tight"
        case "in the way":
            yield "it is in the way: asked out before the part goes back"
        case _:
            yield "asked before the part goes back whether it is in the way, and out when the part is tight"


@lines.register(said.FluidDrained)
def drained(fact: said.FluidDrained, job: Job) -> Iterator[str]:
    yield _beside(fact.amount, "volume", "US qt", job)


@lines.register(said.LevelSpecified)
def level_window(fact: said.LevelSpecified, job: Job) -> Iterator[str]:
    low, high = (_beside(text, "temperature", "°F", job) for text in (fact.low, fact.high))
    window = words(low and f"from {low}", high and f"to {high}", between=" ")
    if window:
        yield f"level counts {window}"
    if fact.engine:
        yield f"engine {fact.engine}"


@lines.register(said.OrderSaid)
def order_of_parts(fact: said.OrderSaid, job: Job) -> Iterator[str]:
    every = parts(job)
    if fact.goes == "independent":
        yield "at any time: it waits for no other part, unless somebody says so"
    elif fact.part in every and fact.other in every:
        first, then = (fact.part, fact.other) if fact.goes == "before" else (fact.other, fact.part)
        usual = refit_order(job).parts
        as_usual = usual.index(first) < usual.index(then)
        yield f"first {every[first].name}, then {every[then].name}{': so it was already' if as_usual else ''}"


@lines.register(said.StageTightened)
def tightened(fact: said.StageTightened, job: Job) -> Iterator[str]:
    yield f"position {fact.position}" if fact.position else "the whole stage at once"
    if fact.value.strip():
        yield f"measured {torque_pair(fact.value, unit_of('torque', job))}"


@lines.register(said.FluidFilled)
def filled(fact: said.FluidFilled, job: Job) -> Iterator[str]:
    same = fold(fact.fluid)
    went_in = [e.fact.amount for e in job.said(said.FluidFilled) if fold(e.fact.fluid) == same]
    came_out = [e.fact.amount for e in job.said(said.FluidDrained) if fold(e.fact.fluid) == same]
    with suppress(ValueError):
        yield filled_of_drained([*went_in, fact.amount], came_out).sentence


@lines.register(said.LevelChecked)
def level(fact: said.LevelChecked, job: Job) -> Iterator[str]:
    for entry in job.said(said.LevelSpecified):
        asked = entry.fact
        if fold(asked.fluid) == fold(fact.fluid) and fact.temperature.strip():
            with suppress(ValueError):
                verdict = within_window(fact.temperature, asked.low, asked.high)
                yield verdict.sentence if verdict.inside else ""


@lines.register(said.WrenchAdded)
def wrench(fact: said.WrenchAdded, job: Job) -> Iterator[str]:
    unit = unit_of("torque", job)
    yield f"from {torque_pair(fact.low, unit)} to {torque_pair(fact.high, unit)}"


@lines.register(said.SpecNoted)
def spec_book(fact: said.SpecNoted, job: Job) -> Iterator[str]:
    thread = thread_or_none(fact.thread)
    if thread:
        yield from thread_in_words(thread)
    if fact.strength.strip():
        yield _class(fact.strength)
    yield from _stages(fact.stages, job)
