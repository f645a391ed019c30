"""Every screen in every size: nothing breaks, the keys are told, the answer stands above them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.job.entries import JobOpened, PartRemoved, Stage
from reassembly.record.customer import Customer
from reassembly.screens.frame import Frame
from reassembly.screens.keyline import keys_of
from tests.screens.bench import Bench, at_bench
from tests.screens.test_trouble import WAYS

if TYPE_CHECKING:
    from reassembly.record.desk import Desk

SIZES = ((80, 24), (50, 15), (66, 20), (100, 30), (200, 50))
HOSTILE = {
    "orders": "[/x][@click=app.quit]go[/] [bold \x1b[31mred\x1b]0;t\x07\x9b2J\x00 \u202eevil\u2066\u200b",
    "scripts": "العربية עברית 👨\u200d👩\u200d👧 😀 中文字符 한글 e"
    + "\u0301" * 500
    + " one\ntwo\r\nthree\tfour\x0b\x85",
    "length": "x" * 2_000,  # as long as a fact may be
}


def furnish(desk: Desk, words: str = "") -> None:
    """A job, a part, a shop in which everything that can be said says these words, or what people say."""

    def say(usual: str) -> str:
        return words or usual

    desk.open_new(
        JobOpened(
            vehicle=say("Kestrel van"), registration=say("4TN 881"), complaint=say("whine at 80"), order=say("412")
        )
    )
    desk.say(said.CustomerNamed(digest=""), details=Customer(name=say("Rosa Lind"), phone=say("0555 0142")))
    desk.say(PartRemoved(part="pan", name=say("gearbox pan"), note=say("")))
    desk.say(said.FastenersRemoved(part="pan", count=13, thread=say("M6x1"), strength=say("8.8"), drive=say("")))
    desk.say(said.TorqueSpecified(part="pan", stages=(Stage("torque", say("10 N.m")),), layout=say(""), source=say("")))
    desk.say(said.MarkMade(part="pan", mark=say("white paint"), to=say("")))
    desk.say(said.BagPacked(bag="BCDFGHJKLN", parts=("pan",), holds=say(""), shelf=say("C4")))
    desk.say(said.CareNoted(care="look", what=say("filler plug")))
    desk.say(said.FindingNoted(what=say("leak"), where=say("rear")))
    desk.say(said.WrenchAdded(wrench=say("T3"), low=say("40 N.m"), high=say("200 N.m"), name=say("click wrench")))
    desk.say(said.SpecNoted(vehicle=say("Kestrel"), joint=say("pan"), stages=(), source=say("manual")))
    desk.say(said.BenchNamed(name=say("by the window")))


@pytest.mark.parametrize("way", WAYS)
async def test_every_screen_in_every_size(desk: Desk, way: str) -> None:
    furnish(desk)
    async with at_bench(desk) as bench:
        await bench.press(*WAYS[way])
        for size in SIZES:
            await bench.resize(*size)
            looks_right(bench, size)


@pytest.mark.parametrize("way", WAYS)
async def test_in_another_size_nothing_is_left_as_it_was_cut_for_the_last(desk: Desk, way: str) -> None:
    furnish(desk, "words that fill a row of a small panel more than once, and yet no row of a large one")
    async with at_bench(desk, (50, 15)) as bench:
        await bench.press(*WAYS[way])
        for size in ((120, 30), (50, 15)):
            await bench.pilot.resize_terminal(*size)
            await bench.settled()
            resized = bench.painted()
            assert isinstance(bench.screen, Frame)
            bench.screen.refresh_all()
            await bench.settled()
            assert bench.painted() == resized


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("size", SIZES[1:], ids=str)
async def test_a_window_resized_while_in_use_shows_what_one_opened_so_does(
    desk: Desk, way: str, size: tuple[int, int]
) -> None:
    furnish(desk)
    desk.say(JobOpened(vehicle="Kestrel van, high roof, long", registration="4TN 881", complaint="whine at 80 " * 9))
    seen = []
    for opened in ((80, 24), size):
        async with at_bench(desk, opened) as bench:
            await bench.press(*WAYS[way])
            await bench.pilot.resize_terminal(*size)
            await bench.settled()
            seen.append(bench.painted())
            desk.open_job = ""
    assert seen[0] == seen[1]


FEW = [(1, 1), (2, 3), (3, 6), (4, 4), (5, 2), (6, 5), (4, 24), (2, 24), (1, 24)]
SHOWN = {**WAYS, "bags": ("enter", "b"), "refit": ("enter", "r"), "pick": ("enter", "r", "o"), "workings": ("f6",)}


@pytest.mark.parametrize("way", SHOWN)
async def test_every_screen_lives_through_a_window_of_a_few_cells(desk: Desk, way: str) -> None:
    """Textual raises ValueError where an option's own padding leaves its words no column, and so does textwrap."""
    furnish(desk)
    async with at_bench(desk) as bench:
        await bench.press(*SHOWN[way])
        for size in FEW:
            await bench.resize(*size)
            assert len(bench.painted().split("\n")) == size[1]
        await bench.resize(80, 24)
        looks_right(bench, (80, 24))


