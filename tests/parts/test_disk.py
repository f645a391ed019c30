"""The data folder on real disks that are full, read-only or somebody else's, mounted in a namespace of their own."""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

HEAD = """
import os
import subprocess
import sys
from pathlib import Path
from reassembly.job.entries import PartRemoved
from reassembly.record import lines
from reassembly.record.desk import Desk
from reassembly.record.trouble import Trouble

def part(n):
    return PartRemoved(part=f"p{n}", name="x" * 200)

def trouble(call):
    try:
        call()
    except Trouble as told:
        return str(told)
    raise SystemExit("no trouble was told")

def mount(*words):
    subprocess.run(["mount", *words], check=True)

disk = Path(sys.argv[1])
"""

FULL = """
mount("-t", "tmpfs", "-o", "size=1m", "none", str(disk))
desk = Desk.open(disk / "shop", who="ann")
said = [desk.say(part(0), job="J-1")]
with open(disk / "filler", "wb", buffering=0) as filler:
    try:
        while True:
            filler.write(b"x" * 4096)
    except OSError:
        pass
try:
    while True:
        said.append(desk.say(part(len(said)), job="J-1"))
except Trouble as told:
    assert "is full: make room on it" in str(told) or "cannot grow" in str(told), told
assert list(desk.job("J-1").entries) == said
trouble(lambda: desk.say(part(9), job="J-1"))
trouble(lambda: Desk.open(disk / "another"))
(disk / "filler").unlink()
said.append(desk.say(part(len(said)), job="J-1"))
assert list(desk.job("J-1").entries) == said
assert desk.verify() == []
desk.close()
with Desk.open(disk / "shop") as again:
    assert list(again.job("J-1").entries) == said
Desk.open(disk / "another").close()
"""

LAST_WORDS = """
mount("-t", "tmpfs", "-o", "size=4m", "none", str(disk))
desk = Desk.open(disk / "shop", who="ann")
said = [desk.say(part(0), job="J-1")]
assert desk.warning == ""
assert (disk / "shop" / "shop.reserve").stat().st_blocks * 512 == 256 << 10  # held in truth, not a hole
with open(disk / "filler", "wb", buffering=0) as filler:
    try:
        while True:
            filler.write(b"x" * 4096)
    except OSError:
        pass
desk.close()
desk = Desk.open(disk / "shop", who="ann")  # to open it takes room too
for n in range(5):
    said.append(desk.say(part(len(said)), job="J-1"))
    assert "is full. All that was said is kept" in desk.warning, desk.warning
assert not (disk / "shop" / "shop.reserve").exists()
assert list(desk.job("J-1").entries) == said
desk.close()
with Desk.open(disk / "shop", who="ann") as again:  # the next day, the disk as full as before
    assert "is full" in again.warning
    said.append(again.say(part(len(said)), job="J-1"))
(disk / "filler").unlink()
with Desk.open(disk / "shop", who="ann") as again:
    assert again.warning == ""
    said.append(again.say(part(len(said)), job="J-1"))
    assert (disk / "shop" / "shop.reserve").exists()
    assert list(again.job("J-1").entries) == said
    assert again.verify() == []
"""

READ_ONLY = """
mount("-t", "tmpfs", "none", str(disk))
with Desk.open(disk / "shop", who="ann") as desk:
    said = desk.say(part(0), job="J-1")
mount("-o", "remount,ro", str(disk))
told = trouble(lambda: Desk.open(disk / "shop"))
assert "can only be read: make it writable" in told, told
told = trouble(lambda: Desk.open(disk / "new"))
assert "can only be read" in told, told
mount("-o", "remount,rw", str(disk))
with Desk.open(disk / "shop", who="ann") as desk:
    assert desk.say(part(1), job="J-1").number == said.number + 1
"""

READ_ONLY_WHILE_OPEN = """
(disk / "shop").mkdir()
mount("--bind", str(disk / "shop"), str(disk / "shop"))
desk = Desk.open(disk / "shop", who="ann")
said = desk.say(part(0), job="J-1")
desk.close()
mount("-o", "remount,bind,ro", str(disk / "shop"))
told = trouble(lambda: desk.say(part(1), job="J-1"))
assert "can only be read" in told, told
mount("-o", "remount,bind,rw", str(disk / "shop"))
assert desk.say(part(1), job="J-1").number == said.number + 1
assert desk.verify() == []
desk.close()
"""

NO_PERMISSION = """
import sqlite_utils  # the user it becomes may not reach the library
if os.getuid() == 0:  # who may do everything is never refused
    os.chown(disk, 65534, 65534)
    os.setgid(65534)
    os.setuid(65534)
shop = disk / "shop"
with Desk.open(shop, who="ann") as desk:
    said = [desk.say(part(0), job="J-1")]
os.chmod(shop, 0o000)
assert "no permission" in trouble(lambda: Desk.open(shop))
os.chmod(shop, 0o700)
os.chmod(shop / "shop.db", 0o400)
with Desk.open(shop, who="ann") as desk:
    told = trouble(lambda: desk.say(part(1), job="J-1"))
    assert "can only be read" in told, told
    assert list(desk.job("J-1").entries) == said
    assert len(list(lines.dump(desk.journal, details=True))) == 1
    for file in shop.glob("shop.db*"):  # those beside it were made with its permissions
        os.chmod(file, 0o600)
    said.append(desk.say(part(1), job="J-1"))
    assert list(desk.job("J-1").entries) == said
os.chmod(shop / "shop.db", 0o000)
told = trouble(lambda: Desk.open(shop))
assert "cannot be opened: look at the permissions" in told, told
"""


def may_mount() -> bool:
    if shutil.which("unshare") is None or shutil.which("mount") is None:
        return False
    words = ["unshare", "-rm", "mount", "-t", "tmpfs", "none", "/mnt"]
    return subprocess.run(words, capture_output=True, check=False).returncode == 0


def run(script: str, disk: Path, *before: str) -> None:
    done = subprocess.run(
        [*before, sys.executable, "-c", HEAD + script, disk], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    "script",
    [FULL, LAST_WORDS, READ_ONLY, READ_ONLY_WHILE_OPEN],
    ids=["full", "full, with a reserve", "read-only", "read-only under an open desk"],
)
def test_a_disk_that_will_not_take_it_loses_nothing_and_the_desk_goes_on(script: str, tmp_path: Path) -> None:
    if not may_mount():
        pytest.skip("this user may not mount a disk of its own")
    run(script, tmp_path, "unshare", "-rm")


def test_what_this_user_may_not_write_or_read_is_told() -> None:
    with tempfile.TemporaryDirectory() as disk:  # whoever runs the tests, others can reach a folder here
        run(NO_PERMISSION, Path(disk))
