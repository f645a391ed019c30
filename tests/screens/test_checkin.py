"""Check-in: what belongs to the whole job, said from one list."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.screens.app import ReassemblyApp
from reassembly.screens.checkin import JobFactsScreen
from reassembly.screens.refit import RefitScreen
from tests.screens.bench import at_bench
from tests.screens.hands import FLANGE, PAN, bench, opened, press, shows, told, until

if TYPE_CHECKING:
    from pathlib import Path

    from reassembly.record.desk import Desk

SIZE = (80, 24)


@pytest.mark.parametrize(("key", "asked"), [("g", "Fill all the same?"), ("t", "Take the level all the same?")])
async def test_a_fluid_is_asked_about_while_parts_are_off(tmp_path: Path, key: str, asked: str) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with ReassemblyApp(desk).run_test(size=SIZE) as pilot:
            await opened(pilot, JobFactsScreen(), story.job)
            await press(pilot, key)
            screen = " ".join((await shows(pilot, "NOT BACK YET", "no: show what is open")).split())
            assert asked in screen
            assert f"{FLANGE}; {PAN} (2 parts)" in screen
            await press(pilot, "enter")
            await until(pilot, lambda: isinstance(pilot.app.screen, RefitScreen))


async def test_it_is_kept_for_whoever_says_that_nothing_open_holds_it(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with ReassemblyApp(desk).run_test(size=SIZE) as pilot:
            await opened(pilot, JobFactsScreen(), story.job)
            await press(pilot, "g")
            await shows(pilot, "NOT BACK YET")
            await press(pilot, "down", "enter")
            await shows(pilot, "FILLED")
            await press(pilot, *"oil", "tab", *"2l", "enter")
            await until(pilot, lambda: any(desk.job().said(said.FluidFilled)))
            await press(pilot, "g")
            await shows(pilot, "amount *")  # it began: not asked again


async def test_a_fluid_is_not_asked_about_where_nothing_is_off(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        told(desk)
        job = desk.open_new(said.JobOpened(vehicle="Kestrel van"))
        async with ReassemblyApp(desk).run_test(size=SIZE) as pilot:
            await opened(pilot, JobFactsScreen(), job)
            await press(pilot, "t")
            await shows(pilot, "LEVEL TAKEN", "temperature")


async def test_an_empty_code_form_says_nothing_until_none_stored_is_said(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with ReassemblyApp(desk).run_test(size=SIZE) as pilot:
            await opened(pilot, JobFactsScreen(), story.job)
            await press(pilot, "c")
            assert "no code stored" not in await shows(pilot, "CODE", "none stored")
            await press(pilot, "enter")
            await shows(pilot, "what was read? Type the code, or say none stored: yes")
            assert not any(desk.job().said(said.CodeRead))
            await press(pilot, "tab", "right")
            await shows(pilot, "no code stored")
            await press(pilot, "enter")
            await until(pilot, lambda: any(desk.job().said(said.CodeRead)))
            assert [e.fact.none_stored for e in desk.job().said(said.CodeRead)] == [True]


async def test_enter_goes_through_what_is_asked_at_the_counter_and_then_opens_the_job(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await bench.press("n")
        for text in ("4TN 881", "Kestrel van", "whine at 80", "Rosa Lind", "0555 0142"):
            assert bench.on() == "CheckinScreen"
            await bench.type(text)
            assert ("Enter Open the job" in bench.painted()) == (text == "0555 0142")
            assert ("Enter Next empty line" in bench.painted()) == (text != "0555 0142")
            await bench.press("enter")
        customer = desk.customer()
        assert customer is not None
        assert (desk.job().opened.registration, desk.job().opened.vehicle) == ("4TN 881", "Kestrel van")
        assert (desk.job().opened.complaint, customer.name, customer.phone) == ("whine at 80", "Rosa Lind", "0555 0142")


async def test_enter_passes_what_is_filled_and_opens_the_job_from_an_empty_line(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await bench.press("n", "tab")
        await bench.type("Kestrel van")
        await bench.press("tab", "tab")
        await bench.type("Rosa Lind")
        await bench.press("up", "up", "enter")
        assert bench.screen.focused is bench.screen.query_one("#field-complaint")
        await bench.press("enter")
        assert bench.on() == "JobScreen"
        assert desk.job().opened.complaint == ""


async def test_what_was_left_empty_is_added_with_no_reason_and_nothing_struck(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", torque_unit="lbf.ft"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "v", "n")
        asked = [field.id for field in bench.screen.query("Line, Choice")]
        assert asked == ["field-complaint", "field-vin", "field-odometer", "field-order"]
        await bench.press("enter")
        assert "nothing is typed yet" in bench.answer()
        await bench.type("whine at 80")
        await bench.press("enter")
        assert bench.answer() == "kept: added to the check-in, whine at 80"
        job = desk.job()
        assert not list(job.said(said.EntryStruck))
        assert job.struck == ()
        assert job.opened == said.JobOpened(
            vehicle="Kestrel van", registration="4TN 881", complaint="whine at 80", torque_unit="lbf.ft"
        )
        assert [line.complaint for line in desk.jobs("whine")] == ["whine at 80"]
        await bench.press("x")
        await bench.type("heard wrong")
        await bench.press("enter")
        assert "field-registration" not in [field.id for field in bench.screen.query("Line, Choice")]
        await bench.press("ctrl+u")
        await bench.type("drones at 90")
        await bench.press("enter")
        assert desk.job().opened.complaint == "drones at 90"
        assert desk.job().opened.registration == "4TN 881"


async def test_where_nothing_was_left_empty_the_way_to_correct_is_said(desk: Desk) -> None:
    desk.open_new(
        said.JobOpened(vehicle="van", registration="4TN", complaint="whine", vin="1", odometer="9 km", order="7")
    )
    async with at_bench(desk) as bench:
        await bench.press("enter", "v", "n")
        assert bench.on() == "JobFactsScreen"
        assert "x corrects" in bench.answer()


async def test_a_level_without_a_window_is_asked_about_once(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van"))
    async with at_bench(desk) as bench:
        bench.app.clock = count(0.0, 2.0).__next__
        await bench.press("enter", "v", "l")
        await bench.type("gear oil")
        await bench.press("enter")
        assert bench.answer() == "no temperature window said: Enter again keeps it without"
        assert not list(desk.job().said(said.LevelSpecified))
        await bench.press("enter")
        assert [e.fact for e in desk.job().said(said.LevelSpecified)] == [said.LevelSpecified(fluid="gear oil")]
        await bench.press("l")
        await bench.type("gear oil")
        await bench.press("tab")
        await bench.type("35 degC")
        await bench.press("enter")
        assert [e.fact.low for e in desk.job().said(said.LevelSpecified)] == ["", "35 degC"]


async def test_what_has_not_the_form_of_a_code_is_kept_only_by_a_second_enter(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with ReassemblyApp(desk).run_test(size=SIZE) as pilot:
            await opened(pilot, JobFactsScreen(), story.job)
            await press(pilot, "c", "P", "0", "7", "enter")
            await shows(pilot, "P07: not the form of a fault code", "Enter again keeps it")
            assert not any(desk.job().said(said.CodeRead))

            async def again() -> bool:
                await press(pilot, "enter")
                return any(desk.job().said(said.CodeRead))

            while not await again():
                pass
            assert [e.fact.code for e in desk.job().said(said.CodeRead)] == ["P07"]
