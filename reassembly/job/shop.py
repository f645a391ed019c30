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
from reassembly.job.job import Job
from reassembly.job.people import People
from reassembly.trade.wrench import day_of

if TYPE_CHECKING:
    from collections.abc import Iterable


class RackWrench(NamedTuple):
    """A torque tool of the rack, with its calibrations and failures, oldest first."""

    added: WrenchAdded
    calibrated: tuple[WrenchCalibrated, ...]
    failed: tuple[WrenchFailed, ...]

    @property
    def good_until(self) -> str:
        """Date to which its last calibration holds, `` if it has none, no date that can be read, or failed since."""
        last = self.calibration_on("9999-12-31")
        failed = any((on := day_of(f.on)) is None or (last and on >= _on(last)) for f in self.failed)
        return last.until if last and day_of(last.until) and not failed else ""

    def calibration_on(self, day: str) -> WrenchCalibrated | None:
        """The last calibration up to that day (ISO date); None where there was none yet, or its date cannot be read."""
        when = day_of(day)
        known = (c for c in self.calibrated if (on := day_of(c.on)) and when and on <= when)
        return max(known, key=_on, default=None)

    def doubt(self, day: str) -> str:
        """Why it should not be trusted with work done on that day (ISO date), in words; empty when it may be.

        The only judge of a calibration. A failure found later throws doubt on the work before it, back to the last
        calibration; a date that cannot be read proves nothing.
        """
        when, last = day_of(day), self.calibration_on(day)
        if when is None:
            return f"cannot be judged, used on a day that is not known: {day}"
        if last is None:
            typed = next((c.on for c in self.calibrated if day_of(c.on) is None), None)
            return "was not calibrated" if typed is None else f"has calibration not known: {typed or 'no date'}"
        renewed = min((_on(c) for c in self.calibrated if (on := day_of(c.on)) and on > when), default=date.max)
        unread = next((f.on for f in self.failed if day_of(f.on) is None), None)
        if unread is not None:
            return f"failed on a day that is not known: {unread or 'no date'}"
        failed = min((on for f in self.failed if (on := day_of(f.on)) and _on(last) <= on < renewed), default=None)
        if failed:
            return (
                f"failed on {failed} and was not calibrated since" if failed <= when else f"failed later, on {failed}"
            )
        until = day_of(last.until)
        if until is None:
            typed = last.until.strip()
            return f"has calibration not known: {typed}" if typed else "has no date to which its calibration holds"
        return f"was out of calibration since {until}" if until < when else ""


def _on(calibrated: WrenchCalibrated) -> date:
    return day_of(calibrated.on) or date.min


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
        calibrated = [e.fact for e in standing.said(WrenchCalibrated)]
        failed = [e.fact for e in standing.said(WrenchFailed)]
        return cls(
            people={e.fact.person: e.fact for e in standing.said(PersonAdded)},
            rack={
                e.fact.wrench: RackWrench(
                    e.fact,
                    tuple(c for c in calibrated if c.wrench == e.fact.wrench),
                    tuple(f for f in failed if f.wrench == e.fact.wrench),
                )
                for e in standing.said(WrenchAdded)
            },
            specs=tuple(standing.said(SpecNoted)),
            benches={e.bench: e.fact.name for e in standing.said(BenchNamed)},
            shelves={e.fact.shelf: e.fact for e in standing.said(ShelfAdded)},
            known=People.of(standing.entries),
        )

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
        found = self.rack.get(wrench)
        last = found.calibration_on(day) if found else None
        return self.cycles(wrench, last.on, day) if last else 0
