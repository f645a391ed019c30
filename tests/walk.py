"""Pictures of a whole job for hardware_notes/walk.md and the README: `python -m tests.walk` plays it, writes them."""

from __future__ import annotations

import asyncio
import re
import secrets
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING
from unittest import mock

from labels.code import Kind, make
from reassembly.job import entries as said
from reassembly.job.plan import plan
from reassembly.record.demo.person import WallClock
from reassembly.record.desk import Desk
from tests.screens.bench import Bench, at_bench
from tests.screens.test_touch import touch

if TYPE_CHECKING:
    from collections.abc import Iterator

NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
PICTURES = Path(__file__).parent.parent / "hardware_notes" / "pictures"
FLANGE = (
    "propshaft, rear flange, 4xM10x1.25x35 10.9 hex 15 renew safety, 30+60 Nm circle from rear order 1 3 2 4, "
    "manual p 212, white paint to pinion flange, 14 g hole 2"
)
STRIPPED = ("heat shield, 4 nuts M6 hex 10", FLANGE)
TYPING = "gearbox pan, 13xM6x20 8.8 hex 10, 4+8 Nm perimeter from below, manual p 118, renew gasket, clean faces"


class Album:
    """Writes what stands on the glass under a name. From one picture to the next the hands take ten minutes."""

    def __init__(self, bench: Bench, folder: Path, clock: WallClock) -> None:
        self._bench, self._folder, self._clock = bench, folder, clock

    def take(self, name: str) -> None:
        svg = self._bench.app.export_screenshot(title="reassembly")
        svg = re.sub(r"@font-face \{.*?\}", "", svg, flags=re.DOTALL)
        svg = re.sub(r"<circle [^>]*/>", "", svg)
        svg = re.sub(r"terminal-\d+", f"walk-{name}", svg).replace("Fira Code", "monospace")
        (self._folder / f"{name}.svg").write_text("\n".join(line.rstrip() for line in svg.splitlines()) + "\n", "utf-8")
        self._clock.moment += timedelta(minutes=10)


def bags(bench: str) -> Iterator[str]:
    return (make(Kind.BAG, bench, number) for number in range(1, 99))


async def tighten(bench: Bench) -> None:
    while bench.on() == "TightenScreen":
        await bench.press("y" if "LAST ONE" in bench.painted() else "space")


async def play(desk: Desk, folder: Path, clock: WallClock) -> None:
    """From check-in to sign-off by ann, ben making the second check."""
    ben = make(Kind.PERSON, desk.bench, 1)
    desk.say(said.PersonAdded(person="ann"))
    desk.say(said.PersonAdded(person="ben", badge=ben))
    for wrench, low, high in (("T1", "2 N.m", "20 N.m"), ("T3", "20 N.m", "150 N.m")):
        desk.say(said.WrenchAdded(wrench=wrench, low=low, high=high, name="click wrench"))
        desk.say(said.WrenchCalibrated(wrench=wrench, on="2026-01-10", until="2027-01-10"))
    labels = bags(desk.bench)
    async with at_bench(desk, (80, 24)) as bench:
        album = Album(bench, folder, clock)
        await bench.press("n")
        await bench.type("4TN 881")
        await touch(bench, "vehicle *")
        await bench.type("Kestrel van")
        await touch(bench, "complaint")
        await bench.type("hums at 80 km/h, leaves drops")
        album.take("1-check-in")
        await bench.press("enter", "enter", "s")
        for line in STRIPPED:
            await bench.type(line)
            await bench.press("enter")
            code = next(labels)
            await bench.scan(code)
        await bench.type(TYPING)
        await bench.settled()
        album.take("strip-down")
        await bench.press("enter")
        await bench.scan(next(labels))
        album.take("2-bag")
        packed = {p: e.fact.bag for e in desk.job().said(said.BagPacked) for p in e.fact.parts}
        await bench.press("escape")
        album.take("3-where-it-stands")
        await bench.press("r")
        await bench.scan(packed["propshaft, rear flange"])
        album.take("4-too-early")
        await bench.press("space")
        await bench.scan(packed["gearbox pan"])
        album.take("5-fit-now")
        bench.app.wrench = "T1"
        await bench.press("y", *["space"] * 5)
        album.take("6-tighten")
        await tighten(bench)
        bench.app.wrench = "T3"
        await bench.scan(packed["propshaft, rear flange"])
        await bench.press("space", "tab")
        await bench.type("7731")
        await bench.press("enter")
        album.take("refit")
        await bench.press("y", "space", "y")
        await tighten(bench)
        album.take("7-second-check")
        await bench.press("escape", "o")
        album.take("sign-off")
        await bench.press("escape", "r")
        await bench.scan(ben)
        await bench.scan(packed["heat shield"])
        await bench.press("y")
        while plan(desk.job()).open:
            await bench.press("space")
            if bench.on() == "FormScreen":
                await bench.type("quiet at 80 km/h")
                await bench.press("enter")
        await bench.press("escape", "o", "f9")
        await bench.type("ann")
        await bench.press("enter")
        album.take("8-closed")


def main() -> None:
    """Everything that is drawn by chance or by the clock is the same at every run."""
    with TemporaryDirectory() as folder, mock.patch.object(secrets, "choice", lambda free: free[0]):
        clock = WallClock(NOW, seconds=0)
        with Desk.open(Path(folder), who="ann", now=clock, trusted=lambda: True) as desk:
            asyncio.run(play(desk, PICTURES, clock))


if __name__ == "__main__":
    time.tzset()
    main()
