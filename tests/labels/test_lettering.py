"""Words that do not fit are narrowed, wrapped, then cut with a sign."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.lettering import BOLD, REGULAR, WIDTHS, Row, cut, drawable, face, lines_in_rows, one_row, some_rows, wrap

words = st.text("abcdefgh ŽÖжΩ", max_size=60).map(drawable)
rooms = st.integers(60, 400)
CAPITAL = 15


@given(words, rooms)
def test_a_cut_text_fits_and_is_a_beginning(text: str, room: int) -> None:
    font = face(CAPITAL, REGULAR, 75)
    shown = cut(text, font, room)
    assert font.getlength(shown, "1") <= room
    assert shown == text or text.startswith(shown.removesuffix("…").rstrip())
    assert shown == text or shown.endswith("…")


def test_a_cut_never_parts_an_accent_from_its_letter() -> None:
    font = face(CAPITAL, REGULAR, 100)
    text = "x\N{COMBINING RING BELOW}" * 40
    assert all(cut(text, font, room).count("x") == cut(text, font, room).count("\u0325") for room in range(40, 300))


@given(words, rooms)
def test_wrapping_loses_nothing_and_fits(text: str, room: int) -> None:
    font = face(CAPITAL, BOLD, 100)
    rows = wrap(text, font, room)
    assert "".join("".join(rows).split()) == "".join(text.split())
    assert all(font.getlength(row, "1") <= room for row in rows)


@given(st.text("AVTofilŽÖжΩfl.,° \u0325", max_size=40), st.sampled_from((CAPITAL, 31, 52)), st.sampled_from(WIDTHS))
def test_letters_measured_one_by_one_are_as_long_as_the_row(text: str, capital: int, width: float) -> None:
    font = face(capital, BOLD, width)
    assert Row(text, font).length == font.getlength(text, "1")


@given(st.lists(words, max_size=7).map(tuple), rooms, st.integers(0, 6))
def test_lines_stay_in_their_rows_and_those_left_out_are_counted(lines: tuple[str, ...], room: int, limit: int) -> None:
    rows = lines_in_rows(lines, CAPITAL, room, limit)
    assert len(rows) <= limit
    said = [line for line in lines if line]
    if not said or not limit:
        return
    assert all(row.length <= max(room, row.face.getlength("… +7 more", "1")) for row in rows)
    whole = "".join("".join(row.text for row in rows).split()) == "".join("".join(said).split())
    assert whole or any("…" in row.text for row in rows) or rows[-1].text.endswith("more")


def test_the_important_line_stays_whole_when_the_last_is_left_out() -> None:
    lines = ("4 × M10x1.25, renew", "long bolts at 12 and 6 o'clock", "marks in line", "left side")
    rows = lines_in_rows(lines, CAPITAL, 180, 3)
    assert rows[0].text == lines[0]
    assert rows[-1].text.endswith("+2 more")


def test_letters_are_as_wide_as_there_is_room_for() -> None:
    for width in WIDTHS:
        just_enough = math.ceil(face(30, BOLD, width).getlength("Flange bolts", "1"))
        row = one_row("Flange bolts", 30, BOLD, just_enough)
        assert (row.text, row.face) == ("Flange bolts", face(30, BOLD, width))
    assert one_row("Flange bolts", 30, BOLD, just_enough - 1).cut


def test_a_text_takes_no_more_rows_than_it_is_given() -> None:
    assert [len(some_rows("long " * 40, 30, BOLD, 300, limit)) for limit in (1, 2, 3)] == [1, 2, 3]


@pytest.mark.parametrize("text", ["中文", "משחק", "نص", "🙂", "कि", "\ue000", "→"])
def test_what_the_font_cannot_draw_is_seen_to_be_missing(text: str) -> None:
    assert drawable(text) == "�" * len(text)


@pytest.mark.parametrize(
    "text", ["Žluťoučký kůň", "Прокладка", "Ωμέγα", "Đường", "4 × M10, 60 N·m, −5 °C, 2½″, Ø 12 mm²", "…�"]
)
def test_what_the_trade_writes_is_drawn(text: str) -> None:
    assert drawable(text) == text
    assert all(face(CAPITAL, REGULAR, width).getlength(text) > 0 for width in WIDTHS)
