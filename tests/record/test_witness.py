"""A bench name belongs to one journal file for ever: what lies in its place is noticed, and nothing is overwritten."""

import errno
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from reassembly.job.entries import BenchNamed, PartRemoved
from reassembly.record import verifying, witness
from reassembly.record.backup import backup
from reassembly.record.desk import Desk
from reassembly.record.lines import append, dump
from reassembly.record.restore import go_on, restore
from reassembly.record.trouble import Trouble
from tests.record.bench import desk_in, with_job

WHAT_TO_DO = "Put the right shop.db back, or bring the last copy back into a new folder (reassembly restore)"


def shop(folder: Path) -> tuple[str, str]:
    """A journal of five entries, an older copy of it beside it with two. Returns its bench and its job."""
    with desk_in(folder) as desk:
        job = with_job(desk)
        desk.say(PartRemoved(part="pan", name="gearbox pan"))
    shutil.copy(folder / "shop.db", folder.with_name("older.db"))
    with desk_in(folder) as desk:
        for part in ("lid", "hub", "cap"):
            desk.say(PartRemoved(part=part, name=part), job=job)
        return desk.bench, job


def older(folder: Path) -> None:
    shutil.copy(folder.with_name("older.db"), folder / "shop.db")


def went_on_elsewhere(folder: Path) -> None:
    """As long as it was, and longer, but not what was said here."""
    folder.with_name("elsewhere").mkdir()
    shutil.copy(folder.with_name("older.db"), folder.with_name("elsewhere") / "shop.db")
    with desk_in(folder.with_name("elsewhere")) as desk:
        for n in range(9):
            desk.say(BenchNamed(name=f"{n}"))
    shutil.copy(folder.with_name("elsewhere") / "shop.db", folder / "shop.db")


def another_bench(folder: Path) -> None:
    with desk_in(folder.with_name("other")) as desk:
        with_job(desk)
    shutil.copy(folder.with_name("other") / "shop.db", folder / "shop.db")


def empty(folder: Path) -> None:
    (folder / "shop.db").write_bytes(b"")


def gone(folder: Path) -> None:
    (folder / "shop.db").unlink()


def of_an_older_program(folder: Path) -> None:
    older(folder)
    with closing(sqlite3.connect(folder / "shop.db", isolation_level=None)) as connection:
        connection.execute("delete from _sqlite_migrations where name = 'come-back'")
        connection.execute("drop index found_job_earlier")


IN_ITS_PLACE = {
    "an older copy": (older, "{0}.3 to {0}.5 are missing"),
    "a copy that went on elsewhere": (went_on_elsewhere, "{0}.5 is another entry in it"),
    "another bench's": (another_bench, "{0}.1 to {0}.5 are missing"),
    "an empty file": (empty, "{0}.1 to {0}.5 are missing"),
    "no file": (gone, "{0}.1 to {0}.5 are missing"),
    "an older copy of an older program": (of_an_older_program, "{0}.3 to {0}.5 are missing"),
}
places = pytest.mark.parametrize(("put", "lacks"), IN_ITS_PLACE.values(), ids=IN_ITS_PLACE.keys())


@places
def test_another_file_in_its_place_is_noticed_and_not_written_to(
    put: Callable[[Path], None], lacks: str, tmp_path: Path
) -> None:
    folder = tmp_path / "shop"
    bench, job = shop(folder)
    right = (folder / "shop.db").read_bytes()
    put(folder)
    before = (folder / "shop.db").read_bytes() if (folder / "shop.db").exists() else None
    with pytest.raises(Trouble) as told, desk_in(folder) as desk:
        desk.say(PartRemoved(part="late", name="late"), job=job)
    assert f"{lacks.format(bench)}. Nothing was changed. {WHAT_TO_DO}" in str(told.value)
    assert ((folder / "shop.db").read_bytes() if (folder / "shop.db").exists() else None) == before
    (folder / "shop.db").write_bytes(right)
    with desk_in(folder) as desk:
        assert desk.warning == ""
        assert desk.say(PartRemoved(part="late", name="late"), job=job).id == f"{bench}.6"


