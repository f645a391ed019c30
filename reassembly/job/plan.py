"""The refit plan: the steps in refit order, each with its checks in working order, and what blocks it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from reassembly.job.asks import Turn
from reassembly.job.bag import shelf_of
from reassembly.job.checks import checks
from reassembly.job.entries import BagPacked
from reassembly.job.job import asked_again, parts
from reassembly.job.refit_order import refit_order

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job, Part
    from reassembly.job.refit_order import RefitOrder

StepState = Literal["blocked", "ready", "part done", "done"]

# A step holds up the next one until its work is done; a second person, paint, a last look and an aid that holds
# things may come later, and are still asked for before sign-off.
_MAY_WAIT = frozenset({Turn.SECOND, Turn.STRIPE, Turn.LOOK, Turn.LET_GO})


class Step(NamedTuple):
    """One part going back."""

    part: Part
    checks: tuple[Check, ...]
    blocked_by: tuple[str, ...]
    bags: tuple[Entry[BagPacked], ...]
    shelf: str = ""
    """Where the last of its bags waits, as far as somebody said."""

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


@asked_again
def plan(job: Job) -> Plan:
    """The whole refit of a job as it stands now."""
    every = parts(job)
    order = refit_order(job)
    asked: dict[str, list[Check]] = {}
    for check in sorted(checks(job), key=lambda c: c.turn):
        asked.setdefault(check.part if check.turn < Turn.LOWER else "", []).append(check)
    bags: dict[str, list[Entry[BagPacked]]] = {}
    for entry in job.said(BagPacked):
        for part in dict.fromkeys(entry.fact.parts):
            bags.setdefault(part, []).append(entry)
    waits_for = _open_before(order, {p for p in order.parts if any(_holds_up(c) for c in asked.get(p, ()))})
    steps = tuple(
        Step(
            every[part],
            tuple(asked[part]),
            waits_for[part],
            tuple(bags.get(part, ())),
            shelf_of(bags[part][-1].fact.bag, job) if part in bags else "",
        )
        for part in order.parts
        if part in asked
    )
    known = {step.part.id for step in steps}
    last = [check for part, found in asked.items() if part not in known for check in found]
    return Plan(steps, tuple(sorted(last, key=lambda c: c.turn)))


def first(before: Check, steps: Plan, said: Collection[str] = ()) -> tuple[str, ...]:
    """What must be done before this check can be confirmed, in words; empty when it can be. `said` are keys of checks
    that count as confirmed, because they are said in the same breath."""
    step = steps.step(before.part)
    if before.turn == Turn.COMPLAINT:  # nobody knows before it was driven
        return tuple(check.wording for check in steps.last if check.way == "drive" and check.open)
    if before.turn in {Turn.LET_GO, Turn.LOWER} and step is None:
        # who knows which part it holds: all of them are back first
        return not_back(steps)
    if step is None or before.turn <= Turn.CLEAN:
        return ()
    if held_up(before, step):
        return tuple(_names(step.blocked_by, steps))
    if before.turn < Turn.BACK:
        return ()
    return tuple(c.wording for c in step.checks if c.key not in said and _holds_up(c) and _comes_first(c, before))


def not_back(refit: Plan) -> tuple[str, ...]:
    """The names of the parts that are not back yet, or not tight."""
    return tuple(step.part.name for step in refit.steps if any(map(_holds_up, step.checks)))


def held_up(check: Check, step: Step) -> bool:
    """Whether other parts are first; new parts and clean ones can be laid out long before their turn."""
    return check.turn > Turn.CLEAN and bool(step.blocked_by)


def _comes_first(one: Check, other: Check) -> bool:
    if one.turn == other.turn == Turn.STAGE and one.asked_by.id == other.asked_by.id:
        return (len(one.key), one.key) < (len(other.key), other.key)  # stage10 after stage9
    return one.turn < other.turn


def _holds_up(check: Check) -> bool:
    return check.open and check.turn not in _MAY_WAIT


def _open_before(order: RefitOrder, open_parts: set[str]) -> dict[str, tuple[str, ...]]:
    """For each part the open ones that must be back before it, however far back, in refit order."""
    bit = {part: 1 << n if part in open_parts else 0 for n, part in enumerate(order.parts)}
    behind: dict[str, int] = {}
    found: dict[str, tuple[str, ...]] = {}
    for part in order.parts:  # what a part waits for stands before it in the order
        several, last = 0, 0
        for first in order.first[part]:
            last = behind[first] | bit[first]
            several |= last
        behind[part] = several
        if several and several == last:  # nearly always all that the nearest waits for: a long job has a long row
            found[part] = (*found[first], first) if bit[first] else found[first]
        else:
            found[part] = tuple(p for p in order.parts if several & bit[p]) if several else ()
    return found


def _names(part_ids: Iterable[str], steps: Plan) -> Iterator[str]:
    called = {step.part.id: step.part.name for step in steps.steps}
    return (called[part] for part in part_ids)
