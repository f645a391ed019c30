"""Faults of disk, folder and file: one sentence, nothing lost, and the same desk goes on when the cause is gone."""

import errno
import fcntl
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from pathlib import Path

import pytest

from reassembly.job.entries import BenchNamed, PartRemoved
from reassembly.record.desk import Desk
from reassembly.record.trouble import Held, Trouble, of_database
from tests.record.bench import desk_in, with_job

PAN = PartRemoved(part="pan", name="gearbox pan")


@contextmanager
def held_by_another_program(folder: Path) -> Iterator[None]:
    with closing(sqlite3.connect(folder / "shop.db", isolation_level=None)) as connection:
        connection.execute("begin immediate")
        yield


@contextmanager
def writing_at_another_bench(folder: Path) -> Iterator[None]:
    descriptor = os.open(folder / "shop.lock", os.O_RDWR)
    fcntl.flock(descriptor, fcntl.LOCK_EX)
    yield
    os.close(descriptor)


@contextmanager
def moved_away(folder: Path) -> Iterator[None]:
    for name in ("shop.db", "shop.db-wal", "shop.db-shm"):
        (folder / name).rename(folder / f"away-{name}")
    yield
    for name in ("shop.db", "shop.db-wal", "shop.db-shm"):
        (folder / f"away-{name}").rename(folder / name)


@contextmanager
def unplugged(folder: Path) -> Iterator[None]:
    folder.rename(folder.with_name("elsewhere"))
    yield
    folder.with_name("elsewhere").rename(folder)


Fault = Callable[[Path], AbstractContextManager[None]]

PASSING: dict[str, tuple[Fault, str]] = {
    "locked by another program": (held_by_another_program, "Another program holds"),
    "another bench is writing": (writing_at_another_bench, "Another program holds"),
    "the file moved away": (moved_away, "is gone: put it back"),
    "the disk unplugged": (unplugged, "is gone: put it back"),
}


@pytest.mark.parametrize(("fault", "words"), PASSING.values(), ids=PASSING.keys())
def test_the_same_desk_goes_on_when_the_cause_is_gone(fault: Fault, words: str, tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    with desk_in(folder, patience=0.05) as desk:
        with_job(desk)
        said = desk.say(PAN)
        with fault(folder):
            for _ in range(2):
                with pytest.raises(Trouble, match=words):
                    desk.say(PartRemoved(part="lid", name="lid"))
        assert desk.job().entries[-1] == said
        assert desk.say(PartRemoved(part="lid", name="lid")).number == said.number + 1
        assert desk.verify() == []


def garbage(file: Path) -> None:
    file.write_bytes(b"this is no database, and long enough to show it " * 100)


def another_programs(file: Path) -> None:
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("create table song (name text)")


def newer(file: Path) -> None:
    Desk.open(file.parent).close()
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        connection.execute(
            "insert into _sqlite_migrations (migration_set, name, applied_at) values ('reassembly', 'tomorrow', '')"
        )


def half_of_one(file: Path) -> None:
    Desk.open(file.parent).close()
    file.write_bytes(file.read_bytes()[:8192])


def a_folder(file: Path) -> None:
    file.mkdir()


UNFIT = {
    "not a database": (garbage, "not a journal of this program"),
    "another program's": (another_programs, "belongs to another program"),
    "a newer version's": (newer, "newer version of this program"),
    "cut in half": (half_of_one, "is damaged"),
    "a folder in its place": (a_folder, "cannot be opened"),
}


@pytest.mark.parametrize(("make", "words"), UNFIT.values(), ids=UNFIT.keys())
def test_a_file_that_is_no_journal_of_ours_is_refused_and_left_as_it_is(
    make: Callable[[Path], None], words: str, tmp_path: Path
) -> None:
    file = tmp_path / "shop.db"
    make(file)
    before = file.read_bytes() if file.is_file() else b""
    with pytest.raises(Trouble, match=words):
        Desk.open(tmp_path)
    assert (file.read_bytes() if file.is_file() else b"") == before
    file.rename(tmp_path / "away")
    with desk_in(tmp_path) as desk:
        assert desk.say(BenchNamed(name="by the door")).number == 1


def put_in_its_place(there: Path, file: Path) -> None:
    for name in ("shop.db", "shop.db-wal", "shop.db-shm"):
        (there / name).unlink(missing_ok=True)
    shutil.copy(file, there / "shop.db")


def test_a_new_version_of_the_file_is_read_anew_when_it_was_exchanged(tmp_path: Path) -> None:
    there, more = tmp_path / "shop", tmp_path / "more"
    with desk_in(there) as desk:
        job = with_job(desk)
    shutil.copytree(there, more)
    with desk_in(more) as desk:
        desk.say(PAN, job=job)
    with desk_in(there) as desk:
        assert len(desk.job(job).entries) == 1
        put_in_its_place(there, more / "shop.db")
        assert len(desk.job(job).entries) == 2
        assert desk.say(BenchNamed(name="by the door")).number == 3
        assert desk.verify() == []


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "shop").write_text("a note")
    with pytest.raises(Trouble, match="is not a folder"):
        Desk.open(tmp_path / "shop")
    with pytest.raises(Trouble, match="is not a folder"):
        Desk.open(tmp_path / "shop" / "deeper")


