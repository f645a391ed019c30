"""Which step and which check is on display: it goes on from what is said here, and stays where others said it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.job import Job
from reassembly.job.on_display import OnDisplay
from reassembly.job.plan import Plan, plan
from reassembly.job.walk import LAST, checks_of, steps_in_turn
from tests.job.histories import History

PAN, FLANGE, COVER = "pan", "flange", "cover"
MARKS, FLANGE_BACK, PAN_BACK, COVER_BACK = "A.3.mark", "A.2.back", "A.1.back", "A.4.back"
CODES_CLEARED = "A.5.cleared"


def taken_off(*also: said.Fact, done: tuple[str, ...] = ()) -> Job:
    """Pan, then flange, which was marked; a cover that has nothing to do with either; a code. In refit order cover,
    flange, pan: but the cover waits for nobody, and nobody for it."""
    history = History()
    history.say(said.PartRemoved(part=PAN, name=PAN))
    history.say(said.PartRemoved(part=FLANGE, name=FLANGE))
    history.say(said.MarkMade(part=FLANGE, mark="white paint"))
    history.say(said.PartRemoved(part=COVER, name=COVER))
    history.say(said.CodeRead(code="P0735"))
    history.say(said.OrderSaid(part=COVER, goes="independent"))
    for key in done:
        history.say(said.CheckConfirmed(check=key))
    for fact in also:
        history.say(fact)
    return Job.of(history.entries)


def shown(on: OnDisplay, refit: Plan, *, said_here: bool = False) -> tuple[str, str]:
    on.settle(refit, said_here=said_here)
    return on.part, on.key


def test_the_story_is_what_it_says() -> None:
    refit = plan(taken_off())
    assert [key for part in (FLANGE, PAN, COVER) for key in (c.key for c in checks_of(refit, part))] == [
        MARKS, FLANGE_BACK, PAN_BACK, COVER_BACK
    ]  # fmt: skip
    assert refit.check(CODES_CLEARED) in refit.last
    assert {step.part.id: step.state for step in refit.steps} == {FLANGE: "ready", PAN: "blocked", COVER: "ready"}


OPENS: dict[str, tuple[str, tuple[str, ...], tuple[str, str]]] = {
    "at the check it was opened for": (PAN_BACK, (), (PAN, PAN_BACK)),
    "also where that one is done": (MARKS, (MARKS,), (FLANGE, MARKS)),
    "at one of the whole job": (CODES_CLEARED, (), (LAST, CODES_CLEARED)),
}


@pytest.mark.parametrize(("key", "done", "at"), OPENS.values(), ids=OPENS.keys())
def test_it_opens(key: str, done: tuple[str, ...], at: tuple[str, str]) -> None:
    assert shown(OnDisplay(key), plan(taken_off(done=done))) == at


@pytest.mark.parametrize("key", ["", "A.99.back"])
def test_for_no_check_it_opens_at_the_first_step_that_can_be_done(key: str) -> None:
    refit = plan(taken_off())
    first = steps_in_turn(refit)[0]
    assert shown(OnDisplay(key), refit) == (first, checks_of(refit, first)[0].key)


def test_what_is_said_here_goes_on_and_what_is_said_elsewhere_does_not() -> None:
    on = OnDisplay(MARKS)
    assert shown(on, plan(taken_off())) == (FLANGE, MARKS)
    assert shown(on, plan(taken_off(done=(MARKS,)))) == (FLANGE, MARKS)
    assert shown(on, plan(taken_off(done=(MARKS,))), said_here=True) == (FLANGE, FLANGE_BACK)


def test_said_here_of_another_check_it_stays_at_the_one_that_is_open() -> None:
    on = OnDisplay(FLANGE_BACK)
    assert shown(on, plan(taken_off(done=(MARKS,))), said_here=True) == (FLANGE, FLANGE_BACK)


def test_after_the_last_check_of_a_step_it_goes_to_the_next_and_nobody_chose_that_one() -> None:
    on, chosen = OnDisplay(FLANGE_BACK), []
    on.settle(plan(taken_off(done=(MARKS, COVER_BACK))), said_here=False)
    chosen.append(on.arrived)
    refit = plan(taken_off(done=(MARKS, COVER_BACK, FLANGE_BACK)))
    assert shown(on, refit, said_here=True) == (PAN, PAN_BACK)
    chosen.append(on.arrived)
    on.next_step(1, refit)
    chosen.append(on.arrived)
    assert chosen == [True, False, True], "opened there, moved on by itself, an arrow"


def test_what_is_asked_of_the_whole_job_comes_after_every_part() -> None:
    on, refit = OnDisplay(PAN_BACK), plan(taken_off(done=(MARKS, FLANGE_BACK, PAN_BACK, COVER_BACK)))
    on.settle(refit, said_here=False)
    on.go_on(refit)
    assert on.part == LAST
    assert on.step(refit) is None


def test_a_step_that_is_no_more_is_left() -> None:
    on = OnDisplay(MARKS)
    on.settle(plan(taken_off()), said_here=False)
    gone = taken_off(said.EntryStruck(entry="A.2", why="slip"), said.EntryStruck(entry="A.3", why="slip"))
    refit = plan(gone)
    on.settle(refit, said_here=False)
    assert on.part in steps_in_turn(refit)
    assert on.check(refit) is not None


def test_what_was_put_off_is_passed_and_comes_again_when_nothing_else_is_left() -> None:
    refit = plan(taken_off(done=(COVER_BACK,)))
    on, seen = OnDisplay(MARKS), []
    on.settle(refit, said_here=False)
    while on.key not in seen:
        seen.append(on.key)
        on.put_off.add(on.key)
        on.go_on(refit)
    assert seen[0] == on.key == MARKS
    assert not on.put_off
    ready = {c.key for c in refit.last if c.open} | {MARKS}
    assert set(seen) <= ready, "the pan waits for the flange, and its place for its marks"


def test_what_anybody_put_off_with_a_reason_waits_here_too() -> None:
    job = taken_off(said.CheckPutOff(check=PAN_BACK, reason="waits for a part"))
    on = OnDisplay(MARKS)
    on.put_off.add(MARKS)
    assert on.waiting(job) == {MARKS, PAN_BACK}


@given(st.lists(st.sampled_from((1, -1)), max_size=12))
def test_arrows_go_round_the_steps_and_round_the_checks_of_one(turns: list[int]) -> None:
    refit = plan(taken_off(said.MarkMade(part=FLANGE, mark="scribe line")))
    turn, on = steps_in_turn(refit), OnDisplay()
    on.settle(refit, said_here=False)
    start = on.at(refit)
    for by in turns:
        on.next_step(by, refit)
    assert on.part == turn[(start + sum(turns)) % len(turn)]
    on.go_to(FLANGE, refit)
    for by in turns:
        on.next_check(by, refit)
    every = [check.key for check in checks_of(refit, FLANGE)]
    assert len(every) > 2
    assert on.key == every[sum(turns) % len(every)]


@pytest.mark.parametrize(
    ("key", "part"),
    [(PAN_BACK, PAN), (CODES_CLEARED, LAST), ("A.7.out", LAST)],
    ids=["of a part", "of the whole job", "of what holds a part up, and so of the whole job"],
)
def test_a_check_that_somebody_chose_brings_its_step(key: str, part: str) -> None:
    refit, on = plan(taken_off(said.AidFitted(part=PAN, aid="stand", where="holds it up"))), OnDisplay(MARKS)
    on.settle(refit, said_here=False)
    chosen = refit.check(key)
    assert chosen is not None
    on.arrived = False
    on.go_to_check(chosen, refit)
    assert (on.part, on.key, on.arrived) == (part, key, True)
    assert on.check(refit) in on.checks(refit)
