"""Copies that nobody has to think of: when one is due, where it goes, and that the bench does not wait for it."""

import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from reassembly.job.entries import BenchNamed
from reassembly.record import copies
from reassembly.record.backup import backup
from reassembly.record.beside import PROGRAM, Beside
from tests.record.bench import START, Wall, desk_in, with_job
from tests.record.test_journal import damaged

HOUR = 3_600_000


@pytest.fixture(autouse=True)
def _two_disks(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A stick below /media, as far as the program sees; and a clock of one place."""
    monkeypatch.setattr(copies, "MOUNTS", (tmp_path / "media",))
    monkeypatch.setattr(copies, "disk_of", lambda path: "stick" if "media" in path.parts else "card")
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()


def stick(tmp_path: Path, name: str = "stick") -> Path:
    directory = tmp_path / "media" / name / "reassembly"
    directory.mkdir(parents=True)
    return directory


def until(done: Callable[[], bool]) -> None:
    """The processes of this program take a second or two; a hang is ended by the suite."""
    while not done():
        os.sched_yield()


def finished(beside: Beside) -> list[str]:
    found: list[str] = []

    def look() -> bool:
        found.extend(beside.news())
        return not beside.busy

    until(look)
    return found


def test_a_stick_with_a_folder_of_that_name_is_the_second_device(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        assert copies.second_device(desk.path) is None
        assert copies.second_device(desk.path) != tmp_path / "media"
        there = stick(tmp_path)
        assert copies.second_device(desk.path) == there


def test_where_the_last_copy_went_comes_before_another_stick_and_the_own_disk_never(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        a, b = stick(tmp_path, "a"), stick(tmp_path, "b")
        backup(desk.journal, tmp_path / "beside the record")
        backup(desk.journal, b)
        assert copies.second_device(desk.path) == b
        b.rename(tmp_path / "unplugged")
        assert copies.second_device(desk.path) == a


def test_a_copy_is_due_once_a_night_and_only_where_something_was_said(tmp_path: Path) -> None:
    wall = Wall(START)  # 14:53 in this place
    with desk_in(tmp_path / "shop", wall) as desk:
        with_job(desk)
        there = stick(tmp_path)

        def due(hours: float) -> bool:
            return copies.due(desk.path, (START + int(hours * HOUR)) * 1_000_000, desk.digest())

        assert due(0)
        backup(desk.journal, there)
        assert not due(24)  # nothing was said since
        desk.say(BenchNamed(name="by the door"))
        assert not due(1)
        assert not due(10.5)  # half past one at night: still the same evening
        assert due(11.5)
        wall.milliseconds += 24 * HOUR
        backup(desk.journal, there)
        assert not due(24)


def test_the_age_is_told_in_words(tmp_path: Path) -> None:
    wall = Wall(START)
    with desk_in(tmp_path / "shop", wall) as desk:
        assert desk.copied == "no copy of the record yet: plug in a stick with a folder named reassembly"
        backup(desk.journal, there := stick(tmp_path))
        assert desk.copied == f"last copy just now, in {there}"
        wall.milliseconds += 50 * HOUR
        assert desk.copied == f"last copy 2 days ago, in {there}"
        wall.milliseconds += 200 * HOUR
        assert desk.copied == f"last copy 10 days ago, in {there}: plug it in"


def test_a_partition_is_of_the_disk_it_is_on(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.undo()
    assert copies.disk_of(tmp_path) == copies.disk_of(tmp_path)


def test_the_bench_goes_on_while_it_is_copied_and_proved(tmp_path: Path) -> None:
    program = [sys.executable, "-c", SECOND_DISK.format(media=tmp_path / "media"), "reassembly"]
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        there = stick(tmp_path)
        beside = Beside(desk.path, program)
        beside.copy()
        beside.prove()
        desk.say(BenchNamed(name="by the door"))
        assert finished(beside) == []
        assert len(copies.in_directory(there)) == 1
        assert (desk.path / "verified.json").exists()


SECOND_DISK = """
import sys
from pathlib import Path
from reassembly.record import copies
copies.disk_of = lambda path: "stick" if Path("{media}") in path.parents else "card"
from reassembly.cli import main
main(sys.argv[2:])
"""


def test_what_is_found_wrong_is_told_in_one_sentence(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        bench = desk.bench
    damaged(tmp_path / "shop", "update entry set body = replace(body, 'Kestrel', 'Merlin!')")
    beside = Beside(tmp_path / "shop", PROGRAM)
    beside.prove()
    assert finished(beside) == [
        f"while the record was proved: {bench}.1 was altered: its words and its hash do not agree."
    ]


def test_what_cannot_be_copied_is_told_in_one_sentence(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        there = stick(tmp_path)
        (there / "backup.lock").mkdir()
        beside = Beside(desk.path)
        beside.copy()
        (sentence,) = finished(beside)
    assert sentence.startswith("while the record was copied: ")
    assert "Traceback" not in sentence


def test_without_a_second_device_nothing_is_begun(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        beside = Beside(desk.path)
        beside.copy_if_due(desk)
        assert not beside.busy


def test_a_proof_that_is_stopped_leaves_no_process(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        beside = Beside(desk.path, [sys.executable, "-c", "import signal; signal.pause()"])
        beside.prove()
        beside.stop()
        assert finished(beside) != []  # it was ended, and there is nothing left of it
