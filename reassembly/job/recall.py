"""What was done with one wrench, one batch, one part number, one fluid batch, or by one person."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job import entries as said
from reassembly.job.asks import words
from reassembly.job.shop import turn
from reassembly.job.uses import key
from reassembly.job.wording import plural
from reassembly.trade.wrench import day_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from reassembly.job.job import Job
    from reassembly.job.uses import Use, What

NOT_COUNTED = "Entries struck out are not counted."
OF_A_PERSON = (
    "Of a person: joints tightened, second checks, exceptions and sign-offs. Other checks stand in each record."
)


class Vehicle(NamedTuple):
    """Whom to call about which vehicle. `erased` where the customer asked that the details be erased."""

    job: str = ""
    order: str = ""
    vehicle: str = ""
    registration: str = ""
    vin: str = ""
    customer: str = ""
    phone: str = ""
    email: str = ""
    erased: bool = False

    @property
    def told(self) -> str:
        """The customer in a few words."""
        named = words(self.customer, self.phone or self.email)
        return named or ("details erased on request" if self.erased else "customer not named")


class Window(NamedTuple):
    """The days looked at, both included (ISO dates; `` is open), and why these."""

    since: str = ""
    until: str = ""
    why: str = ""


class Recall(NamedTuple):
    """Everything done with it in these days, the newest first, and the vehicles concerned."""

    what: What
    name: str
    window: Window
    uses: tuple[Use, ...]
    vehicles: Mapping[str, Vehicle]

    @property
    def jobs(self) -> dict[str, list[Use]]:
        """The uses by job, the newest first."""
        found: dict[str, list[Use]] = {}
        for use in self.uses:
            found.setdefault(use.job, []).append(use)
        return found

    @property
    def outline(self) -> Outline:
        """How much of it there is, for the lines above it."""
        jobs = tuple(InJob(job, len(uses), 0, 0) for job, uses in self.jobs.items())
        return Outline(
            self.what, self.name, self.window, jobs, sum(bool(use.doubt) for use in self.uses), self.vehicles
        )

    @property
    def summary(self) -> str:
        return self.outline.summary

    @property
    def notes(self) -> tuple[str, ...]:
        return self.outline.notes


class InJob(NamedTuple):
    """How much was done in one job, between which stamps of the clock that never goes back."""

    job: str
    uses: int
    first: int
    last: int


class Outline(NamedTuple):
    """A recall before it is read through: in which jobs how much was done, the newest first, and the vehicles of those
    that are listed. What one person did in ten years is a list of 300,000 lines, which nobody should wait for."""

    what: What
    name: str
    window: Window
    jobs: tuple[InJob, ...]
    doubtful: int
    """Entries whose day is in doubt."""
    vehicles: Mapping[str, Vehicle]

    @property
    def summary(self) -> str:
        """`12 entries of 3 jobs about wrench T3`."""
        uses = sum(each.uses for each in self.jobs)
        return (
            f"{_many(uses, 'entry', 'entries')} of {_many(len(self.jobs), 'job', 'jobs')} about {self.what} {self.name}"
        )

    @property
    def notes(self) -> tuple[str, ...]:
        """What whoever acts on it has to know."""
        return (
            *([self.window.why] if self.window.why else []),
            NOT_COUNTED,
            *([OF_A_PERSON] if self.what == "person" else []),
            *(
                [f"{_many(self.doubtful, 'date', 'dates')} in doubt: that clock was not right."]
                if self.doubtful
                else []
            ),
        )


def window(shop: Job, wrench: str) -> Window:
    """The days in which a wrench is in doubt: from its last good calibration before it failed to the next after.

    Days are the dates typed at calibration; of a failure and a calibration on one day, the one said later counts as
    later. Where it never failed: since its last calibration. `shop` are the entries of the shop.
    """
    mine = (e for e in shop.said(said.WrenchCalibrated) if key(e.fact.wrench) == key(wrench))
    good = sorted(turn(e) for e in mine if day_of(e.fact.on))
    bad = [e for e in shop.said(said.WrenchFailed) if key(e.fact.wrench) == key(wrench)]
    unread = next((e.fact.on for e in bad if day_of(e.fact.on) is None), None)
    if unread is not None:
        return Window(why=f"Wrench {wrench} failed on a day that is not known, {unread or 'no date'}: all it did.")
    if not bad:
        if not good:
            return Window(why=f"Wrench {wrench} never failed and was never calibrated here: all it did.")
        return Window(
            str(good[-1][0]), why=f"Wrench {wrench} did not fail: what it did since its calibration {good[-1][0]}."
        )
    last = max(bad, key=turn)
    failed = turn(last)
    before = max((day for day in good if day < failed), default=None)
    after = min((day for day in good if day > failed), default=None)
    return Window(
        str(before[0]) if before else "",
        str(after[0]) if after else "",
        f"Wrench {wrench} failed {words(last.fact.on, last.fact.why)}: "
        + (
            f"what it did since its last good calibration {before[0]}"
            if before
            else "never calibrated before, all it did"
        )
        + (f", to the next {after[0]}." if after else ", and it was not calibrated since."),
    )


NOWHERE: Mapping[What, str] = {
    "wrench": "no such wrench in the rack, and nothing was tightened with it",
    "person": "nobody here is called so, and nothing was done under that name",
    "batch": "no such batch in any job",
    "part number": "no such part number in any job",
    "fluid batch": "no such fluid batch in any job",
}


def unknown(what: What, name: str, names: Iterable[str]) -> str:
    """That a name is none of those that are known, with the nearest of them; empty where it is one."""
    called = {key(each): each for each in names if key(each)}
    if key(name) in called:
        return ""
    near = [called[each] for each in get_close_matches(key(name), called, cutoff=0.4)]
    return f"{name}: {NOWHERE[what]}" + (f"; nearest: {', '.join(near)}" if near else "")


def rows(recall: Recall) -> Iterator[dict[str, Any]]:
    """One flat row for each use, with the vehicle and the customer: for JSON and tables."""
    for use in recall.uses:
        vehicle = recall.vehicles.get(use.job, Vehicle(use.job))
        yield {
            "job": use.job,
            "order": vehicle.order,
            "vehicle": vehicle.vehicle,
            "registration": vehicle.registration,
            "vin": vehicle.vin,
            "customer": vehicle.customer,
            "phone": vehicle.phone,
            "email": vehicle.email,
            "customer_erased": vehicle.erased,
            "time": use.time,
            "who": use.who,
            "did": use.did,
            "part": use.part,
            "about": use.about,
            "position": use.position,
            "value": use.value,
            "wrench": use.wrench,
            "setting": use.setting,
            "part_number": use.part_number,
            "batch": use.batch,
            "typed": use.typed,
            "date_in_doubt": use.doubt,
            "entry": use.entry,
        }


class Joint(NamedTuple):
    """Uses that differ only in their position, as one line."""

    first: Use
    positions: tuple[int, ...]

    @property
    def told(self) -> str:
        use = self.first
        where = _ranges(sorted(self.positions))
        return words(
            f"{use.did}: {words(use.part, use.about)}" if words(use.part, use.about) else use.did,
            f"{plural('position', len(self.positions))} {where}" if self.positions else "",
            "whole stage at once" if use.did == "tightened" and not self.positions else "",
            use.value,
            words(use.wrench and f"wrench {use.wrench}", use.setting and f"set to {use.setting}", between=" "),
            use.part_number,
            use.batch and f"batch {use.batch}",
            use.doubt and f"date in doubt, {use.doubt} by other entries",
        )


def joints(several: Iterable[Use]) -> list[Joint]:
    """Of one job, in its order: the positions of one stage together where day, person, wrench and values agree."""
    found: dict[Use, list[int]] = {}
    first: dict[Use, Use] = {}
    for use in reversed(list(several)):
        same = use._replace(position=None, entry="", time=use.time[:10])
        if use.position is None:
            same = same._replace(entry=use.entry)
        first.setdefault(same, use)
        found.setdefault(same, []).extend([] if use.position is None else [use.position])
    return [Joint(first[same], tuple(dict.fromkeys(positions))) for same, positions in found.items()]


def _ranges(numbers: list[int]) -> str:
    """1 to 4, 7"""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)


def _many(number: int, one: str, several: str) -> str:
    return f"{number:,} {one if number == 1 else several}"
