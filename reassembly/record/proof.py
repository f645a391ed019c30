"""Whether the journal is as it was said: every hash, every chain, every copy, every customer's words."""

import hashlib
import sqlite3
from collections.abc import Callable, Iterator
from typing import Any

import msgspec

from reassembly.job.entries import Entry
from reassembly.record.customer import Detail
from reassembly.record.journal import Journal
from reassembly.record.writing import NO_HEAD, Head

Progress = Callable[[int, int], None]
"""Called now and then with how many entries are done, of how many."""

_STEP = 5000


class _Fact(msgspec.Struct):
    """As much of a fact as the proof needs."""

    kind: str = ""
    digest: str = ""
    entry: str = ""


_decode = msgspec.json.Decoder(Entry[_Fact]).decode


def verify(journal: Journal, progress: Progress = lambda _done, _all: None) -> list[str]:
    """Everything that is wrong, in words; nothing when the journal is whole.

    A cut tail does not show here: compare the heads' digest with one printed on a record or kept with a backup.
    """
    with journal.folder.reading() as connection:
        connection.execute("begin")  # one moment of the journal, whoever writes meanwhile
        try:
            return [*_file(connection), *_entries(connection, progress), *_details(connection, journal.bench)]
        finally:
            connection.execute("rollback")


def _file(connection: sqlite3.Connection) -> Iterator[str]:
    for (found,) in connection.execute("pragma quick_check"):
        if found != "ok":
            yield f"The file is damaged: {found}."


def _entries(connection: sqlite3.Connection, progress: Progress) -> Iterator[str]:
    (total,) = connection.execute("select count(*) from entry").fetchone()
    last, head = "", NO_HEAD
    rows = connection.execute(
        "select bench, number, hlc, job, kind, cast(body as blob), hash from entry order by bench, number"
    )
    for done, (bench, number, hlc, job, kind, body, kept_hash) in enumerate(rows, 1):
        if bench != last:
            last, head = bench, NO_HEAD
        digest = hashlib.sha256(body).hexdigest()
        where = f"{bench}.{number}"
        if number != head.number + 1:
            yield f"{bench}.{head.number + 1} to {bench}.{number - 1} are missing."
        if digest != kept_hash:
            yield f"{where} was altered: its words and its hash do not agree."
        try:
            entry = _decode(body)
        except msgspec.MsgspecError as error:
            yield f"{where} cannot be read: {error}."
        else:
            if entry.previous != head.hash:
                yield f"{where} does not follow the entry before it: one of the two was altered or exchanged."
            said = (entry.bench, entry.number, entry.hlc, entry.job, entry.fact.kind)
            if said != (bench, number, hlc, job, kind):
                yield f"{where} is filed under something else than it says."
        if hlc <= head.hlc:
            yield f"{where} has a clock that went back."
        head = Head(number, hlc, digest)
        if done % _STEP == 0:
            progress(done, total)
    progress(total, total)


def _details(connection: sqlite3.Connection, own_bench: str) -> Iterator[str]:
    """Words that are not those that were named, and words that are gone though nobody erased them."""
    erased = {entry.fact.entry for entry in _of_kind(connection, "DetailsErased")}
    kept = {
        f"{bench}.{number}": Detail(salt, body.encode())
        for bench, number, salt, body in connection.execute("select bench, number, salt, body from detail")
    }
    for named in _of_kind(connection, "CustomerNamed"):
        detail = kept.pop(named.id, None)
        if detail is not None and detail.digest != named.fact.digest:
            yield f"The customer's details beside {named.id} were altered."
        elif detail is not None and named.id in erased:
            yield f"The customer's details beside {named.id} were erased by request and are here again."
        elif detail is None and named.id not in erased and named.bench == own_bench:
            yield f"The customer's details beside {named.id} are gone, and nobody asked for it."
    for stray in kept:
        yield f"There are a customer's details beside {stray}, which names none."


def _of_kind(connection: sqlite3.Connection, kind: str) -> Iterator[Entry[Any]]:
    # The kind inside the body counts: the column is only a copy, and there is no index to read it by.
    for (body,) in connection.execute("select body from entry where kind = ?", [kind]):
        yield _decode(body)
