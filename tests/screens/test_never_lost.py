"""A terminal comes back to where it was: the real program killed in a real terminal, and files nobody wrote."""

from __future__ import annotations

import json
import os
import signal
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.record.place import FOLDER, Keeper, Level, Place
from reassembly.record.trouble import Trouble
from reassembly.screens.app import ReassemblyApp
from tests.screens.bench import Bench, new_desk
from tests.screens.terminal import ENTER, Terminal

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Iterator
    from pathlib import Path

    from reassembly.record.desk import Desk

ESC, DOWN, F3, F8, TAB = "\x1b", "\x1b[B", "\x1bOR", "\x1b[19~", "\t"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Desk]:
    with new_desk(tmp_path) as desk:
        desk.open_new(said.JobOpened(vehicle="Tallis van", registration="7KD 204"))
        desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881"))
        desk.say(said.PartRemoved(part="undertray", name="undertray"))
        desk.say(said.PartRemoved(part="heat shield", name="heat shield"))
        yield desk


def left(desk: Desk) -> str:
    """What the terminals' files hold now."""
    return "\n".join(path.read_text() for path in (desk.path / FOLDER).glob("*.json"))


def killed(terminal: Terminal) -> None:
    os.kill(terminal.pid, signal.SIGKILL)


def program(desk: Desk) -> Terminal:
    return Terminal("-m", "reassembly", "--data", str(desk.path))


def to_stripdown(terminal: Terminal) -> None:
    terminal.shows("2 open", "Open")
    terminal.send(ENTER)
    terminal.shows("Strip-down: what came off")
    terminal.send("s")
    terminal.shows("what came off?", "heat shield")


def typed(terminal: Terminal, text: str) -> None:
    """As fingers do it, and painted."""
    terminal.keys(text, [0.05] * len(text))


def test_a_half_typed_line_is_there_again_after_a_kill(shop: Desk) -> None:
    with program(shop) as terminal:
        to_stripdown(terminal)
        typed(terminal, "crossmember, left, 3 x M12")
        terminal.until(lambda: "3 x M12" in left(shop), "the line was never held")
        killed(terminal)
        before = shop.job().entries
    with program(shop) as terminal:
        terminal.shows("STRIP-DOWN", "Kestrel van", "crossmember, left, 3 x M12", "as it was left", "ann")
        assert shop.job().entries == before
        typed(terminal, "x1.75" + ENTER)
        terminal.until(lambda: any(e.fact.thread.startswith("M12") for e in shop.job().said(said.FastenersRemoved)))


def test_a_half_filled_form_on_a_part_is_there_again_with_its_cursor(shop: Desk) -> None:
    with program(shop) as terminal:
        to_stripdown(terminal)
        terminal.send(DOWN)
        terminal.until(lambda: '"focus":"off"' in left(shop), "the list was never reached")
        terminal.send(DOWN)
        terminal.until(lambda: '"off":"undertray"' in left(shop), "the bar never moved")
        terminal.send(F3)
        terminal.shows("at refit", "undertray")
        terminal.send("b")
        terminal.shows("BOLTS")
        typed(terminal, "3")
        terminal.send(TAB)
        typed(terminal, "M6x1")
        terminal.until(lambda: "M6x1" in left(shop), "the form was never held")
        killed(terminal)
    with program(shop) as terminal:
        terminal.shows("BOLTS", "M6x1", "as it was left")
        typed(terminal, "x20")
        terminal.shows("M6x1x20")
        terminal.send(ENTER)
        terminal.until(lambda: list(shop.job().said(said.FastenersRemoved)))
        (bolts,) = shop.job().said(said.FastenersRemoved)
        assert (bolts.fact.part, bolts.fact.count) == ("undertray", 3)
        assert "M6x1x20" in str(bolts.fact)
        terminal.send(ESC)
        terminal.shows("STRIP-DOWN")
        terminal.keys(ESC + ESC, [0.0, 0.3])
        terminal.shows("Strip-down: what came off")


def test_a_check_in_half_filled_is_there_again(shop: Desk) -> None:
    with program(shop) as terminal:
        terminal.shows("2 open", "Open")
        terminal.send("n")
        terminal.shows("CHECK-IN")
        typed(terminal, "9XR 77")
        terminal.send(TAB)
        typed(terminal, "Tern estate")
        terminal.until(lambda: "Tern estate" in left(shop), "the form was never held")
        killed(terminal)
    with program(shop) as terminal:
        terminal.shows("CHECK-IN", "9XR 77", "Tern estate")
        assert len(shop.jobs()) == 2


