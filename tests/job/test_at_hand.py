"""What one step needs on the bench, as long as a check that needs it is open."""

from __future__ import annotations

from reassembly.job import entries as said
from reassembly.job.at_hand import AtHand, at_hand
from reassembly.job.job import Job
from reassembly.job.plan import plan
from tests.job.histories import entries_of

FLANGE = (
    said.PartRemoved(part="flange", name="propshaft, rear flange"),
    said.FastenersRemoved(
        part="flange", count=4, thread="M10x1.25", lengths=("35",), drive="hex 15", reuse="renew", safety_critical=True
    ),
    said.TorqueSpecified(
        part="flange",
        stages=(said.Stage("by hand"), said.Stage("torque", "30 N.m"), said.Stage("angle", "90 deg")),
        source="manual",
    ),
    said.RenewalNeeded(part="flange", what="sealing ring", count=2),
    said.CareNoted(part="flange", care="grease", what="seal lip"),
    said.CareNoted(part="flange", care="inspect", what="faces"),
    said.AidFitted(part="flange", aid="wire"),
    said.PartRemoved(part="pan", name="gearbox pan"),
    said.FastenersRemoved(part="pan", count=13, drive="hex 10"),
)


def needs(*more: said.Fact) -> AtHand:
    job = Job.of(entries_of(*FLANGE, *more))
    step = plan(job).step("flange")
    assert step is not None
    return at_hand(step)


def confirmed(*keys: str) -> tuple[said.CheckConfirmed, ...]:
    return tuple(said.CheckConfirmed(check=f"KD.{key}") for key in keys)


def test_tools_new_parts_what_goes_on_and_what_comes_out_of_this_step_alone() -> None:
    assert needs() == AtHand(
        tools=("hex 15", "torque wrench for 30 N.m", "angle gauge"),
        new=("4 bolts M10x1.25x35", "2 x sealing ring"),
        goes_on=("grease or oil: seal lip", "paint for the stripe"),
        comes_out=("wire",),
    )


def test_what_was_used_need_not_be_laid_out_again() -> None:
    assert needs(
        *confirmed("2.hand", "2.started", "3.stage2", "4.hand", "4.fitted", "5.care", "7.out")
    ) == AtHand(tools=("angle gauge",), new=(), goes_on=("paint for the stripe",), comes_out=())  # fmt: skip


def test_two_torques_are_one_wrench_and_a_drive_is_named_once() -> None:
    found = needs(
        said.TorqueSpecified(part="flange", stages=(said.Stage("torque", "60 N.m"), said.Stage("torque", "60 N.m"))),
        said.FastenersRemoved(part="flange", count=2, fasteners="long bolts", drive="hex 15"),
    )
    assert found.tools == ("hex 15", "torque wrench for 30 N.m and 60 N.m", "angle gauge")


def test_each_kind_is_told_in_a_line() -> None:
    assert needs().told == (
        "tools: hex 15, torque wrench for 30 N.m, angle gauge",
        "new: 4 bolts M10x1.25x35, 2 x sealing ring",
        "goes on: grease or oil: seal lip, paint for the stripe",
        "comes out: wire",
    )
