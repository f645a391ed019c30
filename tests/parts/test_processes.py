"""Real processes on one journal: two that append at once, and many that are killed."""

import subprocess
import sys
from pathlib import Path

from reassembly.job.entries import CheckConfirmed
from tests.parts.killing import kill
from tests.record.bench import desk_in

KILLS = 300

APPENDER = """
import sys
from pathlib import Path
from reassembly.job.entries import CheckConfirmed
from reassembly.record.desk import Desk

with Desk.open(Path(sys.argv[1]), who=sys.argv[2]) as desk:
    print("open", flush=True)
    sys.stdin.readline()
    for n in range(int(sys.argv[3])):
        print(desk.say(CheckConfirmed(check=f"{desk.who}.{n}"), job="J-1").id, flush=True)
"""


def run(script: str, *arguments: object) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-c", script, *map(str, arguments)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_two_processes_append_at_once_and_nothing_is_lost(tmp_path: Path) -> None:
    processes = [run(APPENDER, tmp_path, who, 300) for who in ("ann", "ben")]
    for process in processes:
        assert process.stdout is not None
        assert process.stdout.readline() == "open\n", process.stderr and process.stderr.read()
    answers = []
    for process in processes:  # both are open now: let both go
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
    for process in processes:
        out, err = process.communicate()
        assert process.returncode == 0, err
        answers.append(out.split())
    with desk_in(tmp_path) as desk:
        entries = desk.job("J-1").entries
        assert [entry.number for entry in entries] == list(range(1, 601))
        for who, ids in zip(("ann", "ben"), answers, strict=True):
            mine = [entry for entry in entries if entry.who == who]
            assert [entry.id for entry in mine] == ids
            assert [entry.fact for entry in mine] == [CheckConfirmed(check=f"{who}.{n}") for n in range(300)]
        assert desk.verify() == []


def test_several_processes_make_a_new_journal_at_once(tmp_path: Path) -> None:
    processes = [run(APPENDER, tmp_path / "new", f"p{n}", 5) for n in range(4)]
    for process in processes:
        _, err = process.communicate("go\n")
        assert process.returncode == 0, err
    with desk_in(tmp_path / "new") as desk:
        assert [entry.number for entry in desk.job("J-1").entries] == list(range(1, 21))
        assert list(desk.heads()) == [desk.bench]


def test_killed_at_any_moment_it_loses_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    outcome = kill(tmp_path, KILLS, seed=1)
    assert outcome.found == []
    assert outcome.kills == KILLS
    assert outcome.while_saying >= KILLS * 0.8
    assert outcome.acknowledged > KILLS


def test_an_acknowledgement_that_comes_too_early_is_found_out(tmp_path: Path) -> None:
    outcome = kill(tmp_path, 40, seed=1, early=True)
    assert any("was acknowledged and is gone" in sentence for sentence in outcome.found)
