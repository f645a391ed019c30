"""The job at a glance: five lines, in words that a stranger to the job can act on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.screens.job import JobScreen
from tests.screens.bench import at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk

ABOUT = ["complaint", "stands", "last", "next", "mind"]


@pytest.mark.parametrize("size", [(80, 24), (66, 20), (50, 15)])
async def test_the_five_lines_come_first_and_what_to_act_on_is_whole(desk: Desk, size: tuple[int, int]) -> None:
    job = desk.open_new(said.JobOpened(vehicle="Kestrel van", complaint="drones at 80, worse when cold"))
    desk.say(said.PartRemoved(part="flange", name="propshaft, rear flange"))
    desk.say(said.BagPacked(bag="BCDFGHJKLN", parts=("flange",), shelf="C4"))
    desk.say(said.AidFitted(aid="locking pin", part="flange"))
    async with at_bench(desk, size) as bench:
        desk.open_job = job
        bench.app.push_screen(JobScreen())
        await bench.settled()
        lines = bench.painted().split("\n")
        starts = [word for line in lines for word in ABOUT if line.startswith(f" {word} ")]
        assert starts == ABOUT, bench.painted()
        run_on = " ".join(bench.painted().split())
        assert "next r: propshaft, rear flange: bag BCDFG HJKLN, shelf C4; or s, if more" in run_on
        assert "mind still in it: locking pin" in run_on
        assert any("r   Refit" in line for line in lines), bench.painted()
