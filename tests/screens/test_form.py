"""One fact as a form: what cannot be understood is refused in a sentence, stays as typed, and has the focus."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from textual.widgets import Input, OptionList

from reassembly.job import entries as said
from reassembly.job.entries import FastenersRemoved, JobOpened, PartRemoved, Stage, TorqueSpecified, WeightFound
from reassembly.screens.checkin import CheckinScreen, CustomerScreen, JobFactsScreen
from reassembly.screens.fields import typed
from reassembly.screens.form import FormScreen
from reassembly.screens.part import PartScreen
from reassembly.screens.removal import RemovalScreen
from reassembly.screens.shop import ShopScreen
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from reassembly.job.entries import Fact
    from reassembly.record.desk import Desk


@pytest.fixture
def stripped(desk: Desk) -> Desk:
    """A job in which a propshaft came off, and a pan."""
    desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    desk.say(PartRemoved(part="pan", name="pan"))
    desk.say(PartRemoved(part="propshaft", name="propshaft"))
    desk.say(said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m"))
    return desk


async def on_part(bench: Bench, part: str = "propshaft") -> PartScreen:
    """The screen of one part, over its job."""
    await bench.press("enter")
    screen = PartScreen(part)
    await bench.app.push_screen(screen)
    await bench.settled()
    return screen


# What a technician would say of a propshaft, one of each kind that the screen of a part offers.
OF_A_PART: list[Fact] = [
    FastenersRemoved(
        part="propshaft", count=4, what="bolt", fasteners="long", thread="M10x1.25",
        lengths=("35 mm", "35 mm", "40 mm", "40 mm"), strength="10.9", drive="hex 15", reuse="renew",
        safety_critical=True, note="two are longer",
    ),
    TorqueSpecified(
        part="propshaft", stages=(Stage("torque", "30 N.m"), Stage("torque", "60 N.m"), Stage("angle", "90 deg")),
        count=4, layout="circle", seen_from="rear", order=(1, 3, 2, 4), source="manual, page 12",
        retorque="after 50 km",
    ),
    said.MarkMade(part="propshaft", mark="white paint", to="pinion", spline_teeth=26, marked_tooth=7, note="x"),
    said.OrientationNoted(part="propshaft", feature="grease nipple", clock="4:30", seen_from="rear"),
    WeightFound(part="propshaft", position="hole 2", mass="14 g", radius="45 mm", what="locking plate"),
    said.AidFitted(part="propshaft", aid="wire", where="round the joint"),
    said.RenewalNeeded(part="propshaft", what="joint", count=2, part_number="UJ-1", why="worn"),
    said.PartStuck(part="propshaft", freed="heat", grease="copper paste on the pilot"),
    said.CareNoted(part="propshaft", care="seal", what="sealing face"),
    said.FindingNoted(part="propshaft", what="play", where="front joint", when="after"),
    said.OrderSaid(part="propshaft", goes="after", other="pan"),
    PartRemoved(part="propshaft", name="propshaft", how="loosened", side="rear", note="again"),
]  # fmt: skip
OF_A_JOB: list[Fact] = [
    said.CodeRead(when="after", code="P0735", module="gearbox", status="stored", note="x"),
    said.RoadTested(when="after", felt="nothing", distance="12 km", speed="80 km/h", frequency="42 Hz"),
    said.DrivelineNoted(
        tyre="235/60R18",
        axle_ratio="3.73",
        cylinders=4,
        joint_angles=("3 deg", "2.5 deg"),
        shaft_mass="9 kg",
        shaft_length="1500 mm",
        tube="76 mm",
        wall="1.65 mm",
        source="sidewall",
    ),
    said.FindingNoted(what="leak", where="pan corner"),
    said.FluidDrained(fluid="gear oil", amount="5.8 l", condition="dark", where="gearbox"),
    said.LevelSpecified(
        fluid="gear oil", low="35 degC", high="45 degC", how="overflow", engine="running", source="page 3"
    ),
    said.AidFitted(aid="plug", where="tail housing"),
    said.CareNoted(care="look", what="filler plug"),
    said.FluidFilled(fluid="gear oil", amount="2.5 l", phase="running", batch="7731"),
    said.LevelChecked(fluid="gear oil", temperature="40 degC", engine="running", found="right", note="drips"),
    said.CodesCleared(module="gearbox"),
]
OF_THE_SHOP: list[Fact] = [
    said.PersonAdded(person="cleo", name="Cleo Marsh", badge=""),
    said.WrenchAdded(wrench="T4", low="5 N.m", high="25 N.m", name="click wrench", tag="", cycles=3000),
    said.WrenchCalibrated(wrench="T3", on="2026-03-01", until="2027-03-01", certificate="LAB 7"),
    said.WrenchFailed(wrench="T3", on="2026-03-02", why="dropped"),
    said.SpecNoted(
        vehicle="Kestrel",
        joint="flange",
        stages=(Stage("torque", "60 N.m"),),
        source="page 1",
        thread="M10x1.25",
        strength="10.9",
    ),
    said.ShelfAdded(shelf="C4", label="SKDBBBBBXC"),
    said.BenchNamed(name="by the window"),
]


@pytest.mark.parametrize("where", [(PartScreen, OF_A_PART), (JobFactsScreen, OF_A_JOB), (ShopScreen, OF_THE_SHOP)])
def test_an_example_of_every_kind_a_screen_offers_is_below(where: tuple[Any, list[Fact]]) -> None:
    screen, examples = where
    assert [type(fact) for fact in examples] == [kind.fact for kind in screen.KINDS]


async def fill(bench: Bench, fact: Fact) -> None:
    """Type a fact into the form on display, field by field, with the keys of the form only."""
    form = bench.screen
    assert isinstance(form, FormScreen)
    begins = next((f for f in form._fields if not f.choices or f.needed), form._fields[0])
    assert form.focused is form.query_one(f"#field-{begins.name}"), "the first line, or a choice not made yet"
    await bench.press(*["up"] * form._fields.index(begins))
    for field in form._fields:
        value = getattr(fact, field.name)
        keys = []
        if field.choices:
            at = field.choices.index(field.start) if field.start in field.choices else 0
            keys = ["right"] * ((field.choices.index(typed(value)) - at) % len(field.choices))
        else:
            if field.start:
                await bench.press("ctrl+u")
            await bench.type(typed(value))
        await bench.press(*keys, "tab")


@pytest.mark.parametrize("fact", OF_A_PART, ids=lambda fact: type(fact).__name__)
async def test_what_is_said_of_a_part_is_typed_struck_out_and_said_again(stripped: Desk, fact: Fact) -> None:
    async with at_bench(stripped) as bench:
        screen = await on_part(bench)
        await bench.press(next(kind.key for kind in screen.KINDS if kind.fact is type(fact)))
        await fill(bench, fact)
        await bench.press("enter")
        await struck_and_said_again(bench, fact)


@pytest.mark.parametrize("fact", OF_A_JOB, ids=lambda fact: type(fact).__name__)
async def test_what_is_said_of_a_job_is_typed_struck_out_and_said_again(stripped: Desk, fact: Fact) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "v", next(kind.key for kind in JobFactsScreen.KINDS if kind.fact is type(fact)))
        if isinstance(fact, said.FluidFilled | said.LevelChecked):  # parts are off
            await bench.press("down", "enter")
        await fill(bench, fact)
        await bench.press("enter")
        await struck_and_said_again(bench, fact)


@pytest.mark.parametrize("fact", OF_THE_SHOP, ids=lambda fact: type(fact).__name__)
async def test_what_is_said_of_the_shop_is_typed_struck_out_and_said_again(stripped: Desk, fact: Fact) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("w", next(kind.key for kind in ShopScreen.KINDS if kind.fact is type(fact)))
        await fill(bench, fact)
        await bench.press("enter")
        await struck_and_said_again(bench, fact, job="")


async def struck_and_said_again(bench: Bench, fact: Fact, job: str | None = None) -> None:
    desk = bench.desk
    if job is None:
        job = desk.open_job
    assert desk.job(job).entries[-1].fact == fact, bench.painted()
    await bench.press("x")
    await bench.type("a slip")
    await bench.press("enter")
    assert isinstance(bench.screen, FormScreen), bench.painted()
    assert desk.job(job).struck == ()
    await bench.press("enter")
    assert desk.job(job).entries[-1].fact == fact, bench.painted()
    assert [e.fact for e in desk.job(job).struck] == [fact]


WRONG = {
    "count is no number": (FastenersRemoved, {"count": "four"}, "count"),
    "count is missing": (FastenersRemoved, {"thread": "M8"}, "count"),
    "count is out of range": (FastenersRemoved, {"count": "900"}, "count"),
    "stages are no torque": (TorqueSpecified, {"stages": "30 bananas"}, "stages"),
    "tooth without a spline's": (
        said.MarkMade,
        {"mark": "paint", "marked_tooth": "40", "spline_teeth": "26"},
        "marked_tooth",
    ),
    "clock hour": (said.OrientationNoted, {"feature": "lug", "clock": "14"}, "clock"),
    "no such part": (said.OrderSaid, {"other": "bumper"}, "other"),
    "waits for itself": (said.OrderSaid, {"other": "propshaft"}, "other"),
    "far too long": (said.PartStuck, {"freed": "x" * 3000}, "freed"),
}


@pytest.mark.parametrize("case", WRONG)
async def test_what_is_wrong_is_refused_in_a_sentence_and_nothing_typed_is_lost(stripped: Desk, case: str) -> None:
    kind, fields, wrong = WRONG[case]
    async with at_bench(stripped) as bench:
        screen = await on_part(bench)
        before = stripped.job().entries
        await bench.press(next(k.key for k in screen.KINDS if k.fact is kind))
        for name, text in fields.items():
            bench.screen.query_one(f"#field-{name}", Input).value = text
        bench.screen.query(Input).last().focus()
        await bench.press("enter")
        assert stripped.job().entries == before
        assert isinstance(bench.screen, FormScreen)
        assert bench.app.answered.manner == "warn"
        assert len(bench.answer()) > 10
        assert bench.answer()[:40] in " ".join(bench.painted().split())
        assert bench.screen.focused is bench.screen.query_one(f"#field-{wrong}")
        for name, text in fields.items():
            assert bench.screen.query_one(f"#field-{name}", Input).value == text


async def test_what_is_understood_stands_beside_what_is_typed(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await on_part(bench)
        await bench.press("t")
        await bench.type("60 N.m")
        assert "lbf.ft" in bench.painted()


async def test_arrows_go_from_field_to_field_and_escape_says_nothing(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await on_part(bench)
        before = stripped.job().entries
        await bench.press("b")
        await bench.type("4")
        await bench.press("down", "down", "up")
        assert bench.screen.focused is bench.screen.query_one("#field-what")
        assert "bolt, nut, screw, stud, clip" in bench.painted()
        await bench.press("escape")
        assert bench.on() == "PartScreen"
        assert stripped.job().entries == before
        assert isinstance(bench.screen.focused, OptionList)


async def test_the_help_is_reached_from_within_a_field_and_the_field_keeps_its_words(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await on_part(bench)
        await bench.press("b")
        await bench.type("4?")
        assert bench.screen.query_one("#field-count", Input).value == "4?"
        await bench.press("f1")
        assert bench.on() == "KeysScreen"
        await bench.press("escape")
        assert bench.screen.query_one("#field-count", Input).value == "4?"
        assert bench.screen.focused is bench.screen.query_one("#field-count")


async def test_a_vehicle_that_was_here_before_is_told_while_it_is_typed(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("n")
        await bench.type("4tn881")
        assert "here before" in bench.painted()


async def test_a_choice_can_be_touched(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "s", "f2")
        choice = bench.screen.query_one("#field-how")
        await bench.pilot.click(choice, offset=(20, 0))  # [off]  loosened  disconnected
        await bench.settled()
        assert bench.screen.query_one("#field-how").value == "disconnected"  # type: ignore[attr-defined]


@pytest.mark.parametrize("make", [CheckinScreen, CustomerScreen, lambda: RemovalScreen(PartRemoved(part="", name="x"))])
async def test_forms_of_their_own_are_said_with_enter(stripped: Desk, make: Any) -> None:
    async with at_bench(stripped) as bench:
        found: list[object] = []
        await bench.press("enter")
        bench.app.push_screen(make(), found.append)
        await bench.settled()
        for box in bench.screen.query(Input):
            box.value = box.value or {"field-torque_unit": "N.m", "field-parent": ""}.get(box.id or "", "word")
        await bench.press("enter")
        assert len(found) == 1, bench.painted()
        assert found[0] is not None


async def test_a_field_has_every_letter_of_a_burst_before_enter_says_it(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await bench.press("n")
        bench.burst("7KD 204")
        bench.key("down")
        bench.burst("Tallis van")
        bench.key("enter", 0.0)
        bench.key("enter")
        await bench.settled()
        opened = desk.job(desk.jobs()[0].id).opened
        assert (opened.registration, opened.vehicle) == ("7KD 204", "Tallis van")
