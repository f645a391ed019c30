"""The clock never goes back, whatever the wall clock does."""

import ctypes
import time
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job.entries import CheckConfirmed
from reassembly.record import clock
from tests.record.bench import START, Wall, desk_in, with_job

walls = st.lists(st.integers(0, 2**46), min_size=1, max_size=40)


@given(walls)
def test_stamps_only_grow_and_are_never_behind_the_wall(readings: list[int]) -> None:
    last = 0
    for reading in readings:
        stamp = clock.tick(reading, last)
        assert stamp > last
        assert clock.milliseconds(stamp) >= reading
        last = stamp


def test_a_stamp_shows_the_wall_clock_where_that_runs_ahead() -> None:
    assert clock.milliseconds(clock.tick(START, 5)) == START


def test_entries_stay_in_order_through_an_hour_back_and_1970(tmp_path: Path) -> None:
    wall = Wall()
    with desk_in(tmp_path, wall) as desk:
        with_job(desk)
        said = []
        for reading in (START, START - 3_600_000, 0, START + 1, START - 5, START + 90_000):
            wall.milliseconds = reading
            said.append(desk.say(CheckConfirmed(check=f"{reading}")))
        assert [entry.id for entry in desk.job().entries[1:]] == [entry.id for entry in said]
        assert [entry.hlc for entry in said] == sorted({entry.hlc for entry in said})
        assert desk.verify() == []


def test_the_moment_is_told_with_the_offset_of_the_place(monkeypatch: pytest.MonkeyPatch) -> None:
    moment = 1_773_500_000 * 1_000_000_000
    monkeypatch.setenv("TZ", "Etc/GMT-2")  # two hours east, in the reversed sign of that name
    time.tzset()
    clock._second.cache_clear()
    assert clock.told(moment) == "2026-03-14T16:53:20+02:00"
    monkeypatch.undo()
    time.tzset()
    clock._second.cache_clear()
    assert datetime.fromisoformat(clock.told(moment)).timestamp() == 1_773_500_000


@pytest.mark.parametrize(("error", "right"), [(0, True), (500_000, True), (16_000_000, False), (-1, False)])
def test_a_clock_is_trusted_while_the_kernel_knows_its_error(
    error: int, right: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    # adjtimex(2): maxerror is the fourth word of struct timex; nothing disciplines the clock at 16 s
    def adjtimex(answer: Any) -> int:
        answer[3] = error
        return 0 if error >= 0 else -1

    monkeypatch.setattr(clock, "_adjtimex", lambda: adjtimex)
    clock._synchronised_at.cache_clear()
    assert clock.synchronised() is right
    clock._synchronised_at.cache_clear()


def test_the_kernel_answers_or_the_clock_is_not_trusted() -> None:
    assert clock._largest_error() >= -1
    assert ctypes.sizeof(ctypes.c_long) * 64 >= 208
    assert clock.synchronised() in (True, False)
