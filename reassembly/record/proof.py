"""Whether the journal is as it was said: every hash, every chain, every copy, every customer's words."""

import hashlib
import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import partial

import msgspec

from reassembly.job.entries import Entry
from reassembly.record.customer import Detail
from reassembly.record.journal import Journal
from reassembly.record.writing import NO_HEAD, AnyFact, Head, heads

Progress = Callable[[int, int], None]
"""Called now and then with how many entries are done, of how many."""

_STEP = 5000


_legible = partial(str, encoding="utf-8", errors="replace")
"""Damaged letters are found by the hash, and must not end the search for more."""

_decode = msgspec.json.Decoder(Entry[AnyFact]).decode


def verify(journal: Journal, progress: Progress = lambda _done, _all: None) -> list[str]:
    """Everything that is wrong, in words; nothing when the journal is whole.

    A cut tail does not show here: compare the heads' digest with one printed on a record or kept with a backup.
    """
    with journal.folder.reading() as connection, one_moment(connection):
        another = journal.folder.another(connection)
        return [*([another] if another else []), *prove(connection, journal.bench, progress)]


@contextmanager
def one_moment(connection: sqlite3.Connection) -> Iterator[None]:
    """One moment of the journal, whoever writes meanwhile."""
    connection.execute("begin")
    try:
        yield
    finally:
        connection.execute("rollback")


def prove(
    connection: sqlite3.Connection,
    own_bench: str,
    progress: Progress = lambda _done, _all: None,
    since: Mapping[str, Head] | None = None,
) -> list[str]:
    """As verify does, of any file; with `since` only what follows those heads, and the words beside it."""
    as_it_comes, connection.text_factory = connection.text_factory, _legible
    try:
        words = _Words(connection, own_bench)
        found = [] if since is not None else list(_file(connection))
        found += _entries(connection, progress, since or {}, words)
        return found + list(words.wrong(whole=since is None))
    finally:
        connection.text_factory = as_it_comes


def _file(connection: sqlite3.Connection) -> Iterator[str]:
    for (found,) in connection.execute("pragma quick_check"):
        if found != "ok":
            yield f"The file is damaged: {found}."


def _entries(
    connection: sqlite3.Connection, progress: Progress, since: Mapping[str, Head], words: "_Words"
) -> Iterator[str]:
    last = heads(connection)
    total = sum(head.number - since.get(bench, NO_HEAD).number for bench, head in last.items())
    done = 0
    for bench in last:
        head = since.get(bench, NO_HEAD)
        before = head.hash  # as the table has it: what was altered is told once, not again at the next
        rows = connection.execute(
            "select number, hlc, job, kind, cast(body as blob), hash from entry where bench = ? and number > ? "
            "order by number",
            [bench, head.number],
        )
        for number, hlc, job, kind, body, kept_hash in rows:
            if not (isinstance(number, int) and isinstance(hlc, int) and isinstance(body, bytes)):
                yield f"What follows {bench}.{head.number} is damaged."
                continue
            digest = hashlib.sha256(body).hexdigest()
            where = f"{bench}.{number}"
            if number != head.number + 1:
                yield f"{bench}.{head.number + 1} to {bench}.{number - 1} are missing."
            if digest != kept_hash:
                yield f"{where} was altered: its words and its hash do not agree."
            try:
                entry = _decode(body)
            except (msgspec.MsgspecError, UnicodeDecodeError) as error:
                yield f"{where} cannot be read: {error}."
            else:
                if entry.previous not in (head.hash, before):
                    yield f"{where} does not follow the entry before it: one of the two was altered or exchanged."
                said = (entry.bench, entry.number, entry.hlc, entry.job, entry.fact.kind)
                if said != (bench, number, hlc, job, kind):
                    yield f"{where} is filed under something else than it says."
                words.hear(entry)
            if hlc <= head.hlc:
                yield f"{where} has a clock that went back."
            head, before = Head(number, hlc, digest), kept_hash
            done += 1
            if done % _STEP == 0:
                progress(done, total)
    progress(total, total)


class _Words:
    """The customers' words beside the entries: named, and perhaps erased on request."""

    def __init__(self, connection: sqlite3.Connection, own_bench: str) -> None:
        self._kept = {
            f"{bench}.{number}": Detail(str(salt), str(body).encode())
            for bench, number, salt, body in connection.execute("select bench, number, salt, body from detail")
        }
        self._own_bench = own_bench
        self._named: dict[str, Entry[AnyFact]] = {}
        self._erased: set[str] = set()

    def hear(self, entry: Entry[AnyFact]) -> None:
        if entry.fact.kind == "CustomerNamed":
            self._named[entry.id] = entry
        elif entry.fact.kind == "DetailsErased":
            self._erased.add(str(entry.fact.entry))

    def wrong(self, *, whole: bool) -> Iterator[str]:
        """Words that are not those that were named, and words that are gone though nobody erased them."""
        for name, named in self._named.items():
            detail = self._kept.get(name)
            if detail is not None and detail.digest != named.fact.digest:
                yield f"The customer's details beside {name} were altered."
            elif detail is None and name not in self._erased and named.bench == self._own_bench:
                yield f"The customer's details beside {name} are gone, and nobody asked for it."
        for name in self._kept:
            if name in self._erased:
                yield f"The customer's details beside {name} were erased by request and are here again."
            elif whole and name not in self._named:
                yield f"There are a customer's details beside {name}, which names none."
