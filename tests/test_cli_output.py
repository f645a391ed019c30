"""Output that cannot be written: a sentence and its exit code; a reader that wants no more is nobody's fault."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from reassembly.job.entries import PartRemoved
from reassembly.record.desk import Desk
from tests.record.bench import Wall, desk_in, with_job

COMMANDS = (["jobs"], ["checks", "4TN"], ["verify"], ["journal", "dump"], ["record", "4TN", "--json"], ["--help"])


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shop")
    with desk_in(folder, Wall()) as desk:
        with_job(desk, registration="4TN 881")
        _more(desk)
    return folder


def _more(desk: Desk) -> None:
    """More than a pipe holds."""
    for number in range(300):
        desk.say(PartRemoved(part=f"part {number}", name="p" * 300))


def run(shop: Path, command: list[str], output: int, buffered: str) -> "subprocess.CompletedProcess[bytes]":
    return subprocess.run(
        [sys.executable, "-m", "reassembly", *command],
        stdout=output,
        stderr=subprocess.PIPE,
        check=False,
        env={**os.environ, "REASSEMBLY_DATA": str(shop), "PYTHONUNBUFFERED": buffered},
    )


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize("buffered", ["", "1"])
@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_a_full_disk_behind_the_output_is_told_in_one_sentence(shop: Path, command: list[str], buffered: str) -> None:
    with Path("/dev/full").open("wb") as full:
        done = run(shop, command, full.fileno(), buffered)
    (told,) = done.stderr.decode().splitlines()
    assert told.startswith("Error: What is printed cannot be written (No space left on device)")
    assert done.returncode == 3


@pytest.mark.parametrize("buffered", ["", "1"])
def test_a_reader_that_wants_no_more_ends_it_quietly(shop: Path, buffered: str) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = run(shop, ["journal", "dump"], writing, buffered)
    os.close(writing)
    assert (done.returncode, done.stderr) == (141, b"")
