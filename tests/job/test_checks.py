"""Every fact recorded at strip-down becomes a check at refit; sign-off is the list of checks not confirmed."""

from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.checks import Check, checks, level_counts, one_check
from reassembly.job.doubt import Seen, said_now
from reassembly.job.job import Job, parts
from reassembly.job.plan import plan
from reassembly.job.shop import Shop
from reassembly.job.signoff import signoff
from tests.job import naive
from tests.job.histories import CREW, STRIPDOWN, History, crew, numbers, odd, odd_histories, stripdowns

NO_SHOP = Shop.of(())


PEOPLE = crew(*CREW)
KNOWN = tuple((fact.person, fact.name) for fact in CREW)


def found(entries: list[Any]) -> dict[str, Check]:
    return {check.key: check for check in checks(Job.of(entries, PEOPLE))}


def states(entries: list[Any]) -> dict[str, str]:
    return {key: "open" if check.open else check.state for key, check in found(entries).items()}


@settings(max_examples=500)
@given(odd_histories)
def test_each_check_stands_as_told_slowly_and_another_way(entries: list[Any]) -> None:
    assert states(entries) == naive.states(entries, KNOWN)


@settings(max_examples=500)
@given(odd_histories)
def test_signoff_lists_exactly_the_unconfirmed_checks(entries: list[Any]) -> None:
    closing = signoff(Job.of(entries, PEOPLE), NO_SHOP)
    told = naive.states(entries, KNOWN)
    assert sorted(check.key for check in closing.open) == sorted(key for key in told if told[key] == "open")
    assert sorted(check.key for check in closing.excepted) == sorted(key for key in told if told[key] == "excepted")
    assert not (closing.may_close and "open" in told.values())


@given(odd_histories)
def test_the_plan_shows_every_check_once(entries: list[Any]) -> None:
    job = Job.of(entries)
    assert sorted(check.key for check in plan(job).checks) == sorted(check.key for check in checks(job))
    assert len(set(found(entries))) == len(checks(job))


@given(odd_histories)
def test_one_check_alone_is_as_among_all_also_with_an_answer_that_is_only_thought_of(entries: list[Any]) -> None:
    job = Job.of(entries, PEOPLE)
    seen = Seen(job, NO_SHOP, parts(job), who=CREW[-1].person, today="")
    for key in dict.fromkeys(check.key for check in checks(job)):
        assert one_check(job, seen.parts, key) == plan(job).check(key)
        for answer in (
            said.CheckConfirmed(check=key),
            said.SecondCheckMade(check=key),
            said.ExceptionAccepted(check=key, reason="no part to be had", accepted_by=CREW[0].person),
        ):
            now = said_now(answer, seen)
            as_it_would_be = job._replace(entries=(*job.entries, now))
            assert one_check(job, seen.parts, key, now) == plan(as_it_would_be).check(key)
    assert one_check(job, seen.parts, "A.99999.back") is None


def its_set_asks(fact: object) -> bool:
    """A torque of no more than started by hand: the set of fasteners asks for that itself, and to be tight."""
    return isinstance(fact, said.TorqueSpecified) and [s.kind for s in fact.stages] in ([], ["by hand"])


@given(stripdowns)
def test_every_fact_recorded_at_stripdown_gives_at_least_one_open_check(entries: list[Any]) -> None:
    asking = {check.asked_by.id for check in checks(Job.of(entries)) if check.open}
    assert [e for e in entries if e.id not in asking and not its_set_asks(e.fact)] == []


@given(odd_histories)
def test_in_any_history_only_a_removal_that_came_later_again_asks_nothing(entries: list[Any]) -> None:
    job = Job.of(entries)
    asking = {check.asked_by.id for check in checks(job)}
    last_off = {e.fact.part: e.id for e in job.said(said.PartRemoved) if e.fact.part}
    for e in job.entries:
        if isinstance(e.fact, STRIPDOWN) and e.id not in asking and not its_set_asks(e.fact):
            assert isinstance(e.fact, said.PartRemoved)
            assert last_off[e.fact.part] != e.id


