"""Balance weights as vectors."""

from cmath import rect
from math import radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.balance import (
    at_radius,
    force,
    grade_reached,
    grade_sentence,
    left_by_angle,
    left_by_holes,
    permissible,
    split,
    unbalance,
)
from reassembly.trade.quantity import of, value

PERMISSIBLE = {  # grade, mass, speed in rpm, expected, unit, tolerance
    "ISO 1940-1 example: G2.5, 3600 kg, 3000 rpm": (2.5, (3600, "kg"), 3000, 28647, "g.mm", 50),
    "balancer maker's paper: G6.3, 1000 lb, 1000 rpm, both planes": (6.3, (1000, "lb"), 1000, 2 * 18.95, "oz.in", 0.12),
}


@pytest.mark.parametrize(
    ("grade", "mass", "speed", "expected", "unit", "tolerance"), PERMISSIBLE.values(), ids=PERMISSIBLE.keys()
)
def test_a_grade_allows_the_published_unbalance(
    grade: float, mass: tuple[float, str], speed: float, expected: float, unit: str, tolerance: float
) -> None:
    allowed = permissible(grade, of(*mass), of(speed, "rpm")).result
    assert value(allowed, unit) == pytest.approx(expected, abs=tolerance)
    assert value(grade_reached(allowed, of(*mass), of(speed, "rpm")).result, "mm/s") == pytest.approx(grade)


FORCES = {  # unbalance, rpm, expected force, unit, tolerance
    "balancer maker's manual: 10 g at 100 mm, 3000 rpm": ((1000, "g.mm"), 3000, 98.69, "N", 0.01),
    "balancer maker's paper: 1 oz.in, 1000 rpm": ((1, "oz.in"), 1000, 1.77, "lbf", 0.006),
    "5 kg, 1 mm, 3000 rpm, recomputed (a web page prints 0.497 N)": ((5000, "g.mm"), 3000, 493.5, "N", 0.1),
}


@pytest.mark.parametrize(("weight", "speed", "expected", "unit", "tolerance"), FORCES.values(), ids=FORCES.keys())
def test_unbalance_makes_the_published_force(
    weight: tuple[float, str], speed: float, expected: float, unit: str, tolerance: float
) -> None:
    assert value(force(of(*weight), of(speed, "rpm")).result, unit) == pytest.approx(expected, abs=tolerance)


def test_a_speed_in_turns_a_second_makes_the_same_force() -> None:
    in_rpm, in_hertz = (value(force(of(1000, "g.mm"), s).result, "N") for s in (of(3000, "rpm"), of(50, "Hz")))
    assert in_rpm == pytest.approx(in_hertz)


def test_unbalance_is_mass_times_radius() -> None:
    assert value(unbalance(of(1000, "g"), of(0.002, "mm")).result, "g.mm") == pytest.approx(2)  # balancer maker's paper
    assert value(unbalance(of(1, "oz"), of(1, "in")).result, "g.mm") == pytest.approx(
        720.0779, abs=1e-4
    )  # exact factors


LEFT = {30: 0.5176, 60: 1.0, 90: 1.4142, 180: 2.0, 0: 0.0, -60: 1.0, 300: 1.0}  # of the weight; vector algebra


@pytest.mark.parametrize(("turned", "share"), LEFT.items())
def test_a_weight_turned_leaves_twice_the_sine_of_half_the_angle(turned: float, share: float) -> None:
    assert value(left_by_angle(of(1, "g.mm"), turned).result, "g.mm") == pytest.approx(share, abs=5e-5)


@given(st.floats(1, 1e5), st.integers(2, 24), st.data())
def test_holes_out_leave_what_the_vectors_leave(moment: float, holes: int, data: st.DataObject) -> None:
    out = data.draw(st.integers(-holes, holes))
    left = value(left_by_holes(of(moment, "g.mm"), out, holes).result, "g.mm")
    assert left == pytest.approx(abs(rect(moment, radians(360 * out / holes)) - moment), abs=1e-6 * moment)


@given(st.floats(1, 100), st.floats(10, 200), st.floats(10, 200))
def test_another_radius_keeps_the_unbalance(grams: float, radius: float, new_radius: float) -> None:
    mass = at_radius(of(grams, "g"), of(radius, "mm"), of(new_radius, "mm")).result
    kept = unbalance(mass, of(new_radius, "mm")).result
    assert value(kept, "g.mm") == pytest.approx(grams * radius)


@given(st.floats(1, 100), st.floats(0, 360), st.floats(1, 89), st.floats(1, 89))
def test_a_split_weight_adds_up_to_the_whole(grams: float, wanted: float, before: float, after: float) -> None:
    places = wanted - before, wanted + after
    masses = split(of(grams, "g"), wanted, *places).result
    total = sum(rect(value(mass, "g"), radians(place)) for mass, place in zip(masses, places, strict=True))
    assert abs(total - rect(grams, radians(wanted))) < 1e-6 * grams
    swapped = split(of(grams, "g"), wanted, *places[::-1]).result
    assert value(swapped[0], "g") == pytest.approx(value(masses[1], "g"), abs=1e-9)


def test_a_weight_on_a_hole_goes_all_into_that_hole() -> None:
    one, other = split(of(12, "g"), 30, 30, 90).result
    assert [value(one, "g"), value(other, "g")] == pytest.approx([12, 0], abs=1e-9)


def test_the_right_hole_leaves_no_unbalance_and_no_force() -> None:
    left = left_by_holes(of(500, "g.mm"), 0, 8).result
    assert value(force(left, of(3000, "rpm")).result, "N") == 0
    assert value(grade_reached(left, of(9, "kg"), of(3000, "rpm")).result, "mm/s") == 0


def test_a_grade_is_compared_with_the_standard() -> None:
    assert grade_sentence(of(21.2, "mm/s")) == (
        "G21: worse than G16 (cardan and propeller shafts), within G40 (car wheels and wheel sets)"
    )
    assert grade_sentence(of(1, "mm/s")).startswith("G1: within G2.5")
    assert grade_sentence(of(100, "mm/s")) == "G100: worse than G40 (car wheels and wheel sets)"
    assert grade_sentence(of(16, "mm/s")) == (
        "G16: worse than G6.3 (machinery in general, gears), within G16 (cardan and propeller shafts)"
    )


def test_impossible_input_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="a mass of 0 g cannot be"):
        unbalance(of(0, "g"), of(10, "mm"))
    with pytest.raises(ValueError, match="a radius of -1 mm cannot be"):
        unbalance(of(1, "g"), of(-1, "mm"))
    with pytest.raises(ValueError, match="below nothing"):
        force(of(-1, "g.mm"), of(100, "rpm"))
    with pytest.raises(ValueError, match="180 deg apart cannot share"):
        split(of(10, "g"), 45, 0, 180)
    with pytest.raises(ValueError, match="120 deg is not between 0 and 90"):
        split(of(10, "g"), 120, 0, 90)
    with pytest.raises(ValueError, match="stands still"):
        permissible(16, of(10, "kg"), of(0, "rpm"))
    with pytest.raises(ValueError, match="balance grade of 0 cannot be"):
        permissible(0, of(10, "kg"), of(10, "rpm"))
    with pytest.raises(ValueError, match="make no circle"):
        left_by_holes(of(10, "g.mm"), 1, 0)
