"""What an entry is found by in a recall: a wrench, a batch, a part number, a fluid batch, a person."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, get_args

from reassembly.job import entries as said
from reassembly.job.asks import words
from reassembly.job.job import fold
from reassembly.job.telling import Names, fasteners, told
from reassembly.job.tightening import StageAsked
from reassembly.trade.identity import look_alike_key

if TYPE_CHECKING:
    from reassembly.job.entries import Entry

What = Literal["wrench", "batch", "part number", "fluid batch", "person"]
WHATS: tuple[What, ...] = get_args(What)

Find = Callable[[str], "Entry[Any] | None"]
"""An entry of the same job, said earlier, by its id."""


class Use(NamedTuple):
    """One thing done with it, or by that person. Everything is as it was typed; `` where it was not said.

    `part` is the part's id where it is kept and its name where it is shown. `position` is None for a whole stage.
    `doubt` is the day on which other entries say it was said, where its own clock cannot be believed.
    """

    typed: str
    did: str
    part: str
    about: str
    position: int | None = None
    value: str = ""
    wrench: str = ""
    setting: str = ""
    part_number: str = ""
    batch: str = ""
    job: str = ""
    entry: str = ""
    time: str = ""
    who: str = ""
    doubt: str = ""


def key(text: str) -> str:
    """As recalls compare: case, spaces, hyphens, O and 0, I and 1 do not matter. It can join two; a line shows which.

    A recall that finds one too many is read by a person; one that misses a joint is not.
    """
    return look_alike_key(text) or fold(text)


def uses(entry: Entry[Any], find: Find) -> Iterator[tuple[What, Use]]:
    """What one entry is found by in a recall."""
    for what, use in _uses(entry, find):
        if key(use.typed):
            yield (
                what,
                use._replace(job=entry.job, entry=entry.id, time=entry.time, who=entry.who, doubt=_other_day(entry)),
            )


def _uses(entry: Entry[Any], find: Find) -> Iterator[tuple[What, Use]]:
    fact = entry.fact
    match fact:
        case said.StageTightened(wrench=wrench):
            use = _tightened(fact, find)
            yield "wrench", use._replace(typed=wrench)
            yield "person", use._replace(typed=entry.who)
        case said.RenewalReceived(batch=batch):
            needed = find(fact.needed)
            use = _received(fact, needed)
            yield "batch", use._replace(typed=batch)
            yield from (("part number", use._replace(typed=number)) for number in _numbers(fact, needed))
        case said.RenewalNeeded(part_number=number):
            yield "part number", Use(number, "asked for", fact.part, _counted(fact), part_number=number)
        case said.FluidFilled(batch=batch):
            yield "fluid batch", Use(batch, "filled", "", words(fact.fluid, fact.phase), value=fact.amount, batch=batch)
        case said.SecondCheckMade():
            asked = find(_asked_by(fact.check))
            yield "person", Use(entry.who, "second check", _part(asked), words(_told(asked, fact.check), fact.note))
        case said.ExceptionAccepted(accepted_by=person):
            asked = find(_asked_by(fact.check))
            use = Use(person, "exception", _part(asked), words(_told(asked, fact.check), fact.reason, between=": "))
            yield "person", use
            if key(entry.who) != key(person):
                yield "person", use._replace(typed=entry.who)
        case said.SignedOff():
            yield "person", Use(entry.who, "signed off", "", fact.note)


def _tightened(fact: said.StageTightened, find: Find) -> Use:
    specified = find(fact.specification)
    spec = specified.fact if specified else None
    part, about = "", f"stage {fact.stage} of {fact.specification}"
    if isinstance(spec, said.TorqueSpecified):
        part, about = spec.part, words(spec.fasteners, f"stage {fact.stage}")
        if fact.stage <= len(spec.stages):
            stage = spec.stages[fact.stage - 1]
            about = words(
                spec.fasteners, StageAsked(fact.stage, len(spec.stages), stage.kind, stage.value, spec.count or 0).told
            )
    return Use("", "tightened", part, about, fact.position, fact.value, fact.wrench, fact.setting)


def _received(fact: said.RenewalReceived, needed: Entry[Any] | None) -> Use:
    number = next(iter(_numbers(fact, needed)), "")
    about = _told(needed, fact.needed)
    match needed.fact if needed else None:
        case said.RenewalNeeded() as renewal:
            about = _counted(renewal)
        case said.FastenersRemoved() as removed:
            about = fasteners(removed)
    return Use("", "on hand", _part(needed), words(about, fact.note), part_number=number, batch=fact.batch)


def _numbers(fact: said.RenewalReceived, needed: Entry[Any] | None) -> list[str]:
    """On the packet, and what was asked for where that is another number."""
    asked = needed.fact.part_number if needed and isinstance(needed.fact, said.RenewalNeeded) else ""
    packet = [fact.part_number] if fact.part_number else []
    return packet if key(asked) == key(fact.part_number) else [*packet, asked]


def _counted(fact: said.RenewalNeeded) -> str:
    return f"{fact.count} x {fact.what}" if fact.count > 1 else fact.what


def _asked_by(check: str) -> str:
    """The entry that made a check: `KD.12` of `KD.12.second`."""
    return ".".join(check.split(".")[:2])


def _part(entry: Entry[Any] | None) -> str:
    return getattr(entry.fact, "part", "") if entry else ""


def _told(entry: Entry[Any] | None, otherwise: str) -> str:
    """An entry in one line, its parts by their ids."""
    return " ".join(told(entry.fact, Names({}, {}, {})).split()) if entry else otherwise


def _other_day(entry: Entry[Any]) -> str:
    """The day by the clock that never goes back, where the wall clock was not trusted and says another."""
    if entry.clock_trusted:
        return ""
    try:
        zone = datetime.fromisoformat(entry.time).tzinfo or UTC
    except ValueError:
        zone = UTC
    try:
        day = datetime.fromtimestamp((entry.hlc >> 16) / 1000, tz=zone).date().isoformat()
    except (ValueError, OverflowError):
        return ""
    return "" if day == entry.time[:10] else day