@given(odd_histories, st.randoms())
def test_answers_do_not_depend_on_the_order_of_arrival(entries: list[Any], chance: Random) -> None:
    arrived = chance.sample(entries, len(entries))
    assert plan(Job.of(arrived)) == plan(Job.of(entries))


@given(st.lists(numbers, min_size=3, max_size=40), st.integers(0, 40))
def test_what_is_said_later_never_gives_a_key_another_meaning(seeds: list[int], at: int) -> None:
    entries = odd(seeds)
    then = found(naive.standing(entries)[:at])
    now = found(entries)
    for key in then.keys() & now.keys():
        assert then[key].asked_by == now[key].asked_by
        assert then[key].turn == now[key].turn
        assert then[key].way == now[key].way


@given(st.lists(numbers, min_size=3, max_size=40), st.integers(0, 40))
def test_a_check_goes_away_only_because_something_named_replaces_it(seeds: list[int], at: int) -> None:
    entries = naive.standing(odd(seeds))
    before = [e for e in entries[:at] if not isinstance(e.fact, said.EntryStruck)]
    after = [e for e in entries if not isinstance(e.fact, said.EntryStruck)]
    gone = found(before).keys() - found(after).keys()
    slugs = {key.split(".")[-1] for key in gone}
    # came off again; a torque or a level specified later; a set recorded later starts by hand; a settled order;
    # reopened
    assert slugs <= {"back", "tight", "level", "stage1", "clash", "signed"}


def but_for_signing(entries: list[Any]) -> dict[str, str]:
    """A sign-off was judged by what stood when it was said."""
    return {key: state for key, state in states(entries).items() if not key.endswith(".signed")}


@given(odd_histories, st.integers(0, 70))
def test_what_is_struck_is_as_if_never_said(entries: list[Any], at: int) -> None:
    if not entries:
        return
    slip = entries[at % len(entries)]
    history = History(list(entries))
    last = max(e.hlc for e in entries) + 1
    strike = history.say(said.EntryStruck(entry=slip.id, why="a slip"), bench="Z", later=last)
    gone = [e for e in entries if e.id != slip.id]
    assert but_for_signing([*entries, strike]) == but_for_signing(gone)
    back = history.say(said.EntryStruck(entry=strike.id, why="it was right"), bench="Z")
    assert states([*entries, strike, back]) == states(entries)


@given(stripdowns, st.integers(0, 30))
def test_a_part_that_came_off_again_is_asked_again(entries: list[Any], at: int) -> None:
    history = History(entries)
    removals = [e for e in entries if isinstance(e.fact, said.PartRemoved)]
    for check in checks(Job.of(entries)):
        history.say(said.CheckConfirmed(check=check.key))
    again = removals[at % len(removals)].fact
    later = history.say(again).id
    mine = [check for check in checks(Job.of(history.entries)) if check.part == again.part]
    assert all(check.open for check in mine)
    assert f"{later}.back" in {check.key for check in mine}


# who may confirm what

SET = said.FastenersRemoved(part="shaft", count=2, safety_critical=True)
TORQUE = said.TorqueSpecified(part="shaft", stages=(said.Stage("torque", "60 N.m"),), source="manual, page 3")


def shaft() -> History:
    """A.1 came off, A.2 two safety-critical bolts, A.3 their torque."""
    history = History()
    for fact in (said.PartRemoved(part="shaft", name="shaft"), SET, TORQUE):
        history.say(fact)
    return history


