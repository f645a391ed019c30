"""What can be computed from fasteners, torque and wrenches. No value is offered: only what was typed is worked on."""

# ruff: noqa: ARG001 - one signature for every kind of fact
from __future__ import annotations

import re
from contextlib import suppress
from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.doubt import unit_of
from reassembly.job.reckon import Around, Reckoned, reckon, tried
from reassembly.trade.conversion import converted
from reassembly.trade.quantity import other_torque, read
from reassembly.trade.thread import geometry, thread_or_none
from reassembly.trade.wrench import Wrench, calibration_workings, lowest_usable, true_torque_band

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from reassembly.job.job import Job
    from reassembly.trade.grade import Grade
    from reassembly.trade.quantity import Reading
    from reassembly.trade.thread import Thread


@reckon.register(said.FastenersRemoved)
def fastener_set(fact: said.FastenersRemoved, around: Around) -> Iterator[Reckoned]:
    yield from _bolt(fact.thread, fact.strength)


def _bolt(thread: str, strength: str) -> Iterator[Reckoned]:
    """Geometry of the thread, and the loads of its class."""
    from reassembly.trade import grade as of_grade

    bolt, grade = thread_or_none(thread), _grade(strength)
    if bolt is None:
        return
    for name, workings in geometry(bolt).items():
        yield Reckoned(f"{bolt.designation} {name}", workings)
    if grade is not None:
        for name, load in (("proof load", of_grade.proof_load), ("yield load", of_grade.yield_load)):
            yield from tried(f"{bolt.designation} {grade.name} {name}", lambda load=load: load(bolt, grade))  # type: ignore[misc]


def _grade(text: str) -> Grade | None:
    from reassembly.trade.grade import read_grade

    try:
        return read_grade(text) if text.strip() else None
    except ValueError:
        return None


@reckon.register(said.TorqueSpecified)
def specification(fact: said.TorqueSpecified, around: Around) -> Iterator[Reckoned]:
    found = around.part(fact.part).fasteners(fact.fasteners)
    count = found.count if found else fact.count
    thread, strength = (found.thread, found.strength) if found else ("", "")
    yield from _stages(fact.stages, thread, strength, around.job)
    yield from _order(fact, count)
    yield from _greased(fact, around)
    torques = [stage for stage in fact.stages if stage.kind == "torque"]
    if len(fact.stages) == len(torques) == 1 and count and count > 2:
        yield from _generic_stages(torques[0].value, unit_of("torque", around.job))


@reckon.register(said.SpecNoted)
def spec_book(fact: said.SpecNoted, around: Around) -> Iterator[Reckoned]:
    yield from _stages(fact.stages, fact.thread, fact.strength, around.job)
    yield from _bolt(fact.thread, fact.strength)


def _stages(stages: Iterable[said.Stage], thread: str, strength: str, job: Job) -> Iterator[Reckoned]:
    yield from _of_stages(tuple(stages), thread, strength, unit_of("torque", job))


@lru_cache(maxsize=256)
def _of_stages(stages: tuple[said.Stage, ...], thread: str, strength: str, unit: str) -> tuple[Reckoned, ...]:
    """A vehicle has hundreds of bolts, of some dozens of kinds."""
    return tuple(_reckoned(stages, thread, strength, unit))


def _reckoned(stages: Iterable[said.Stage], thread: str, strength: str, unit: str) -> Iterator[Reckoned]:
    """Each torque in the other unit; what the last does to the bolt, and what a wrench makes of it."""
    torques = [found for stage in stages if stage.kind == "torque" and (found := torque(stage.value, unit))]
    for reading in {each.shown: each for each in torques}.values():
        other, _ = other_torque(reading)
        yield from tried(f"{reading.shown} in {other}", lambda r=reading, o=other: converted(r.shown, o))  # type: ignore[misc]
    if not torques:
        return
    last = torques[-1]
    bolt, grade = thread_or_none(thread), _grade(strength)
    if bolt is not None:
        yield from _preload(last, bolt, grade)
    elif not thread.strip():
        yield Reckoned("preload and share of the bolt's strength", None, "the thread of the fasteners")
    yield from band(last)


def torque(text: str, unit: str) -> Reading | None:
    """A torque as typed, understood; None where it cannot be, or is nothing."""
    try:
        found = read(text, "torque", unit)
    except ValueError:
        return None
    return found if found.number > 0 else None


