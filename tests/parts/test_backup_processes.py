"""Real processes: a copy made while another appends, and copies killed at any moment."""

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

from reassembly.job.entries import PartRemoved
from reassembly.record.backup import backup, reading
from reassembly.record.copies import digest_of, heads_beside, in_directory, last_good
from reassembly.record.heads import read
from reassembly.record.journal import digest
from reassembly.record.proof import prove
from reassembly.record.writing import heads
from tests.record.bench import desk_in
from tests.record.test_journal import rows

KILLS = 40

APPENDER = """
import sys
from pathlib import Path
from reassembly.job.entries import CheckConfirmed
from reassembly.record.desk import Desk

with Desk.open(Path(sys.argv[1]), who="ann") as desk:
    print("open", flush=True)
    while True:
        print(desk.say(CheckConfirmed(check="x"), job="J-1").id, flush=True)
"""

COPIER = """
import sys
from pathlib import Path
from reassembly.record.backup import backup
from reassembly.record.desk import Desk

with Desk.open(Path(sys.argv[1])) as desk:
    print("open", flush=True)
    while True:
        print(backup(desk.journal, Path(sys.argv[2])).path, flush=True)
"""


def begun(folder: Path, entries: int) -> None:
    with desk_in(folder) as desk, desk.journal.writing() as writing:
        for n in range(entries):
            writing.say(PartRemoved(part=f"{n}", name="x" * 200), who="ann", job="J-1")


def started(script: str, *arguments: object) -> "subprocess.Popen[str]":
    process = subprocess.Popen(
        [sys.executable, "-c", script, *map(str, arguments)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "open\n", process.stderr and process.stderr.read()
    return process


def heard(process: "subprocess.Popen[str]") -> str:
    """One more line, which is an acknowledgement."""
    assert process.stdout is not None
    return process.stdout.readline().strip()


def test_a_copy_made_while_another_process_appends_is_one_moment_of_the_journal(tmp_path: Path) -> None:
    begun(tmp_path / "shop", 3000)
    with started(APPENDER, tmp_path / "shop") as appender, desk_in(tmp_path / "shop") as desk:
        said_before = int(heard(appender).partition(".")[2])
        made = [backup(desk.journal, tmp_path / "stick") for _ in range(3)]
        appender.kill()
        assert appender.stdout is not None
        acknowledged = appender.stdout.read().split("\n")[:-1]
        bench, kept = desk.bench, desk.heads()[desk.bench].number
        hashes = {number: kept for number, kept in rows(tmp_path / "shop", "select number, hash from entry")}  # noqa: C416
        assert desk.verify() == []
    ends = [each.heads.heads[bench] for each in made]
    assert said_before <= ends[0].number < ends[1].number < ends[2].number <= kept
    assert all(hashes[end.number] == end.hash for end in ends)
    assert kept >= said_before + len(acknowledged)
    for each in made:
        assert each.found == each.missing == []
        with reading(each.path) as copy:
            assert prove(copy, bench) == []
            assert copy.execute("select count(*) from entry").fetchone() == (each.entries,)


def test_killed_at_any_moment_a_backup_leaves_the_last_good_copy_and_takes_no_half_one_for_good(tmp_path: Path) -> None:
    folder, stick = tmp_path / "shop", tmp_path / "stick"
    begun(folder, 4000)
    with desk_in(folder) as desk:
        newest = backup(desk.journal, stick).path
    chance = random.Random(7)
    halves = 0
    for _ in range(KILLS):
        with started(COPIER, folder, stick) as copier:
            time.sleep(chance.random() * 0.3)  # the moment of the kill
            copier.send_signal(signal.SIGKILL)
            assert copier.stdout is not None
            acknowledged = copier.stdout.read().split()
        halves += any(stick.glob("*.part"))
        newest = Path(acknowledged[-1]) if acknowledged else newest
        there = in_directory(stick)
        assert newest in [copy.path for copy in there]
        for copy in there:
            assert copy.good
        with reading(there[-1].path) as last:
            assert prove(last, there[-1].path.name.partition("-")[0]) == []
            assert digest(heads(last)) == digest_of(there[-1].path) == read(heads_beside(there[-1].path)).digest
        with desk_in(folder) as desk:
            told = last_good(folder, desk.journal.now())
            assert told is not None
            assert told.path in [copy.path for copy in there]
            desk.say(PartRemoved(part="p", name="p"), job="J-1")
    assert halves > KILLS // 4
    with desk_in(folder) as desk:
        assert backup(desk.journal, stick).found == []
        assert desk.verify() == []
    assert not list(stick.glob("*.part"))
