"""Every check of a job, and what answers it. Sign-off is the list of those not confirmed."""

from __future__ import annotations

from itertools import pairwise, takewhile
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from reassembly.job import entries as said
from reassembly.job.asks import ADDED_LATER, Context, Turn, Way, asks, words
from reassembly.job.heard import Heard, against, covers, out_of_limits, stage_asked, work_on
from reassembly.job.job import Job, asked_again, fold, parts
from reassembly.job.refit_order import refit_order
from reassembly.job.road import not_driven, not_the_same
from reassembly.job.tightening import counts_after, done_of
from reassembly.job.wording import many
from reassembly.trade.identity import has_form_of_code

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from reassembly.job.entries import Entry
    from reassembly.job.job import Part

State = Literal["open", "confirmed", "excepted", "contradiction", "unknown"]
SHAPE: Mapping[State, str] = {
    "open": "[ ]", "confirmed": "[x]", "excepted": "[!]", "contradiction": "[?]", "unknown": "[?]"
}  # fmt: skip
"""How a state stands on a screen and in a terminal, where no colour tells."""


class Check(NamedTuple):
    """One thing to confirm at refit, and how it stands."""

    key: str
    turn: Turn
    wording: str
    detail: str
    part: str
    way: Way
    safety: bool
    asked_by: Entry[Any]
    state: State = "open"
    answer: Entry[Any] | None = None
    against: str = ""
    """Why what was said last does not answer it, where it is not plain to see; in `detail` too while it is open."""

    @property
    def open(self) -> bool:
        """Whether it stands between the job and its sign-off."""
        return self.state not in {"confirmed", "excepted"}


def checks(job: Job) -> tuple[Check, ...]:
    """Every check of a job with its state, as asked; plan.py puts them into working order."""
    return _answered(job, _signed_too_soon(job))


def one_check(job: Job, every: Mapping[str, Part], key: str, *also: Entry[Any]) -> Check | None:
    """The check with this key and its state, in a fraction of the time that all of them take; None for none.

    `every` are the parts of the job, `also` are answers that count as said.
    """
    asker = job.entry(".".join(key.split(".")[:2]))
    if asker is None:
        return None
    asked = next((check for check in _asked_by(asker, job, every) if check.key == key), None)
    as_it_would_be = job._replace(entries=(*job.entries, *also)) if also else job
    if asked is None:  # then it can only be asked by a contradiction
        return next((check for check in checks(as_it_would_be) if check.key == key), None)
    return _judged(asked, every, Heard.of(as_it_would_be))


def _answered(job: Job, more: Iterable[Check] = ()) -> tuple[Check, ...]:
    every = parts(job)
    heard = Heard.of(job)
    asked = (*_asked(job, every), *_contradictions(job, every, heard), *more)
    return tuple(_judged(check, every, heard) for check in asked)


@asked_again
def closed(job: Job) -> Entry[said.SignedOff] | None:
    """The sign-off that holds: the last one, unless the job was reopened later.

    One that was said while a check was open closes nothing, however it came into the journal. It is judged by what it
    covers and by who was known when it was said: what comes later is shown against it, and does not undo it.
    """
    for signed in reversed(_signatures(job)):
        if not _open_then(job, signed):
            return signed
    return None


def _signatures(job: Job) -> list[Entry[said.SignedOff]]:
    """Every sign-off since the job was reopened last."""
    found: list[Entry[said.SignedOff]] = []
    for entry in job.entries:
        if isinstance(entry.fact, said.SignedOff):
            found.append(entry)
        elif isinstance(entry.fact, said.JobReopened):
            found = []
    return found


def covered(job: Job, signed: Entry[said.SignedOff]) -> list[Entry[Any]]:
    """What a sign-off answers for: said before it, at its own bench or at one that it had heard from so far."""
    last = {**signed.fact.covers, signed.bench: signed.number}
    return [e for e in (*job.entries, *job.struck) if e.number <= last.get(e.bench, 0) and e.order < signed.order]


