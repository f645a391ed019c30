"""A refit with the scanner alone on the real program in a real terminal, on a machine too busy to answer at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.job.plan import plan
from reassembly.screens.step import capitals
from tests.screens.bench import new_desk
from tests.screens.scanning import ANSWERS, CARD, badges, strip_fifteen, tools
from tests.screens.terminal import ENTER, Terminal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from reassembly.job.checks import Check
    from reassembly.job.plan import Plan
    from reassembly.record.desk import Desk

pytestmark = pytest.mark.flaky(reruns=5, only_rerun="NotAScan")

GAP = 0.005
UNHURRIED = "20"  # a technician leaves more than a second between two scans of a card; here 50 ms stand for it


class Scanner:
    """Whoever holds the scanner: reads what the screen shows, and scans."""

    def __init__(self, terminal: Terminal, desk: Desk, job: str) -> None:
        self.terminal = terminal
        self.desk = desk
        self._job = job

    @property
    def refit(self) -> Plan:
        return plan(self.desk.job(self._job))

    def scan(self, code: str, *words: str) -> None:
        """One scan, and wait until the screen answers: with these words, or at all."""
        before = self.terminal.painted()
        self.terminal.keys(code + ENTER, [0.06, *[GAP] * len(code)])
        self.terminal.until(
            lambda: self.terminal.painted() != before and all(word in self.terminal.painted() for word in words),
            f"{code} was not answered with {words}",
        )

    def cards(self, *names: str) -> None:
        for name in names:
            self.scan(CARD[name])

    def shown(self) -> Check | None:
        """The open check that the screen asks for now."""
        lines = self.terminal.painted().splitlines()
        asked = next((line[6:].split("  ")[0].strip() for line in lines if line.startswith("> [ ] ")), "")
        called = lines[1].strip().split("  ")[0]
        step = next((s for s in self.refit.steps if capitals(s.part.name) == called), None)
        checks = step.checks if step else self.refit.last
        return next((c for c in checks if asked and c.open and capitals(c.wording).startswith(asked)), None)

    def moved_on(self) -> bool:
        """Whether the screen had moved on by itself, so that the first card said nothing yet."""
        return "\n NOW " in self.terminal.painted()

    def taken(self, check: Check) -> bool:
        """Whether it is kept, or more is asked on another screen."""
        now = self.refit.check(check.key)
        return (now is not None and not now.open) or "REFIT" not in self.terminal.painted().splitlines()[0]

    def tighten(self) -> None:
        """Position by position, stage by stage."""
        while "TIGHTEN" in self.terminal.painted().splitlines()[0]:
            self.cards("tight")

    def answer(self, badge: str) -> None:
        """Scan what answers the check on display, and wait until it is kept and another is shown."""
        self.terminal.until(self.shown, "no open check is shown")
        check = self.shown()
        assert check is not None
        match check.way:
            case "scan":
                self.scan(check.asked_by.fact.bag)
            case "second":
                self.cards("second")
                self.scan(badge)
            case "tighten":
                self.cards("tighten")
                self.tighten()
            case way:
                once, *more = ANSWERS.get(way, ("confirm",))
                self.cards(once)
                self.terminal.until(lambda: self.moved_on() or self.taken(check), f"{once} came to nothing")
                if self.moved_on():
                    self.cards(once)
                self.cards(*more)
        self.terminal.until(lambda: not self.refit.check(check.key).open, f"{check.wording} is still open")  # type: ignore[union-attr]

    def put_back(self, until: Callable[[Check], bool], badge: str) -> None:
        """One check after another, up to the first that is as asked, or to the last."""
        while self.refit.open:
            self.terminal.until(self.shown, "no open check is shown")
            if until(self.shown()):  # type: ignore[arg-type]
                return
            self.answer(badge)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with new_desk(tmp_path) as desk:
        yield desk


def test_fifteen_parts_go_back_by_scanner_alone(desk: Desk) -> None:
    """Ben refits what ann took off: undone and done again, put off with a reason, tightened position by position and a
    stage at once, looked at by ann. Never a key."""
    badge, tag, job = badges(desk), tools(desk), strip_fifteen(desk)
    with Terminal("-m", "tests.screens.busy", str(desk.path), UNHURRIED) as terminal:
        terminal.shows("Kestrel van", "Open")
        hand = Scanner(terminal, desk, job)
        hand.scan(badge["ben"], "at the bench: ben")
        hand.scan(hand.refit.steps[0].bags[0].fact.bag, "FIT NOW")
        hand.scan(tag, "in hand: wrench T3")

        first = hand.shown()
        assert first is not None
        hand.answer(badge["ann"])
        hand.scan(CARD["undo"], "kept: undone")
        terminal.until(lambda: hand.shown() == first)

        hand.scan(CARD["because"], "1  waits for a part")
        hand.scan(CARD["2"], "kept: not now")
        (put_off,) = desk.job(job).said(said.CheckPutOff)
        assert (put_off.who, put_off.fact.check) == ("ben", first.key)

        hand.put_back(lambda check: check.way == "tighten", badge["ann"])
        hand.scan(CARD["tighten"], "TIGHTEN")
        hand.scan(CARD["tight"], "1[x] >2<")
        hand.scan(CARD["undo"], ">1<  2[ ]")
        hand.scan(CARD["whole stage"], "stage 2 of 2")
        hand.scan(CARD["undo"], ">1<  2[ ]")
        hand.tighten()

        hand.put_back(lambda check: check.way == "second", badge["ann"])
        hand.scan(CARD["second"], "scans a badge")
        hand.scan(badge["ben"])
        assert not list(desk.job(job).said(said.SecondCheckMade))

        hand.put_back(lambda _: False, badge["ann"])
        terminal.shows("REFIT 15 of 15", "Sign-off is next")
    kept = desk.job(job)
    assert [(e.who, e.fact.note) for e in kept.said(said.SecondCheckMade)] == [("ann", "by badge")]
    assert {e.who for e in kept.said(said.CheckConfirmed)} == {"ben"}
    assert {e.fact.wrench for e in kept.said(said.StageTightened) if e.fact.stage == 1} == {"T3"}
    assert {e.fact.note for e in kept.said(said.CheckConfirmed) if ".bag:" in e.fact.check} == {"scanned"}
    assert len([e for e in kept.struck if isinstance(e.fact, said.StageTightened)]) == 2
