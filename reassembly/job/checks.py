"""Every check of a job, and what answers it. Sign-off is the list of those not confirmed."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from reassembly.job import entries as said
from reassembly.job.asks import Context, Turn, Way, asks
from reassembly.job.job import fold, part_in, parts
from reassembly.job.refit_order import refit_order
from reassembly.job.tightening import counts_after, done_of, fits, stage_number, stages_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

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
    heard = _Heard.of(job)
    asked = (*_asked(job, every), *_contradictions(job, every, heard))
    return tuple(_judged(check, every, heard) for check in asked)


def _asked(job: Job, every: Mapping[str, Part]) -> Iterator[Check]:
    for entry in job.entries:
        for ask in asks(entry.fact, Context(entry, job, every)):
            part = getattr(entry.fact, "part", "") if ask.part is None else ask.part
            state: State = "unknown" if isinstance(entry.fact, said.Unknown) else "open"
            yield Check(
                f"{entry.id}.{ask.slug}", ask.turn, ask.wording, ask.detail, part, ask.way, ask.safety, entry, state
            )


def _contradictions(job: Job, every: Mapping[str, Part], heard: _Heard) -> Iterator[Check]:
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


class _Heard(NamedTuple):
    """What answers checks, sorted once so that no check has to go through the whole job."""

    answers: Mapping[str, list[Entry[Any]]]
    tightened: Mapping[str, list[Entry[said.StageTightened]]]
    by_way: Mapping[Way, list[Entry[Any]]]
    fluids: Mapping[str, list[Entry[Any]]]
    last_off: tuple[int, str, int]

    @classmethod
    def of(cls, job: Job) -> _Heard:
        last_off = max((e.order for e in job.said(said.PartRemoved)), default=(0, "", 0))
        heard = cls(defaultdict(list), defaultdict(list), defaultdict(list), defaultdict(list), last_off)
        for entry in job.entries:
            match entry.fact:
                case said.CheckConfirmed() | said.SecondCheckMade() | said.ExceptionAccepted():
                    heard.answers[entry.fact.check].append(entry)
                case said.AidRemoved(aid=aid):
                    for slug in ("clear", "out"):  # what is out is in nobody's way
                        heard.answers[f"{aid}.{slug}"].append(entry)
                case said.RenewalReceived(needed=needed):
                    heard.answers[f"{needed}.hand"].append(entry)
                case said.StageTightened(specification=specification):
                    heard.tightened[specification].append(entry)
                case said.RoadTested(when="after"):
                    heard.by_way["drive"].append(entry)
                case said.CodesCleared():
                    heard.by_way["clear"].append(entry)
                case said.CodeRead(when="after"):
                    heard.by_way["read"].append(entry)
                case said.FluidDrained(fluid=fluid) | said.FluidFilled(fluid=fluid) | said.LevelChecked(fluid=fluid):
                    heard.fluids[fold(fluid)].append(entry)
        return heard

    def given(self, check: Check) -> Iterator[Entry[Any]]:
        """Whatever was said to this check, by its key or by its kind."""
        yield from self.answers.get(check.key, ())
        match check.way:
            case "drive":
                yield from self.by_way["drive"]
            case "clear" | "read":
                yield from (e for e in self.by_way[check.way] if _covers(e.fact.module, check))
            case "level":
                yield from (
                    e for e in self.fluids[fold(check.asked_by.fact.fluid)] if isinstance(e.fact, said.LevelChecked)
                )


def _covers(module: str, check: Check) -> bool:
    """A reading of all control units, or of the one that was asked about."""
    return not module.strip() or fold(module) == fold(check.asked_by.fact.module)


def _judged(check: Check, every: Mapping[str, Part], heard: _Heard) -> Check:
    """The check with its state: the last answer that counts."""
    since = check.asked_by.order
    if check.turn in _LOOKS_AT_ALL:
        since = max(since, heard.last_off)
    elif check.part in every:
        since = counts_after(check.asked_by, every[check.part])
    undone = _undone(check, heard)
    given = [e for e in heard.given(check) if e.order > since]
    if check.way == "tighten":
        given += _tight(check, every, heard, since)
    given.sort(key=lambda e: e.order, reverse=True)
    answer = next((e for e in given if _counts(check, e, undone, every, heard)), None)
    if answer is None:
        return check
    return check._replace(
        state="excepted" if isinstance(answer.fact, said.ExceptionAccepted) else "confirmed", answer=answer
    )


def _undone(check: Check, heard: _Heard) -> tuple[int, str, int]:
    """When what this check reads was last changed: codes cleared, fluid drained, filled or found at a wrong level."""
    changed: Iterable[Entry[Any]] = ()
    if check.way == "read":
        changed = (e for e in heard.by_way["clear"] if _covers(e.fact.module, check))
    elif check.way == "level":
        fluid = heard.fluids[fold(check.asked_by.fact.fluid)]
        changed = (e for e in fluid if getattr(e.fact, "found", "") != "right")
    return max((e.order for e in changed), default=(0, "", 0))


def _counts(
    check: Check, answer: Entry[Any], undone: tuple[int, str, int], every: Mapping[str, Part], heard: _Heard
) -> bool:
    if isinstance(answer.fact, said.ExceptionAccepted):
        accepted, reason = answer.fact.accepted_by, answer.fact.reason
        return bool(accepted.strip() and reason.strip()) and not (check.safety and not _another(accepted, answer.who))
    if answer.order < undone or isinstance(answer.fact, said.SecondCheckMade) != (check.way == "second"):
        return False
    match check.way:
        case "settle":
            return False
        case "second":
            work = list(_work_on(check, every, heard))
            return bool(work) and all(_another(answer.who, e.who) and answer.order > e.order for e in work)
        case "level":
            return level_counts(check.asked_by.fact, answer.fact)
        case "drive" | "read":
            return says_outcome(answer.fact)
    return True


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


def _another(one: str, other: str) -> bool:
    """Two named people; somebody unnamed may be anybody."""
    return bool(fold(one) and fold(other)) and fold(one) != fold(other)


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


def _work_on(check: Check, every: Mapping[str, Part], heard: _Heard) -> Iterator[Entry[Any]]:
    """Who did the work that a second person looks at: whatever started or tightened this set since it came off."""
    part = part_in(every, check.part)
    fasteners = check.asked_by.fact
    specified = [e for e in part.said(said.TorqueSpecified) if fits(e.fact, fasteners, part)]
    keys = [check.key.removesuffix("second") + slug for slug in ("started", "tight")]
    keys += [f"{e.id}.stage{n}" for e in specified for n in range(1, len(e.fact.stages) + 1)]
    answered = (e for key in keys for e in heard.answers.get(key, ()) if isinstance(e.fact, said.CheckConfirmed))
    tight = (e for spec in specified for e in heard.tightened.get(spec.id, ()))
    return (e for e in (*answered, *tight) if e.order > part.since)


def _tight(
    check: Check, every: Mapping[str, Part], heard: _Heard, since: tuple[int, str, int]
) -> list[Entry[said.StageTightened]]:
    specified = check.asked_by
    stage = stages_of(specified.fact, part_in(every, check.part))[stage_number(check.key) - 1]
    done = done_of(heard.tightened.get(specified.id, ()), specified, stage, since)
    return [done.last] if done.complete and done.last else []
