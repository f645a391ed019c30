"""What is typed while a screen comes up waits for it, in its order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.events import Paste

from reassembly.job import entries as said
from reassembly.screens.line import Line
from tests.screens.bench import at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


async def test_a_key_for_a_list_that_is_not_there_yet_waits_for_it(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    async with at_bench(desk) as bench:
        await bench.press("enter")
        bench.key("v")
        bench.key("f6")
        await bench.settled()
        assert bench.on() == "PickScreen"
        await bench.press("escape")
        assert bench.on() == "JobFactsScreen"


async def test_letters_for_a_form_that_is_not_there_yet_are_typed_into_it(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        for key in ("n", *"xy 4"):
            bench.key(key)
        await bench.settled()
        assert bench.on() == "CheckinScreen"
        assert bench.screen.query_one("#field-registration", Line).value == "xy 4"


async def test_a_scan_that_comes_with_the_key_before_it_is_one_scan(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    desk.say(said.PartRemoved(part="pan", name="gearbox pan"))
    desk.say(said.BagPacked(bag="BKDBBBBBCG", parts=("pan",)))
    async with at_bench(desk) as bench:
        await bench.press("enter")
        bench.key("r")
        bench.key("p")
        bench.burst("BKDBBBBBCG")
        bench.key("enter", 0)
        await bench.settled()
        await bench.press("escape")
        assert bench.on() == "RefitScreen"
        assert "gearbox pan" in bench.painted().lower()


async def test_a_paste_with_enter_at_once_is_said_whole(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "v", "f")
        await bench.until(lambda: bench.on() == "FormScreen")
        await bench.type("oil ")
        bench.app.post_message(Paste("pinion seal"))
        bench.key("enter")
        await bench.until(lambda: bench.on() != "FormScreen")
        (noted,) = desk.job(desk.open_job).said(said.FindingNoted)
        assert noted.fact.what == "oil pinion seal"
