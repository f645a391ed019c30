"""Who is at the bench: a name typed over the list is that name, never the one under the bar."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from textual.widgets import Input

from reassembly.job.entries import PersonAdded
from reassembly.screens.app import ReassemblyApp
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


async def ask(bench: Bench, at_start: bool) -> None:
    if not at_start:
        await bench.press("p")
    assert bench.on() == "WhoScreen"


@pytest.mark.parametrize("at_start", [True, False])
async def test_a_name_typed_while_the_list_has_the_focus_is_the_one_that_is_meant(desk: Desk, at_start: bool) -> None:
    desk.who = "" if at_start else "ben"
    async with at_bench(desk) as bench:
        await ask(bench, at_start)
        await bench.press(*"petra")
        assert bench.screen.query_one("#name", Input).value == "petra"
        await bench.press("enter")
        assert "petra is not known here" in bench.painted()
        await bench.press("down", "enter")
        assert (bench.on(), desk.who) == ("JobsScreen", "petra")
        assert list(desk.shop().people) == ["ann", "ben", "petra"]


async def test_a_name_and_its_enter_in_one_burst_are_the_line(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await bench.press("p")
        await bench.type("ben")
        bench.key("enter", 0.0)
        await bench.settled()
        assert (bench.on(), desk.who) == ("JobsScreen", "ben")


async def test_up_from_the_first_row_reaches_the_line_and_down_the_list(desk: Desk) -> None:
    desk.who = "ann"
    async with at_bench(desk) as bench:
        await bench.press("p", "down", "up", "up")
        assert bench.app.focused is bench.screen.query_one("#name")
        await bench.press("down", "down", "enter")
        assert desk.who == "ben"


async def test_what_is_typed_leaves_those_whose_name_has_it(desk: Desk) -> None:
    desk.say(PersonAdded(person="mk", name="Marta Kern"))
    async with at_bench(desk) as bench:
        await bench.press("p", *"mart")
        assert [line.split()[0] for line in bench.options("#people")] == ["mk"]
        await bench.press("down", "enter")
        assert desk.who == "mk"


async def test_a_name_that_nobody_has_says_how_to_go_on(desk: Desk) -> None:
    desk.who = ""
    app = ReassemblyApp(desk, stranger="Nobody in this workshop is called Bo (known: ann, ben)")
    async with app.run_test(size=(80, 24)) as pilot:
        bench = Bench(app, pilot)
        await bench.until(lambda: bench.on() == "WhoScreen")
        await bench.settled()
        assert "type a new name and press Enter to add it" in " ".join(bench.painted().split())
        await bench.press(*"bo", "enter", "end", "enter")
        assert (bench.on(), desk.who) == ("JobsScreen", "bo")
