"""The programs that are recorded. Each is given the folder, and writes what is kept to its standard output."""

ERASED = "Zephyrine Quillwright"

HEAD = f"""
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

OPENED = "at_desk().close()"

APPENDS = """
for day in range(3):
    with at_desk() as desk:
        strip_down(desk, 14)
"""

TWO = """
if len(sys.argv) > 2:
    with at_desk(who=sys.argv[2]) as desk:
        strip_down(desk, 16)
else:
    again = [sys.executable, "-c", sys.orig_argv[2], str(root)]
    children = [subprocess.Popen([*again, who]) for who in ("ann", "ben")]
    assert [child.wait() for child in children] == [0, 0]
"""

SIGN_OFF = """
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

CUSTOMER = """
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

PIECES = """
from random import Random
with at_desk() as desk:
    for n in range(20):
        words = "".join(Random(n).choices("abcdefghijklmnopqrstuvwxyz", k=1500))
        desk.open_new(JobOpened(vehicle="Kestrel van", registration=f"4TN {n:03}", complaint=words))
"""

TIDY = """
from reassembly.record import finding
finding.MOST_PIECES, finding.PAGES = 1, 4
with at_desk(pages=15) as desk:
    desk.journal.tidy()
    strip_down(desk, 2, desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 890")))
"""

LINES = """
lines = [
    b'{"who": "ben", "fact": {"kind": "PersonAdded", "person": "ben"}}',
    b'{"fact": {"kind": "PersonAdded", "person": "ann"}}',
    b'{"fact": {"kind": "JobOpened", "vehicle": "Kestrel van", "registration": "4TN 881"}}',
    b'{"fact": {"kind": "CustomerNamed"}, "details": {"name": "Jo Lark", "phone": "01632 960001"}}',
    *[b'{"fact": {"kind": "PartRemoved", "part": "p%d", "name": "bearing cap %d"}}' % (n, n) for n in range(30)],
]
for _ in range(3):
    words = ["--data", str(shop), "--who", "ann", "journal", "append", "--json"]
    subprocess.run([sys.executable, "-m", "reassembly", *words], input=b"\\n".join(lines), check=True)
"""

REFIT_BEGUN = """
from tests.screens.hands import told
with at_desk() as desk:
    told(desk)
"""

# Somebody at the refit screen presses the space bar and believes what is painted.
SCREENS = """
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
UPGRADE = f"""
schema.STEPS.update({NEWER!r})
with at_desk() as desk:
    strip_down(desk, 3)
"""

BACKUP = """
from reassembly.record.backup import backup
stick = root / "stick"
for n in range(2):
    with at_desk() as desk:
        strip_down(desk, 2)
        os.write(1, f"copied to {backup(desk.journal, stick).path.name}\\n".encode())
"""

BACKED_UP = """
from reassembly.record.backup import backup
pictures = shop / "photos"
with at_desk() as desk:
    strip_down(desk, 9)
    pictures.mkdir()
    for n in range(2):
        (pictures / f"{n}.png").write_bytes(bytes([n + 65]) * 3000)
    backup(desk.journal, root / "stick")
"""

RESTORE = """
from reassembly.record import copies
from reassembly.record.restore import restore
restore(copies.in_directory(root / "stick")[-1].path, root / "restored")
os.write(1, b"restored\\n")
"""

PHOTOS = """
from reassembly.record import durable, photos
from tests.record.camera import take
with at_desk() as desk:
    desk.open_new(JobOpened(vehicle="Kestrel van"))
    for n in range(4):
        photo = photos.keep(shop, take(root / "card" / f"{n % 3}.jpg", shade=40 * (n % 3), width=240, height=160))
        kept(desk.say(PhotoKept(digest=photo.digest, source=photo.source)))
"""

NAMED_EARLY = """
def put(path, data, mode=0o600):
    beside = path.with_name(path.name + durable.PART)
    beside.write_bytes(data)
    durable.into_place(beside, path)
durable.put = put
"""

NAME_NOT_SYNCED = "durable.sync = lambda folder: None\n"

ACKNOWLEDGED_EARLY = """
with at_desk() as desk:
    for n in range(20):
        with desk.journal.writing() as writing:
            kept(writing.say(CheckConfirmed(check=f"{n}.back"), who="ann", job="J-1"))
"""

SEARCH_ROWS_LATER = """
from reassembly.record import finding
note, finding.note = finding.note, lambda connection, entry, listed: None
with at_desk() as desk:
    for n in range(9):
        entry = desk.say(PartRemoved(part=f"p{n}", name="bearing cap"), job="J-1")
        with desk.journal.folder.writing() as connection:
            note(connection, entry, set())
        kept(entry)
"""

MIGRATED_BY_HAND = f"""
import sqlite3
connection = sqlite3.connect(shop / "shop.db", isolation_level=None)
for statement in {NEWER["trial"]!r}:
    connection.execute(statement)
step = "insert into _sqlite_migrations (migration_set, name, applied_at) values ('reassembly', 'trial', '')"
connection.execute(step)
kept()
"""

USUAL_LOG = "schema.PRAGMAS['journal_mode'] = 'delete'\n"
