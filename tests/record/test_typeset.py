"""The lines of a page: a quick way of breaking them has to break them as the library does."""

from datetime import UTC, datetime

from fpdf.enums import MethodReturnValue
from hypothesis import given
from hypothesis import strategies as st

from reassembly.record.typeset import LINE, Pages

PAGES = Pages("title", "foot", datetime(2026, 3, 14, tzinfo=UTC))
WORDS = st.lists(st.sampled_from(["M10x1.25x35", "propshaft", "-", ",", "40 N.m", "“x”", "gearbox-pan", "a/b", "…"]))


@given(WORDS, st.floats(15, 180))
def test_what_fits_in_one_line_is_left_as_the_library_leaves_it(several: list[str], width: float) -> None:
    text = " ".join(several)
    lines = PAGES.multi_cell(width, LINE, text, dry_run=True, output=MethodReturnValue.LINES)
    assert PAGES._broken_in(text, width) == lines
