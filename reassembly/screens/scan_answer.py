"""A bag scanned at refit: its answer stands across the screen, and where it fits now its step is on display."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.answer import Answer, answer
from reassembly.job.asks import two_groups
from reassembly.job.checks import closed
from reassembly.job.entries import CheckConfirmed
from reassembly.job.job import bag_code, title
from reassembly.job.plan import plan
from reassembly.job.together import together
from reassembly.job.walk import checks_of
from reassembly.screens.banner import LETTERS, Banner
from reassembly.screens.frame import TALL
from reassembly.screens.packing import note_seen
from reassembly.screens.ways import SCANNED

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.checks import Check
    from reassembly.job.job import Job
    from reassembly.job.plan import Plan
    from reassembly.screens.refit import RefitScreen

OTHER_ROWS = 13  # those above and below the list and the answer to a scan


def answer_scan(screen: RefitScreen, code: str) -> None:
    """One of the five answers; a bag that fits now is confirmed as scanned."""
    job = screen.job
    owner = screen.desk.owner_of(code)
    other = owner.job if owner and owner.job != job.id else ""
    refit = plan(job)
    same = bool(other) and _is_of_same_vehicle(screen.desk.job(other), job)
    found = answer(code, job, refit, _belongs_to(screen, other, same=same), same_vehicle=same)
    if found.kind == "fit now":
        screen.on.go_to(found.part, refit)
        bags = [check for check in _bags(refit, found.part, code) if check.open]
        if bags:
            screen.on.key = bags[0].key
        for check in bags if found.part else ():
            screen.say(CheckConfirmed(check=check.key, note=SCANNED))
    _show(screen, found, two_groups(code))
    note_seen(screen, code)


def _is_of_same_vehicle(other: Job, job: Job) -> bool:
    """Whether one of the two came back from the other."""
    return job.opened.earlier == other.id or other.opened.earlier == job.id


def _belongs_to(screen: RefitScreen, other: str, *, same: bool) -> str:
    """The other job, in words; empty for none."""
    if not other:
        return ""
    job = screen.desk.job(other)
    if not same:
        return title(job)
    signed = closed(job)
    until = f", closed on {screen.notation.dated(signed.time[:10])}" if signed else ", still open"
    return f"{'the come-back' if job.opened.earlier == screen.job.id else 'the earlier job'} {other}{until}"


def answer_misread(screen: RefitScreen, why: str) -> None:
    """None of our labels, and why."""
    _show(screen, answer(None, screen.job, plan(screen.job))._replace(detail=why))


def _show(screen: RefitScreen, found: Answer, code: str = "") -> None:
    screen.query_one(Banner).show(found, _letters(screen, found), _of_its_part(screen, found))
    if screen.bench.answered.manner != "trouble":
        told = f"{found.headline}   scanned {code}" if code else found.headline
        screen.answer(told, "fit" if found.kind == "fit now" else "warn")


def _of_its_part(screen: RefitScreen, found: Answer) -> str:
    """What Space may confirm: the check on display, where it is one of the part in the answer."""
    check = screen.on.check(plan(screen.job))
    here = found.kind == "fit now" and found.part == screen.on.part and check is not None and check.open
    return check.wording if check and here else ""


def _letters(screen: RefitScreen, found: Answer) -> int:
    """Smaller letters for FIT NOW where the large ones would hide what y says of the step."""
    height, refit = screen.app.size.height, plan(screen.job)
    step = refit.step(found.part)
    if found.kind != "fit now" or step is None or height < TALL:
        return LETTERS
    rows = [step.checks.index(check) for check in together(refit, found.part, screen.on.put_off)]
    return LETTERS if max(rows, default=0) < height - OTHER_ROWS - LETTERS else LETTERS // 2


def _bags(refit: Plan, part: str, code: str) -> Iterator[Check]:
    for check in checks_of(refit, part):
        if check.key.partition(".bag")[1] and bag_code(getattr(check.asked_by.fact, "bag", "")) == bag_code(code):
            yield check
