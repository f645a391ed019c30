"""A come-back on the screen: the earlier job beside the new complaint, from either job and from the counter."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


@pytest.fixture
def back(desk: Desk) -> tuple[str, str]:
    """A van that was sealed and came back under another plate."""
    first = desk.open_new(
        said.JobOpened(vehicle="Tallis van", registration="7KD 204", complaint="drips", odometer="96 120 km")
    )
    desk.say(said.PartRemoved(part="seal", name="pinion seal [/red]"))
    desk.say(said.CodeRead(code="P0735"))
    desk.say(said.ExceptionAccepted(check=f"{desk.bench}.4.back", reason="left off", accepted_by="ben"))
    desk.say(said.SignedOff(covers={}))
    second = desk.open_new(
        said.JobOpened(vehicle="Tallis van", registration="8XX 1", complaint="seal leaks", earlier=first)
    )
    desk.say(said.CodeRead(code="P0735"))
    desk.open_job = ""
    return first, second


async def open_job(bench: Bench, registration: str) -> None:
    await bench.press("slash")
    await bench.type(registration)
    await bench.press("enter")
    assert bench.on() == "JobScreen", bench.painted()


async def test_the_new_complaint_stands_above_the_earlier_job(desk: Desk, back: tuple[str, str]) -> None:
    async with at_bench(desk) as bench:
        await open_job(bench, "8xx")
        assert "come-back from " in bench.painted()
        await bench.press("e")
        assert bench.on() == "ComebackScreen"
        told = bench.painted()
        assert "now   seal leaks" in told
        assert "then  drips" in told
        assert "pinion seal [/red] taken off  [seal]" in told
        assert "BACK AGAIN: P0735" in told
        await bench.press("end")
        await bench.until(lambda: "SIGNED OFF" in bench.painted(), "the end of the story never came")
        assert "now   seal leaks" in bench.painted()


async def test_the_earlier_job_opens_on_top_and_leads_back(desk: Desk, back: tuple[str, str]) -> None:
    async with at_bench(desk) as bench:
        await open_job(bench, "8xx")
        await bench.press("e", "enter")
        assert bench.on() == "RecordScreen"
        assert desk.open_job == back[0]
        assert f"came back: Tallis van 8XX 1, {desk.today}: seal leaks" in bench.painted()
        await bench.press("escape")
        assert bench.on() == "ComebackScreen"
        assert desk.open_job == back[1]
        await bench.press("escape")
        assert bench.on() == "JobScreen"
        assert "8XX 1" in bench.painted()


async def test_the_same_story_from_the_earlier_job(desk: Desk, back: tuple[str, str]) -> None:
    async with at_bench(desk) as bench:
        await open_job(bench, "7kd")
        assert f"came back later: Tallis van 8XX 1, {desk.today}" in bench.painted()
        await bench.press("e")
        assert "now   seal leaks" in bench.painted()


async def test_a_complaint_at_the_counter_is_looked_up_and_not_kept(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Heron", registration="9XX 10", complaint="drips"))
    desk.say(said.PartRemoved(part="pan", name="gearbox pan"))
    kept = desk.heads()
    desk.open_job = ""
    async with at_bench(desk) as bench:
        await open_job(bench, "9xx")
        await bench.press("e")
        assert bench.on() == "JobScreen"  # nothing came back from it
        await bench.press("d", "e")
        await bench.type("rattle at the gearbox")
        await bench.press("enter")
        assert bench.on() == "ComebackScreen"
        assert "gearbox pan taken off  [gearbox]" in bench.painted()
        await bench.press("pagedown")
        await bench.until(lambda: "nothing recorded of: rattle" in bench.painted())
    assert desk.heads() == kept


@pytest.mark.parametrize("size", [(80, 24), (50, 15), (120, 40)])
async def test_it_can_be_read_in_every_terminal(desk: Desk, back: tuple[str, str], size: tuple[int, int]) -> None:
    async with at_bench(desk, size) as bench:
        await open_job(bench, "8xx")
        await bench.press("e")
        assert "now   seal leaks" in bench.painted()
        assert "then  drips" in bench.painted()
        assert "NEAR THE COMPLAINT" in bench.painted()
