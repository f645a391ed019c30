"""The one door: who is at the bench, which job is open, `say`, `job`."""

from __future__ import annotations

import time
from contextlib import contextmanager
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any, Self

from reassembly.job.entries import (
    BenchNamed,
    CustomerNamed,
    DetailsErased,
    Entry,
    Fact,
    JobOpened,
    PersonAdded,
    ShelfAdded,
    SignedOff,
    SpecNoted,
    WrenchAdded,
    WrenchCalibrated,
    WrenchFailed,
)
from reassembly.job.job import Job
from reassembly.job.plan import plan
from reassembly.job.recall import InJob, Outline, Recall, Window, unknown, window
from reassembly.job.shop import Shop
from reassembly.job.signoff import signoff
from reassembly.record import clock, copies, finding, recall
from reassembly.record.customer import Customer, Detail
from reassembly.record.folder import Folder
from reassembly.record.journal import Journal, digest
from reassembly.record.proof import verify
from reassembly.record.trouble import Refused, Trouble

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

    from reassembly.job.uses import What
    from reassembly.record.finding import JobLine, Owner
    from reassembly.record.proof import Progress
    from reassembly.record.writing import Head

SERIALS = 1 << 20
SHOP_FACTS = (PersonAdded, WrenchAdded, WrenchCalibrated, WrenchFailed, SpecNoted, ShelfAdded, BenchNamed)
"""Said of the shop: they belong to no job."""

NOBODY = "Nobody is at the bench: a badge, p or (where letters are typed) Ctrl+Y says who is."
_NO_JOB = "No job is open: open one first."


