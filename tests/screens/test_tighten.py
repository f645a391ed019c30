"""Tightening: position by position or a stage at once, out of order said, the wrench held to the torque."""

from __future__ import annotations

from contextlib import asynccontextmanager
from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.job.plan import plan
from reassembly.screens.app import ReassemblyApp
from reassembly.screens.figures import block
from reassembly.screens.refit import RefitScreen
from reassembly.screens.tighten import TightenScreen
from reassembly.screens.touch import Touch
from tests.screens.hands import (
    FLANGE,
    ORDER,
    PAN,
    SIZES,
    SMALL,
    WIDE,
    app_of,
    bench,
    check,
    confirm,
    opened,
    painted,
    press,
    shows,
    told,
    until,
)
from tests.screens.scanning import CARD

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from textual.pilot import Pilot

    from reassembly.job.checks import Check
    from reassembly.record.desk import Desk


def started(desk: Desk, part: str = FLANGE) -> str:
    """Everything before the first stage is confirmed; the entry id of the specification."""
    confirm(desk, "bag", *(["marks", "in place"] if part == FLANGE else ["back in place"]), "all 4", part=part)
    return specification(desk, part)


def specification(desk: Desk, part: str = FLANGE) -> str:
    job = desk.job(desk.jobs(ORDER)[0].id)
    return next(e.id for e in job.said(said.TorqueSpecified) if e.fact.part == part)


def tightened(desk: Desk) -> list[tuple[int, int | None, str]]:
    """(stage, position, wrench) in the order they were said."""
    return [(e.fact.stage, e.fact.position, e.fact.wrench) for e in desk.job().said(said.StageTightened)]


@asynccontextmanager
async def at_joint(
    desk: Desk, job: str, specified: str, size: tuple[int, int] = WIDE, wrench: str = ""
) -> AsyncIterator[Pilot[None]]:
    """The tightening screen of a specification, with a wrench in hand or none."""
    app = ReassemblyApp(desk)
    app.wrench = wrench
    async with app.run_test(size=size) as pilot:
        await opened(pilot, TightenScreen(specified), job)
        yield pilot


@SIZES
async def test_number_unit_position_and_touches_fit(tmp_path: Path, size: tuple[int, int]) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified, size) as pilot:
            app = app_of(pilot)
            scale = 2 if size == WIDE else 1
            screen = await shows(pilot, *block("30", scale), "N.m", "position of 4", *block("1", scale)[1:2])
            assert "stage 1 of 2: 30 N.m, order of the source" in screen
            assert "seen from the rear" in screen
            assert ">1<" in screen
            assert "order 1 3 2 4" in screen
            for words in ("TIGHT", "UNDO", "WHOLE STAGE"):
                assert words in screen
            assert all(touch.outer_size.height >= (4 if size == SMALL else 3) for touch in app.screen.query(Touch))
            assert all(touch.outer_size.width >= 7 for touch in app.screen.query(Touch))


