"""What is recorded: the real program at work, and set-ups broken on purpose that have to be found out."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from reassembly.record import copies, heads, schema
from reassembly.record.backup import reading
from reassembly.record.proof import prove
from reassembly.record.restore import restore
from reassembly.record.trouble import Trouble
from tests.powercut import looking
from tests.powercut.looking import Kept

Look = Callable[[Path, Sequence[str]], list[str]]
"""The folder after a cut and what was said before it -> what is wrong, in words."""


class Scenario(NamedTuple):
    """`script` is run with the folder as its argument, after `before` was run unrecorded. `look` is made when all is
    done, and is given the folder as it then stands."""

    script: str
    before: str = ""
    look: Callable[[Path], Look] = lambda root: _shop(root)

    @property
    def command(self) -> list[str]:
        return [sys.executable, "-c", _HEAD + self.script]


ERASED = "Zephyrine Quillwright"

_HEAD = f"""
import os, subprocess, sys
from pathlib import Path
from reassembly.job.entries import *
from reassembly.record import schema
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk

root = Path(sys.argv[1])
shop = root / "shop"
ERASED = {ERASED!r}

def kept(*entries):
    os.write(1, (" ".join(entry.id for entry in entries) + "\\n").encode())

def at_desk(who="ann", pages=40):
    desk = Desk.open(shop, who=who)
    with desk.journal.folder.reading() as connection:  # checkpoints as often as a long day has them
        connection.execute(f"pragma wal_autocheckpoint = {{pages}}")
    return desk

def strip_down(desk, count, job="J-1"):
    for n in range(count):
        note = "x" * (n * 97 % 700)
        kept(desk.say(PartRemoved(part=f"{{desk.who}}{{n}}", name=f"bearing cap {{n}}", note=note), job=job))
        if n % 3 == 0:
            kept(desk.say(CheckConfirmed(check=f"{{n}}.back"), job=job))
"""

_OPENED = "at_desk().close()"

_APPENDS = """
for day in range(3):
    with at_desk() as desk:
        strip_down(desk, 14)
"""

_TWO = """
if len(sys.argv) > 2:
    with at_desk(who=sys.argv[2]) as desk:
        strip_down(desk, 16)
else:
    again = [sys.executable, "-c", sys.orig_argv[2], str(root)]
    children = [subprocess.Popen([*again, who]) for who in ("ann", "ben")]
    assert [child.wait() for child in children] == [0, 0]
"""

_SIGN_OFF = """
with at_desk() as desk:
    job = desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    kept(desk.say(PersonAdded(person="ann")), desk.say(PersonAdded(person="ben")))
    removed = desk.say(PartRemoved(part="pan", name="gearbox pan"))
    kept(removed, desk.say(BagPacked(bag="BKDBBBBBCG", parts=("pan",))))
    kept(desk.say(CheckConfirmed(check=f"{removed.id}.back")))
    kept(desk.say(SignedOff(covers={bench: head.number for bench, head in desk.heads().items()})))
with at_desk() as desk:
    kept(desk.say(JobReopened(why="a drop of oil"), job=job))
    kept(desk.say(EntryStruck(entry=removed.id, why="it was the lid"), job=job))
    kept(desk.say(SignedOff(covers={bench: head.number for bench, head in desk.heads().items()}), job=job))
"""

_CUSTOMER = """
with at_desk(pages=15) as desk:
    for n, name in enumerate(("Jo Lark", ERASED, "Ng Ai")):
        job = desk.open_new(JobOpened(vehicle="Kestrel van", registration=f"4TN 88{n}"))
        kept(desk.say(CustomerNamed(digest=""), details=Customer(name=name, phone=f"01632 96000{n}")))
        strip_down(desk, 3, job)
        if name == ERASED:
            kept(desk.say(CustomerNamed(digest=""), details=Customer(name=name, email="z@lark.example")))
            kept(*desk.erase(job, "the customer asked"))
    strip_down(desk, 3, job)
