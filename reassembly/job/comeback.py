"""A come-back: the story of the earlier job beside what is complained of now, and what in it deserves a look."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from reassembly.job import entries as said
from reassembly.job.asks import words
from reassembly.job.checks import closed
from reassembly.job.job import Job, fold, parts, title
from reassembly.job.notation import USUAL, Notation
from reassembly.job.signoff import accepted, signoff
from reassembly.job.telling import Names, tell
from reassembly.job.trade_words import is_place, trade_words
from reassembly.job.wording import many
from reassembly.trade.identity import registration_key

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from reassembly.job.entries import Entry
    from reassembly.job.shop import Shop
    from reassembly.job.signoff import Signoff

AS_RECORDED = "As far as it was recorded: what nobody wrote down is not here."


@dataclass(frozen=True, slots=True)
class Line:
    """One entry of the story, and the words it shares with what is said now."""

    job: str
    entry: str
    time: str
    who: str
    told: str
    near: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Codes:
    """Fault codes with their module, as read before and after the earlier work and now; `back` were read before."""

    before: tuple[str, ...]
    after: tuple[str, ...]
    now: tuple[str, ...]
    back: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Story:
    """The earlier job beside the new complaint. `days` from its sign-off to the new check-in, None where unknown.

    `now` is what was felt and found at the new check-in. `near` are lines of the story, those that share most words
    first. `doubts` are of wrenches and specifications, as they are known today.
    """

    earlier: str
    later: str
    vehicle: str
    registration: str
    complaint: str
    now: tuple[str, ...]
    first_complaint: str
    odometers: tuple[str, ...]
    signed_off: str
    days: int | None
    near: tuple[Line, ...]
    codes: Codes
    findings_before: tuple[str, ...]
    findings_after: tuple[str, ...]
    exceptions: tuple[str, ...]
    doubts: tuple[str, ...]
    renewed: tuple[str, ...]
    not_mentioned: tuple[str, ...]
    only_looked_at: tuple[str, ...]
    off_now_not_then: tuple[str, ...]
    lines: tuple[Line, ...]


_IN_THE_STORY = (
    said.JobOpened,
    said.CodeRead,
    said.RoadTested,
    said.FindingNoted,
    said.PartRemoved,
    said.PartStuck,
    said.FluidDrained,
    said.RenewalNeeded,
    said.RenewalReceived,
    said.SecondCheckMade,
    said.ExceptionAccepted,
    said.FluidFilled,
    said.LevelChecked,
    said.CodesCleared,
    said.SignedOff,
    said.JobReopened,
)
_CHECK_IN = (said.JobOpened, said.CodeRead, said.RoadTested, said.FindingNoted)


def comeback(earlier: Job, shop: Shop, later: Job | None = None, complaint: str = "") -> Story:
    """The story of `earlier` beside the job that came back, or beside a complaint as it is heard at the counter."""
    later = later or Job()
    complaint = complaint or later.opened.complaint
    names, names_now = Names.of(earlier), Names.of(later)._replace(jobs={earlier.id: title(earlier)})
    stands, done = signoff(earlier, shop), closed(earlier)
    now = tuple(_felt_and_found(later))
    asked = trade_words(" ".join((complaint, *now)))
    then = [_line(e, names, asked) for e in earlier.entries if isinstance(e.fact, _IN_THE_STORY)]
    lines = [*then, *(_line(e, names_now, {}) for e in later.entries if isinstance(e.fact, _CHECK_IN))]
    opened = next(later.said(said.JobOpened), None)
    return Story(
        earlier=earlier.id,
        later=later.id,
        vehicle=earlier.opened.vehicle,
        registration=earlier.opened.registration,
        complaint=complaint,
        now=now,
        first_complaint=earlier.opened.complaint,
        odometers=tuple(job.opened.odometer for job in (earlier, later) if job.opened.odometer),
        signed_off=done.time if done else "",
        days=_days(done.time, opened.time) if done and opened else None,
        near=tuple(sorted((line for line in then if line.near), key=lambda line: _weight(line.near), reverse=True)),
        codes=_codes(earlier, later),
        findings_before=tuple(_findings(earlier, names, "before")),
        findings_after=tuple(_findings(earlier, names, "after")),
        exceptions=tuple(_exceptions(stands, names)),
        doubts=tuple(sorted(stands.warnings, key=lambda doubt: "failed" not in doubt)),
        renewed=tuple(_renewed(earlier, names)),
        not_mentioned=_not_mentioned(asked, earlier, names),
        only_looked_at=tuple(_only_looked_at(earlier)),
        off_now_not_then=tuple(_off_now(earlier, later)),
        lines=tuple(lines),
    )


def _weight(near: tuple[str, ...]) -> tuple[int, int]:
    """A place alone says little."""
    return sum(not is_place(word) for word in near), len(near)


def _line(entry: Entry[Any], names: Names, asked: dict[str, str]) -> Line:
    told = tell(entry, names)
    if isinstance(entry.fact, said.JobOpened):
        about = entry.fact.complaint  # the vehicle's name is in both and says nothing
    elif isinstance(entry.fact, said.SignedOff | said.JobReopened):
        about = ""
    else:
        about = told
    shared = trade_words(about).keys() & asked.keys() if asked else ()
    near = tuple(word for stem, word in asked.items() if stem in shared)
    return Line(entry.job, entry.id, entry.time, entry.who, told, near)


def _felt_and_found(later: Job) -> Iterator[str]:
    for entry in later.entries:
        match entry.fact:
            case said.RoadTested(when="before", felt=felt) if felt:
                yield felt
            case said.FindingNoted(when="before"):
                yield words(entry.fact.what, entry.fact.where)


def _codes(earlier: Job, later: Job) -> Codes:
    before, after = ([*_read(earlier, when)] for when in ("before", "after"))
    now = [*_read(later, "before")]
    known = {registration_key(fact.code) for fact in (*before, *after) if fact.code}
    return Codes(
        before=_codes_told(before),
        after=_codes_told(after),
        now=_codes_told(now),
        back=tuple(fact.code for fact in now if fact.code and registration_key(fact.code) in known),
    )


def _codes_told(several: Iterable[said.CodeRead]) -> tuple[str, ...]:
    return tuple(words(fact.code or "none stored", fact.module) for fact in several)


def _read(job: Job, when: str) -> Iterator[said.CodeRead]:
    return (e.fact for e in job.said(said.CodeRead) if e.fact.when == when)


def _exceptions(stands: Signoff, names: Names) -> Iterator[str]:
    for check in stands.excepted:
        reason, person = accepted(check)
        yield f"{words(check.wording, names.part(check.part))}: {reason} (accepted by {person})"


def _findings(job: Job, names: Names, when: str) -> Iterator[str]:
    for entry in job.entries:
        match entry.fact:
            case said.FindingNoted() as found if found.when == when:
                yield words(found.what, found.where, names.part(found.part))
            case said.RoadTested(felt=felt) as drive if drive.when == when and felt:
                yield f"road test: {felt}"


def _renewed(job: Job, names: Names) -> Iterator[str]:
    """What had to be new, and what is known of the new one."""
    received: dict[str, said.RenewalReceived] = {e.fact.needed: e.fact for e in job.said(said.RenewalReceived)}
    for entry in job.entries:
        fact = entry.fact
        match fact:
            case said.RenewalNeeded():
                told = words(f"{fact.count} x {fact.what}", names.part(fact.part))
            case said.FastenersRemoved(reuse="renew"):
                told = words(f"{fact.count} x {fact.what}", fact.thread, names.part(fact.part))
            case _:
                continue
        yield words(told, *_packet(fact, received.get(entry.id)))


def _packet(fact: Any, received: said.RenewalReceived | None) -> tuple[str, str]:
    if received is None:
        return "NO WORD THAT IT CAME", ""
    return received.part_number or getattr(fact, "part_number", ""), received.batch and f"batch {received.batch}"


def _not_mentioned(asked: dict[str, str], earlier: Job, names: Names) -> tuple[str, ...]:
    """Words said now that nothing which stands of the earlier job shares."""
    every = trade_words(" ".join(tell(e, names) for e in earlier.entries))
    return tuple(word for stem, word in asked.items() if stem not in every and not is_place(word))


def _only_looked_at(earlier: Job) -> Iterator[str]:
    for entry in earlier.said(said.CareNoted):
        if not entry.fact.part and entry.fact.care in {"look", "inspect"}:
            yield entry.fact.what
    for part in parts(earlier).values():
        if part.removed is None:
            yield f"{part.name}: spoken of, never taken off"


def _off_now(earlier: Job, later: Job) -> Iterator[str]:
    then = {fold(part.name) for part in parts(earlier).values() if part.removed}
    return (part.name for part in parts(later).values() if part.removed and fold(part.name) not in then)


def _days(one: str, other: str) -> int | None:
    try:
        return (datetime.fromisoformat(other).date() - datetime.fromisoformat(one).date()).days
    except ValueError:
        return None


def sections(story: Story, notation: Notation = USUAL) -> Iterator[tuple[str, list[str]]]:
    """The story under headings, what deserves a look first; every heading stands, so that nothing said shows too."""
    yield (
        "near the complaint, by the words they share",
        _or([f"{line.told}  [{', '.join(line.near)}]" for line in story.near], "no word of it is in the earlier job"),
    )
    codes = story.codes
    yield (
        "fault codes",
        [
            *([f"BACK AGAIN: {', '.join(codes.back)}"] if codes.back else []),
            f"before the work: {'; '.join(codes.before) or 'not read'}",
            f"after the work: {'; '.join(codes.after) or 'not read'}",
            f"now: {'; '.join(codes.now) or 'not read yet'}",
        ],
    )
    yield "exceptions", _or(story.exceptions)
    yield "doubts about wrenches and specifications, as known today", _or(story.doubts)
    never = [
        *([f"nothing recorded of: {', '.join(story.not_mentioned)}"] if story.not_mentioned else []),
        *(f"only looked at: {what}" for what in story.only_looked_at),
        *(f"taken off now, not then: {name}" for name in story.off_now_not_then),
    ]
    yield "never touched", [*_or(never), AS_RECORDED]
    yield "renewed", _or(story.renewed)
    yield "found before the work", _or(story.findings_before)
    yield "found after the work", _or(story.findings_after)
    yield "the story", [f"{notation.minute(line.time)}  {line.who}  {line.told}" for line in story.lines]


def between(story: Story) -> str:
    """How long it held: days, and the odometer at both visits."""
    held = "" if story.signed_off else "the earlier job was not signed off"
    if story.days is not None:
        held = f"{many(story.days, 'day')} after sign-off"
    return words(held, words(*story.odometers, between=" then, now "))


def _or(several: Iterable[str], otherwise: str = "none recorded") -> list[str]:
    return list(several) or [otherwise]
