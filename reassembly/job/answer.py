"""What a scanned bag or tag means at refit, in words readable from two metres."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from reassembly.job.entries import BagPacked
from reassembly.job.job import bag_code
from reassembly.job.wording import one_by_one

if TYPE_CHECKING:
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job
    from reassembly.job.plan import Plan, Step

Kind = Literal["fit now", "too early", "already fitted", "another vehicle", "not our label"]


class Answer(NamedTuple):
    """One of five answers; the part it is about, and what must go first."""

    kind: Kind
    headline: str
    detail: str
    part: str = ""
    first: tuple[str, ...] = ()
    same_vehicle: bool = False
    """Of another job of this vehicle: a come-back, or the job that it comes back from."""


def answer(code: str | None, job: Job, refit: Plan, belongs_to: str = "", *, same_vehicle: bool = False) -> Answer:
    """The answer to a scan. `code` is None when the letters are none of ours; `belongs_to` names the other job, in
    words, that the code is known from, `same_vehicle` that it is one of this vehicle."""
    if not code:
        return Answer("not our label", "NOT ONE OF OUR LABELS", "scan it again, or type the ten letters under the code")
    packed = [entry for entry in job.said(BagPacked) if bag_code(entry.fact.bag) == bag_code(code)]
    about = {part for entry in packed for part in entry.fact.parts}
    steps = [step for step in refit.steps if step.part.id in about]
    if packed and not steps:
        return _of_no_part(packed, refit)
    if not steps:
        if belongs_to and same_vehicle:
            told = f"it was packed in {belongs_to}: not asked for in this job"
            return Answer("another vehicle", "THIS VEHICLE'S, OF ANOTHER JOB", told, same_vehicle=True)
        if belongs_to:
            return Answer("another vehicle", "ANOTHER VEHICLE'S PART", f"it belongs to {belongs_to}: put it back there")
        return Answer(
            "not our label",
            "NO PART IN THIS JOB HAS THIS LABEL",
            "nothing was packed under it: look at the words on the bag",
        )
    return _for(steps, refit)


def _of_no_part(packed: list[Entry[BagPacked]], refit: Plan) -> Answer:
    holds = ", ".join(dict.fromkeys(entry.fact.holds for entry in packed if entry.fact.holds))
    if any(check.open for check in refit.last if check.asked_by in packed):
        return Answer("fit now", "FIT NOW", holds or "this bag names no part: look at the words on it")
    return Answer("already fitted", "ALREADY FITTED", f"{holds or 'this bag'}: emptied")


def _for(steps: list[Step], refit: Plan) -> Answer:
    todo = [step for step in steps if not step.done]
    if not todo:
        fitted = ", ".join(step.part.name for step in steps)
        return Answer("already fitted", "ALREADY FITTED", f"{fitted}: every check is confirmed", steps[0].part.id)
    free = [step for step in todo if not step.blocked_by]
    if free:
        return Answer("fit now", "FIT NOW", free[0].part.name, free[0].part.id)
    called = {step.part.id: step.part.name for step in refit.steps}
    names = tuple(called[part] for part in todo[0].blocked_by)
    return Answer(
        "too early",
        "TOO EARLY",
        f"{todo[0].part.name} waits; first {one_by_one(names)}",
        todo[0].part.id,
        names,
    )
