"""Beside the checks: circles with every place where it belongs, in signs of a bare console; and what to have ready."""

from __future__ import annotations

from math import atan2, degrees
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.drawn import Drawing, Spot
from reassembly.job.plan import plan
from reassembly.screens.drawing import DrawingView, arranged
from reassembly.screens.refit import RefitScreen
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk

FLANGE = Drawing(
    (Spot(0, "1"), Spot(90, "2", "*", asked=True), Spot(180, "3"), Spot(270, "4", "*"), Spot(225, "", "^")),
    "the rear",
    ("* 14 g at hole 2", "^ paint between 3 and 4"),
)


def test_a_flange_is_drawn_as_it_looks_and_told_below() -> None:
    assert arranged(FLANGE, 28, 10) == [
        "SEEN FROM THE REAR",
        "            1",
        "",
        "",
        "      4*    +    >2*<",
        "",
        "        ^",
        "            3",
        "* 14 g at hole 2",
        "^ paint between 3 and 4",
    ]


def test_where_little_room_is_the_side_stays_and_where_none_is_the_words_do() -> None:
    assert arranged(FLANGE, 16, 6) == ["FROM THE REAR", "      1", "", "  4*  +  >2*<", "   ^", "      3"]
    assert arranged(FLANGE, 28, 4) == ["SEEN FROM THE REAR", "* 14 g at hole 2", "^ paint between 3 and 4"]
    assert arranged(FLANGE._replace(seen_from=""), 28, 10)[0] == "SIDE NOT SAID"


def test_a_flange_of_which_some_holes_have_no_room_is_not_drawn() -> None:
    holes = tuple(Spot(n * 360 / 48, str(n + 1)) for n in range(48))
    assert arranged(Drawing(holes, "the rear", ("* 6 g at hole 2",)), 28, 12)[1:] == ["* 6 g at hole 2"]


@given(st.floats(0, 359.99), st.integers(18, 44), st.integers(6, 20))
def test_a_place_is_drawn_within_a_cell_of_its_angle(angle: float, width: int, height: int) -> None:
    rows = arranged(Drawing((Spot(angle, "", "^", asked=True),), "the front", ()), width, height)[1:]
    row, middle_row = (next(n for n, line in enumerate(rows) if sign in line) for sign in "^+")
    right, up = rows[row].index("^") - rows[middle_row].index("+"), middle_row - row
    radius = max(abs(right) / 2, abs(up))
    off = (degrees(atan2(right / 2, up)) - angle + 180) % 360 - 180
    assert abs(off) < 45 / radius


def furnish(desk: Desk) -> str:
    job = desk.open_new(said.JobOpened(vehicle="Kestrel van"))
    for fact in (
        said.DrivelineNoted(tyre="235/60R18", axle_ratio="3.73", shaft_mass="9 kg"),
        said.PartRemoved(part="yoke", name="sliding yoke", how="loosened"),
        said.OrientationNoted(part="yoke", feature="grease nipple", clock="4:30", seen_from="rear"),
        said.FastenersRemoved(part="yoke", count=4),
        said.TorqueSpecified(part="yoke", stages=(said.Stage("torque", "40 N.m"),), layout="circle", seen_from="rear"),
        said.WeightFound(part="yoke", mass="14 g", position="hole 2", radius="48 mm"),
    ):
        desk.say(fact)
    return job


async def at_refit(bench: Bench, desk: Desk, job: str, slug: str) -> None:
    desk.open_job = job
    found = next(c.key for c in plan(desk.job()).checks if c.key.endswith(slug))
    bench.app.push_screen(RefitScreen(found))
    await bench.settled()


@pytest.mark.parametrize("size", [(80, 24), (66, 20), (100, 30)])
async def test_the_drawing_stands_beside_the_check_with_its_consequence_whole(
    desk: Desk, size: tuple[int, int]
) -> None:
    job = furnish(desk)
    async with at_bench(desk, size) as bench:
        await at_refit(bench, desk, job, ".weight")
        painted = bench.painted()
        assert ">2*<" in painted
        assert "SEEN FROM THE REAR" in painted
        left = " ".join(
            " ".join(line[: bench.screen.query_one(DrawingView).region.x] for line in painted.split("\n")).split()
        )
        assert "> 14 g BALANCE WEIGHT AT HOLE 2" in left
        assert "one hole out leaves 950 g.mm: 1.9 times the G16 limit at 100 km/h" in left, painted


async def test_a_key_and_a_touch_walk_round_to_the_other_side(desk: Desk) -> None:
    job = furnish(desk)
    async with at_bench(desk) as bench:
        await at_refit(bench, desk, job, ".way")
        assert "SEEN FROM THE REAR" in bench.painted()
        assert "* grease nipple at 4:30" in bench.painted()
        await bench.press("s")
        assert "SEEN FROM THE FRONT" in bench.painted()
        assert "* grease nipple at 7:30" in bench.painted()
        await bench.pilot.click(DrawingView)
        await bench.settled()
        assert "SEEN FROM THE REAR" in bench.painted()
        await bench.press("s", "down")
        assert "SEEN FROM THE FRONT" not in bench.painted()


async def test_on_a_small_panel_it_is_drawn_where_every_word_keeps_its_row(desk: Desk) -> None:
    job = furnish(desk)
    async with at_bench(desk, (50, 15)) as bench:
        await at_refit(bench, desk, job, ".way")
        painted = bench.painted()
        assert "FROM THE REAR" in painted
        assert ">*<" in painted
        assert "then: " in painted
        assert "! Raised vehicle" not in painted
        desk.say(said.CareNoted(part="yoke", care="look", what="the propshaft"))
        await bench.press("down", "up")
        assert "! Raised vehicle" in bench.painted()
        assert not bench.screen.query_one(DrawingView).display
        assert "SEEN FROM THE REAR" in " ".join(bench.painted().split())


async def test_every_cell_of_it_is_a_sign_that_a_bare_console_has(desk: Desk) -> None:
    job = furnish(desk)
    async with at_bench(desk) as bench:
        await at_refit(bench, desk, job, ".way")
        view = bench.screen.query_one(DrawingView)
        assert str(view.render()).isascii()


@pytest.mark.parametrize("size", [(80, 24), (50, 15)])
async def test_what_to_have_ready_is_told_under_the_name_and_whole_by_its_key(
    desk: Desk, size: tuple[int, int]
) -> None:
    job = furnish(desk)
    desk.say(said.BagPacked(bag="BCDFGHJKLN", parts=("yoke",), shelf="C4"))
    async with at_bench(desk, size) as bench:
        await at_refit(bench, desk, job, ".way")
        assert ("have ready  tools: torque wrench for 40 N.m" in bench.painted()) is (size == (80, 24))
        await bench.press("h")
        for line in ("bag BCDFG HJKLN   shelf C4", "tools: torque wrench for 40 N.m"):
            assert line in bench.painted()
        await bench.press("escape")
        assert bench.on() == "RefitScreen"
