"""A value that a tool showed: whether it confirms a stage, and what is kept of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from reassembly.job.measured import as_kept, out_of_limits
from reassembly.job.tightening import StageAsked

if TYPE_CHECKING:
    from reassembly.job.entries import StageKind


def stage(kind: StageKind, value: str) -> StageAsked:
    return StageAsked(1, 1, kind, value, 4)


# ISO 6789 type II class A, as in a wrench maker's manual: 4 % either way, 6 % up to 10 N.m. An angle: 5 degrees either
# way, common practice, no source. (kind, value asked, line of the tool, what the wrench is set to, unit of the job)
WITHIN: dict[str, tuple[StageKind, str, str, str, str]] = {
    "a torque": ("torque", "60 N.m", "60 N.m", "", "N.m"),
    "the low end": ("torque", "60 N.m", "57.6 N.m", "", "N.m"),
    "the high end": ("torque", "60 N.m", "62.4 N.m", "", "N.m"),
    "a small torque may be off by more": ("torque", "10 N.m", "10.6 N.m", "", "N.m"),
    "in another unit": ("torque", "60 N.m", "44.25 lbf.ft", "", "N.m"),
    "without a unit, as the job has it": ("torque", "44 lbf.ft", "44.5", "", "lbf.ft"),
    "through an adapter, the setting": ("torque", "60 N.m", "54.5 N.m", "54.5 N.m", "N.m"),
    "a check pass": ("check pass", "60 N.m", "60 N.m", "", "N.m"),
    "an angle": ("angle", "90 deg", "94", "", "N.m"),
    "with label and verdict": ("torque", "60 N.m", "T3 60.1 Nm OK", "", "N.m"),
    "nothing is measured by hand": ("by hand", "", "snug", "", "N.m"),
    "nor backing off": ("back off", "90 deg", "a quarter", "", "N.m"),
}
OUT: dict[str, tuple[StageKind, str, str, str, str, str]] = {
    "too low": ("torque", "60 N.m", "57 N.m", "", "N.m", "57 N.m is below 57.6 to 62.4 N.m"),
    "too high": ("torque", "60 N.m", "63 N.m", "", "N.m", "63 N.m is above 57.6 to 62.4 N.m"),
    "a small torque": ("torque", "10 N.m", "10.7 N.m", "", "N.m", "10.7 N.m is above 9.4 to 10.6 N.m"),
    "right number, wrong unit": ("torque", "60 N.m", "60 lbf.ft", "", "N.m", "60 lbf.ft is above"),
    "through an adapter, the torque itself": ("torque", "60 N.m", "60 N.m", "54.5 N.m", "N.m", "60 N.m is above"),
    "an angle": ("angle", "90 deg", "96", "", "N.m", "96 deg is above 85 to 95 deg"),
    "a check pass": ("check pass", "60 N.m", "57 N.m", "", "N.m", "57 N.m is below"),
    "no number": ("torque", "60 N.m", "tight", "", "N.m", "tight: not a measured value"),
    "an angle where a torque is asked": ("torque", "60 N.m", "60 deg", "", "N.m", "60 deg"),
}


@pytest.mark.parametrize(("kind", "value", "line", "set_to", "unit"), WITHIN.values(), ids=WITHIN.keys())
def test_within_limits_it_confirms(kind: StageKind, value: str, line: str, set_to: str, unit: str) -> None:
    assert out_of_limits(stage(kind, value), line, set_to, unit) == ""


@pytest.mark.parametrize(("kind", "value", "line", "set_to", "unit", "told"), OUT.values(), ids=OUT.keys())
def test_out_of_them_it_does_not_and_a_sentence_says_why(
    kind: StageKind, value: str, line: str, set_to: str, unit: str, told: str
) -> None:
    assert out_of_limits(stage(kind, value), line, set_to, unit).startswith(told)


KEPT: dict[str, tuple[StageKind, str, str, str]] = {
    "as it was typed": ("torque", "60.0 N.m", "N.m", "60.0 N.m"),
    "a unit that was left out": ("torque", "44.5", "lbf.ft", "44.5 lbf.ft"),
    "without the tool's label and verdict": ("torque", "T3 60.1 N.m OK", "N.m", "60.1 N.m"),
    "an angle": ("angle", "92", "N.m", "92 deg"),
    "words, where nothing is measured": ("by hand", "to the shoulder", "N.m", "to the shoulder"),
}


@pytest.mark.parametrize(("kind", "typed", "unit", "kept"), KEPT.values(), ids=KEPT.keys())
def test_number_and_unit_are_kept(kind: StageKind, typed: str, unit: str, kept: str) -> None:
    assert as_kept(stage(kind, "60 N.m"), typed, unit) == kept