class Desk:
    """A bench with a person at it and perhaps a job open.

    Every method raises Trouble, with a sentence to show, when the disk or the file will not; the same desk works again
    once the cause is gone. A desk belongs to the thread that opened it.
    """

    def __init__(self, journal: Journal) -> None:
        self.journal = journal
        self.who = ""
        self.open_job = ""
        self.listening = True
        """Off while a terminal goes back to where it was left: nothing can be said by that."""
        self._seen: tuple[int, int, int] | None = None
        self._read: tuple[str, tuple[int, int, int], Job] | None = None
        self._shop: tuple[tuple[int, int, int], Shop] | None = None
        self._uses_counted: dict[tuple[str, str, str], int] = {}

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        who: str = "",
        now: Callable[[], int] = time.time_ns,
        trusted: Callable[[], bool] = clock.synchronised,
        patience: float = 5.0,
        progress: Progress = lambda _done, _all: None,
    ) -> Self:
        """Open the data folder, made where there is none. `progress` is for the minute after an update of the program.

        `now` is the wall clock in nanoseconds since 1970; `patience` is how many seconds to wait for another program.
        """
        desk = cls(Journal(Folder(folder, patience, progress=progress), now, trusted))
        desk.who = who
        desk.bench  # noqa: B018 - opens the folder, so that trouble shows at once
        return desk

    def close(self) -> None:
        self.journal.folder.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def bench(self) -> str:
        """The two letters of this bench."""
        return self.journal.bench

    @property
    def path(self) -> Path:
        """The data folder."""
        return self.journal.folder.path

    @property
    def copied(self) -> str:
        """How old the last good copy is, in words for the bench."""
        return copies.age(self.path, self.journal.now())

    @property
    def copy_due(self) -> bool:
        """Whether a copy on the second device should be made."""
        return copies.due(self.path, self.journal.now(), self.digest())

    @property
    def warning(self) -> str:
        """What to show beside whatever is shown: that the disk is full, that another journal lies in the place of this
        one. Nothing while all is well."""
        return self.journal.warning

    def wait_at_most(self, seconds: float, refused: Callable[[str], object]) -> None:
        """For another program that is writing; `refused` hears in which words it was told that it takes longer."""
        self.journal.folder.wait_at_most(seconds)
        self.journal.folder.refused = refused

    def held_elsewhere(self) -> bool:
        """Whether another program writes just now, so that nothing can be said."""
        return self.journal.folder.held_elsewhere()

    @property
    def today(self) -> str:
        """The date by the wall clock: 2026-03-14."""
        return clock.told(self.journal.now())[:10]

    def quiet_for(self, minutes: int) -> bool:
        """Whether nothing was kept for so long, or not today: of the open job, or at this bench where none is open."""
        entries = self.job().entries if self.open_job else ()
        head = self.heads().get(self.bench)
        last = clock.milliseconds(entries[-1].hlc if entries else head.hlc if head else 0) * 1_000_000
        now = self.journal.now()
        return now - last > minutes * 60_000_000_000 or clock.told(last)[:10] != self.today

    @contextmanager
    def in_the_name_of(self, person: str) -> Iterator[None]:
        """What is said meanwhile is said by this person; whoever is at the bench stays there."""
        at_work, self.who = self.who, person
        try:
            yield
        finally:
            self.who = at_work

    def _somebody(self) -> None:
        if not self.who:
            raise Refused(NOBODY)
        if not self.listening:
            raise Refused("The screen is still going back to where it was left: say it again.")

    def _somebody_at_a_job(self) -> None:
        self._somebody()
        if not self.open_job:
            raise Refused(_NO_JOB)

    def say(self, fact: Fact, job: str | None = None, details: Customer | None = None) -> Entry[Any]:
        """Keep one fact. When this returns it is on the disk, and `job` shows it.

        It is said of the open job unless `job` names another; `` is the shop. A CustomerNamed comes with the details it
        stands for, and its digest is made here.
        """
        self._somebody()
        if job is None:
            job = "" if isinstance(fact, SHOP_FACTS) else self.open_job
            if not job and not isinstance(fact, SHOP_FACTS):
                raise Refused(_NO_JOB)
        fact, detail = _detailed(fact, details)
        with self.journal.writing() as writing:
            return writing.say(fact, who=self.who, job=job, detail=detail)

    def say_all(
        self, facts: Sequence[Fact], job: str | None = None, details: Customer | None = None
    ) -> list[Entry[Any]]:
        """Keep several facts of one job that were said in one breath: all of them or none. `job` and `details` as in
        `say`; the details are those of the one CustomerNamed among them."""
        if job is None:
            self._somebody_at_a_job()
            job = self.open_job
        else:
            self._somebody()
        said = [_detailed(fact, details if isinstance(fact, CustomerNamed) else None) for fact in facts]
        with self.journal.writing() as writing:
            return [writing.say(fact, who=self.who, job=job, detail=detail) for fact, detail in said]

    def sign_off(self) -> Entry[Any] | None:
        """Close the open job if nothing is open in it; judged and kept in one transaction, so that nothing said at
        another terminal in between is covered unseen. None where it may not close."""
        self._somebody_at_a_job()
        with self.journal.writing() as writing:
            shop = self.journal.read("")
            job = Job.of(self.journal.read(self.open_job), shop)
            found = signoff(job, Shop.of(shop))
            if not found.may_close:
                return None
            covers = {bench: head.number for bench, head in writing.heads.items()}
            fact = SignedOff(
                covers=covers,
                exceptions=tuple(check.key for check in found.excepted),
                checks=tuple(check.key for check in plan(job).checks),
            )
            return writing.say(fact, who=self.who, job=self.open_job)

    def open_new(self, fact: JobOpened) -> str:
        """Open a job for a vehicle that came in, and stay at it. Returns its id."""
        self._somebody()
        with self.journal.writing() as writing:
            job = writing.new_job()
            writing.say(fact, who=self.who, job=job)
        self.open_job = job
        return job

    def new_job(self) -> str:
        """The next job id of this bench; never given out twice, used or not."""
        with self.journal.writing() as writing:
            return writing.new_job()

    def new_serial(self, kind: int) -> int:
        """The next serial number of this bench for a kind of label; never given out twice, printed or not."""
        with self.journal.writing() as writing:
            serial = writing.allot(f"code {writing.bench} {kind}")
            if serial >= SERIALS:
                raise Refused("This bench has used up its label numbers: give it a new name.")
            return serial

    def job(self, job: str | None = None) -> Job:
        """What stands of a job; of the open one unless another is named.

        The same object as long as nothing is kept: one scan asks six times, and each reading takes as long as a paint.
        """
        named, version = self.open_job if job is None else job, self.journal.version()
        if self._read is None or self._read[:2] != (named, version):
            self._read = named, version, Job.of(self.journal.read(named), self.journal.people())
        return self._read[2]

    def shop(self) -> Shop:
        """People, wrench rack, spec book; the same as long as nothing is kept."""
        version = self.journal.version()
        if self._shop is None or self._shop[0] != version:
            self._shop = version, Shop.of(self.journal.read(""))._replace(cycles=self._cycles)
        return self._shop[1]

    def _cycles(self, wrench: str, since: str, until: str) -> int:
        """Uses of a wrench from day to day. Those before today are counted once: nobody tightens in the past, and what
        another bench brings in counts from the next opening."""
        today = self.today
        if until < today:
            return self._counted(wrench, since, until)
        yesterday = (date.fromisoformat(today) - timedelta(days=1)).isoformat()
        earlier = self._counted(wrench, since, yesterday) if since <= yesterday else 0
        with self.journal.folder.reading() as connection:
            return earlier + recall.cycles(connection, wrench, max(since, today), until)

    def _counted(self, wrench: str, since: str, until: str) -> int:
        asked = wrench, since, until
        if asked not in self._uses_counted:
            with self.journal.folder.reading() as connection:
                self._uses_counted[asked] = recall.cycles(connection, *asked)
        return self._uses_counted[asked]

    def jobs(self, find: str = "", *, closed: bool = True, limit: int = 200) -> list[JobLine]:
        """The newest jobs, or those that `find` leads to; without `closed`, those not signed off.

        Found by registration, VIN, job id or order number (any part, whatever the spaces, hyphens and case), telephone
        number (its digits), and words of vehicle, complaint, customer's name and e-mail.
        """
        with self.journal.folder.reading() as connection:
            return finding.jobs(connection, find, closed=closed, limit=limit)

    def line(self, job: str) -> JobLine | None:
        """One job as it stands in a list, by its whole id."""
        with self.journal.folder.reading() as connection:
            return finding.line(connection, job)

    def called(self, job: str) -> str:
        """What people say of a job: order number or vehicle, and the day; by its id where nothing is known of it."""
        line = self.line(job)
        return line.called if line else f"job {job}"

    def came_back(self, job: str) -> list[JobLine]:
        """The jobs that came back from this one, the newest first."""
        with self.journal.folder.reading() as connection:
            return finding.came_back(connection, job)

    def parts_named(self, begins: str, limit: int = 20) -> list[str]:
        """Names of parts said before that begin so, the most usual first."""
        with self.journal.folder.reading() as connection:
            return finding.parts(connection, begins, limit)

    def owner_of(self, code: str) -> Owner | None:
        """What a label's code was given to, in any job; None for one that was never said."""
        with self.journal.folder.reading() as connection:
            return finding.owner(connection, code)

    def packed_in(self, code: str) -> list[str]:
        """The jobs in which a bag was packed under this code."""
        with self.journal.folder.reading() as connection:
            return finding.packed_in(connection, code)

    def photo_sources(self) -> set[str]:
        """SHA-256, in hex, of every picture that a photo was made from: none of them is new."""
        with self.journal.folder.reading() as connection:
            return finding.sources(connection)

    def recall(self, what: What, name: str, since: str = "") -> Recall:
        """All that was done with a wrench, a batch, a part number or a fluid batch, or by a person, in every job.

        `since` is an ISO date; without it a wrench is looked at in the days in which it is in doubt, all else always.
        A person is named as at the bench or in full.
        """
        name, days = self._meant(what, name, since)
        with self.journal.folder.reading() as connection:
            return recall.recall(connection, what, name, days)

    def recall_outline(self, what: What, name: str, since: str, listed: int) -> Outline:
        """As `recall`, before it is read through; with the vehicles of the newest jobs, as many as are listed."""
        name, days = self._meant(what, name, since)
        with self.journal.folder.reading() as connection:
            return recall.outline(connection, what, name, days, listed)

    def recall_in(self, found: Outline, job: InJob) -> Recall:
        """What an outline has in one job."""
        with self.journal.folder.reading() as connection:
            return recall.recall(connection, found.what, found.name, found.window, job)

    def _meant(self, what: What, name: str, since: str) -> tuple[str, Window]:
        days = Window(since, why=f"Since {since}.") if since else Window()
        if what == "wrench" and not since:
            days = window(self.job(""), name)
        if what == "person":
            name = self.shop().who(name) or name
        return name, days

    def unknown(self, what: What, name: str) -> str:
        """That nothing here is called so, with the nearest that is, in a sentence; empty for what is known."""
        shop = self.shop()
        with self.journal.folder.reading() as connection:
            names = recall.names(connection, what)
        if what == "wrench":
            names += shop.rack
        elif what == "person":
            names += [n for p in shop.people.values() for n in (p.person, p.name)]
        return unknown(what, name, names)

    def customer(self, job: str | None = None) -> Customer | None:
        """Who brought the vehicle, as said last; None where nobody said or it was erased."""
        named = list(self.job(job).said(CustomerNamed))
        detail = self.journal.detail(named[-1].bench, named[-1].number) if named else None
        return detail.customer if detail else None

    def erase(self, job: str, why: str) -> list[Entry[Any]]:
        """Erase a customer's words on request, those struck out as well. The entries say that it was done."""
        self._somebody()
        with self.journal.writing() as writing:
            return [
                writing.say(DetailsErased(entry=entry.id, why=why), who=self.who, job=job)
                for entry in self.journal.read(job)
                if isinstance(entry.fact, CustomerNamed) and self.journal.detail(entry.bench, entry.number)
            ]

    def heads(self) -> dict[str, Head]:
        """The last entry of every bench."""
        return self.journal.heads()

    def digest(self) -> str:
        """16 letters and digits that stand for all that is kept: printed on the record, and kept with each backup."""
        return digest(self.heads())

    def verify(self, progress: Progress = lambda _done, _all: None) -> list[str]:
        """Everything in the journal that is not as it was said, in words; nothing when it is whole."""
        return verify(self.journal, progress)

    def changed(self) -> bool:
        """Whether anything was kept, here or by another terminal, since this was last asked. Cheap: ask twice a second.

        False while the journal cannot be read; reading or saying then tells why.
        """
        try:
            version = self.journal.version()
        except Trouble:
            return False
        changed, self._seen = version != self._seen, version
        return changed


def _detailed(fact: Fact, details: Customer | None) -> tuple[Fact, Detail | None]:
    """A fact as it is kept, and the words that stand beside the journal for it."""
    if isinstance(fact, CustomerNamed):
        if details is None:
            raise ValueError("a CustomerNamed is said with the customer's details")
        detail = Detail.of(details)
        return CustomerNamed(digest=detail.digest), detail
    if details is not None:
        raise ValueError(f"details belong to a CustomerNamed, not to a {type(fact).__name__}")
    return fact, None
