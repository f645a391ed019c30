"""How far this bench's journal went, beside the journal: an older or another file in its place must not go on.

A bench name belongs to one journal file for ever. Where an older copy is put in its place and goes on under the name,
two entries carry one number, and no bench can take in both. So the last number is written down after each entry, in a
file of its own that is never waited for: a power cut can leave it behind the journal, and it then says less, never
more.
"""

from __future__ import annotations

import os
import zlib
from contextlib import suppress
from typing import TYPE_CHECKING, NamedTuple

from reassembly.record import durable, schema

if TYPE_CHECKING:
    import sqlite3
    from pathlib import Path

    from reassembly.record.writing import Head

FILE = "shop.head"
_LENGTH = 128  # the same always, so that it is one write into one block and never a mixture of two


class Witness(NamedTuple):
    """The last entry that this bench said here; number 0 and no hash where it has said nothing yet."""

    bench: str
    number: int
    hash: str


def write(folder: Path, bench: str, head: Head) -> None:
    """Called when the entry is on the disk."""
    words = f"{bench} {head.number} {head.hash or '-'}"
    line = f"{words} {zlib.crc32(words.encode()):08x}".ljust(_LENGTH - 1) + "\n"
    with suppress(OSError):  # what was said is kept; the next entry writes this again
        file = os.open(f"{folder}/{FILE}", os.O_WRONLY | os.O_CREAT, durable.OWNER)  # a Path costs more than the rest
        try:
            os.pwrite(file, line.encode(), 0)
        finally:
            os.close(file)


def read(folder: Path) -> Witness | None:
    """None where nobody wrote it, or a power cut left it torn."""
    try:
        words, _, check = (folder / FILE).read_text("utf-8").rstrip().rpartition(" ")
        bench, number, last = words.split(" ")
        if int(check, 16) != zlib.crc32(words.encode()):
            return None
        return Witness(bench, int(number), last.replace("-", ""))
    except (FileNotFoundError, ValueError):  # no text is a ValueError too
        return None


def displaced(folder: Path, connection: sqlite3.Connection | None) -> str:
    """That what lies here as shop.db is not the journal that was written here, and what it lacks; `` where it is.

    `connection` is None where no file lies there.
    """
    seen = read(folder)
    if seen is None:
        return ""
    if connection is None or not _has_tables(connection):
        return _told(folder, seen, 0) if seen.number else ""
    last, there, known, empty = connection.execute(
        "select (select max(number) from entry where bench = ?1), "
        "(select hash from entry where bench = ?1 and number = ?2), "
        "exists (select 1 from own_bench where bench = ?1), not exists (select 1 from entry)",
        [seen.bench, seen.number],
    ).fetchone()
    same = known and there == seen.hash if seen.number else known or empty
    return "" if same else _told(folder, seen, last or 0)


def copied(folder: Path, connection: sqlite3.Connection) -> str:
    """That what lies here as shop.db is a copy that was not brought back; `` where it is none."""
    (mark,) = connection.execute("pragma user_version").fetchone()
    if mark != schema.A_COPY:
        return ""
    return (
        f"The journal in {folder} is a copy that a backup made: its bench name belongs to the journal it was made of. "
        "Nothing was changed. Bring it back into a new folder (reassembly restore); to go on with what is here, take a "
        "new bench name (reassembly journal new-bench)."
    )


def _has_tables(connection: sqlite3.Connection) -> bool:
    """A file can be empty."""
    return bool(connection.execute("select 1 from sqlite_master where name = 'own_bench'").fetchone())


def _told(folder: Path, seen: Witness, last: int) -> str:
    name = f"{seen.bench}.{seen.number}"
    if not seen.number:
        lacks = f"it knows no bench {seen.bench}"
    elif last >= seen.number:
        lacks = f"{name} is another entry in it"
    elif last + 1 == seen.number:
        lacks = f"{name} is missing"
    else:
        lacks = f"{seen.bench}.{last + 1} to {name} are missing"
    return (
        f"The journal in {folder} is not the one that was last written there: {lacks}. Nothing was changed. Put the "
        "right shop.db back, or bring the last copy back into a new folder (reassembly restore); to go on with what is "
        "here, take a new bench name (reassembly journal new-bench)."
    )
