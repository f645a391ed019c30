"""The power is cut under the real program at work: what was acknowledged stays, set-ups that lose are found out."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.powercut.cutting import run
from tests.powercut.recording import (
    Grow,
    Make,
    MakeFolder,
    NotUnderstood,
    Remove,
    Rename,
    Resize,
    Said,
    Sync,
    Write,
    record,
    why_not,
)
from tests.powercut.scenarios import BROKEN, SCENARIOS

STATES = 150


@pytest.fixture(autouse=True)
def _recorder() -> None:
    if reason := why_not():
        if os.environ.get("CI") == "true":
            pytest.fail(f"the calls of the program cannot be recorded: {reason}")
        pytest.skip(reason)


@pytest.mark.parametrize("name", SCENARIOS)
def test_a_power_cut_takes_nothing_that_was_acknowledged(name: str, tmp_path: Path) -> None:
    outcome = run(SCENARIOS[name], tmp_path, STATES, seed=2)
    assert outcome.bad == []
    assert outcome.acknowledged
    assert outcome.states > 20


@pytest.mark.parametrize("name", BROKEN)
def test_a_set_up_that_loses_is_found_out(name: str, tmp_path: Path) -> None:
    assert run(BROKEN[name], tmp_path, STATES, seed=2).bad


EVERY_CALL = """
import os, sys
root = sys.argv[1]
os.mkdir(root + "/d")
with open(root + "/d/f", "wb", buffering=0) as file:
    file.write(b"abc")
    file.seek(1)
    file.write(b"X\\n")
    os.pwrite(file.fileno(), b"Z", 5)
    os.posix_fallocate(file.fileno(), 0, 9)
    os.ftruncate(file.fileno(), 8)
    os.fsync(file.fileno())
with open(root + "/d/f", "ab", buffering=0) as file:
    file.write(b"end")
    os.fdatasync(file.fileno())
os.replace(root + "/d/f", root + "/d/g")
folder = os.open(root, os.O_RDONLY)
os.fsync(folder)
os.write(1, b"done")
os.chdir(root)
open("h", "w").close()
os.remove(root + "/h")
"""


def test_the_recorder_takes_down_every_call_with_its_data(tmp_path: Path) -> None:
    root = tmp_path / "disk"
    root.mkdir()
    recording = record([sys.executable, "-c", EVERY_CALL, str(root)], root, tmp_path / "log")
    assert recording.calls == [
        MakeFolder("d"), Make("d/f"), Resize("d/f", 0), Write("d/f", 0, b"abc"), Write("d/f", 1, b"X\n"),
        Write("d/f", 5, b"Z"), Grow("d/f", 9), Resize("d/f", 8), Sync("d/f", 8), Make("d/f"),
        Write("d/f", None, b"end"), Sync("d/f", 11), Rename("d/f", "d/g"), Sync(".", 13), Said("done"),
        Make("h"), Resize("h", 0), Remove("h"),
    ]  # fmt: skip
    assert recording.after == {"d": None, "d/g": b"aX\n\0\0Z\0\0end"}


@pytest.mark.parametrize(
    "call",
    [
        "os.truncate(path, 0)",
        "os.link(path, path + 'l')",
        "os.writev(os.open(path, os.O_RDWR), [b'a'])",
        "os.sendfile(os.open(path, os.O_RDWR), os.open('/etc/passwd', os.O_RDONLY), 0, 9)",
        "mmap.mmap(os.open(path, os.O_RDWR), 1)",
        "os.rename(path, sys.argv[1] + '/../elsewhere')",
        "os.chdir(sys.argv[1]); os.remove('f')",
    ],
)
def test_a_call_that_the_model_does_not_have_stops_the_recording(call: str, tmp_path: Path) -> None:
    root = tmp_path / "disk"
    root.mkdir()
    (root / "f").write_bytes(b"1")
    script = f"import mmap, os, sys\npath = sys.argv[1] + '/f'\n{call}"
    with pytest.raises(NotUnderstood):
        record([sys.executable, "-c", script, str(root)], root, tmp_path / "log")


def test_the_one_command_tells_its_figures() -> None:
    words = [sys.executable, "-m", "tests.powercut", "--states", "60", "--only", "first start"]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "| first start |" in done.stdout
    assert "60 states" in done.stdout
