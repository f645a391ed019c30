"""One transaction of the journal: what is appended in it is kept as a whole or not at all."""

import hashlib
import re
import secrets
import sqlite3
from typing import TYPE_CHECKING, Any, NamedTuple

import msgspec

from reassembly.job.entries import (
    CustomerNamed,
    DetailsErased,
    Entry,
    EntryStruck,
    Fact,
    PersonAdded,
    Unknown,
    read,
    write,
)
from reassembly.record import clock, finding, readback
from reassembly.record.customer import Detail
from reassembly.record.trouble import Refused

if TYPE_CHECKING:
    from reassembly.record.journal import Journal

BENCH_LETTERS = "BCDFGHJKLNPRSTVX"
"""A bench is two of these, because they are letters 2 and 3 of every code printed at it."""

_BENCH = re.compile(r"[A-Za-z0-9]{1,16}")
_SIGNED = 1 << 63
_LATEST = 7_258_118_400_000  # 2200-01-01: every later entry has to find room above the clocks that were let in
_BY_BENCH = """
    with recursive each (bench) as (
        select min(bench) from entry
        union all
        select (select min(bench) from entry where bench > each.bench) from each where each.bench is not null
    )
    select bench, number, hlc, hash from each join entry using (bench)
    where number = (select max(number) from entry as last where last.bench = each.bench)
"""


class Head(NamedTuple):
    """The last entry of one bench."""

    number: int
    hlc: int
    hash: str


NO_HEAD = Head(0, 0, "")


def heads(connection: sqlite3.Connection) -> dict[str, Head]:
    rows = (readback.row(row, str, int, int, str) for row in connection.execute(_BY_BENCH))
    return {bench: Head(*row) for bench, *row in rows}


class AnyFact(msgspec.Struct):
    """As much of a fact as the record reads of those it has no word for: what cannot be read so is no fact."""

    kind: str = ""
    digest: Any = ""
    entry: Any = ""


_any_fact = msgspec.json.Decoder(AnyFact).decode


def kind_of(fact: Fact | Unknown) -> str:
    """The word for it in the file format; `` where an unknown fact has none. Raises MsgspecError for what is none."""
    return _any_fact(fact.raw).kind if isinstance(fact, Unknown) else type(fact).__name__


