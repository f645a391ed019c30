"""Steps in refit order, each with its checks in working order, and what blocks it."""

from typing import Any

import pytest
from hypothesis import given

from reassembly.job import entries as said
from reassembly.job.asks import Turn
from reassembly.job.checks import Check
from reassembly.job.job import Job, parts
from reassembly.job.plan import Plan, first, plan
from reassembly.job.refit_order import refit_order
from reassembly.job.walk import LAST, next_check, next_step
from tests.job import naive
from tests.job.histories import CREW, History, crew, odd_histories, stripdowns


def removed(part: str, parent: str = "") -> said.PartRemoved:
    return said.PartRemoved(part=part, name=part, parent=parent)


def plan_of(history: History) -> Plan:
    return plan(Job.of(history.entries, crew(*CREW)))


def story(*facts: object) -> History:
    history = History()
    for fact in facts:
        history.say(fact)
    return history


@given(odd_histories)
def test_what_holds_comes_out_last_of_its_step_and_what_is_in_the_way_first(entries: list[Any]) -> None:
    refit = plan(Job.of(entries))
    for check in refit.checks:
        fact = check.asked_by.fact
        if not isinstance(fact, said.AidFitted):
            continue
        late, early = naive.comes_out(fact.aid, fact.where)
        if check.key.endswith(".clear"):
            assert (late, early) == (True, True)
            assert check.turn < Turn.BACK
            continue
        assert (check.turn > Turn.CONNECT) is late
        step = refit.step(check.part)
        if late and check.open and step and any(c.open and c.turn in FITTED for c in step.checks):
            assert first(check, refit) != ()


FITTED = {Turn.BACK, Turn.STARTED, Turn.STAGE, Turn.CONNECT}


@pytest.mark.parametrize(
    ("aid", "order"),
    [
        ("transmission jack", ["back in place", "4 bolts tight", "transmission jack out again"]),
        ("clean rag", ["clean rag out again", "back in place", "4 bolts tight"]),
        ("gadget", ["gadget not in the way of the part", "back in place", "4 bolts tight", "gadget out again"]),
    ],
)
def test_an_aid_comes_out_before_or_after_its_part_by_what_it_does(aid: str, order: list[str]) -> None:
    history = story(removed("box"), said.FastenersRemoved(part="box", count=4), said.AidFitted(aid=aid, part="box"))
    walked = []
    while (refit := plan_of(history)).open:
        ready = [check for check in refit.open if not first(check, refit)]
        walked.append(ready[-1].wording)  # the most careless order the program lets anyone take
        history.say(said.CheckConfirmed(check=ready[-1].key))
    assert [wording for wording in walked if "started" not in wording] == order


def test_an_aid_in_the_way_holds_up_its_part_and_the_next() -> None:
    history = story(removed("shaft"), removed("pan"), said.AidFitted(aid="plug", part="pan"))
    refit = plan_of(history)
    back = refit.check("A.2.back")
    assert back is not None
    assert first(back, refit) == ("plug out again",)
    history.say(said.CheckConfirmed(check="A.2.back"))  # as another bench may have said it
    assert [step.state for step in plan_of(history).steps] == ["part done", "blocked"]


def test_what_holds_and_belongs_to_no_part_comes_out_when_every_part_is_back() -> None:
    history = story(removed("shaft"), said.AidFitted(aid="engine support"))
    out = plan_of(history).check("A.2.out")
    assert out is not None
    assert first(out, plan_of(history)) == ("shaft",)
    history.say(said.CheckConfirmed(check="A.1.back"))
    assert first(out, plan_of(history)) == ()


@given(odd_histories)
def test_steps_stand_in_refit_order_and_hold_the_checks_of_their_part(entries: list[Any]) -> None:
    job = Job.of(entries)
    refit, order = plan(job), refit_order(job)
    shown = [step.part.id for step in refit.steps]
    assert shown == [part for part in order.parts if part in shown]
    assert {part for part, about in parts(job).items() if about.removed} <= set(shown)
    for step in refit.steps:
        assert {check.part for check in step.checks} == {step.part.id}
        assert [check.turn for check in step.checks] == sorted(check.turn for check in step.checks)
    assert [check.turn for check in refit.last] == sorted(check.turn for check in refit.last)


