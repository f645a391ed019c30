"""The record of a job: everything said, confirmed and excepted, by whom and when; as data, and as a PDF made of it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import msgspec

from reassembly.job import entries as said
from reassembly.job.asks import Turn, words
from reassembly.job.job import Job, Part, fold, part_in, parts, title
from reassembly.job.notation import USUAL
from reassembly.job.plan import plan
from reassembly.job.reckoning import on_record
from reassembly.job.second_person import second_people
from reassembly.job.signoff import accepted, signoff
from reassembly.job.telling import Names, no_badge, tell
from reassembly.job.tightening import counts_after, stage_number, stages_of, tightened
from reassembly.record.durable import give_out
from reassembly.record.in_short import in_short
from reassembly.record.progress import nothing
from reassembly.trade.fluid import filled_of_drained

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from pathlib import Path

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.notation import Notation
    from reassembly.job.plan import Step
    from reassembly.job.shop import RackWrench, Shop
    from reassembly.record.finding import JobLine
    from reassembly.record.gathering import Gathered
    from reassembly.record.progress import Progress

Data = dict[str, Any]


def write_pdf(path: Path, gathered: Gathered, progress: Progress = nothing) -> None:
    """The record as a PDF. Raises Trouble when the file cannot be written; what stood there before is kept then."""
    from reassembly.record.pages import document

    data = as_data(gathered, gathered.notation, progress)
    give_out(path, document(data, gathered.photos, gathered.notation, progress))


def as_data(gathered: Gathered, notation: Notation = USUAL, progress: Progress = nothing) -> Data:
    """The record as plain dicts, lists and text: what the PDF shows, no more and no less. Times are ISO 8601, whatever
    the `notation` of computed numbers."""
    job, shop = gathered.job, gathered.shop
    names = Names.of(job)
    if gathered.earlier:
        names = names._replace(jobs={gathered.earlier.id: gathered.earlier.called})
    every = parts(job)
    refit = plan(job)
    stands = signoff(job, shop)
    done = stands.closed
    told = {key: "; ".join(several) for key, several in second_people(job, refit.checks).items()}
    return {
        "title": title(job),
        "job": _job(job),
        "customer": msgspec.to_builtins(gathered.customer) if gathered.customer else None,
        "details_erased": [_said(e, names) for e in job.said(said.DetailsErased)],
        "earlier": _job_line(gathered.earlier) if gathered.earlier else None,
        "later": [_job_line(line) for line in gathered.later],
        "people": _people(job, shop),
        "signed_off": {**_said(done, names), "note": done.fact.note} if done else None,
        "open": [_check(check, job, every, names, told) for check in stands.open],
        "check_in": [_said(e, names) for e in _at_check_in(job)],
        "parts": [_part(part, names) for part in every.values()],
        "of_no_part": [_said(e, names) for e in _of_no_part(job)],
        "in_short": in_short(job, every, refit.checks, names, done, told, shop),
        "steps": [_step(step, job, every, names, told) for step in refit.steps],
        "photos": [_photo(e, names, gathered) for e in job.said(said.PhotoKept)],
        "last": [_check(check, job, every, names, told) for check in refit.last],
        "exceptions": [_exception(check, names) for check in stands.excepted],
        "fluids": list(_fluids(job, names, notation)),
        "after": [_said(e, names) for e in job.entries if _is_after(e.fact)],
        "wrenches": list(_wrenches(job, shop)),
        "workings": list(_workings(job, shop, notation, progress)),
        "warnings": list(stands.warnings),
        "since_signoff": [_said(e, names) for e in stands.since],
        "struck": list(_struck(job, names)),
        "entries": [_said(e, names) for e in _in_order(job)],
        "clock_not_trusted": sum(not e.clock_trusted for e in job.entries),
        "heads": {bench: {"number": head.number, "hash": head.hash} for bench, head in gathered.heads.items()},
        "digest": gathered.digest,
    }


def _job(job: Job) -> Data:
    opened = next(job.said(said.JobOpened), None)
    fact = job.opened
    return {
        "id": job.id,
        "order": fact.order,
        "vehicle": fact.vehicle,
        "registration": fact.registration,
        "vin": fact.vin,
        "odometer": fact.odometer,
        "complaint": fact.complaint,
        "opened": opened.time if opened else "",
        "opened_by": opened.who if opened else "",
        "last": job.entries[-1].time if job.entries else "",
    }


def _job_line(line: JobLine) -> Data:
    return {
        "job": line.id,
        "order": line.order,
        "vehicle": line.vehicle,
        "registration": line.registration,
        "opened": line.opened,
        "complaint": line.complaint,
    }


def _said(entry: Entry[Any], names: Names) -> Data:
    return {"entry": entry.id, "when": entry.time, "who": entry.who, "told": tell(entry, names)}


def _people(job: Job, shop: Shop) -> dict[str, str]:
    """Everyone who said something or answers for something, by short name."""
    several = [e.who for e in _in_order(job)]
    several += [e.fact.accepted_by for e in job.said(said.ExceptionAccepted)]
    return {who: shop.called(who) for who in dict.fromkeys(several)}


def _in_order(job: Job) -> list[Entry[Any]]:
    return sorted((*job.entries, *job.struck), key=lambda e: e.order)


def _at_check_in(job: Job) -> Iterator[Entry[Any]]:
    """Codes, road tests and findings before the work; a finding of a part stands with its part."""
    for entry in job.entries:
        match entry.fact:
            case said.CodeRead(when="before") | said.RoadTested(when="before") | said.DrivelineNoted():
                yield entry
            case said.FindingNoted(when="before", part=""):
                yield entry


def _is_after(fact: object) -> bool:
    match fact:
        case said.CodesCleared() | said.CodeRead(when="after") | said.RoadTested(when="after"):
            return True
        case said.FindingNoted(when="after", part=""):
            return True
    return False


_OF_NO_PART = (said.AidFitted, said.CareNoted, said.RenewalNeeded, said.PhotoKept, said.BagPacked)


def _of_no_part(job: Job) -> Iterator[Entry[Any]]:
    for entry in job.entries:
        fact = entry.fact
        if isinstance(fact, _OF_NO_PART) and not (getattr(fact, "part", "") or getattr(fact, "parts", ())):
            yield entry


def _part(part: Part, names: Names) -> Data:
    return {
        "part": part.id,
        "name": part.name,
        "how": part.how if part.removed else "only spoken of",
        "of": names.part(part.parent) if part.parent else "",
        "when": part.removed.time if part.removed else "",
        "who": part.removed.who if part.removed else "",
        "facts": [{**_said(e, names), "more": list(_more(e.fact))} for e in part.about],
    }


def _more(fact: object) -> Iterator[str]:
    """What the one line of a fact leaves out."""
    if isinstance(fact, said.FastenersRemoved) and len(set(fact.lengths)) > 1:
        yield f"lengths by position: {', '.join(fact.lengths)}"


def _step(step: Step, job: Job, every: dict[str, Part], names: Names, told: Mapping[str, str]) -> Data:
    return {
        "part": step.part.id,
        "name": step.part.name,
        "state": step.state,
        "waits_for": names.part(step.blocked_by[0]) if step.blocked_by else "",
        "and_more": max(len(step.blocked_by) - 1, 0),
        "checks": [_check(check, job, every, names, told) for check in step.checks],
    }


def _check(check: Check, job: Job, every: dict[str, Part], names: Names, told: Mapping[str, str]) -> Data:
    """`told` has by key what to know of the second person."""
    answer = check.answer
    return {
        "key": check.key,
        "part": names.part(check.part) if check.part else "",
        "wording": check.wording,
        "detail": check.detail,
        "state": check.state,
        "safety_critical": check.safety,
        "entry": answer.id if answer else "",
        "when": answer.time if answer else "",
        "who": answer.who if answer else "",
        "answer": _answer(answer, names) if answer else "",
        "second_person": told.get(check.key, ""),
        "tightened": list(_tightened(check, job, every)),
    }


def _answer(answer: Entry[Any], names: Names) -> str:
    match answer.fact:
        case said.CheckConfirmed(value=value, note=note):
            return words(value and f"measured {value}", note)
        case said.SecondCheckMade(note=note, named=named):
            return words(note, no_badge(named))
        case said.ExceptionAccepted(reason=reason, accepted_by=person, named=named):
            return f"{reason} (accepted by {words(person, no_badge(named))})"
        case said.RenewalReceived(part_number=number, batch=batch, note=note):
            return words(number, batch and f"batch {batch}", note)
        case said.StageTightened() | said.AidRemoved():
            return ""
    return tell(answer, names)


def _tightened(check: Check, job: Job, every: dict[str, Part]) -> Iterator[Data]:
    """Each position as it was tightened; `position` is None where the whole stage was confirmed at once."""
    if check.way != "tighten" or check.turn is not Turn.STAGE:
        return
    part = part_in(every, check.part)
    stage = stages_of(check.asked_by.fact, part)[stage_number(check.key) - 1]
    done = tightened(job, check.asked_by, stage, counts_after(check.asked_by, part))
    for entry in sorted(done.entries, key=lambda e: e.order):
        fact = entry.fact
        yield {
            "position": fact.position,
            "when": entry.time,
            "who": entry.who,
            "measured": fact.value,
            "wrench": fact.wrench,
            "setting": fact.setting,
        }


def _photo(entry: Entry[said.PhotoKept], names: Names, gathered: Gathered) -> Data:
    fact = entry.fact
    return {
        **_said(entry, names),
        "part": names.part(fact.part) if fact.part else "",
        "caption": fact.caption,
        "taken": fact.taken,
        "digest": fact.digest,
        "there": fact.digest in gathered.photos,
    }


def _exception(check: Check, names: Names) -> Data:
    reason, person = accepted(check)
    assert check.answer is not None
    return {
        "check": words(check.wording, names.part(check.part)),
        "reason": reason,
        "accepted_by": person,
        "when": check.answer.time,
        "who": check.answer.who,
    }


def _fluids(job: Job, names: Names, notation: Notation) -> Iterator[Data]:
    about: dict[str, list[Entry[Any]]] = {}
    for entry in job.entries:
        if isinstance(entry.fact, said.FluidDrained | said.FluidFilled | said.LevelSpecified | said.LevelChecked):
            about.setdefault(fold(entry.fact.fluid), []).append(entry)
    for several in about.values():
        yield {
            "fluid": several[0].fact.fluid,
            "total": notation.computed(_total(several)),
            "said": [_said(entry, names) for entry in several],
        }


def _total(several: Iterable[Entry[Any]]) -> str:
    facts = [entry.fact for entry in several]
    drained = [fact.amount for fact in facts if isinstance(fact, said.FluidDrained)]
    filled = [fact.amount for fact in facts if isinstance(fact, said.FluidFilled)]
    try:
        return filled_of_drained(filled, drained).sentence
    except ValueError as error:
        return f"not added up: {error}"


def _wrenches(job: Job, shop: Shop) -> Iterator[Data]:
    """Each wrench that tightened something, with the calibration that held when it was used last."""
    used: dict[str, list[Entry[said.StageTightened]]] = {}
    for entry in job.said(said.StageTightened):
        if entry.fact.wrench:
            used.setdefault(entry.fact.wrench, []).append(entry)
    for wrench, several in used.items():
        found = shop.wrench(wrench)
        yield {
            "wrench": wrench,
            "name": found.added.name if found else "not in the rack",
            "range": f"{found.added.low} to {found.added.high}" if found else "",
            "used": len(several),
            "last_used": several[-1].time,
            **_calibration(found, several[-1].time[:10]),
        }


def _calibration(found: RackWrench | None, day: str) -> Data:
    last = found.calibration_on(day) if found else None
    return {
        "calibrated": last.on if last else "",
        "good_until": last.until if last else "",
        "certificate": last.certificate if last else "",
        "failed": [words(f.fact.on, f.fact.why) for f in found.failed] if found else [],
    }


def _workings(job: Job, shop: Shop, notation: Notation, progress: Progress) -> Iterator[Data]:
    """The numbers that the program computed of what was said, so that a second person can check them."""
    for about, each in on_record(job, shop, partial(progress, "parts reckoned")):
        if each.workings is not None:
            yield {"about": about, "title": each.title, "lines": each.workings.lines(notation.decimal)}


def _struck(job: Job, names: Names) -> Iterator[Data]:
    strikes = {e.fact.entry: e for e in job.said(said.EntryStruck)}
    for entry in job.struck:
        strike = strikes.get(entry.id)
        yield {
            **_said(entry, names),
            "why": strike.fact.why if strike else "",
            "struck_by": strike.who if strike else "",
            "struck_when": strike.time if strike else "",
        }
