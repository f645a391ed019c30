"""A wrench not to be trusted: asked about once a joint, and named beside what it tightened."""

from __future__ import annotations

import pytest

from reassembly.job import entries as said
from reassembly.job.job import Job
from reassembly.job.joint import joint
from reassembly.job.plan import plan
from reassembly.job.shop import Shop
from reassembly.job.wrenches import distrusted, to_be_asked
from tests.job.histories import History

SHOP = History()
for fact in (
    said.WrenchAdded(wrench="T2", low="2 N.m", high="25 N.m"),
    said.WrenchCalibrated(wrench="T2", on="2024-01-10", until="2024-12-31"),
    said.WrenchAdded(wrench="T1", low="10 N.m", high="110 N.m"),
    said.WrenchCalibrated(wrench="T1", on="2026-01-10", until="2026-12-31"),
):
    SHOP.say(fact)
SHOP_NOW = Shop.of(SHOP.entries)


def history(*facts: object, value: str = "35 N.m") -> Job:
    told = History()
    told.say(said.PartRemoved(part="pan", name="gearbox pan"))
    told.say(said.FastenersRemoved(part="pan", count=4, thread="M8"))
    told.say(said.TorqueSpecified(part="pan", stages=(said.Stage("torque", value),), source="manual"))
    for fact in facts:
        told.say(fact)
    return Job.of(told.entries)


def turned(wrench: str, position: int | None = 1, value: str = "") -> said.StageTightened:
    return said.StageTightened(specification="A.3", stage=1, position=position, wrench=wrench, value=value)


def asked(job: Job, wrench: str, value: str = "") -> str:
    found = joint(job, plan(job), "A.3")
    assert found
    return to_be_asked(found, turned(wrench, 2, value), job, SHOP_NOW, "2026-03-14")


OUT = "it was out of calibration since 2024-12-31"


@pytest.mark.parametrize(
    ("before", "torque", "wrench", "why"),
    [
        ([], "35 N.m", "T2", f"T2 cannot be trusted here: {OUT}; 35 N.m is above its range"),
        ([], "4 N.m", "T1", "T1 cannot be trusted here: 4 N.m is below its range"),
        ([], "15 N.m", "T1", ""),  # below a fifth of its scale: a warning, no question
        ([], "35 N.m", "T9", "T9 cannot be trusted here: it is not in the rack"),
        ([], "35 N.m", "", "no wrench in hand"),
        ([turned("T2")], "35 N.m", "T2", ""),
        ([turned("T1")], "35 N.m", "T2", f"T2 cannot be trusted here: {OUT}; 35 N.m is above its range"),
        ([turned("T2", value="20 N.m")], "35 N.m", "T2", "T2 cannot be trusted here: 35 N.m is above its range"),
        ([turned("")], "35 N.m", "", ""),
        ([turned("T2"), said.EntryStruck(entry="A.4", why="undone")], "35 N.m", "T2",
         f"T2 cannot be trusted here: {OUT}; 35 N.m is above its range"),
        ([turned("T2"), said.PartRemoved(part="pan", name="gearbox pan")], "35 N.m", "T2",
         f"T2 cannot be trusted here: {OUT}; 35 N.m is above its range"),
    ],
)  # fmt: skip
def test_it_is_asked_once_a_joint_and_wrench(before: list[object], torque: str, wrench: str, why: str) -> None:
    assert asked(history(*before, value=torque), wrench) == why


def test_what_a_tool_measured_needs_no_wrench_in_hand() -> None:
    assert asked(history(), "", "35 N.m") == ""


@pytest.mark.parametrize(
    ("done", "told"),
    [
        ([turned("T2", None)], "with T2, was out of calibration since 2024-12-31, above its range"),
        ([turned("T2", 1), turned("T2", 2)], "with T2, was out of calibration since 2024-12-31, above its range"),
        ([turned("T1", 1), turned("T9", 2)], "with T9, is not in the rack"),
        ([turned("T1", None)], ""),
        ([turned("", None)], ""),
        ([turned("T2", None), said.PartRemoved(part="pan", name="gearbox pan")], ""),
    ],
)
def test_a_stage_says_what_it_was_tightened_with(done: list[object], told: str) -> None:
    job = history(*done)
    (check,) = [c for c in plan(job).checks if c.way == "tighten"]
    assert distrusted(check, job, SHOP_NOW) == told
    assert [distrusted(c, job, SHOP_NOW) for c in plan(job).checks if c.way != "tighten"].count("") >= 1
