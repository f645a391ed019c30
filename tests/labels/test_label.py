"""The words: anything may be typed, nothing invisible reaches a label."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.code import Kind, make
from labels.label import Label, plain

CODE = make(Kind.BAG, "KD", 1)


@pytest.mark.parametrize(
    "code", ["", "KDTRB", CODE.lower(), f"{CODE[:5]} {CODE[5:]}", CODE[:-1] + "X", "4006381333931"]
)
def test_a_label_with_a_code_that_nobody_could_scan_is_refused(code: str) -> None:
    with pytest.raises(ValueError, match="ten letters"):
        Label(code, "Flange bolts")


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("Flange bolts", "Flange bolts"),
        ("  two\tlines\r\nof text ", "two lines of text"),
        ("\x1b[31mred", "�[31mred"),
        ("abc\u202edef\u2066", "abc�def�"),
        ("zero\u200bwidth", "zero�width"),
        ("no\u00a0break", "no break"),
        ("O\u0308lwanne", "Ölwanne"),
        ("[/bold]", "[/bold]"),
        ("\ud800", "�"),
    ],
)
def test_what_is_invisible_is_seen(typed: str, shown: str) -> None:
    assert plain(typed) == shown


@given(st.text())
def test_plain_text_has_only_what_can_be_seen_and_loses_no_letter(text: str) -> None:
    shown = plain(text)
    assert shown.isprintable()
    assert bool(shown) == bool(text.strip())
