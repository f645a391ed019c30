"""A value that a tool showed at one stage of a joint: whether it confirms that stage, and what is kept of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.trade.measured import limits, read_measured

if TYPE_CHECKING:
    from reassembly.job.tightening import StageAsked
    from reassembly.trade.measured import Measured

WITH_A_WRENCH = frozenset({"torque", "check pass"})
MEASURED = frozenset({*WITH_A_WRENCH, "angle"})
"""Kinds of a stage: those that a torque wrench is set for, and those that a tool shows a number of."""


def reading(stage: StageAsked, line: str, torque_unit: str) -> Measured:
    """Number, unit, label and verdict of a line. Raises ValueError with one sentence."""
    angle = stage.kind == "angle"
    return read_measured(line, "angle", "deg") if angle else read_measured(line, "torque", torque_unit)


def as_kept(stage: StageAsked, typed: str, torque_unit: str) -> str:
    """Number and unit of a typed value, without a tool's label and verdict."""
    return reading(stage, typed, torque_unit).reading.shown if stage.kind in MEASURED else typed


def out_of_limits(stage: StageAsked, line: str, set_to: str, torque_unit: str) -> str:
    """Why a measured value does not confirm this stage. With an adapter the tool shows what it is `set_to`."""
    if stage.kind not in MEASURED:
        return ""
    try:
        got = reading(stage, line, torque_unit).reading
        if stage.kind == "angle":
            return limits(stage.value, "angle", "deg").outside(got)
        return limits(set_to or stage.value, "torque", torque_unit).outside(got)
    except ValueError as error:
        return str(error)