def test_what_was_struck_out_to_be_said_again_is_still_asked_for(shop: Desk) -> None:
    with program(shop) as terminal:
        to_stripdown(terminal)
        terminal.send(F8)
        terminal.shows("STRIKE OUT", "heat shield")
        typed(terminal, "slip" + ENTER)
        terminal.shows("WHAT CAME OFF?")
        typed(terminal, " rear")
        terminal.until(lambda: "heat shield rear" in left(shop), "the form was never held")
        killed(terminal)
    with program(shop) as terminal:
        terminal.shows("WHAT CAME OFF?", "heat shield rear")
        terminal.send(ENTER)
        terminal.until(lambda: any(e.fact.name == "heat shield rear" for e in shop.job().said(said.PartRemoved)))


def test_two_terminals_come_back_each_to_its_own(shop: Desk) -> None:
    with program(shop) as one, program(shop) as two:
        for terminal, name in ((one, "first line"), (two, "second line")):
            to_stripdown(terminal)
            typed(terminal, name)
        one.until(lambda: "first line" in left(shop) and "second line" in left(shop))
        killed(one)
        killed(two)
    with program(shop) as one, program(shop) as two:
        for terminal in (one, two):
            terminal.shows("STRIP-DOWN", "as it was left", " line")
        painted = one.painted(), two.painted()
        assert sorted("first line" in glass for glass in painted) == [False, True]
        assert sorted("second line" in glass for glass in painted) == [False, True]


# --- the file itself -----------------------------------------------------------------------------


@contextmanager
def keeper(folder: Path, name: str = "tty1") -> Iterator[Keeper]:
    made = Keeper(folder, name)
    try:
        yield made
    finally:
        made.close()


PLACE = Place(who="ann", levels=(Level("JobsScreen", "BENCH", typed={"find": "4tn"}),))


def test_a_place_is_read_as_it_was_written(tmp_path: Path) -> None:
    with keeper(tmp_path) as first:
        assert first.read() is None
        first.write(PLACE)
    with keeper(tmp_path) as again:
        assert again.read() == PLACE


def test_a_second_program_on_the_same_terminal_has_a_file_of_its_own(tmp_path: Path) -> None:
    with keeper(tmp_path) as first, keeper(tmp_path) as second:
        first.write(PLACE)
        assert second.read() is None
        second.write(Place(who="ben"))
        assert first.read() == PLACE


def test_a_terminal_that_is_gone_leaves_its_place_to_the_next_and_only_once(tmp_path: Path) -> None:
    with keeper(tmp_path, "pts-7") as gone:
        gone.write(PLACE)
        with keeper(tmp_path, "pts-8") as beside:
            assert beside.read() is None
    with keeper(tmp_path, "pts-9") as next_one, keeper(tmp_path, "pts-10") as another:
        assert next_one.read() == PLACE
        assert another.read() is None


@pytest.mark.parametrize(
    "written",
    [b"", b"\0" * 4096, b"{", b"[]", b'{"levels": 3}', b'{"levels": [{"screen": 1}]}', b"\xff\xfe{}", b"[" * 100000,
     b'{"who": "' + b"x" * (2 << 20) + b'"}'],
    ids=["empty", "zeros", "torn", "a list", "no levels", "wrong level", "not text", "deep", "huge"],
)  # fmt: skip
def test_a_damaged_file_is_told_in_words_and_replaced(tmp_path: Path, written: bytes) -> None:
    (tmp_path / FOLDER).mkdir()
    (tmp_path / FOLDER / "tty1.json").write_bytes(written)
    with keeper(tmp_path) as damaged:
        with pytest.raises(Trouble, match="Nothing that was kept is lost"):
            damaged.read()
        damaged.write(PLACE)
        assert damaged.read() == PLACE


# --- and what a program of another version, or nobody, may have written --------------------------


@contextmanager
def written(desk: Desk, *levels: object) -> Iterator[None]:
    (desk.path / FOLDER).mkdir(exist_ok=True)
    (desk.path / FOLDER / "tty1.json").write_text(json.dumps({"who": "ann", "levels": levels}))
    yield


