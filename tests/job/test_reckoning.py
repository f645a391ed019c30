"""Which numbers belong to a fact, a check, a part or a job, and what a slip would do."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings

from reassembly.job import entries as said
from reassembly.job.checks import checks
from reassembly.job.entries import Entry, Stage
from reassembly.job.job import Job, parts
from reassembly.job.reckon import Reckoned, reckon
from reassembly.job.reckoning import consequence, of_check, of_fact, of_fact_to_be_said, of_job, of_part
from reassembly.job.shop import Shop
from reassembly.trade.quantity import value
from tests.job.histories import hostile_histories

VAN = said.DrivelineNoted(tyre="2.24 m", axle_ratio="3.73", shaft_mass="9 kg")
RACK = Shop.of(
    [
        Entry(
            bench="A",
            number=1,
            hlc=1,
            time="",
            who="ann",
            job="",
            previous="",
            fact=said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m"),
        )
    ]
)


def told(*facts: Any) -> Job:
    return Job.of(
        Entry(bench="A", number=n, hlc=n, time="", who="ann", job="A.1", previous="", fact=fact)
        for n, fact in enumerate((said.JobOpened(vehicle="Kestrel van"), *facts), 1)
    )


def reckoned(fact: Any, *around: Any) -> dict[str, Reckoned]:
    """By title, of a fact that is kept after those around it."""
    return {each.title: each for each in of_fact(fact, told(*around, fact), RACK)}


def number(found: Reckoned, unit: str) -> float:
    assert found.workings is not None, found.missing
    return value(found.workings.result, unit)


SHAFT = said.PartRemoved(part="shaft", name="propshaft")
SET = said.FastenersRemoved(part="shaft", count=8, thread="M10x1.25", strength="10.9")
WEIGHT = said.WeightFound(part="shaft", position="hole 2 of 8", mass="14 g", radius="45 mm")

EXPECTED: list[tuple[Any, tuple[Any, ...], str, str, float]] = [
    # every value by hand from the formula and inputs shown, or as in REFERENCES
    (said.MarkMade(part="shaft", mark="m", spline_teeth=16), (), "one tooth to the next", "deg", 22.5),
    (said.MarkMade(part="shaft", mark="m", spline_teeth=16, marked_tooth=3), (), "the marked tooth", "deg", 45),
    (said.MarkMade(part="shaft", mark="m", spline_teeth=16), (), "yokes of one shaft, one tooth out", "deg", 22.5),
    (WEIGHT, (), "unbalance of the weight at hole 2 of 8", "g.mm", 630),
    (WEIGHT, (), "angle of the hole", "deg", 45),
    (WEIGHT, (), "one hole out leaves", "g.mm", 482.2),  # 0.7654 x 630
    (WEIGHT, (VAN,), "propeller shaft at 100 km/h", "rpm", 2775),  # 27.78 / 2.24 x 3.73 x 60
    (WEIGHT, (VAN,), "force of one hole out at 100 km/h", "N", 40.7),  # 482.2 (2775 / 9549)^2
    (WEIGHT, (VAN,), "what G16 allows the shaft at 100 km/h", "g.mm", 495.5),  # 9549 x 16 x 9 / 2775
    (WEIGHT, (VAN,), "grade that one hole out means", "mm/s", 15.57),
    (SET, (), "M10x1.25 stress area", "mm**2", 61.2),  # ISO 898-1
    (SET, (), "M10x1.25 10.9 proof load", "N", 50800),  # ISO 898-1
    (
        said.OrientationNoted(part="shaft", feature="lug", clock="4", seen_from="front"),
        (),
        "lug in degrees from 12",
        "deg",
        120,
    ),
    (
        said.LevelSpecified(fluid="ATF", high="45 °C", volume="9 l"),
        (),
        "ATF: what 10 °C above the window is worth",
        "l",
        0.063,
    ),
    (
        said.FluidFilled(fluid="atf", amount="2.5 l"),
        (said.FluidDrained(fluid="ATF", amount="5.8 l"),),
        "atf still out",
        "l",
        3.3,
    ),
    (VAN, (), "wheel at 100 km/h", "rpm", 744),
    (VAN, (said.DrivelineNoted(tyre="2.10 m"),), "wheel at 100 km/h", "rpm", 744),  # what was noted last counts
    (WEIGHT, (VAN, said.DrivelineNoted(shaft_mass="18")), "what G16 allows the shaft at 100 km/h", "g.mm", 991),
    (said.DrivelineNoted(joint_angles=("3 deg", "5")), (), "residual angle of the joints", "deg", 4),
    (
        said.DrivelineNoted(shaft_length="1.5 m", tube="76.2 mm", wall="1.65 mm"),
        (),
        "critical speed of the propeller shaft",
        "rpm",
        5678,
    ),
    (said.WrenchAdded(wrench="T3", low="20 N.m", high="200 N.m"), (), "lowest setting to use on T3", "N.m", 40),
]


@pytest.mark.parametrize(("fact", "around", "title", "unit", "expected"), EXPECTED, ids=[row[2] for row in EXPECTED])
def test_a_fact_carries_its_numbers(fact: Any, around: tuple[Any, ...], title: str, unit: str, expected: float) -> None:
    assert number(reckoned(fact, SHAFT, *around)[title], unit) == pytest.approx(expected, rel=2e-3)


MISSING: list[tuple[Any, tuple[Any, ...], str]] = [
    (said.WeightFound(part="shaft", position="hole 2 of 8", radius="45 mm"), (), "the weight's mass"),
    (WEIGHT, (), "tyre size and axle ratio"),
    (WEIGHT, (said.DrivelineNoted(tyre="2.24 m"),), "axle ratio"),
    (
        WEIGHT,
        (said.DrivelineNoted(tyre="2.24 m"), said.DrivelineNoted(axle_ratio="3.73")),
        "the mass of the propeller shaft",
    ),
    (said.MarkMade(part="shaft", mark="m", marked_tooth=3), (), "the number of teeth"),
    (said.DrivelineNoted(shaft_length="1.5 m"), (), "its tube diameter and wall"),
    (said.LevelSpecified(fluid="ATF", high="45 °C"), (), "all the fluid in the unit, or what was drained"),
    (said.RoadTested(felt="drone at 80"), (), "road speed or engine speed, and the frequency if it can be"),
    (said.RoadTested(speed="80 km/h"), (), "tyre size and axle ratio"),
    (said.RoadTested(speed="80 km/h"), (VAN,), "the frequency of what was felt"),
    (said.TorqueSpecified(part="shaft", stages=(Stage("torque", "60 N.m"),)), (), "the thread of the fasteners"),
    (
        said.TorqueSpecified(part="shaft", stages=(Stage("torque", "60 N.m"),)),
        (said.FastenersRemoved(part="shaft", count=8, thread="M10"),),
        "the class of the fasteners",
    ),
]


@pytest.mark.parametrize(("fact", "around", "missing"), MISSING, ids=[f"{n}" for n in range(len(MISSING))])
def test_what_is_missing_is_said_by_name(fact: Any, around: tuple[Any, ...], missing: str) -> None:
    found = [each for each in reckoned(fact, SHAFT, *around).values() if each.workings is None]
    assert missing in [each.missing for each in found]


def test_a_road_test_with_a_frequency_ranks_the_suspects() -> None:
    test = said.RoadTested(speed="80 km/h", frequency="37 Hz")  # wheel 9.92 Hz, shaft 37.0 Hz
    found = of_job(told(VAN, test), RACK)
    assert found[0].title == "suspects, best first"
    assert found[0].workings is not None
    assert found[0].workings.result[0].startswith("good fit: propeller shaft order 1 at 37 Hz")


def test_a_complaint_of_a_vibration_asks_for_a_road_test() -> None:
    job = Job.of(
        [
            Entry(
                bench="A",
                number=1,
                hlc=1,
                time="",
                who="a",
                job="A.1",
                previous="",
                fact=said.JobOpened(vehicle="v", complaint="Vibrates at 80"),
            )
        ]
    )
    assert [each.missing for each in of_job(job, RACK)] == [
        "a road test with the road speed, and the frequency if it can be"
    ]
    assert of_job(told(), RACK) == []


def specified(*stages: Stage, **more: Any) -> list[Reckoned]:
    fact = said.TorqueSpecified(part="shaft", stages=stages, **more)
    return of_fact(fact, told(SHAFT, SET, fact), RACK)


def test_a_typed_torque_is_worked_on_and_none_is_offered() -> None:
    found = specified(Stage("torque", "60 N.m"), Stage("angle", "90 deg"))
    titles = [each.title for each in found]
    assert titles[:2] == ["60 N.m in lbf.ft", "60 N.m as a share of what M10x1.25 10.9 usually takes"]
    share = found[1].workings
    assert share is not None
    rough, slippery = (value(each, "%") for each in share.result)
    assert rough == pytest.approx(56.7, abs=0.1)
    assert slippery == pytest.approx(108.4, abs=0.1)
    assert "not a specification" in share.note
    nothing_typed = specified(Stage("by hand"), Stage("angle", "90 deg"))
    assert not any("N.m" in f"{each.workings.result}" for each in nothing_typed if each.workings)


def test_an_order_of_the_program_is_marked_and_gives_way_to_the_manual() -> None:
    generic = {each.title: each for each in specified(Stage("torque", "60 N.m"), layout="circle")}
    order = generic["generic tightening order"].workings
    assert order is not None
    assert order.result == (1, 5, 3, 7, 2, 6, 4, 8)
    assert order.note.startswith("generic: the manual's own order goes first")
    assert "one hole to the next" in generic
    from_manual = specified(Stage("torque", "60 N.m"), layout="circle", order=(1, 2, 3, 4, 5, 6, 7, 8))
    assert "generic tightening order" not in [each.title for each in from_manual]


def test_slippery_threads_give_more_preload_from_the_same_torque() -> None:
    found = {each.title: each for each in specified(Stage("torque", "60 N.m"))}
    rough, slippery, short = (
        number(found[f"preload that 60 N.m gives, {how}"], "kN")
        for how in ("rough threads", "slippery threads", "T = K d F with K 0.2")
    )
    # 60 / (0.16 P + 0.58 d2 mu + mu DKm/2), P 1.25, d2 9.188, DKm 12.8 mm; 60 / (0.2 x 10 mm)
    assert (rough, slippery, short) == pytest.approx((23.57, 52.71, 30.0), abs=0.02)


def test_what_can_be_computed_stands_before_what_cannot() -> None:
    job = told(SHAFT, said.MarkMade(part="shaft", mark="m", marked_tooth=3), WEIGHT)
    known = [each.workings is not None for each in of_part("shaft", job, RACK)]
    assert known == sorted(known, reverse=True)
    assert set(known) == {True, False}


def test_a_fact_about_to_be_said_counts_with_those_kept() -> None:
    job = told(said.FluidDrained(fluid="ATF", amount="5.8 l"), said.FluidFilled(fluid="ATF", amount="2.5 l"))
    found = of_fact_to_be_said(said.FluidFilled(fluid="ATF", amount="1.5 l"), job, RACK)
    assert number(next(each for each in found if each.title == "ATF still out"), "l") == pytest.approx(1.8)


def test_a_stage_shows_the_wrench_in_hand() -> None:
    spec = said.TorqueSpecified(part="shaft", stages=(Stage("torque", "30 N.m"), Stage("torque", "60 N.m")))
    job = told(SHAFT, SET, spec)
    stage = next(check for check in checks(job) if check.key.endswith(".stage1"))
    titles = [each.title for each in of_check(stage, job, RACK, "T3")]
    assert titles[:3] == [
        "least on the bolt at 30 N.m, if the wrench keeps to ISO 6789",
        "most on the bolt at 30 N.m, if the wrench keeps to ISO 6789",
        "lowest setting to use on T3",
    ]
    assert "lowest setting to use on T3" not in [each.title for each in of_check(stage, job, RACK, "")]


def test_a_part_has_the_numbers_of_all_that_was_said_of_it_each_once() -> None:
    job = told(SHAFT, SET, SET, WEIGHT, said.PartRemoved(part="pan", name="pan"), VAN)
    titles = [each.title for each in of_part("shaft", job, RACK)]
    assert titles.count("M10x1.25 stress area") == 1
    assert "one hole out leaves" in titles
    assert of_part("pan", job, RACK) == []


CONSEQUENCES: list[tuple[Any, tuple[Any, ...], str, str]] = [
    (WEIGHT, (), "weight", "one hole out leaves 482 g.mm"),
    (
        WEIGHT,
        (said.DrivelineNoted(tyre="2.24 m", axle_ratio="3.73"),),
        "weight",
        "one hole out leaves 482 g.mm: 41 N at 100 km/h",
    ),
    (WEIGHT, (VAN,), "weight", "one hole out leaves 482 g.mm: 97 % of the G16 limit at 100 km/h"),
    (
        said.WeightFound(part="shaft", position="hole 2 of 8", mass="30 g", radius="45 mm"),
        (VAN,),
        "weight",
        "one hole out leaves 1030 g.mm: 2.1 times the G16 limit at 100 km/h",
    ),
    (
        said.WeightFound(part="shaft", position="140 deg", mass="14 g", radius="45 mm"),
        (),
        "weight",
        "10 deg out leaves 110 g.mm",
    ),
    (said.WeightFound(part="shaft", position="hole 2 of 8"), (), "weight", ""),
    (said.MarkMade(part="shaft", mark="m", spline_teeth=27), (), "tooth", "one tooth out turns it 13.3 deg"),
    (said.MarkMade(part="shaft", mark="m"), (), "mark", ""),
    (
        said.LevelSpecified(fluid="ATF", low="35", high="45", volume="9 l"),
        (),
        "level",
        "10 °C above its window it reads 0.06 l too high",
    ),
    (said.LevelSpecified(fluid="ATF", high="45"), (), "level", ""),
    (said.PartRemoved(part="pan", name="pan"), (), "back", ""),
]


@pytest.mark.parametrize(
    ("fact", "around", "slug", "line"), CONSEQUENCES, ids=[f"{n}" for n in range(len(CONSEQUENCES))]
)
def test_what_the_likely_slip_would_do_is_told_in_one_line(
    fact: Any, around: tuple[Any, ...], slug: str, line: str
) -> None:
    job = told(SHAFT, *around, fact)
    (check,) = [c for c in checks(job) if c.asked_by.fact == fact and c.key.endswith(f".{slug}")]
    assert consequence(check, job) == line


def test_marks_on_a_bolt_circle_tell_what_one_hole_is() -> None:
    job = told(
        SHAFT,
        SET,
        said.TorqueSpecified(part="shaft", stages=(), layout="circle"),
        said.MarkMade(part="shaft", mark="m"),
    )
    mark = next(check for check in checks(job) if check.key.endswith(".mark"))
    assert consequence(mark, job) == "one hole out turns it 45.0 deg"


def test_every_kind_says_what_can_be_reckoned_of_it() -> None:
    assert [k for k in (*said.kinds(), said.Unknown) if reckon.dispatch(k) is reckon.dispatch(object)] == []


@settings(max_examples=60, deadline=None)
@given(hostile_histories)
def test_nothing_raises_whatever_was_typed(entries: list[Any]) -> None:
    job = Job.of(entries)
    shop = Shop.of(entries)
    everything = [*of_job(job, shop), *(each for part in parts(job) for each in of_part(part, job, shop))]
    everything += [each for entry in entries for each in of_fact(entry.fact, job, shop)]
    for check in checks(job):
        everything += of_check(check, job, shop, "T3")
        assert len(consequence(check, job).splitlines()) <= 1
    for each in everything:
        assert (each.workings is None) == bool(each.missing)
        if each.workings:
            assert each.workings.lines()


def test_a_road_test_tells_ratio_and_slip_from_the_rev_counter() -> None:
    """2.24 m and 3.73 at 90 km/h: shaft 25 / 2.24 x 60 x 3.73 = 2498 rpm; 2600 rpm is 1.041, and slips 102 rpm."""
    drive = said.RoadTested(felt="drone", speed="90 km/h", engine_speed="2600 rpm", gear_ratio="1.00")
    found = reckoned(drive, VAN)
    ratio = found["ratio from engine to propeller shaft, slip included"].workings
    assert ratio is not None
    assert ratio.result == pytest.approx(1.041, abs=5e-4)
    assert number(found["slip between engine and gearbox"], "rpm") == pytest.approx(102.2, abs=0.1)
    assert number(found["slip as a share of the engine speed"], "%") == pytest.approx(3.932, abs=1e-3)


def test_greased_threads_ask_what_the_source_meant() -> None:
    """60 x 0.165 / 0.225 = 44 N.m: mean guide values of a supplier's page, for dry steel and for oiled threads."""
    spec = said.TorqueSpecified(part="shaft", stages=(Stage("torque", "60 N.m"),))
    assert not any("dry steel" in title for title in reckoned(spec, SHAFT, SET))
    found = reckoned(spec, SHAFT, SET, said.CareNoted(part="shaft", care="grease", what="bolt threads"))
    oiled = found["60 N.m, if the source means dry steel, on threads with oil"]
    assert number(oiled, "N.m") == pytest.approx(44)
    assert oiled.workings is not None
    assert oiled.workings.note == "a guide only: the maker's value for this surface goes first"
