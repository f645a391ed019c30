"""What would have been doubted of entries that are kept already, each judged by what its job was just before it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from reassembly.job.doubts import doubts
from reassembly.job.entries import EntryStruck, JobOpened, PartRemoved, Unknown
from reassembly.job.job import Job, Part, parts, parts_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence

    from reassembly.job.doubt import Doubt
    from reassembly.job.entries import Entry
    from reassembly.job.shop import Shop


def refused(
    said: Iterable[Entry[Any]], among: Collection[str], people: Sequence[Entry[Any]], shop: Shop
) -> Iterator[tuple[Entry[Any], Doubt]]:
    """Each of the entries `among` these ids that would have been refused, or asked about, and why. `said` is all of one
    job, the oldest first; of the shop's entries the job before is empty."""
    growing = _Growing(people)
    for entry in said:
        if entry.id in among and not isinstance(entry.fact, Unknown):
            before, every = (growing.job, growing.parts) if entry.job else (Job(), {})
            for doubt in doubts(entry.fact, before, shop, who=entry.who, every=every):
                if doubt.refuses or doubt.asks:
                    yield entry, doubt
        growing.hear(entry)


def out_of_time(said: Sequence[Entry[Any]], among: Collection[str], now: datetime) -> Iterator[tuple[Entry[Any], str]]:
    """Each of the entries `among` these ids that was said after `now`, or before its job was opened, in a sentence:
    a day's difference is left to clocks and zones. `said` is all of one job, or of the shop."""
    days = {entry.id: _moment(entry.time) for entry in said}
    opened = next((days[e.id] for e in said if isinstance(e.fact, JobOpened)), None)
    for entry in said:
        moment = days[entry.id]
        if moment is None or entry.id not in among:
            continue
        if moment > now + _A_DAY:
            yield entry, f"{entry.time[:10]} has not come yet: look at the time"
        elif opened and opened <= now + _A_DAY and moment < opened - _A_DAY:
            yield entry, f"{entry.time[:10]} is before the job was opened, {opened.date()}: look at the time"


_A_DAY = timedelta(days=1)


def _moment(time: str) -> datetime | None:
    try:
        return datetime.fromisoformat(time).astimezone(UTC)
    except (ValueError, OverflowError):
        return None


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