CONFIRM, SECOND = said.CheckConfirmed, said.SecondCheckMade
TIGHT = said.StageTightened(specification="A.3", stage=1)
BOTH = (
    said.StageTightened(specification="A.3", stage=1, position=1),
    said.StageTightened(specification="A.3", stage=1, position=2),
)
WHOLE = said.StageTightened
VALUES: dict[str, tuple[list[object], str, str]] = {  # said of 60 N.m: 57.6 to 62.4, 4 % either way as ISO 6789
    "at the limit": ([WHOLE(specification="A.3", stage=1, value="62.4 N.m")], "confirmed", ""),
    "in another unit": ([WHOLE(specification="A.3", stage=1, value="44 lbf.ft")], "confirmed", ""),
    "the unit of the job": ([WHOLE(specification="A.3", stage=1, value="60")], "confirmed", ""),
    "ten times as much": ([WHOLE(specification="A.3", stage=1, value="600 N.m")], "open", "600 N.m is above 57.6"),
    "a little too much": ([WHOLE(specification="A.3", stage=1, value="62.5 N.m")], "open", "62.5 N.m is above 57.6"),
    "too little": ([WHOLE(specification="A.3", stage=1, value="57 N.m")], "open", "57 N.m is below 57.6"),
    "below nothing": ([WHOLE(specification="A.3", stage=1, value="-60 N.m")], "open", "not below nothing"),
    "nothing": ([WHOLE(specification="A.3", stage=1, value="0 N.m")], "open", "0 N.m tightens nothing"),
    "energy": ([WHOLE(specification="A.3", stage=1, value="60 J")], "open", "joules are energy"),
    "no number": ([WHOLE(specification="A.3", stage=1, value="nan N.m")], "open", "does not begin with a number"),
    "without end": ([WHOLE(specification="A.3", stage=1, value="inf N.m")], "open", "does not begin with a number"),
    "in words": ([WHOLE(specification="A.3", stage=1, value="sixty")], "open", "does not begin with a number"),
    "what an adapter needs": (
        [WHOLE(specification="A.3", stage=1, value="50 N.m", setting="50 N.m")], "confirmed", "",
    ),
    "more than any adapter needs": (
        [WHOLE(specification="A.3", stage=1, value="600 N.m", setting="600 N.m")], "open", "600 N.m is above 57.6",
    ),
    "a confirmation with a value": ([CONFIRM(check="A.3.stage1", value="60 N.m")], "confirmed", ""),
    "a confirmation far off": ([CONFIRM(check="A.3.stage1", value="600 N.m")], "open", "600 N.m is above 57.6"),
    "wrong, then right": ([WHOLE(specification="A.3", stage=1, value="600 N.m"), TIGHT], "confirmed", ""),
    "right, then wrong": ([TIGHT, WHOLE(specification="A.3", stage=1, value="600 N.m")], "open", "600 N.m is above"),
    "right, then one wrong": (
        [*BOTH, WHOLE(specification="A.3", stage=1, position=2, value="40 N.m")], "open", "40 N.m is below 57.6",
    ),
    "right, then one wrong, and right again": (
        [*BOTH, WHOLE(specification="A.3", stage=1, position=2, value="40 N.m"), BOTH[1]], "confirmed", "",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("said_", "state", "why"), VALUES.values(), ids=VALUES.keys())
def test_a_value_that_is_not_what_was_asked_confirms_nothing_and_says_why(
    said_: list[object], state: str, why: str
) -> None:
    history = shaft()
    for fact in said_:
        history.say(fact)
    check = found(history.entries)["A.3.stage1"]
    assert check.state == state
    if state == "open":
        assert why in check.detail


def test_an_angle_is_held_against_five_degrees_either_way() -> None:
    history = History()
    history.say(said.PartRemoved(part="pan", name="pan"))
    stages = (said.Stage("torque", "20 N.m"), said.Stage("angle", "90 deg"))
    history.say(said.TorqueSpecified(part="pan", stages=stages))
    for value, state in (("95 deg", "confirmed"), ("99 deg", "open"), ("90 N.m", "open"), ("1/4 turn", "confirmed")):
        history.say(said.StageTightened(specification="A.2", stage=2, value=value))
        assert found(history.entries)["A.2.stage2"].state == state, value


COUNTED: dict[str, tuple[list[object], str]] = {
    "another number": ([TIGHT, said.FastenersRemoved(part="shaft", count=6)], "open"),
    "another number, after a confirmation": (
        [CONFIRM(check="A.3.stage1"), said.FastenersRemoved(part="shaft", count=6)], "open",
    ),
    "another number, then tightened": ([TIGHT, said.FastenersRemoved(part="shaft", count=6), TIGHT], "confirmed"),
    "the same number": ([TIGHT, SET], "confirmed"),
    "the first one struck out": (
        [TIGHT, said.EntryStruck(entry="A.2", why="six"), said.FastenersRemoved(part="shaft", count=6)], "open",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("said_", "state"), COUNTED.values(), ids=COUNTED.keys())
def test_a_whole_stage_is_asked_again_where_the_set_has_another_number(said_: list[object], state: str) -> None:
    history = shaft()
    for fact in said_:
        history.say(fact)
    assert found(history.entries)["A.3.stage1"].state == state


SECOND_CHECKS: dict[str, tuple[list[tuple[object, str]], str]] = {
    "nobody": ([], "open"),
    "before any work": ([(SECOND(check="A.2.second"), "ben")], "open"),
    "the same person": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "ann")], "open"),
    "the same person, other letters": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), " Ann ")], "open"),
    "another person": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "ben")], "confirmed"),
    "somebody unnamed": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "")], "open"),
    "the same person, in full": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "Ann Baker")], "open"),
    "who worked under the full name": ([(TIGHT, "ANN BAKER"), (SECOND(check="A.2.second"), "ann")], "open"),
    "the same person, spaced": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "a n n")], "open"),
    "the same person, with a letter of no width": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "an\u200bn")], "open"),
    "the same person, with a Hangul filler": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "ann\u3164")], "open"),
    "the same person, in wide letters": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "\uff41\uff4e\uff4e")], "open"),
    "another person, in full": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "carl ogden")], "confirmed"),
    "nobody who is known": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "milo")], "open"),
    "after work of somebody not known": ([(TIGHT, "milo"), (SECOND(check="A.2.second"), "ben")], "open"),
    "after unnamed work": ([(TIGHT, ""), (SECOND(check="A.2.second"), "ben")], "open"),
    "one of two who worked": ([(BOTH[0], "ann"), (BOTH[1], "ben"), (SECOND(check="A.2.second"), "ben")], "open"),
    "a third person": ([(BOTH[0], "ann"), (BOTH[1], "ben"), (SECOND(check="A.2.second"), "carl")], "confirmed"),
    "then more work": ([(TIGHT, "ann"), (SECOND(check="A.2.second"), "ben"), (TIGHT, "ann")], "open"),
    "who started the bolts": (
        [(CONFIRM(check="A.2.started"), "ben"), (TIGHT, "ann"), (SECOND(check="A.2.second"), "ben")],
        "open",
    ),
    "who confirmed the stage": ([(CONFIRM(check="A.3.stage1"), "ben"), (SECOND(check="A.2.second"), "ben")], "open"),
    "a plain confirmation": ([(TIGHT, "ann"), (CONFIRM(check="A.2.second"), "ben")], "open"),
    "came off since": (
        [(TIGHT, "ann"), (SECOND(check="A.2.second"), "ben"), (said.PartRemoved(part="shaft", name="shaft"), "ann")],
        "open",
    ),
}


