"""Putting back by the refit plan, as a careful technician would: whatever is ready, in its order."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from reassembly.job.entries import (
    AidRemoved,
    CheckConfirmed,
    CodesCleared,
    ExceptionAccepted,
    RenewalReceived,
    SecondCheckMade,
    SignedOff,
    StageTightened,
)
from reassembly.job.job import parts
from reassembly.job.plan import first, plan
from reassembly.job.tightening import stage_number, stages_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from reassembly.job.checks import Check
    from reassembly.job.entries import CodeRead, FluidFilled, LevelChecked, RoadTested
    from reassembly.job.plan import Plan
    from reassembly.record.demo.person import Person


@dataclass(frozen=True)
class Answers:
    """Who puts back, and what is said where a plain yes is not enough. Parts by id, batches by part number."""

    worker: Person
    second: Person
    drive: RoadTested
    read: CodeRead
    fills: tuple[FluidFilled, ...] = ()
    levels: tuple[LevelChecked, ...] = ()
    wrenches: Mapping[str, str] = field(default_factory=dict)
    batches: Mapping[str, str] = field(default_factory=dict)
    one_by_one: frozenset[str] = frozenset()
    forgets: frozenset[str] = frozenset()
    excepts: Mapping[str, tuple[str, str]] = field(default_factory=dict)


def refit(answers: Answers, until: str = "") -> None:
    """Answer what is ready until nothing is left, or until the part `until` has its turn."""
    worker = answers.worker
    before = ""
    while check := _next(plan(worker.desk.job(worker.job)), answers):
        if until and check.part == until:
            return
        assert check.key != before, f"not answered: {check.wording}"
        before = check.key
        _answer(check, answers)


def sign_off(person: Person, note: str = "") -> None:
    """Close a job; whoever calls this has looked at what is open."""
    every = plan(person.desk.job(person.job)).checks
    excepted = tuple(check.key for check in every if check.state == "excepted")
    covers = {bench: head.number for bench, head in person.desk.heads().items()}
    person.says(SignedOff(covers=covers, exceptions=excepted, note=note))


def _next(refit: Plan, answers: Answers) -> Check | None:
    """The first open check that may be confirmed now."""
    for step in refit.steps:
        if step.blocked_by or step.part.id in answers.forgets:
            continue
        still = [check for check in step.checks if check.open and not first(check, refit)]
        if still:
            return still[0]
    return next((check for check in refit.last if check.open), None)


def _answer(check: Check, answers: Answers) -> None:
    worker = answers.worker
    if check.wording in answers.excepts:
        reason, accepted_by = answers.excepts[check.wording]
        worker.says(ExceptionAccepted(check=check.key, reason=reason, accepted_by=accepted_by))
        return
    match check.way:
        case "receive":
            number = getattr(check.asked_by.fact, "part_number", "")
            batch = answers.batches.get(number, "")
            worker.says(RenewalReceived(needed=check.asked_by.id, part_number=number, batch=batch))
        case "tighten":
            _tighten(check, answers)
        case "aid":
            worker.says(AidRemoved(aid=check.asked_by.id))
        case "second":
            answers.second.says(SecondCheckMade(check=check.key))
        case "fill":
            _fill(check, answers)
        case "level":
            worker.says(*answers.levels)
        case "clear":
            worker.says(CodesCleared())
        case "drive":
            worker.says(answers.drive)
        case "read":
            worker.says(answers.read)
        case _:
            worker.says(CheckConfirmed(check=check.key))


def _tighten(check: Check, answers: Answers) -> None:
    worker, specified = answers.worker, check.asked_by
    every = parts(worker.desk.job(worker.job))
    stage = stages_of(specified.fact, every[check.part])[stage_number(check.key) - 1]
    wrench = answers.wrenches.get(check.part, "T3") if stage.kind == "torque" else ""
    positions = specified.fact.order or range(1, stage.positions + 1)
    for position in positions if check.part in answers.one_by_one else (None,):
        worker.says(StageTightened(specification=specified.id, stage=stage.number, position=position, wrench=wrench))


def _fill(check: Check, answers: Answers) -> None:
    from reassembly.trade.fluid import filled_of_drained

    answers.worker.says(*answers.fills)
    totals = filled_of_drained([fill.amount for fill in answers.fills], [check.asked_by.fact.amount])
    answers.worker.says(CheckConfirmed(check=check.key, value=totals.sentence))