@given(odd_histories)
def test_a_step_is_blocked_by_exactly_the_open_steps_it_waits_for_however_far_back(entries: list[Any]) -> None:
    job = Job.of(entries)
    refit, order = plan(job), refit_order(job)
    waits = {Turn.SECOND, Turn.STRIPE, Turn.LOOK, Turn.LET_GO}
    unfit = {step.part.id for step in refit.steps if any(c.open and c.turn not in waits for c in step.checks)}
    for step in refit.steps:
        before, todo = set(), [step.part.id]
        while todo:
            more = [part for part in order.first[todo.pop()] if part not in before]
            before.update(more)
            todo += more
        assert set(step.blocked_by) == before & unfit
        assert list(step.blocked_by) == [part for part in order.parts if part in step.blocked_by]


@given(stripdowns)
def test_who_follows_the_plan_is_never_refused_and_ends_with_nothing_open(entries: list[Any]) -> None:
    history = History(entries)
    for _ in range(400):
        refit = plan_of(history)
        if not refit.open:
            break
        check = refit.open[0]
        assert first(check, refit) == ()
        confirm(check, history)
    assert refit.open == ()
    assert all(step.state == "done" for step in refit.steps)


def confirm(check: Check, history: History) -> None:
    """As a technician would, with ben for the second look."""
    match check.way, check.asked_by.fact:
        case "second", _:
            history.say(said.SecondCheckMade(check=check.key), who="ben")
        case "settle", _:
            history.say(said.ExceptionAccepted(check=check.key, reason="looked at", accepted_by="ben"))
        case "level", said.LevelSpecified(fluid=fluid, low=low, high=high, engine=engine) if low != "50 degC":
            history.say(said.LevelChecked(fluid=fluid, engine=engine, temperature="40 degC" if low or high else ""))
        case "level", said.LevelSpecified():  # a window upside down, or hotter than anyone waits for
            history.say(said.ExceptionAccepted(check=check.key, reason="no such window", accepted_by="ben"))
        case "drive" | "read" | "deal", _:
            history.say(said.CheckConfirmed(check=check.key, note="looked at"))
        case _:
            history.say(said.CheckConfirmed(check=check.key))


# states


def test_a_step_is_ready_then_part_done_then_done_and_frees_the_next() -> None:
    history = story(removed("shaft"), said.MarkMade(part="shaft", mark="paint"), removed("pan"))
    seen = []
    for confirmed in ("", "A.3.back", "A.2.mark", "A.1.back"):
        if confirmed:
            history.say(said.CheckConfirmed(check=confirmed))
        seen.append([(step.part.id, step.state, step.blocked_by) for step in plan_of(history).steps])
    assert seen == [
        [("pan", "ready", ()), ("shaft", "blocked", ("pan",))],
        [("pan", "done", ()), ("shaft", "ready", ())],
        [("pan", "done", ()), ("shaft", "part done", ())],
        [("pan", "done", ()), ("shaft", "done", ())],
    ]


def test_an_exception_frees_the_next_step_too() -> None:
    history = story(removed("shaft"), removed("pan"))
    history.say(said.ExceptionAccepted(check="A.2.back", reason="customer keeps it off", accepted_by="ann"))
    assert [step.state for step in plan_of(history).steps] == ["done", "ready"]


def test_a_step_waits_for_every_open_one_before_it_not_only_the_last() -> None:
    history = story(removed("a"), removed("b"), removed("c"))
    history.say(said.CheckConfirmed(check="A.2.back"))
    assert [step.blocked_by for step in plan_of(history).steps] == [(), ("c",), ("c",)]


@pytest.mark.parametrize(
    "fact",
    [
        said.AidFitted(aid="wire", part="pan"),
        said.FindingNoted(what="scratch", part="pan"),
    ],
)
def test_an_aid_that_holds_and_a_last_look_do_not_hold_up_the_next_part(fact: object) -> None:
    history = story(removed("shaft"), removed("pan"), fact)
    history.say(said.CheckConfirmed(check="A.2.back"))
    pan, shaft = plan_of(history).steps
    assert (pan.state, shaft.state) == ("part done", "ready")