def test_whoever_worked_on_a_set_before_it_was_told_again_makes_no_second_check_of_it() -> None:
    history = shaft()
    history.say(CONFIRM(check="A.2.started"), "ben")
    history.say(SET)
    history.say(TIGHT, "ann")
    history.say(SECOND(check="A.5.second"), "ben")
    assert found(history.entries)["A.5.second"].state == "open"
    history.say(SECOND(check="A.5.second"), "carl")
    assert found(history.entries)["A.5.second"].state == "confirmed"


@pytest.mark.parametrize(("story", "state"), SECOND_CHECKS.values(), ids=SECOND_CHECKS.keys())
def test_a_second_check_is_made_by_a_different_person_after_the_work(story: list[Any], state: str) -> None:
    history = shaft()
    for fact, who in story:
        history.say(fact, who)
    assert found(history.entries)["A.2.second"].state == state


def test_a_second_check_of_other_work_is_no_confirmation_of_it() -> None:
    history = shaft()
    history.say(SECOND(check="A.2.started"), "ben")
    history.say(SECOND(check="A.3.stage1"), "ben")
    assert [check.state for check in checks(Job.of(history.entries))] == ["open"] * 5


def accepted(by: str, reason: str = "bolt on order", check: str = "A.2.started") -> said.ExceptionAccepted:
    return said.ExceptionAccepted(check=check, reason=reason, accepted_by=by)


