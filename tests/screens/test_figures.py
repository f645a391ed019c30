"""Block figures, the drawing of a joint, and wordings in capitals."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.screens.banner import BIG, LETTERS, OTHER_JOB
from reassembly.screens.bignumbers import Number, arranged
from reassembly.screens.figures import block, fitted
from reassembly.screens.joint import drawn
from reassembly.screens.step import capitals
from reassembly.trade.layout import positions

DRAWN = " ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.-/"


@given(st.text(DRAWN, min_size=1, max_size=12), st.integers(1, 3))
def test_every_row_of_a_figure_is_equally_long(text: str, scale: int) -> None:
    rows = block(text, scale)
    assert len(rows) == -(-5 * scale // 2)
    assert len({len(row) for row in rows}) == 1


def test_no_two_signs_look_alike() -> None:
    assert len({tuple(block(sign)) for sign in DRAWN.replace("O", "")}) == len(DRAWN) - 1


@pytest.mark.parametrize("words", [*BIG.values(), OTHER_JOB])
def test_every_answer_to_a_scan_fits_a_small_panel_in_large_letters(words: str) -> None:
    assert fitted(words, 48, LETTERS)


def test_what_cannot_be_drawn_is_not_half_drawn() -> None:
    assert block("4°") == []


def test_numbers_that_find_no_room_stand_in_plain_letters() -> None:
    number = Number("torque", "128.5", "N.m")
    assert arranged([number], 12, 2) == ["torque 128.…"]
    assert arranged([number], 20, 2) == ["torque 128.5 N.m"]


LAYOUTS = st.sampled_from(["circle", "rectangle", "perimeter", "row"])


@given(LAYOUTS, st.integers(2, 30).map(lambda n: 2 * n), st.integers(20, 90), st.integers(4, 30), st.data())
def test_every_position_is_drawn_once_at_most_and_the_next_one_always(
    layout: str, count: int, width: int, height: int, data: st.DataObject
) -> None:
    following = data.draw(st.integers(1, count))
    marks = [f">{n}<" if n == following else f"{n}[ ]" for n in range(1, count + 1)]
    rows = drawn(positions(layout, count), marks, width, height)
    painted = " ".join(rows).split("[ ]")
    assert len(rows) <= height
    assert all(len(row) <= width for row in rows)
    assert f">{following}<" in " ".join(rows)
    numbers = [piece.split()[-1] for piece in painted[:-1]]
    assert len(numbers) == len(set(numbers))


@pytest.mark.parametrize(
    ("layout", "count", "cells"),
    [("circle", 4, (17, 5)), ("circle", 12, (40, 13)), ("perimeter", 13, (40, 13)), ("rectangle 2x2", 4, (17, 5))],
)
def test_the_usual_joints_are_drawn_at_their_places(layout: str, count: int, cells: tuple[int, int]) -> None:
    rows = drawn(positions(layout, count), [f"{n}[ ]" for n in range(1, count + 1)], *cells)
    first = next(row for row in rows if "1[ ]" in row)
    assert rows.index(first) == 0
    assert sum(row.count("[ ]") for row in rows) == count


@pytest.mark.parametrize(
    ("typed", "painted"),
    [
        ("stage 1 of 2: 20 N.m", "STAGE 1 OF 2: 20 N.m"),
        ("14 g locking plate at hole 1", "14 g LOCKING PLATE AT HOLE 1"),
        ("6 new bolts on hand", "6 NEW BOLTS ON HAND"),
        ("marks in line", "MARKS IN LINE"),
        ("turn 90 deg further", "TURN 90 deg FURTHER"),
    ],
)
def test_capitals_leave_units_as_they_are(typed: str, painted: str) -> None:
    assert capitals(typed) == painted