@places
def test_it_can_go_on_under_a_new_bench_name(put: Callable[[Path], None], lacks: str, tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    bench, _ = shop(folder)
    shutil.copytree(folder, tmp_path / "as it was")
    put(folder)
    new = go_on(folder)
    with desk_in(folder) as desk:
        assert desk.warning == ""
        assert (desk.bench, desk.say(BenchNamed(name="by the door")).id) == (new, f"{new}.1")
        with desk_in(tmp_path / "as it was") as was:
            assert was.bench == bench
            if put is not went_on_elsewhere:  # two journals carry one name already
                append(was.journal, list(dump(desk.journal)))
                assert was.verify() == []


def test_an_older_copy_can_be_read_and_is_warned_of(tmp_path: Path) -> None:
    bench, job = shop(tmp_path / "shop")
    older(tmp_path / "shop")
    with desk_in(tmp_path / "shop") as desk:
        assert f"{bench}.3 to {bench}.5 are missing" in desk.warning
        assert len(desk.job(job).entries) == 2
        for (found,) in (desk.verify(), verifying.verify(desk.journal).found):
            assert f"{bench}.3 to {bench}.5 are missing" in found


def test_an_older_copy_put_back_after_a_new_name_was_taken_is_noticed_before_a_word_is_said(tmp_path: Path) -> None:
    shop(tmp_path / "shop")
    older(tmp_path / "shop")
    new = go_on(tmp_path / "shop")
    older(tmp_path / "shop")
    with desk_in(tmp_path / "shop") as desk:
        assert f"it knows no bench {new}" in desk.warning


def test_a_file_exchanged_under_a_running_bench_is_noticed(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    bench, job = shop(folder)
    with desk_in(folder) as desk:
        assert len(desk.job(job).entries) == 5
        for name in ("shop.db", "shop.db-wal", "shop.db-shm"):
            (folder / name).unlink(missing_ok=True)
        older(folder)
        with pytest.raises(Trouble, match=f"{bench}.3 to {bench}.5 are missing"):
            desk.say(PartRemoved(part="late", name="late"), job=job)


def test_a_new_folder_is_one_step(tmp_path: Path) -> None:
    with desk_in(tmp_path / "new" / "shop") as desk:
        assert desk.warning == ""
        assert with_job(desk)


def test_what_begins_without_a_word_said_can_begin_again(tmp_path: Path) -> None:
    Desk.open(tmp_path).close()
    (tmp_path / "shop.db").unlink()
    with desk_in(tmp_path) as desk:
        assert with_job(desk)


@pytest.mark.parametrize("torn", [b"", b"KD 4", bytes(128), b"\xff" * 128, b"KD 99 ab 00000000".ljust(128)])
def test_what_a_power_cut_left_of_it_says_nothing(torn: bytes, tmp_path: Path) -> None:
    bench, job = shop(tmp_path / "shop")
    (tmp_path / "shop" / witness.FILE).write_bytes(torn)
    with desk_in(tmp_path / "shop") as desk:
        assert desk.say(PartRemoved(part="late", name="late"), job=job).id == f"{bench}.6"
    assert witness.read(tmp_path / "shop") == (bench, 6, desk_hash(tmp_path / "shop", bench))


def desk_hash(folder: Path, bench: str) -> str:
    with desk_in(folder) as desk:
        return desk.heads()[bench].hash


def test_behind_the_journal_it_is_no_obstacle(tmp_path: Path) -> None:
    bench, job = shop(tmp_path / "shop")
    kept = (tmp_path / "shop" / witness.FILE).read_bytes()
    with desk_in(tmp_path / "shop") as desk:
        desk.say(PartRemoved(part="late", name="late"), job=job)
    (tmp_path / "shop" / witness.FILE).write_bytes(kept)
    with desk_in(tmp_path / "shop") as desk:
        assert desk.say(PartRemoved(part="later", name="later"), job=job).id == f"{bench}.7"


def test_where_it_cannot_be_written_what_was_said_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bench, job = shop(tmp_path / "shop")

    def full(*_: object) -> int:
        raise OSError(errno.ENOSPC, "no space left")

    with desk_in(tmp_path / "shop") as desk:
        with monkeypatch.context() as patched:
            patched.setattr("os.pwrite", full)
            assert desk.say(PartRemoved(part="late", name="late"), job=job).id == f"{bench}.6"
        assert desk.say(PartRemoved(part="later", name="later"), job=job).id == f"{bench}.7"


def copy_as_journal(folder: Path) -> tuple[str, str, Path]:
    """A backup's copy of a journal, put by hand as the journal of another folder: its bench, its job, that folder."""
    with desk_in(folder) as desk:
        job = with_job(desk)
        made = backup(desk.journal, folder.with_name("stick"))
        bench = desk.bench
    elsewhere = folder.with_name("elsewhere")
    elsewhere.mkdir()
    shutil.copy(made.path, elsewhere / "shop.db")
    return bench, job, elsewhere


def test_a_copy_put_by_hand_as_a_journal_can_be_read_and_not_written_to(tmp_path: Path) -> None:
    bench, job, elsewhere = copy_as_journal(tmp_path / "shop")
    with desk_in(elsewhere) as desk:
        before = (elsewhere / "shop.db").read_bytes()
        assert "a copy that a backup made" in desk.warning
        assert (desk.bench, len(desk.job(job).entries), desk.verify()) == (bench, 1, [desk.warning])
        with pytest.raises(Trouble, match=r"reassembly restore") as told:
            desk.say(PartRemoved(part="pan", name="pan"), job=job)
        assert str(told.value) == desk.warning
        assert (elsewhere / "shop.db").read_bytes() == before


def test_a_copy_of_an_older_program_is_not_brought_up_to_date_in_the_place_of_a_journal(tmp_path: Path) -> None:
    _, _, elsewhere = copy_as_journal(tmp_path / "shop")
    with closing(sqlite3.connect(elsewhere / "shop.db", isolation_level=None)) as connection:
        connection.execute("delete from _sqlite_migrations where name = 'come-back'")
        connection.execute("drop index found_job_earlier")
    with pytest.raises(Trouble, match=r"reassembly restore"):
        Desk.open(elsewhere)


@pytest.mark.parametrize("by_hand", [False, True], ids=["brought back", "with a new bench name"])
def test_a_copy_goes_on_under_a_new_name(by_hand: bool, tmp_path: Path) -> None:
    bench, job, elsewhere = copy_as_journal(tmp_path / "shop")
    folder = elsewhere if by_hand else tmp_path / "new"
    new = go_on(elsewhere) if by_hand else restore(elsewhere / "shop.db", folder).bench
    with desk_in(folder) as desk, desk_in(tmp_path / "shop") as first:
        assert desk.warning == ""
        assert desk.say(PartRemoved(part="pan", name="pan"), job=job).id == f"{new}.1"
        assert first.say(PartRemoved(part="lid", name="lid"), job=job).id == f"{bench}.2"
        append(first.journal, list(dump(desk.journal)))
        assert first.verify() == []
        assert backup(desk.journal, tmp_path / "stick").found == []
        assert desk.warning == ""


def test_a_copy_that_an_older_program_made_is_taken_as_before(tmp_path: Path) -> None:
    """It bears no mark, and heads kept with it are all that tells."""
    _, job, elsewhere = copy_as_journal(tmp_path / "shop")
    with closing(sqlite3.connect(elsewhere / "shop.db")) as connection:
        connection.execute("pragma user_version = 0")
    with desk_in(elsewhere) as desk:
        assert desk.say(PartRemoved(part="pan", name="pan"), job=job).number == 2
