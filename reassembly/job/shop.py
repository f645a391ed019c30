"""The shop: people, wrench rack, spec book, shelves. A second fold of entries, of those said with no job."""

from __future__ import annotations

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

if TYPE_CHECKING:
    from collections.abc import Iterable


class RackWrench(NamedTuple):
    """A torque tool of the rack, with its calibrations and failures, oldest first."""

    added: WrenchAdded
    calibrated: tuple[WrenchCalibrated, ...]
    failed: tuple[WrenchFailed, ...]

    @property
    def good_until(self) -> str:
        """Date to which its last calibration holds, `` if it has none, gave no date, or failed since."""
        last = max(self.calibrated, key=lambda c: c.on, default=None)
        if last is None or any(f.on >= last.on for f in self.failed):
            return ""
        return last.until

    def calibration_on(self, day: str) -> WrenchCalibrated | None:
        """The last calibration up to that day (ISO date); None where there was none yet."""
        return max((c for c in self.calibrated if c.on <= day), key=lambda c: c.on, default=None)

    def doubt(self, day: str) -> str:
        """Why it should not be trusted with work done on that day (ISO date), in words; empty when it may be.

        A failure found later throws doubt on the work before it, back to the last calibration.
        """
        last = self.calibration_on(day)
        if last is None:
            return "was not calibrated"
        renewed = min((c.on for c in self.calibrated if c.on > day), default="9999")
        failed = min((f.on for f in self.failed if last.on <= f.on < renewed), default="")
        if failed:
            return f"failed on {failed} and was not calibrated since" if failed <= day else f"failed later, on {failed}"
        if not last.until:
            return "has no date to which its calibration holds"
        return f"was out of calibration since {last.until}" if last.until < day else ""


class Shop(NamedTuple):
    """What the shop's entries say, each thing as it was said last."""

    people: dict[str, PersonAdded]
    rack: dict[str, RackWrench]
    specs: tuple[Entry[SpecNoted], ...]
    benches: dict[str, str]
    shelves: dict[str, ShelfAdded]

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
        )

    def who(self, name: str) -> str | None:
        """The short name of whoever is called so, in short or in full; None for nobody here."""
        found = People(tuple(self.people.values())).find(name)
        return found.person if found else None

    def called(self, person: str) -> str:
        """Full name where it is known, short name otherwise."""
        known = self.people.get(person)
        return known.name if known and known.name else person
