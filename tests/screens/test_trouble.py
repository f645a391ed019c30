"""A disk that is full, a journal that cannot be read: one sentence, nothing typed is lost, and on it goes after."""

from __future__ import annotations

import asyncio
import fcntl
import resource
import sqlite3
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING

import pytest
from textual.widgets import Input

from reassembly.job import entries as said
from reassembly.job.entries import BagPacked, EntryStruck, ExceptionAccepted, JobOpened, MarkMade, PartRemoved
from reassembly.record.desk import Desk
from reassembly.record.trouble import Trouble
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@contextmanager
def full_disk() -> Iterator[None]:
    """No file can grow."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@contextmanager
def unreadable() -> Iterator[None]:
    """Nothing can be read, as with a card that fell out."""

    def gone(*_: object, **__: object) -> None:
        raise Trouble("The disk does not answer: look at the card.")

    with pytest.MonkeyPatch.context() as patch:
        for name in ("job", "jobs", "shop", "customer", "owner_of", "say", "parts_named", "heads", "new_serial"):
            patch.setattr(Desk, name, gone)
        yield


@pytest.fixture
def stripped(desk: Desk) -> Desk:
    desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    desk.say(PartRemoved(part="pan", name="pan"))
    return desk


def told(bench: Bench) -> None:
    """One sentence, on the glass, that says what to do."""
    assert bench.app.answered.manner == "trouble"
    assert "say it again" in bench.answer()
    assert bench.answer()[:30] in bench.painted()


async def test_a_part_named_while_the_disk_is_full_stays_typed(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "s")
        await bench.type("propshaft")
        with full_disk():
            await bench.press("enter")
            told(bench)
            assert bench.screen.query_one("#name", Input).value == "propshaft"
        await bench.press("enter")
        assert [e.fact.part for e in stripped.job().said(PartRemoved)] == ["pan", "propshaft"]
        assert stripped.verify() == []


async def test_a_form_comes_back_as_it_was(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "s", "f3", "m")
        await bench.type("white paint")
        with full_disk():
            await bench.press("enter")
            told(bench)
            assert bench.screen.query_one("#field-mark", Input).value == "white paint"
        await bench.press("enter")
        assert [e.fact.mark for e in stripped.job().said(MarkMade)] == ["white paint"]


async def test_a_removal_comes_back_as_it_was(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "s")
        await bench.type("crossmember")
        await bench.press("f2", "tab", "right")
        with full_disk():
            await bench.press("enter")
            told(bench)
        await bench.press("enter")
        assert [(e.fact.name, e.fact.how) for e in stripped.job().said(PartRemoved)][1:] == [
            ("crossmember", "loosened")
        ]


async def test_a_check_in_comes_back_with_its_customer(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await bench.press("n")
        for text in ("4TN 881", "Kestrel van", "whine", "Rosa Lind"):
            await bench.type(text)
            await bench.press("tab")
        with full_disk():
            await bench.press("enter")
            told(bench)
            values = [box.value for box in bench.screen.query(Input)]
            assert {"4TN 881", "Kestrel van", "whine", "Rosa Lind"} <= set(values)
        await bench.press("enter")
        customer = desk.customer()
        assert customer is not None
        assert (desk.job().opened.complaint, customer.name) == ("whine", "Rosa Lind")


async def test_reasons_and_names_come_back_as_they_were(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "s", "f8")
        await bench.type("wrong vehicle")
        with full_disk():
            await bench.press("f8")
            told(bench)
        assert bench.screen.query_one(Input).value == "wrong vehicle"
        await bench.press("f8", "escape", "o")
        assert [e.fact.why for e in stripped.job().said(EntryStruck)] == ["wrong vehicle"]
        assert bench.on() == "SignoffScreen", bench.painted()
        await bench.press("e")
        await bench.type("no time")
        with full_disk():
            await bench.press("enter", "enter")
            told(bench)
        await bench.press("enter")
        assert [(e.fact.reason, e.fact.accepted_by) for e in stripped.job().said(ExceptionAccepted)] == [
            ("no time", "ann")
        ]


async def test_a_new_name_at_the_bench_stays_typed(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await bench.press("p", "shift+tab")
        await bench.type("cleo")
        with full_disk():
            await bench.press("enter", "end", "enter")
            told(bench)
            assert desk.who == "ann"
        await bench.press("enter", "end", "enter")
        assert desk.who == "cleo"


async def test_a_bag_can_be_packed_once_there_is_room(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "s")
        with full_disk():
            await bench.press("f4")
            told(bench)
        await bench.press("f4")
        assert [e.fact.parts for e in stripped.job().said(BagPacked)] == [("pan",)]


async def test_erasing_and_come_back_tell_the_trouble(stripped: Desk) -> None:
    from reassembly.record.customer import Customer

    stripped.say(said.CustomerNamed(digest=""), details=Customer(name="Rosa Lind"))
    async with at_bench(stripped) as bench:
        await bench.press("enter", "d", "z")
        await bench.type("by letter")
        await bench.press("enter", *"ann")
        with full_disk():
            await bench.press("enter")
            told(bench)
        assert stripped.customer() is not None
        with full_disk():
            await bench.press("l")
            assert bench.app.answered.manner == "trouble"


WAYS = {
    "bench": (), "who": ("p",), "check-in": ("n",), "workshop": ("w",), "person": ("w", "p"), "job": ("enter",),
    "job facts": ("enter", "v"), "finding": ("enter", "v", "f"), "strip-down": ("enter", "s"),
    "part": ("enter", "s", "f3"), "bolts": ("enter", "s", "f3", "b"), "strike": ("enter", "s", "f8"),
    "sign-off": ("enter", "o"), "settings": ("w", "e"),
    "exception": ("enter", "o", "e"), "record": ("enter", "d"),
}  # fmt: skip


@pytest.mark.parametrize("way", WAYS)
async def test_no_key_of_any_screen_breaks_while_nothing_can_be_read(stripped: Desk, way: str) -> None:
    from reassembly.screens.keyline import keys_of

    async with at_bench(stripped) as bench:
        await bench.press(*WAYS[way])
        keys = [key for key, _, action in keys_of(bench.screen) if "quit" not in action]
        spelled = {"Esc": "escape", "?": "question_mark", "/": "slash", "Space": "space"}
        with unreadable():
            await bench.type("x")
            for key in ("down", "tab", *keys):
                await bench.press(spelled.get(key, key.lower() if len(key) > 1 else key))
        assert bench.app.answered.manner in {"trouble", "warn", "told", "kept"}
        bench.app.screen.refresh_all()  # type: ignore[attr-defined]
        await bench.settled()
        assert bench.painted().strip()


@contextmanager
def held(folder: Path, how: str) -> Iterator[None]:
    """Another program writes: one of ours by its lock, one of somebody else's by SQLite's."""
    with (folder / "shop.lock").open() as lock, closing(sqlite3.connect(folder / "shop.db")) as other:
        if how == "ours":
            fcntl.flock(lock, fcntl.LOCK_EX)
        else:
            other.execute("begin immediate")
        yield


@pytest.mark.parametrize("how", ["ours", "another"])
async def test_nobody_waits_for_another_program_and_hears_when_it_is_done(how: str, stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "s")
        await bench.type("propshaft")
        with held(stripped.path, how):
            await bench.press("enter")
            assert bench.app.answered.manner == "trouble"
            assert "Another program holds" in bench.painted()
            assert bench.screen.query_one("#name", Input).value == "propshaft"
            await bench.type("s")  # keys go on meanwhile
            assert bench.screen.query_one("#name", Input).value == "propshafts"
            assert bench.app.answered.manner == "trouble"
        await bench.until(lambda: "other program is done" in bench.answer())
        await bench.press("enter")
        assert [e.fact.name for e in stripped.job().said(PartRemoved)] == ["pan", "propshafts"]


async def test_who_did_something_else_meanwhile_is_not_told(stripped: Desk) -> None:
    async with at_bench(stripped) as bench:
        await bench.press("enter", "s")
        await bench.type("propshaft")
        with held(stripped.path, "ours"):
            await bench.press("enter")
            assert bench.app.answered.manner == "trouble"
            bench.app.answer("something else")
        looked = bench.app._locked._next
        assert looked is not None
        await bench.until(lambda: not stripped.held_elsewhere() and asyncio.get_running_loop().time() > looked.when())
        await bench.settled()
        assert bench.answer() == "something else"
