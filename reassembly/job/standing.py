"""Where a job stands, for somebody who never saw it: five lines, each read once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from reassembly.job.checks import closed
from reassembly.job.entries import AidFitted, CodeRead, RoadTested
from reassembly.job.job import parts
from reassembly.job.plan import plan
from reassembly.job.telling import Names, tell
from reassembly.job.walk import LAST, next_check, next_step, put_off
from reassembly.job.wording import many, minute

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.job import Job
    from reassembly.job.plan import Plan


class Line(NamedTuple):
    """What it is about, and the words."""

    about: str
    words: str


class Todo(NamedTuple):
    """Where to go on, and with what; or `when` that is the way to go."""

    way: Literal["check-in", "stripdown", "refit", "signoff", "come-back"]
    words: str = ""
    when: str = ""


def standing(job: Job) -> tuple[Line, Line, Line, Line, Line]:
    """Complaint, how far it is, who did what last, what is next, and what to mind."""
    refit = plan(job)
    return (
        Line("complaint", job.opened.complaint or "none said"),
        Line("stands", _stands(job, refit)),
        Line("last", _last(job)),
        Line("next", "; or ".join(todo.words or todo.when for todo in to_do(job))),
        Line("mind", "; ".join(_mind(job, refit)) or "no aid is in it, nothing was put off"),
    )


def _stands(job: Job, refit: Plan) -> str:
    signed = closed(job)
    if signed:
        since = sum(1 for e in job.entries if e.order > signed.order)
        later = f"; {many(since, 'entry')} since" if since else ""
        return f"signed off by {signed.who} {minute(signed.time)}{later}"
    off = [part for part in parts(job).values() if part.removed]
    still = f"{many(len(refit.open), 'check')} open"
    if not off:
        return "checked in, nothing taken off yet"
    count = many(len(off), "part")
    done = sum(step.done for step in refit.steps if step.part.removed)
    begun = any(check.answer for step in refit.steps for check in step.checks)
    all_of = f"all {count}" if len(off) > 1 else "the part"
    if not refit.open:
        return f"{all_of} back, every check confirmed or excepted; not signed off"
    if done == len(off):
        return f"{all_of} back; {still} before it leaves"
    if begun:
        return f"{done} of {count} back; {still}"
    return f"{count} off, none back; {still}"


def _last(job: Job) -> str:
    if not job.entries:
        return "nothing was said"
    last = job.entries[-1]
    return f"{last.who} {minute(last.time)}: {tell(last, Names.of(job))}"


def to_do(job: Job) -> tuple[Todo, ...]:
    """What is next, and what else may be."""
    refit = plan(job)
    if closed(job) and refit.open:
        return (Todo("signoff", f"{open_again(refit)}: look at them, and reopen the job"),)
    if closed(job):
        return (Todo("come-back", "opens a new job that points at this one"),)
    if not any(part.removed for part in parts(job).values()):
        lacks = ", ".join(_not_checked_in(job))
        off = Todo("stripdown", "say the first part that comes off")
        return (Todo("check-in", lacks), off) if lacks else (off,)
    if not refit.open:
        return (Todo("signoff", "look at the sign-off, and sign"),)
    waits = put_off(job)
    part = next_step(refit, LAST, waits)
    check = next_check(refit, part, waits) if part is not None else None
    if check is None or part is None:
        return (Todo("signoff", "nothing can be confirmed now, the sign-off says what is open"),)
    step = refit.step(part)
    if step is None:
        return (Todo("refit", f"before it leaves, {check.wording}"),)
    where = f", shelf {step.shelf}" if step.shelf else ""
    back = Todo("refit", f"{step.part.name}: {check.wording}{where}")
    begun = any(c.answer for s in refit.steps for c in s.checks)
    return (back,) if begun else (back, Todo("stripdown", when="if more comes off"))


def open_again(refit: Plan) -> str:
    """What came after a sign-off, in words."""
    return f"{many(len(refit.open), 'check')} open again since the sign-off"


def _not_checked_in(job: Job) -> Iterator[str]:
    """What can only be said before the work, and was not."""
    if not job.opened.complaint.strip():
        yield "complaint"
    if not any(entry.fact.when == "before" for entry in job.said(CodeRead)):
        yield "codes read"
    if not any(entry.fact.when == "before" for entry in job.said(RoadTested)):
        yield "road test before the work"


def _mind(job: Job, refit: Plan) -> Iterator[str]:
    """The most pressing first."""
    odd = sum(check.state in {"contradiction", "unknown"} for check in refit.open)
    if odd:
        yield f"{many(odd, 'contradiction')} to settle"
    still_in = {check.asked_by.id for check in refit.open if check.way == "aid"}
    aids = [entry.fact.aid for entry in job.said(AidFitted) if entry.id in still_in]
    if aids:
        yield f"still in it: {_named(aids)}"
    fluids = dict.fromkeys(check.asked_by.fact.fluid for check in refit.open if check.way == "fill")
    if fluids:
        yield f"{_named(list(fluids))} not yet filled"
    waits = [(check, e) for key, e in put_off(job).items() if (check := refit.check(key)) and check.open]
    if waits:
        yield f"not now: {_named([f'{check.wording} ({e.fact.reason})' for check, e in waits])}"
    excepted = [check.wording for check in refit.checks if check.state == "excepted"]
    if excepted:
        yield f"{many(len(excepted), 'exception')}: {_named(excepted)}"


def _named(several: list[str]) -> str:
    """The first two, and how many more."""
    more = f" and {len(several) - 2} more" if len(several) > 2 else ""
    return ", ".join(several[:2]) + more
