"""A copy of the record on another disk, made while work goes on, and good only once it was read back and proved."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import quote

import msgspec

from reassembly.record import clock, copies, durable, heads, notes, photos, schema, writing
from reassembly.record.heads import KeptHeads
from reassembly.record.progress import Progress, nothing
from reassembly.record.proof import prove, verify
from reassembly.record.trouble import Trouble, of_database, of_file

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from reassembly.record.journal import Journal

_OF_THE_JOURNAL = {
    sqlite3.SQLITE_CORRUPT,
    sqlite3.SQLITE_NOTADB,
    sqlite3.SQLITE_BUSY,
    sqlite3.SQLITE_LOCKED,
    sqlite3.SQLITE_PROTOCOL,
    sqlite3.SQLITE_IOERR_READ,
    sqlite3.SQLITE_IOERR_SHORT_READ,
}
_INSTRUCTIONS = 10_000  # of SQLite's, between two looks at how far the copy is


class Backup(NamedTuple):
    """A copy that was read back from the disk."""

    path: Path
    heads: KeptHeads
    digest: str
    entries: int
    when: str
    found: list[str]
    """What verify finds wrong in the journal and so in its copy, which then is no good one."""
    missing: list[str]
    """What older copies in the directory have and the journal lacks."""
    remarks: list[str]


def backup(journal: Journal, directory: Path, progress: Progress = nothing) -> Backup:
    """Copy the journal as it is at one moment, and the pictures, into a directory on another disk.

    The copy has its name only when it is on the disk and verify found in it what it finds in the journal; until then
    nothing older goes. Of good copies of this bench the KEEP newest stay, and any that has something this one lacks.
    Blocks for about 20 s a million entries and keeps nobody else from writing: call it in a thread with a journal of
    its own. Raises Trouble; whatever was good before is then still there.
    """
    directory = directory.absolute()
    with _in_words(directory):
        durable.make(directory, parents=False)
        try:
            with durable.alone(directory / "backup.lock"):
                return _backup(journal, directory, progress)
        except BlockingIOError:
            raise Trouble(f"Another backup into {directory} is going on: wait for it.") from None


def _backup(journal: Journal, directory: Path, progress: Progress) -> Backup:
    folder, bench, now = journal.folder.path, journal.bench, journal.now()
    for left in directory.glob(f"*{durable.PART}"):
        left.unlink()
    there = copies.in_directory(directory, bench)
    serial = max((copy.serial for copy in there), default=0) + 1
    part = directory / f"{bench}-{serial:04}.db{durable.PART}"
    _make_room(journal, directory, there)
    with journal.folder.reading() as connection:
        missing = heads.compare(connection, copies.heads_in(directory, bench))
    try:
        _copy(journal, part, directory, progress)
        kept = _prove(journal, part, now, progress)
        path = directory / copies.name_of(bench, serial, kept.made, kept.digest, good=not kept.found)
        durable.put(copies.heads_beside(path), msgspec.json.format(msgspec.json.encode(kept)))
        durable.into_place(part, path)
    finally:
        part.unlink(missing_ok=True)
    same_disk = copies.disk_of(folder) == copies.disk_of(directory)
    remarks = [f"{directory} is on the disk of the record itself: keep a copy elsewhere too."] if same_disk else []
    if not kept.found:
        where = copies.where(directory, same_disk=same_disk)
        notes.note_copy(folder, directory, notes.Copy(path=str(path), heads=kept, where=where, same_disk=same_disk))
    _let_go(journal, [*there, copies.InDirectory(path, serial, not kept.found)])
    remarks += _pictures(folder / photos.FOLDER, directory / photos.FOLDER, progress)
    with journal.folder.reading() as connection:
        named = photos.named(connection, bench)
    remarks += [photos.gone(entry) for digest, entry in named.items() if not photos.find(folder, digest)]
    return Backup(path, kept, kept.digest, kept.entries, kept.made, list(kept.found), missing, remarks)


def _copy(journal: Journal, part: Path, directory: Path, progress: Progress) -> None:
    os.close(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))  # it holds customers' words
    with journal.folder.reading() as connection:
        size = _size(connection)

        def look() -> None:
            progress("copying", min(part.stat().st_size, size), size)

        connection.set_progress_handler(look, _INSTRUCTIONS)
        try:
            connection.execute("vacuum into ?", [str(part)])
        except sqlite3.Error as error:
            code = getattr(error, "sqlite_errorcode", 0)
            if code == sqlite3.SQLITE_INTERRUPT:
                raise KeyboardInterrupt from error
            trouble = None if code in _OF_THE_JOURNAL else of_database(error, directory)
            if trouble is None:
                raise
            raise trouble from error
        finally:
            connection.set_progress_handler(None, 0)
    _mark(part)
    durable.settle(part)


def _mark(part: Path) -> None:
    """Put by hand in the place of a journal it would go on under a name that is in use."""
    try:
        with closing(sqlite3.connect(part, isolation_level=None)) as copy:
            copy.execute("pragma journal_mode = off")  # it counts for nothing before it is settled and has its name
            copy.execute(f"pragma user_version = {schema.A_COPY}")
    except sqlite3.Error as error:
        raise _not_kept(part, str(of_database(error, part) or error)) from error


def _prove(journal: Journal, part: Path, now: int, progress: Progress) -> KeptHeads:
    """Read the copy back from the disk."""
    try:
        with reading(part) as copy:
            found = prove(copy, journal.bench, lambda done, total: progress("reading back", done, total))
            last = writing.heads(copy)
    except Trouble as trouble:
        raise _not_kept(part, str(trouble)) from trouble
    if found and not set(found) <= set(verify(journal)):
        raise _not_kept(part, found[0])
    source = f"the copy of {copies.minute(now)}"
    return KeptHeads.of(last, made=clock.told(now), bench=journal.bench, source=source, found=found)


def _not_kept(part: Path, why: str) -> Trouble:
    return Trouble(f"{part.parent} did not keep what was written: take another stick or disk. {why}")


@contextmanager
def reading(copy: Path, told_as: Path | None = None) -> Iterator[sqlite3.Connection]:
    """A copy, only to be read: nothing is written beside it. Raises Trouble, which names the file `told_as`."""
    try:
        with closing(
            sqlite3.connect(f"file:{quote(str(copy.absolute()))}?mode=ro&immutable=1", uri=True, isolation_level=None)
        ) as connection:
            connection.execute("pragma trusted_schema = 0")
            connection.execute("pragma cell_size_check = 1")
            yield connection
    except sqlite3.Error as error:
        trouble = of_database(error, told_as or copy)
        if trouble is None:
            raise
        raise trouble from error


def _size(connection: sqlite3.Connection) -> int:
    """Of the journal's file, in bytes."""
    (pages,), (page,) = (connection.execute(f"pragma {what}").fetchone() for what in ("page_count", "page_size"))
    return int(pages * page)


