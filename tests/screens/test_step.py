"""One check as a line of the list."""

import pytest

from reassembly.job.asks import Turn
from reassembly.job.checks import Check
from reassembly.job.entries import Entry, FastenersRemoved
from reassembly.screens.step import check_line

SET = FastenersRemoved(part="pan", count=4)
SAID = Entry(bench="A", number=1, hlc=1, time="2026-03-14T10:00:00Z", who="ann", job="A-1", previous="", fact=SET)


@pytest.mark.parametrize(
    ("width", "detail", "end"),
    [
        (46, "M10x1.25x35 10.9", "4 new bolts on hand  M10x1.25x35 10.9"),
        (46, "M10x1.25x35 10.9, zinc flake", "4 new bolts on hand"),
        (76, "M10x1.25x35 10.9, zinc flake and wax, as marked", "M10x1.25x35 10.9, zinc flake and…"),
    ],
)
def test_a_size_stands_whole_beside_a_drawing_or_not_at_all(width: int, detail: str, end: str) -> None:
    check = Check("A.1.new", Turn.HAND, "4 new bolts on hand", detail, "pan", "confirm", safety=False, asked_by=SAID)
    assert check_line(check, False, width).endswith(end)
