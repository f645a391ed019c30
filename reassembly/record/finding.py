"""Search tables: what a job, a part or a code is found by. Made from the journal and rebuilt from it at will."""

import sqlite3
import unicodedata
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from reassembly.job.checks import closed
from reassembly.job.entries import (
    BagPacked,
    CustomerNamed,
    DetailsErased,
    Entry,
    EntryStruck,
    Fact,
    JobOpened,
    JobReopened,
    LabelPrinted,
    PartRemoved,
    PersonAdded,
    PhotoKept,
    SignedOff,
    Unknown,
    WrenchAdded,
)
from reassembly.job.job import Job, Part
from reassembly.record import readback, recall
from reassembly.trade.identity import look_alike_key

Progress = Callable[[int, int], None]
"""Called now and then with how many jobs are done, of how many."""

LONGEST = 200
"""Characters of a text to look for; what follows is not looked at: each takes megabytes in the full-text index."""

MOST_PIECES = 8
"""Of the full-text index: each is asked at every search, and ten years alone leave twice as many."""

PAGES = 100
"""Of the full-text index, about 4 KB each, that one step of merging writes at most."""

_STEP = 50

_MOVES_THE_LINE = {JobOpened, CustomerNamed, DetailsErased, SignedOff, JobReopened, EntryStruck}
_KEPT = {PartRemoved, BagPacked, LabelPrinted, PersonAdded, WrenchAdded, PhotoKept}


class JobLine(NamedTuple):
    """One job in a list. Times with the offset of the place; words empty where nobody said them."""

    id: str
    order: str
    vehicle: str
    registration: str
    vin: str
    complaint: str
    earlier: str
    opened: str
    last: str
    signed_off: bool
    customer: str

    @property
    def called(self) -> str:
        """What people say of it: its order number or vehicle, and the day; its id only where it has neither."""
        vehicle = f"{self.vehicle} {self.registration}".strip()
        return f"{f'order {self.order}' if self.order else vehicle or f'job {self.id}'}, {self.opened[:10]}"


class Owner(NamedTuple):
    """What a code was given to: a `bag`, a printed `label`, a `person` or a `wrench`; its job, `` for the shop's."""

    what: str
    job: str
    entry: str
    name: str


def note(connection: sqlite3.Connection, entry: Entry[Any], listed: set[str]) -> None:
    """Take in an entry said here just now, which is later than all others. `listed` are jobs known to have a line:
    whoever says a hundred things of one is not asked each time whether it has."""
    kind = type(entry.fact)
    if kind in _MOVES_THE_LINE:
        refresh(connection, entry.job)
        return
    if kind in _KEPT:
        _keep(connection, entry)
    recall.keep(connection, entry)
    if entry.job and entry.job not in listed:
        if not connection.execute("select 1 from found_job where job = ?", [entry.job]).fetchone():
            refresh(connection, entry.job)
        listed.add(entry.job)


def refresh(connection: sqlite3.Connection, job: str) -> None:
    """Make everything about one job anew, from the entries that stand."""
    rows = connection.execute("select body from entry where job = ? order by hlc, bench, number", [job])
    entries = [readback.entry(body) for (body,) in rows]
    signed = any(isinstance(entry.fact, SignedOff) for entry in entries)
    standing = Job.of(entries, people(connection) if signed else ())
    connection.execute("delete from found_part where job = ?", [job])
    connection.execute("delete from found_code where job = ?", [job])
    connection.execute("delete from found_photo where job = ?", [job])
    recall.leave(connection, entries)
    every = {entry.id: entry for entry in entries}
    for entry in standing.entries:
        if type(entry.fact) in _KEPT:
            _keep(connection, entry)
        recall.keep(connection, entry, every)
    if job and entries:
        _keep_line(connection, entries[0], standing)


def people(connection: sqlite3.Connection) -> list[Entry[Any]]:
    """What was said of the people of the shop, and what was struck out there, the oldest first."""
    rows = connection.execute(
        "select body from entry where job = '' and kind in ('PersonAdded', 'EntryStruck') order by hlc, bench, number"
    )
    return [readback.entry(body) for (body,) in rows]