def _preload(last: Reading, bolt: Thread, grade: Grade | None) -> Iterator[Reckoned]:
    from reassembly.trade.fastener import ROUGH, SLIPPERY, preload_from, share_of_window, short_preload

    if grade is None:
        yield Reckoned("share of the bolt's strength", None, "the class of the fasteners")
    else:
        title = f"{last.shown} as a share of what {bolt.designation} {grade.name} usually takes"
        yield from tried(title, lambda: share_of_window(last.quantity, bolt, grade))
    for surface, friction in (("rough", ROUGH), ("slippery", SLIPPERY)):
        title = f"preload that {last.shown} gives, {surface} threads"
        yield from tried(title, lambda f=friction: preload_from(last.quantity, bolt, f))  # type: ignore[misc]
    title = f"preload that {last.shown} gives, T = K d F with K 0.2"
    yield from tried(title, lambda: short_preload(last.quantity, bolt.diameter, 0.2))


def _greased(fact: said.TorqueSpecified, around: Around) -> Iterator[Reckoned]:
    """Where the threads are to be oiled or greased: what that makes of a value given for dry ones."""
    from reassembly.trade.stages import lubricated

    care = [e.fact.what for e in around.part(fact.part).said(said.CareNoted) if e.fact.care == "grease"]
    torques = [stage.value for stage in fact.stages if stage.kind == "torque"]
    last = torque(torques[-1], unit_of("torque", around.job)) if torques else None
    if last and any(_OF_BOLTS.search(what) for what in care):
        for surface in ("oiled", "anti-seize"):
            title = f"{last.shown}, if the source means dry steel, on threads with {_WITH[surface]}"
            yield from tried(title, lambda s=surface: lubricated(last.quantity, "dry steel", s))  # type: ignore[misc]


_OF_BOLTS = re.compile(r"\b(?:thread|bolt|stud|screw|nut)s?\b", re.IGNORECASE)
_WITH = {"oiled": "oil", "anti-seize": "anti-seize"}


def band(setting: Reading) -> Iterator[Reckoned]:
    """What reaches the bolt at a setting."""
    low, high = true_torque_band(setting.quantity)
    yield Reckoned(f"least on the bolt at {setting.shown}, if the wrench keeps to ISO 6789", low)
    yield Reckoned(f"most on the bolt at {setting.shown}, if the wrench keeps to ISO 6789", high)


def _order(fact: said.TorqueSpecified, count: int | None) -> Iterator[Reckoned]:
    from reassembly.trade.layout import positions
    from reassembly.trade.order import order_workings
    from reassembly.trade.spline import degrees_apart

    if not fact.layout.strip():
        return
    try:
        layout = positions(fact.layout, count)
    except ValueError:
        return
    if not fact.order:
        yield Reckoned("generic tightening order", order_workings(layout))
    if layout.kind == "circle":
        yield from tried("one hole to the next", lambda: degrees_apart(layout.count, "hole"))


def _generic_stages(final: str, unit: str) -> Iterator[Reckoned]:
    from reassembly.trade.stages import SHARES, generic_workings

    with suppress(ValueError):
        for share, workings in zip(SHARES, generic_workings(final, unit), strict=True):
            if share < 100:
                yield Reckoned(f"{share} % of {final}, where the manual gives no stages", workings)


@reckon.register(said.StageTightened)
def tightened(fact: said.StageTightened, around: Around) -> Iterator[Reckoned]:
    unit = unit_of("torque", around.job)
    measured = torque(fact.value, unit)
    if measured:
        other, _ = other_torque(measured)
        yield from tried(f"{measured.shown} in {other}", lambda: converted(measured.shown, other))
    setting = torque(fact.setting, unit) or _asked(fact, around, unit)
    if setting:
        yield from band(setting)
    found = around.shop.wrench(fact.wrench)
    if found:
        yield from of_wrench(found.added)


def _asked(fact: said.StageTightened, around: Around, unit: str) -> Reading | None:
    spec = around.job.entry(fact.specification)
    stages = spec.fact.stages if spec and isinstance(spec.fact, said.TorqueSpecified) else ()
    if 1 <= fact.stage <= len(stages) and stages[fact.stage - 1].kind in ("torque", "check pass"):
        return torque(stages[fact.stage - 1].value, unit)
    return None


@reckon.register(said.WrenchAdded)
def wrench(fact: said.WrenchAdded, around: Around) -> Iterator[Reckoned]:
    yield from of_wrench(fact)


def of_wrench(fact: said.WrenchAdded) -> Iterator[Reckoned]:
    """The lowest setting to use on a wrench."""
    yield from tried(
        f"lowest setting to use on {fact.wrench}", lambda: lowest_usable(Wrench(fact.wrench, fact.low, fact.high))
    )


@reckon.register(said.WrenchCalibrated)
def calibration(fact: said.WrenchCalibrated, around: Around) -> Iterator[Reckoned]:
    yield from tried(f"last good day of {fact.wrench}", lambda: calibration_workings(date.fromisoformat(fact.on)))
