"""Scanner and fingers on the real program in a real terminal, also while the machine is too busy to answer."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import pytest

from labels.code import Kind, make
from reassembly.job import entries as said
from reassembly.job.entries import BagPacked, FindingNoted, JobOpened, PartRemoved
from tests.screens.at_once import run as at_once
from tests.screens.bench import new_desk
from tests.screens.terminal import ENTER, NotAScan, Terminal

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from reassembly.record.desk import Desk

pytestmark = pytest.mark.flaky(reruns=5, only_rerun="NotAScan")

MANY = 40
BUSY = pytest.param(["-m", "tests.screens.busy"], id="busy")
IDLE = pytest.param(["-m", "reassembly", "--data"], id="idle")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Desk]:
    """The folder as this test reads it, beside the program."""
    with new_desk(tmp_path) as desk:
        desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881"))
        desk.say(PartRemoved(part="undertray", name="undertray"))
        yield desk


@pytest.fixture(params=[IDLE, BUSY])
def terminal(shop: Desk, request: pytest.FixtureRequest) -> Iterator[Terminal]:
    """At the strip-down of the job, the line in focus."""
    with Terminal(*request.param, str(shop.path)) as terminal:
        terminal.shows("Kestrel van", "Open")
        terminal.send(ENTER)
        terminal.shows("Strip-down: what came off")
        terminal.send("s")
        terminal.shows("what came off?", "undertray")
        yield terminal


def bags(desk: Desk) -> list[str]:
    return [e.fact.bag for e in desk.job().said(BagPacked)]


def names(desk: Desk) -> list[str]:
    return [e.fact.name for e in desk.job().said(PartRemoved)][1:]


def test_scans_are_exact_and_typing_is_unaltered(terminal: Terminal, shop: Desk) -> None:
    sent: list[str] = []
    for gap in (0.0, 0.005, 0.012):
        for _ in range(MANY):
            code = make(Kind.BAG, "KD", len(sent))
            terminal.keys(code + ENTER, [0.05, *[gap] * 10])  # the next before this one is answered
            sent.append(code)
        terminal.until(lambda: len(bags(shop)) >= len(sent), f"of {len(sent)} scans some never came")
    assert bags(shop) == sent
    assert names(shop) == []

    chance = Random(3)
    hands = {
        "slow hand": (0.06, 0.1, 0.15),
        "rolling over": (0.012, 0.06, 0.09, 0.12),
        "sent by a program": (0.0,),
    }
    typed: list[str] = []
    for text in ("gearbox pan", "centre bearing bracket", "XSHFT PLNG"):
        for hand, pauses in hands.items():
            name = f"{text} {hand}"
            terminal.keys(name + ENTER, [chance.choice(pauses) for _ in name + ENTER])
            typed.append(name)
            terminal.until(lambda: len(names(shop)) >= len(typed), f"{name}, {hand}: never came")
    terminal.keys("n" * 12 + ENTER, [0.033] * 12 + [0.1])
    terminal.until(lambda: len(names(shop)) >= len(typed) + 1, "a key held down never came")
    assert names(shop) == [*typed, "n" * 12]
    assert bags(shop) == sent


def test_a_foreign_code_is_answered_and_not_typed(terminal: Terminal, shop: Desk) -> None:
    terminal.keys("pan", [0.1] * 3)
    for foreign in ("4006381333931", "https://example.org/x", make(Kind.BAG, "KD", 1)[:7]):
        terminal.keys(foreign + ENTER, [0.1, *[0.005] * len(foreign)])
        terminal.shows("NOT ONE OF OUR LABELS")
    assert names(shop) == []
    terminal.send(ENTER)
    terminal.until(lambda: names(shop) == ["pan"])


def test_a_pasted_code_is_a_scan_and_the_enter_after_it_presses_nothing(terminal: Terminal, shop: Desk) -> None:
    code = make(Kind.BAG, "KD", 7)
    terminal.send(f"\x1b[200~{code}\x1b[201~")
    terminal.until(lambda: bags(shop) == [code])
    terminal.send(ENTER)
    terminal.send("pan" + ENTER)
    terminal.until(lambda: names(shop) == ["pan"])
    terminal.send("\x1b[200~gearbox plug\x1b[201~")
    terminal.send(ENTER)
    terminal.until(lambda: names(shop) == ["pan", "gearbox plug"])
    assert "name the part first" not in terminal.raw.decode(errors="replace")


def test_a_scanner_that_sends_a_prefix_is_known_by_it(terminal: Terminal, shop: Desk) -> None:
    code = make(Kind.BAG, "KD", 7)
    terminal.keys(f"\x02{code}{ENTER}", [0.0, *[0.06] * 11])
    terminal.until(lambda: bags(shop) == [code])
    terminal.send("\x02")  # by mistake
    terminal.keys("pan" + ENTER, [1.2, 0.1, 0.1, 0.1])
    terminal.until(lambda: names(shop) == ["pan"])


def test_no_scan_presses_anything_where_letters_are_commands(shop: Desk) -> None:
    with Terminal("-m", "reassembly", "--data", str(shop.path)) as terminal:
        terminal.shows("Kestrel van", "Open")
        terminal.send(ENTER)
        terminal.shows("Strip-down: what came off")
        terminal.send("o")
        terminal.shows("NOT CONFIRMED")
        before = shop.job().entries
        for gap in (0.0, 0.005, 0.012):
            for foreign in ("4006381333931", "jedjedjed", make(Kind.BAG, "KD", 1)[:5]):
                terminal.keys(foreign + ENTER, [gap] * (len(foreign) + 1))
                terminal.shows("NOT ONE OF OUR LABELS", "SIGN-OFF")
                terminal.send("?")
                terminal.shows("KEYS")
                terminal.send("\x1b")
                terminal.shows("NOT CONFIRMED")
        assert shop.job().entries == before


HOSTILE = "x\x1b]0;owned\x07\x1b[2J\x9b31mred\u202ebidi\u2066\x00\x7f[/b][@click=app.quit]go[/]\ud83d\ude00".encode(
    "utf-16", "surrogatepass"
).decode("utf-16")


def test_no_control_character_of_a_text_reaches_the_terminal(shop: Desk) -> None:
    shop.open_new(JobOpened(vehicle=HOSTILE, registration=HOSTILE, complaint=HOSTILE, order=HOSTILE))
    shop.say(PartRemoved(part="pan", name=HOSTILE, side=HOSTILE))
    shop.say(FindingNoted(what=HOSTILE, part="pan"))
    shop.say(FindingNoted(what=HOSTILE))
    shop.say(said.MarkMade(part="pan", mark=HOSTILE, to=HOSTILE))
    shop.say(said.WrenchAdded(wrench=HOSTILE, low=HOSTILE, high=HOSTILE))
    shop.say(said.PersonAdded(person=HOSTILE, name=HOSTILE))
    with Terminal("-m", "reassembly", "--data", str(shop.path)) as terminal:
        terminal.shows("2 open")
        for keys, words in (
            ("p", "WHO IS AT THE BENCH"), ("\x1b", "2 open"), ("w", "WORKSHOP"), ("\x1b", "2 open"),
            (ENTER, "not named"),
            ("v", "CHECK-IN"), ("x", "STRIKE OUT"), ("\x1b", "CHECK-IN"), ("\x1b", "not named"), ("s", "STRIP-DOWN"),
            ("\x1bOR", "checks at refit"), ("x", "STRIKE OUT"), ("slip" + ENTER, "in line with"),
            ("\x1b", "checks at refit"),
            ("\x1b", "STRIP-DOWN"), ("\x1b", "not named"), ("o", "NOT CONFIRMED"), ("e", "EXCEPTION"),
            ("\x1b", "NOT CONFIRMED"), ("\x1b", "not named"), ("d", "RECORD"),
            ("\x1b[200~\x1b]0;owned\x07\x1b[201~", "RECORD"), ("\x1b", "not named"), ("\x1b", "2 open"),
            ("/", "F1 Keys"), ("\x1b[200~\u202e\x9b31mfind\x1b[201~", "0 found"),
        ):  # fmt: skip
            terminal.send(keys)
            terminal.shows(words)
        text = bytes(terminal.raw)
        assert b"owned" in text
        for forbidden in ("\x1b]0;owned", "owned\x07", "\x9b", "\u202e", "\u2066", "\x00", "\x7f"):
            at = text.find(forbidden.encode())
            assert at < 0, text[max(0, at - 60) : at + 20]
        assert "Traceback" not in text.decode(errors="replace")


def test_scans_and_letters_that_come_at_the_same_moment_are_told_apart(tmp_path: Path) -> None:
    found = at_once(tmp_path, scans=40, seed=1)
    if found.late:
        raise NotAScan(f"{found.late} keys sent late")
    assert found.story.among > 10
    assert found.wrong == []