def signed_after(connection: sqlite3.Connection, hlc: int) -> list[str]:
    """The jobs with a sign-off later than this: it is judged by who was known then."""
    rows = connection.execute(
        "select job from found_job where exists "
        "(select 1 from entry where entry.job = found_job.job and hlc > ? and kind = 'SignedOff')",
        [hlc],
    )
    return [job for (job,) in rows]


def rebuild(connection: sqlite3.Connection, progress: Progress = lambda _done, _all: None) -> None:
    """Make all of it anew. Inside the caller's transaction; about a minute for ten years on a PC."""
    for table in ("found_job", "found_part", "found_code", "found_photo", "found_text", "found_use"):
        connection.execute(f"delete from {table}")  # noqa: S608 - the names above
    jobs = connection.execute("select job, min(hlc) as first from entry group by job order by first, job").fetchall()
    for done, (job, _) in enumerate(jobs):
        if done % _STEP == 0:
            progress(done, len(jobs))
        refresh(connection, job)
    progress(len(jobs), len(jobs))


def forget(connection: sqlite3.Connection) -> None:
    """After a deletion: leave no trace of the old words in the full-text index."""
    connection.execute("insert into found_text (found_text) values ('optimize')")


def in_many_pieces(connection: sqlite3.Connection) -> bool:
    """Whether the full-text index has come to lie in more pieces than a search should have to ask."""
    (pieces,) = connection.execute("select count(distinct segid) from found_text_idx").fetchone()
    return bool(pieces > MOST_PIECES)


def merge(connection: sqlite3.Connection, *, begin: bool) -> bool:
    """One step on the way to an index in one piece; `begin` has all of them taken, whatever their size. False when
    nothing was left to do. Source: the `merge` command of SQLite's FTS5, and how it tells its end."""
    before = connection.total_changes
    pages = -PAGES if begin else PAGES
    connection.execute("insert into found_text (found_text, rank) values ('merge', ?)", [pages])
    return connection.total_changes - before > 1


def contents(connection: sqlite3.Connection) -> dict[str, list[tuple[Any, ...]]]:
    """All that can be found, in an order of its own: to compare with a rebuilt one."""
    columns = [name for _, name, *_ in connection.execute("pragma table_info(found_job)") if name != "id"]
    return {
        "job": connection.execute(f"select {', '.join(columns)} from found_job order by job").fetchall(),  # noqa: S608
        "part": connection.execute("select * from found_part order by job, bench, number").fetchall(),
        "name": connection.execute("select * from found_name order by folded, name").fetchall(),
        "code": connection.execute("select * from found_code order by job, code, bench, number").fetchall(),
        "photo": connection.execute("select * from found_photo order by job, bench, number").fetchall(),
        "use": connection.execute("select * from found_use order by what, key, hlc, bench, number").fetchall(),
        "text": connection.execute(
            "select job, keys, words from found_text join found_job on found_job.id = found_text.rowid order by job"
        ).fetchall(),
    }


def jobs(connection: sqlite3.Connection, text: str = "", *, closed: bool = True, limit: int = 200) -> list[JobLine]:
    """The newest jobs that the first LONGEST characters of `text` are found in; all where it is empty; without
    `closed`, those not signed off."""
    text = text.strip()[:LONGEST].encode("utf-8", "replace").decode()  # an argument of a command line may be no text
    if text.strip():
        ids = [id_ for (id_,) in connection.execute(*_search(text, closed, limit))]
        chosen, values = f"where id in ({', '.join('?' * len(ids))})", ids
    else:
        chosen, values = "" if closed else "where closed = 0", []  # `not closed` finds no index
    return _lines(connection, chosen, [*values, limit])


def line(connection: sqlite3.Connection, job: str) -> JobLine | None:
    """The line of one job, by its whole id."""
    return next(iter(_lines(connection, "where job = ?", [job, 1])), None)


def came_back(connection: sqlite3.Connection, job: str) -> list[JobLine]:
    """The jobs that point at this one as the earlier, the newest first, whatever plate they carry."""
    return _lines(connection, "where earlier = ? and earlier <> ''", [job, -1])


