"""`python -m tests.parts.killing`: kill -9 the real program while it opens, says and closes, a thousand times."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

import click

from reassembly.record import finding
from tests.record.bench import desk_in

# Forks children that say facts and acknowledge each on a pipe, kills each at a random moment, and looks whether the
# journal holds what was acknowledged. In a process of its own: a fork must not carry a database connection along.
NURSERY = """
import os
import random
import signal
import sys
import time
from pathlib import Path
from reassembly.job.entries import CheckConfirmed, CustomerNamed, PartRemoved
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk

folder, kills, seed, early = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]), sys.argv[4] == "True"
chance = random.Random(seed)

def live(kill, hear):
    while True:
        with Desk.open(folder, who="ann") as desk:
            for n in range(50):
                fact, details = CheckConfirmed(check=f"{kill}"), None
                if n % 5 == 1:
                    fact = PartRemoved(part=f"p{kill}.{n}", name="bearing cap")
                if n % 25 == 2:
                    fact, details = CustomerNamed(digest=""), Customer(name=f"Jo {kill}")
                if early:
                    with desk.journal.writing() as writing:
                        entry = writing.say(CheckConfirmed(check="early"), who="ann", job="J-1")
                        os.write(hear, f"{entry.id}\\n".encode())
                        time.sleep(0.001)
                else:
                    entry = desk.say(fact, job="J-1", details=details)
                    os.write(hear, f"{entry.id}\\n".encode())

acknowledged, lost, while_saying = set(), set(), 0
for kill in range(kills):
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        os.close(reading)
        live(kill, writing)
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
    while_saying += bool(ids)
    acknowledged |= ids
    with Desk.open(folder, who="ben") as desk:
        kept = {f"{bench}.{number}" for bench, number, _ in desk.journal.bodies("J-1")}
    lost |= acknowledged - kept
    if len(kept) - len(acknowledged) > kill + 1:
        sys.exit(f"{len(kept)} kept of {len(acknowledged)} acknowledged: more than one for each kill")
print(len(acknowledged), while_saying, *sorted(lost))
"""


class Outcome(NamedTuple):
    kills: int
    while_saying: int
    """Kills of a program that had acknowledged something already."""
    acknowledged: int
    found: list[str]
    """What is wrong, in words."""


def kill(place: Path, kills: int, seed: int, *, early: bool = False) -> Outcome:
    """Kill that many programs in two folders at once; `early` ones acknowledge before they commit."""
    folders = [place / "one", place / "two"]
    nurseries = [
        subprocess.Popen(
            [sys.executable, "-c", NURSERY, folder, str(kills // 2), str(seed + at), str(early)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for at, folder in enumerate(folders)
    ]
    told = [(nursery.communicate(), nursery.returncode) for nursery in nurseries]
    acknowledged, while_saying, found = 0, 0, []
    for folder, ((out, err), code) in zip(folders, told, strict=True):
        if code:
            raise RuntimeError(err[-3000:])
        count, saying, *lost = out.split()
        acknowledged += int(count)
        while_saying += int(saying)
        found += [f"{name} was acknowledged and is gone" for name in lost]
        with desk_in(folder) as desk:
            found += desk.verify()
            with desk.journal.folder.writing() as connection:
                before = finding.contents(connection)
                finding.rebuild(connection)
                if finding.contents(connection) != before:
                    found.append("the search tables differ from rebuilt ones")
    return Outcome(kills // 2 * 2, while_saying, acknowledged, found)


@click.command()
@click.option("--kills", type=click.IntRange(2), default=1000, show_default=True)
@click.option("--seed", type=int, default=1, show_default=True)
def main(kills: int, seed: int) -> None:
    """Exit code 1 where something acknowledged was lost, or something is not as it was said."""
    begun = time.monotonic()
    with tempfile.TemporaryDirectory() as place:
        outcome = kill(Path(place), kills, seed)
    for sentence in outcome.found:
        click.echo(sentence)
    click.echo(
        f"{datetime.now().astimezone():%Y-%m-%d}: {outcome.kills} kills, {outcome.while_saying} of them while saying, "
        f"{outcome.acknowledged} acknowledged, {len(outcome.found)} found wrong, {time.monotonic() - begun:.0f} s"
    )
    sys.exit(bool(outcome.found))


if __name__ == "__main__":
    main()
