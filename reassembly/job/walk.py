"""Going through the refit one check at a time: which is next, what was put off, which step follows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reassembly.job.asks import Turn
from reassembly.job.entries import CheckPutOff, FluidFilled, StageTightened
from reassembly.job.plan import first, held_up, not_back

if TYPE_CHECKING:
    from collections.abc import Collection

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job
    from reassembly.job.plan import Plan

LAST = ""
"""Stands in the place of a part for what is asked of the whole job, after the last step."""


def steps_in_turn(refit: Plan) -> tuple[str, ...]:
    """The parts in refit order, then LAST if anything is asked of the whole job."""
    return (*(step.part.id for step in refit.steps), *([LAST] if refit.last else []))


def checks_of(refit: Plan, part: str) -> tuple[Check, ...]:
    """The checks of one step, in working order."""
    step = refit.step(part)
    return refit.last if part == LAST else step.checks if step else ()


def put_off(job: Job) -> dict[str, Entry[CheckPutOff]]:
    """What each check waits for, as somebody said last."""
    return {entry.fact.check: entry for entry in job.said(CheckPutOff)}


def next_check(refit: Plan, part: str, put_off: Collection[str] = ()) -> Check | None:
    """The first check of a step that can be confirmed now and was not put off. What bears weight may be said to be out
    once its own part is tight, and fluid may be filled; both come up by themselves when all parts are back."""
    step = refit.step(part)
    if step is not None and step.done:
        return None
    still = (c for c in checks_of(refit, part) if c.open and c.key not in put_off and not (step and held_up(c, step)))
    if part == LAST and not_back(refit):
        still = (c for c in still if c.turn != Turn.LOWER and c.way != "fill")
    return next((c for c in still if not first(c, refit)), None)


def next_step(refit: Plan, part: str, put_off: Collection[str] = ()) -> str | None:
    """The step after this one, in a circle, in which something can be confirmed now; it may be the same one."""
    turn = steps_in_turn(refit)
    at = turn.index(part) + 1 if part in turn else 0
    circle = sorted((*turn[at:], *turn[:at]), key=lambda other: other == LAST)
    # What is asked of the whole job comes when nothing else is left to do.
    return next((other for other in circle if next_check(refit, other, put_off)), None)


def said_of(refit: Plan, part: str, job: Job) -> list[Entry[Any]]:
    """What was said in answer to a step; what was tightened of it and filled in, whether or not it answers a check."""
    checks = checks_of(refit, part)
    specified = {check.asked_by.id for check in checks if check.way == "tighten"}
    return [
        *(check.answer for check in checks if check.answer),
        *(e for e in job.said(StageTightened) if e.fact.specification in specified),
        *(e for e in job.said(FluidFilled) if part == LAST),
    ]