def _open_then(job: Job, signed: Entry[said.SignedOff]) -> int:
    """How many checks were open when this was said; a sign-off that covers nothing leaves itself open. A road test that
    said how it went was enough before anybody asked whether it was the same one: it undoes no sign-off."""
    before = covered(job, signed)
    if not before:
        return 1
    then = Job.of(before, (e for e in job.people if e.order < signed.order))
    asked = frozenset(signed.fact.checks)
    driven = any(says_outcome(e.fact) for e in then.said(said.RoadTested) if e.fact.when == "after")
    return sum(
        check.open and not (asked and _added_since(check, asked)) and not (driven and check.way == "drive")
        for check in _answered(then)
    )


def _added_since(check: Check, asked: frozenset[str]) -> bool:
    return check.key not in asked and check.key.removeprefix(f"{check.asked_by.id}.") in ADDED_LATER


def _signed_too_soon(job: Job) -> Iterator[Check]:
    signed = _signatures(job)[-1:]
    if signed and closed(job) is None:
        (last,) = signed
        yield Check(
            f"{last.id}.signed", Turn.SETTLE,
            f"signed off by {last.who} while {many(_open_then(job, last), 'check')} stood open: does not count",
            "strike this sign-off out, answer what is open, and sign again", "", "settle", False, last, "contradiction",
        )  # fmt: skip


def _asked(job: Job, every: Mapping[str, Part]) -> Iterator[Check]:
    for entry in job.entries:
        yield from _asked_by(entry, job, every)


def _asked_by(entry: Entry[Any], job: Job, every: Mapping[str, Part]) -> Iterator[Check]:
    state: State = "unknown" if isinstance(entry.fact, said.Unknown) else "open"
    for ask in asks(entry.fact, Context(entry, job, every)):
        part = getattr(entry.fact, "part", "") if ask.part is None else ask.part
        yield Check(
            f"{entry.id}.{ask.slug}", ask.turn, ask.wording, ask.detail, part, ask.way, ask.safety, entry, state
        )


def _contradictions(job: Job, every: Mapping[str, Part], heard: Heard) -> Iterator[Check]:
    for clash in refit_order(job).clashes:
        names = " and ".join(every[p].name for p in clash.parts)
        yield Check(
            f"{clash.entry.id}.clash", Turn.SETTLE, f"orders say opposite things: {names}",
            "strike one out, or say why it may stand", "", "settle", False, clash.entry, "contradiction",
        )  # fmt: skip
    for part in every.values():
        for earlier, later in pairwise(part.removals):
            back = (
                e.order for e in heard.answers.get(f"{earlier.id}.back", ()) if isinstance(e.fact, said.CheckConfirmed)
            )
            if earlier.fact.how == later.fact.how and not any(earlier.order < o < later.order for o in back):
                yield Check(
                    f"{later.id}.twice", Turn.SETTLE, f"{part.name} came off twice and never went back between",
                    "strike one out, or say why it may stand", "", "settle", False, later, "contradiction",
                )  # fmt: skip


# Answered for the whole vehicle: whatever comes off later asks them again.
_LOOKS_AT_ALL = frozenset({Turn.LEFT_OVER, Turn.ROAD, Turn.COMPLAINT})


def _judged(check: Check, every: Mapping[str, Part], heard: Heard) -> Check:
    """The check with its state: the last answer that counts."""
    since = check.asked_by.order
    if check.turn in _LOOKS_AT_ALL:
        since = max(since, heard.last_off)
    elif check.part in every:
        since = counts_after(check.asked_by, every[check.part])
    given = [e for e in heard.given(check) if e.order > since]
    if check.way == "tighten":
        given += _tight(check, every, heard, since)
    undone = _undone(check, given, every, heard)
    given.sort(key=lambda e: e.order, reverse=True)
    answer = next((e for e in given if _counts(check, e, undone, every, heard)), None)
    later = takewhile(lambda e: e is not answer, given)
    why = next(filter(None, (against(check, e, every, heard) for e in later)), "")
    if answer is None:
        return check._replace(detail=words(check.detail, why), against=why) if why else check
    state: State = "excepted" if isinstance(answer.fact, said.ExceptionAccepted) else "confirmed"
    return check._replace(state=state, answer=answer, against=why)