class Writing:
    """Made by Journal.writing. Raises Refused for what does not fit; the whole transaction is then given up."""

    def __init__(
        self, journal: "Journal", connection: sqlite3.Connection, bench: str, heads: dict[str, Head], listed: set[str]
    ) -> None:
        self.bench = bench
        self.heads = heads
        self.listed = listed
        self._journal = journal
        self._connection = connection
        self._last = max((head.hlc for head in heads.values()), default=0)
        self._merged: set[str] = set()
        self._people_since: int | None = None
        self._erased: frozenset[str] | None = None

    def say(
        self,
        fact: Fact,
        *,
        who: str,
        job: str,
        detail: Detail | None = None,
        bench: str = "",
        milliseconds: int | None = None,
        time: str = "",
    ) -> Entry[Any]:
        """Append what was said here and now, or taken down from elsewhere: at another bench, at another time.

        `milliseconds` and `time` are one moment, since 1970 and as people read it."""
        now = self._journal.now()
        author = bench or self.bench
        head = self.heads.get(author, NO_HEAD)
        entry: Entry[Any] = Entry(
            bench=author,
            number=head.number + 1,
            hlc=clock.tick(
                now // 1_000_000 if milliseconds is None else min(milliseconds, now // 1_000_000), self._last
            ),
            time=time or clock.told(now),
            clock_trusted=self._journal.trusted() and not time,
            who=who,
            job=job,
            previous=head.hash,
            fact=fact,
        )
        try:
            body = write(entry)
        except UnicodeEncodeError:
            raise Refused("There is a character in it that is no text: type that word again.") from None
        self._insert(entry, body, hashlib.sha256(body).hexdigest())
        if detail is not None:
            self._keep(entry, detail)
        if isinstance(fact, DetailsErased):
            self._erase(fact)
        finding.note(self._connection, entry, self.listed)
        return entry

    def take(self, body: bytes) -> bool:
        """Append an entry of any bench just as it came; False when it is here already."""
        try:
            entry = read(body)
        except msgspec.MsgspecError as error:
            raise Refused(f"This is no entry: {error}.") from None
        try:
            body.decode()  # where the fact is of a kind not known here nobody has read its words yet
        except UnicodeDecodeError:
            raise Refused(f"{entry.id} is not in UTF-8: bring the file as it was dumped.") from None
        try:
            kind_of(entry.fact)
        except (msgspec.MsgspecError, UnicodeDecodeError):
            raise Refused(f"{entry.id} says nothing: its fact should be an object with its kind in words.") from None
        if not _BENCH.fullmatch(entry.bench):
            raise Refused(f"{entry.bench!r} is no bench: 1 to 16 letters and digits.")
        if not 0 < entry.hlc < _SIGNED or not 0 < entry.number < _SIGNED:
            raise Refused(f"{entry.id} has a number or a clock that cannot be.")
        digest = hashlib.sha256(body).hexdigest()
        head = self.heads.get(entry.bench, NO_HEAD)
        if entry.number <= head.number:
            if self.kept(entry.bench, entry.number) == body:
                return False
            raise Refused(f"{entry.id} is kept here already and says something else: two journals carry one name.")
        if entry.number > head.number + 1:
            raise Refused(
                f"{entry.bench}.{head.number + 1} is missing before {entry.id}: bring the whole journal of that bench, "
                "or have the lines told anew here."
            )
        if entry.previous != head.hash:
            raise Refused(f"{entry.id} does not follow the entry before it: one of the two was altered.")
        if f'"previous":"{entry.previous}"'.encode() not in body or b"\n" in body:
            raise Refused(f"{entry.id} is not written as it was dumped: bring the file as it was.")
        if entry.hlc <= head.hlc:
            raise Refused(f"{entry.id} has a clock that went back: it was altered.")
        if clock.milliseconds(entry.hlc) > _LATEST:
            raise Refused(f"{entry.id} has a clock beyond the year 2200: set the clock of that bench right.")
        ahead = clock.milliseconds(entry.hlc) - self._journal.now() // 1_000_000
        if ahead > clock.DAY and self._journal.trusted():
            raise Refused(
                f"{entry.id} is {ahead // clock.DAY} days ahead of this clock: set the clock of that bench right."
            )
        self._insert(entry, body, digest)
        if isinstance(entry.fact, DetailsErased):
            self._erase(entry.fact)
        self._merged.add(entry.job)
        if not entry.job and isinstance(entry.fact, PersonAdded | EntryStruck):
            self._people_since = min(entry.hlc, self._people_since or entry.hlc)
        return True

    def next_number(self, bench: str) -> int:
        """The number that the next entry of a bench has."""
        return self.heads.get(bench, NO_HEAD).number + 1

    def kept(self, bench: str, number: int) -> bytes | None:
        """The body of one entry."""
        row = self._connection.execute(
            "select body from entry where bench = ? and number = ?", [bench, number]
        ).fetchone()
        return readback.text(row[0]).encode() if row else None

    def keep_detail(self, entry: Entry[Any], detail: Detail) -> bool:
        """Keep the words beside a CustomerNamed; False where they are here, or were erased on request."""
        if not isinstance(entry.fact, CustomerNamed) or entry.fact.digest != detail.digest:
            raise Refused(f"These are not the details that {entry.id} was said with.")
        if entry.id in self._erased_ids():
            return False
        return self._keep(entry, detail)

    def _keep(self, entry: Entry[Any], detail: Detail) -> bool:
        done = self._connection.execute(
            "insert into detail values (?, ?, ?, ?) on conflict do nothing",
            [entry.bench, entry.number, detail.salt, detail.body.decode()],
        )
        self._merged.add(entry.job)
        return bool(done.rowcount)

    def allot(self, what: str) -> int:
        """The next serial number, from 0; none is given out twice, said or not."""
        ((last,),) = self._connection.execute(
            "insert into allotted values (?, 0) on conflict (what) do update set last = last + 1 returning last", [what]
        ).fetchall()
        return int(last)

    def new_job(self) -> str:
        """An id that no job has."""
        while True:
            job = f"{self.bench}-{self.allot(f'job {self.bench}') + 1}"
            if not self._connection.execute("select 1 from entry where job = ?", [job]).fetchone():
                return job

    def take_new_bench(self) -> str:
        """Go on under a name that no entry here carries, as after a backup was brought back: it is a copy no more."""
        self.bench = _new_bench(self._connection)
        self._connection.execute("pragma user_version = 0")
        return self.bench

    def finish(self) -> None:
        """Last of all before it is kept: what came from elsewhere can stand anywhere in its job."""
        if self._people_since is not None:
            self._merged.update(finding.signed_after(self._connection, self._people_since))
        for job in self._merged:
            finding.refresh(self._connection, job)

    def _insert(self, entry: Entry[Any], body: bytes, digest: str) -> None:
        self._connection.execute(
            "insert into entry values (?, ?, ?, ?, ?, ?, ?)",
            [entry.bench, entry.number, entry.hlc, entry.job, kind_of(entry.fact), body.decode(), digest],
        )
        self.heads[entry.bench] = Head(entry.number, entry.hlc, digest)
        self._last = max(self._last, entry.hlc)

    def _erase(self, fact: DetailsErased) -> None:
        self._erased = None
        bench, _, number = fact.entry.rpartition(".")
        row = self._connection.execute(
            "select job from entry where bench = ? and number = ?", [bench, number]
        ).fetchone()
        if row:
            self._connection.execute("delete from detail where bench = ? and number = ?", [bench, number])
            finding.refresh(self._connection, row[0])
            finding.forget(self._connection)
            self._journal.folder.wipe()

    def _erased_ids(self) -> frozenset[str]:
        """Of which entries somebody had the words erased, in whatever job that was said; read once for a whole file."""
        if self._erased is None:
            rows = self._connection.execute("select body from entry where kind = 'DetailsErased'")
            facts = (readback.entry(body).fact for (body,) in rows)
            self._erased = frozenset(fact.entry for fact in facts if isinstance(fact, DetailsErased))
        return self._erased


def is_bench(name: str) -> bool:
    """Whether this is the name of a bench, which no other journal may number: strangers carry other names."""
    return len(name) == len("KD") and set(name) <= set(BENCH_LETTERS)


def own_bench(connection: sqlite3.Connection) -> str:
    """The name this bench writes under, chosen now where there is none."""
    return named_bench(connection) or _new_bench(connection)


def named_bench(connection: sqlite3.Connection) -> str:
    """The name this bench writes under; `` where none was chosen yet."""
    row = connection.execute("select bench from own_bench order by since desc limit 1").fetchone()
    return readback.text(row[0]) if row else ""


def _new_bench(connection: sqlite3.Connection) -> str:
    taken = {bench for (bench,) in connection.execute("select bench from own_bench union select bench from entry")}
    free = [a + b for a in BENCH_LETTERS for b in BENCH_LETTERS if a + b not in taken]
    if not free:
        raise Refused("All 256 bench names are taken: begin a new data folder.")
    chosen = secrets.choice(free)
    connection.execute("insert into own_bench (bench) values (?)", [chosen])
    return chosen
