"""What stands between a job and its sign-off, and what whoever signs should know."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.asks import two_groups, words
from reassembly.job.bag import never_seen
from reassembly.job.checks import closed, covered
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
from reassembly.job.second_person import second_people
from reassembly.job.tightening import is_critical, stages_of
from reassembly.job.wrenches import told_of_wrenches

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry, Fact
    from reassembly.job.job import Job
    from reassembly.job.plan import Plan
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
        warnings=tuple(_by_gravity(job, shop, refit)),
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


def needs_signoff(fact: Fact) -> bool:
    """Whether a sign-off covers it, so that it is news where it comes after one."""
    return not isinstance(fact, _NEEDS_NO_SIGNOFF)


def _said_since(job: Job, done: Entry[SignedOff]) -> tuple[Entry[Any], ...]:
    """What the sign-off did not cover: said later, or said before at a bench that had not been heard from."""
    before = {e.id for e in covered(job, done)}
    every = (*job.entries, *job.struck)
    later = (e for e in every if e.id not in before and needs_signoff(e.fact))
    return tuple(sorted(later, key=lambda e: e.order))


def _by_gravity(job: Job, shop: Shop, refit: Plan) -> Iterator[str]:
    """What whoever signs should know, the gravest first: safety-critical joints, other wrenches, fluid, the rest."""
    critical, grave, mild = told_of_wrenches(job, shop)
    unsourced = [*_unsourced(job)]
    yield from _no_second_check(refit, job)
    yield from _of_second_people(refit, job)
    yield from _at_once(refit, job)
    yield from critical
    yield from (told for told, safety in unsourced if safety)
    yield from grave
    yield from mild
    yield from _short_of_fluid(refit, job)
    yield from (told for told, safety in unsourced if not safety)
    yield from _unseen(job)


def _no_second_check(refit: Plan, job: Job) -> Iterator[str]:
    """While it is only open, it stands among the open checks."""
    every = parts(job)
    for check in refit.checks:
        if check.way == "second" and check.state == "excepted":
            reason, person = accepted(check)
            yield f"no second check, {person} accepted it: {part_in(every, check.part).name}, {reason}"


def _of_second_people(refit: Plan, job: Job) -> Iterator[str]:
    """One warning for each pair of people, with every joint that it is about."""
    every = parts(job)
    joints: dict[str, dict[str, None]] = {}
    told = second_people(job, refit.checks)
    for check in refit.checks:
        made = "second check of" if check.way == "second" and check.state == "confirmed" else "exception at"
        for sentence in told.get(check.key, ()):
            joints.setdefault(sentence, {})[f"{made} {part_in(every, check.part).name}"] = None
    yield from (f"{sentence}: {', '.join(of)}" for sentence, of in joints.items())


def _at_once(refit: Plan, job: Job) -> Iterator[str]:
    """Safety-critical stages of several fasteners that one key said."""
    every = parts(job)
    stages: dict[str, list[str]] = {}
    for check in refit.checks:
        fact = check.answer.fact if check.answer and check.safety else None
        if isinstance(fact, StageTightened) and fact.position is None:
            part = part_in(every, check.part)
            stage = stages_of(check.asked_by.fact, part)[fact.stage - 1]
            if stage.positions > 1:
                which = words(part.name, check.asked_by.fact.fasteners)
                stages.setdefault(f"{which}, all {stage.positions}", []).append(stage.told)
    yield from (f"safety-critical, said tight at once: {which}, {'; '.join(of)}" for which, of in stages.items())


def _unsourced(job: Job) -> Iterator[tuple[str, bool]]:
    """With whether the joint is safety-critical."""
    every = parts(job)
    for entry in job.said(TorqueSpecified):
        if not entry.fact.source.strip():
            which = f", {entry.fact.fasteners}" if entry.fact.fasteners else ""
            part = part_in(every, entry.fact.part)
            yield f"a torque without a source: {part.name}{which}", is_critical(entry.fact, part)


def _short_of_fluid(refit: Plan, job: Job) -> Iterator[str]:
    filled = (check for check in refit.checks if check.way == "fill" and check.state == "confirmed")
    yield from dict.fromkeys(filter(None, (short_of(check, check.answer, job) for check in filled)))


def _unseen(job: Job) -> Iterator[str]:
    every = parts(job)
    for bag in never_seen(job):
        holds = bag.packed.fact.holds or ", ".join(part_in(every, part).name for part in bag.packed.fact.parts)
        yield words(
            f"bag {two_groups(bag.code)} not seen since it was packed", holds, bag.shelf and f"shelf {bag.shelf}"
        )
