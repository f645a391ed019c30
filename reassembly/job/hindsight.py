"""What would have been doubted of entries that are kept already, each judged by what its job was just before it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reassembly.job.doubts import doubts
from reassembly.job.entries import EntryStruck, PartRemoved, Unknown
from reassembly.job.job import Job, Part, parts, parts_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence

    from reassembly.job.doubt import Doubt
    from reassembly.job.entries import Entry
    from reassembly.job.shop import Shop


def refused(
    said: Iterable[Entry[Any]], among: Collection[str], people: Sequence[Entry[Any]], shop: Shop
) -> Iterator[tuple[Entry[Any], Doubt]]:
    """Each of the entries `among` these ids that would have been refused, and why. `said` is all of one job, the oldest
    first; of the shop's entries the job before is empty."""
    growing = _Growing(people)
    for entry in said:
        if entry.id in among and not isinstance(entry.fact, Unknown):
            before, every = (growing.job, growing.parts) if entry.job else (Job(), {})
            for doubt in doubts(entry.fact, before, shop, who=entry.who, every=every):
                if doubt.refuses:
                    yield entry, doubt
        growing.hear(entry)


class _Growing:
    """A job that hears one entry after another: folded anew at each, a long one would take the square of the time."""

    def __init__(self, people: Sequence[Entry[Any]]) -> None:
        self._heard: list[Entry[Any]] = []
        self.job = Job(people=tuple(people))
        self.parts: dict[str, Part] = {}

    def hear(self, entry: Entry[Any]) -> None:
        self._heard.append(entry)
        if isinstance(entry.fact, EntryStruck):
            self.job = Job.of(self._heard, self.job.people)
            self.parts = dict(parts(self.job))
            return
        self.job = self.job._replace(entries=(*self.job.entries, entry))
        for name in parts_of(entry.fact):
            part = self.parts.get(name, Part(name, (), ()))
            removals = (*part.removals, entry) if isinstance(entry.fact, PartRemoved) else part.removals
            self.parts[name] = part._replace(removals=removals, about=(*part.about, entry))
