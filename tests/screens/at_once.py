"""`python -m tests.screens.at_once`: one hand types without pause while another scans, on the real program in a real
terminal; tells how many scans and letters came through."""

from __future__ import annotations

import os
import sys
import tempfile
import time
from contextlib import ExitStack, contextmanager, suppress
from functools import partial
from pathlib import Path
from random import Random
from subprocess import Popen
from typing import TYPE_CHECKING, NamedTuple

import click

from labels.code import Kind, make
from reassembly.job.entries import BagPacked, JobOpened, LabelSeen, PartRemoved
from tests.screens.bench import new_desk
from tests.screens.terminal import AT_MOST_SCANNED, ENTER, Terminal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.record.desk import Desk

WORDS = (
    "gearbox pan", "Centre bearing bracket", "crossmember", "drain plug", "XSHFT plng", "heat shield",
    "prop shaft", "Flange nut", "snap ring", "selector fork", "breather", "TCC solenoid",
)  # fmt: skip
SLIP = "\x7f"
QUIET = 2.0  # seconds in which nothing more is kept
IDLE, BUSY = ("-m", "reassembly", "--data"), ("-m", "tests.screens.busy")
"""The program as it is, and with a screen that stands still for 120 of every 200 ms."""


class Sent(NamedTuple):
    """What came at which second, from whom."""

    at: float
    key: str


class Story(NamedTuple):
    """All keys in the order of their times, and what has to come of them."""

    keys: list[Sent]
    codes: list[str]
    names: list[str]
    among: int
    """How many keys of the hand came among those of a scan."""


def story(scans: int, bench: str, chance: Random) -> Story:
    """A scanner at 0 to 12 ms a key, a scan after 0.1 to 0.5 s; beside it a hand at 12 to 200 ms, often rolling over
    two keys, with slips taken back, that ends each name with Enter."""
    codes = [make(Kind.BAG, bench, chance.randrange(1 << 20)) for _ in range(scans)]
    scanned, spans, at = [], [], 0.5
    for code in codes:
        gap = chance.choice((0.0, 0.002, 0.005, 0.008, 0.012))
        at += chance.uniform(0.1, 0.5)
        spans.append((at, at + gap * len(code)))
        for key in code + ENTER:
            scanned.append(Sent(at, key))
            at += gap
    typed: list[Sent] = []
    names: list[str] = []
    now = 0.2
    while now < at:
        name = f"{chance.choice(WORDS)} {len(names) + 1}"
        for key in name + ENTER:
            slip = chance.choice("aeiklnrst") + SLIP if chance.random() < 0.02 and key != ENTER else ""
            for pressed in (*slip, key):
                now += chance.choice((0.012, 0.03, 0.07, 0.1, 0.14, 0.2)) if pressed != SLIP else 0.15
                typed.append(Sent(now, pressed))
        names.append(name)
    among = sum(begun < key.at < ended for begun, ended in spans for key in typed)
    return Story(sorted([*scanned, *typed], key=lambda key: key.at), codes, names, among)


class Outcome(NamedTuple):
    """What went wrong, each in a line, and how it was."""

    wrong: list[str]
    story: Story
    seconds: float
    late: int
    """Keys sent so late that a scanner's pause became a finger's: nothing is known of the program by these."""


def run(folder: Path, scans: int, seed: int, program: tuple[str, ...] = BUSY) -> Outcome:
    with new_desk(folder) as desk:
        told = story(scans, desk.bench, Random(seed))
        desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881"))
        desk.say(PartRemoved(part="undertray", name="undertray"))
        for code in told.codes:  # an unused label over a half-typed line is a question
            desk.say(BagPacked(bag=code, parts=("undertray",)))
        with Terminal(*program, str(desk.path)) as terminal:
            terminal.shows("Kestrel van", "Open")
            terminal.send(ENTER)
            terminal.shows("Strip-down: what came off")
            terminal.send("s")
            terminal.shows("what came off?", "undertray")
            with punctual():
                sent = terminal.at_times((key.at, key.key) for key in told.keys)
            terminal.until(lambda: True)
            count = -1
            while count != (count := len(desk.job().entries)):  # until nothing more is kept
                terminal.until(partial(_later, time.monotonic() + QUIET))
        late = sum(then - key.at >= AT_MOST_SCANNED for then, key in zip(sent, told.keys, strict=True))
        return Outcome(_compare(desk, told), told, sent[-1], late)


def _later(than: float) -> bool:
    return time.monotonic() > than


def _compare(desk: Desk, told: Story) -> list[str]:
    bags = [e.fact.code for e in desk.job().said(LabelSeen)]
    names = [e.fact.name for e in desk.job().said(PartRemoved)][1:]
    return [
        *(f"code {code} never came" for code in told.codes if code not in bags),
        *(f"code {code} was never sent" for code in bags if code not in told.codes),
        *(f"{name!r} never came" for name in told.names if name not in names),
        *(f"{name!r} was never typed" for name in names if name not in told.names),
        *(["the order of the scans is another"] if sorted(bags) == sorted(told.codes) and bags != told.codes else []),
    ]


@contextmanager
def punctual() -> Iterator[None]:
    """No other process makes this one wait, where it may say so: scanner and keyboard know nothing of the load."""
    before = os.sched_getscheduler(0), os.sched_getparam(0)
    with suppress(PermissionError):
        os.sched_setscheduler(0, os.SCHED_FIFO, os.sched_param(1))
    try:
        yield
    finally:
        os.sched_setscheduler(0, *before)


@contextmanager
def loaded(processes: int) -> Iterator[None]:
    """With so many processes that compute without pause."""
    with ExitStack() as stack:
        for _ in range(processes):
            busy = stack.enter_context(Popen([sys.executable, "-c", "while True: pass"]))
            stack.callback(busy.kill)
        yield


@click.command()
@click.option("--scans", type=click.IntRange(1), default=500, show_default=True)
@click.option("--seed", type=int, default=1, show_default=True)
@click.option("--load", type=int, default=2, show_default=True, help="Processes that compute beside it.")
@click.option("--idle", is_flag=True, help="The screen never stands still.")
def main(scans: int, seed: int, load: int, idle: bool) -> None:
    """Exit code 1 where a scan or a letter was lost, altered or out of order."""
    with tempfile.TemporaryDirectory() as work, loaded(load):
        found = run(Path(work), scans, seed, IDLE if idle else BUSY)
    told = found.story
    for line in found.wrong:
        click.echo(line)
    click.echo(
        f"{len(told.codes)} scans and {sum(map(len, told.names))} letters of {len(told.names)} names in "
        f"{found.seconds:.0f} s, {told.among} of them among the keys of a scan, {load} processes beside, seed {seed}: "
        f"{found.late} sent too late, {len(found.wrong)} wrong"
    )
    sys.exit(bool(found.wrong))


if __name__ == "__main__":
    main()
