"""A whole visit by touch: letters come from a keyboard, everything else is touched where it stands on the glass."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.job.checks import closed
from reassembly.job.plan import plan
from reassembly.screens.refit import RefitScreen
from reassembly.screens.tighten import TightenScreen
from reassembly.screens.touch import Touch
from tests.screens import hands
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from pathlib import Path

    from reassembly.record.desk import Desk


async def touch(bench: Bench, words: str) -> None:
    """Touch these words, the lowest of them on the glass."""
    rows = [strip.text for strip in bench.screen._compositor.render_strips()]
    found = [(row.index(words), y) for y, row in enumerate(rows) if words in row]
    assert found, f"{words} cannot be touched on {bench.on()}:\n{bench.painted()}"
    x, y = found[-1]
    await bench.pilot.click(offset=(x + len(words) // 2, y))
    await bench.settled()


@pytest.mark.parametrize("size", [(50, 15), (66, 20), (80, 24), (100, 30), (200, 50)])
async def test_every_place_to_touch_with_gloves_is_wide_and_high_enough(tmp_path: Path, size: tuple[int, int]) -> None:
    """7 cells wide and 4 high on the panels that are touched, 50 x 15 and 100 x 30; a row less where a keyboard is."""
    with hands.bench(tmp_path) as desk:
        story = hands.told(desk)
        desk.open_job = story.job
        stages = next(e.id for e in desk.job().said(said.TorqueSpecified) if e.fact.part == hands.FLANGE)
        async with at_bench(desk, size) as bench:
            for screen in (RefitScreen(), TightenScreen(stages)):
                bench.app.push_screen(screen)
                await bench.settled()
                found = list(screen.query(Touch))
                assert len(found) == 3
                high = 3 if size in {(66, 20), (80, 24)} else 4
                for each in found:
                    assert each.outer_size.width >= 7, each
                    assert each.outer_size.height >= high, each
                    assert screen.region.contains_region(each.region), "all of it on the glass"


async def test_from_check_in_to_sign_off(desk: Desk) -> None:
    lines = (
        "heat shield, 4 nuts M6 hex 10",
        "flange, 2xM10x35 10.9 hex 15, 40 Nm, manual p 2, white paint to pinion",
    )
    async with at_bench(desk, (100, 30)) as bench:
        await touch(bench, "n Check a vehicle in")
        await bench.type("4TN 881")
        await touch(bench, "vehicle *")
        await bench.type("Kestrel van")
        await touch(bench, "Enter Next empty line")
        await touch(bench, "Enter Open the job")
        assert bench.on() == "JobScreen"
        await touch(bench, "s Strip-down")
        for line in lines:
            await bench.type(line)
            await touch(bench, "Enter Say it")
        await touch(bench, "F4 Bag")
        await touch(bench, "F3 Part's facts")
        await touch(bench, "i To do")
        await touch(bench, "grease")
        await touch(bench, "what *")
        await bench.type("splines")
        await touch(bench, "Enter Say it")
        await touch(bench, "Esc Back")
        await touch(bench, "Esc Back")
        assert bench.on() == "JobScreen"
        await touch(bench, "r Refit")
        for _ in range(60):
            if not plan(desk.job()).open:
                break
            match bench.on():
                case "TightenScreen":
                    await touch(bench, "TIGHT")
                case "PickScreen":
                    await touch(bench, "the wrench is not in the rack")
                case "FormScreen":
                    if "ROAD TEST" in bench.painted():
                        await touch(bench, " gone  ")
                    await touch(bench, "Enter Say it")
                case _:
                    await touch(bench, "CONFIRM")
        assert plan(desk.job()).open == (), bench.painted()
        await touch(bench, "Esc Back")
        await touch(bench, "o Sign-off")
        await touch(bench, "F9 Sign off")
        await bench.type("ann")
        await touch(bench, "Enter Say it")
        assert closed(desk.job()), bench.painted()
        assert [e.fact.position for e in desk.job().said(said.StageTightened)] == [1, 2]
