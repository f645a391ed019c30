"""Every line that can be typed in, fed what moves a cursor, hides or reverses letters, and far too many of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from textual.widgets import Input

from reassembly.job import entries as said
from reassembly.screens.computation import ComputationScreen
from reassembly.screens.jobs import JobsScreen
from reassembly.screens.line import one_line
from reassembly.screens.text import safe
from tests.screens import typed
from tests.screens.bench import at_bench
from tests.screens.terminal import Terminal

if TYPE_CHECKING:
    from reassembly.record.desk import Desk

HOSTILE = "x\x1b]0;owned\x07\x1b[2J\x9b31mred\u202ebidi\u2066\u200b\u2028\x00\x7f[/b][@click=app.quit]go[/] \U0001f527"
FORBIDDEN = ("\x1b]0;owned", "owned\x07", "\x9b", "\u202e", "\u2066", "\u200b", "\u2028", "\x00", "\x7f")
MANY = "x" * 100_000


@pytest.fixture
def job(desk: Desk) -> str:
    job = desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    desk.say(said.PartRemoved(part="pan", name="pan"))
    return job


def test_no_line_of_the_program_is_left_out() -> None:
    assert {each.type for each in typed.every()} | {JobsScreen} == typed.with_a_line()


async def test_nothing_hidden_stays_in_a_line_and_far_too_much_is_never_kept(desk: Desk, job: str) -> None:
    async with at_bench(desk, (50, 15)) as bench:
        before = desk.heads()
        for each in typed.every():
            screen = each.make()
            desk.open_job = job
            bench.app.push_screen(screen)
            await bench.settled()
            for line in screen.query(Input):
                line.focus()
                line.value = ""
                await bench.paste(HOSTILE)
                most = line.max_length or len(MANY)
                assert line.value == safe(one_line(HOSTILE))[:most], each.told
                assert all(c.isprintable() or c == "\n" for c in bench.painted()), each.told
                if not line.max_length and each.type is not ComputationScreen:  # of which nothing is kept
                    line.value = MANY
                    await bench.press("enter")
                    assert bench.screen is screen, f"{each.told} {line.id}: {bench.answer()}"
                    assert line.value == MANY, "what was typed stays"
                line.value = ""
            assert desk.heads() == before, each.told
            bench.app.pop_screen()
            await bench.settled()


def test_nothing_typed_into_any_line_reaches_the_terminal_raw(desk: Desk, job: str) -> None:
    with Terminal("-m", "tests.screens.typed", str(desk.path), size=(120, 40)) as terminal:
        terminal.shows("1 open")
        had: set[type] = set()
        for each in typed.every():
            terminal.send("\x0e")
            terminal.shows(each.told[:24])
            terminal.send(f"\x1b[200~{HOSTILE}\x1b[201~\t" * each.fields)
            if each.type not in had:
                had.add(each.type)
                terminal.send(f"\x1b[200~{MANY}\x1b[201~")
            terminal.until(lambda: True)
        terminal.send("\x0e")
        terminal.shows("1 open")
        raw(terminal)


def raw(terminal: Terminal) -> None:
    text = bytes(terminal.raw)
    assert b"owned" in text
    for forbidden in FORBIDDEN:
        at = text.find(forbidden.encode())
        assert at < 0, text[max(0, at - 60) : at + 20]
    assert b"Traceback" not in text
