"""The line above the keys: what it answers, and on which screen."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.record.printing import new_code
from tests.screens.bench import at_bench
from tests.screens.hands import told

if TYPE_CHECKING:
    from reassembly.record.desk import Desk

LOOKING_ON = {
    "sign-off": ("o",),
    "record": ("d",),
    "check-in": ("v",),
    "finding": ("v", "f"),
    "exception": ("o", "e"),
    "a code typed": ("o", "slash"),
}


@pytest.mark.parametrize("way", LOOKING_ON)
@pytest.mark.parametrize("pasted", [False, True], ids=["scanned", "pasted"])
async def test_a_bag_of_the_open_job_is_told_where_it_has_no_use(desk: Desk, way: str, pasted: bool) -> None:
    story = told(desk)
    letters = f"{story.pan_bag[:5]} {story.pan_bag[5:]}"
    async with at_bench(desk) as bench:
        await bench.press("enter", *LOOKING_ON[way])
        await (bench.paste(story.pan_bag) if pasted else bench.scan(story.pan_bag))
        answer = bench.answer()
        assert answer == (
            f"OF THIS JOB: gearbox pan, NOT FITTED YET, shelf B1, bag {letters}. Scan it at refit to go to it"
        )
        assert answer.split(".")[0] in " ".join(bench.painted().split())
        await bench.scan(story.other_bag)
        assert re.match(r"this label belongs to .*, \d{4}-\d\d-\d\d \(job \w\w-\d+\): open that job", bench.answer())


async def test_a_label_of_the_open_job_under_which_nothing_is_packed(desk: Desk) -> None:
    told(desk)
    desk.open_job = desk.jobs("412")[0].id
    code = new_code(desk)
    desk.say(said.LabelPrinted(code=code, copy_number=1, printer="bags"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "o")
        await bench.scan(code)
        assert "is of this job, and nothing is packed under it" in bench.answer()


async def test_an_answer_does_not_stand_under_the_next_screen_or_the_one_below(desk: Desk) -> None:
    told(desk)
    async with at_bench(desk) as bench:
        await bench.press("enter", "o", "f9")
        assert "checks are open" in bench.painted()
        await bench.press("d")
        assert bench.on() == "RecordScreen"
        assert bench.answer() == ""
        await bench.press("escape", "f9", "escape")
        assert bench.on() == "JobScreen"
        assert bench.answer() == ""


async def test_what_was_kept_is_told_where_one_returns_to_and_not_on_the_next_screen(desk: Desk) -> None:
    told(desk)
    async with at_bench(desk) as bench:
        await bench.press("enter", "s")
        await bench.type("dust cap")
        await bench.press("enter")
        assert bench.answer().startswith("kept: dust cap")
        await bench.press("escape")
        assert bench.on() == "JobScreen"
        assert "kept: dust cap" in bench.painted()
        await bench.press("r")
        assert "kept" not in bench.painted()


async def test_that_nothing_was_kept_stands_until_something_else_is_answered(desk: Desk) -> None:
    told(desk)
    async with at_bench(desk) as bench:
        await bench.press("enter", "o")
        bench.app.answer("NOT KEPT: the card is full", "trouble")
        await bench.press("escape", "r")
        assert "NOT KEPT" in bench.painted()
