"""One step and its checks in words, as the refit screen shows them."""

from __future__ import annotations

import re
from textwrap import wrap
from typing import TYPE_CHECKING

from reassembly.job.asks import two_groups, words
from reassembly.job.at_hand import at_hand
from reassembly.job.checks import SHAPE
from reassembly.job.entries import CheckConfirmed, PhotoKept
from reassembly.job.fluids import filled
from reassembly.job.plan import first
from reassembly.job.signoff import accepted
from reassembly.job.walk import LAST, checks_of, put_off
from reassembly.job.wording import many, one_by_one, plural
from reassembly.screens.text import cut, safe
from reassembly.trade.units import UNITS, fold

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence

    from reassembly.job.checks import Check
    from reassembly.job.job import Job
    from reassembly.job.notation import Notation
    from reassembly.job.plan import Plan, Step

SMALL = 66
BESIDE = 40  # cells of a line, below which nothing stands beside the wording of a check
WHOLE = 56  # below which it stands there whole or not at all: half a size is taken for another

_PIECES = re.compile(r"(?<=\d)\s*(?P<unit>[^\W\d_][^\s,;:]*)|.", re.DOTALL)
_UNITS = frozenset(spelling for several in UNITS.values() for unit in several for spelling in unit.spellings)


def where_it_waits(step: Step, width: int) -> str:
    """The bag and its shelf; on a small panel whichever finds it sooner."""
    if not step.bags:
        return ""
    bag = step.bags[-1].fact
    shelf = f"shelf {step.shelf}" if step.shelf else ""
    code = f"bag {two_groups(bag.bag)}"
    return cut(words(code, shelf, between="   ") if width >= SMALL else shelf or code, width // 2)


def have_ready(step: Step | None, width: int) -> str:
    """What has to be on the bench for a step, as much as goes into one line."""
    told = at_hand(step).told if step else ()
    return cut(f"have ready  {'; '.join(told)}", width) if told else ""


def under_name(step: Step | None, refit: Plan, width: int, put_off: Collection[str] = ()) -> Iterator[str]:
    """Whether it may go back now, and where it belongs; `put_off` are keys of checks that were put off. In less
    `width` fewer names: the caution below them needs the rows."""
    if step is None:
        yield _before_it_leaves(refit, put_off, 1 if width < SMALL else 3)
        return
    at = next(n for n, s in enumerate(refit.steps, 1) if s is step)
    called = {s.part.id: s.part.name for s in refit.steps}
    of = f"goes on {called.get(step.part.parent, step.part.parent)}" if step.part.parent else ""
    waits = f"WAITS FOR {one_by_one([called[p] for p in step.blocked_by])}" if step.blocked_by and not step.done else ""
    photos = sum(1 for _ in step.part.said(PhotoKept))
    seen = f"{plural('photo', photos)}: {photos}, v shows" if photos else ""
    yield words(f"step {at} of {len(refit.steps)}: {step.state}", seen, of, waits, between="; ")


def _before_it_leaves(refit: Plan, put_off: Collection[str], most: int) -> str:
    """What comes before the last step of all, with so many names at most: what was put off, else whatever is open."""
    still = [s for s in refit.steps if not s.done]
    waiting = [s for s in still if is_put_off(s, put_off)]
    if not still:
        return ""
    wait = "waits" if len(waiting or still) == 1 else "wait"
    names = one_by_one([s.part.name for s in waiting or still], most)
    how = f"put off {wait}" if waiting else "open"
    return f"{many(len(waiting or still), 'part')} {how}: {names}: l leads there first"


def is_put_off(step: Step, put_off: Collection[str]) -> bool:
    """Whether something of a step that is still open was put off."""
    return any(check.open and check.key in put_off for check in step.checks)


def first_in_words(before: Sequence[str], *, parts: bool = False) -> str:
    """Why a check is refused now; where whole parts come first, also the key that says that they need not."""
    return f"NOT YET. First: {one_by_one(before)}{'; o, if it need not wait' if parts else ''}"


def check_line(check: Check, is_next: bool, width: int, doubt: str = "") -> str:
    """One line of the list: shape, wording (in capitals for the one that is next), and beside it the detail or the
    answer, behind what is doubtful about it."""
    wording = safe(capitals(check.wording) if is_next else check.wording)
    room = max(20, width - 6)
    column = min(room, max(30, room // 2))
    answered = words(doubt, _answered(check), between="  ")
    beside = doubt if room < BESIDE else words(doubt, check.detail) if check.open else answered
    told = f"{cut(wording, column):<{column}}  {beside}" if len(wording) < column else f"{wording}  {beside}"
    if room < WHOLE and len(told) > room and not doubt:
        near = f"{wording}  {beside}"
        told = near if len(near) <= room else wording
    return f"{'>' if is_next else ' '} {SHAPE[check.state]} {cut(told, room)}"


def _answered(check: Check) -> str:
    if check.answer is None:
        return ""
    if check.state == "excepted":
        reason, person = accepted(check)
        return f"{reason} ({person})"
    fact = check.answer.fact
    value = words(fact.value, fact.note) if isinstance(fact, CheckConfirmed) else ""
    return words(f"{check.answer.who} {check.answer.time[11:16]}", value, between="  ")


def now_lines(check: Check | None, refit: Plan, job: Job, who: str, notation: Notation) -> list[str]:
    """The check on display alone: its words, its detail, and what Space does where that is not plain."""
    if check is None:
        nothing = "NOTHING IS LEFT OPEN" if not refit.open else "NOTHING IS ASKED HERE ANY MORE"
        return [f"> {nothing}", "  sign-off is next: Esc, then Sign-off" if not refit.open else "  Space goes on"]
    lines = [f"> {capitals(check.wording)}", *([f"  {check.detail}"] if check.detail else [])]
    waits = put_off(job).get(check.key)
    if check.open and waits:
        lines.append(f"  not now: {waits.fact.reason}, {waits.who} {notation.minute(waits.time)}")
    if not check.open:
        assert check.answer is not None
        word = "excepted" if check.state == "excepted" else "confirmed"
        lines.append(f"  {word}: {_answered(check)}. {'Space goes on' if refit.open else 'Sign-off is next'}")
    elif before := first(check, refit):
        step = refit.step(check.part)
        if not (step and step.blocked_by) or check in refit.last:  # what the whole step waits for stands under its name
            lines.append(f"  first: {one_by_one(before)}")
    else:
        lines += [f"  {told}" for told in _space(check, job, who)]
    return [line for line in lines if line.strip()]


def below(lines: Iterable[str], width: int) -> list[str]:
    """The lines in so many cells; what is too long for one row goes on below, two cells in."""
    rows: list[str] = []
    for line in lines:
        inset = line[: len(line) - len(line.lstrip())]
        rows += wrap(
            safe(line.strip()),
            max(10, width),
            initial_indent=inset,
            subsequent_indent="  ",
            max_lines=3,
            placeholder=" ...",
        )
    return rows


def instead_of_list(checks: Sequence[Check], key: str) -> list[str]:
    """For a panel on which the list has no room: how many, and what follows the check on display."""
    still = [c for c in checks if c.open]
    following = next((c.wording for c in still if c.key != key), "")
    told = f"  {len(checks) - len(still)} done, {len(still)} open here"
    return [told, f"  then: {following}"] if following else [told]


def capitals(text: str) -> str:
    """In capitals, but for a unit after its number: N.M is no torque."""
    return _PIECES.sub(lambda piece: piece[0] if fold(piece["unit"] or "") in _UNITS else piece[0].upper(), text)


def _space(check: Check, job: Job, who: str) -> Iterator[str]:
    """What a plain Space will do, where it is more than confirming."""
    match check.way:
        case "fill":
            total = filled(check.asked_by.fact.fluid, job)
            yield total
            yield "Space confirms it, t adds more" if total else "Space says how much went in"
        case "second":
            yield f"not by {who}, if {who} did the work: scan a badge or press p" if who else ""
        case "scan":
            yield "scan it; Space confirms it without a scan"
        case "tighten":
            yield "Space shows the joint"
        case "deal":
            yield "Space asks what was done, or why it may stand"
        case "receive":
            yield "Space asks for the number on the packet"
        case "level" | "drive" | "read":
            yield "Space asks what was found"
        case "settle":
            yield "Space shows both sides"


def step_line(number: int, refit: Plan, part: str, put_off: Collection[str] = ()) -> str:
    """A step in the list of all: how it stands, in shape and words."""
    checks = checks_of(refit, part)
    still = sum(check.open for check in checks)
    step = refit.step(part)
    shape = "[x]" if not still else "[ ]"
    name = "BEFORE IT LEAVES" if part == LAST or step is None else step.part.name
    state = f"{step.state}, " if step and step.state != "done" else ""
    later = ", PUT OFF" if step and is_put_off(step, put_off) else ""
    how = f"{state}{still} of {len(checks)} open{later}" if still else "done"
    return f"{shape} {number:>3}  {cut(name, 30):<30} {how}"
