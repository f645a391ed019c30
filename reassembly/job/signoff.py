"""What stands between a job and its sign-off, and what whoever signs should know."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.entries import (
    BenchNamed,
    CustomerNamed,
    DetailsErased,
    ExceptionAccepted,
    JobReopened,
    LabelPrinted,
    PhotoKept,
    SignedOff,
    StageTightened,
    TorqueSpecified,
)
from reassembly.job.job import closed, parts
from reassembly.job.plan import plan

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job
    from reassembly.job.shop import Shop


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
        warnings=(*_unsourced(job), *_wrenches(job, shop)),
        closed=done,
        since=_said_since(job, done) if done else (),
    )


def accepted(check: Check) -> tuple[str, str]:
    """Reason of an excepted check, and the person who answers for it."""
    fact = check.answer.fact if check.answer else None
    return (fact.reason, fact.accepted_by) if isinstance(fact, ExceptionAccepted) else ("", "")


_NEEDS_NO_SIGNOFF = (SignedOff, JobReopened, CustomerNamed, DetailsErased, LabelPrinted, PhotoKept, BenchNamed)


def _said_since(job: Job, done: Entry[SignedOff]) -> tuple[Entry[Any], ...]:
    """What the sign-off did not cover: said later, or said before at a bench that had not been heard from."""
    covers = done.fact.covers
    every = (*job.entries, *job.struck)
    later = (e for e in every if e.number > covers.get(e.bench, 0) and not isinstance(e.fact, _NEEDS_NO_SIGNOFF))
    return tuple(sorted(later, key=lambda e: e.order))


def _unsourced(job: Job) -> Iterator[str]:
    every = parts(job)
    for entry in job.said(TorqueSpecified):
        if not entry.fact.source.strip():
            which = f", {entry.fact.fasteners}" if entry.fact.fasteners else ""
            yield f"a torque without a source: {every[entry.fact.part].name}{which}"


def _wrenches(job: Job, shop: Shop) -> Iterator[str]:
    every = parts(job)
    specified = {e.id: e.fact for e in job.said(TorqueSpecified)}
    told: dict[str, None] = {}
    for entry in job.said(StageTightened):
        spec = specified.get(entry.fact.specification)
        stage = spec.stages[entry.fact.stage - 1] if spec and entry.fact.stage <= len(spec.stages) else None
        if spec is None or stage is None:
            continue
        where = every[spec.part].name
        if not entry.fact.wrench:
            if stage.kind == "torque":
                told[f"tightened without naming the wrench: {where}"] = None
            continue
        for trouble in unsuitable(entry.fact.wrench, entry.fact.value or stage.value, entry.time[:10], shop):
            told[f"{trouble}: {where}"] = None
    yield from told


def unsuitable(wrench: str, torque: str, on: str, shop: Shop) -> list[str]:
    """Why this wrench should not be trusted with this torque on that day (ISO date); empty when it may be."""
    found = shop.rack.get(wrench)
    if found is None:
        return [f"wrench {wrench} is not in the rack"]
    troubles = []
    if not found.good_until:
        failed = bool(found.failed)
        troubles.append(
            f"wrench {wrench} {'failed and was not calibrated since' if failed else 'was never calibrated'}"
        )
    elif found.good_until < on:
        troubles.append(f"wrench {wrench} was out of calibration since {found.good_until}")
    return troubles
