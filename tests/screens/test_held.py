"""A key held down says one thing, and whoever presses again is heard: keys with their times stated, in seconds."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.code import Kind, make
from reassembly.job import entries as said
from reassembly.screens.held import FIRST_AGAIN
from reassembly.screens.wedge import Wedge
from tests.screens.bench import Bench, at_bench
from tests.screens.hands import FLANGE, ORDER, told
from tests.screens.test_tighten import started, tightened
from tests.screens.test_wedge import TIMED, evenly, feed

if TYPE_CHECKING:
    from pathlib import Path

    from reassembly.record.desk import Desk

COMMANDS = ("space", "n", "enter", "escape", "f4")
RATES = [(0.25, 0.033), (0.25, 0.045), (0.5, 0.033), (0.66, 0.04), (0.7, 0.045)]


@st.composite
def repeats(draw: st.DrawFn) -> list[float]:
    """The gaps of a key held down: first wait, pace, jitter, and sometimes two that are read at once."""
    first, pace = draw(st.floats(0.25, 0.7)), draw(st.floats(0.033, 0.045))
    jitter = draw(st.lists(st.floats(-0.004, 0.004), min_size=1, max_size=40))
    late = draw(st.integers(0, 5))
    at = [first + n * pace + by for n, by in enumerate([0.0, *jitter])]
    for n in range(late, len(at) - 1, 3):
        at[n] = at[n + 1]  # read together with the next
    return [b - a for a, b in zip([0.0, *at], at, strict=False)]


@given(st.sampled_from(COMMANDS), repeats(), st.booleans())
def test_a_key_held_down_comes_once(key: str, gaps: list[float], typing: bool) -> None:
    typing = typing and key not in {"space", "n"}
    assert feed(Wedge(), [(key, 0.0), *((key, gap) for gap in gaps)], typing) == [" " if key == "space" else key]


@given(st.sampled_from(COMMANDS), st.lists(st.floats(0.13, 1.5), max_size=12), st.booleans())
def test_every_press_of_a_finger_counts(key: str, gaps: list[float], typing: bool) -> None:
    came = feed(Wedge(), [(key, 0.0), *((key, gap) for gap in gaps)], typing)
    assert came == [" " if key == "space" else key] * (len(gaps) + 1)


@given(st.sampled_from(COMMANDS), repeats(), st.floats(0.13, 2))
def test_after_a_key_was_held_its_next_press_counts(key: str, gaps: list[float], pause: float) -> None:
    keys = [(key, 0.0), *((key, gap) for gap in gaps), (key, pause)]
    assert len(feed(Wedge(), keys, typing=False)) == 2


@pytest.mark.parametrize("key", ["up", "down", "left", "right", "shift+left", "pageup", "home", "backspace", "delete"])
@pytest.mark.parametrize("typing", [True, False])
def test_a_key_that_only_moves_goes_on_while_it_is_held(key: str, typing: bool) -> None:
    assert feed(Wedge(), [(key, 0.0), (key, 0.3), *[(key, 0.033)] * 9], typing) == [key] * 11


def test_letters_in_a_field_repeat() -> None:
    assert feed(Wedge(), [("n", 0.0), ("n", 0.3), *[("n", 0.04)] * 9], typing=True) == ["n"] * 11


def test_a_letter_that_opened_a_field_does_not_type_into_it_while_it_is_held() -> None:
    wedge, held = Wedge(), [("e", 0.3), *[("e", 0.033)] * 9]
    assert feed(wedge, [("e", 0.0)], typing=False) == ["e"]
    assert feed(wedge, held, typing=True) == []
    assert feed(wedge, evenly("eel", 0.15), typing=True, at=101) == [*"eel", "enter"]


@pytest.mark.parametrize("gap", [0.0, 0.005, 0.03])
@pytest.mark.parametrize("typing", [True, False])
def test_a_scan_of_one_letter_over_and_over_is_whole_after_a_held_key(gap: float, typing: bool) -> None:
    wedge, code = Wedge(), "BBBBBBBTBT"
    held: list[TIMED] = [("enter", 0.0), ("enter", 0.3), *[("enter", 0.04)] * 5]
    assert feed(wedge, [*held, ("B", 0.2), *evenly(code, gap)[1:]], typing) == ["enter", f"[{code}]"]
    assert feed(wedge, evenly(code, gap), typing, at=102) == [f"[{code}]"]


def test_a_paste_between_two_enters_is_between_them() -> None:
    wedge = Wedge()
    assert feed(wedge, [("enter", 0.0)], typing=True) == ["enter"]
    assert wedge.paste("gearbox plug", True, 100.02) is None
    assert feed(wedge, [("enter", 0.0)], typing=True, at=100.04) == ["enter"]


def test_a_doubted_key_keeps_its_place_before_a_scan() -> None:
    code = make(Kind.BAG, "KD", 4711)
    keys = [("n", 0.0), ("n", 0.3), (code[0], 0.05), *evenly(code, 0.005)[1:]]
    assert feed(Wedge(), keys, typing=False) == ["n", "n", f"[{code}]"]


def test_the_same_key_long_after_is_not_kept_waiting() -> None:
    wedge = Wedge()
    feed(wedge, [("escape", 0.0)], typing=False)
    assert feed(wedge, [("escape", 0.0)], typing=False, at=100 + FIRST_AGAIN) == ["escape"]
    assert wedge.due is None


def answered(desk: Desk) -> int:
    return sum(1 for _ in desk.job().said(said.CheckConfirmed)) + len(tightened(desk))


async def at_refit(bench: Bench, desk: Desk) -> None:
    await bench.press("enter", "r")
    await bench.until(lambda: bench.on() == "RefitScreen")


@pytest.mark.parametrize(("first", "pace"), RATES)
async def test_space_held_at_refit_confirms_one_check(tmp_path: Path, desk: Desk, first: float, pace: float) -> None:
    told(desk)
    desk.open_job = desk.jobs(ORDER)[0].id
    async with at_bench(desk) as bench:
        await at_refit(bench, desk)
        before = answered(desk)
        await bench.hold("space", [first, *[pace] * 40])
        assert answered(desk) == before + 1
        assert bench.on() == "RefitScreen"


async def test_space_held_never_crosses_from_the_check_to_the_bolts(desk: Desk) -> None:
    told(desk)
    desk.open_job = desk.jobs(ORDER)[0].id
    started(desk)
    async with at_bench(desk) as bench:
        bench.app.wrench = "T2"
        await at_refit(bench, desk)
        await bench.hold("space", [0.4, *[0.033] * 40])
        assert bench.on() == "TightenScreen"
        assert tightened(desk) == []
        await bench.hold("space", [0.4, *[0.033] * 40])
        assert [position for _, position, _ in tightened(desk)] == [1]


async def test_a_tap_for_each_bolt_tightens_each(desk: Desk) -> None:
    told(desk)
    desk.open_job = desk.jobs(ORDER)[0].id
    started(desk)
    async with at_bench(desk) as bench:
        bench.app.wrench = "T2"
        await at_refit(bench, desk)
        await bench.press("space", *["space"] * 4)
        assert [(stage, position) for stage, position, _ in tightened(desk)] == [(1, n) for n in (1, 3, 2, 4)]
        await bench.press(*["space"] * 4)
        assert len(tightened(desk)) == 8


async def test_enter_held_on_the_bench_opens_the_job_and_nothing_in_it(desk: Desk) -> None:
    told(desk)
    async with at_bench(desk) as bench:
        await bench.hold("enter", [0.3, *[0.033] * 20])
        assert [type(screen).__name__ for screen in bench.app.screen_stack] == ["JobsScreen", "JobScreen"]


async def test_escape_held_leaves_one_screen(desk: Desk) -> None:
    told(desk)
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f5")
        assert bench.on() == "ShorthandScreen"
        await bench.hold("escape", [0.3, *[0.033] * 20])
        assert bench.on() == "StripdownScreen"


async def test_a_reason_asked_for_by_a_key_is_not_filled_in_by_it(desk: Desk) -> None:
    told(desk)
    async with at_bench(desk) as bench:
        await at_refit(bench, desk)
        assert FLANGE.upper() in bench.painted()
        await bench.hold("e", [0.3, *[0.033] * 20])
        assert bench.on() != "RefitScreen"
        assert "eee" not in bench.painted()