def test_polling_while_the_journal_cannot_be_read_is_quiet(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    with desk_in(folder) as desk:
        with_job(desk)
        desk.changed()
        with unplugged(folder):
            assert not desk.changed()
        assert desk.changed()


def test_a_damaged_page_is_told_in_one_sentence(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        for n in range(200):
            desk.say(PartRemoved(part=f"p{n}", name="x" * 300))
        job = desk.open_job
    file = tmp_path / "shop.db"
    whole = file.read_bytes()
    file.write_bytes(whole[: -40 * 4096] + b"\xff" * (40 * 4096))
    with pytest.raises(Trouble, match="damaged"), desk_in(tmp_path) as desk:  # noqa: PT012
        desk.job(job)
        desk.say(PAN, job=job)
    file.write_bytes(whole)
    with desk_in(tmp_path) as desk:
        assert desk.verify() == []


def test_a_card_that_was_pulled_is_not_called_damaged(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite says CORRUPT where a read fails with EIO."""
    with desk_in(tmp_path) as desk:
        with_job(desk)

    def pulled(_file: int, _count: int, _at: int) -> bytes:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    damaged = sqlite3.DatabaseError("database disk image is malformed")
    damaged.sqlite_errorcode = sqlite3.SQLITE_CORRUPT
    assert "is damaged" in str(of_database(damaged, tmp_path / "shop.db"))
    monkeypatch.setattr(os, "pread", pulled)
    assert str(of_database(damaged, tmp_path / "shop.db")).startswith("The disk does not answer for")


def test_where_another_folder_lies_its_lock_is_the_one_that_counts(tmp_path: Path) -> None:
    folder = tmp_path / "card"
    with desk_in(folder) as desk:
        job = with_job(desk)
    shutil.copytree(folder, tmp_path / "other card")
    with desk_in(folder, patience=0) as desk:
        desk.say(PAN, job=job)
        folder.rename(tmp_path / "pulled")
        (tmp_path / "other card").rename(folder)
        with writing_at_another_bench(folder), pytest.raises(Held):
            desk.say(PAN, job=job)
        desk.say(PAN, job=job)


def test_pragmas_are_read_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from reassembly.record import schema

    monkeypatch.setitem(schema.PRAGMAS, "synchronous", 7)  # SQLite takes only three bits' worth, and keeps another
    monkeypatch.setitem(schema.PRAGMAS, "journal_mode", "sideways")
    with pytest.raises(Trouble, match=r"journal_mode at wal, not at sideways"):
        Desk.open(tmp_path)


def test_the_journal_stands_as_the_contract_says(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk, desk.journal.folder.reading() as connection:
        found = {
            name: connection.execute(f"pragma {name}").fetchone()[0]
            for name in ("journal_mode", "synchronous", "foreign_keys", "recursive_triggers", "trusted_schema")
        }
        assert found == {
            "journal_mode": "wal",
            "synchronous": 2,
            "foreign_keys": 1,
            "recursive_triggers": 1,
            "trusted_schema": 0,
        }
        strict = connection.execute("select name, wr, strict from pragma_table_list where name = 'entry'").fetchone()
        assert strict == ("entry", 1, 1)
    assert (tmp_path.stat().st_mode & 0o777) >= 0o700


def test_a_folder_made_for_customers_details_is_for_its_owner_only(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop"):
        assert (tmp_path / "shop").stat().st_mode & 0o077 == 0


FILE_LIMIT = """
import resource
import sys
from pathlib import Path
from reassembly.job.entries import PartRemoved
from reassembly.record.desk import Desk
from reassembly.record.trouble import Held, Trouble, of_database

with Desk.open(Path(sys.argv[1]), who="ann") as desk:
    resource.setrlimit(resource.RLIMIT_FSIZE, (600_000, resource.RLIM_INFINITY))
    said = []
    try:
        while True:
            said.append(desk.say(PartRemoved(part=f"p{len(said)}", name="x" * 500), job="J-1"))
    except Trouble as trouble:
        print(trouble)
    assert len(said) > 10
    assert list(desk.job("J-1").entries) == said
    resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
    said.append(desk.say(PartRemoved(part="last", name="last"), job="J-1"))
    assert list(desk.job("J-1").entries) == said
    assert desk.verify() == []
"""


def test_a_file_that_cannot_grow_is_told_and_the_desk_goes_on(tmp_path: Path) -> None:
    done = subprocess.run([sys.executable, "-c", FILE_LIMIT, tmp_path], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "cannot grow" in done.stdout
