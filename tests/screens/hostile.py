"""`python -m tests.screens.hostile`: random keys, scans, pastes, touches and resizes through the real screens.

What is sent follows from the seed; what comes of it may depend on the pace of the machine, so that a failure tells the
last inputs and the screen.
"""

from __future__ import annotations

import asyncio
import json
import random
import tempfile
import time
from collections import deque
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click
from textual import events
from textual.geometry import Size

from labels.code import Code
from labels.code import read as read_code
from reassembly.job.entries import SignedOff
from reassembly.record.cards import CARDS
from reassembly.record.demo.build import build
from reassembly.record.desk import Desk
from reassembly.record.printing import code_of
from reassembly.record.verifying import verify
from tests.record.camera import bomb, take
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from collections.abc import Iterator

SIZES = [(50, 15), (66, 20), (80, 24), (100, 30), (200, 50), (80, 12), (120, 10), (40, 12), (20, 6), (1, 1)]
MOVES = ["up", "down", "left", "right", "pageup", "pagedown", "home", "end", "tab", "shift+tab", "backspace", "delete"]
CONTROLS = ["ctrl+p", "ctrl+a", "ctrl+k", "ctrl+u", "ctrl+z", "ctrl+b", "ctrl+j", "insert"]
OTHERS = [*(f"f{n}" for n in range(1, 13)), *CONTROLS]
PRINTED = "abcdefghijklmnopqrstuvwxyzABCXYZ0123456789 ,.;:-/?*+=%[](){}<>\"'äß€·"
HOSTILE = [
    "[b]x[/b] [/x] [@click=app.quit]go[/]",
    "\x1b[2J\x1b]0;title\x07\x9b31m",
    "\u202etxet\u2066 \u200b\u200f\ufeff",
    "\U0001f527\U0001f1e9\U0001f1ea e\u0301\u0301\u0301",
    "x" * 3000,
    "one\ntwo\nthree\n",
    "\x00\x01\x7f",
    "4 x M10x1.25x40 10.9, 60 Nm",
    "2026-13-45",
    "1e400 Nm",
    "-0",
]
FOREIGN = ["4006381333931", "https://example.invalid/x", "BBBBB", "bbbbb bbbbb", "KDTRBNVXCX", "55.2 Nm", "A", "-12,5"]
BETWEEN = 20
"""Inputs, after which the screens may catch up and are looked at."""
EPISODE = 1_000
"""Inputs, after which the terminal is left by Escape and a new one started."""
WAY_OUT = 60
"""Escapes that must lead to the bench from anywhere, with every form and list closed on the way."""


class Tally(NamedTuple):
    inputs: int
    entries: int
    starts: int
    seconds: float


def codes(desk: Desk) -> list[str]:
    """Every label in the workshop: bags, badges, wrenches, shelves, cards."""
    found = {code_of(card) for card in CARDS.values()}
    for _, _, body in desk.journal.bodies():
        words = json.dumps(json.loads(body)["fact"], ensure_ascii=False).split('"')
        found.update(word for word in words if isinstance(read_code(word), Code))
    return sorted(found)


def inputs(chance: random.Random, labels: list[str]) -> Iterator[tuple[str, str]]:
    """What a cat, a cleaning rag, a scanner and an enemy do, without end: (kind, what)."""
    kind = {"key": 46, "letter": 22, "enter": 7, "escape": 4, "scan": 9, "paste": 4, "touch": 5, "resize": 2, "hold": 1}
    while True:
        match chance.choices([*kind], [*kind.values()])[0]:
            case "key":
                yield "key", chance.choice([*MOVES, *MOVES, *OTHERS, "space", "space"])
            case "letter":
                yield "letter", chance.choice(PRINTED)
            case "scan":
                yield "scan", chance.choice(labels if chance.random() < 0.7 else FOREIGN)
            case "paste":
                yield "paste", chance.choice([*HOSTILE, *labels, f"{chance.choice(labels)}\n"])
            case "resize":
                yield "resize", str(chance.randrange(len(SIZES)))
            case "touch":
                yield "touch", f"{chance.randrange(100)},{chance.randrange(30)}"
            case "hold":
                yield "hold", chance.choice(["space", "enter", "a", "y", "x", "f9", "backspace"])
            case key:
                yield "key", key