def _lines(connection: sqlite3.Connection, chosen: str, values: list[Any]) -> list[JobLine]:
    rows = connection.execute(
        f"""
        select job, shop_order, vehicle, registration, vin, complaint, earlier, opened,
            (select json_extract(body, '$.time') from entry where entry.job = found_job.job
                order by hlc desc, bench desc, number desc limit 1),
            closed,
            (select json_extract(body, '$.name') from detail where bench = customer_bench and number = customer_number)
        from found_job {chosen} order by hlc desc, job desc limit ?
        """,  # noqa: S608 - question marks only
        values,
    )
    types = *(str,) * 9, int, str
    read = (JobLine(*readback.row((*row[:10], row[10] or ""), *types)) for row in rows)
    return [line._replace(signed_off=bool(line.signed_off)) for line in read]


def parts(connection: sqlite3.Connection, begins: str, limit: int = 20) -> list[str]:
    """Names of parts said before that begin so, in any case, the most usual first; each in its most usual
    spelling."""
    start = _fold(begins)
    rows = connection.execute(
        """
        select name, max(times), sum(times) as said from found_name where folded >= ? and folded < ?
        group by folded order by said desc, folded limit ?
        """,
        [start, start + "\U0010ffff", limit],
    )
    return [name for name, *_ in rows]


def owner(connection: sqlite3.Connection, code: str) -> Owner | None:
    """What a code was given to last; a label that was only printed yields to a bag that was packed."""
    row = connection.execute(
        "select what, job, bench || '.' || number, name from found_code where code = ? "
        "order by what = 'label', hlc desc, bench desc, number desc limit 1",
        [_code(code)],
    ).fetchone()
    return None if row is None else Owner(*row)


def packed_in(connection: sqlite3.Connection, code: str) -> list[str]:
    """The jobs in which a bag was packed under this code; more than one where one label is on two bags."""
    rows = connection.execute(
        "select distinct job from found_code where code = ? and what = 'bag' order by job", [_code(code)]
    )
    return [job for (job,) in rows]


def sources(connection: sqlite3.Connection) -> set[str]:
    """What the pictures that photos were made from are known by: those of photos that still stand."""
    return {source for (source,) in connection.execute("select distinct source from found_photo")}


def _keep(connection: sqlite3.Connection, entry: Entry[Any]) -> None:
    fact = entry.fact
    if isinstance(fact, PhotoKept):
        if fact.source:
            row = [entry.job, entry.bench, entry.number, fact.source]
            connection.execute("insert into found_photo values (?, ?, ?, ?)", row)
        return
    if isinstance(fact, PartRemoved):
        connection.execute(
            "insert into found_part values (?, ?, ?, ?, ?, ?, ?, ?)",
            [
                entry.job,
                entry.bench,
                entry.number,
                fact.part,
                fact.name,
                _fold(fact.name),
                Part(fact.part, (entry,), ()).name,
                entry.hlc,
            ],
        )
        return
    for code, what, name in _codes(fact):
        connection.execute(
            "insert into found_code values (?, ?, ?, ?, ?, ?, ?)",
            [entry.job, _code(code), entry.bench, entry.number, entry.hlc, what, name],
        )


def _codes(fact: Fact | Unknown) -> Iterator[tuple[str, str, str]]:
    match fact:
        case BagPacked(bag=code) if code:
            yield code, "bag", ", ".join(fact.parts)
        case LabelPrinted(code=code) if code:
            yield code, "label", ""
        case PersonAdded(badge=code) if code:
            yield code, "person", fact.person
        case WrenchAdded(tag=code) if code:
            yield code, "wrench", fact.wrench


def _code(text: str) -> str:
    return "".join(text.split()).upper()