def _undone(check: Check, given: Iterable[Entry[Any]], every: Mapping[str, Part], heard: Heard) -> tuple[int, str, int]:
    """When what this check reads was last changed: codes cleared, fluid drained, filled or found at a wrong level, a
    torque measured out of its limits."""
    changed: Iterable[Entry[Any]] = ()
    if check.way == "read":
        changed = (e for e in heard.by_way["clear"] if covers(e.fact.module, check))
    elif check.way == "level":
        fluid = heard.fluids[fold(check.asked_by.fact.fluid)]
        changed = (e for e in fluid if getattr(e.fact, "found", "") != "right")
    elif check.way == "tighten":
        changed = (e for e in given if out_of_limits(check, e.fact, every, heard))
    return max((e.order for e in changed), default=(0, "", 0))


def _counts(
    check: Check, answer: Entry[Any], undone: tuple[int, str, int], every: Mapping[str, Part], heard: Heard
) -> bool:
    if isinstance(answer.fact, said.ExceptionAccepted):
        return not against(check, answer, every, heard)
    if answer.order < undone or isinstance(answer.fact, said.SecondCheckMade) != (check.way == "second"):
        return False
    match check.way:
        case "settle":
            return False
        case "second":
            return any(work_on(check, every, heard)) and not against(check, answer, every, heard)
        case "level":
            return level_counts(check.asked_by.fact, answer.fact)
        case "drive":
            driven = says_outcome(answer.fact) and not not_driven(answer.fact)
            return driven and not not_the_same(check.asked_by.fact, answer.fact)
        case "read":
            return says_outcome(answer.fact) and not _of_another(check.asked_by.fact, answer.fact)
        case "deal":
            return says_outcome(answer.fact)
        case "tighten":
            return not against(check, answer, every, heard) and (
                isinstance(answer.fact, said.StageTightened) or answer.order > stage_asked(check, every).counted
            )
    return True


def _of_another(asked: said.CodeRead, answer: object) -> bool:
    """Whether an answer reads something that has not the form of a code, and is not what was read before."""
    if not isinstance(answer, said.CodeRead) or answer.none_stored or fold(answer.code) == fold(asked.code):
        return False
    return not has_form_of_code(answer.code)


def says_outcome(fact: object) -> bool:
    """Whether an answer says how a road test went or what was read: an empty form is no proof of either."""
    match fact:
        case said.RoadTested():
            return bool(fact.felt.strip() or fact.outcome)
        case said.CodeRead():
            return bool(fact.code.strip() or fact.none_stored)
        case said.CheckConfirmed():
            return bool(fact.value.strip() or fact.note.strip())
    return False


def level_counts(asked: object, taken: object) -> bool:
    """Whether a level that was taken answers what was specified: right, in its window, engine as asked."""
    if not isinstance(taken, said.LevelChecked):
        return not (isinstance(asked, said.LevelSpecified) and (asked.low or asked.high))
    if taken.found != "right":
        return False
    if not isinstance(asked, said.LevelSpecified):
        return True
    if asked.engine and taken.engine != asked.engine:
        return False
    if not (asked.low or asked.high):
        return True
    from reassembly.trade.fluid import within_window

    try:
        return within_window(taken.temperature, asked.low, asked.high).inside
    except ValueError:
        return False


def _tight(
    check: Check, every: Mapping[str, Part], heard: Heard, since: tuple[int, str, int]
) -> list[Entry[said.StageTightened]]:
    """What made the stage complete, and each word on it with a value that does not confirm it."""
    said_of = heard.tightened.get(check.asked_by.id, ())
    done = done_of(said_of, check.asked_by, stage_asked(check, every), since, heard.torque_unit)
    return [*([done.last] if done.complete and done.last else []), *done.wrong]