def send(bench: Bench, kind: str, what: str) -> None:
    match kind:
        case "key":
            bench.key(what)
        case "letter":
            bench.burst(what)
        case "scan":
            bench.burst(what)
            bench.key("enter", 0)
        case "paste":
            bench.app.post_message(events.Paste(what))
        case "hold":
            for _ in range(12):
                bench.key(what, 0.033)
        case "resize":
            size = Size(*SIZES[int(what)])
            bench.app.post_message(events.Resize(size, size))
        case "touch":
            x, y = (int(each) for each in what.split(","))
            for sent in (events.MouseDown, events.MouseUp):
                bench.app.post_message(sent(None, x, y, 0, 0, 1, False, False, False, x, y))


async def episode(desk: Desk, given: Iterator[tuple[str, str]], count: int, chance: random.Random) -> None:
    """One terminal from its start to its end. Raises what the program raised, or AssertionError for a stuck screen."""
    last: deque[tuple[str, str]] = deque(maxlen=60)
    try:
        async with at_bench(desk, SIZES[chance.randrange(5)]) as bench:
            for n in range(count):
                last.append(next(given))
                send(bench, *last[-1])
                if n % BETWEEN == BETWEEN - 1:
                    if not bench.app.is_running:
                        return  # left by its own key
                    await bench.settled()
                    raw = {letter for letter in bench.painted() if ord(letter) < 32} - {"\n"}
                    assert not raw, f"{raw} painted on {bench.on()}:\n{bench.painted()!r}"
            for _ in range(WAY_OUT):
                if not bench.app.is_running or len(bench.app.screen_stack) == 1:
                    return
                bench.key("escape")
                await bench.settled()
            raise AssertionError(f"no way back to the bench from {bench.on()}:\n{bench.painted()}")
    except BaseException as error:
        error.add_note(f"the last inputs: {list(last)}")
        raise


def run(folder: Path, count: int, seed: int, every: int = EPISODE) -> Tally:
    """So many inputs into a demo workshop kept in an empty folder. Raises AssertionError for a job signed off by
    chance, for a journal that does not verify, and for what `episode` says."""
    chance = random.Random(seed)
    began = time.monotonic()
    build(folder, datetime.now(UTC))
    for n in range(12):  # of which some cannot be kept
        take(folder / "photos-in" / f"{n}.jpg", shade=10 * n, width=240, height=160)
        (folder / "photos-in" / f"broken {n}.png").write_bytes(bomb(n * 4000, n * 4000))
    sent = starts = 0
    with Desk.open(folder, who="ann") as desk:
        before = signed(desk)
        given = inputs(chance, codes(desk))
        while sent < count:
            asyncio.run(episode(desk, given, min(every, count - sent), chance))
            sent, starts = sent + every, starts + 1
            desk.who, desk.open_job = "ann", ""
        assert signed(desk) == before, "a job was signed off by chance"
        found = verify(desk.journal, whole=True).found
        assert not found, found
        entries = sum(1 for _ in desk.journal.bodies())
    return Tally(min(sent, count), entries, starts, time.monotonic() - began)


def signed(desk: Desk) -> int:
    return sum(1 for line in desk.jobs(limit=10_000) for _ in desk.job(line.id).said(SignedOff))


@click.command()
@click.option("--inputs", "count", default=1_000_000, show_default=True)
@click.option("--seed", default=1, show_default=True)
def main(count: int, seed: int) -> None:
    """Send random inputs to the real screens of a demo workshop, and say how it went."""
    with tempfile.TemporaryDirectory() as folder:
        tally = run(Path(folder) / "shop", count, seed)
    click.echo(
        f"{tally.inputs} inputs from seed {seed}, {tally.starts} starts, {tally.entries} entries kept, "
        f"{tally.seconds:.0f} s: no traceback, no sign-off, a way back from everywhere, the journal whole"
    )


if __name__ == "__main__":
    main()
