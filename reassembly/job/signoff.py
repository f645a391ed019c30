"""What stands between a job and its sign-off, and what whoever signs should know."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.asks import two_groups, words
from reassembly.job.bag import never_seen
from reassembly.job.checks import closed, covered
from reassembly.job.doubt import unit_of
from reassembly.job.entries import (
    BagShelved,
    BenchNamed,
    CustomerNamed,
    DetailsErased,
    ExceptionAccepted,
    JobReopened,
    LabelPrinted,
    LabelSeen,
    PhotoKept,
    SignedOff,
    StageTightened,
    TorqueSpecified,
)
from reassembly.job.fluids import short_of
from reassembly.job.job import part_in, parts
from reassembly.job.plan import plan
from reassembly.job.tightening import set_to, stages_of
from reassembly.trade.wrench import CYCLES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job
    from reassembly.job.plan import Plan
    from reassembly.job.shop import Order, Shop


class Signoff(NamedTuple):
    """The open checks, the excepted ones, what was struck out, and warnings in words."""

    open: tuple[Check, ...]
    excepted: tuple[Check, ...]
    struck: tuple[Entry[Any], ...]
    warnings: tuple[str, ...]
    closed: Entry[SignedOff] | None
    since: tuple[Entry[Any], ...]

    @property
    def may_close(self) -> bool:
        return not self.open and self.closed is None


def signoff(job: Job, shop: Shop) -> Signoff:
    """Everything that sign-off shows. Wrenches are judged by the date of the day they were used."""
    refit = plan(job)
    done = closed(job)
    return Signoff(
        open=refit.open,
        excepted=tuple(check for check in refit.checks if check.state == "excepted"),
        struck=job.struck,
        warnings=(*_unsourced(job), *_wrenches(job, shop), *_short_of_fluid(refit, job), *_unseen(job)),
        closed=done,
        since=_said_since(job, done) if done else (),
    )


def accepted(check: Check) -> tuple[str, str]:
    """Reason of an excepted check, and the person who answers for it."""
    fact = check.answer.fact if check.answer else None
    return (fact.reason, fact.accepted_by) if isinstance(fact, ExceptionAccepted) else ("", "")


_NEEDS_NO_SIGNOFF = (
    SignedOff, JobReopened, CustomerNamed, DetailsErased, LabelPrinted, LabelSeen, BagShelved, PhotoKept, BenchNamed,
)  # fmt: skip


def _said_since(job: Job, done: Entry[SignedOff]) -> tuple[Entry[Any], ...]:
    """What the sign-off did not cover: said later, or said before at a bench that had not been heard from."""
    before = {e.id for e in covered(job, done)}
    every = (*job.entries, *job.struck)
    later = (e for e in every if e.id not in before and not isinstance(e.fact, _NEEDS_NO_SIGNOFF))
    return tuple(sorted(later, key=lambda e: e.order))


def _unsourced(job: Job) -> Iterator[str]:
    every = parts(job)
    for entry in job.said(TorqueSpecified):
        if not entry.fact.source.strip():
            which = f", {entry.fact.fasteners}" if entry.fact.fasteners else ""
            yield f"a torque without a source: {part_in(every, entry.fact.part).name}{which}"


def _short_of_fluid(refit: Plan, job: Job) -> Iterator[str]:
    filled = (check for check in refit.checks if check.way == "fill" and check.state == "confirmed")
    yield from dict.fromkeys(filter(None, (short_of(check, check.answer, job) for check in filled)))


def _unseen(job: Job) -> Iterator[str]:
    every = parts(job)
    for bag in never_seen(job):
        holds = bag.packed.fact.holds or ", ".join(part_in(every, part).name for part in bag.packed.fact.parts)
        yield words(f"bag {two_groups(bag.code)} was never seen again", holds, bag.shelf and f"shelf {bag.shelf}")


def _wrenches(job: Job, shop: Shop) -> Iterator[str]:
    every = parts(job)
    specified = {e.id: e.fact for e in job.said(TorqueSpecified)}
    unit = unit_of("torque", job)
    told: dict[str, None] = {}
    for entry in job.said(StageTightened):
        spec = specified.get(entry.fact.specification)
        if spec is None or not 1 <= entry.fact.stage <= len(spec.stages):
            continue
        part = part_in(every, spec.part)
        where, stage = part.name, stages_of(spec, part)[entry.fact.stage - 1]
        if not entry.fact.wrench:
            if stage.kind == "torque":
                told[f"tightened without naming the wrench: {where}"] = None
            continue
        for trouble in unsuitable(
            entry.fact.wrench, set_to(entry.fact, stage), entry.time[:10], shop, unit, entry.order
        ):
            told[f"{trouble}: {where}"] = None
    yield from told


def unsuitable(
    wrench: str, torque: str, on: str, shop: Shop, torque_unit: str = "N.m", used: Order | None = None
) -> list[str]:
    """Why this wrench should not be trusted with this torque on that day (ISO date); empty when it may be.

    `torque` as typed, in `torque_unit` where it names none; empty where the work has none, such as an angle. A range
    without a unit is in N.m, whatever the job is in, as the rack said when it was typed. `used` as in `doubt`.
    """
    found = shop.wrench(wrench)
    if found is None:
        return [f"wrench {wrench} is not in the rack"]
    doubt = found.doubt(on, used)
    troubles = [f"wrench {wrench} {doubt}"] if doubt else []
    if (done := shop.cycles_done(wrench, on)) >= CYCLES:
        troubles.append(f"wrench {wrench} has done {done} cycles since its calibration, {CYCLES} are allowed")
    if torque.strip():
        from reassembly.trade.quantity import read, show
        from reassembly.trade.wrench import LOWEST_SHARE

        try:
            asked = read(torque, "torque", torque_unit)
            low, high = (read(text, "torque", "N.m") for text in (found.added.low, found.added.high))
        except ValueError as trouble:
            return [*troubles, f"wrench {wrench}: its range cannot be compared: {trouble}"]
        if not low.quantity <= asked.quantity <= high.quantity:
            troubles.append(f"wrench {wrench} works from {low.shown} to {high.shown}, used at {asked.shown}")
        elif asked.quantity < LOWEST_SHARE * high.quantity:
            fifth = show(LOWEST_SHARE * high.quantity, high.unit)
            troubles.append(f"wrench {wrench} used at {asked.shown}, below a fifth of its full scale, {fifth}")
    return troubles
