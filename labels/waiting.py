"""Labels asked for, until each is seen on its bag. Whatever fails in the middle, none is lost and none printed twice.

A label is noted before it is handed to the print server, and noted again after. When the second note is missing (the
power went, the program was killed) the server is asked which jobs it knows, by their name, before anything is sent
again. The server has to remember ended jobs for that, as CUPS does unless it is told not to (PreserveJobHistory).
"""

import fcntl
import json
import os
import sqlite3
import time
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from enum import StrEnum
from pathlib import Path
from typing import NamedTuple

from labels.label import Label
from labels.picture import Size, picture
from labels.printer import PrintTrouble, Spooler
from labels.raster import raster
from labels.state import Fate, Job

SCHEMA = """
create table if not exists asked (
    number integer primary key,
    code text not null,
    copy integer not null check (copy > 0),
    words text not null,
    place text not null default 'waiting',
    queue text not null default '',
    why text not null default '',
    unique (code, copy)
) strict
"""


class Place(StrEnum):
    """Where a label is. SENT is not printed: it is in the server's hands, or the printer's, or on the floor."""

    WAITING = "waiting"
    SENT = "sent"
    SEEN = "seen"
    DROPPED = "dropped"


@dataclass(frozen=True, slots=True)
class Asked:
    """A label that was asked for. `queue` is where it was last handed to, `why` what kept it from the bag.

    A WAITING one with a queue was handed over and the end of that is not known yet.
    """

    label: Label
    copy: int
    place: Place = Place.WAITING
    queue: str = ""
    why: str = ""

    @property
    def name(self) -> str:
        """What its job is called, and no other."""
        return f"{self.label.code} copy {self.copy}"


class Sent(NamedTuple):
    """What came of sending: how many labels went, and a sentence when something kept the rest."""

    labels: int
    trouble: str = ""


