"""The entries of one job that stand, and the parts they are about."""

from __future__ import annotations

from functools import wraps
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar, cast

from msgspec import structs

from reassembly.job.entries import (
    BagPacked,
    Entry,
    EntryStruck,
    FastenersRemoved,
    JobOpened,
    K,
    PartRemoved,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence


A = TypeVar("A")


class Job(NamedTuple):
    """The entries of one job that still stand, oldest first; those struck out stay readable beside them."""

    entries: tuple[Entry[Any], ...] = ()
    struck: tuple[Entry[Any], ...] = ()
    people: tuple[Entry[Any], ...] = ()
    """What the shop said of its people: a second check is asked of somebody who is known."""

    @classmethod
    def of(cls, entries: Iterable[Entry[Any]], people: Iterable[Entry[Any]] = ()) -> Job:
        every = tuple(entries)
        stands = unstruck(every)
        kept = {e.id for e in stands}
        struck = sorted((e for e in every if e.id not in kept), key=lambda e: e.order)
        return cls(stands, tuple(struck), tuple(people))

    def said(self, kind: type[K]) -> Iterator[Entry[K]]:
        """The standing entries of one kind, oldest first."""
        return (cast("Entry[K]", e) for e in self.entries if isinstance(e.fact, kind))

    def entry(self, key: str) -> Entry[Any] | None:
        """The standing entry with this id."""
        return next((e for e in self.entries if e.id == key), None)

    @property
    def id(self) -> str:
        return self.entries[0].job if self.entries else ""

    @property
    def opened(self) -> JobOpened:
        """The vehicle as last said at check-in, with what was added to it later; an unnamed one where nobody has."""
        return _opened(self)


def unstruck(entries: Iterable[Entry[Any]]) -> tuple[Entry[Any], ...]:
    """Those that are not struck out, oldest first. Read backwards, so that a strike that was itself struck out strikes
    nothing."""
    out: set[str] = set()
    found: list[Entry[Any]] = []
    for entry in sorted(entries, key=lambda e: e.order, reverse=True):
        if entry.id in out:
            continue
        found.append(entry)
        if isinstance(entry.fact, EntryStruck):
            out.add(entry.fact.entry)
    return tuple(reversed(found))


def asked_again(question: Callable[[Job], A]) -> Callable[[Job], A]:
    """Keep the last answer for whoever asks about the same object: one scan asks for the plan six times, and the plan
    asks where every bag is. The answer is only read."""
    last: tuple[Job, A] | None = None

    @wraps(question)
    def ask(job: Job) -> A:
        nonlocal last
        kept = last
        if kept is None or kept[0] is not job:
            kept = last = job, question(job)
        return kept[1]

    return ask


@asked_again
def _opened(job: Job) -> JobOpened:
    found = JobOpened(vehicle="")
    added: dict[str, str] = {}
    for entry in job.said(JobOpened):
        if adds_to_check_in(entry, job):
            added |= {name: text for name, text in structs.asdict(entry.fact).items() if text}
        else:
            found = entry.fact
    return structs.replace(found, **{name: text for name, text in added.items() if not getattr(found, name)})


def adds_to_check_in(entry: Entry[JobOpened], job: Job) -> bool:
    """Whether it names no vehicle and only says what another check-in of the job left empty."""
    return not entry.fact.vehicle and any(e.fact.vehicle for e in job.said(JobOpened))


class Part(NamedTuple):
    """One part of a job, with what was said of it. A part that was only spoken of has no removal."""

    id: str
    removals: tuple[Entry[PartRemoved], ...]
    about: tuple[Entry[Any], ...]

    @property
    def removed(self) -> Entry[PartRemoved] | None:
        return self.removals[-1] if self.removals else None

    @property
    def name(self) -> str:
        """Name and side, as a person would call it: `crossmember, left`."""
        if self.removed is None:
            return self.id
        return called(self.removed.fact) or self.id

    @property
    def how(self) -> str:
        return self.removed.fact.how if self.removed else "off"

    @property
    def parent(self) -> str:
        return self.removed.fact.parent if self.removed else ""

    @property
    def since(self) -> tuple[int, str, int]:
        """When it came off last; a part only spoken of counts from the first word about it."""
        if self.removed:
            return self.removed.order
        return self.about[0].order if self.about else (0, "", 0)

    def said(self, kind: type[K]) -> Iterator[Entry[K]]:
        return (cast("Entry[K]", e) for e in self.about if isinstance(e.fact, kind))

    def fasteners(self, name: str) -> FastenersRemoved | None:
        """The set of that name as last said; for an empty name, where every set has one, the first."""
        sets = [e.fact for e in self.said(FastenersRemoved)]
        named = [f for f in sets if fold(f.fasteners) == fold(name)]
        if named:
            return named[-1]
        return sets[0] if sets and not name else None


def called(fact: PartRemoved) -> str:
    """Name and side, as a person would call the part."""
    name, side = fact.name or fact.part, fact.side
    return name if not side or side.casefold() in name.casefold() else f"{name}, {side}"


@asked_again
def parts(job: Job) -> dict[str, Part]:
    """Every part that came off or is spoken of, by its id, in the order it was first mentioned."""
    about: dict[str, list[Entry[Any]]] = {}
    for entry in job.entries:
        for part in parts_of(entry.fact):
            about.setdefault(part, []).append(entry)
    return {
        part: Part(
            part,
            tuple(e for e in entries if isinstance(e.fact, PartRemoved)),
            tuple(entries),
        )
        for part, entries in about.items()
    }


def part_in(every: Mapping[str, Part], part: str) -> Part:
    """The part with this id; where a fact names none, one of which nothing is known."""
    return every.get(part) or Part(part, (), ())


def fold(text: str) -> str:
    """For comparing what people type: case and spaces do not matter."""
    return " ".join(text.casefold().split())


def bag_code(text: str) -> str:
    """The letters of a code as they are compared: in any case, with or without spaces."""
    return "".join(text.split()).upper()


def parts_of(fact: object) -> tuple[str, ...]:
    """The ids of the parts that a fact speaks of."""
    if isinstance(fact, BagPacked):
        return tuple(part for part in dict.fromkeys(fact.parts) if part)
    part = getattr(fact, "part", "")
    return (part,) if part else ()


def part_id(job: Job, name: str, side: str = "") -> str:
    """A readable id for a part about to be recorded, free in this job."""
    words = f"{name}, {side}" if side and side.casefold() not in name.casefold() else name
    wanted = fold(words)[:60] or "part"
    taken = parts(job)
    number, candidate = 1, wanted
    while candidate in taken:
        number += 1
        candidate = f"{wanted} {number}"
    return candidate


def odd_lengths(lengths: Sequence[str]) -> tuple[str, dict[int, str]]:
    """The length that most positions have, the first of several, and by position, from 1, each that differs."""
    usual = max(dict.fromkeys(lengths), key=lengths.count, default="")
    return usual, {n: length for n, length in enumerate(lengths, 1) if length != usual}


def title(job: Job) -> str:
    """Order number or id, vehicle and registration: the first words on every screen and label."""
    opened = job.opened
    return "  ".join(w for w in (f"{opened.order or job.id} {opened.vehicle}".strip(), opened.registration) if w)
