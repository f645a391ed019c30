"""Verify as a habit: what is new at every opening, all of it once a week, and both against heads kept elsewhere.

Photos go along: those of new entries, and once a week every file.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from reassembly.record import clock, copies, heads, notes, photos, writing
from reassembly.record.heads import KeptHeads
from reassembly.record.journal import digest
from reassembly.record.proof import one_moment, prove

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterable

    from reassembly.record.journal import Journal
    from reassembly.record.proof import Progress

EVERY = timedelta(days=7)
"""How often all of the journal is read."""


class Verified(NamedTuple):
    """What verify found, in sentences; nothing where all is as it was said."""

    found: list[str]
    whole: bool
    """All of it was read, not only what is new."""
    read: int
    """Entries read now."""
    entries: int
    digest: str


def due(journal: Journal) -> bool:
    """Whether all of it should be read again: for a week it was not, or the clock went back since."""
    note = notes.verified(journal.folder.path)
    if note is None:
        return True
    return not timedelta(0) <= _now(journal) - datetime.fromisoformat(note.all_of_it) < EVERY


def verify(
    journal: Journal,
    *,
    whole: bool = False,
    against: Iterable[KeptHeads] = (),
    progress: Progress = lambda _done, _all: None,
    of_photos: Progress = lambda _done, _all: None,
) -> Verified:
    """Read what is new since it was last found whole, or all of it where that is due or asked for; then the photos.

    Either is compared with the heads last found whole, with those kept with the copies, and with `against`. What is
    found whole is noted in the data folder. About 7 s a million entries on a PC. Raises Trouble.
    """
    note = notes.verified(journal.folder.path)
    whole = whole or note is None or due(journal)
    bench, now = journal.bench, clock.told(journal.now())
    kept = [*known(journal), *against]
    with journal.folder.reading() as connection, one_moment(connection):
        last = writing.heads(connection)
        another = journal.folder.another(connection)
        altered = heads.compare(connection, kept) or ([another] if another else [])
        before = {} if whole or note is None else _still_there(connection, note.up_to)
        found = prove(connection, bench, progress, None if whole else before)
        after = 0 if whole else before.get(bench, writing.NO_HEAD).number
        named = photos.named(connection, bench, after)
    entries = sum(head.number for head in last.values())
    if not found and not altered:
        source = f"verify on {copies.minute(journal.now())}"
        up_to = KeptHeads.of(last, made=now, bench=bench, source=source)
        all_of_it = now if whole or note is None else note.all_of_it
        notes.note_verified(journal.folder.path, notes.Verified(up_to=up_to, all_of_it=all_of_it))
    new = entries - sum(head.number for head in before.values())
    not_kept = photos.wrong(journal.folder.path, named, whole=whole, progress=of_photos)
    return Verified([*altered, *found, *not_kept], whole, new, entries, digest(last))


def known(journal: Journal) -> list[KeptHeads]:
    """All heads of this bench that can be had now: the note in the data folder, and those kept with the copies."""
    note = notes.verified(journal.folder.path)
    kept = [note.up_to] if note else []
    for directory, copy in notes.copies(journal.folder.path).items():
        kept += [copy.heads, *copies.heads_in(Path(directory), journal.bench)]
    return kept


def paper(journal: Journal, typed: str, progress: Progress = lambda _done, _all: None) -> tuple[bool, str]:
    """Whether the journal ever stood as a printed record says, and a sentence. Raises Refused for what is no digest."""
    heads.paper(typed)
    kept = known(journal)
    with journal.folder.reading() as connection, one_moment(connection):
        return heads.on_paper(connection, typed, kept, progress)


def _still_there(connection: sqlite3.Connection, kept: KeptHeads) -> dict[str, writing.Head]:
    """Where a chain was cut or rewritten it is read from its beginning: the heads say so, this says where."""
    return {
        bench: head
        for bench, head in kept.as_heads.items()
        if heads.hash_of(connection, bench, head.number) == head.hash
    }


def _now(journal: Journal) -> datetime:
    return datetime.fromisoformat(clock.told(journal.now()))