class WaitingList:
    """The list in a folder of its own. Any number of programs and threads may use it at once.

    A call has kept what it was told when it returns; sqlite3.Error and OSError say that it has not. `send`, `look` and
    `take_back` talk to the print server and may take as long as it lets them: call them from a thread that may wait.
    `patience` is seconds to wait for another program that uses the list.
    """

    def __init__(self, folder: Path, patience: float = 10) -> None:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self._database = folder / "labels.db"
        self._lock = folder / "labels.lock"
        self._patience = patience
        with self._open() as connection:
            connection.execute(SCHEMA)

    def add(self, label: Label, copy: int = 1) -> None:
        """Ask for a label. The same copy of a code asked for again is no error and is not printed again."""
        words = json.dumps(asdict(label), ensure_ascii=False)
        with self._open() as connection:
            connection.execute(
                "insert into asked (code, copy, words) values (?, ?, ?) on conflict do nothing",
                (label.code, copy, words),
            )

    def all(self, *places: Place) -> list[Asked]:
        """The labels at these places, as they were asked for."""
        marks = ", ".join("?" * len(places))
        with self._open() as connection:
            rows = connection.execute(
                f"select words, copy, place, queue, why from asked where place in ({marks}) order by number",  # noqa: S608
                places,
            ).fetchall()
        return [_asked(*row) for row in rows]

    def next_copy(self, code: str) -> int:
        """1 for a code that was never asked for, else one more than its last copy."""
        with self._open() as connection:
            (last,) = connection.execute("select max(copy) from asked where code = ?", (code,)).fetchone()
        return (last or 0) + 1

    def seen(self, code: str) -> bool:
        """The label was scanned, or a person says it is on the bag. False when none had been sent."""
        return self._move(Place.SEEN, "code = ? and place = ?", code, Place.SENT)

    def drop(self, code: str) -> bool:
        """Nobody wants the label any more: what waits is not sent, what was sent is not looked for."""
        return self._move(Place.DROPPED, "code = ? and place in (?, ?)", code, Place.WAITING, Place.SENT)

    def send(self, spooler: Spooler, queue: str, size: Size, dpi: int, only: Collection[str] | None = None) -> Sent:
        """Hand over what waits, oldest first, up to the first that the server will not take.

        A label that was cancelled or given up once is sent again only when its code is in `only`: somebody asked.
        """
        gone = 0
        try:
            with self._sending() as lock:
                self._settle(spooler)
                for asked in self.all(Place.WAITING):
                    if asked.why if only is None else asked.label.code not in only:
                        continue
                    data = raster(picture(asked.label, size, dpi), dpi)
                    if self._note(asked, Place.WAITING, queue):
                        spooler.send(queue, asked.name, data, hold=[lock])
                        self._note(asked, Place.SENT, queue)
                        gone += 1
        except PrintTrouble as trouble:
            return Sent(gone, str(trouble))
        return Sent(gone)

    def look(self, spooler: Spooler) -> str:
        """Ask the server what became of what was sent: what was cancelled there waits again, and says so.

        Returns the sentence that says why the server could not be asked, or "".
        """
        try:
            with self._sending():
                self._settle(spooler)
        except PrintTrouble as trouble:
            return str(trouble)
        return ""

    def take_back(self, spooler: Spooler) -> str:
        """Take what is still in a queue out of it, to send it to another printer. Answers like `look`.

        A label that its printer is at this moment printing may come out all the same.
        """
        try:
            with self._sending():
                names = {asked.name for asked in self.all(Place.WAITING, Place.SENT) if asked.queue}
                for job in spooler.jobs():
                    if job.name in names and job.fate is Fate.QUEUED:
                        spooler.cancel(job)
                self._settle(spooler, cancelled="")
        except PrintTrouble as trouble:
            return str(trouble)
        return ""

    def _settle(self, spooler: Spooler, cancelled: str = "It was cancelled at the print server.") -> None:
        """Bring the notes to what the server knows. Whoever calls holds the lock, so no hand-over is under way."""
        handed = [asked for asked in self.all(Place.WAITING, Place.SENT) if asked.queue]
        if not handed:
            return
        jobs: dict[str, list[Job]] = {}
        for job in spooler.jobs():
            jobs.setdefault(job.name, []).append(job)
        for asked in handed:
            known = jobs.get(asked.name, [])
            for job in known:
                if job.fate is Fate.COMING:  # `lp` was killed half-way: the rest of it will never come
                    spooler.cancel(job)
            if {job.fate for job in known} & {Fate.QUEUED, Fate.PASSED_ON}:
                if asked.place is Place.WAITING:
                    self._note(asked, Place.SENT, asked.queue)
            elif known and known[-1].fate is Fate.CANCELLED:
                self._note(asked, Place.WAITING, why=cancelled)
            elif known and known[-1].fate is Fate.FAILED:
                self._note(asked, Place.WAITING, why="The print server gave it up: look at the printer's set-up.")
            elif asked.place is Place.WAITING:
                self._note(asked, Place.WAITING)

    def _note(self, asked: Asked, place: Place, queue: str = "", why: str = "") -> bool:
        """False when it was seen or dropped meanwhile: then there is nothing more to note."""
        with self._open() as connection:
            noted = connection.execute(
                "update asked set place = ?, queue = ?, why = ? where code = ? and copy = ? and place in (?, ?)",
                (place, queue, why, asked.label.code, asked.copy, Place.WAITING, Place.SENT),
            )
            return noted.rowcount > 0

    def _move(self, place: Place, which: str, *values: str) -> bool:
        with self._open() as connection:
            return connection.execute(f"update asked set place = ? where {which}", (place, *values)).rowcount > 0  # noqa: S608

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        """One transaction. Rollback journal and EXTRA: the power may go the moment it returns."""
        connection = sqlite3.connect(self._database, timeout=self._patience, isolation_level=None)
        try:
            connection.execute("pragma synchronous = extra")
            connection.execute("begin immediate")
            with connection:
                yield connection
        finally:
            connection.close()

    @contextmanager
    def _sending(self) -> Iterator[int]:
        """The lock of whoever talks to the server. `lp` holds it as well, and goes on holding it when we are killed."""
        lock = os.open(self._lock, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            patient_until = time.monotonic() + self._patience
            while True:
                try:
                    fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
                    break
                except BlockingIOError:
                    if time.monotonic() > patient_until:
                        raise PrintTrouble("Another program is sending labels: wait, then send again.") from None
                    time.sleep(0.02)
            yield lock
        finally:
            os.close(lock)


def _asked(words: str, copy: int, place: str, queue: str, why: str) -> Asked:
    fields = json.loads(words)
    return Asked(Label(**fields | {"lines": tuple(fields["lines"])}), copy, Place(place), queue, why)
