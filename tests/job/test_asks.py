"""What each kind of fact asks of refit, in words."""

from typing import Any

import pytest

from reassembly.job import entries as said
from reassembly.job.asks import asks, two_groups
from reassembly.job.checks import checks
from reassembly.job.entries import kinds
from reassembly.job.job import Job
from reassembly.job.telling import told
from tests.job.histories import History

ASK_NOTHING = {
    "DrivelineNoted",  # numbers to reckon with
    "CustomerNamed", "PhotoKept",  # kept to be looked at
    "OrderSaid",  # orders the steps; asks only where it contradicts
    "LabelPrinted", "LabelSeen", "BagShelved",  # where the label and the bag are: BagPacked asks for the bag
    "CheckPutOff",  # the check itself stays open
    "RenewalReceived", "CheckConfirmed", "StageTightened", "AidRemoved", "SecondCheckMade", "ExceptionAccepted",
    "FluidFilled", "LevelChecked", "CodesCleared",  # answer
    "SignedOff", "JobReopened", "EntryStruck", "DetailsErased",  # close, or take back
    "PersonAdded", "WrenchAdded", "WrenchCalibrated", "WrenchFailed", "SpecNoted", "ShelfAdded",  # the shop's
    "BenchNamed",
}  # fmt: skip


def test_every_kind_has_a_rule_for_what_it_asks_and_for_how_it_is_told() -> None:
    for rules in (asks, told):
        nothing = rules.dispatch(object)
        assert [kind for kind in (*kinds(), said.Unknown) if rules.dispatch(kind) is nothing] == []


def test_which_kinds_ask_nothing_is_said() -> None:
    silent = asks.dispatch(said.OrderSaid)
    assert {kind.__name__ for kind in kinds() if asks.dispatch(kind) is silent} == ASK_NOTHING


def test_a_thing_that_is_no_fact_is_refused_by_name() -> None:
    with pytest.raises(NotImplementedError, match="str"):
        asks("a string", None)  # type: ignore[arg-type]


