"""One key on any screen with numbers opens their workings; what it shows can be recomputed by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from textual.widgets import OptionList

from reassembly.job import entries as said
from reassembly.job.reckon import Reckoned
from reassembly.screens.checkin import JobFactsScreen
from reassembly.screens.drawing import DrawingView
from reassembly.screens.form import FormScreen
from reassembly.screens.part import PartScreen
from reassembly.screens.refit import RefitScreen
from reassembly.screens.stripdown import StripdownScreen
from reassembly.screens.tighten import TightenScreen
from reassembly.screens.workings import WorkingsScreen
from reassembly.trade.catalogue import EVERY
from reassembly.trade.spline import degrees_apart
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk
    from reassembly.screens.frame import Frame

SIZES = [(80, 24), (50, 15)]


@pytest.fixture
def shaft(desk: Desk) -> Desk:
    """A propshaft with a balance weight, on a car that drones; its axle and tyres are known."""
    desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", complaint="drones at 80"))
    desk.say(said.DrivelineNoted(tyre="2.24 m", axle_ratio="3.73", shaft_mass="9 kg"))
    desk.say(said.RoadTested(felt="drone", speed="80 km/h", frequency="37 Hz"))
    desk.say(said.PartRemoved(part="shaft", name="propshaft"))
    desk.say(said.WeightFound(part="shaft", position="hole 2 of 8", mass="30 g", radius="45 mm"))
    desk.say(said.FastenersRemoved(part="shaft", count=4, thread="M10x1.25", strength="10.9"))
    desk.say(said.TorqueSpecified(part="shaft", stages=(said.Stage("torque", "60 N.m"),), source="invented manual"))
    return desk


async def on(bench: Bench, screen: Frame) -> None:
    await bench.press("enter")
    await bench.app.push_screen(screen)
    await bench.settled()


@pytest.mark.parametrize("size", SIZES)
async def test_up_and_down_pick_a_number_and_show_its_formula_inputs_and_source(
    desk: Desk, size: tuple[int, int]
) -> None:
    numbers = [Reckoned("one tooth", degrees_apart(16)), Reckoned("force", None, "the tyre size")]
    async with at_bench(desk, size) as bench:
        await bench.app.push_screen(WorkingsScreen(numbers))
        await bench.settled()
        for words in ("one tooth: 22.5 deg", "22.5 deg = 360 deg / teeth", "teeth = 16", "source: geometry"):
            assert words in bench.painted()
        assert "force: not yet, needs the tyre size" in bench.painted()
        await bench.press("down")
        assert "360 deg / teeth" not in bench.painted()
        assert "  needs the tyre size" in bench.painted()
        await bench.press("escape")
        assert bench.on() != "WorkingsScreen"


async def test_a_title_too_long_for_a_small_panel_is_cut_and_never_the_number_or_its_unit(desk: Desk) -> None:
    tooth = degrees_apart(16)
    numbers = [Reckoned("one tooth of the flange at the gearbox end of the propeller shaft", tooth)]
    async with at_bench(desk, (50, 15)) as bench:
        await bench.app.push_screen(WorkingsScreen(numbers))
        await bench.settled()
        assert bench.options("#computed") == ["one tooth of the flange at the gearb…: 22.5 deg"]


@pytest.mark.parametrize("back", ["escape", "f6", "w"])
async def test_the_key_that_opens_it_closes_it(shaft: Desk, back: str) -> None:
    async with at_bench(shaft) as bench:
        await on(bench, PartScreen("shaft"))
        await bench.press("f6")
        assert bench.on() == "WorkingsScreen"
        await bench.press(back)
        assert bench.on() == "PartScreen"


async def test_enter_gives_a_long_one_the_whole_screen_and_it_can_be_read_to_its_end(shaft: Desk) -> None:
    async with at_bench(shaft, (50, 15)) as bench:
        await on(bench, JobFactsScreen())
        await bench.press("f6")
        assert "suspects, best first" in bench.painted()
        await bench.press("enter")
        listed = bench.painted()
        await bench.press("down", "pagedown", "down")
        assert bench.painted() != listed
        assert "source: " in bench.painted()
        await bench.press("escape")
        assert bench.on() == "WorkingsScreen"
        await bench.press("escape")
        assert bench.on() == "JobFactsScreen"


async def test_check_in_ranks_the_suspects_of_a_vibration(shaft: Desk) -> None:
    async with at_bench(shaft) as bench:
        await on(bench, JobFactsScreen())
        await bench.press("f6")
        assert "good fit: propeller shaft order 1 at 37 Hz" in bench.painted()
        assert "= order frequency / felt - 1; good to 3 %, fair to 8 %" in bench.painted()


async def test_the_fact_under_the_bar_comes_first(shaft: Desk) -> None:
    async with at_bench(shaft) as bench:
        await on(bench, PartScreen("shaft"))
        assert bench.options("#facts")[0].endswith("source invented manual")
        await bench.press("f6")
        assert bench.options("#computed")[0].startswith("60 N.m in lbf.ft: 44.25 lbf.ft")
        await bench.press("f6", "down", "down", "f6")
        assert bench.options("#computed")[0] == "unbalance of the weight at hole 2 of 8: 1350 g.mm"


async def test_on_a_small_panel_the_consequence_shares_the_row_of_the_detail(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    for part, name in (("shaft", "propshaft, rear flange"), ("bracket", "centre bearing bracket")):
        desk.say(said.PartRemoved(part=part, name=name))
    desk.say(said.FastenersRemoved(part="shaft", count=4, thread="M10x1.25", strength="10.9"))
    key = desk.say(
        said.WeightFound(part="shaft", what="locking plate", position="hole 1", mass="14 g", radius="48 mm")
    ).id
    async with at_bench(desk, (50, 15)) as bench:
        await on(bench, RefitScreen(f"{key}.weight"))
        assert "radius 48 mm; one hole out leaves 950 g.mm" in bench.painted_on("#now")


@pytest.mark.parametrize("size", [(100, 30), (80, 24), (66, 20), (50, 15)])
async def test_refit_tells_what_the_slip_would_do_beside_the_drawing_and_shows_why(
    shaft: Desk, size: tuple[int, int]
) -> None:
    key = next(e.id for e in shaft.job().said(said.WeightFound))
    async with at_bench(shaft, size) as bench:
        await on(bench, RefitScreen(f"{key}.weight"))
        assert "one hole out leaves 1030 g.mm: 2.1 times the G16 limit at 100 km/h" in bench.painted_on("#now")
        assert bench.screen.query_one(DrawingView).display == (size != (50, 15))
        await bench.press("w")
        listed = bench.options("#computed")
        assert any(line.startswith("what G16 allows") and line.endswith(": 495.5 g.mm") for line in listed)


async def test_tightening_shows_what_reaches_the_bolt(shaft: Desk) -> None:
    key = next(e.id for e in shaft.job().said(said.TorqueSpecified))
    async with at_bench(shaft) as bench:
        await on(bench, TightenScreen(key))
        await bench.press("w")
        assert "least on the bolt at 60 N.m, if the wrench keeps to ISO 6789: 57.69 N.m" in bench.painted()
        assert "57.69 N.m = set / (1 + deviation)" in bench.painted()


async def test_a_form_shows_the_numbers_of_what_is_typed_and_keeps_it(shaft: Desk) -> None:
    async with at_bench(shaft) as bench:
        await on(bench, PartScreen("shaft"))
        await bench.press("m")
        assert isinstance(bench.screen, FormScreen)
        await bench.press("f6")
        assert "Which number?" in bench.painted()  # nothing is typed that could be reckoned with
        await bench.press("escape")
        for text in ("white paint", "pinion", "27"):
            await bench.type(text)
            await bench.press("down")
        await bench.press("f6")
        assert "one tooth to the next: 13.33 deg" in bench.painted()
        await bench.press("escape")
        assert "white paint" in bench.painted()
        assert list(shaft.job().said(said.MarkMade)) == []


@pytest.mark.parametrize("size", SIZES)
async def test_any_number_of_the_trade_can_be_reckoned_from_what_is_typed(shaft: Desk, size: tuple[int, int]) -> None:
    async with at_bench(shaft, size) as bench:
        await on(bench, JobFactsScreen())
        await bench.press("f6", "r")
        assert "Which number?" in bench.painted()
        names = [each.name for each in EVERY]
        assert [line.split("  ")[0] for line in bench.options("#lines")] == names
        bench.screen.query_one("#lines", OptionList).highlighted = names.index("wrench setting")
        await bench.press("enter")
        assert "wrench setting: what to set" in bench.painted()
        await bench.type("80 Nm")
        assert "wrench setting needs lever and adapter too" in bench.painted()
        for text in ("400", "50 mm"):
            await bench.press("down")
            await bench.type(text)
        await bench.until(lambda: "lever = 400 mm" in bench.painted())
        assert "71.11 N.m = torque x lever / (lever +" in bench.painted()
        entries = len(shaft.job().entries)
        await bench.press("escape", "escape")
        assert bench.on() == "JobFactsScreen"
        assert len(shaft.job().entries) == entries


async def test_a_screen_without_numbers_does_not_offer_the_key(shaft: Desk) -> None:
    async with at_bench(shaft) as bench:
        await on(bench, StripdownScreen())
        assert "Workings" not in bench.painted()
        await bench.press("f6")
        assert bench.on() == "StripdownScreen"
        await bench.app.push_screen(PartScreen("shaft"))
        await bench.settled()
        assert "F6 Workings" in bench.painted()
