"""Every check of a job, and what answers it. Sign-off is the list of those not confirmed."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from reassembly.job import entries as said
from reassembly.job.asks import Context, Turn, Way, asks
from reassembly.job.job import parts
from reassembly.job.refit_order import refit_order
from reassembly.job.tightening import fits, stages_of, tightened

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from reassembly.job.entries import Entry
    from reassembly.job.job import Job, Part

State = Literal["open", "confirmed", "excepted", "contradiction", "unknown"]


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

    @property
    def open(self) -> bool:
        """Whether it stands between the job and its sign-off."""
        return self.state not in {"confirmed", "excepted"}


def checks(job: Job) -> tuple[Check, ...]:
    """Every check of a job with its state, as asked; plan.py puts them into working order."""
    every = parts(job)
    answers = _answers(job)
    return tuple(_judged(check, every, answers, job) for check in (*_asked(job, every), *_contradictions(job, every)))


def _asked(job: Job, every: Mapping[str, Part]) -> Iterator[Check]:
    for entry in job.entries:
        for ask in asks(entry.fact, Context(entry, job, every)):
            part = getattr(entry.fact, "part", "") if ask.part is None else ask.part
            yield Check(f"{entry.id}.{ask.slug}", ask.turn, ask.wording, ask.detail, part, ask.way, ask.safety, entry)


def _contradictions(job: Job, every: Mapping[str, Part]) -> Iterator[Check]:
    for clash in refit_order(job).clashes:
        names = " and ".join(every[p].name for p in clash.parts)
        yield Check(
            f"{clash.entry.id}.clash", Turn.SETTLE, f"orders say opposite things: {names}",
            "strike one out, or say why it may stand", "", "settle", False, clash.entry, "contradiction",
        )  # fmt: skip
    back = _first_confirmed(job)
    for part in every.values():
        for earlier, later in pairwise(part.removals):
            returned = back.get(f"{earlier.id}.back")
            if earlier.fact.how == later.fact.how and not (returned and earlier.order < returned < later.order):
                yield Check(
                    f"{later.id}.twice", Turn.SETTLE, f"{part.name} came off twice and never went back between",
                    "strike one out, or say why it may stand", "", "settle", False, later, "contradiction",
                )  # fmt: skip


def _first_confirmed(job: Job) -> dict[str, tuple[int, str, int]]:
    found: dict[str, tuple[int, str, int]] = {}
    for entry in job.said(said.CheckConfirmed):
        found.setdefault(entry.fact.check, entry.order)
    return found


def _answers(job: Job) -> dict[str, list[Entry[Any]]]:
    """What was said to each key, oldest first; readings and tests answer by their kind instead."""
    found: dict[str, list[Entry[Any]]] = {}
    for entry in job.entries:
        key = _key_answered(entry.fact)
        if key:
            found.setdefault(key, []).append(entry)
    return found


def _key_answered(fact: object) -> str:
    match fact:
        case said.CheckConfirmed(check=key) | said.SecondCheckMade(check=key) | said.ExceptionAccepted(check=key):
            return key
        case said.AidRemoved(aid=aid):
            return f"{aid}.out"
        case said.RenewalReceived(needed=needed):
            return f"{needed}.hand"
    return ""


def _judged(check: Check, every: Mapping[str, Part], answers: Mapping[str, list[Entry[Any]]], job: Job) -> Check:
    """The check with its state: the last answer that counts."""
    since = check.asked_by.order
    if check.part in every and every[check.part].removed:
        since = max(since, every[check.part].since)
    given = [e for e in answers.get(check.key, ()) if e.order > since]
    kept = [e for e in (*given, *_readings(check, job, since)) if _counts(check, e, every, job)]
    if check.way == "tighten" and not kept:
        kept = _tight(check, every, job, since)
    answer = max(kept, key=lambda e: e.order, default=None)
    if answer is None:
        return check._replace(state="unknown") if isinstance(check.asked_by.fact, said.Unknown) else check
    return check._replace(
        state="excepted" if isinstance(answer.fact, said.ExceptionAccepted) else "confirmed", answer=answer
    )


def _readings(check: Check, job: Job, since: tuple[int, str, int]) -> Iterator[Entry[Any]]:
    """Facts that answer by their kind: a road test, a reading, codes cleared, a level taken."""
    module = getattr(check.asked_by.fact, "module", "").casefold()
    for entry in job.entries:
        if entry.order <= since:
            continue
        match check.way, entry.fact:
            case "drive", said.RoadTested(when="after"):
                yield entry
            case "clear", said.CodesCleared(module=cleared) if not cleared or cleared.casefold() == module:
                yield entry
            case "read", said.CodeRead(when="after", module=read) if not read or read.casefold() == module:
                yield entry
            case "level", said.LevelChecked(fluid=fluid) if fluid.casefold() == check.asked_by.fact.fluid.casefold():
                yield entry


def _counts(check: Check, answer: Entry[Any], every: Mapping[str, Part], job: Job) -> bool:
    if isinstance(answer.fact, said.ExceptionAccepted):
        other = answer.fact.accepted_by.strip()
        return bool(other) and not (check.safety and other.casefold() == answer.who.casefold())
    match check.way:
        case "settle":
            return False
        case "second":
            work = _work_on(check, every, job)
            return all(answer.who.casefold() != e.who.casefold() and answer.order > e.order for e in work)
        case "level":
            return level_counts(check.asked_by.fact, answer.fact)
        case "read":
            return all(answer.order > e.order for e in job.said(said.CodesCleared))
    return True


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


def _work_on(check: Check, every: Mapping[str, Part], job: Job) -> Iterator[Entry[Any]]:
    """Who did the work that a second person looks at: whatever started or tightened this set."""
    part = every[check.part]
    fasteners = check.asked_by.fact
    specified = [e for e in part.said(said.TorqueSpecified) if fits(e.fact, fasteners, part)]
    keys = {check.key.removesuffix("second") + slug for slug in ("started", "tight")}
    keys |= {f"{e.id}.stage{n}" for e in specified for n in range(1, len(e.fact.stages) + 1)}
    for entry in job.entries:
        if entry.order <= part.since:
            continue
        match entry.fact:
            case said.StageTightened(specification=spec) if any(spec == e.id for e in specified):
                yield entry
            case said.CheckConfirmed(check=key) if key in keys:
                yield entry


def _tight(check: Check, every: Mapping[str, Part], job: Job, since: tuple[int, str, int]) -> list[Entry[Any]]:
    number = int(check.key.rpartition(".stage")[2])
    stage = stages_of(check.asked_by.fact, every[check.part])[number - 1]
    done = tightened(job, check.asked_by, stage, since)
    return [done.last] if done.complete and done.last else []