"""

_LINES = """
lines = [
    b'{"who": "ben", "fact": {"kind": "PersonAdded", "person": "ben"}}',
    b'{"fact": {"kind": "JobOpened", "vehicle": "Kestrel van", "registration": "4TN 881"}}',
    b'{"fact": {"kind": "CustomerNamed"}, "details": {"name": "Jo Lark", "phone": "01632 960001"}}',
    *[b'{"fact": {"kind": "PartRemoved", "part": "p%d", "name": "bearing cap %d"}}' % (n, n) for n in range(30)],
]
for _ in range(3):
    words = ["--data", str(shop), "--who", "ann", "journal", "append", "--json"]
    subprocess.run([sys.executable, "-m", "reassembly", *words], input=b"\\n".join(lines), check=True)
"""

_REFIT_BEGUN = """
from tests.screens.hands import told
with at_desk() as desk:
    told(desk)
"""

# Somebody at the refit screen presses the space bar and believes what is painted.
_SCREENS = """
import asyncio
from tests.screens.bench import at_bench
from reassembly.screens.refit import RefitScreen

async def work(desk):
    async with at_bench(desk) as bench:
        desk.open_job = desk.jobs("4TN 881")[0].id
        bench.app.push_screen(RefitScreen())
        await bench.settled()
        for _ in range(3):
            await bench.press("space")
            assert "kept: confirmed" in bench.painted(), bench.painted()
            ((name, head),) = desk.heads().items()
            os.write(1, f"{name}.{head.number}\\n".encode())

with at_desk(pages=10) as desk:
    asyncio.run(work(desk))
"""

# A step that a newer version might have: the file of an older one is brought up to it, then work goes on.
NEWER = {"trial": ("create table trial (a text) strict", "create index trial_a on trial (a)")}
_UPGRADE = f"""
schema.STEPS.update({NEWER!r})
with at_desk() as desk:
    strip_down(desk, 3)
"""

_BACKUP = """
from reassembly.record.backup import backup
stick = root / "stick"
for n in range(2):
    with at_desk() as desk:
        strip_down(desk, 2)
        os.write(1, f"copied to {backup(desk.journal, stick).path.name}\\n".encode())
"""

_BACKED_UP = """
from reassembly.record.backup import backup
pictures = shop / "photos"
with at_desk() as desk:
    strip_down(desk, 9)
    pictures.mkdir()
    for n in range(2):
        (pictures / f"{n}.png").write_bytes(bytes([n + 65]) * 3000)
    backup(desk.journal, root / "stick")
"""

_RESTORE = """
from reassembly.record import copies
from reassembly.record.restore import restore
restore(copies.in_directory(root / "stick")[-1].path, root / "restored")
os.write(1, b"restored\\n")
"""

_PICTURE = """
pictures = root / "pictures"
for n in range(4):
    content = bytes([n + 65]) * 3000
    part = pictures / f"{n}.part"
    with part.open("wb") as file:
        file.write(content)
        file.flush()
        SYNC_FILE
    part.rename(pictures / f"{n}.png")
    SYNC_NAME
    os.write(1, f"kept {n}.png\\n".encode())