async def test_space_goes_through_the_positions_in_order_and_on_to_the_next_stage(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        app = ReassemblyApp(desk)
        app.wrench = "T2"
        async with app.run_test(size=WIDE) as pilot:
            await opened(pilot, RefitScreen(), story.job)
            await press(pilot, "space")
            for position in (1, 3, 2, 4):
                await shows(pilot, f">{position}<")
                await press(pilot, "space")
            await shows(pilot, "stage 1 done. Now stage 2 of 2: 60 N.m", ">1<")
            assert tightened(desk) == [(1, 1, "T2"), (1, 3, "T2"), (1, 2, "T2"), (1, 4, "T2")]
            assert not check(desk, "stage 1", FLANGE).open
            for position in (1, 3, 2, 4):
                await shows(pilot, f">{position}<")
                await press(pilot, "space")
            await shows(pilot, "REFIT", f"every stage is tight: {FLANGE}", "> SECOND CHECK")
            assert not check(desk, "stage 2", FLANGE).open
            assert specified == specification(desk)


async def test_a_whole_stage_at_once_is_kept_as_such(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified, SMALL, wrench="T2") as pilot:
            await pilot.click("#all")
            await shows(pilot, "were all 4 tightened?")
            await press(pilot, "enter")
            await shows(pilot, "stage 1 done at once. Now stage 2 of 2")
            assert tightened(desk) == [(1, None, "T2")]
            await press(pilot, "a")
            await shows(pilot, "every stage is tight: propshaft, rear flange")


async def test_a_whole_stage_that_is_not_safety_critical_is_not_asked_about(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.PartRemoved(part="lid", name="lid"))
        desk.say(said.FastenersRemoved(part="lid", count=4))
        specified = desk.say(said.TorqueSpecified(part="lid", stages=(said.Stage("angle", "90 deg"),)))
        confirm(desk, "back", "all 4", part="lid")
        async with at_joint(desk, story.job, specified.id, wrench="T2") as pilot:
            await press(pilot, "a")
            await shows(pilot, "every stage is tight: lid")


async def test_another_position_is_allowed_and_said_to_be_out_of_order(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified, wrench="T2") as pilot:
            await press(pilot, "4")
            await shows(pilot, ">4<")
            await press(pilot, "space")
            await shows(pilot, "kept, OUT OF ORDER: position 4 before 1", "4[!]", ">1<")
            await press(pilot, "right")
            await shows(pilot, ">3<")
            await press(pilot, "9")
            await shows(pilot, "there is no position 9: the set has 4")
            assert tightened(desk) == [(1, 4, "T2")]


async def test_undo_takes_back_the_last_position_with_one_key(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified, wrench="T2") as pilot:
            await press(pilot, "space")
            await shows(pilot, "1[x]", ">3<")
            await press(pilot, "u")
            await shows(pilot, ">1<", "kept: undone: tightened")
            assert tightened(desk) == []
            await press(pilot, "u")
            await shows(pilot, "nothing to undo here")


async def test_a_stage_waits_until_all_are_started_by_hand(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        confirm(desk, "bag", "marks", "in place", part=FLANGE)
        async with at_joint(desk, story.job, specification(desk)) as pilot:
            await shows(pilot, "NOT YET. First: all 4 bolts started by hand")
            await press(pilot, "space")
            await press(pilot, "a")
            await pilot.pause()
            assert tightened(desk) == []


async def test_a_later_stage_is_refused_at_refit_before_the_earlier_is_complete(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        desk.say(said.StageTightened(specification=specified, stage=1, position=1))
        async with ReassemblyApp(desk).run_test(size=WIDE) as pilot:
            await opened(pilot, RefitScreen(check(desk, "stage 2", FLANGE).key), story.job)
            await press(pilot, "space")
            await shows(pilot, "NOT YET. First: stage 1 of 2: 30 N.m")


async def test_a_wrench_that_does_not_suit_is_named_at_once(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        tag = desk.shop().rack["T1"].added.tag
        async with at_joint(desk, story.job, specified) as pilot:
            app = app_of(pilot)
            await shows(pilot, "NO WRENCH IN HAND")
            app.scans.take(tag)
            await shows(pilot, "wrench T1  2 to 25 N.m", "wrench T1 works from 2 N.m to 25 N.m, used at 30 N.m")
            await press(pilot, "k")
            await shows(pilot, "T3     40 to 200 N.m", "is below its range", "is above its range")
            await press(pilot, "enter")
            await until(pilot, lambda: isinstance(app.screen, TightenScreen))
            assert app.wrench == "T2"


async def test_a_wrench_is_added_from_inside_a_job_and_is_in_hand(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified) as pilot:
            app = app_of(pilot)
            await press(pilot, "k")
            await shows(pilot, "another wrench: add it")
            await press(pilot, "end", "enter")
            await shows(pilot, "WRENCH", "low")
            await press(pilot, *"W9", "down", "2", "0", "down", *"120", "enter")
            await shows(pilot, "20: of what? Type the unit that stands on the scale, as 20 N.m")
            await press(pilot, "space", "n", "m", "down", "space", "n", "m", "enter")
            await until(pilot, lambda: isinstance(app.screen, TightenScreen))
            assert app.wrench == "W9"
            assert (desk.shop().rack["W9"].added.low, desk.shop().rack["W9"].added.high) == ("20 nm", "120 nm")
            await shows(pilot, "wrench W9 was not calibrated")


async def test_the_setting_with_an_adapter_stands_in_block_figures_and_is_kept(tmp_path: Path) -> None:
    """Lever 400 mm, adapter 100 mm straight out: 30 x 400 / 500 = 24 N.m. Source: US Army TM 1-1500-204-23-9."""
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified, wrench="T1") as pilot:
            await press(pilot, "s")
            await shows(pilot, "adapter from")
            await press(pilot, *"400 mm, 100 mm", "enter")
            await shows(pilot, "set wrench to", *block("24.0", 2))
            await press(pilot, "space")
            await shows(pilot, ">3<")
            assert next(desk.job().said(said.StageTightened)).fact.setting == "24.0 N.m"


@pytest.mark.parametrize(
    ("typed", "set_to", "worked"),
    [
        # run-down torque added (FAA AC 43.13-1B, 7-40), then the adapter: 38.5 x 400 / 450 (TM 1-1500-204-23-9)
        ("+ 8,5 N.m", "38.5 N.m", ["38.5 N.m = torque + prevailing"]),
        ("+8.5, 400 mm, 50 mm", "34.2 N.m", ["38.5 N.m = torque + prevailing", "34.22 N.m = torque x lever"]),
        ("400 mm, 50 mm, 90 deg", "30.0 N.m", ["30 N.m = torque x lever"]),
        ("28,5 Nm", "28,5 Nm", []),
    ],
)
async def test_what_a_setting_is_reckoned_from_stands_in_the_workings(
    tmp_path: Path, typed: str, set_to: str, worked: list[str]
) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified, wrench="T2") as pilot:
            await press(pilot, "s", *typed, "enter")
            await shows(pilot, "set wrench to")
            numbers = pilot.app.screen.reckoned()  # type: ignore[attr-defined]
            told_first = [each.workings.lines()[0] for each in numbers[: len(worked)]]
            assert all(line.startswith(part) for line, part in zip(told_first, worked, strict=True))
            await press(pilot, "space")
            await shows(pilot, ">3<")
            assert next(desk.job().said(said.StageTightened)).fact.setting == set_to


async def test_lever_and_adapter_without_units_are_asked_for(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified) as pilot:
            await press(pilot, "s", *"53,5", "enter")
            await shows(pilot, "a torque, or a lever and an adapter?", "53,5")


async def test_a_measured_value_is_kept_and_nonsense_is_refused_with_what_was_typed(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified) as pilot:
            await press(pilot, "m")
            await shows(pilot, "What did the tool show?")
            await press(pilot, *"31 kg", "enter")
            await shows(pilot, "31 kg", "What did the tool show?")
            assert tightened(desk) == []
            await press(pilot, *["backspace"] * 2, *"N.m", "enter")
            await shows(pilot, ">3<")
            assert next(desk.job().said(said.StageTightened)).fact.value == "31 N.m"


async def test_what_a_colleague_tightens_meanwhile_is_not_said_twice(tmp_path: Path) -> None:
    with bench(tmp_path) as desk, bench(tmp_path, "ann") as other:
        story = told(desk)
        specified = started(desk)
        other.open_job = story.job
        async with at_joint(desk, story.job, specified) as pilot:
            await shows(pilot, ">1<")
            other.say(said.StageTightened(specification=specified, stage=1, position=1))
            await shows(pilot, "tightened at another terminal meanwhile: Space goes on", "1[x]")
            await press(pilot, "space")
            await shows(pilot, ">3<")
            assert tightened(desk) == [(1, 1, "")]


@SIZES
async def test_bolts_of_another_length_stand_at_their_positions(tmp_path: Path, size: tuple[int, int]) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        for each in ("bag", "marks", "all 4", "stage", "second", "stripe", "in place"):
            for found in [c for c in _open(desk, FLANGE) if c.wording.startswith(each)]:
                desk.say(said.ExceptionAccepted(check=found.key, reason="told", accepted_by="ann"))
        specified = started(desk, PAN)
        async with at_joint(desk, story.job, specified, size) as pilot:
            wanted = ["* length 30 at 3", "order "] if size == WIDE else ["* 30 at 3", "then "]
            await shows(pilot, "3[ ]*", "seen from below", "generic order", *wanted)


def _open(desk: Desk, part: str) -> list[Check]:
    return [c for c in plan(desk.job()).open if c.part == part]


async def test_a_bag_scanned_here_is_answered_at_refit(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        started(desk)
        app = ReassemblyApp(desk)
        async with app.run_test(size=WIDE) as pilot:
            await opened(pilot, RefitScreen(), story.job)
            await press(pilot, "space")
            await until(pilot, lambda: isinstance(app.screen, TightenScreen))
            await pilot.pause()
            app.scans.take(story.pan_bag)
            await shows(pilot, "REFIT", "TOO EARLY   scanned")


@SIZES
async def test_thirteen_positions_and_hostile_words_are_drawn(tmp_path: Path, size: tuple[int, int]) -> None:
    hostile = "lid [b]x[/b] [/x] \x1b[2J\x9b31m \u202etxet " + "long " * 60
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.PartRemoved(part="lid", name=hostile))
        desk.say(said.FastenersRemoved(part="lid", count=13, lengths=(hostile, *["20"] * 12)))
        specified = desk.say(
            said.TorqueSpecified(
                part="lid", stages=(said.Stage("torque", hostile), said.Stage("back off", hostile)),
                layout="perimeter", seen_from=hostile,
            )
        )  # fmt: skip
        async with at_joint(desk, story.job, specified.id, size) as pilot:
            app = app_of(pilot)
            await shows(pilot, "12[ ]", "1[ ]*", *(["13[ ]"] if size == WIDE else []))
            for key in ("space", "a", "k", "escape", "s", "escape", "m", "escape", "2", "1", "u"):
                await press(pilot, key)
                await pilot.pause(0.05)
                assert not {"\x1b", "\x9b", "\u202e"} & set(painted(app))


async def answered(pilot: Pilot[None], name: str) -> None:
    """As a scanned card answers."""
    pilot.app.scans.take(CARD[name])  # type: ignore[attr-defined]
    await pilot.pause(0.05)


@SIZES
@pytest.mark.parametrize(
    ("wrench", "why"),
    [("T1", "T1 cannot be trusted here: 30 N.m is above its range"),
     ("T3", "T3 cannot be trusted here: 30 N.m is below its range"),
     ("T4", "T4 cannot be trusted here: it was out of calibration since 2021-01-01")],
)  # fmt: skip
async def test_a_wrench_not_to_be_trusted_confirms_nothing_before_somebody_answers_for_it(
    tmp_path: Path, size: tuple[int, int], wrench: str, why: str
) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.WrenchAdded(wrench="T4", low="10 N.m", high="100 N.m"), "")
        desk.say(said.WrenchCalibrated(wrench="T4", on="2020-01-01", until="2021-01-01"), "")
        specified = started(desk)
        async with at_joint(desk, story.job, specified, size, wrench=wrench) as pilot:
            await press(pilot, "space")
            screen = await shows(pilot, "another wrench", "tightened with it all the same")
            assert why in " ".join(screen.split())
            await press(pilot, "space", "space")
            assert tightened(desk) == []
            await answered(pilot, "2")
            await shows(pilot, "Why is it tightened with it all the same?")
            assert tightened(desk) == []
            await press(pilot, *"alone", "enter")
            await shows(pilot, ">3<")
            await press(pilot, "space")
            await shows(pilot, ">2<", wrench)
            assert [e.fact.reason for e in desk.job().said(said.StageTightened)] == ["alone", ""]
            assert tightened(desk) == [(1, 1, wrench), (1, 3, wrench)]


async def test_another_wrench_is_what_enter_and_the_first_number_choose(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified, wrench="T1") as pilot:
            await press(pilot, "space", "enter")
            await shows(pilot, "Which wrench for 30 N.m?")
            await press(pilot, "escape", "a", "enter")
            await shows(pilot, "T1 cannot be trusted here")
            await answered(pilot, "1")
            await shows(pilot, "Which wrench for 30 N.m?", "T2")
            await press(pilot, "enter")
            await shows(pilot, "wrench T2  10 to 100 N.m")
            assert tightened(desk) == []
            await press(pilot, "space")
            await shows(pilot, ">3<")
            assert tightened(desk) == [(1, 1, "T2")]


async def test_a_stage_out_of_range_asks_though_the_one_before_was_within(tmp_path: Path) -> None:
    """T5 ends at 50 N.m: 30 N.m is within, 60 N.m is not."""
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.WrenchAdded(wrench="T5", low="10 N.m", high="50 N.m"), "")
        desk.say(said.WrenchCalibrated(wrench="T5", on="2020-01-01", until="2999-01-01"), "")
        specified = started(desk)
        async with at_joint(desk, story.job, specified, wrench="T5") as pilot:
            await press(pilot, "a")
            await shows(pilot, "All 4 bolts of a safety-critical joint at once: were all 4 tightened?")
            assert tightened(desk) == []
            await press(pilot, "enter")
            await shows(pilot, "stage 2 of 2: 60 N.m")
            await press(pilot, "m", *"60 N.m", "enter")
            await shows(pilot, "T5 cannot be trusted here: 60 N.m is above its range")
            assert tightened(desk) == [(1, None, "T5")]
            await press(pilot, "down", "enter")
            await press(pilot, *"alone", "enter")
            await shows(pilot, ">3<")
            (fact,) = [e.fact for e in desk.job().said(said.StageTightened) if e.fact.stage == 2]
            assert (fact.position, fact.value, fact.wrench) == (1, "60 N.m", "T5")