EXCEPTIONS: dict[str, tuple[said.ExceptionAccepted, str, str]] = {
    "safety-critical, by who said it": (accepted("ann"), "ann", "open"),
    "safety-critical, by who said it in capitals": (accepted("ANN "), "ann", "open"),
    "safety-critical, by another": (accepted("ben"), "ann", "excepted"),
    "safety-critical, said by nobody": (accepted("ben"), "", "open"),
    "by nobody": (accepted(" ", check="A.1.back"), "ann", "open"),
    "without a reason": (accepted("ben", reason=" ", check="A.1.back"), "ann", "open"),
    "a reason that cannot be seen": (accepted("ben", reason="\u200b\u2800", check="A.1.back"), "ann", "open"),
    "a name that cannot be seen": (accepted("\u200b", check="A.1.back"), "ann", "open"),
    "plain, by nobody who is known": (accepted("milo", check="A.1.back"), "ann", "open"),
    "safety-critical, by who said it in full": (accepted("Ann Baker"), "ann", "open"),
    "safety-critical, by nobody who is known": (accepted("milo"), "ann", "open"),
    "plain, by who said it": (accepted("ann", check="A.1.back"), "ann", "excepted"),
}


@pytest.mark.parametrize(("fact", "who", "state"), EXCEPTIONS.values(), ids=EXCEPTIONS.keys())
def test_an_exception_needs_a_reason_and_a_named_person(fact: said.ExceptionAccepted, who: str, state: str) -> None:
    history = shaft()
    history.say(fact, who)
    assert found(history.entries)[fact.check].state == state


def test_who_did_the_work_accepts_no_exception_to_it() -> None:
    history = shaft()
    history.say(TIGHT, "ben")
    history.say(accepted("ben", check="A.2.second"), "ann")
    assert found(history.entries)["A.2.second"].open
    history.say(accepted("carl", check="A.2.second"), "ann")
    assert found(history.entries)["A.2.second"].state == "excepted"


WHY: dict[str, tuple[list[tuple[object, str]], str]] = {
    "not known": ([(SECOND(check="A.2.second"), "milo")], "second check by milo, who is not known in this workshop"),
    "unnamed": ([(SECOND(check="A.2.second"), "")], "second check by nobody who is named"),
    "the same": (
        [(SECOND(check="A.2.second"), "Ann Baker")],
        "Ann Baker did this work: a second check is made by another person",
    ),
    "after somebody not known": (
        [(TIGHT, "milo"), (SECOND(check="A.2.second"), "ben")],
        "second check by ben, but milo had a hand in it and is not known in this workshop",
    ),
    "work since": (
        [(SECOND(check="A.2.second"), "ben"), (TIGHT, "ann")], "something was done after the second check by ben",
    ),
    "an exception": (
        [(accepted("milo", check="A.2.second"), "ann")],
        "exception accepted by milo, who is not known in this workshop",
    ),
    "an exception of one's own": (
        [(accepted("ben", check="A.2.second"), "ben")],
        "safety-critical: another person than ben has to accept this exception",
    ),
    "answered since": ([(SECOND(check="A.2.second"), "milo"), (SECOND(check="A.2.second"), "ben")], ""),
}  # fmt: skip


@pytest.mark.parametrize(("story", "why"), WHY.values(), ids=WHY.keys())
def test_a_check_tells_why_what_was_said_does_not_answer_it(story: list[Any], why: str) -> None:
    history = shaft()
    for fact, who in ((TIGHT, "ann"), *story):
        history.say(fact, who)
    check = found(history.entries)["A.2.second"]
    assert check.against == why
    assert why in check.detail


def test_in_a_workshop_without_people_one_person_accepts_all_but_what_is_safety_critical() -> None:
    history = shaft()
    history.say(accepted("ann", check="A.1.back"))
    history.say(accepted("ann", check="A.2.started"))
    history.say(TIGHT, "ann")
    history.say(SECOND(check="A.2.second"), "ben")
    alone = {check.key: check.state for check in checks(Job.of(history.entries))}
    assert (alone["A.1.back"], alone["A.2.started"], alone["A.2.second"]) == ("excepted", "open", "open")