Stage = said.Stage
BOLTS = said.FastenersRemoved(
    part="p", count=4, thread="M10x1.5", lengths=("35", "35", "40", "35"), strength="10.9", drive="hex 17"
)
NUT = said.FastenersRemoved(part="p", count=1, what="nut", reuse="renew")
ASKED: dict[str, tuple[list[Any], list[tuple[str, str]]]] = {
    "job": ([said.JobOpened(vehicle="van")], [
        ("nothing left over", "every tool, aid and fastener accounted for"), ("road test after the work", ""),
    ]),
    "complaint": ([said.JobOpened(vehicle="van", complaint="hums at 80")], [
        ("nothing left over", "every tool, aid and fastener accounted for"), ("road test after the work", ""),
        ("complaint gone", "hums at 80"),
    ]),
    "code": ([said.CodeRead(code="P0735", module="gearbox")], [
        ("codes cleared in gearbox", "P0735"), ("codes read again in gearbox", "P0735"),
    ]),
    "no code": ([said.CodeRead()], [
        ("codes cleared", "none stored before"), ("codes read again", "none stored before"),
    ]),
    "clean after": ([said.CodeRead(when="after")], []),
    "road test": ([said.RoadTested(felt="hums")], [("same road test again", "before: hums")]),
    "road test after": ([said.RoadTested(when="after")], []),
    "finding": ([said.FindingNoted(what="leak", where="rear seal")], [("looked at again: leak", "rear seal")]),
    "finding of no part, what came off last may hide it": (
        [said.PartRemoved(part="p", name="pan"), said.FindingNoted(what="scored sleeve", where="in the bore")],
        [
            ("back in place", ""),
            ("looked at before this hides it: scored sleeve", "in the bore"),
            ("looked at again: scored sleeve", "in the bore"),
        ],
    ),
    "finding after the work": (
        [said.PartRemoved(part="p", name="pan"), said.FindingNoted(what="drip", when="after")],
        [("back in place", ""), ("looked at again: drip", "")],
    ),
    "off": ([said.PartRemoved(part="p", name="p", note="heavy")], [("back in place", "heavy")]),
    "loosened": ([said.PartRemoved(part="p", name="p", how="loosened")], [("tight again: it was loosened", "")]),
    "aside": ([said.PartRemoved(part="p", name="p", how="aside")], [("swung back in place", "")]),
    "disconnected": ([said.PartRemoved(part="p", name="speed sensor plug", how="disconnected")], [
        ("connected again", "push home, pull to prove"),
    ]),
    "a bolted flange": ([said.PartRemoved(part="p", name="rear flange", how="disconnected"), BOLTS], [
        ("in place, faces together", ""),
        ("all 4 bolts started by hand", "M10x1.5x35/40 10.9, hex 17"),
        ("4 bolts tight", "no torque recorded"),
    ]),
    "a connector with a screw": ([
        said.PartRemoved(part="p", name="control unit plug", how="disconnected"),
        said.FastenersRemoved(part="p", count=1, what="screw"),
    ], [
        ("connected again", "push home, pull to prove"), ("the screw started by hand", ""),
        ("1 screw tight", "no torque recorded"),
    ]),
    "loosened, with its nut": ([
        said.PartRemoved(part="p", name="p", how="loosened"), said.FastenersRemoved(part="p", count=1, what="nut"),
    ], [
        ("where it was, to be tightened: it was loosened", ""), ("the nut started by hand", ""),
        ("1 nut tight", "no torque recorded"),
    ]),
    "a flange": ([said.PartRemoved(part="p", name="rear flange", how="disconnected")], [("connected again", "")]),
    "one faces": ([said.OrientationNoted(part="p", feature="boss", faces="up")], [("boss faces up", "")]),
    "half past": ([said.OrientationNoted(part="p", feature="lug", clock="4:30", seen_from="bottom")], [
        ("lug at 4:30 seen from below", ""),
    ]),
    "from below": ([said.OrientationNoted(part="p", feature="lug", clock="4", seen_from="below")], [
        ("lug at 4 o'clock seen from below", ""),
    ]),
    "uncounted": ([said.MarkMade(part="p", mark="white paint", marked_tooth=5)], [
        ("marks in line", "white paint"), ("tooth 5 to the mark, white paint", "nobody counted the teeth"),
    ]),
    "riveted": ([said.WeightFound(part="p", position="hole 2", mass="14 g", what="riveted")], [
        ("14 g riveted balance weight at hole 2", ""),
    ]),
    "a weight": ([said.WeightFound(part="p", position="hole 2", what="weight")], [("balance weight at hole 2", "")]),
    "faces": ([said.OrientationNoted(part="p", feature="slots", faces="front")], [("slots face front", "")]),
    "clock": ([said.OrientationNoted(part="p", feature="lug", clock="4", seen_from="front")], [
        ("lug at 4 o'clock seen from the front", ""),
    ]),
    "both": ([said.OrientationNoted(part="p", feature="lug", faces="up", clock="12", note="in its slot")], [
        ("lug faces up, at 12 o'clock", "in its slot"),
    ]),
    "neither": ([said.OrientationNoted(part="p", feature="lug")], [("lug right way round", "")]),
    "mark": ([said.MarkMade(part="p", mark="white paint", to="flange", note="faint")], [
        ("marks in line", "white paint, to flange; faint"),
    ]),
    "tooth": ([said.MarkMade(part="p", mark="scribe", spline_teeth=27, marked_tooth=5)], [
        ("marks in line", "scribe"), ("tooth 5 of 27 to the mark, scribe", ""),
    ]),
    "tooth and side": ([said.MarkMade(part="p", mark="scribe", spline_teeth=27, marked_tooth=5, seen_from="rear")], [
        ("marks in line", "scribe"), ("tooth 5 of 27 seen from the rear to the mark, scribe", ""),
    ]),
    "weight and side": ([said.WeightFound(part="p", mass="14 g", position="hole 2", seen_from="rear")], [
        ("14 g balance weight at hole 2 seen from the rear", ""),
    ]),
    "teeth": ([said.MarkMade(part="p", mark="scribe", spline_teeth=27)], [
        ("marks in line", "scribe"), ("the same tooth of 27 to the mark, scribe", ""),
    ]),
    "weight": ([said.WeightFound(part="p", position="hole 2", mass="14 g", radius="45 mm")], [
        ("14 g balance weight at hole 2", "radius 45 mm"),
    ]),
    "locking piece": ([said.WeightFound(part="p", position="hole 1", what="locking plate")], [
        ("locking plate at hole 1", ""),
    ]),
    "bolts": ([BOLTS], [
        ("all 4 bolts started by hand", "M10x1.5x35/40 10.9, hex 17"), ("4 bolts tight", "no torque recorded"),
    ]),
    "a new nut": ([NUT], [
        ("1 new nut on hand", ""), ("the new nut started by hand", ""), ("1 nut tight", "no torque recorded"),
    ]),
    "safety": ([said.FastenersRemoved(part="p", count=2, safety_critical=True)], [
        ("all 2 bolts started by hand", ""), ("2 bolts tight", "no torque recorded"),
        ("second check by another person", "2 bolts"),
    ]),
    "torque": ([said.TorqueSpecified(part="p", stages=(Stage("torque", "30 N.m"), Stage("angle", "90 deg")))], [
        ("stage 1 of 2: 30 N.m", "no source given"), ("stage 2 of 2: turn 90 deg further", "no source given"),
    ]),
    "retorque": ([said.TorqueSpecified(part="p", stages=(), source="m", retorque="after 50 km")], [
        ("p tight", "no torque recorded"),
        ("retorque after 50 km: done, or told to the customer", "p"),
    ]),
    "aid": ([said.AidFitted(aid="wire", where="round the joint")], [("wire out again", "round the joint")]),
    "aid of unknown use": ([said.AidFitted(aid="gadget", part="p")], [
        ("gadget not in the way of the part", ""), ("gadget out again", ""),
    ]),
    "drained": ([said.FluidDrained(fluid="gear oil", amount="5.8 l", where="gearbox")], [
        ("gear oil filled", "5.8 l drained, gearbox"), ("no gear oil leak, engine run", "gearbox"),
        ("gear oil level right", "no temperature window recorded"),
    ]),
    "level": ([said.LevelSpecified(fluid="oil", low="35 degC", high="45 degC", engine="running", how="overflow")], [
        ("engine started, filled on at once", "oil"),
        ("selector through every position, engine running", "a few seconds in each"),
        ("oil level right", "at 35 degC to 45 degC, engine running, overflow"),
    ]),
    "level at rest": ([said.LevelSpecified(fluid="oil", engine="off", how="plug")], [
        ("oil level right", "engine off, plug"),
    ]),
    "bag": ([said.BagPacked(bag="bcdfghjkln", parts=("p",), shelf="C4", holds="2 magnets")], [
        ("bag BCDFG HJKLN", "shelf C4, 2 magnets"),
    ]),
    "shared bag": ([said.BagPacked(bag="BCDFGHJKLN", parts=("p", "q"))], [
        ("bag BCDFG HJKLN", "also holds: q"), ("bag BCDFG HJKLN", "also holds: p"),
    ]),
    "bag of no part": ([said.BagPacked(bag="BCDFGHJKLN", parts=(), holds="clips")], [
        ("bag BCDFG HJKLN emptied", "clips"),
    ]),
    "stuck": ([said.PartStuck(part="p", freed="heat", grease="copper paste on the hub")], [
        ("rust and dirt off: it was stuck", "freed by heat"),
        ("greased so that it comes off next time", "copper paste on the hub"),
    ]),
    "renewal": ([said.RenewalNeeded(what="O-ring", part="p", count=2, part_number="77-1", why="once only")], [
        ("2 new O-ring on hand", "77-1, once only"), ("2 new O-ring fitted, the old thrown away", ""),
    ]),
    **{
        care: ([said.CareNoted(care=care, what="the faces", part="p")], [(wording, "")])  # type: ignore[arg-type]
        for care, wording in {
            "clean": "clean: the faces", "inspect": "inspected: the faces", "grease": "greased or oiled: the faces",
            "seal": "sealed: the faces", "fit": "fitted: the faces", "connect": "the faces",
            "look": "looked at: the faces",
        }.items()
    },
}  # fmt: skip


