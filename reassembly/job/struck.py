"""Striking out: what goes with a fact that is withdrawn, and what comes back with one that stands after all."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from msgspec import structs

from reassembly.job.bag import bags
from reassembly.job.entries import BagPacked, Entry, EntryStruck, Fact, JobOpened, LabelSeen, PartRemoved
from reassembly.job.job import Job, adds_to_check_in, parts

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reassembly.job.bag import Bag


class Struck(NamedTuple):
    """A fact that was struck out, and the standing strikes that name it, the last one last."""

    entry: Entry[Any]
    strikes: tuple[Entry[EntryStruck], ...]


def without(job: Job, key: str) -> Job:
    """The job as if this entry were not said."""
    return job._replace(entries=tuple(e for e in job.entries if e.id != key))


def may_be_withdrawn(entry: Entry[Any], job: Job) -> bool:
    """Whether a fact may go with nothing said in its place: a job without any check-in would be of no vehicle."""
    if not isinstance(entry.fact, JobOpened) or adds_to_check_in(entry, job):
        return True
    return any(e.id != entry.id and not adds_to_check_in(e, job) for e in job.said(JobOpened))


def withdrawal(entry: Entry[Any], why: str, job: Job) -> tuple[Fact, ...]:
    """What to say so that a fact is withdrawn.

    A part that then never came off goes with all that was said of it, so that no ghost of it is asked for at refit; a
    bag that holds other parts as well is said again without it.
    """
    strike = EntryStruck(entry=entry.id, why=why)
    part = parts(job).get(entry.fact.part) if isinstance(entry.fact, PartRemoved) else None
    if part is None or any(e.id != entry.id for e in part.removals):
        return (strike,)
    shared = [bag for bag in bags(job).values() if part.id in bag.packed.fact.parts and set(_holds(bag)) != {part.id}]
    apart = {entry.id, *(bag.packed.id for bag in shared)}
    return (
        *(f for bag in shared for f in repacked(bag, [p for p in _holds(bag) if p != part.id], why)),
        *(EntryStruck(entry=e.id, why=why) for e in reversed(part.about) if e.id not in apart),
        strike,
    )


def repacked(bag: Bag, holds: Sequence[str], why: str) -> Iterator[Fact]:
    """What to say so that a bag of the same letters, where it is, holds these parts and no others."""
    yield EntryStruck(entry=bag.packed.id, why=why)
    yield structs.replace(bag.packed.fact, parts=tuple(holds), shelf=bag.shelf)
    if bag.seen is not None:
        yield LabelSeen(code=bag.code, scanned=getattr(bag.seen.fact, "scanned", False))


def taken_out(bag: Bag, part: str, why: str) -> tuple[Fact, ...]:
    """What to say so that a part is not in a bag: the bag is said again without it, or struck out where it is empty."""
    others = [each for each in _holds(bag) if each != part]
    if others or bag.packed.fact.holds:
        return tuple(repacked(bag, others, why))
    return (EntryStruck(entry=bag.packed.id, why=why),)


def _holds(bag: Bag) -> tuple[str, ...]:
    return bag.packed.fact.parts


def struck_out(job: Job) -> list[Struck]:
    """Every fact that is struck out now, the one struck last first."""
    found = [
        Struck(entry, strikes)
        for entry in job.struck
        if not isinstance(entry.fact, EntryStruck)
        and (strikes := tuple(s for s in job.said(EntryStruck) if s.fact.entry == entry.id))
    ]
    return sorted(found, key=lambda s: s.strikes[-1].order, reverse=True)


def bring_back(struck: Struck, why: str, job: Job) -> tuple[EntryStruck, ...]:
    """The strikes of strikes after which a fact stands again; a part comes back with what went with it."""
    every = [*struck.strikes]
    if isinstance(struck.entry.fact, PartRemoved):
        part = struck.entry.fact.part
        facts = {e.id: e.fact for e in job.struck}
        strikes = {(s.bench, s.number): s for s in job.said(EntryStruck)}
        last = struck.strikes[-1]
        # What went with it was struck in the same breath: by the entries before, for the same reason.
        number = last.number - 1
        while (s := strikes.get((last.bench, number))) and s.fact.why == last.fact.why:
            fact = facts.get(s.fact.entry)
            if not (getattr(fact, "part", "") == part or (isinstance(fact, BagPacked) and set(fact.parts) == {part})):
                break
            every.append(s)
            number -= 1
    return tuple(EntryStruck(entry=s.id, why=why) for s in every)


def said_since(struck: Struck, job: Job) -> list[Entry[Any]]:
    """What stands and was said later of the same thing: it may have been said in place of what was struck out."""
    fact = struck.entry.fact
    return [
        e
        for e in job.entries
        if type(e.fact) is type(fact)
        and e.order > struck.entry.order
        and getattr(e.fact, "part", "") == getattr(fact, "part", "")
    ]