def test_the_last_answer_counts() -> None:
    history = shaft()
    seen = []
    for fact in (accepted("ben", check="A.3.stage1"), TIGHT, accepted("ben", check="A.3.stage1")):
        history.say(fact, "ann")
        seen.append(found(history.entries)["A.3.stage1"].state)
    assert seen == ["excepted", "confirmed", "excepted"]


def test_an_answer_before_its_fact_does_not_count() -> None:
    history = History()
    history.say(said.CheckConfirmed(check="A.2.back"))
    history.say(said.PartRemoved(part="pan", name="pan"))
    assert states(history.entries) == {"A.2.back": "open"}


# facts that answer by their kind

WINDOW = said.LevelSpecified(fluid="gear oil", low="35 degC", high="45 degC", engine="running")
RIGHT = said.LevelChecked(fluid="Gear  oil", temperature="40 degC", engine="running")
ANSWERS: dict[str, tuple[object, list[object], str]] = {
    "road test": (said.RoadTested(felt="hums"), [said.RoadTested(when="after", felt="quiet")], "confirmed"),
    "the same speed again": (
        said.RoadTested(felt="hums", speed="80 km/h"),
        [said.RoadTested(when="after", felt="quiet", speed="80 km/h")],
        "confirmed",
    ),
    "how far again": (
        said.RoadTested(felt="hums", distance="12 km"),
        [said.RoadTested(when="after", felt="quiet", distance="9 km")],
        "confirmed",
    ),
    "at no speed and of no distance": (
        said.RoadTested(felt="hums", distance="12 km", speed="80 km/h"),
        [said.RoadTested(when="after", felt="quiet", outcome="gone")],
        "open",
    ),
    "at a speed that was only in words": (
        said.RoadTested(felt="shudder at 60"),
        [said.RoadTested(when="after", felt="quiet")],
        "open",
    ),
    "of a distance, at a speed that was only in words": (
        said.RoadTested(felt="shudder at 60"),
        [said.RoadTested(when="after", felt="quiet", distance="9 km")],
        "open",
    ),
    "somebody says it was the same": (
        said.RoadTested(felt="shudder at 60", distance="9 km"),
        [said.RoadTested(when="after", felt="quiet", as_before=True)],
        "confirmed",
    ),
    "slower than before": (
        said.RoadTested(felt="hums", speed="80 km/h"),
        [said.RoadTested(when="after", felt="quiet", speed="30 km/h")],
        "open",
    ),
    "road test, gone": (said.RoadTested(felt="hums"), [said.RoadTested(when="after", outcome="gone")], "confirmed"),
    "a road test that was not driven": (
        said.RoadTested(felt="hums"),
        [said.RoadTested(when="after", felt="not driven, out of time")],
        "open",
    ),
    "a road test of no distance at no speed": (
        said.RoadTested(felt="hums"),
        [said.RoadTested(when="after", outcome="gone", distance="0 km", speed="0", as_before=True)],
        "open",
    ),
    "driven after it was not": (
        said.RoadTested(felt="hums"),
        [said.RoadTested(when="after", felt="not driven"), said.RoadTested(when="after", felt="quiet")],
        "confirmed",
    ),
    "a yes that says it was not driven": (
        said.RoadTested(),
        [said.CheckConfirmed(check="A.1.again", note="not driven")],
        "open",
    ),
    "an empty road test": (said.RoadTested(felt="hums"), [said.RoadTested(when="after")], "open"),
    "only how far": (said.RoadTested(felt="hums"), [said.RoadTested(when="after", felt=" ", distance="9 km")], "open"),
    "a bare yes to a road test": (said.RoadTested(felt="hums"), [said.CheckConfirmed(check="A.1.again")], "open"),
    "a yes with words": (said.RoadTested(), [said.CheckConfirmed(check="A.1.again", note="quiet")], "confirmed"),
    "road test before again": (said.RoadTested(felt="hums"), [said.RoadTested(when="before")], "open"),
    "aid out": (said.AidFitted(aid="wire"), [said.AidRemoved(aid="A.1")], "confirmed"),
    "another aid out": (said.AidFitted(aid="wire"), [said.AidRemoved(aid="A.9")], "open"),
    "renewal on hand": (said.RenewalNeeded(what="gasket"), [said.RenewalReceived(needed="A.1")], "confirmed"),
    "in its window": (WINDOW, [RIGHT], "confirmed"),
    "another fluid": (WINDOW, [said.LevelChecked(fluid="coolant", temperature="40 degC", engine="running")], "open"),
    "too cold": (WINDOW, [said.LevelChecked(fluid="gear oil", temperature="20 degC", engine="running")], "open"),
    "no temperature": (WINDOW, [said.LevelChecked(fluid="gear oil", engine="running")], "open"),
    "a temperature nobody can read": (
        WINDOW,
        [said.LevelChecked(fluid="gear oil", temperature="warm", engine="running")],
        "open",
    ),
    "engine off": (WINDOW, [said.LevelChecked(fluid="gear oil", temperature="40 degC", engine="off")], "open"),
    "found low": (
        WINDOW,
        [said.LevelChecked(fluid="gear oil", temperature="40 degC", engine="running", found="low")],
        "open",
    ),
    "confirmed without a reading": (WINDOW, [said.CheckConfirmed(check="A.1.level")], "open"),
    "confirmed where no window is known": (
        said.LevelSpecified(fluid="gear oil"),
        [said.CheckConfirmed(check="A.1.level")],
        "confirmed",
    ),
    "right, later read too cold to tell": (
        WINDOW,
        [RIGHT, said.LevelChecked(fluid="gear oil", temperature="20 degC", engine="running")],
        "confirmed",
    ),
    "right, later found low": (WINDOW, [RIGHT, said.LevelChecked(fluid="gear oil", found="low")], "open"),
    "right, then more filled": (WINDOW, [RIGHT, said.FluidFilled(fluid="gear oil", amount="1 l")], "open"),
    "right, then drained again": (WINDOW, [RIGHT, said.FluidDrained(fluid="gear oil")], "open"),
    "right, then another fluid filled": (WINDOW, [RIGHT, said.FluidFilled(fluid="coolant", amount="1 l")], "confirmed"),
    "filled, then right": (WINDOW, [said.FluidFilled(fluid="gear oil", amount="1 l"), RIGHT], "confirmed"),
}