def test_what_bears_weight_comes_out_once_all_parts_are_back_and_may_be_said_once_its_own_is() -> None:
    history = story(removed("shaft"), removed("gearbox"), said.AidFitted(aid="transmission jack", part="gearbox"))
    jack = "A.3.out"
    seen = []
    for back in ("", "A.2.back", "A.1.back"):
        if back:
            history.say(said.CheckConfirmed(check=back))
        refit = plan_of(history)
        check, asked = refit.check(jack), next_check(refit, LAST)
        assert check is not None
        assert refit.last[0] is check
        seen.append((first(check, refit), asked.key if asked else ""))
    assert seen == [(("back in place",), ""), ((), ""), ((), jack)]
    history.say(removed("gearbox"))
    assert plan_of(history).check(jack) in plan_of(history).open


def test_fluid_comes_up_by_itself_once_all_parts_are_back() -> None:
    history = story(removed("pan"), said.FluidDrained(fluid="oil", amount="5 l"))
    ways = []
    for back in ("", "A.1.back"):
        if back:
            history.say(said.CheckConfirmed(check=back))
        asked = next_check(plan_of(history), LAST)
        ways.append(asked.way if asked else "")
    assert ways[1] == "fill" != ways[0]


def test_checks_of_the_whole_job_come_last_in_their_order() -> None:
    history = story(
        said.JobOpened(vehicle="van", complaint="hums"),
        said.CodeRead(code="P0735"),
        said.FluidDrained(fluid="oil"),
        said.CareNoted(care="look", what="filler plug"),
        removed("pan"),
        said.TorqueSpecified(part="pan", stages=(), retorque="after 50 km"),
    )
    assert [check.turn.name for check in plan_of(history).last] == [
        *("FILL", "LEVEL", "LEAK", "UNTOUCHED", "LEFT_OVER", "CLEARED", "ROAD", "READ", "RETORQUE", "COMPLAINT")
    ]


def test_a_retorque_is_asked_again_when_the_part_came_off_again() -> None:
    history = story(removed("pan"), said.TorqueSpecified(part="pan", stages=(), retorque="after 50 km"))
    history.say(said.CheckConfirmed(check="A.2.retorque"))
    assert "A.2.retorque" not in {check.key for check in plan_of(history).open}
    history.say(removed("pan"))
    assert "A.2.retorque" in {check.key for check in plan_of(history).open}


def test_a_step_shows_its_bags() -> None:
    bag = said.BagPacked(bag="BCDFGHJKLN", parts=("pan", "pan", "filter"))
    pan = plan_of(story(removed("pan"), removed("filter"), bag)).step("pan")
    assert pan is not None
    assert [e.id for e in pan.bags] == ["A.3"]


# what must come first

FULL = (
    removed("shaft"),
    said.RenewalNeeded(what="seal", part="shaft"),
    said.CareNoted(care="clean", what="faces", part="shaft"),
    said.MarkMade(part="shaft", mark="paint"),
    said.FastenersRemoved(part="shaft", count=4, safety_critical=True),
    said.TorqueSpecified(part="shaft", stages=(said.Stage("torque", "30 N.m"), said.Stage("angle", "90 deg"))),
    said.AidFitted(aid="wire", part="shaft"),
)
LAID_OUT = ["new seal on hand", "clean: faces", "marks in line", "new seal fitted, the old thrown away"]
ONCE_BACK = ["back in place", "all 4 bolts started by hand"]
MUST_COME_FIRST: dict[str, list[str]] = {
    "A.2.hand": [],
    "A.3.care": [],
    "A.4.mark": [],
    "A.7.out": [*LAID_OUT, *ONCE_BACK, "stage 1 of 2: 30 N.m", "stage 2 of 2: turn 90 deg further"],
    "A.1.back": LAID_OUT,
    "A.5.started": [*LAID_OUT, "back in place"],
    "A.6.stage1": [*LAID_OUT, *ONCE_BACK],
    "A.6.stage2": [*LAID_OUT, *ONCE_BACK, "stage 1 of 2: 30 N.m"],
    "A.5.second": [*LAID_OUT, *ONCE_BACK, "stage 1 of 2: 30 N.m", "stage 2 of 2: turn 90 deg further"],
    "A.6.stripe": [*LAID_OUT, *ONCE_BACK, "stage 1 of 2: 30 N.m", "stage 2 of 2: turn 90 deg further"],
}


