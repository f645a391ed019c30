"""Dates and decimals as a shop writes them: a value, and what was typed is not its business."""

from __future__ import annotations

import pytest

from reassembly.job.notation import USUAL, Notation

WRITTEN = {
    "2026-03-14": "on 2026-03-14 16:55", "14.03.2026": "on 14.03.2026 16:55", "14 Mar 2026": "on 14 Mar 2026 16:55",
    "Mar 14 2026": "on Mar 14 2026 16:55", "no form of ours": "on 2026-03-14 16:55",
}  # fmt: skip


@pytest.mark.parametrize("form", WRITTEN)
def test_a_date_is_written_in_forms_in_which_no_day_is_a_month(form: str) -> None:
    written = Notation(form)
    assert written.dated("on 2026-03-14 16:55") == WRITTEN[form]
    assert written.dated("part 2026-13-14, 12026-03-140") == "part 2026-13-14, 12026-03-140"


def test_a_time_and_a_day_are_the_ones_of_the_clock_on_the_wall() -> None:
    here = Notation("14 Mar 2026", ",")
    assert here.minute("2026-03-14T16:55:03+01:00") == "14 Mar 2026 16:55"
    assert here.day("2026-03-14T16:55:03+01:00") == "14 Mar 2026"
    assert (here.minute(""), here.day("")) == ("", "")


def test_only_a_point_between_digits_is_a_decimal_sign() -> None:
    assert Notation(decimal=",").computed("leaves 1.5 N.m. 3 of 4.") == "leaves 1,5 N.m. 3 of 4."
    assert USUAL.computed("1.5 N.m") == Notation(decimal=";").computed("1.5 N.m") == "1.5 N.m"