def _make_room(journal: Journal, directory: Path, there: list[copies.InDirectory]) -> None:
    """Where the new copy has no room beside the old ones the oldest go before it; the last good one never does."""
    with journal.folder.reading() as connection:
        size = _size(connection)
    old = _may_go(journal, there)
    while shutil.disk_usage(directory).free < size and old:
        _remove(old.pop(0))


def _let_go(journal: Journal, there: list[copies.InDirectory]) -> None:
    good = [copy for copy in there if copy.good]
    may_go = _may_go(journal, there)
    for copy in good[: -copies.KEEP]:
        if copy in may_go:
            _remove(copy)
    for copy in [copy for copy in there if not copy.good][:-1]:
        _remove(copy)


def _may_go(journal: Journal, there: list[copies.InDirectory]) -> list[copies.InDirectory]:
    """Good copies but for the last, the oldest first, of which the journal still has everything."""
    with journal.folder.reading() as connection:
        return [copy for copy in [copy for copy in there if copy.good][:-1] if _is_all_here(connection, copy)]


def _is_all_here(connection: sqlite3.Connection, copy: copies.InDirectory) -> bool:
    """A copy that nobody can tell this of stays."""
    try:
        return not heads.compare(connection, [heads.read(copies.heads_beside(copy.path))])
    except Trouble:
        return False


def _remove(copy: copies.InDirectory) -> None:
    copy.path.unlink()
    copies.heads_beside(copy.path).unlink(missing_ok=True)


def _pictures(source: Path, target: Path, progress: Progress) -> list[str]:
    """Copy what is not there yet; a picture is named by its content, so that one copy serves every backup."""
    if not source.is_dir():
        return []
    every = sorted(path for path in source.rglob("*") if path.is_file() and path.suffix != durable.PART)
    damaged = []
    for done, path in enumerate(every, 1):
        there = target / path.relative_to(source)
        if not there.exists() or there.stat().st_size != path.stat().st_size:
            altered = photos.DIGEST.fullmatch(path.stem) and durable.sha256(path) != path.stem
            if altered:
                damaged.append(photos.altered(path))
            if not (altered and there.exists()):  # the older one may be the good one
                durable.make(there.parent)
                if durable.copy(path, there) != durable.sha256(there):
                    there.unlink()
                    raise Trouble(f"{target} did not keep a picture that was written: take another stick or disk.")
        progress("copying pictures", done, len(every))
    return damaged


@contextmanager
def _in_words(directory: Path) -> Iterator[None]:
    try:
        yield
    except FileNotFoundError as error:
        raise Trouble(f"There is no {directory.parent}: plug the stick in, or name another directory.") from error
    except OSError as error:
        raise of_file(error, directory) from error