async def come_back(desk: Desk) -> AsyncIterator[Bench]:
    app = ReassemblyApp(desk, terminal="tty1")
    async with app.run_test(size=(80, 24)) as pilot:
        bench = Bench(app, pilot)
        await bench.until(lambda: desk.listening and app.answered.words, "never came back")
        await bench.settled()
        yield bench


BENCH = {"screen": "JobsScreen", "heading": "BENCH"}


@pytest.mark.parametrize(
    "levels",
    [
        (BENCH, {"screen": "JobScreen", "heading": "JOB", "way": ["open_job", "ZZ-9999"]}),
        (BENCH, {"screen": "JobScreen", "heading": "JOB", "way": ["open_job", 5, 6]}),
        (BENCH, {"screen": "Lift", "heading": "LIFT", "way": ["raise"], "typed": {"name": "half a line"}}),
        (BENCH, {"screen": "Lift", "way": [[]], "typed": {"name": "half a line"}}),
        (BENCH, {"screen": "Lift", "way": [], "typed": {"name": "half a line"}}),
        ({"screen": "Lift", "typed": {"name": "half a line"}},),
        ({**BENCH, "bars": {"jobs": "#x", "nothing": "#1"}, "focus": "nothing", "typed": {"find": "\x1b[2J[/b]"}},),
    ],
)
async def test_whatever_stands_in_the_file_the_program_starts(
    shop: Desk, levels: tuple[dict[str, object], ...]
) -> None:
    before = shop.heads()
    with written(shop, *levels):
        async for bench in come_back(shop):
            assert bench.on() in {"JobsScreen", "JobScreen"}
            if any("half a line" in str(level) for level in levels):
                assert "half a line" in bench.answer()
    assert shop.heads() == before


async def test_nothing_is_said_on_the_way_back(shop: Desk) -> None:
    """A way that would confirm, sign or strike is gone without a word kept."""
    job = shop.open_job
    stack = (
        BENCH,
        {"screen": "JobScreen", "heading": "JOB", "way": ["open_job", job]},
        {"screen": "RefitScreen", "way": ["go", "refit"], "more": {"key": "", "part": None, "put_off": []}},
        {"screen": "TightenScreen", "heading": "", "way": ["confirm"]},
    )
    before = shop.job(job).entries
    with written(shop, *stack):
        async for bench in come_back(shop):
            assert bench.on() == "RefitScreen"
    assert shop.job(job).entries == before


async def test_what_was_kept_after_the_place_is_told_before_it_is_said_twice(shop: Desk) -> None:
    job = shop.open_job
    stack = [BENCH, {"screen": "JobScreen", "heading": "JOB", "way": ["open_job", job]}]
    (shop.path / FOLDER).mkdir()
    last = shop.job(job).entries[-2].id
    (shop.path / FOLDER / "tty1.json").write_text(json.dumps({"who": "ann", "last": last, "levels": stack}))
    async for bench in come_back(shop):
        assert "kept since" in bench.answer()
        assert "heat shield" in bench.answer()


# --- and who is at the bench, where it was started in a name that nobody here has -----------------


@pytest.mark.parametrize("left", [(), (BENCH,)], ids=["first time", "left at the bench"])
async def test_a_stranger_is_told_so_and_asked_who_is_at_the_bench(shop: Desk, left: tuple[object, ...]) -> None:
    shop.who = ""
    with written(shop, *left):
        app = ReassemblyApp(shop, terminal="tty1", stranger="Nobody in this workshop is called zoe (known: ann)")
        async with app.run_test(size=(80, 24)) as pilot:
            bench = Bench(app, pilot)
            await bench.until(lambda: bench.on() == "WhoScreen" and shop.listening)
            await bench.until(lambda: "Nobody in this workshop is called zoe" in bench.painted())
            assert shop.who == ""


async def test_that_nothing_was_kept_is_not_replaced_by_what_matters_less(shop: Desk) -> None:
    app = ReassemblyApp(shop, terminal="tty1")
    async with app.run_test(size=(80, 24)):
        app.answer("Nothing was kept: the disk is gone.", "trouble")
        app.returning._written(Place(), Trouble("No room."))
        assert app.answered.words == "Nothing was kept: the disk is gone."
        app.answer("kept: pan", "kept")
        app.returning._written(Place(), Trouble("No room: make some, then say it again."))
        assert app.answered.words == (
            "kept: pan. What is half typed would not outlive a power cut now. No room: make some."
        )
