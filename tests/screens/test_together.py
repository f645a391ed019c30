"""One key for all that is in view of a step, and one key that takes it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from reassembly.job import entries as said
from reassembly.job.plan import plan
from tests.screens.bench import Bench, at_bench
from tests.screens.hands import FLANGE, PAN, Story, check, told

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


@pytest.fixture
def story(desk: Desk) -> Story:
    found = told(desk)
    desk.say(said.CheckConfirmed(check=check(desk, "bag", FLANGE).key))
    return found


def open_of(desk: Desk, part: str) -> list[str]:
    return [c.wording for c in plan(desk.job()).checks if c.part == part and c.open]


async def at_the_flange(bench: Bench, story: Story) -> None:
    bench.desk.open_job, bench.app.wrench = story.job, "T2"
    from reassembly.screens.refit import RefitScreen

    bench.app.push_screen(RefitScreen())
    await bench.settled()
    await bench.scan(story.flange_bag)


async def test_one_key_says_what_is_in_view_and_shows_the_joint(desk: Desk, story: Story) -> None:
    async with at_bench(desk) as bench:
        await at_the_flange(bench, story)
        await bench.press("y")
        assert bench.on() == "TightenScreen"
        assert "3 checks; u takes them back" in bench.answer()
        await bench.press("u")
        assert "undone: 3 checks said with one key" in bench.answer()
        assert open_of(desk, FLANGE)[:3] == ["marks in line", "in place, faces together", "all 4 bolts started by hand"]


async def test_the_last_position_and_what_is_left_of_the_step_are_said_with_one_key(desk: Desk, story: Story) -> None:
    async with at_bench(desk) as bench:
        await at_the_flange(bench, story)
        await bench.press("y", "space", "space", "space", "y")
        assert bench.answer() == "y is for the last position"
        await bench.press("space", "space", "space", "space")
        assert "LAST ONE: y says it is tight, and stripe painted across every head" in " ".join(bench.painted().split())
        await bench.press("y")
        assert bench.on() == "RefitScreen"
        assert open_of(desk, FLANGE) == ["second check by another person"]
        await bench.press("u")
        assert open_of(desk, FLANGE)[-1:] == ["stripe painted across every head"]


async def test_on_a_small_panel_it_is_shown_before_it_is_said(desk: Desk, story: Story) -> None:
    async with at_bench(desk, (50, 15)) as bench:
        await at_the_flange(bench, story)
        before = open_of(desk, FLANGE)
        await bench.press("y")
        assert bench.on() == "PickScreen"
        assert "marks in line" in bench.painted()
        assert open_of(desk, FLANGE) == before
        await bench.press("enter")
        assert bench.on() == "TightenScreen"
        assert len(open_of(desk, FLANGE)) == len(before) - 3


async def test_on_a_small_panel_the_rest_is_shown_before_the_last_position_says_it(desk: Desk, story: Story) -> None:
    async with at_bench(desk, (50, 15)) as bench:
        await at_the_flange(bench, story)
        await bench.press("y", "enter", *["space"] * 7)
        before = open_of(desk, FLANGE)
        await bench.press("y")
        assert "position 4 is tight, and the rest is done: say so" in " ".join(bench.painted().split())
        assert "stripe painted across every head" in " ".join(bench.painted().split())
        await bench.press("down", "enter")
        assert bench.answer() == "nothing was said: Space says that it is tight, without the rest"
        assert open_of(desk, FLANGE) == before
        await bench.press("y", "enter")
        assert open_of(desk, FLANGE) == ["second check by another person"]


async def test_where_what_speaks_against_the_wrench_stands_in_its_place_the_rest_is_shown_first(
    desk: Desk, story: Story
) -> None:
    async with at_bench(desk) as bench:
        await at_the_flange(bench, story)
        await bench.press("y", *["space"] * 7)
        bench.app.wrench = "T1"  # to 25 N.m, and the stage is 60 N.m
        await bench.press("right")
        assert "T1 works from 2 N.m to 25 N.m" in bench.painted()
        before = open_of(desk, FLANGE)
        await bench.press("y")
        assert "stripe painted across every head" in " ".join(bench.painted().split())
        assert open_of(desk, FLANGE) == before


async def test_what_was_put_off_is_said_together_once_somebody_came_back_to_it(desk: Desk, story: Story) -> None:
    async with at_bench(desk) as bench:
        await at_the_flange(bench, story)
        await bench.press("n", "y")
        assert open_of(desk, FLANGE)[0] == "marks in line", "put off, and another one is on display"
        while "BEFORE IT LEAVES" not in bench.painted():
            await bench.press("n")
        await bench.press("l", "enter", "y")
        assert bench.on() == "TightenScreen"
        assert open_of(desk, FLANGE)[0] == "stage 1 of 2: 30 N.m"


async def test_what_waits_for_a_reason_is_left_to_space(desk: Desk, story: Story) -> None:
    for each in plan(desk.job()).checks:
        if each.part == FLANGE:
            desk.say(said.CheckPutOff(check=each.key, reason="waits for a part"))
    async with at_bench(desk) as bench:
        await at_the_flange(bench, story)
        await bench.press("y")
        assert bench.answer() == "put off: marks in line. Space takes it up again"
        await bench.press("space")
        assert open_of(desk, FLANGE)[0] == "in place, faces together"


async def test_under_a_refusal_nothing_is_said(desk: Desk, story: Story) -> None:
    async with at_bench(desk) as bench:
        await at_the_flange(bench, story)
        await bench.scan(story.pan_bag)
        before = len(desk.job().entries)
        await bench.press("y")
        assert len(desk.job().entries) == before
        await bench.press("right", "y")
        assert bench.answer() == f"NOT YET. First: {FLANGE}; o, if it need not wait"
        assert open_of(desk, PAN)


async def test_the_last_position_said_at_another_terminal_while_this_one_asks_is_said_once(
    desk: Desk, story: Story
) -> None:
    async with at_bench(desk, (50, 15)) as bench:
        await at_the_flange(bench, story)
        await bench.press("y", "enter", *["space"] * 7, "y")
        last = [e.fact for e in desk.job().said(said.StageTightened)][-1]
        desk.say(replace(last, position=4))
        await bench.press("enter")
        assert [e.fact.position for e in desk.job().said(said.StageTightened) if e.fact.stage == last.stage].count(
            4
        ) == 1
