"""Sign-off: whatever it shows can be read with the keys alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.job.plan import plan
from reassembly.screens.signoff import SignoffScreen
from tests.screens.bench import at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


@pytest.mark.parametrize("still_open", [False, True])
async def test_twenty_warnings_are_read_to_the_last_with_the_page_keys(desk: Desk, still_open: bool) -> None:
    desk.who = "ann"
    job = desk.open_new(said.JobOpened(vehicle="Kestrel van"))
    for n in range(20):
        desk.say(said.TorqueSpecified(part=f"p{n:02}", stages=(said.Stage("by hand"),)))
    keys = [] if still_open else signoff_keys(desk)
    for key in keys:
        desk.say(said.ExceptionAccepted(check=key, reason="left", accepted_by="ann"))
    async with at_bench(desk, (80, 24)) as bench:
        desk.open_job = job
        bench.app.push_screen(SignoffScreen())
        await bench.settled()
        assert "PgDn Read on" in bench.painted()
        seen = bench.painted()
        for _ in range(12):
            await bench.press("pagedown")
            seen += bench.painted()
        assert all(f"a torque without a source: p{n:02}" in seen for n in range(20))
        assert "struck out 0" in bench.painted()
        for _ in range(12):
            await bench.press("pageup")
        assert " excepted " in bench.painted()


async def test_the_page_keys_are_not_named_where_everything_is_in_view(desk: Desk) -> None:
    job = desk.open_new(said.JobOpened(vehicle="Kestrel van"))
    async with at_bench(desk, (80, 24)) as bench:
        desk.open_job = job
        bench.app.push_screen(SignoffScreen())
        await bench.settled()
        assert "Read on" not in bench.painted()


def signoff_keys(desk: Desk) -> list[str]:
    return [check.key for check in plan(desk.job()).checks if check.open]
