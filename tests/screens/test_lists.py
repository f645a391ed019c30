"""The bar of a list stays at the ends: the line beyond the last is another vehicle's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import OptionList

from reassembly.job import entries as said
from tests.screens.bench import at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


async def test_the_bar_of_the_bench_does_not_go_round(desk: Desk) -> None:
    for order in ("411", "412", "413"):
        desk.open_new(said.JobOpened(vehicle="Kestrel van", order=order))
    desk.open_job = ""
    async with at_bench(desk) as bench:
        listed = bench.screen.query_one("#jobs", OptionList)
        await bench.press("down", "down", "down")
        assert listed.highlighted == 2
        await bench.press("up", "up", "up")
        assert listed.highlighted == 0


async def test_up_from_the_part_that_came_off_last_stays_there(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van", order="412"))
    for part in ("pan", "shaft"):
        desk.say(said.PartRemoved(part=part, name=part))
    desk.open_job = ""
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "up", "up")
        assert bench.screen.query_one("#off", OptionList).highlighted == 0
