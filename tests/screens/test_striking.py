"""A slip is corrected or withdrawn with a reason; half a correction strikes nothing, and a strike can be struck."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.job.job import parts
from reassembly.job.plan import plan
from reassembly.record.customer import Customer
from reassembly.record.desk import NOBODY
from reassembly.screens.line import Line
from tests.screens.bench import Bench, at_bench
from tests.screens.test_trouble import full_disk

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


@pytest.fixture
def job(desk: Desk) -> str:
    job = desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", complaint="whine"))
    desk.say(said.CustomerNamed(digest=""), details=Customer(name="Rosa Lind"))
    return job


def strikes(desk: Desk) -> list[str]:
    return [e.fact.why for e in desk.job().said(said.EntryStruck)]


async def clear(bench: Bench) -> None:
    await bench.press("ctrl+u")


async def test_a_check_in_whose_correction_is_left_stands_as_it_was(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "v", "down", "x")
        assert "Kestrel van" in bench.painted()
        await bench.type("wrong plate")
        await bench.press("enter")
        assert "CHECK-IN" in bench.painted()
        await bench.press("escape")
        assert bench.answer().startswith("nothing struck: ")
        assert bench.answer().endswith(" stands")
        assert desk.job().opened.registration == "4TN 881"
        assert strikes(desk) == []
        await bench.press("x", "escape")
        assert bench.answer().startswith("nothing struck: ")


async def test_a_check_in_is_struck_and_said_again_in_one_breath(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "v", "down", "x")
        await bench.type("wrong plate")
        await bench.press("enter")
        with full_disk():
            await bench.press("enter")
        assert strikes(desk) == []
        assert bench.on() == "VehicleScreen"
        asked = [field.id for field in bench.screen.query("Line, Choice")]
        assert asked[:3] == ["field-registration", "field-vehicle", "field-complaint"]  # as check-in asks
        assert "field-odometer" in asked
        await clear(bench)
        await bench.type("9XX 881")
        await bench.press("enter")
        assert (desk.job().opened.registration, desk.job().opened.vehicle) == ("9XX 881", "Kestrel van")
        assert strikes(desk) == ["wrong plate"]
        assert [line.id for line in desk.jobs("9XX")] == [job]
        assert desk.jobs("4TN") == []


async def test_sign_off_leads_to_what_is_struck_out(desk: Desk, job: str) -> None:
    slip = desk.say(said.CodeRead(code="P0735"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "o", "z")
        assert bench.on() == "SignoffScreen"  # nothing is struck out yet
        desk.say(said.EntryStruck(entry=slip.id, why="another vehicle's"))
        await bench.until(lambda: "struck out 1: z lists them" in bench.painted())
        await bench.press("z")
        assert bench.on() == "StruckScreen"
        assert "P0735" in bench.painted()


async def test_with_nobody_at_the_bench_the_way_to_say_who_is_said_and_leads_there(desk: Desk, job: str) -> None:
    desk.say(said.PartRemoved(part="pan", name="pan"))
    desk.who = ""
    async with at_bench(desk) as bench:
        await bench.press("escape", "enter", "r", "space")
        assert bench.answer() == NOBODY
        await bench.press("p")
        assert bench.on() == "WhoScreen"
        await bench.press("escape", "escape", "s")
        await bench.type("sump plug")
        await bench.press("enter")
        assert bench.answer() == NOBODY
        await bench.press("ctrl+y")
        assert bench.on() == "WhoScreen"
        await bench.press("ctrl+y", "enter")
        assert (bench.on(), desk.who) == ("StripdownScreen", "ann")
        await bench.press("enter")
        assert [e.fact.name for e in desk.job().said(said.PartRemoved)] == ["pan", "sump plug"]


async def test_a_check_in_can_only_be_replaced(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "v", "down", "x")
        assert "say nothing in its place" not in bench.painted()
        await bench.type("wrong vehicle")
        await bench.press("f8")
        assert bench.on() == "StrikeScreen"
        assert strikes(desk) == []


async def test_a_customer_whose_correction_is_left_stands_and_one_corrected_is_one_breath(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "v", "x")
        await bench.type("a letter missing")
        await bench.press("enter", "escape")
        assert (customer := desk.customer())
        assert customer.name == "Rosa Lind"
        await bench.press("x")
        await bench.type("a letter missing")
        await bench.press("enter")
        await bench.type("e")
        with full_disk():
            await bench.press("enter")
        assert (customer := desk.customer())
        assert customer.name == "Rosa Lind"
        await bench.press("enter")
        assert (customer := desk.customer())
        assert customer.name == "Rosa Linde"
        assert strikes(desk) == ["a letter missing"]


async def test_a_fact_is_withdrawn_with_a_reason_and_no_form_and_brought_back(desk: Desk, job: str) -> None:
    desk.say(said.CodeRead(code="P0735"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "v", "x", "f8")
        assert bench.answer() == "type an answer first"
        await bench.type("of another vehicle")
        await bench.press("f8")
        assert bench.on() == "JobFactsScreen"
        assert list(desk.job().said(said.CodeRead)) == []
        assert "struck out: " in bench.answer()
        await bench.press("z")
        assert "of another vehicle" in bench.painted()
        await bench.press("enter", "enter")
        assert "stands again: " in bench.answer()
        assert [e.fact.code for e in desk.job().said(said.CodeRead)] == ["P0735"]
        assert "nothing is struck out" in bench.painted()


async def test_a_part_whose_correction_is_left_stays_off_with_all_its_facts(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "s")
        await bench.type("pan, 4 x M6x20 8.8, white paint to sump")
        await bench.press("enter", "f8")
        await bench.type("spelling")
        await bench.press("enter", "escape")
        assert bench.answer().startswith("nothing struck: ")
        (part,) = parts(desk.job()).values()
        assert part.removed
        assert len(part.about) == 3


async def test_a_withdrawn_part_leaves_no_ghost_at_refit_and_comes_back_whole(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "s")
        await bench.type("pan, 4 x M6x20 8.8, 9 Nm, white paint to sump")
        await bench.press("enter", "f4")
        before = {e.id for e in parts(desk.job())["pan"].about}
        await bench.press("f8")
        assert bench.options("#lines")[0] == "pan: how it came off"
        await bench.press("enter")
        await bench.type("wrong vehicle")
        await bench.press("f8")
        assert bench.on() == "StripdownScreen"
        assert parts(desk.job()) == {}
        assert plan(desk.job()).steps == ()
        await bench.press("f8")
        assert bench.on() == "StruckScreen"
        assert "pan taken off" in bench.options("#facts")[0]
        await bench.press("enter", "enter", "escape")
        assert {e.id for e in parts(desk.job())["pan"].about} == before
        assert "pan" in bench.options("#off")[0]


async def test_withdrawing_a_part_keeps_the_bag_it_shares(desk: Desk, job: str) -> None:
    for part in ("pan", "magnets"):
        desk.say(said.PartRemoved(part=part, name=part))
    desk.say(said.BagPacked(bag="BBBBBCCCCC", parts=("pan", "magnets"), shelf="C4"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f8", "enter")
        await bench.type("there are none")
        await bench.press("f8")
        assert [(e.fact.parts, e.fact.shelf) for e in desk.job().said(said.BagPacked)] == [(("pan",), "C4")]
        assert list(parts(desk.job())) == ["pan"]


async def test_a_fact_struck_at_another_terminal_meanwhile_is_not_said_twice(desk: Desk, job: str) -> None:
    entry = desk.say(said.PartRemoved(part="pan", name="pan"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f8")
        await bench.type("spelling")
        await bench.press("enter")
        await bench.type("s")
        desk.say(said.EntryStruck(entry=entry.id, why="there first"))
        desk.say(said.PartRemoved(part="pan", name="sump"))
        await bench.press("enter")
        assert "at another terminal meanwhile" in bench.answer()
        assert bench.on() == "RemovalScreen"
        assert [e.fact.name for e in desk.job().said(said.PartRemoved)] == ["sump"]
        assert any(line.value == "pans" for line in bench.screen.query(Line))


async def test_what_was_struck_in_the_workshop_is_brought_back_from_where_one_asks_what_is_wrong(desk: Desk) -> None:
    desk.say(said.PersonAdded(person="milo"))
    desk.say(said.EntryStruck(entry=desk.job("").entries[-1].id, why="left us"), job="")
    async with at_bench(desk) as bench:
        await bench.press("w", "x", "f9", "enter", "enter")
        assert bench.answer().startswith("kept: stands again")
    assert "milo" in desk.shop().people
