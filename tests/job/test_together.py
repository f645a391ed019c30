"""What one key may say of a step: all that needs no more than saying so, and nothing beyond what waits."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.entries import Entry, Fact
from reassembly.job.job import Job
from reassembly.job.plan import plan
from reassembly.job.together import looked_at_alone, saying, together
from tests.job.test_capture_measure import typed_in_turn

if TYPE_CHECKING:
    from reassembly.job.checks import Check

FLANGE = "propshaft, rear flange"


def taken_apart() -> Job:
    job, _ = typed_in_turn()
    return job


def and_said(job: Job, *facts: Fact, who: str = "ben") -> Job:
    at = len(job.entries)
    more = (
        Entry(bench="A", number=at + n, hlc=at + n, time="", who=who, job="A.1", previous="", fact=fact)
        for n, fact in enumerate(facts, 1)
    )
    return Job((*job.entries, *more))


def free(job: Job, part: str) -> Job:
    """The job with every step before this part done, so that its turn has come."""
    for step in plan(job).steps:
        if step.part.id == part:
            return job
        plain = [check for check in step.checks if check.way in {"confirm", "receive", "aid"}]
        stages = [check for check in step.checks if check.way == "tighten"]
        tight = (
            said.StageTightened(specification=c.asked_by.id, stage=int(c.key.rpartition("stage")[2])) for c in stages
        )
        job = and_said(job, *map(saying, plain), *tight)
    raise AssertionError(part)


def told(several: tuple[Check, ...]) -> list[str]:
    return [check.wording for check in several]


def test_it_ends_before_a_weight_or_a_tooth_which_is_looked_at_alone() -> None:
    job = free(taken_apart(), FLANGE)
    assert told(together(plan(job), FLANGE)) == ["4 new bolts on hand", "marks in line"]
    job = and_said(job, *map(saying, together(plan(job), FLANGE)))
    assert together(plan(job), FLANGE) == ()
    weights = [check for check in plan(job).checks if check.part == FLANGE and looked_at_alone(check)]
    assert told(tuple(weights)) == ["14 g locking plate at hole 1", "6 g locking plate at hole 3"]
    job = and_said(job, saying(weights[0]))
    assert together(plan(job), FLANGE) == (), "the other weight is not in its hole yet"
    job = and_said(job, saying(weights[1]))
    assert told(together(plan(job), FLANGE)) == ["back in place", "all 4 new bolts started by hand"]
    job = free(taken_apart(), "sliding yoke")
    assert told(together(plan(job), "sliding yoke")) == ["greased or oiled: splines", "marks in line"]


def test_it_ends_before_the_joint_and_goes_on_after_it() -> None:
    job = free(taken_apart(), FLANGE)
    job = and_said(job, *(saying(c) for c in plan(job).checks if c.part == FLANGE and looked_at_alone(c)))
    before = together(plan(job), FLANGE)
    assert told(before) == [
        "4 new bolts on hand",
        "marks in line",
        "back in place",
        "all 4 new bolts started by hand",
    ]
    job = and_said(job, *map(saying, before))
    assert together(plan(job), FLANGE) == ()
    stages = [check.key for check in plan(job).checks if check.part == FLANGE and check.way == "tighten"]
    assert together(plan(job), FLANGE, said=stages[1:]) == (), "the first stage is open"
    assert told(together(plan(job), FLANGE, said=stages)) == ["stripe painted across every head"]


def test_another_person_a_scan_and_a_tool_are_never_said_by_it() -> None:
    job = taken_apart()
    job = and_said(job, said.BagPacked(bag="BBBBBCCCCC", parts=("temperature sensor",)))
    refit = plan(job)
    for step in refit.steps:
        assert {check.way for check in together(refit, step.part.id)} <= {"confirm", "receive", "aid"}
    assert together(refit, "") == (), "what is asked of the whole vehicle is looked at one by one"


def test_nothing_of_a_step_whose_turn_has_not_come() -> None:
    assert together(plan(taken_apart()), FLANGE) == ()


@pytest.mark.parametrize(
    ("put_off", "left"),
    [("marks in line", ["4 new bolts on hand"]), ("4 new bolts on hand", ["marks in line"])],
)
def test_what_was_put_off_holds_up_what_comes_after_it(put_off: str, left: list[str]) -> None:
    refit = plan(free(taken_apart(), FLANGE))
    but = {check.key for check in refit.checks if check.wording == put_off and check.part == FLANGE}
    assert told(together(refit, FLANGE, but)) == left


def test_that_safety_critical_bolts_are_tight_is_never_said_with_others_nor_what_stands_on_a_packet() -> None:
    facts = (
        said.PartRemoved(part="hub", name="hub"),
        said.FastenersRemoved(part="hub", count=4, safety_critical=True, reuse="renew"),
        said.PartRemoved(part="lid", name="lid"),
        said.FastenersRemoved(part="lid", count=4),
        said.RenewalNeeded(part="lid", what="gasket", part_number="123"),
    )
    job = and_said(Job(()), *facts)
    lid = together(plan(job), "lid")
    assert told(lid)[-1] == "4 bolts tight"
    assert saying(lid[0]) == said.RenewalReceived(needed="A.5")
    job = and_said(job, *map(saying, lid))
    hub = together(plan(job), "hub")
    assert told(hub) == ["4 new bolts on hand", "back in place", "all 4 new bolts started by hand"]
    job = and_said(job, *map(saying, hub))
    assert together(plan(job), "hub") == ()


@given(st.data())
def test_each_could_have_been_said_alone_in_this_order(data: st.DataObject) -> None:
    job = taken_apart()
    part = data.draw(st.sampled_from([step.part.id for step in plan(job).steps]))
    job = free(job, part)
    put_off = data.draw(st.sets(st.sampled_from([c.key for c in plan(job).checks if c.part == part])))
    for check in together(plan(job), part, put_off):
        now = plan(job)
        standing = now.check(check.key)
        assert standing is not None
        assert standing.open
        step = now.step(part)
        assert step is not None
        assert not step.blocked_by
        earlier = [c for c in step.checks if c.open and c.turn < check.turn and check.turn >= 9 and c.turn < 12]
        assert earlier == [], "everything that comes before it is said"
        job = and_said(job, saying(check))
        after = plan(job).check(check.key)
        assert after is not None
        assert after.state == "confirmed"
