"""Where a drawing puts a feature, a tooth, a weight and a mark, from either side."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.checks import checks
from reassembly.job.drawn import drawing
from reassembly.job.job import Job
from tests.job.histories import entries_of, odd

if TYPE_CHECKING:
    from reassembly.job.drawn import Drawing, Spot


def drawn(*facts: said.Fact, slug: str, of: int = 0, other_side: bool = False) -> Drawing | None:
    """The drawing of a check of the first fact, or of a later one."""
    job = Job.of(entries_of(*facts))
    check = next(c for c in checks(job) if c.key == f"KD.{of + 1}.{slug}")
    return drawing(check, job, other_side)


def asked(found: Drawing | None) -> Spot:
    assert found is not None
    (spot,) = (s for s in found.spots if s.asked)
    return spot


def lug(clock: str, seen_from: str = "rear") -> said.OrientationNoted:
    return said.OrientationNoted(part="yoke", feature="lug", clock=clock, seen_from=seen_from)


CLOCK = {  # clockwise from the top; the sums are geometry: 30 degrees an hour, half a degree a minute
    "12": (0, "12"), "3": (90, "3"), "4": (120, "4"), "4:30": (135, ""), "6": (180, "6"), "9": (270, "9"),
    "11:40": (350, ""),
}  # fmt: skip


@pytest.mark.parametrize("clock", CLOCK)
def test_a_feature_stands_at_its_hour(clock: str) -> None:
    found = drawn(lug(clock), slug="way")
    assert asked(found)[:3] == (*CLOCK[clock], "*")
    assert found is not None
    assert found.seen_from == "the rear"
    assert found.told == (f"* lug at {clock}" + ("" if ":" in clock else " o'clock"),)
    assert {s.label for s in found.spots} >= {"12", "3", "6", "9"}
    assert len({s.degrees for s in found.spots}) == (13 if ":" in clock else 12)


MIRRORED = {"12": "12 o'clock", "3": "9 o'clock", "4": "8 o'clock", "4:30": "7:30", "6": "6 o'clock", "11:40": "12:20"}


@pytest.mark.parametrize("clock", MIRRORED)
def test_from_the_other_side_left_changes_with_right_and_the_words_say_so(clock: str) -> None:
    found = drawn(lug(clock), slug="way", other_side=True)
    assert asked(found).degrees == -CLOCK[clock][0] % 360
    assert found is not None
    assert found.seen_from == "the front"
    assert found.told == (f"* lug at {MIRRORED[clock]}",)


def test_nothing_is_drawn_from_the_other_side_of_a_side_that_nobody_said() -> None:
    found = drawn(lug("4", ""), slug="way")
    assert found is not None
    assert found.seen_from == ""
    assert drawn(lug("4", ""), slug="way", other_side=True) is None


def tooth(teeth: int, marked: int, note: str = "") -> said.MarkMade:
    return said.MarkMade(part="yoke", mark="yellow paint", spline_teeth=teeth, marked_tooth=marked, note=note)


@pytest.mark.parametrize(
    ("teeth", "marked", "degrees"), [(4, 1, 0), (4, 2, 90), (28, 8, 90), (28, 15, 180), (36, 4, 30), (16, 16, 337.5)]
)
@pytest.mark.parametrize("slug", ["mark", "tooth"])
def test_the_marked_tooth_is_so_many_from_the_first_clockwise(
    slug: str, teeth: int, marked: int, degrees: float
) -> None:
    found = drawn(tooth(teeth, marked), slug=slug)
    assert asked(found).degrees == pytest.approx(degrees)
    assert asked(found)[1:3] == (str(marked), "^")
    assert found is not None
    assert len(found.spots) == teeth
    assert found.told[0] == f"^ tooth {marked} of {teeth}, drawn clockwise from 1 (our convention)"


def test_a_tooth_counted_from_a_side_is_counted_the_other_way_round_from_the_other() -> None:
    found = drawn(tooth(28, 8, "counted from the rear"), slug="tooth", other_side=True)
    assert asked(found).degrees == pytest.approx(270)
    assert found is not None
    assert found.seen_from == "the front"
    assert found.told[0] == "^ tooth 8 of 28, drawn anticlockwise from 1 (our convention)"


def test_a_tooth_is_drawn_from_the_side_that_was_said() -> None:
    mark = said.MarkMade(part="yoke", mark="paint", spline_teeth=28, marked_tooth=8, seen_from="rear")
    here, there = drawn(mark, slug="tooth"), drawn(mark, slug="tooth", other_side=True)
    assert here is not None
    assert there is not None
    assert (here.seen_from, there.seen_from) == ("the rear", "the front")
    assert [asked(each).degrees for each in (here, there)] == pytest.approx([90, 270])


FLANGE = (
    said.FastenersRemoved(part="flange", count=4),
    said.TorqueSpecified(part="flange", stages=(said.Stage("torque", "40 N.m"),), layout="circle", seen_from="rear"),
    said.WeightFound(part="flange", mass="14 g", position="hole 2"),
    said.WeightFound(part="flange", mass="6 g", position="hole 4"),
    said.MarkMade(part="flange", mark="white paint between 3 and 4", to="pinion flange"),
)


def test_weights_and_mark_of_a_flange_stand_at_their_holes_as_in_the_sketch() -> None:
    found = drawn(*FLANGE, slug="mark", of=4)
    assert found is not None
    assert [(s.degrees, s.label, s.sign) for s in found.spots] == [
        (0, "1", ""), (90, "2", "*"), (180, "3", ""), (270, "4", "*"), (225, "", "^"),
    ]  # fmt: skip
    assert asked(found).sign == "^"
    assert found.seen_from == "the rear"
    assert found.told == ("* 14 g at hole 2", "* 6 g at hole 4", "^ white paint between 3 and 4")
    assert asked(drawn(*FLANGE, slug="weight", of=2)).label == "2"
    assert asked(drawn(*FLANGE, slug="weight", of=3)).label == "4"


def test_a_flange_from_the_other_side_is_numbered_the_other_way_round() -> None:
    found = drawn(*FLANGE, slug="mark", of=4, other_side=True)
    assert found is not None
    assert [(s.degrees, s.label) for s in found.spots] == [(0, "1"), (270, "2"), (180, "3"), (90, "4"), (135, "")]
    assert found.seen_from == "the front"


def test_a_weight_counted_from_the_front_stands_where_it_is_on_a_flange_numbered_from_the_rear() -> None:
    mark = said.MarkMade(part="flange", mark="paint at hole 4")
    weight = said.WeightFound(part="flange", mass="14 g", position="hole 2", seen_from="front")
    found = drawn(*FLANGE[:2], weight, mark, slug="mark", of=3)
    assert found is not None
    assert found.seen_from == "the rear"
    assert {s.label: s.sign for s in found.spots if s.sign} == {
        "4": "*^"
    }  # hole 2 from the front is hole 4 from behind
    assert found.told == ("* 14 g at hole 2 seen from the front", "^ paint at hole 4")
    own = drawn(*FLANGE[:2], weight, mark, slug="weight", of=2)
    assert own is not None
    assert (own.seen_from, asked(own).label) == ("the front", "2")


@pytest.mark.parametrize(
    ("mark", "degrees"),
    [
        ("paint at hole 3", 180), ("paint at bolt 2", 90), ("punch between holes 1 and 2", 45),
        ("paint between 4 and 1", 315), ("paint between 2 and 4", None), ("paint at hole 5", None), ("paint", None),
    ],
)  # fmt: skip
def test_a_mark_is_placed_only_where_its_words_name_a_place_that_is_there(mark: str, degrees: float | None) -> None:
    found = drawn(*FLANGE[:3], said.MarkMade(part="flange", mark=mark), slug="mark", of=3)
    assert found is not None
    assert [s.degrees for s in found.spots if s.asked] == ([] if degrees is None else [degrees])
    if degrees is None:
        assert found.told[-1] == f"^ {mark}: no place noted"


def test_a_weight_at_an_angle_says_what_it_is_from_here() -> None:
    weight = said.WeightFound(part="tube", mass="6 g", position="140 deg from the rear")
    assert asked(drawn(weight, slug="weight")).degrees == 140
    found = drawn(weight, slug="weight", other_side=True)
    assert asked(found).degrees == 220
    assert found is not None
    assert found.told[0] == "* 6 g at 140 deg from the rear: 220 deg from here"


NOTHING = {
    "no clock": (said.OrientationNoted(part="p", feature="slots", faces="front"), "way"),
    "no clock position": (said.OrientationNoted(part="p", feature="lug", clock="25"), "way"),
    "no count": (said.MarkMade(part="p", mark="paint", marked_tooth=7), "tooth"),
    "no such tooth": (said.MarkMade(part="p", mark="paint", spline_teeth=16, marked_tooth=17), "tooth"),
    "no circle": (said.MarkMade(part="p", mark="paint at hole 2"), "mark"),
    "no place": (said.WeightFound(part="p", position="the ridge left of the drain"), "weight"),
    "no mark": (said.PartRemoved(part="p", name="pan"), "back"),
}


@pytest.mark.parametrize("case", NOTHING)
def test_what_has_no_place_is_not_drawn(case: str) -> None:
    fact, slug = NOTHING[case]
    assert drawn(fact, slug=slug) is None


@given(st.lists(st.integers(0, 2**32), max_size=20))
def test_every_place_is_mirrored_from_the_other_side_and_nothing_raises(seeds: list[int]) -> None:
    job = Job.of(odd(seeds))
    for check in checks(job):
        here, there = drawing(check, job), drawing(check, job, other_side=True)
        if here and there:
            assert here.seen_from != there.seen_from
            places = [(round(-s.degrees % 360, 6) % 360, s.sign, s.asked) for s in here.spots]
            assert sorted(places) == sorted((round(s.degrees, 6) % 360, s.sign, s.asked) for s in there.spots)
        else:
            assert there is None
