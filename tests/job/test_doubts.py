"""Which facts are refused and which are only doubted, against one invented job."""

from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.doubt import doubtful
from reassembly.job.doubts import LONGEST, doubts
from reassembly.job.entries import Entry, Fact, Stage, kinds
from reassembly.job.fields import Field, fields
from reassembly.job.job import Job
from reassembly.job.shop import Shop
from reassembly.job.understood import understood
from tests.job.histories import CREW, crew, entries_of, odd_histories


def told(*facts: Fact, who: str = "ann", job: str = "A.1") -> tuple[Entry[Fact], ...]:
    return tuple(
        Entry(bench="A", number=n, hlc=n, time=f"2026-03-14T10:{n:02}:00Z", who=who, job=job, previous="", fact=fact)
        for n, fact in enumerate(facts, 1)
    )


FACTS = (
    said.JobOpened(vehicle="Kestrel van", complaint="vibration"),  # 1
    said.CustomerNamed(digest="00"),
    said.PartRemoved(part="shaft", name="propshaft"),
    said.FastenersRemoved(part="shaft", count=4, thread="M10x1.25", strength="10.9", safety_critical=True),
    said.TorqueSpecified(
        part="shaft", stages=(Stage("torque", "60 N.m"), Stage("angle", "90 deg")), source="p. 7"
    ),  # 5
    said.PartRemoved(part="pan", name="gearbox pan"),
    said.FastenersRemoved(part="pan", count=13, thread="M6", fasteners="short", reuse="renew"),
    said.PartRemoved(part="filter", name="filter", parent="pan"),
    said.AidFitted(aid="wire", part="shaft"),
    said.FluidDrained(fluid="ATF", amount="5.8 l"),  # 10
    said.LevelSpecified(fluid="ATF", low="35 °C", high="45 °C", engine="running", source="p. 9"),
    said.BagPacked(bag="KDTRBNVXCL", parts=("shaft",)),
    said.RenewalNeeded(part="pan", what="gasket"),
    said.TorqueSpecified(part="filter", stages=(Stage("torque", "8 N.m"),), source="p. 8"),
    said.StageTightened(specification="A.5", stage=1, wrench="T3"),  # 15
    said.EntryStruck(entry="A.17", why="never was"),
    said.CheckConfirmed(check="A.4.started"),
)
PEOPLE = crew(*CREW)
JOB = Job.of(told(*FACTS), PEOPLE)
SHOP = Shop.of(
    told(
        said.PersonAdded(person="ann"),
        said.PersonAdded(person="ben"),
        said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m"),
        said.WrenchCalibrated(wrench="T3", on="2026-01-05", until="2027-01-05"),
        job="",
    )
)
SPEC = said.TorqueSpecified(part="shaft", stages=(Stage("torque", "60 N.m"),), source="p. 7")


def spec(*stages: Stage, part: str = "shaft", order: tuple[int, ...] = (), layout: str = "") -> said.TorqueSpecified:
    return said.TorqueSpecified(part=part, stages=stages, order=order, layout=layout, source="p. 7")


@dataclass(frozen=True)
class Row:
    """A fact, the field it is doubted for, and words that the sentence holds."""

    fact: Fact
    field: str
    words: str


