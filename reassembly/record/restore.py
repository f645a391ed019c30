"""A copy brought back into an empty folder, proved before it is used, under a bench name that nobody carries."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.entries import PhotoKept
from reassembly.record import clock, copies, durable, heads, photos, readback, schema, verifying, witness, writing
from reassembly.record.backup import reading
from reassembly.record.folder import Folder
from reassembly.record.journal import Journal, digest
from reassembly.record.progress import Progress, nothing
from reassembly.record.proof import prove
from reassembly.record.trouble import Refused, of_file

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterable
    from pathlib import Path

    from reassembly.record.heads import KeptHeads

_BUILDING = "being-restored"
_NOT_COUNTED = {_BUILDING, "lost+found"}  # what a restore that was cut short left, and what mkfs makes


class FoundWrong(Refused):
    """The copy is not as it was said; `found` has every sentence."""

    def __init__(self, copy: Path, found: list[str]) -> None:
        super().__init__(f"{copy.name} is not as it was said, and nothing was restored: take another copy. {found[0]}")
        self.found = found


class Restored(NamedTuple):
    """The record in its new folder."""

    bench: str
    """The new name."""
    was: str
    """The name it was kept under."""
    entries: int
    digest: str
    last: str
    """When the last entry was said, ISO 8601; `` where there is none."""
    lacks: list[str]
    """What the copy has not, as far as heads kept elsewhere tell."""
    found: list[str]
    """What verify found wrong; only where it was to be restored all the same."""


def restore(
    copy: Path,
    folder: Path,
    *,
    against: Iterable[KeptHeads] = (),
    all_the_same: bool = False,
    progress: Progress = nothing,
) -> Restored:
    """Bring a copy back into an empty folder, and the pictures kept with it.

    What the copy lacks is told by the heads kept with the other copies in its directory and by `against`. A copy that
    verify finds wrong is refused, as FoundWrong, unless it is wanted `all_the_same`. Raises Trouble; the folder is then
    still empty but for what a next restore clears away.
    """
    try:
        building = folder / _BUILDING
        if building.exists() and not (folder / "shop.db").exists():  # a restore was cut short: pictures come first
            shutil.rmtree(folder / photos.FOLDER, ignore_errors=True)
        _must_be_empty(folder)
        _must_be_a_copy(copy)
        shutil.rmtree(building, ignore_errors=True)
        durable.make(building)
        try:
            return _restore(copy, folder, against, all_the_same, progress)
        finally:
            shutil.rmtree(building, ignore_errors=True)
    except OSError as error:
        raise of_file(error, folder) from error


def _must_be_empty(folder: Path) -> None:
    if folder.exists() and any(path.name not in _NOT_COUNTED for path in folder.iterdir()):
        raise Refused(f"{folder} is not empty: name a new folder, so that nothing kept is overwritten.")


def _must_be_a_copy(copy: Path) -> None:
    if copy.is_dir():
        good = [each.path for each in copies.in_directory(copy) if each.good]
        raise Refused(f"Name one copy: the newest in {copy} is {good[-1]}." if good else f"There is no copy in {copy}.")
    if not copy.is_file():
        raise Refused(f"There is no {copy}: name a .db file that a backup made.")
    with reading(copy) as connection:
        (application,) = connection.execute("pragma application_id").fetchone()
        if application != schema.APPLICATION:
            raise Refused(f"{copy} is no copy of a journal: name a .db file that a backup made.")
        schema.is_current(connection)


def _restore(
    copy: Path, folder: Path, against: Iterable[KeptHeads], all_the_same: bool, progress: Progress
) -> Restored:
    building = folder / _BUILDING
    database = building / "shop.db"
    durable.copy(copy, database)
    with reading(database, copy) as connection:
        was = writing.named_bench(connection)
        found = prove(connection, was, lambda done, total: progress("reading", done, total))
        if found and not all_the_same:
            raise FoundWrong(copy, found)
        stood = writing.heads(connection)
        lacks = heads.compare(connection, [*against, *copies.heads_in(copy.parent, was)])
        (last,) = connection.execute("select max(hlc) from entry").fetchone()
        pictures = _named_pictures(connection)
    at = digest(stood)
    named = copies.digest_of(copy)
    if named not in ("", at):
        lacks.append(f"The copy was altered since it was made: its name says {named}, what is in it gives {at}.")
    bench = _rename(Folder(building, whichever=True), _benches(copies.heads_in(copy.parent)))
    lacks += _pictures(copy.parent / photos.FOLDER, building / photos.FOLDER, pictures, progress)
    durable.settle(database)
    if (building / photos.FOLDER).exists():
        durable.into_place(building / photos.FOLDER, folder / photos.FOLDER)
    durable.into_place(database, folder / "shop.db")  # last: from here on there is a record
    said = clock.told(clock.milliseconds(last) * 1_000_000) if last else ""
    return Restored(bench, was, sum(head.number for head in stood.values()), at, said, lacks, found)


def go_on(folder: Path) -> str:
    """Go on with the journal that lies in the folder, whichever it is, under a name that nobody carries: returned.

    Raises Trouble.
    """
    whichever = Folder(folder, whichever=True)
    seen = witness.read(folder)
    carried = {seen.bench} if seen else set()
    return _rename(whichever, carried | _benches(verifying.known(Journal(whichever))))


def _benches(several: Iterable[KeptHeads]) -> set[str]:
    return {name for kept in several for name in (kept.bench, *kept.heads)}


def _rename(folder: Folder, carried: set[str]) -> str:
    """Go on under a name that neither the copy nor, as far as heads tell, what came after it carries."""
    journal = Journal(folder)
    try:
        with journal.writing() as transaction:
            bench = transaction.take_new_bench()
            while bench in carried:
                bench = transaction.take_new_bench()
    finally:
        journal.folder.close()
    return bench


def _named_pictures(connection: sqlite3.Connection) -> set[str]:
    rows = connection.execute("select body from entry where kind = 'PhotoKept'")
    return {fact.digest for (body,) in rows if isinstance(fact := readback.entry(body).fact, PhotoKept)}


def _pictures(source: Path, target: Path, named: set[str], progress: Progress) -> list[str]:
    """Bring back what is there; tell of what was named and is not there, or is not what it was."""
    every = sorted(path for path in source.rglob("*") if path.is_file() and path.suffix != durable.PART)
    missing, wrong = set(named), []
    for done, path in enumerate(every, 1):
        there = target / path.relative_to(source)
        durable.make(there.parent)
        content = durable.copy(path, there)
        missing.discard(content)
        if path.stem in named and path.stem != content:
            wrong.append(photos.altered(path))
        progress("pictures", done, len(every))
    if missing:
        wrong.append(f"{len(missing)} of {len(named)} pictures are not with the copy.")
    return wrong
