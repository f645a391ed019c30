"""Which position of a joint is on display: in order, chosen out of turn, and tightened meanwhile by others."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.at_position import AtPosition
from reassembly.job.job import Job
from reassembly.job.joint import Joint, joint
from reassembly.job.plan import plan
from tests.job.histories import History

ORDER = (1, 3, 2, 4)


def as_far_as(*tight: tuple[int, int], count: int = 4) -> Joint:
    """A joint of two stages, tightened at these (stage, position), one after another."""
    history = History()
    history.say(said.PartRemoved(part="pan", name="pan"))
    history.say(said.FastenersRemoved(part="pan", count=count))
    stages = (said.Stage("torque", "30 N.m"), said.Stage("torque", "60 N.m"))
    specified = history.say(said.TorqueSpecified(part="pan", stages=stages, order=ORDER if count == 4 else ()))
    for stage, position in tight:
        history.say(said.StageTightened(specification=specified.id, stage=stage, position=position))
    job = Job.of(history.entries)
    found = joint(job, plan(job), specified.id)
    assert found is not None
    return found


FIRST_STAGE = [(1, 1), (1, 3), (1, 2), (1, 4)]
NEXT: dict[str, tuple[list[tuple[int, int]], tuple[int, int | None]]] = {
    "the first in order": ([], (1, 1)),
    "the next in order, not by number": ([(1, 1)], (1, 3)),
    "over one that was done out of turn": ([(1, 1), (1, 2)], (1, 3)),
    "the first of the next stage": (FIRST_STAGE, (2, 1)),
    "none when all is tight": ([*FIRST_STAGE, *((2, n) for n in ORDER)], (2, None)),
}


@pytest.mark.parametrize(("tight", "at"), NEXT.values(), ids=NEXT.keys())
def test_it_moves_to_the_next_in_order(tight: list[tuple[int, int]], at: tuple[int, int | None]) -> None:
    here = AtPosition()
    here.move(as_far_as(*tight))
    assert here.at == at
    assert here.position == at[1]


def test_it_says_when_the_next_is_in_another_stage() -> None:
    here = AtPosition()
    assert not here.move(as_far_as()), "nothing was on display before"
    assert not here.move(as_far_as((1, 1)))
    assert here.move(as_far_as(*FIRST_STAGE))


def test_of_a_set_that_nobody_counted_there_is_no_position() -> None:
    here = AtPosition()
    here.move(as_far_as(count=0))
    assert here.at == (1, None)
    assert not here.go_by_digit(1, as_far_as(count=0))


# what was tight when it was shown, the digits typed then, what is tight now, and whether that passes what is shown
PASSED: dict[str, tuple[list[tuple[int, int]], str, list[tuple[int, int]], bool]] = {
    "nothing happened": ([], "", [], False),
    "another one was tightened": ([], "", [(1, 2)], False),
    "this one was tightened": ([], "", [(1, 1)], True),
    "the whole stage was": ([], "", FIRST_STAGE, True),
    "it was chosen, and is tight: once more is meant": ([(1, 1)], "1", [(1, 1)], False),
    "it was chosen, and the stage is over": ([(1, 1)], "1", FIRST_STAGE, True),
    "every stage is tight": ([], "", [*FIRST_STAGE, *((2, n) for n in ORDER)], True),
}


@pytest.mark.parametrize(("before", "typed", "now", "passed"), PASSED.values(), ids=PASSED.keys())
def test_what_was_tightened_meanwhile_is_passed(
    before: list[tuple[int, int]], typed: str, now: list[tuple[int, int]], passed: bool
) -> None:
    here = AtPosition()
    here.move(as_far_as(*before))
    for digit in typed:
        here.go_by_digit(int(digit), as_far_as(*before))
    assert here.passed(as_far_as(*now)) is passed


def test_before_anything_was_shown_it_is_passed() -> None:
    assert AtPosition().passed(as_far_as())


@given(st.lists(st.sampled_from((1, -1)), max_size=12), st.sets(st.sampled_from(ORDER), max_size=3))
def test_arrows_go_round_what_is_not_yet_tight_in_order(steps: list[int], tight: set[int]) -> None:
    found, here = as_far_as(*((1, n) for n in sorted(tight))), AtPosition()
    here.move(found)
    left = [n for n in ORDER if n not in tight]
    for by in steps:
        here.go_along(by, found)
    assert here.position == left[sum(steps) % len(left)]


TYPED: dict[str, tuple[str, int | None, bool]] = {
    "one figure": ("3", 3, True),
    "two": ("12", 12, True),
    "a nought that ends a number": ("10", 10, True),
    "a second that makes too much begins anew": ("13", 3, True),
    "a nought alone is none": ("0", None, False),
}


@pytest.mark.parametrize(("typed", "at", "taken"), TYPED.values(), ids=TYPED.keys())
def test_figures_choose_a_position_digit_by_digit(typed: str, at: int | None, taken: bool) -> None:
    found, here = as_far_as(count=12), AtPosition()
    assert [here.go_by_digit(int(digit), found) for digit in typed][-1] is taken
    assert here.position == at


def test_figures_begin_anew_at_the_next_position() -> None:
    found, here = as_far_as(count=12), AtPosition()
    here.go_by_digit(1, found)
    here.move(found)
    here.go_by_digit(2, found)
    assert here.position == 2