@pytest.mark.parametrize(("fact", "later", "state"), ANSWERS.values(), ids=ANSWERS.keys())
def test_facts_that_answer_by_their_kind(fact: object, later: list[object], state: str) -> None:
    history = History()
    for one in (fact, *later):
        history.say(one)
    asked = [check for check in checks(Job.of(history.entries)) if check.asked_by.id == "A.1"]
    first = next((check for check in asked if check.way == "level"), asked[0])
    assert first.state == state


BEFORE = said.CodeRead(when="before", code="P0735", module="Gearbox")
CODES: dict[str, tuple[list[object], tuple[str, str]]] = {
    "nothing done": ([], ("open", "open")),
    "all cleared": ([said.CodesCleared()], ("confirmed", "open")),
    "this one cleared": ([said.CodesCleared(module="gearbox ")], ("confirmed", "open")),
    "another cleared": ([said.CodesCleared(module="engine")], ("open", "open")),
    "cleared and read": (
        [said.CodesCleared(), said.CodeRead(when="after", none_stored=True)],
        ("confirmed", "confirmed"),
    ),
    "read, then cleared": ([said.CodeRead(when="after", none_stored=True), said.CodesCleared()], ("confirmed", "open")),
    "read, then another cleared": (
        [said.CodesCleared(), said.CodeRead(when="after", none_stored=True), said.CodesCleared(module="engine")],
        ("confirmed", "confirmed"),
    ),
    "nothing read": ([said.CodesCleared(), said.CodeRead(when="after")], ("confirmed", "open")),
    "a code read": ([said.CodesCleared(), said.CodeRead(when="after", code="P0735")], ("confirmed", "confirmed")),
    "a bare yes": ([said.CodesCleared(), said.CheckConfirmed(check="A.1.again")], ("confirmed", "open")),
    "another read": (
        [said.CodesCleared(), said.CodeRead(when="after", none_stored=True, module="engine")],
        ("confirmed", "open"),
    ),
}


