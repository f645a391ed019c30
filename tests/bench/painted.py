"""What a person waits for or pays for while the screens are open, in a real terminal."""

from __future__ import annotations

from time import sleep
from typing import TYPE_CHECKING

from reassembly.job.entries import BagPacked
from reassembly.record.desk import Desk
from reassembly.record.place import FOLDER
from tests.bench.measure import Row, by_turns
from tests.bench.terminal import Terminal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

    from tests.bench.records import Records

_FIRST_SCREEN = ("Workshop", "Check a vehicle in", "Find")
_IDLE = 20.0  # seconds
_FOLLOWS = 0.05  # seconds in which what a paint left to be done is done


def start(records: Records) -> Iterator[Row]:
    """From the command to a first screen that shows its keys."""

    def bare(_turn: int) -> float:
        with Terminal("tests.bench.bare") as terminal:
            return terminal.until_painted(["ready", "Quit"]) - terminal.began

    def ours(folder: Path) -> float:
        with _bench(folder) as terminal:
            return terminal.until_painted(_FIRST_SCREEN) - terminal.began

    floor, small, large = by_turns(15, bare, lambda _: ours(records.small), lambda _: ours(records.large))
    yield Row("start to first screen, one week's record", floor * 1000, small * 1000, "ms", 1.3)
    yield Row(f"start to first screen, {records.years} years", floor * 1000, large * 1000, "ms", 1.3)


def scan(records: Records) -> Iterator[Row]:
    """From the burst of a scanner to its answer painted on the refit screen; the floor from a key to a painted text.

    The answer takes the whole screen, so a key that fills the whole screen is a second floor.
    """
    with (
        Terminal("tests.bench.bare") as line,
        Terminal("tests.bench.bare") as full,
        _bench(records.small) as small,
        _bench(records.large) as large,
    ):
        scans_small, scans_large = _at_refit(small, records.small), _at_refit(large, records.large)
        floor, whole, few, many = by_turns(60, presses(line, "x"), presses(full, "w"), scans_small, scans_large)
    yield Row("scan to painted answer, one week's record", floor * 1000, few * 1000, "ms", 1.5)
    yield Row(f"scan to painted answer, {records.years} years", floor * 1000, many * 1000, "ms", 1.5)
    yield Row("the same; floor: a key that fills the screen", whole * 1000, many * 1000, "ms", None)


def processor(records: Records) -> Iterator[Row]:
    """Start and scan again by the processor time that they take, which tells the same on a machine that others use."""

    def started(begin: Callable[[], Terminal], words: Sequence[str]) -> Callable[[int], float]:
        def measure(_turn: int) -> float:
            with begin() as terminal:
                terminal.until_painted(words)
                return terminal.cost().processor

        return measure

    bare = started(lambda: Terminal("tests.bench.bare"), ("ready", "Quit"))
    floor, large = by_turns(7, bare, started(lambda: _bench(records.large), _FIRST_SCREEN))
    yield Row("start to first screen, processor time", floor * 1000, large * 1000, "ms", None)
    with Terminal("tests.bench.bare") as line, Terminal("tests.bench.bare") as full, _bench(records.large) as bench:
        scans = _at_refit(bench, records.large)
        bench.memory()
        floor, whole, many = by_turns(
            40, _spent(line, presses(line, "x")), _spent(full, presses(full, "w")), _spent(bench, scans)
        )
    yield Row("scan to painted answer, processor time", floor * 1000, many * 1000, "ms", None)
    yield Row("the same; floor: a key that fills the screen", whole * 1000, many * 1000, "ms", None)


def _spent(terminal: Terminal, work: Callable[[int], float]) -> Callable[[int], float]:
    """Processor time in seconds, with what follows the paint."""

    def measure(turn: int) -> float:
        before = terminal.cost().processor
        work(turn)
        sleep(_FOLLOWS)
        return terminal.cost().processor - before

    return measure


def presses(bare: Terminal, key: str) -> Callable[[int], float]:
    """Seconds from a key to the text that counts it."""
    bare.until_painted(["ready", "Quit"])

    def press(turn: int) -> float:
        at = bare.type(key)
        return bare.until_painted([f"painted {turn + 1}."]) - at

    return press


def memory(records: Records) -> Iterator[Row]:
    """Resident, on the refit screen after some scans, when the heavy libraries are loaded."""
    with Terminal("tests.bench.bare") as bare, _bench(records.large) as large:
        bare.until_painted(["ready", "Quit"])
        scan = _at_refit(large, records.large)
        for turn in range(10):
            scan(turn)
        yield Row(f"memory, {records.years} years open", bare.memory() / 1e6, large.memory() / 1e6, "MB", 1.5)


def idle(records: Records) -> Iterator[Row]:
    """Processor time and painting on the refit screen while nobody does anything."""
    with Terminal("tests.bench.bare") as bare, _bench(records.large) as large:
        bare.until_painted(["ready", "Quit"])
        _at_refit(large, records.large)(0)
        bare.memory()
        large.memory()
        before = bare.cost(), large.cost()
        sleep(_IDLE)
        after = bare.cost(), large.cost()
    floor, ours = (1000 * (b.processor - a.processor) / _IDLE for a, b in zip(before, after, strict=True))
    yield Row("idle, processor time a second", floor, ours, "ms", 1.0)
    yield Row("idle, bytes painted", 1 + after[0].painted, 1 + after[1].painted, "(+1)", 1.0)


def _bench(folder: Path) -> Terminal:
    """At the first screen: it does not go back to where another row left it."""
    for left in (folder / FOLDER).glob("*.json"):
        left.unlink()
    return Terminal("reassembly", "--data", str(folder), "--who", "ann")


def _at_refit(terminal: Terminal, folder: Path) -> Scans:
    """Scan a bag at the bench, which opens refit; then two bags by turns, one of them always too early."""
    with Desk.open(folder) as desk:
        job = desk.jobs(closed=False)[0].id
        bags = [entry.fact.bag for entry in desk.job(job).said(BagPacked)]
    terminal.until_painted(_FIRST_SCREEN)
    scans = Scans(terminal, (bags[0], bags[-1]))
    scans(-1)  # by turns: of an answer that stands already nothing is painted
    return scans


class Scans:
    """Seconds from a scan to its answer."""

    def __init__(self, terminal: Terminal, bags: tuple[str, str]) -> None:
        self._terminal = terminal
        self._bags = bags

    def __call__(self, turn: int) -> float:
        bag = self._bags[turn % 2]
        at = self._terminal.type(f"{bag}\r")
        return self._terminal.until_painted([f"scanned {bag[:5]} {bag[5:]}"]) - at
