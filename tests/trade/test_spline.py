"""Teeth and holes round a circle, and yokes in phase."""

from math import isclose

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from reassembly.trade.quantity import value
from reassembly.trade.spline import (
    Place,
    angle_out,
    degrees_apart,
    phase_out,
    phase_sentence,
    place_angle,
    places_out,
    read_place,
    tooth_doubt,
    yokes_out,
)

counts = st.integers(2, 400)


@pytest.mark.parametrize(("count", "degrees"), [(16, 22.5), (24, 15), (27, 13.3333), (30, 12), (32, 11.25), (36, 10)])
def test_degrees_a_tooth_is_a_turn_over_the_teeth(count: int, degrees: float) -> None:
    assert value(degrees_apart(count).result, "deg") == pytest.approx(degrees, abs=1e-4)  # 360/z, geometry


@pytest.mark.parametrize(
    ("text", "noun", "count", "place"),
    [
        ("3 of 16", "tooth", None, Place(3, 16)),
        ("3/16", "tooth", 16, Place(3, 16)),
        ("Tooth 3 of 16", "tooth", None, Place(3, 16)),
        ("hole 2", "hole", 8, Place(2, 8, "hole")),
        ("2", "hole", 8, Place(2, 8, "hole")),
    ],
)
def test_a_place_is_read_as_it_is_said(text: str, noun: str, count: int | None, place: Place) -> None:
    assert read_place(text, noun, count) == place


@pytest.mark.parametrize(
    ("text", "count", "words"),
    [
        ("", None, "is not a place"),
        ("third", None, "is not a place"),
        ("3", None, "of how many"),
        ("3 of 16", 18, "18 were counted at strip-down, here 16"),
        ("17 of 16", None, "no tooth 17 of 16"),
        ("0 of 16", None, "no tooth 0 of 16"),
        ("1 of 1", None, "1 teeth make no circle"),
        ("1 of 0", None, "0 teeth make no circle"),
        ("1 of 999", None, "999 teeth make no circle"),
    ],
)
def test_a_place_that_is_not_there_is_refused_in_words(text: str, count: int | None, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        read_place(text, "tooth", count)


@given(counts, st.data())
def test_places_out_bring_the_noted_place_to_the_found_one(count: int, data: st.DataObject) -> None:
    noted, found = (Place(data.draw(st.integers(1, count)), count) for _ in range(2))
    out = places_out(noted, found)
    walked = noted.number
    for _ in range(abs(out)):  # the naive way: step tooth by tooth
        walked += 1 if out > 0 else -1
        walked = 1 if walked > count else count if walked < 1 else walked
    assert walked == found.number
    assert 2 * abs(out) <= count
    angle = value(angle_out(out, count).result, "deg")
    turned = value(place_angle(found).result, "deg") - value(place_angle(noted).result, "deg")
    assert isclose((angle - turned + 180) % 360, 180, abs_tol=1e-9)
    assert (tooth_doubt(noted, found) is None) == (noted == found)


@pytest.mark.parametrize(
    ("noted", "found", "count", "out"), [(1, 9, 16, 8), (9, 1, 16, 8), (1, 8, 15, 7), (1, 9, 15, -7), (1, 16, 16, -1)]
)
def test_the_short_way_round_is_counted(noted: int, found: int, count: int, out: int) -> None:
    assert places_out(Place(noted, count), Place(found, count)) == out


def test_place_1_stands_at_0_degrees() -> None:
    assert [value(place_angle(Place(n, 16)).result, "deg") for n in (1, 2, 16)] == [0, 22.5, 337.5]


def test_two_circles_are_not_compared() -> None:
    with pytest.raises(ValueError, match="not on one circle"):
        places_out(Place(1, 16), Place(1, 18))


PHASE = {  # yokes standing at an angle, and how far out of phase: a joint repeats every half turn
    0: 0,
    1: 1,
    90: 90,
    -90: 90,
    91: -89,
    180: 0,
    170: -10,
    190: 10,
    359: -1,
    -360: 0,
}


@pytest.mark.parametrize(("degrees", "out"), PHASE.items())
def test_yokes_half_a_turn_apart_are_in_phase_again(degrees: float, out: float) -> None:
    assert value(phase_out(degrees).result, "deg") == pytest.approx(out)


@given(counts, st.data())
def test_only_half_a_turn_brings_yokes_back_in_phase(teeth: int, data: st.DataObject) -> None:
    out = data.draw(st.integers(-teeth, teeth))
    assume(out % teeth)
    phase = value(yokes_out(out, teeth).result, "deg")
    assert (abs(phase) < 1e-6) == (2 * (out % teeth) == teeth)


@pytest.mark.parametrize(
    ("teeth", "out", "degrees"),
    [(16, 1, 22.5), (16, 4, 90), (16, 8, 0), (16, -1, -22.5), (30, 1, 12), (27, 13, -6.6667)],
)
def test_teeth_out_on_a_slip_joint_put_the_yokes_out(teeth: int, out: int, degrees: float) -> None:
    assert value(yokes_out(out, teeth).result, "deg") == pytest.approx(degrees, abs=1e-4)


def test_what_being_out_means_is_said() -> None:
    assert (
        tooth_doubt(Place(3, 16), Place(5, 16)) == "noted tooth 3 of 16, found tooth 5: 2 teeth out, 45 deg clockwise"
    )
    assert "1 tooth out, 22.5 deg anticlockwise" in (tooth_doubt(Place(1, 16), Place(16, 16)) or "")
    assert "2 holes out, 180 deg half a turn" in (tooth_doubt(Place(1, 4, "hole"), Place(3, 4, "hole")) or "")
    assert phase_sentence(0.5) == "yokes in phase within 1 deg"
    assert "half a turn from where it was" in phase_sentence(180)
    assert phase_sentence(22.5).startswith("yokes 22.5 deg out of phase")