@pytest.mark.parametrize(("later", "expected"), CODES.values(), ids=CODES.keys())
def test_codes_are_cleared_and_then_read_again(later: list[object], expected: tuple[str, str]) -> None:
    history = History()
    for fact in (BEFORE, *later):
        history.say(fact)
    told = states(history.entries)
    assert (told["A.1.cleared"], told["A.1.again"]) == expected


def test_a_code_read_after_the_work_is_an_open_check_of_its_own() -> None:
    history = History()
    history.say(said.CodeRead(when="after", code="P0735", status="pending"))
    check = found(history.entries)["A.1.dealt"]
    assert (check.open, check.wording, check.detail) == (True, "P0735, read after the work: dealt with", "pending")
    history.say(said.CheckConfirmed(check="A.1.dealt", note=" "))
    assert found(history.entries)["A.1.dealt"].open
    history.say(said.CheckConfirmed(check="A.1.dealt", note="old code of the heater, customer told"))
    assert found(history.entries)["A.1.dealt"].state == "confirmed"


def test_a_level_without_a_window_needs_only_to_be_right() -> None:
    assert level_counts(said.FluidDrained(fluid="oil"), said.LevelChecked(fluid="oil"))
    assert not level_counts(said.FluidDrained(fluid="oil"), said.LevelChecked(fluid="oil", found="high"))


# contradictions


def test_orders_that_two_benches_said_against_each_other_stand_open_until_a_person_settles_them() -> None:
    history = History()
    for part in ("hanger", "crossmember"):
        history.say(said.PartRemoved(part=part, name=part))
    history.say(said.OrderSaid(part="hanger", goes="before", other="crossmember"))
    clash = history.say(said.OrderSaid(part="hanger", goes="after", other="crossmember"), bench="B", later=9)
    check = found(history.entries)[f"{clash.id}.clash"]
    assert (check.state, check.way) == ("contradiction", "settle")
    assert "hanger" in check.wording
    assert "crossmember" in check.wording
    history.say(said.CheckConfirmed(check=check.key), later=20)
    assert found(history.entries)[check.key].open
    history.say(said.ExceptionAccepted(check=check.key, reason="either way fits", accepted_by="ann"))
    assert found(history.entries)[check.key].state == "excepted"


@pytest.mark.parametrize(
    ("between", "second", "twice"),
    [
        ([], "off", True),
        ([said.CheckConfirmed(check="A.1.back")], "off", False),
        ([said.ExceptionAccepted(check="A.1.back", reason="later", accepted_by="ann")], "off", True),
        ([], "aside", False),
    ],
)
def test_a_part_cannot_come_off_twice_without_going_back(between: list[object], second: Any, twice: bool) -> None:
    history = History()
    for fact in (said.PartRemoved(part="pan", name="pan"), *between):
        history.say(fact)
    last = history.say(said.PartRemoved(part="pan", name="pan", how=second))
    assert (f"{last.id}.twice" in found(history.entries)) is twice


def test_a_kind_of_a_newer_program_stands_open_until_somebody_says_why_it_may() -> None:
    history = History()
    history.say(said.Unknown(b'{"kind":"SomethingNewer"}', "no such kind"))
    history.say(said.CheckConfirmed(check="A.1.unknown"))
    assert found(history.entries)["A.1.unknown"].state == "unknown"
    history.say(said.ExceptionAccepted(check="A.1.unknown", reason="read at the other bench", accepted_by="ann"))
    assert found(history.entries)["A.1.unknown"].state == "excepted"


READ_AFTER = {"P0735": "confirmed", "P0741": "confirmed", "4E2A0": "confirmed", "km": "open", "P07": "open"}


@pytest.mark.parametrize(("code", "state"), READ_AFTER.items())
def test_what_is_no_code_is_no_reading_of_another(code: str, state: str) -> None:
    history = History()
    history.say(said.CodeRead(code="P0735"))
    history.say(said.CodeRead(when="after", code=code))
    assert found(history.entries)["A.1.again"].state == state


def test_the_tools_own_words_are_read_again_by_the_same_words() -> None:
    history = History()
    history.say(said.CodeRead(code="gear lamp"))
    history.say(said.CodeRead(when="after", code="Gear  lamp"))
    assert found(history.entries)["A.1.again"].state == "confirmed"
