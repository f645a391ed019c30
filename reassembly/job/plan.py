"""The refit plan: the steps in refit order, each with its checks in working order, and what blocks it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from reassembly.job.asks import Turn
from reassembly.job.checks import checks
from reassembly.job.entries import BagPacked
from reassembly.job.job import parts
from reassembly.job.refit_order import refit_order

if TYPE_CHECKING:
    from collections.abc import Iterable

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job, Part

StepState = Literal["blocked", "ready", "part done", "done"]

# A step holds up the next one until its work is done; a second person, paint and an aid that holds things
# until the end may come later, and are still asked for before sign-off.
_MAY_WAIT = frozenset({Turn.AID, Turn.SECOND, Turn.STRIPE, Turn.LOOK})


class Step(NamedTuple):
    """One part going back."""

    part: Part
    checks: tuple[Check, ...]
    blocked_by: tuple[str, ...]
    bags: tuple[Entry[BagPacked], ...]

    @property
    def state(self) -> StepState:
        still = [check for check in self.checks if check.open]
        if not still:
            return "done"
        if self.blocked_by:
            return "blocked"
        return "part done" if len(still) < len(self.checks) else "ready"

    @property
    def done(self) -> bool:
        return self.state == "done"


class Plan(NamedTuple):
    """Steps in refit order, then what is asked of the job as a whole."""

    steps: tuple[Step, ...]
    last: tuple[Check, ...]

    @property
    def checks(self) -> tuple[Check, ...]:
        return (*(check for step in self.steps for check in step.checks), *self.last)

    @property
    def open(self) -> tuple[Check, ...]:
        """The sign-off warning: nothing else stands between a job and its sign-off."""
        return tuple(check for check in self.checks if check.open)

    def step(self, part: str) -> Step | None:
        return next((step for step in self.steps if step.part.id == part), None)

    def check(self, key: str) -> Check | None:
        return next((check for check in self.checks if check.key == key), None)


def plan(job: Job) -> Plan:
    """The whole refit of a job as it stands now."""
    every = parts(job)
    order = refit_order(job)
    asked: dict[str, list[Check]] = {}
    for check in sorted(checks(job), key=lambda c: c.turn):
        asked.setdefault(check.part, []).append(check)
    bags = tuple(job.said(BagPacked))
    held_up = {part for part in order.parts if any(_holds_up(check) for check in asked.get(part, ()))}
    steps = tuple(
        Step(
            every[part],
            tuple(asked[part]),
            _in_order(order.parts, held_up & _all_before(part, order.first)),
            tuple(entry for entry in bags if part in entry.fact.parts),
        )
        for part in order.parts
        if part in asked
    )
    known = {step.part.id for step in steps}
    last = [check for part, found in asked.items() if part not in known for check in found]
    return Plan(steps, tuple(sorted(last, key=lambda c: c.turn)))


def first(before: Check, steps: Plan) -> tuple[str, ...]:
    """What must be done before this check can be confirmed, in words; empty when it can be."""
    step = steps.step(before.part)
    if step is None:
        return ()
    if step.blocked_by:
        return tuple(_names(step.blocked_by, steps))
    if before.turn < Turn.BACK:
        return ()
    return tuple(c.wording for c in step.checks if _holds_up(c) and _comes_first(c, before))


def _comes_first(one: Check, other: Check) -> bool:
    if one.turn == other.turn == Turn.STAGE and one.asked_by.id == other.asked_by.id:
        return (len(one.key), one.key) < (len(other.key), other.key)  # stage10 after stage9
    return one.turn < other.turn


def _in_order(order: tuple[str, ...], chosen: set[str]) -> tuple[str, ...]:
    return tuple(part for part in order if part in chosen)


def _holds_up(check: Check) -> bool:
    return check.open and check.turn not in _MAY_WAIT


def _all_before(part: str, first_of: dict[str, tuple[str, ...]]) -> set[str]:
    seen: set[str] = set()
    todo = list(first_of.get(part, ()))
    while todo:
        earlier = todo.pop()
        if earlier not in seen:
            seen.add(earlier)
            todo.extend(first_of.get(earlier, ()))
    return seen


def _names(part_ids: Iterable[str], steps: Plan) -> Iterable[str]:
    for part in part_ids:
        step = steps.step(part)
        yield step.part.name if step else part