REFUSED = [
    Row(said.RoadTested(), "felt", "what was felt?"),
    Row(said.RoadTested(when="after", distance="9 km"), "felt", "how did it go?"),
    Row(said.CodeRead(when="after", module="gearbox"), "code", "what was read?"),
    Row(said.CodeRead(), "code", "what was read? Type the code, or say none stored: yes"),
    Row(said.CodeRead(module="gearbox"), "code", "what was read?"),
    Row(said.CodeRead(code="P0735clunk on the 2-3 shift"), "code", "is P0735 and more: type one code here"),
    Row(said.CodeRead(code="P0735 P0741"), "code", "is P0735 and more: type one code here"),
    Row(said.CodeRead(when="after", code="none"), "code", "say none stored: yes"),
    Row(said.CodeRead(when="after", code="P0735", none_stored=True), "none_stored", "or none stored?"),
    Row(said.RoadTested(felt="hums", distance="45"), "distance", "45: kilometres or miles? Type 45 km"),
    Row(said.RoadTested(speed="fast"), "speed", "does not begin with a number"),
    Row(said.RoadTested(frequency="a hum"), "frequency", "does not begin with a number"),
    Row(said.RoadTested(gear_ratio="0"), "gear_ratio", "a ratio of 0 cannot be"),
    Row(said.DrivelineNoted(cylinders=40), "cylinders", "40 cylinders: type from 1 to 16"),
    Row(said.DrivelineNoted(source="manual"), "tyre", "nothing was noted"),
    Row(said.DrivelineNoted(tyre="winter"), "tyre", "neither a tyre size"),
    Row(said.DrivelineNoted(axle_ratio="-3.73"), "axle_ratio", "a ratio of -3.73 cannot be"),
    Row(said.DrivelineNoted(joint_angles=("3", "90 deg")), "joint_angles", "a joint at 90 deg cannot turn"),
    Row(said.LevelSpecified(fluid="ATF", volume="nine", source="m"), "volume", "does not begin with a number"),
    Row(said.PartRemoved(part="x", name="  "), "name", "name is empty: what it is called at the bench"),
    Row(said.PartRemoved(part="x", name="\u200b\x07"), "name", "empty"),
    Row(said.FindingNoted(what="w" * 2001), "what", "2,001 characters, at most 2,000"),
    Row(said.FastenersRemoved(part="shaft", count=0), "count", "a whole number from 1 to 200"),
    Row(said.OrientationNoted(part="nave", feature="lug", clock="4"), "part", "no part called nave"),
    Row(said.PartRemoved(part="x", name="x", parent="nave"), "parent", "no part called nave"),
    Row(said.BagPacked(bag="B" * 10, parts=("shaft", "nave")), "parts", "no part called nave"),
    Row(said.JobOpened(vehicle="v", torque_unit="bananas"), "torque_unit", "not a unit of torque"),
    Row(said.PartRemoved(part="x", name="x", parent="x"), "parent", "no part called x"),
    Row(said.PartRemoved(part="pan", name="pan", parent="pan"), "parent", "cannot be taken off itself"),
    Row(said.PartRemoved(part="pan", name="pan", parent="filter"), "parent", "for ever: filter, gearbox pan"),
    Row(said.OrderSaid(part="pan", goes="before", other="filter"), "other", "for ever: filter, gearbox pan"),
    Row(said.OrderSaid(part="pan", goes="before", other="pan"), "other", "cannot go before itself"),
    Row(said.OrderSaid(part="pan", goes="after"), "other", "goes after which part?"),
    Row(said.OrderSaid(part="pan", goes="independent", other="shaft"), "other", "leave the other part out"),
    Row(said.OrientationNoted(part="pan", feature="lug", clock="13"), "clock", "not on a clock face"),
    Row(said.OrientationNoted(part="pan", feature="lug", faces="front and rear"), "faces", "at once"),
    Row(said.MarkMade(part="shaft", mark="paint", spline_teeth=16, marked_tooth=17), "marked_tooth", "no tooth 17 of"),
    Row(said.WeightFound(part="shaft", position="hole 2", mass="heavy"), "mass", "does not begin with a number"),
    Row(said.WeightFound(part="shaft", position="hole 2", radius="45 kg"), "radius", "not a unit of length"),
    Row(said.WeightFound(part="shaft", position="hole 5 of 4"), "position", "no hole 5 of 4"),
    Row(said.WeightFound(part="shaft", position="hole 0"), "position", "count from 1"),
    Row(said.FastenersRemoved(part="pan", count=3, lengths=("35", "40")), "lengths", "one for all, or one for each"),
    Row(said.FastenersRemoved(part="pan", count=3, lengths=("long",)), "lengths", "does not begin with a number"),
    Row(said.FastenersRemoved(part="pan", count=3, lengths=("0",)), "lengths", "longer than nothing"),
    Row(spec(), "stages", "no stage"),
    Row(spec(Stage("torque")), "stages", "stage 1: how much?"),
    Row(spec(Stage("torque", "60 kg")), "stages", "kilograms alone are a force"),
    Row(spec(Stage("torque", "0 N.m")), "stages", "tightens nothing"),
    Row(spec(Stage("by hand"), Stage("angle", "N.m")), "stages", "does not begin with a number"),
    Row(spec(Stage("check pass", "tight")), "stages", "does not begin with a number"),
    Row(spec(Stage("torque", "60 N.m"), layout="circle 6"), "layout", "6 positions and the set has 4"),
    Row(spec(Stage("torque", "60 N.m"), layout="star"), "layout", "no layout that is known"),
    Row(spec(Stage("torque", "60 N.m"), order=(1, 3, 2)), "order", "4 is missing"),
    Row(spec(Stage("torque", "60 N.m"), order=(1, 3, 2, 5)), "order", "5 is not among the 4"),
    Row(spec(Stage("torque", "60 N.m"), order=(1, 3, 2, -4)), "order", "whole number from 1 to 200"),
    Row(said.TorqueSpecified(part="shaft", stages=(Stage("by hand"),), count=6), "count", "4 bolts were recorded"),
    Row(said.StageTightened(specification="A.4", stage=1), "specification", "no torque specification"),
    Row(said.StageTightened(specification="A.5", stage=3), "stage", "the specification has 2"),
    Row(said.StageTightened(specification="A.5", stage=1, position=5), "position", "the set has 4"),
    Row(said.StageTightened(specification="A.5", stage=1, value="60 bar"), "value", "not a unit of torque"),
    Row(said.StageTightened(specification="A.5", stage=2, value="60 N.m"), "value", "not a unit of angle"),
    Row(
        said.StageTightened(specification="A.5", stage=1, value="60 lbf.ft", wrench="T3"), "value", "above 57.6 to 62.4"
    ),
    Row(said.StageTightened(specification="A.5", stage=1, value="-60 N.m", wrench="T3"), "value", "not below nothing"),
    Row(
        said.StageTightened(specification="A.5", stage=1, value="nan N.m", wrench="T3"), "value", "begin with a number"
    ),
    Row(said.CheckConfirmed(check="A.5.stage1", value="600 N.m"), "value", "600 N.m is above 57.6 to 62.4"),
    Row(said.CheckConfirmed(check="A.5.stage1", value="sixty"), "value", "sixty does not begin with a number"),
    Row(said.FluidDrained(fluid="ATF", amount="some"), "amount", "does not begin with a number"),
    Row(said.FluidFilled(fluid="ATF", amount="2 kg"), "amount", "not a unit of volume"),
    Row(said.LevelSpecified(fluid="ATF", low="45 °C", high="35 °C"), "high", "upside down"),
    Row(said.LevelSpecified(fluid="ATF", low="warm"), "low", "does not begin with a number"),
    Row(said.LevelChecked(fluid="ATF", temperature="-300 °C"), "temperature", "colder than anything"),
    Row(said.RenewalReceived(needed="A.4"), "needed", "asks for nothing new"),
    Row(said.CheckConfirmed(check="A.99.back"), "check", "no check A.99.back"),
    Row(said.CheckConfirmed(check="A.11.level"), "check", "say the level with its temperature"),
    Row(said.CheckConfirmed(check="A.4.second"), "check", "a person who did not do the work"),
    Row(said.SecondCheckMade(check="A.4.second"), "check", "ann did this work"),
    Row(said.SecondCheckMade(check="A.3.back"), "check", "no second person is asked for"),
    Row(said.ExceptionAccepted(check="A.3.back", reason=" ", accepted_by="ben"), "reason", "reason is empty"),
    Row(said.ExceptionAccepted(check="A.3.back", reason="r", accepted_by=""), "accepted_by", "person is empty"),
    Row(said.ExceptionAccepted(check="A.3.back", reason="r", accepted_by="zoe"), "accepted_by", "zoe, who is not"),
    Row(said.ExceptionAccepted(check="A.99.x", reason="r", accepted_by="ben"), "check", "no check A.99.x"),
    Row(
        said.ExceptionAccepted(check="A.4.started", reason="r", accepted_by="Ann"),
        "accepted_by",
        "another person than Ann",
    ),
    Row(said.AidRemoved(aid="A.3"), "aid", "no aid of this job"),
    Row(said.SignedOff(covers={"A": 17}), "", "checks are open"),
    Row(said.JobReopened(why="left"), "", "nothing has to be reopened"),
    Row(said.EntryStruck(entry="B.1", why="slip"), "entry", "no entry B.1"),
    Row(said.DetailsErased(entry="A.1"), "entry", "no customer's details"),
    Row(said.WrenchAdded(wrench="T4", low="200 N.m", high="40 N.m"), "high", "upside down"),
    Row(said.WrenchAdded(wrench="T4", low="40 N.m", high="40 N.m"), "high", "upside down"),
    Row(said.WrenchAdded(wrench="T4", low="20", high="120"), "low", "20: of what? Type the unit"),
    Row(said.WrenchAdded(wrench="T4", low="20 N.m", high="120"), "high", "as 120 N.m"),
    Row(said.WrenchAdded(wrench="T4", low="wide", high="40 N.m"), "low", "does not begin with a number"),
    Row(said.WrenchCalibrated(wrench="T9", on="2026-03-14"), "wrench", "no wrench T9 in the rack (T3)"),
    Row(said.WrenchCalibrated(wrench="T3", on="14.3.2026"), "on", "no date: type year-month-day"),
    Row(said.WrenchCalibrated(wrench="T3", on="20260314"), "on", "no date"),
    Row(said.WrenchCalibrated(wrench="T3", on="2026-03-14", until="2026-02-30"), "until", "no date"),
    Row(said.WrenchCalibrated(wrench="T3", on="2026-03-14", until="2025-03-14"), "until", "before it was calibrated"),
    Row(said.WrenchFailed(wrench="T3", on="yesterday"), "on", "no date"),
]
ADVISED = [
    Row(said.JobOpened(vehicle="v", vin="1G4AH59H55G118342"), "vin", "the other sixteen ask for"),
    Row(said.JobOpened(vehicle="v", vin="1G4AH59H55G1183"), "vin", "2 missing"),
    Row(said.CodeRead(code="0735"), "code", "not a trouble code"),
    Row(said.CodeRead(code="PO735"), "code", "read as P0735"),
    Row(said.CodeRead(code="P07"), "code", "P07: not the form of a fault code (P0740)"),
    Row(said.JobOpened(vehicle="v", odometer="184 300"), "odometer", "Type 184 300 km"),
    Row(said.FluidDrained(fluid="5"), "fluid", "5 is the name of a fluid?"),
    Row(said.LevelSpecified(fluid="2.5"), "fluid", "2.5 is the name of a fluid?"),
    Row(said.RoadTested(speed="80"), "speed", "taken as 80 km/h"),
    Row(said.RoadTested(when="after", felt="fine", distance="0 km"), "felt", "not driven: the check stays open"),
    Row(said.RoadTested(frequency="42"), "frequency", "taken as 42 Hz"),
    Row(said.DrivelineNoted(shaft_mass="9"), "shaft_mass", "taken as 9 kg"),
    Row(said.DrivelineNoted(tyre="235/60R18"), "tyre", "reckoned from 235/60R18"),
    Row(said.PartRemoved(part="pan", name="gearbox pan"), "part", "gearbox pan is off already"),
    Row(said.OrientationNoted(part="pan", feature="lug", clock="4"), "seen_from", "from which side?"),
    Row(said.OrientationNoted(part="pan", feature="lug"), "faces", "which way does the lug face?"),
    Row(said.OrientationNoted(part="pan", feature="slots"), "faces", "which way do the slots face?"),
    Row(
        said.TorqueSpecified(part="filter", stages=SPEC.stages, count=13, layout="perimeter 4x3", source="m"),
        "layout",
        "make 10 positions round the edge, the set has 13",
    ),
    Row(said.MarkMade(part="shaft", mark="paint", marked_tooth=3), "spline_teeth", "of how many?"),
    Row(
        said.MarkMade(part="shaft", mark="paint", spline_teeth=16, marked_tooth=7), "seen_from", "tooth 7 counted from"
    ),
    Row(said.MarkMade(part="pan", mark="paint at hole 2"), "seen_from", "hole 2 counted from which side?"),
    Row(said.WeightFound(part="pan", position="hole 2"), "seen_from", "hole 2 counted from which side?"),
    Row(said.WeightFound(part="shaft", position="hole 5"), "position", "propshaft has 4 fasteners"),
    Row(said.WeightFound(part="shaft", position="hole 2", mass="14"), "mass", "taken as 14 g"),
    Row(said.FastenersRemoved(part="pan", count=3, thread="M10x1.3"), "thread", "not a standard size: the nearest are"),
    Row(said.FastenersRemoved(part="pan", count=3, thread="M12"), "thread", "coarse assumed, 1.75 mm"),
    Row(said.FastenersRemoved(part="pan", count=3, thread="3/8"), "thread", "coarse assumed, 16 threads an inch"),
    Row(said.FastenersRemoved(part="pan", count=3, thread="pipe"), "thread", "no thread that is known here"),
    Row(said.FastenersRemoved(part="pan", count=3, strength="10.8"), "strength", "not in the table of classes"),
    Row(said.FastenersRemoved(part="pan", count=3, thread="3/8-24", strength="8.8"), "strength", "does not go with"),
    Row(spec(Stage("torque", "60")), "stages", "taken as 60 N.m"),
    Row(spec(Stage("torque", "600 N.m")), "stages", "M10x1.25 10.9 usually takes"),
    Row(
        said.TorqueSpecified(part="pan", fasteners="short", stages=(Stage("torque", "22 N.m"),), source="p. 7"),
        "stages",
        "22 N.m is 1.6 times what an M6 usually takes, 8.8 assumed as no class is said",
    ),
    Row(spec(Stage("torque", "60 N.m"), Stage("torque", "30 N.m")), "stages", "is the order right?"),
    Row(said.TorqueSpecified(part="shaft", stages=SPEC.stages), "source", "no source given"),
    Row(said.TorqueSpecified(part="pan", stages=SPEC.stages, fasteners="long"), "fasteners", "there are short"),
    Row(spec(Stage("torque", "8 N.m"), part="filter", order=(1, 2)), "order", "of how many?"),
    Row(said.StageTightened(specification="A.5", stage=1, value="60", wrench="T3"), "value", "taken as 60 N.m"),
    Row(said.StageTightened(specification="A.5", stage=1), "wrench", "which wrench?"),
    Row(said.StageTightened(specification="A.5", stage=1, wrench="T9"), "wrench", "not in the rack"),
    Row(said.FluidFilled(fluid="gear oil", amount="2 l"), "fluid", "is it one of them?"),
    Row(said.LevelSpecified(fluid="ATF", low="35 °C"), "source", "no source given"),
    Row(said.LevelChecked(fluid="ATF", temperature="60 °C", engine="running"), "temperature", "reads too high"),
    Row(said.LevelChecked(fluid="ATF", engine="running"), "temperature", "at which temperature?"),
    Row(said.LevelChecked(fluid="ATF", temperature="40 °C"), "engine", "with the engine running"),
    Row(said.LevelChecked(fluid="ATF", temperature="40 °C", found="low"), "found", "stays open"),
    Row(said.RenewalReceived(needed="A.13"), "part_number", "no part number said"),
    Row(said.AidRemoved(aid="A.9"), "aid", "wire may still hold something, not done yet: filter and 1 more"),
    Row(said.BagPacked(bag="KDTRBNVXCL", parts=("pan",)), "bag", "on a bag of propshaft already"),
    Row(said.CheckConfirmed(check="A.4.started"), "check", "ann confirmed it already"),
    Row(said.PersonAdded(person="Ben"), "person", "ben works here already"),
    Row(said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m"), "wrench", "in the rack already"),
    Row(said.WrenchCalibrated(wrench="T3", on="2026-03-14"), "until", "good until when?"),
    Row(said.WrenchFailed(wrench="T3", on="2026-03-15"), "on", "has not come yet"),
    Row(said.SpecNoted(vehicle="v", joint="j", stages=(Stage("torque", "60"),), source="s"), "stages", "taken as"),
]

SOUND = [
    (
        said.RoadTested(felt="hums", speed="80 km/h", frequency="2520 cpm", engine_speed="2400 rpm", gear_ratio="1.00"),
        "ann",
    ),
    (said.DrivelineNoted(tyre="2.24 m", axle_ratio="3.73", joint_angles=("3 deg", "2,5")), "ann"),
    (said.JobOpened(vehicle="v", vin="11111111111111111"), "ann"),
    (said.CodeRead(none_stored=True), "ann"),
    (said.CodeRead(when="after", none_stored=True), "ann"),
    (said.RoadTested(when="after", outcome="still there"), "ann"),
    (said.CodeRead(code="P0735"), "ann"),
    (said.PartRemoved(part="seal", name="seal", parent="pan"), "ann"),
    (said.OrientationNoted(part="pan", feature="lug", clock="4", seen_from="front"), "ann"),
    (said.MarkMade(part="shaft", mark="paint", spline_teeth=16, marked_tooth=16, seen_from="rear"), "ann"),
    (said.MarkMade(part="shaft", mark="paint", spline_teeth=16, marked_tooth=1), "ann"),  # the first from either side
    (said.MarkMade(part="shaft", mark="paint", spline_teeth=16, marked_tooth=7, note="from the rear"), "ann"),
    (said.WeightFound(part="shaft", position="hole 2 of 4", mass="14 g", radius="45 mm", seen_from="rear"), "ann"),
    (said.FastenersRemoved(part="pan", count=2, thread="M10x1.5", lengths=("35", "40"), strength="8.8"), "ann"),
    (said.FastenersRemoved(part="pan", count=2, what="clip", thread="plastic", strength="soft"), "ann"),
    (SPEC, "ann"),
    (spec(Stage("by hand"), Stage("torque", "60 N.m"), layout="circle", order=(1, 3, 2, 4)), "ann"),
    (said.StageTightened(specification="A.5", stage=1, position=4, value="61 N.m", wrench="T3"), "ann"),
    (said.OrderSaid(part="shaft", goes="after", other="pan"), "ann"),
    (said.OrderSaid(part="shaft", goes="independent"), "ann"),
    (said.LevelChecked(fluid="atf", temperature="104 °F", engine="running"), "ann"),  # 104 °F is 40 °C
    (said.RenewalReceived(needed="A.13", part_number="GK-2"), "ann"),
    (said.RenewalReceived(needed="A.7", part_number="B-4"), "ann"),
    (said.SecondCheckMade(check="A.4.second"), "ben"),
    (said.ExceptionAccepted(check="A.4.started", reason="r", accepted_by="ben"), "ann"),
    (said.ExceptionAccepted(check="A.3.back", reason="r", accepted_by="ann"), "ann"),  # not safety-critical
    (said.EntryStruck(entry="A.3", why="slip"), "ann"),
    (said.DetailsErased(entry="A.2"), "ann"),
    (said.WrenchAdded(wrench="T4", low="40 N.m", high="30 lbf.ft"), "ann"),  # 30 lbf.ft is 40.7 N.m
]


def label(row: Row) -> str:
    return f"{type(row.fact).__name__}.{row.field}"


@pytest.mark.parametrize("row", REFUSED, ids=label)
def test_what_cannot_be_understood_or_contradicts_is_refused(row: Row) -> None:
    refusals = [d for d in doubts(row.fact, JOB, SHOP, who="ann", today="2026-03-14") if d.refuses]
    assert [d for d in refusals if d.field == row.field and row.words in d.sentence], refusals


@pytest.mark.parametrize("row", ADVISED, ids=label)
def test_what_is_only_unusual_is_said_and_may_be_kept(row: Row) -> None:
    found = doubts(row.fact, JOB, SHOP, who="ann", today="2026-03-14")
    assert [d for d in found if d.field == row.field and row.words in d.sentence], found
    assert not [d for d in found if d.refuses]


@pytest.mark.parametrize(("fact", "who"), SOUND, ids=[type(fact).__name__ for fact, _ in SOUND])
def test_a_sound_fact_raises_no_doubt(fact: Fact, who: str) -> None:
    assert doubts(fact, JOB, SHOP, who=who, today="2026-03-14") == []


def test_every_kind_says_what_is_doubtful_about_it() -> None:
    assert [k for k in kinds() if doubtful.dispatch(k) is doubtful.dispatch(object)] == []


def test_refusals_come_first_and_nothing_is_said_twice() -> None:
    found = doubts(spec(Stage("torque", "60"), order=(1,)), JOB, SHOP)
    assert [d.refuses for d in found] == [True, False]
    assert len(found) == len(set(found))


def test_the_longest_text_that_is_kept() -> None:
    assert doubts(said.FindingNoted(what="w" * LONGEST), JOB, SHOP) == []


def test_what_is_struck_out_already_is_not_struck_out_again() -> None:
    job = Job.of(told(*FACTS[:3], said.EntryStruck(entry="A.3", why="slip")))
    assert "struck out already" in doubts(said.EntryStruck(entry="A.3", why="again"), job, SHOP)[0].sentence


def test_a_second_check_looks_at_work_that_is_done() -> None:
    job = Job.of(told(*FACTS[:4]), PEOPLE)
    assert "nothing is tightened" in doubts(said.SecondCheckMade(check="A.4.second"), job, SHOP, who="ben")[0].sentence


def test_a_contradiction_that_two_benches_contradict_is_not_simply_confirmed() -> None:
    twice = (*FACTS[:3], said.PartRemoved(part="shaft", name="propshaft"))
    found = doubts(said.CheckConfirmed(check="A.4.twice"), Job.of(told(*twice)), SHOP)
    assert found[0].refuses
    assert "strike out one" in found[0].sentence


def test_a_part_that_went_back_may_come_off_again() -> None:
    job = Job.of(told(*FACTS[:3], said.CheckConfirmed(check="A.3.back")))
    assert doubts(said.PartRemoved(part="shaft", name="propshaft"), job, SHOP) == []


def test_a_signature_of_somebody_unknown_is_doubtful() -> None:
    done = Job.of(told(FACTS[2], said.CheckConfirmed(check="A.1.back")))
    shop = Shop.of(told(said.PersonAdded(person="ann", name="Ann Baker")))
    fact = said.SignedOff(covers={"A": 2})
    (found,) = doubts(fact, done, shop, who="zoe")
    assert found.refuses
    assert found.sentence.startswith("zoe is not known in this workshop")
    assert doubts(fact, done, shop, who="Ann Baker") == doubts(fact, done, Shop.of(()), who="zoe") == []


@pytest.mark.usefixtures("answers_left_out")
def test_a_second_job_of_two_closed_ends() -> None:
    done = Job.of(told(said.JobOpened(vehicle="v"), said.SignedOff(covers={"A": 1}, checks=("A.1.none",))))
    assert "signed off already" in doubts(said.SignedOff(covers={"A": 2}), done, SHOP)[0].sentence
    assert doubts(said.JobReopened(why="left a bolt"), done, SHOP) == []


def test_an_uncalibrated_wrench_is_said_on_the_day() -> None:
    fact = said.StageTightened(specification="A.5", stage=1, wrench="T3")
    assert doubts(fact, JOB, SHOP, today="2026-06-01") == []
    assert "out of calibration" in doubts(fact, JOB, SHOP, today="2027-06-01")[0].sentence


IN_FEET = Job.of(told(said.JobOpened(vehicle="v", torque_unit="lbf.ft"), FACTS[2], FACTS[3], FACTS[4]))
WRENCH_USED: dict[str, tuple[said.StageTightened, Job, str]] = {
    "for an angle: its range says nothing": (said.StageTightened(specification="A.5", stage=2, wrench="T3"), JOB, ""),
    "what it was set to counts": (
        said.StageTightened(specification="A.5", stage=1, wrench="T3", setting="38 N.m"), JOB, "used at 38 N.m",
    ),
    "a bare value is in the job's unit": (
        said.StageTightened(specification="A.4", stage=1, wrench="T3", value="170"), IN_FEET, "used at 170 lbf.ft",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("fact", "job", "words"), WRENCH_USED.values(), ids=WRENCH_USED.keys())
def test_a_wrench_is_doubted_at_the_torque_it_was_used_at(fact: said.StageTightened, job: Job, words: str) -> None:
    told_of_it = "; ".join(d.sentence for d in doubts(fact, job, SHOP, today="2026-06-01") if d.field == "wrench")
    assert (words in told_of_it) if words else not told_of_it


ODD = st.text(max_size=12) | st.sampled_from(
    ["60 N.m", "4", "hole 2", "A.5", "A.4.second", "shaft", "pan", "M10", "circle", "2026-03-14", "ben"]
)


def anything(kind: type) -> st.SearchStrategy[Any]:
    """Facts of one kind that the file format allows, with odd words in them."""
    return st.builds(kind, **{each.name: _values(each) for each in fields(kind)})


def _values(of: Field) -> st.SearchStrategy[Any]:
    if of.type.startswith('"'):
        return st.sampled_from(of.type.replace('"', "").split(", "))
    if of.type.startswith("a whole number"):
        numbers = st.integers(2, 6)
        return numbers if of.required or of.default is not None else st.none() | numbers
    match of.type:
        case "text":
            return ODD
        case "true or false":
            return st.booleans()
        case "list of text":
            return st.lists(ODD, max_size=3).map(tuple)
        case "list of whole number":
            return st.lists(st.integers(-1, 5), max_size=5).map(tuple)
        case "list of Stage":
            return st.lists(anything(Stage), max_size=3).map(tuple)
        case _:
            return st.just({"A": 3})


@given(st.sampled_from(kinds()).flatmap(anything))
def test_whatever_the_format_allows_is_answered_in_words(fact: Fact) -> None:
    for doubt in doubts(fact, JOB, SHOP, who="ann", today="2026-03-14"):
        assert doubt.field in {"", *(each.name for each in fields(type(fact)))}
        assert " " in doubt.sentence
    assert all(understood(fact, JOB))


@pytest.mark.parametrize(("outcome", "refused"), [("still there", True), ("gone", False)])
def test_a_complaint_that_the_last_road_test_found_again_is_not_gone(outcome: Any, refused: bool) -> None:
    job = Job.of(told(*FACTS, said.RoadTested(when="after", outcome=outcome)))
    found = doubts(said.CheckConfirmed(check="A.1.complaint"), job, SHOP)
    assert [doubt.refuses for doubt in found] == [True] * refused


def test_a_complaint_is_not_gone_before_anybody_drove() -> None:
    job = Job.of(told(said.JobOpened(vehicle="van", complaint="hums")))
    (doubt,) = doubts(said.CheckConfirmed(check="A.1.complaint"), job, SHOP, who="ann")
    assert (doubt.sentence, doubt.refuses) == ("complaint gone: first road test after the work, then you know", True)


def test_a_bare_speed_is_refused_where_the_vehicle_counts_miles() -> None:
    job = Job.of(entries_of(said.JobOpened(vehicle="v", odometer="61 200 miles")))
    (doubt,) = doubts(said.RoadTested(felt="hums", speed="45"), job, Shop.of(()))
    assert (doubt.field, doubt.refuses) == ("speed", True)
    assert "Type 45 mph, or km/h" in doubt.sentence
    assert list(doubts(said.RoadTested(felt="hums", speed="45 mph", distance="9 mi"), job, Shop.of(()))) == []


@pytest.mark.parametrize(
    ("noted", "found", "words"),
    [
        ({"clock": "4", "seen_from": "front"}, "4 front", None),
        ({"clock": "4", "seen_from": "front"}, "8 rear", None),
        ({"clock": "4", "seen_from": "front"}, "8 front", "are you looking from the front?"),
        ({"clock": "4", "seen_from": "front"}, "0.1 mm", None),
        ({"faces": "up"}, "down", "the wrong way round"),
        ({"faces": "up"}, "up", None),
    ],
)
def test_a_place_found_at_refit_is_compared_with_the_one_noted(noted: Any, found: str, words: str | None) -> None:
    job = Job.of(
        told(said.PartRemoved(part="p", name="p"), said.OrientationNoted(part="p", feature="lug", **noted)), PEOPLE
    )
    sentences = [d.sentence for d in doubts(said.CheckConfirmed(check="A.2.way", value=found), job, SHOP, who="ann")]
    assert sentences == [] if words is None else any(words in sentence for sentence in sentences)


@given(odd_histories)
def test_no_fact_of_a_history_however_odd_makes_the_doubts_raise(entries: list[Any]) -> None:
    job = Job.of(entries)
    for fact in (entry.fact for entry in entries if type(entry.fact) in kinds()):
        doubts(fact, job, SHOP, who="ann", today="2026-03-14")


def test_a_stage_of_a_part_that_nobody_named_is_doubted_like_any_other() -> None:
    job = Job.of(told(*FACTS, spec(Stage("torque", "60"), part="")))
    specification = f"A.{len(FACTS) + 1}"
    found = doubts(said.StageTightened(specification=specification, stage=2), job, SHOP, who="ann", today="2026-03-14")
    assert "the specification has 1" in found[0].sentence
