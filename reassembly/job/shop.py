"""The shop: people, wrench rack, spec book, shelves. A second fold of entries, of those said with no job."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.entries import (
    BenchNamed,
    Entry,
    PersonAdded,
    ShelfAdded,
    SpecNoted,
    WrenchAdded,
    WrenchCalibrated,
    WrenchFailed,
)
from reassembly.job.job import Job, fold
from reassembly.job.people import People
from reassembly.trade.wrench import CYCLES, day_of

if TYPE_CHECKING:
    from collections.abc import Iterable


class RackWrench(NamedTuple):
    """A torque tool of the rack, with its calibrations and failures, oldest first."""

    added: WrenchAdded
    calibrated: tuple[Entry[WrenchCalibrated], ...]
    failed: tuple[Entry[WrenchFailed], ...]

    @property
    def cycles_allowed(self) -> int:
        """How often it may be used from one calibration to the next."""
        return CYCLES if self.added.cycles is None else self.added.cycles

    @property
    def good_until(self) -> str:
        """Date to which its last calibration holds, `` if it has none, no date that can be read, or failed since."""
        last = self._last("9999-12-31")
        failed = any(day_of(f.fact.on) is None or (last and turn(f) > turn(last)) for f in self.failed)
        return last.fact.until if last and day_of(last.fact.until) and not failed else ""

    def calibration_on(self, day: str) -> WrenchCalibrated | None:
        """The last calibration up to that day (ISO date); None where there was none yet, or its date cannot be read."""
        last = self._last(day)
        return last.fact if last else None

    def _last(self, day: str) -> Entry[WrenchCalibrated] | None:
        when = day_of(day)
        known = (c for c in self.calibrated if (on := day_of(c.fact.on)) and when and on <= when)
        return max(known, key=turn, default=None)

    def doubt(self, day: str, used: Order | None = None) -> str:
        """Why it should not be trusted with work done on that day (ISO date), in words; empty when it may be.

        The only judge of a calibration. A failure found later throws doubt on the work before it, back to the last
        calibration; a date that cannot be read proves nothing. Of a failure and a calibration on one day, the one said
        later counts as later. `used` is when the work of that day was said, among all entries: one said before a
        failure of the same day is in doubt; without it the work is the last thing of that day.
        """
        when, last = day_of(day), self._last(day)
        if when is None:
            return f"cannot be judged, used on a day that is not known: {day}"
        if last is None:
            typed = next((c.fact.on for c in self.calibrated if day_of(c.fact.on) is None), None)
            return "was not calibrated" if typed is None else f"has calibration not known: {typed or 'no date'}"
        dated = [c for c in self.calibrated if day_of(c.fact.on)]
        renewed = min((turn(c) for c in dated if turn(c)[0] > when), default=(date.max, last.order))
        unread = next((f.fact.on for f in self.failed if day_of(f.fact.on) is None), None)
        if unread is not None:
            return f"failed on a day that is not known: {unread or 'no date'}"
        turns = sorted(turn(f) for f in self.failed)
        failed = next((each[0] for each in turns if turn(last) < each < renewed), None)
        if failed:
            return (
                f"failed on {failed} and was not calibrated since" if failed <= when else f"failed later, on {failed}"
            )
        if used and any(on == when and used < said for on, said in turns):
            return f"failed later that day, {when}"
        until = day_of(last.fact.until)
        if until is None:
            typed = last.fact.until.strip()
            return f"has calibration not known: {typed}" if typed else "has no date to which its calibration holds"
        return f"was out of calibration since {until}" if until < when else ""


Order = tuple[int, str, int]
"""Where an entry stands among all entries, of the shop and of every job."""


def turn(entry: Entry[WrenchCalibrated] | Entry[WrenchFailed]) -> tuple[date, Order]:
    """By what a wrench's calibrations and failures are in order: their day, and on one day when they were said."""
    return day_of(entry.fact.on) or date.min, entry.order


Cycles = Callable[[str, str, str], int]
"""How often a wrench was used, from one day to another, both counted (ISO dates): asked of the whole journal."""


class Shop(NamedTuple):
    """What the shop's entries say, each thing as it was said last. `cycles` is 0 where no journal is at hand."""

    people: dict[str, PersonAdded]
    rack: dict[str, RackWrench]
    specs: tuple[Entry[SpecNoted], ...]
    benches: dict[str, str]
    shelves: dict[str, ShelfAdded]
    known: People = People()
    """The same people by every name that they ever had."""
    cycles: Cycles = lambda _wrench, _since, _until: 0

    @classmethod
    def of(cls, entries: Iterable[Entry[Any]]) -> Shop:
        standing = Job.of(entries)
        calibrated, failed = tuple(standing.said(WrenchCalibrated)), tuple(standing.said(WrenchFailed))
        added = {fold(e.fact.wrench): e.fact for e in standing.said(WrenchAdded)}
        return cls(
            people={e.fact.person: e.fact for e in standing.said(PersonAdded)},
            rack={
                fact.wrench: RackWrench(
                    fact,
                    tuple(e for e in calibrated if fold(e.fact.wrench) == name),
                    tuple(e for e in failed if fold(e.fact.wrench) == name),
                )
                for name, fact in added.items()
            },
            specs=tuple(standing.said(SpecNoted)),
            benches={e.bench: e.fact.name for e in standing.said(BenchNamed)},
            shelves={e.fact.shelf: e.fact for e in standing.said(ShelfAdded)},
            known=People.of(standing.entries),
        )

    def wrench(self, name: str) -> RackWrench | None:
        """The wrench of the rack with this name, whatever the case and the spaces."""
        return next((found for called, found in self.rack.items() if fold(called) == fold(name)), None)

    def who(self, name: str) -> str | None:
        """The short name of whoever is called so, in short or in full; None for nobody here."""
        found = self.known.find(name)
        return found.person if found else None

    def near(self, name: str) -> list[str]:
        """Short names of those who are called nearly so, the nearest first."""
        return self.known.near(name)

    def called(self, person: str) -> str:
        """Full name where it is known, short name otherwise."""
        known = self.people.get(person)
        return known.name if known and known.name else person

    def cycles_done(self, wrench: str, day: str) -> int:
        """How often a wrench of the rack was used from its last calibration to that day; 0 where it has none."""
        found = self.wrench(wrench)
        last = found.calibration_on(day) if found else None
        return self.cycles(found.added.wrench, last.on, day) if found and last else 0
