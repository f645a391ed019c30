"""Whoever comes back to a terminal after a start is asked whether it is still the same person."""

from __future__ import annotations

import json
import time
from contextlib import asynccontextmanager
from typing import TYPE_CHECKING

import pytest
from textual.widgets import Input

from labels.code import Kind, make
from reassembly.job import entries as said
from reassembly.record.desk import Desk
from reassembly.record.place import FOLDER
from reassembly.screens.app import ReassemblyApp
from tests.screens.bench import Bench

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Iterator
    from pathlib import Path

BADGE = make(Kind.PERSON, "KD", 9)
NOON = 1_790_000_000 // 86_400 * 86_400 + 43_200  # of a day by UTC, in seconds
MINUTE = 60


class Clock:
    seconds = NOON

    def __call__(self) -> int:
        return self.seconds * 1_000_000_000


@pytest.fixture(autouse=True)
def zone(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def shop(tmp_path: Path, clock: Clock) -> Iterator[Desk]:
    with Desk.open(tmp_path, who="ann", now=clock, trusted=lambda: True) as desk:
        for person, badge in (("ann", ""), ("ben", ""), ("cat", BADGE)):
            desk.say(said.PersonAdded(person=person, badge=badge))
        desk.open_new(said.JobOpened(vehicle="Kestrel van", order="412"))
        desk.say(said.PartRemoved(part="pan", name="pan"))
        yield desk


@asynccontextmanager
async def come_back(desk: Desk, *scans: str) -> AsyncIterator[Bench]:
    """At strip-down with half a line, as ann left it."""
    job, desk.who, desk.open_job = desk.open_job, "", ""
    levels = [
        {"screen": "JobsScreen", "heading": "BENCH"},
        {"screen": "JobScreen", "heading": "JOB", "way": ["open_job", job]},
        {"screen": "StripdownScreen", "heading": "STRIP-DOWN", "way": ["go", "stripdown"], "typed": {"name": "shaf"}},
    ]
    last = desk.job(job).entries[-1].id
    (desk.path / FOLDER).mkdir(exist_ok=True)
    (desk.path / FOLDER / "tty1.json").write_text(json.dumps({"who": "ann", "last": last, "levels": levels}))
    app = ReassemblyApp(desk, terminal="tty1")
    for scan in scans:
        app.call_later(app.scans.take, scan)  # behind the program's own first messages, before it is as it was left
    async with app.run_test(size=(80, 24)) as pilot:
        bench = Bench(app, pilot)
        await bench.until(lambda: not app.returning.under_way and app.answered.words, "never came back")
        await bench.settled()
        yield bench


@pytest.mark.parametrize(("later", "asked"), [(5 * MINUTE, False), (31 * MINUTE, True), (24 * 60 * MINUTE, True)])
async def test_it_is_asked_after_a_while_and_on_a_new_day(shop: Desk, clock: Clock, later: int, asked: bool) -> None:
    clock.seconds += later
    async with come_back(shop) as bench:
        assert bench.on() == ("StillScreen" if asked else "StripdownScreen")
        assert "as it was left; ann is at the bench" in bench.answer()


async def test_just_after_midnight_is_a_new_day(shop: Desk, clock: Clock) -> None:
    clock.seconds = NOON + 12 * 60 * MINUTE - MINUTE
    shop.say(said.PartRemoved(part="nut", name="nut"))
    clock.seconds += 2 * MINUTE
    async with come_back(shop) as bench:
        assert bench.on() == "StillScreen"


async def test_one_key_says_yes_and_the_line_is_as_it_was(shop: Desk, clock: Clock) -> None:
    clock.seconds += 31 * MINUTE
    async with come_back(shop) as bench:
        await bench.press("enter")
        assert (bench.on(), shop.who) == ("StripdownScreen", "ann")
        assert bench.screen.query_one("#name", Input).value == "shaf"
        await bench.press("t", "enter")
        assert (shop.job().entries[-1].who, shop.job().entries[-1].fact.name) == ("ann", "shaft")


async def test_a_badge_answers_and_a_label_waits_for_it(shop: Desk, clock: Clock) -> None:
    clock.seconds += 31 * MINUTE
    before = shop.heads()
    async with come_back(shop) as bench:
        await bench.scan(make(Kind.BAG, "KD", 77))
        assert "say first who is here" in bench.answer()
        await bench.scan(BADGE)
        assert (bench.on(), shop.who) == ("StripdownScreen", "cat")
    assert shop.heads() == before


@pytest.mark.parametrize("key", ["p", "escape"])
async def test_somebody_else_says_a_name_and_until_then_nobody_is_here(shop: Desk, clock: Clock, key: str) -> None:
    clock.seconds += 31 * MINUTE
    async with come_back(shop) as bench:
        await bench.press(key)
        assert bench.on() == "WhoScreen"
        await bench.press(*"ben", "enter")
        assert (bench.on(), shop.who) == ("StripdownScreen", "ben")


async def test_a_scan_right_after_a_start_waits_until_the_screen_is_as_it_was_left(shop: Desk) -> None:
    code = make(Kind.BAG, "KD", 78)
    shop.say(said.BagPacked(bag=code, parts=("pan",)))
    async with come_back(shop, code) as bench:
        assert "holds pan" in bench.answer()
        assert [e.fact.code for e in shop.job().said(said.LabelSeen)] == [code]
