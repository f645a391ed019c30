"""How far a fastener set is tightened."""

import pytest

from reassembly.job import entries as said
from reassembly.job.job import Job, parts
from reassembly.job.tightening import stages_of, tightened
from tests.job.histories import History

Stage = said.Stage


def story(count: int | None, own: int | None = None) -> History:
    """A.1 came off, A.2 its torque, A.3 its set (where `count`)."""
    history = History()
    history.say(said.PartRemoved(part="pan", name="pan"))
    history.say(
        said.TorqueSpecified(part="pan", stages=(Stage("torque", "8 N.m"), Stage("angle", "90 deg")), count=own)
    )
    if count:
        history.say(said.FastenersRemoved(part="pan", count=count))
    return history


def turned(stage: int = 1, position: int | None = None) -> said.StageTightened:
    return said.StageTightened(specification="A.2", stage=stage, position=position)


DONE: dict[str, tuple[int | None, list[said.StageTightened], set[int], bool]] = {
    "nothing": (3, [], set(), False),
    "two of three": (3, [turned(position=1), turned(position=3)], {1, 3}, False),
    "one twice": (3, [turned(position=1), turned(position=1), turned(position=2)], {1, 2}, False),
    "all": (3, [turned(position=1), turned(position=3), turned(position=2)], {1, 2, 3}, True),
    "the whole stage at once": (3, [turned()], set(), True),
    "another stage": (3, [turned(2)], set(), False),
    "a position the set has not": (2, [turned(position=1), turned(position=5)], {1}, False),
    "positions without a count": (None, [turned(position=1), turned(position=2)], {1, 2}, False),
    "whole without a count": (None, [turned()], set(), True),
}


@pytest.mark.parametrize(("count", "said_", "positions", "complete"), DONE.values(), ids=DONE.keys())
def test_a_stage_is_complete_when_all_positions_are_or_the_whole_was_said(
    count: int | None, said_: list[said.StageTightened], positions: set[int], complete: bool
) -> None:
    history = story(count)
    for fact in said_:
        history.say(fact)
    job = Job.of(history.entries)
    specified = next(job.said(said.TorqueSpecified))
    stage = stages_of(specified.fact, parts(job)["pan"])[0]
    done = tightened(job, specified, stage, specified.order)
    assert (set(done.positions), done.complete) == (positions, complete)
    told = [e for e in history.entries if e in (*done.positions.values(), done.whole)]
    assert done.last == (told[-1] if told else None)


def test_what_was_turned_before_the_part_came_off_again_is_not_done() -> None:
    history = story(2)
    history.say(turned())
    history.say(said.PartRemoved(part="pan", name="pan"))
    history.say(turned(position=1))
    job = Job.of(history.entries)
    part, specified = parts(job)["pan"], next(job.said(said.TorqueSpecified))
    done = tightened(job, specified, stages_of(specified.fact, part)[0], part.since)
    assert (set(done.positions), done.whole, done.complete) == ({1}, None, False)


@pytest.mark.parametrize(("count", "own", "positions"), [(4, None, 4), (4, 9, 4), (None, 9, 9), (None, None, 0)])
def test_a_stage_has_as_many_positions_as_the_set_or_else_as_specified(
    count: int | None, own: int | None, positions: int
) -> None:
    job = Job.of(story(count, own).entries)
    stages = stages_of(next(job.said(said.TorqueSpecified)).fact, parts(job)["pan"])
    assert [(s.number, s.of, s.positions) for s in stages] == [(1, 2, positions), (2, 2, positions)]


@pytest.mark.parametrize(
    ("stage", "told"),
    [
        (Stage("torque", "30 N.m"), "30 N.m"),
        (Stage("angle", "90 deg"), "turn 90 deg further"),
        (Stage("by hand"), "all by hand"),
        (Stage("back off", "180 deg"), "back off 180 deg"),
        (Stage("check pass"), "check pass"),
        (Stage("check pass", "30 N.m"), "check pass 30 N.m"),
    ],
)
def test_a_stage_says_what_to_do(stage: Stage, told: str) -> None:
    specified = said.TorqueSpecified(part="pan", stages=(stage,))
    history = History()
    history.say(specified)
    (asked,) = stages_of(specified, parts(Job.of(history.entries))["pan"])
    assert asked.told == told