@pytest.mark.parametrize(("key", "expected"), MUST_COME_FIRST.items())
def test_what_must_come_first_within_a_step(key: str, expected: list[str]) -> None:
    refit = plan_of(story(*FULL))
    check = refit.check(key)
    assert check is not None
    assert sorted(first(check, refit)) == sorted(expected)


@pytest.mark.parametrize(
    ("key", "expected"),
    [("A.2.hand", ()), ("A.3.care", ()), ("A.4.mark", ("crossmember",)), ("A.1.back", ("crossmember",))],
)
def test_a_blocked_step_names_the_parts_first_but_lets_new_and_clean_parts_be_laid_out(
    key: str, expected: tuple[str, ...]
) -> None:
    refit = plan_of(story(*FULL, removed("crossmember")))
    check = refit.check(key)
    assert check is not None
    assert first(check, refit) == expected


def test_nothing_must_come_before_a_check_of_the_whole_job() -> None:
    refit = plan_of(story(said.JobOpened(vehicle="van"), removed("pan")))
    assert [first(check, refit) for check in refit.last] == [(), ()]


def test_the_complaint_waits_for_every_road_test_that_is_still_to_be_driven() -> None:
    facts = [said.JobOpened(vehicle="van", complaint="hums"), said.RoadTested(felt="hums", speed="80 km/h")]
    drives = [
        said.RoadTested(when="after", felt="not driven", as_before=True),
        said.RoadTested(when="after", felt="quiet", speed="30 km/h"),
        said.RoadTested(when="after", felt="quiet", speed="80 km/h"),
    ]
    seen = []
    for n in range(len(drives) + 1):
        refit = plan_of(story(*facts, *drives[:n]))
        complaint = refit.check("A.1.complaint")
        assert complaint is not None
        seen.append(first(complaint, refit))
    both = ("road test after the work", "same road test again")
    assert seen == [both, both, ("same road test again",), ()]


def test_the_tenth_stage_comes_after_the_ninth() -> None:
    stages = tuple(said.Stage("torque", f"{n} N.m") for n in range(1, 12))
    history = story(removed("pan"), said.TorqueSpecified(part="pan", stages=stages))
    history.say(said.CheckConfirmed(check="A.1.back"))
    refit = plan_of(history)
    tenth = refit.check("A.2.stage10")
    assert tenth is not None
    assert first(tenth, refit) == tuple(f"stage {n} of 11: {n} N.m" for n in range(1, 10))


def test_a_step_or_check_that_is_not_there_is_none() -> None:
    refit = plan_of(story(removed("pan")))
    assert refit.step("nothing") is None
    assert refit.check("A.9.back") is None


def test_the_next_step_of_a_long_job_is_found_without_naming_what_each_one_waits_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    history = History()
    for n in range(60):
        history.say(said.PartRemoved(part=f"p{n}", name=f"part {n}"))
    refit = plan_of(history)
    monkeypatch.setattr("reassembly.job.plan._names", lambda *_: pytest.fail("named"))
    assert [next_step(refit, part) for part in (LAST, "p59", "p3")] == ["p59"] * 3


def test_what_was_found_while_the_vehicle_was_open_is_looked_at_before_the_part_that_hides_it_goes_back() -> None:
    history = History()
    for fact in (
        said.PartRemoved(part="shaft", name="propshaft"),
        said.PartRemoved(part="pan", name="gearbox pan"),
        said.FindingNoted(what="chips on the magnet"),
    ):
        history.say(fact)
    refit = plan(Job.of(history.entries))
    step = refit.step("pan")
    assert step is not None
    assert [check.wording for check in step.checks] == [
        "looked at before this hides it: chips on the magnet", "back in place",
    ]  # fmt: skip
    back = refit.check("A.2.back")
    assert back is not None
    assert first(back, refit) == ("looked at before this hides it: chips on the magnet",)
