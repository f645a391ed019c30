"""A recall on the screen: from a wrench of the workshop to the customers to call."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.job.entries import Stage
from reassembly.record.customer import Customer
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


def tightened_with_t3(desk: Desk, registration: str, customer: str, vehicle: str = "Kestrel van") -> str:
    job = desk.open_new(said.JobOpened(vehicle=vehicle, registration=registration))
    desk.say(said.CustomerNamed(digest=""), details=Customer(name=customer, phone="0555 1"))
    desk.say(said.PartRemoved(part="flange", name="rear flange"))
    spec = desk.say(said.TorqueSpecified(part="flange", stages=(Stage("torque", "60 N.m"),)))
    bolts = desk.say(said.FastenersRemoved(part="flange", count=2, reuse="renew"))
    desk.say(said.RenewalReceived(needed=bolts.id, batch="7731"))
    for position in (1, 2):
        desk.say(said.StageTightened(specification=spec.id, stage=1, position=position, wrench="T3"))
    return job


@pytest.fixture
def shop(desk: Desk) -> Desk:
    desk.say(said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m"))
    desk.say(said.WrenchCalibrated(wrench="T3", on="2020-01-05"))
    tightened_with_t3(desk, "4TN 881", "Jo Lark")
    tightened_with_t3(desk, "9XX 10", "Mo Finch", "Heron [/red]\x1b[2J pick-up")
    desk.say(said.WrenchFailed(wrench="T3", on="2099-01-01", why="read 12 % low"))
    desk.open_job = ""
    return desk


async def at_recall(bench: Bench) -> None:
    """From the bench to the wrench that failed, which was said last."""
    await bench.press("w", "r")
    assert bench.on() == "RecallScreen", bench.painted()


async def test_a_failed_wrench_leads_to_whom_to_call(shop: Desk) -> None:
    async with at_bench(shop) as bench:
        await at_recall(bench)
        told = bench.painted()
        assert "wrench T3" in told
        assert "4 entries of 2 jobs" in told
        assert "last good calibration 2020-01-05" in " ".join(told.split())
        assert "struck out are not counted" in told
        newest, oldest = bench.options("#found")
        assert "9XX 10" in newest
        assert "Mo Finch, 0555 1" in newest
        assert "4TN 881" in oldest
        assert "\x1b" not in told
        await bench.press("down")
        assert "tightened: rear flange, 60 N.m, positions 1, 2" in bench.painted()


async def test_the_job_under_the_bar_opens_and_leads_back(shop: Desk) -> None:
    async with at_bench(shop) as bench:
        await at_recall(bench)
        await bench.press("down", "enter")
        assert bench.on() == "JobScreen"
        assert shop.job().opened.registration == "4TN 881"
        shop.erase(shop.open_job, "asked by letter")
        await bench.press("escape")
        assert bench.on() == "RecallScreen"
        assert "details erased on request" in bench.options("#found")[1]
        assert "Lark" not in bench.painted()


async def test_it_is_written_as_a_table_and_as_pages_into_the_data_folder(shop: Desk) -> None:
    async with at_bench(shop) as bench:
        await at_recall(bench)
        await bench.press("t")
        await bench.until(lambda: bench.answer().startswith("written: ") and bench.answer().endswith(".csv"))
        await bench.press("p")
        await bench.until(lambda: bench.answer().endswith(".pdf"))
        table, pages = sorted((shop.path / "recalls").iterdir())
        assert [row["customer"] for row in csv.DictReader(table.read_text("utf-8-sig").splitlines())] == [
            "Mo Finch",
            "Mo Finch",
            "Jo Lark",
            "Jo Lark",
        ]
        assert pages.read_bytes().startswith(b"%PDF")


async def test_a_batch_is_asked_for_by_name_and_since_a_day(shop: Desk) -> None:
    async with at_bench(shop) as bench:
        await at_recall(bench)
        await bench.press("o", "down", "enter")
        await bench.type("77-31")
        await bench.press("enter")
        assert "2 entries of 2 jobs about batch 77-31" in bench.painted()
        await bench.press("s")
        await bench.type("tomorrow")
        await bench.press("enter")
        assert "type the day as 2026-03-14" in bench.answer()
        await bench.press("ctrl+u")
        await bench.type("2098-01-01")
        await bench.press("enter")
        assert "0 entries of 0 jobs" in bench.painted()
        assert bench.options("#found") == []
        await bench.press("enter")
        assert bench.on() == "RecallScreen"


async def test_where_nothing_is_under_the_bar_it_asks_of_what(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await bench.press("w", "r")
        assert bench.on() == "RecallScreen"
        assert "person ben" in bench.painted()
        await bench.press("escape", "x")
        await bench.type("left us")
        await bench.press("f8", "x")
        await bench.type("left us")
        await bench.press("f8", "r")
        assert bench.on() == "PickScreen", bench.painted()


@pytest.mark.parametrize("size", [(80, 24), (50, 15), (120, 40)])
async def test_it_can_be_read_in_every_terminal(shop: Desk, size: tuple[int, int]) -> None:
    async with at_bench(shop, size) as bench:
        await at_recall(bench)
        assert "4 entries of 2 jobs" in bench.painted()
        assert "9XX 10" in bench.painted()
        assert "Mo Finch, 0555 1" in bench.painted()