def asked(*facts: object) -> list[tuple[str, str]]:
    history = History()
    for fact in facts:
        history.say(fact)
    return [(check.wording, check.detail) for check in checks(Job.of(history.entries))]


@pytest.mark.parametrize(("facts", "expected"), ASKED.values(), ids=ASKED.keys())
def test_what_a_fact_asks_in_words(facts: list[Any], expected: list[tuple[str, str]]) -> None:
    assert asked(*facts) == expected


def test_every_kind_that_asks_is_in_the_table() -> None:
    shown = {type(facts[0]) for facts, expected in ASKED.values() if expected}
    assert {kind for kind in kinds() if kind.__name__ not in ASK_NOTHING} == shown


HAND, TURN = Stage("by hand"), Stage("torque", "30 N.m")
TORQUES: dict[str, tuple[tuple[Stage, ...], list[str]]] = {
    "no stage yet": ((), ["13 bolts tight"]),
    "one": ((TURN,), ["30 N.m"]),
    "by hand first is asked by the set": ((HAND, TURN), ["stage 2 of 2: 30 N.m"]),
    "by hand again after a back-off is asked": (
        (TURN, Stage("back off"), HAND, TURN),
        ["stage 1 of 4: 30 N.m", "stage 2 of 4: back off", "stage 3 of 4: all by hand", "stage 4 of 4: 30 N.m"],
    ),
}


