"""Lines from measuring tools: the grammar tried for digital torque tools and callipers, and the limits of a stage."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.measured import limits, looks_measured, read_measured

if TYPE_CHECKING:
    from reassembly.trade.units import Dimension

READ: dict[str, tuple[Dimension, str, str, str]] = {  # line: dimension, number with unit, label, verdict
    "45.2 N.m": ("torque", "45.2 N.m", "", ""),
    "45.2Nm": ("torque", "45.2 N.m", "", ""),
    "+45,2": ("torque", "45.2 N.m", "", ""),
    "+0045.20 Nm": ("torque", "45.20 N.m", "", ""),
    "TQ 45.2 Nm OK": ("torque", "45.2 N.m", "TQ", "OK"),
    "T3: 33.4 lbf.ft NG": ("torque", "33.4 lbf.ft", "T3", "NG"),
    "33.4 ft lb ok": ("torque", "33.4 lbf.ft", "", "OK"),
    "60 NG": ("torque", "60 N.m", "", "NG"),
    "12.34mm": ("length", "12.34 mm", "", ""),
    "-0.5 deg": ("angle", "-0.5 deg", "", ""),
    "90 deg OK\r\n": ("angle", "90 deg", "", "OK"),
}
UNIT = {"torque": "N.m", "length": "mm", "angle": "deg"}


@pytest.mark.parametrize("line", READ)
def test_what_tools_send_is_understood(line: str) -> None:
    dimension, told, label, verdict = READ[line]
    assert looks_measured(line)
    found = read_measured(line, dimension, UNIT[dimension])
    number, _, unit = told.partition(" ")
    assert float(found.reading.number) == float(number)
    assert (found.reading.unit, found.label, found.verdict) == (unit, label, verdict)


@pytest.mark.parametrize(
    "line",
    [
        "", "OK", "NaN N.m", "inf", "1e3 N.m", "1,234 N.m", "1.234.5 N.m", "٤٥ N.m", "45.2 kg", "45.2 N", "45.2 mm",
        "45.2 N.m\x1b[2J", "45.2\x00N.m", "4" * 65, "45.2 N.m 46.1 N.m", "BKDTRVNVXC", "https://example.org/45",
        "-5 N.m", "45.2 N.m OK OK", "the value is 45",
    ],
)  # fmt: skip
def test_what_no_tool_sends_is_refused_in_one_sentence(line: str) -> None:
    with pytest.raises(ValueError, match=r".") as refused:
        read_measured(line, "torque", "N.m")
    assert str(refused.value).isprintable()


@given(st.text(max_size=80))
def test_any_line_is_read_or_refused_with_a_sentence(line: str) -> None:
    with suppress(ValueError):
        found = read_measured(line, "torque", "N.m")
        assert found.reading.number >= 0


@pytest.mark.parametrize(
    ("asked", "dimension", "inside", "outside"),
    [
        # ISO 6789 type II class A, as in a wrench maker's manual: 4 % above 10 N.m, 6 % up to 10 N.m
        ("60 N.m", "torque", ["57.6 N.m", "60", "62.4 N.m", "45.0 lbf.ft"], ["57.59 N.m", "62.41 N.m", "60 lbf.ft"]),
        ("10 N.m", "torque", ["9.4 N.m", "10.6 N.m"], ["9.3 N.m", "10.7 N.m"]),
        ("44 lbf.ft", "torque", ["44 lbf.ft", "60 N.m"], ["44 N.m"]),
        ("90 deg", "angle", ["85 deg", "95", "0.25 turn"], ["84.9 deg", "96 deg"]),
    ],
)
def test_the_limits_of_a_stage(asked: str, dimension: Dimension, inside: list[str], outside: list[str]) -> None:
    band = limits(asked, dimension, UNIT[dimension])
    assert [band.outside(read_measured(line, dimension, UNIT[dimension]).reading) for line in inside] == [""] * len(
        inside
    )
    told = [band.outside(read_measured(line, dimension, UNIT[dimension]).reading) for line in outside]
    assert all(" is below " in words or " is above " in words for words in told)


def test_out_of_limits_is_told_with_both_ends_and_their_source() -> None:
    told = limits("60 N.m", "torque", "N.m").outside(read_measured("63 N.m", "torque").reading)
    assert told == "63 N.m is above 57.6 to 62.4 N.m (60 N.m, 4 % either way, as ISO 6789)"
