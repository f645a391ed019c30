"""The journal: entries are appended and never changed. Each bench numbers and chains its own."""

import base64
import hashlib
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from reassembly.job.entries import Entry
from reassembly.record import clock, finding, readback, witness, writing
from reassembly.record.customer import Detail
from reassembly.record.folder import Folder
from reassembly.record.trouble import Trouble
from reassembly.record.writing import NO_HEAD, Head, Writing

_REST = 0.02  # seconds, of which another program needs two thousandths to see that the lock is free


def digest(heads: dict[str, Head]) -> str:
    """16 letters and digits (80 bits, base32) that stand for every entry there is: for paper, and for a backup."""
    text = "".join(f"{bench} {head.number} {head.hash}\n" for bench, head in sorted(heads.items()))
    return base64.b32encode(hashlib.sha256(text.encode()).digest()[:10]).decode()


class Journal:
    """The entries in one folder.

    `now` is the wall clock in nanoseconds since 1970, `trusted` tells whether something keeps it right. Every method
    raises Trouble when the disk or the file will not.
    """

    def __init__(
        self,
        folder: Folder,
        now: Callable[[], int] = time.time_ns,
        trusted: Callable[[], bool] = clock.synchronised,
    ) -> None:
        self.folder = folder
        self.now = now
        self.trusted = trusted
        self._known: tuple[tuple[int, int], str, dict[str, Head], set[str]] | None = None

    @property
    def warning(self) -> str:
        """That the disk is full, or that this is not the journal that was last written here; `` while all is well."""
        with self.folder.reading() as connection:
            return self.folder.another(connection) or self.folder.warning

    @property
    def bench(self) -> str:
        """This bench's two letters, chosen when the journal was made."""
        with self.folder.reading() as connection:
            named = writing.named_bench(connection)
        if named:
            return named
        with self.writing() as first:
            return first.bench

    @contextmanager
    def writing(self) -> Iterator[Writing]:
        """Several things said at once: all are kept when this returns, or none."""
        with self.folder.writing() as connection:
            # data_version moves when another connection wrote; what this one left is known while it stands still.
            (data,) = connection.execute("pragma data_version").fetchone()
            at = self.folder.openings, data
            if self._known is None or self._known[0] != at:
                if another := self.folder.another(connection):
                    raise Trouble(another)
                self._known = at, writing.own_bench(connection), writing.heads(connection), set()
            _, bench, heads, listed = self._known
            self._known = None
            transaction = Writing(self, connection, bench, heads, listed)
            yield transaction
            transaction.finish()
        self._known = at, transaction.bench, transaction.heads, transaction.listed
        witness.write(self.folder.path, transaction.bench, transaction.heads.get(transaction.bench, NO_HEAD))

    def tidy(self) -> None:
        """Make one piece of a search index that lies in many. A little in each transaction and a rest after it, so that
        nobody who says something meanwhile waits for long; left half done, it is gone on with the next time."""
        with self.folder.reading() as connection:
            begin = more = finding.in_many_pieces(connection)
        while more:
            with self.folder.writing() as connection:
                more = finding.merge(connection, begin=begin)
            begin = False
            time.sleep(_REST)

    def read(self, job: str) -> list[Entry[Any]]:
        """The entries of one job, the oldest first; those of the shop for ``."""
        with self.folder.reading():
            return [readback.entry(body) for _, _, body in self.bodies(job)]

    def people(self) -> list[Entry[Any]]:
        """What was said of the people of the shop, and what was struck out there, the oldest first."""
        with self.folder.reading() as connection:
            return finding.people(connection)

    def bodies(self, job: str | None = None) -> Iterator[tuple[str, int, bytes]]:
        """Bench, number and body of every entry (of one job), in reading order."""
        where, values = ("", []) if job is None else ("where job = ?", [job])
        query = f"select bench, number, body from entry {where} order by hlc, bench, number"  # noqa: S608 - no values
        with self.folder.reading() as connection:
            for bench, number, body in connection.execute(query, values):
                yield bench, number, readback.text(body).encode()

    def after(self, bench: str, number: int, limit: int = 1000) -> list[bytes]:
        """The bodies of one bench that follow a number, in order."""
        with self.folder.reading() as connection:
            rows = connection.execute(
                "select body from entry where bench = ? and number > ? order by number limit ?", [bench, number, limit]
            ).fetchall()
            return [readback.text(body).encode() for (body,) in rows]

    def heads(self) -> dict[str, Head]:
        """The last entry of every bench."""
        with self.folder.reading() as connection:
            return writing.heads(connection)

    def detail(self, bench: str, number: int) -> Detail | None:
        """The words beside a CustomerNamed; None once they are erased, or where they never came."""
        with self.folder.reading() as connection:
            row = connection.execute(
                "select salt, body from detail where bench = ? and number = ?", [bench, number]
            ).fetchone()
            if row is None:
                return None
            readback.customer(row[1])
            return Detail(readback.text(row[0]), row[1].encode())

    def version(self) -> tuple[int, int, int]:
        """Differs whenever this process or another kept something since."""
        with self.folder.reading() as connection:
            (data,) = connection.execute("pragma data_version").fetchone()
            return self.folder.openings, data, connection.total_changes