def _keep_line(connection: sqlite3.Connection, first: Entry[Any], job: Job) -> None:
    opened = job.opened
    named = list(job.said(CustomerNamed))[-1:]
    customer = (named[0].bench, named[0].number) if named else (None, None)
    (id_,) = connection.execute(
        """
        insert into found_job (job, hlc, opened, vehicle, registration, vin, complaint, shop_order, earlier,
            closed, customer_bench, customer_number)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        on conflict (job) do update set hlc = excluded.hlc, opened = excluded.opened, vehicle = excluded.vehicle,
            registration = excluded.registration, vin = excluded.vin, complaint = excluded.complaint,
            shop_order = excluded.shop_order, earlier = excluded.earlier, closed = excluded.closed,
            customer_bench = excluded.customer_bench, customer_number = excluded.customer_number
        returning id
        """,
        [
            first.job,
            first.hlc,
            first.time,
            opened.vehicle,
            opened.registration,
            opened.vin,
            opened.complaint,
            opened.order,
            opened.earlier,
            int(closed(job) is not None),
            *customer,
        ],
    ).fetchone()
    keys = [look_alike_key(text) for text in (opened.registration, opened.vin, first.job, opened.order)]
    words = [opened.vehicle, opened.complaint, opened.order]
    detail = connection.execute("select body from detail where bench = ? and number = ?", customer).fetchone()
    if detail:
        who = readback.customer(detail[0])
        keys.append(_digits(who.phone))
        words += [who.name, who.email]
    row = ("\n".join(keys), "\n".join(map(_fold, words)))
    (old,) = connection.execute(
        "select (select keys || '\t' || words from found_text where rowid = ?)", [id_]
    ).fetchone()
    if old != "\t".join(row):
        connection.execute("delete from found_text where rowid = ?", [id_])
        connection.execute("insert into found_text (rowid, keys, words) values (?, ?, ?)", [id_, *row])


def _search(text: str, with_closed: bool, limit: int) -> tuple[str, list[Any]]:
    """The statement that finds the ids: as one key, as a telephone number, or as words that all occur.

    The trigram index answers for three letters and more; fewer are looked for in the rows themselves.
    """
    key, words = look_alike_key(text), _fold(text).split()
    keys = [key] if key else []
    number = _digits(text).lstrip("0")[-8:]  # the end of it: +44 and 0 are two beginnings of one number
    if len(number) >= 3 and not any(c.isalpha() for c in text):
        keys.append(number)
    spelt = (f"({' OR '.join(map(_phrase, _spellings(word)))})" for word in words)
    terms = [f"({' AND '.join(spelt)})"] if words and min(map(len, words)) >= 3 else []
    alone = words[0] if len(words) == 1 and terms else ""  # looked for in both columns already
    terms += [f"keys : {_phrase(k)}" for k in keys if len(k) >= 3 and k.casefold() != alone]
    ways = ["rowid in (select rowid from found_text where found_text match ?)"] if terms else []
    values: list[Any] = [" OR ".join(terms)] if terms else []
    for short in (k for k in keys if len(k) < 3):
        ways.append("instr(keys, ?)")
        values.append(short)
    if words and min(map(len, words)) < 3:
        ways.append(" and ".join("instr(words, ?)" for _ in words))
        values += words
    hidden = "" if with_closed else "and not (select closed from found_job where id = found_text.rowid)"
    if not ways:
        return "select 0 where false", []
    statement = f"select rowid from found_text where ({' or '.join(ways)}) {hidden} order by rowid desc limit ?"  # noqa: S608
    return statement, [*values, limit]


_LETTERS = (("ø", "o"), ("æ", "ae"), ("œ", "oe"), ("ł", "l"), ("đ", "d"), ("ð", "d"), ("þ", "th"), ("ı", "i"))
"""Letters of names that Unicode takes for no letter with an accent, and what is typed without them."""


def _spellings(word: str) -> list[str]:
    """A folded word as typed, with each of the letters in place of what is typed without it, and without any."""
    plain = word
    for letter, typed in _LETTERS:
        plain = plain.replace(letter, typed)
    return list(dict.fromkeys([word, plain, *(plain.replace(typed, letter) for letter, typed in _LETTERS)]))


def _phrase(text: str) -> str:
    return '"' + text.replace('"', '""') + '"'


def _fold(text: str) -> str:
    """As people compare words: without case, accents, doubled spaces and what cannot be seen."""
    seen = (c if c.isprintable() else " " for c in unicodedata.normalize("NFKD", text))
    bare = "".join(c for c in seen if not unicodedata.combining(c))
    return " ".join(bare.casefold().split())


def _digits(text: str) -> str:
    return "".join(str(unicodedata.digit(c)) for c in text if c.isdecimal())
