"""A value that a tool showed at one stage of a joint: whether it confirms that stage, and what is kept of it."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from reassembly.trade.measured import limits, read_measured
from reassembly.trade.quantity import read
from reassembly.trade.wrench import DEVIATION

if TYPE_CHECKING:
    from reassembly.job.entries import CheckConfirmed, StageTightened
    from reassembly.job.tightening import StageAsked
    from reassembly.trade.measured import Measured
    from reassembly.trade.units import Dimension

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


_MOST = 2
"""Times the torque asked that a wrench with an adapter is set to, at most: common practice, no source."""


def does_not_confirm(stage: StageAsked, said: StageTightened | CheckConfirmed, torque_unit: str) -> str:
    """Why what was said does not confirm this stage: its value is no such quantity, or out of the limits of the stage
    and of what the wrench was set to. Nothing where no value was said, or where none is asked."""
    if stage.kind not in MEASURED or not said.value.strip():
        return ""
    dimension: Dimension = "angle" if stage.kind == "angle" else "torque"
    unit = "deg" if dimension == "angle" else torque_unit
    try:
        got = read(said.value, dimension, unit)
        if got.number <= 0:
            return f"{got.shown} tightens nothing"
        why = ""
        setting = getattr(said, "setting", "") if dimension == "torque" else ""
        for asked in filter(str.strip, (stage.value, setting)):
            wanted = read(asked, dimension, unit)
            if why and wanted.number > _MOST * read(stage.value, dimension, unit).number:
                break
            if got.unit == wanted.unit and abs(got.number - wanted.number) <= Decimal(DEVIATION) * wanted.number:
                return ""  # known without the unit library
            out = limits(asked, dimension, unit).outside(got)
            if not out:
                return ""
            why = why or out
    except ValueError as error:
        return str(error)
    return why
