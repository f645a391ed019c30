"""What answers checks, and why a second check or an exception does not count."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job import entries as said
from reassembly.job.doubt import unit_of
from reassembly.job.job import fold, part_in
from reassembly.job.measured import does_not_confirm
from reassembly.job.people import People, name_key
from reassembly.job.tightening import fits, stage_number, stages_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from reassembly.job.asks import Way
    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job, Part
    from reassembly.job.tightening import StageAsked


class Heard(NamedTuple):
    """What answers checks, sorted once so that no check has to go through the whole job."""

    answers: Mapping[str, list[Entry[Any]]]
    tightened: Mapping[str, list[Entry[said.StageTightened]]]
    by_way: Mapping[Way, list[Entry[Any]]]
    fluids: Mapping[str, list[Entry[Any]]]
    last_off: tuple[int, str, int]
    people: People
    torque_unit: str

    @classmethod
    def of(cls, job: Job) -> Heard:
        last_off = max((e.order for e in job.said(said.PartRemoved)), default=(0, "", 0))
        heard = cls(
            defaultdict(list), defaultdict(list), defaultdict(list), defaultdict(list), last_off, People.of(job.people),
            unit_of("torque", job),
        )  # fmt: skip
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
                yield from (e for e in self.by_way[check.way] if covers(e.fact.module, check))
            case "level":
                yield from (
                    e for e in self.fluids[fold(check.asked_by.fact.fluid)] if isinstance(e.fact, said.LevelChecked)
                )


def covers(module: str, check: Check) -> bool:
    """A reading of all control units, or of the one that was asked about."""
    return not module.strip() or fold(module) == fold(check.asked_by.fact.module)


def stage_asked(check: Check, every: Mapping[str, Part]) -> StageAsked:
    """The stage that a check asks to tighten."""
    return stages_of(check.asked_by.fact, part_in(every, check.part))[stage_number(check.key) - 1]


def out_of_limits(check: Check, fact: object, every: Mapping[str, Part], heard: Heard) -> str:
    """Why the value that was said with an answer does not confirm the stage of the check."""
    if not isinstance(fact, said.StageTightened | said.CheckConfirmed):
        return ""
    return does_not_confirm(stage_asked(check, every), fact, heard.torque_unit)


def against(check: Check, answer: Entry[Any], every: Mapping[str, Part], heard: Heard) -> str:
    """Why a second check, the acceptance of an exception, or a torque does not count; empty where it does."""
    if check.way == "tighten" and (out := out_of_limits(check, answer.fact, every, heard)):
        return out
    work = tuple(work_on(check, every, heard, whole=True)) if check.safety else ()
    match answer.fact:
        case said.SecondCheckMade() if check.way == "second" and work:
            if any(answer.order < e.order for e in work):
                return f"something was done after the second check by {answer.who}"
            same = f"{answer.who} did this work: a second check is made by another person"
            return _doubt(f"second check by {answer.who}", answer.who, work, heard.people, same)
        case said.ExceptionAccepted(accepted_by=person, reason=reason):
            if not name_key(person) or not name_key(reason):
                return "an exception needs a reason and the name of who accepts it"
            told = f"exception accepted by {person}"
            if check.safety:
                same = f"safety-critical: another person than {person} has to accept this exception"
                return _doubt(told, person, (answer, *work), heard.people, same)
            if heard.people.known and heard.people.find(person) is None:
                return f"{told}, {_UNKNOWN}"
    return ""


_UNKNOWN = "who is not known in this workshop"


def _doubt(told: str, person: str, work: Iterable[Entry[Any]], people: People, same: str) -> str:
    """Why this person may be one of those who did this: somebody unknown may be anybody. Empty for another person."""
    if people.find(person) is None:
        return f"{told}, {_UNKNOWN}" if name_key(person) else f"{told}nobody who is named"
    for entry in work:
        if people.find(entry.who) is None:
            worker = entry.who if name_key(entry.who) else "somebody unnamed"
            return f"{told}, but {worker} had a hand in it and is not known in this workshop"
        if not people.another(person, entry.who):
            return same
    return ""


def work_on(check: Check, every: Mapping[str, Part], heard: Heard, *, whole: bool = False) -> Iterator[Entry[Any]]:
    """Who did the work that a second person looks at: whatever started or tightened this set since it came off.

    The `whole` work is also what was done under the same name before the set was told again, or is done after it.
    """
    part = part_in(every, check.part)
    removed = check.asked_by
    if isinstance(removed.fact, said.TorqueSpecified):
        fasteners = part.fasteners(removed.fact.fasteners)
        removed = next((e for e in part.said(said.FastenersRemoved) if e.fact is fasteners), removed)
    told = [removed]
    if whole:
        name = fold(removed.fact.fasteners)
        told += [e for e in part.said(said.FastenersRemoved) if fold(e.fact.fasteners) == name and e is not removed]
    specified = [e for e in part.said(said.TorqueSpecified) if any(fits(e.fact, each.fact, part) for each in told)]
    keys = [f"{each.id}.{slug}" for each in told for slug in ("started", "tight")]
    keys += [f"{e.id}.stage{n}" for e in specified for n in range(1, len(e.fact.stages) + 1)]
    answered = (e for key in keys for e in heard.answers.get(key, ()) if isinstance(e.fact, said.CheckConfirmed))
    tight = (e for spec in specified for e in heard.tightened.get(spec.id, ()))
    return (e for e in (*answered, *tight) if e.order > part.since)