@pytest.mark.parametrize(("stages", "expected"), TORQUES.values(), ids=TORQUES.keys())
def test_a_set_with_a_torque_asks_for_its_stages(stages: tuple[Stage, ...], expected: list[str]) -> None:
    told = asked(said.FastenersRemoved(part="pan", count=13), said.TorqueSpecified(part="pan", stages=stages))
    assert [wording for wording, _ in told if wording != "all 13 bolts started by hand"] == expected


@pytest.mark.parametrize("critical", [True, False])
def test_a_stripe_is_asked_of_safety_critical_sets_only(critical: bool) -> None:
    bolts = said.FastenersRemoved(part="pan", count=13, safety_critical=critical)
    told = asked(bolts, said.TorqueSpecified(part="pan", stages=(TURN,)))
    assert (("stripe painted across every head", "so that a glance shows it was tightened") in told) is critical


def test_without_a_set_by_hand_is_a_stage_like_any_other() -> None:
    assert asked(said.TorqueSpecified(part="pan", stages=(HAND, TURN)))[0][0] == "stage 1 of 2: all by hand"


def test_a_set_of_another_name_keeps_asking_to_be_tight() -> None:
    torque = said.TorqueSpecified(part="pan", stages=(TURN,), fasteners="long bolts")
    long, short = (said.FastenersRemoved(part="pan", count=2, fasteners=f) for f in ("Long bolts", "short bolts"))
    wordings = [wording for wording, _ in asked(torque, long, short)]
    assert wordings.count("2 bolts tight") == 1


def test_a_level_once_specified_is_asked_in_its_window_only() -> None:
    told = asked(said.FluidDrained(fluid="Gear oil"), said.LevelSpecified(fluid="gear  oil", low="35 degC"))
    assert [t for t in told if "level" in t[0]] == [("gear  oil level right", "at 35 degC")]


def test_a_safety_critical_set_makes_its_stages_safety_critical() -> None:
    history = History()
    history.say(said.FastenersRemoved(part="shaft", count=4, safety_critical=True))
    history.say(said.TorqueSpecified(part="shaft", stages=(TURN,)))
    safe = [check.key for check in checks(Job.of(history.entries)) if not check.safety]
    assert safe == ["A.2.stripe"]


def test_a_code_is_shown_in_two_groups() -> None:
    assert two_groups("bcdfg hjkln") == "BCDFG HJKLN"
    assert two_groups("") == ""