async def test_below_a_fifth_of_its_range_a_wrench_is_warned_of_and_not_asked_about(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.WrenchAdded(wrench="T6", low="10 N.m", high="200 N.m"), "")
        desk.say(said.WrenchCalibrated(wrench="T6", on="2020-01-01", until="2999-01-01"), "")
        specified = started(desk)
        async with at_joint(desk, story.job, specified, wrench="T6") as pilot:
            await shows(pilot, "below a fifth of its full scale")
            await press(pilot, "space")
            await shows(pilot, ">3<")
            assert tightened(desk) == [(1, 1, "T6")]


@SIZES
async def test_without_a_wrench_in_hand_the_first_space_asks_once(tmp_path: Path, size: tuple[int, int]) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        specified = started(desk)
        async with at_joint(desk, story.job, specified, size) as pilot:
            await press(pilot, "space")
            await shows(pilot, "no wrench in hand", "choose one", "the wrench is not in the rack")
            assert tightened(desk) == []
            await press(pilot, "down", "enter")
            await shows(pilot, ">3<")
            await press(pilot, "a", "enter")
            await shows(pilot, "stage 2 of 2")
            await press(pilot, "space")
            await shows(pilot, ">3<")
            assert tightened(desk) == [(1, 1, ""), (1, None, ""), (2, 1, "")]


async def test_what_a_colleague_says_while_it_is_asked_is_not_said_twice(tmp_path: Path) -> None:
    with bench(tmp_path) as desk, bench(tmp_path, "ann") as other:
        story = told(desk)
        specified = started(desk)
        other.open_job = story.job
        async with at_joint(desk, story.job, specified, wrench="T1") as pilot:
            await press(pilot, "space")
            await shows(pilot, "T1 cannot be trusted here")
            other.say(said.StageTightened(specification=specified, stage=1, position=1, wrench="T2"))
            await press(pilot, "down", "enter")
            await shows(pilot, ">3<")
            assert tightened(desk) == [(1, 1, "T2")]