LISTS = {
    **WAYS, "bags": ("enter", "b"), "workings": ("enter", "r", "f6"), "refit": ("enter", "r"), "shop": ("w",)
}  # fmt: skip


@pytest.mark.parametrize("way", LISTS)
async def test_a_page_turns_also_where_a_list_has_no_row(desk: Desk, way: str) -> None:
    """Textual's own list raises KeyError there."""
    furnish(desk)
    async with at_bench(desk) as bench:
        await bench.press(*LISTS[way])
        for size in ((50, 15), (80, 12), (120, 10), (20, 6)):
            await bench.resize(*size)
            await bench.press("pagedown", "pageup", "end", "home")


async def test_the_record_shows_three_of_its_entries_on_a_small_panel(desk: Desk) -> None:
    furnish(desk)
    desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881", complaint="whine " * 40, earlier="BB-1"))
    async with at_bench(desk, (50, 15)) as bench:
        await bench.press("enter", "d")
        assert bench.on() == "RecordScreen"
        assert bench.screen.query_one("#told").content_size.height >= 3
        assert bench.screen.query_one("#answer").region.bottom <= 15 - bench.screen.query_one("#keys").size.height


def looks_right(bench: Bench, size: tuple[int, int]) -> None:
    lines = bench.painted().split("\n")
    assert len(lines) == size[1]
    keys = [f"{key} {words}" for key, words, _ in keys_of(bench.screen)]
    foot = "\n".join(lines[-5:])
    shown = [key for key in keys if key in foot]
    assert keys
    assert shown[-1] == keys[-1] if size[0] >= 80 else shown, bench.painted()
    if size[0] >= 80:
        assert shown == keys, bench.painted()
    else:  # where not all find room, help and the way out do
        assert re.search(rf"(\?|F1) ({'Keys' if shown == keys else f'{len(keys) - len(shown) - 1} more'})", foot)
        assert any(key.startswith("Esc ") for key in shown) or not any(key.startswith("Esc ") for key in keys)
    assert "ann" in lines[0], bench.painted()
    bench.screen.answer("kept: the words")  # type: ignore[attr-defined]
    answer, line = bench.screen.query_one("#answer").region, bench.screen.query_one("#keys").region
    assert answer.bottom == line.y, bench.painted()
    assert line.bottom == size[1]
    assert answer.height >= 1


@pytest.mark.parametrize(
    ("way", "line", "said"),
    [
        ((), "#find", "0 found"),
        (("p", "shift+tab"), "#name", "WHO IS"),
        (("n",), "#field-vehicle", "100,000 characters"),
        (("enter", "s"), "#name", "as a note"),
        (("enter", "s", "f3", "m"), "#field-mark", "100,000 characters"),
        (("enter", "s", "f8", "enter"), "#typed", "100,000 characters"),
    ],
)
async def test_far_too_many_words_are_refused_and_stay(desk: Desk, way: tuple[str, ...], line: str, said: str) -> None:
    furnish(desk)
    async with at_bench(desk) as bench:
        await bench.press(*way)
        if not way:
            await bench.press("slash")
        bench.screen.query_one(line).focus()
        before = desk.heads()
        await bench.paste("x" * 100_000)
        await bench.press("enter")
        assert said in bench.painted()
        assert desk.heads() == before


@pytest.mark.parametrize("words", HOSTILE)
async def test_hostile_words_break_no_screen(desk: Desk, words: str) -> None:
    furnish(desk, HOSTILE[words])
    async with at_bench(desk) as bench:
        for way in WAYS.values():
            await bench.press(*way)
            painted = bench.painted()
            assert painted.strip()
            assert all(c.isprintable() for c in painted.replace("\n", ""))
            while bench.on() != "JobsScreen":
                await bench.press("escape")
