"""A signed-off job takes nothing more unasked: it is reopened, or its come-back is meant."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from textual.widgets import Input

from reassembly.job import entries as said
from reassembly.job.plan import plan
from reassembly.record.printing import new_code
from tests.screens.bench import at_bench
from tests.screens.test_comeback import open_job

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


@pytest.fixture
def back(desk: Desk) -> tuple[str, str]:
    """A signed-off job, and the one that came back from it under another plate."""
    first = desk.open_new(said.JobOpened(vehicle="Tallis van", registration="7KD 204"))
    desk.say(said.PartRemoved(part="seal", name="pinion seal"))
    while still := plan(desk.job()).open:
        desk.say(said.ExceptionAccepted(check=still[0].key, reason="left off", accepted_by="ben"))
    assert desk.sign_off()
    second = desk.open_new(said.JobOpened(vehicle="Tallis van", registration="8XX 1", earlier=first))
    desk.open_job = ""
    return first, second


async def test_a_part_said_in_a_signed_off_job_asks_whether_the_come_back_is_meant(
    desk: Desk, back: tuple[str, str]
) -> None:
    before = desk.heads()
    async with at_bench(desk) as bench:
        await open_job(bench, "7kd")
        await bench.press("s")
        await bench.type("towbar")
        await bench.press("enter")
        assert bench.on() == "SignedScreen"
        question = " ".join(bench.painted().split())
        assert f"is signed off: reopen it (j), or is the come-back {back[1]} (Tallis van 8XX 1" in question
        await bench.press("enter")
        assert f"the job stays signed off: go to {back[1]}" in bench.answer()
        assert bench.screen.query_one("#name", Input).value == "towbar"
        assert desk.heads() == before


async def test_j_reopens_a_signed_off_job_and_what_was_typed_is_said_then(desk: Desk, back: tuple[str, str]) -> None:
    async with at_bench(desk) as bench:
        await open_job(bench, "7kd")
        await bench.press("s")
        await bench.type("towbar")
        await bench.press("enter", "j")
        await bench.type("forgot one")
        await bench.press("enter")
        assert [e.fact.why for e in desk.job(back[0]).said(said.JobReopened)] == ["forgot one"]
        assert "say it again" in bench.answer()
        await bench.press("enter")
        assert [e.fact.name for e in desk.job(back[0]).said(said.PartRemoved)] == ["pinion seal", "towbar"]


async def test_undo_in_a_signed_off_job_asks_first(desk: Desk, back: tuple[str, str]) -> None:
    before = desk.heads()
    async with at_bench(desk) as bench:
        await open_job(bench, "7kd")
        await bench.press("r", "b", "u")
        assert bench.on() == "SignedScreen"
        await bench.press("escape")
        assert desk.heads() == before


async def test_what_is_open_again_after_a_sign_off_stands_on_the_job_and_on_the_bench(
    desk: Desk, back: tuple[str, str]
) -> None:
    desk.say(said.PartRemoved(part="towbar", name="towbar"), back[0])  # at another bench
    n = len(plan(desk.job(back[0])).open)
    assert n
    told = f"{n} check{'s' if n > 1 else ''} open again since the sign-off"
    async with at_bench(desk) as bench:
        await open_job(bench, "7kd")
        assert told in bench.painted()
        await bench.press("escape")
        assert told in bench.painted()


async def test_a_bag_of_the_earlier_job_is_this_vehicles(desk: Desk, back: tuple[str, str]) -> None:
    desk.say(said.BagPacked(bag=(code := new_code(desk)), parts=("seal",)), back[0])
    async with at_bench(desk) as bench:
        await open_job(bench, "8xx")
        await bench.press("r")
        await bench.scan(code)
        told = " ".join(bench.painted().split())
        assert "THIS VEHICLE'S, OF ANOTHER JOB" in told
        assert f"it was packed in the earlier job {back[0]}, closed on {desk.today}: not asked for in this job" in told
        assert "put it back there" not in told
