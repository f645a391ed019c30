"""The keys of a screen in three places: on its last lines, as help, and in the list that finds one by its words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from textual.widgets import OptionList

from reassembly.job.entries import ExceptionAccepted, JobOpened, PartRemoved
from reassembly.job.signoff import signoff
from reassembly.screens.keyline import keys_of
from tests.screens.bench import at_bench
from tests.screens.test_trouble import WAYS

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


@pytest.fixture
def stripped(desk: Desk) -> Desk:
    desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    desk.say(PartRemoved(part="pan", name="pan"))
    return desk


@pytest.mark.parametrize("way", WAYS)
async def test_help_and_the_list_tell_every_key_of_the_screen(stripped: Desk, way: str) -> None:
    async with at_bench(stripped, (80, 40)) as bench:
        await bench.press(*WAYS[way])
        below, focused = bench.on(), bench.screen.focused
        keys = [(key, words) for key, words, _ in keys_of(bench.screen, hidden=True)]
        await bench.press("f1")
        assert bench.on() == "KeysScreen"
        told = bench.painted().split("\n")
        assert [key for key in keys if not any(key[0] in line and line.endswith(key[1]) for line in told)] == []
        await bench.press("escape", "ctrl+p")
        listed = bench.screen.query_one(OptionList)
        await bench.until(lambda: listed.option_count == len(keys), "the list never told the keys")
        await bench.press("escape")
        assert (bench.on(), bench.screen.focused) == (below, focused)


async def test_a_key_found_by_its_words_does_what_the_key_does(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "s", "ctrl+p")
        await bench.type("strike")
        listed = bench.screen.query_one(OptionList)
        await bench.until(lambda: listed.option_count == 1)
        await bench.press("enter", "enter")
        await bench.until(lambda: "What is wrong with it?" in bench.painted())


async def test_enter_upon_enter_does_what_was_found_once_and_leaves_the_screen_below(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "o", "ctrl+p")
        await bench.type("record")
        listed = bench.screen.query_one(OptionList)
        await bench.until(lambda: listed.option_count == 1)
        await bench.press("enter")
        for _ in range(5):
            bench.key("enter")
        await bench.until(lambda: bench.on() == "RecordScreen")
        await bench.settled()
        stack = [type(screen).__name__ for screen in bench.app.screen_stack]
        assert stack == ["JobsScreen", "JobScreen", "SignoffScreen", "RecordScreen"]


@pytest.mark.parametrize("where", [(), ("enter", "s", "down"), ("enter", "o")])
async def test_enter_upon_enter_opens_one_screen_of_a_kind(stripped: Desk, where: tuple[str, ...]) -> None:
    async with at_bench(stripped) as bench:
        await bench.press(*where)
        for _ in range(6):
            bench.key("enter")
        await bench.settled()
        stack = [type(screen).__name__ for screen in bench.app.screen_stack]
        assert len(stack) == len(set(stack))


async def test_a_touch_on_the_key_line_does_what_the_key_does(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        line = bench.screen.query_one("#keys")
        column = str(line.render()).index("Workshop")
        await bench.pilot.click(line, offset=(column + 3, 0))
        await bench.settled()
        assert bench.on() == "ShopScreen"


NEEDED = {
    ("enter", "r"): ("Space Confirm", "n Not now"),
    ("enter", "s", "f2"): ("Enter Say it",),
    ("enter", "s", "f3", "b"): ("Enter Say it",),
    ("enter", "o"): ("Enter Go to it", "e Exception"),
}


@pytest.mark.parametrize("size", [(50, 15), (40, 15), (36, 15)])
@pytest.mark.parametrize("way", NEEDED)
async def test_where_room_is_short_the_keys_most_needed_stay_and_help_counts_the_rest(
    stripped: Desk, way: tuple[str, ...], size: tuple[int, int]
) -> None:
    async with at_bench(stripped, size) as bench:
        await bench.press(*way)
        line = str(bench.screen.query_one("#keys").render())
        assert "Esc Back" in line
        assert all(key in line for key in NEEDED[way][: 1 if size[0] < 50 else 2])
        every = {key for key, _, _ in keys_of(bench.screen)}
        left_out = every - set(line.replace("\n", " ").split())
        assert f" {len(left_out)} more" in line if left_out else "Keys" in line
        assert not left_out or (bench.screen.query_one("#keys").size.height == 1) == ("r" in way)


async def test_a_job_that_is_signed_off_offers_to_be_reopened_and_nothing_that_cannot_be_done(desk: Desk) -> None:
    desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "o")
        for check in signoff(desk.job(), desk.shop()).open:
            desk.say(ExceptionAccepted(check=check.key, reason="never begun", accepted_by="ben"))
        bench.screen.refresh_all()  # type: ignore[attr-defined]
        assert {"F9", "d"} <= (before := {key for key, _, _ in keys_of(bench.screen)})
        assert not before & {"e", "j", "Enter"}
        await bench.press("f9")
        await bench.type("ann")
        await bench.press("enter")
        await bench.until(lambda: "SIGNED OFF by ann" in bench.painted())
        after = {key for key, _, _ in keys_of(bench.screen)}
        assert {"j", "d"} <= after
        assert not after & {"e", "F9", "Enter"}
        await bench.press("f9", "e")
        assert bench.on() == "SignoffScreen"


async def test_letters_are_no_keys_while_they_are_typed(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("slash")
        words = [words for _, words, _ in keys_of(bench.screen)]
        assert "Check a vehicle in" not in words
        await bench.type("nw")
        assert bench.on() == "JobsScreen"
        await bench.press("escape")
        assert "Check a vehicle in" in [words for _, words, _ in keys_of(bench.screen)]


async def test_a_list_of_keys_longer_than_the_screen_says_that_it_goes_on(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "s", "f1")
        assert bench.painted_on("#more") == "more below: Down"
        assert "Find a key by its words" not in bench.painted()
        await bench.press("end")
        await bench.until(lambda: "Leave" in bench.painted() and not bench.painted_on("#more"))
    async with at_bench(stripped, (80, 50)) as bench:
        await bench.press("enter", "s", "f1")
        assert bench.painted_on("#more") == ""