"""


def _shop(root: Path) -> Look:
    final = Kept.in_folder(root / "shop")
    return lambda cut, said: looking.faults(cut / "shop", final, said, ERASED.encode())


def _upgraded(root: Path) -> Look:
    @contextmanager
    def newer() -> Iterator[None]:
        schema.STEPS.update(NEWER)
        try:
            yield
        finally:
            for name in NEWER:
                del schema.STEPS[name]

    with newer():
        final = Kept.in_folder(root / "shop")
    return newer()(lambda cut, said: looking.faults(cut / "shop", final, said))


def _backed_up(root: Path) -> Look:
    shop = _shop(root)

    def look(cut: Path, said: Sequence[str]) -> list[str]:
        found = shop(cut, said)
        stick = cut / "stick"
        there = copies.in_directory(stick) if stick.is_dir() else []
        for copy in there:
            with reading(copy.path) as connection:
                found += [f"{copy.path.name}: {wrong}" for wrong in prove(connection, copy.path.name[:2])]
                found += heads.compare(connection, [heads.read(copies.heads_beside(copy.path))])
        names = {copy.path.name for copy in there}
        promised = [text.removeprefix("copied to ").strip() for text in said if text.startswith("copied to ")]
        return found + [f"{name} was promised and is gone" for name in promised if name not in names]

    return look


def _restored(root: Path) -> Look:
    final, pictures = Kept.in_folder(root / "restored"), _pictures(root / "restored")
    (name,) = [copy.path.name for copy in copies.in_directory(root / "stick")]

    def look(cut: Path, said: Sequence[str]) -> list[str]:
        restored = cut / "restored"
        if not (restored / "shop.db").exists():
            if said:
                return ["what was restored is gone"]
            try:
                restore(cut / "stick" / name, restored)
            except Trouble as trouble:
                return [f"it cannot be restored again: {trouble}"]
        found = looking.faults(restored, final, sorted(final.bodies))
        return found if _pictures(restored) == pictures else [*found, "pictures are not as they were"]

    return look


def _pictures(shop: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in (shop / "photos").glob("*")}


def _pictured(_: Path) -> Look:
    """Photos whole or not there. They are not kept yet: when they are, this look goes into the scenario that keeps one
    through the real program."""

    def look(cut: Path, said: Sequence[str]) -> list[str]:
        named = {path.name: path.read_bytes() for path in (cut / "pictures").glob("*.png")}
        found = [f"{name} is not whole" for name, data in named.items() if data != bytes([int(name[0]) + 65]) * 3000]
        return found + [f"{t.split()[1]} was promised and is gone" for t in said if t.split()[1] not in named]

    return look


_FOLDER_SYNC = "handle = os.open(pictures, os.O_RDONLY); os.fsync(handle); os.close(handle)"


def _picture(*, file: bool, name: bool) -> Scenario:
    script = _PICTURE.replace("SYNC_FILE", "os.fsync(file.fileno())" if file else "pass")
    script = script.replace("SYNC_NAME", _FOLDER_SYNC if name else "pass")
    return Scenario(script, "(root / 'pictures').mkdir()", _pictured)


SCENARIOS = {
    "picture, as it should be": _picture(file=True, name=True),
    "appends": Scenario(_APPENDS, _OPENED),
    "two processes": Scenario(_TWO, _OPENED),
    "sign-off": Scenario(_SIGN_OFF, _OPENED),
    "customer erased": Scenario(_CUSTOMER, _OPENED),
    "journal append": Scenario(_LINES),
    "screens": Scenario(_SCREENS, _REFIT_BEGUN),
    "first start": Scenario(_APPENDS.replace("range(3)", "range(1)").replace("14", "2")),
    "migration": Scenario(_UPGRADE, "with at_desk() as desk: strip_down(desk, 3)", _upgraded),
    "backup": Scenario(_BACKUP, _OPENED, _backed_up),
    "restore": Scenario(_RESTORE, _BACKED_UP, _restored),
}
"""In all of these no cut may lose anything."""

_USUAL_LOG = "schema.PRAGMAS['journal_mode'] = 'delete'\n"

BROKEN = {
    "synchronous off": Scenario("schema.PRAGMAS['synchronous'] = 0\n" + _APPENDS, _OPENED),
    "acknowledged before commit": Scenario(
        """
with at_desk() as desk:
    for n in range(20):
        with desk.journal.writing() as writing:
            kept(writing.say(CheckConfirmed(check=f"{n}.back"), who="ann", job="J-1"))
""",
        _OPENED,
    ),
    "SQLite's usual log": Scenario(_USUAL_LOG + _APPENDS, _USUAL_LOG + _OPENED),
    "picture named before it is on the disk": _picture(file=False, name=True),
    "picture promised before its name is on the disk": _picture(file=True, name=False),
}
"""In each of these the harness has to find a cut that loses something."""
