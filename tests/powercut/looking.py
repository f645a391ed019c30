"""What is wrong with a folder that came out of a power cut, looked at with the real program."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.entries import CheckConfirmed
from reassembly.record import finding, schema
from reassembly.record.desk import Desk

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

_ID = re.compile(r"\b[B-X]{2}\.[0-9]+\b")


class Kept(NamedTuple):
    """The journal when all was said: its bodies by id, in order."""

    bodies: dict[str, bytes]

    @classmethod
    def in_folder(cls, shop: Path) -> Kept:
        with Desk.open(shop) as desk:
            return cls({f"{bench}.{number}": body for bench, number, body in desk.journal.bodies()})


def ids(texts: Sequence[str]) -> set[str]:
    """The entries that the program called kept, in whatever words."""
    return {name for text in texts for name in _ID.findall(text)}


def faults(shop: Path, final: Kept, said: Sequence[str], erased_words: bytes = b"") -> list[str]:
    """Everything wrong with a data folder, in words. `said` is what the program had printed before the cut."""
    found = half_migrated(shop / "shop.db")
    try:
        with Desk.open(shop, who="eve") as desk:
            found += _of_desk(desk, final, ids(said))
    except Exception as error:  # noqa: BLE001 - whatever it is, it is what the person at the bench would see
        return [*found, f"the program fails: {error!r}"]
    if erased_words and any(b'"DetailsErased"' in body for body in _bodies(shop)):
        found += [f"erased words are in {p.name}" for p in shop.iterdir() if erased_words in p.read_bytes()]
    return found


def _of_desk(desk: Desk, final: Kept, acknowledged: set[str]) -> list[str]:
    kept = {f"{bench}.{number}": body for bench, number, body in desk.journal.bodies()}
    found = [f"{name} was acknowledged and is gone" for name in sorted(acknowledged - kept.keys())]
    if list(kept.items()) != list(final.bodies.items())[: len(kept)]:
        found.append("what is kept is not the beginning of what was said")
    found += desk.verify()
    with desk.journal.folder.writing() as connection:
        before = finding.contents(connection)
        finding.rebuild(connection)
        if finding.contents(connection) != before:
            found.append("the search tables differ from rebuilt ones")
    after = desk.say(CheckConfirmed(check="after the cut"), job="J-9")
    own = sum(name.startswith(f"{desk.bench}.") for name in kept)
    if after.number != own + 1:
        found.append(f"work does not go on: {after.id} after {own} entries")
    return found


def _bodies(shop: Path) -> list[bytes]:
    with closing(sqlite3.connect(f"file:{shop / 'shop.db'}?mode=ro", uri=True)) as connection:
        return [body.encode() for (body,) in connection.execute("select body from entry")]


def half_migrated(file: Path) -> list[str]:
    """A step is in the file with all its tables and its name, or not at all. Looked at in memory: nothing is mended."""
    if not file.exists():
        return []
    beside = file.with_name("looked-at.db")
    for end in ("", "-wal", "-journal"):
        source = file.with_name(file.name + end)
        if source.exists():
            beside.with_name(beside.name + end).write_bytes(source.read_bytes())
    try:
        with closing(sqlite3.connect(beside)) as connection:
            tables = {name for (name,) in connection.execute("select name from sqlite_master")}
            done = set()
            if "_sqlite_migrations" in tables:
                done = {name for (name,) in connection.execute("select name from _sqlite_migrations")}
    except sqlite3.Error as error:
        return [f"SQLite cannot read it: {error}"]
    finally:
        for path in file.parent.glob("looked-at.db*"):
            path.unlink()
    found = []
    gone = {
        m[1] for step in done & schema.STEPS.keys() for s in schema.STEPS[step] if (m := re.match(r"drop \w+ (\w+)", s))
    }
    for step, statements in schema.STEPS.items():
        made = {m[1] for s in statements if (m := re.match(r"\s*create (?:virtual )?\w+ (\w+)", s))}
        if made & tables != (made - gone if step in done else set()):
            found.append(f"step {step!r} of the migration is there by half")
    return found
