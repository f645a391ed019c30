"""Real processes on one journal: two that append at once, and many that are killed."""

import subprocess
import sys
from pathlib import Path

from reassembly.job.entries import CheckConfirmed
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

# Forks children that say facts and acknowledge each on a pipe, kills each at a random moment, and looks whether the
# journal holds what was acknowledged. In a process of its own: a fork must not carry a database connection along.
NURSERY = """
import os
import random
import signal
import sys
import time
from pathlib import Path
from reassembly.job.entries import CheckConfirmed
from reassembly.record.desk import Desk

folder, kills, seed = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
chance = random.Random(seed)
acknowledged, lost, killed_while_saying = set(), set(), 0
for kill in range(kills):
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        os.close(reading)
        desk = Desk.open(folder, who="ann")
        while True:
            entry = desk.say(CheckConfirmed(check=f"{kill}"), job="J-1")
            os.write(writing, f"{entry.id}\\n".encode())
    os.close(writing)
    heard = b""
    if chance.random() < 0.9:  # the others are killed while they open or recover the journal
        heard = os.read(reading, 1 << 16)
    time.sleep(chance.choice([0, 0.0005, 0.005, 0.08, 0.3]) * chance.random())  # the moment of the kill
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    if not os.WIFSIGNALED(status):
        sys.exit(f"child {kill} ended by itself")
    while more := os.read(reading, 1 << 16):
        heard += more
    os.close(reading)
    ids = set(heard.decode().split("\\n")[:-1])
    killed_while_saying += bool(ids)
    acknowledged |= ids
    with Desk.open(folder, who="ben") as desk:
        kept = {f"{bench}.{number}" for bench, number, _ in desk.journal.bodies("J-1")}
    lost |= acknowledged - kept
    if len(kept) - len(acknowledged) > kill + 1:
        sys.exit(f"{len(kept)} kept of {len(acknowledged)} acknowledged: more than one for each kill")
print(len(acknowledged), len(lost), killed_while_saying)
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
    nurseries = [run(NURSERY, tmp_path / str(seed), KILLS // 2, seed) for seed in (1, 2)]
    for seed, nursery in zip((1, 2), nurseries, strict=True):
        out, err = nursery.communicate()
        assert nursery.returncode == 0, err
        acknowledged, lost, while_saying = map(int, out.split())
        assert lost == 0
        assert while_saying >= KILLS // 2 * 0.8
        assert acknowledged > KILLS
        with desk_in(tmp_path / str(seed)) as desk:
            assert desk.verify() == []
            assert len(desk.job("J-1").entries) >= acknowledged
