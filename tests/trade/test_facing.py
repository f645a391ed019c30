"""Clock positions seen from a named side, and facings."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.facing import (
    FULL_TURN,
    Clock,
    angle_from_other_side,
    clock_angle,
    clock_check,
    clock_doubt,
    facing_check,
    facing_doubt,
    read_clock,
    read_facing,
    read_side,
    seen_from_other_side,
)
from reassembly.trade.quantity import value

FRONT = read_side("front")
SIDES = [read_side(side) for side in ("front", "top", "in", "output", "the cover")]
clocks = st.builds(Clock, st.integers(0, FULL_TURN - 1), st.sampled_from(SIDES))


@pytest.mark.parametrize(
    ("text", "minutes", "side"),
    [
        ("4", 240, None),
        ("4 o'clock", 240, None),
        ("4 o’clock", 240, None),
        ("4oclock", 240, None),
        ("04:00", 240, None),
        ("3:30", 210, None),
        ("12", 0, None),
        ("12:30", 30, None),
        ("4 o'clock from front", 240, "front"),
        ("4 o'clock seen from the front", 240, "front"),
        ("4 from rear", 240, "rear"),
        ("4 rear", 240, "rear"),
        ("4 (front)", 240, "front"),
        ("3:30 seen from below", 210, "bottom"),
        ("4 from the gearbox cover", 240, "gearbox cover"),
    ],
)
def test_a_clock_position_is_read_as_it_is_said(text: str, minutes: int, side: str | None) -> None:
    read = read_clock(text)
    assert (read.minutes, read.side.name if read.side else None) == (minutes, side)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not a clock position"),
        ("four", "not a clock position"),
        ("3.5", "half past is typed 3:30"),
        ("3,30", "half past is typed 3:30"),
        ("4 banana", "not a clock position"),
        ("0", "hour is 1 to 12"),
        ("13", "hour is 1 to 12"),
        ("16:00", "hour is 1 to 12"),
        ("3:75", "minute 00 to 59"),
        ("4 front 5", "not a clock position"),
    ],
)
def test_what_is_not_on_a_clock_is_refused_in_words(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        read_clock(text)


def test_the_side_may_be_said_beside_the_clock_but_not_against_it() -> None:
    assert read_clock("4", "front") == read_clock("4 from front", "front") == Clock(240, FRONT)
    with pytest.raises(ValueError, match="from the front or from the rear"):
        read_clock("4 from front", "rear")


MIRRORED = {"4": "8", "3:30": "8:30", "12": "12", "6": "6", "9": "3", "12:10": "11:50", "1": "11"}  # geometry


@pytest.mark.parametrize(("front", "rear"), MIRRORED.items())
def test_the_other_side_sees_it_mirrored(front: str, rear: str) -> None:
    assert seen_from_other_side(read_clock(front, "front")) == read_clock(rear, "rear")


@given(clocks)
def test_mirrored_twice_is_the_same_place_and_both_angles_make_a_turn(clock: Clock) -> None:
    other = seen_from_other_side(clock)
    assert seen_from_other_side(other) == clock
    assert (clock.degrees + other.degrees) % 360 == 0
    assert clock_doubt(clock, other) is None


@given(clocks)
def test_what_is_shown_is_read_back(clock: Clock) -> None:
    assert clock.side is not None
    assert read_clock(f"{clock} seen from {clock.side.seen}") == clock


def test_without_a_side_nothing_is_mirrored() -> None:
    with pytest.raises(ValueError, match="seen from which side"):
        seen_from_other_side(read_clock("4"))


def test_the_direction_of_view_reverses_an_angle() -> None:
    assert value(angle_from_other_side(90).result, "deg") == 270
    assert value(angle_from_other_side(0).result, "deg") == 0
    assert value(clock_angle(read_clock("3:30")).result, "deg") == 105
    with pytest.raises(ValueError, match="number of degrees"):
        angle_from_other_side(float("nan"))


def test_the_refit_check_says_both_sides() -> None:
    assert (
        clock_check("lug", read_clock("4 from front"))
        == "lug at 4 o'clock seen from the front (8 o'clock seen from the rear)"
    )
    assert clock_check("lug", read_clock("3:30 top")) == "lug at 3:30 seen from above (8:30 seen from below)"
    assert clock_check("lug", read_clock("4")) == "lug at 4 o'clock, side not said"
    cover = read_clock("4 from the cover")
    assert clock_check("lug", cover) == "lug at 4 o'clock seen from the cover (8 o'clock seen from the other side)"


@pytest.mark.parametrize(
    ("noted", "found", "words"),
    [
        ("4 front", "4 front", None),
        ("4 front", "8 rear", None),
        ("4 front", "5 front", "30 deg out clockwise"),
        ("4 front", "3:30 front", "15 deg out anticlockwise"),
        ("4 front", "10 front", "180 deg out, half a turn"),
        ("11 front", "1 front", "60 deg out clockwise"),
        ("4 front", "8 front", "are you looking from the front?"),
        ("4 front", "8", "say from which side"),
        ("4 front", "4 top", "look from the front"),
    ],
)
def test_a_place_that_is_not_the_noted_one_is_said(noted: str, found: str, words: str | None) -> None:
    doubt = clock_doubt(read_clock(noted), read_clock(found))
    assert doubt is None if words is None else doubt is not None and words in doubt


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("front", "the front"),
        ("FORWARDS", "the front"),
        ("to the rear", "the rear"),
        ("up", "up"),
        ("rear left", "the rear and left"),
        ("up and to the rear", "up and the rear"),
        ("front-left", "the front and left"),
        ("outside", "outboard"),
        ("the gearbox", "the gearbox"),
        ("input side", "the input end"),
    ],
)
def test_a_facing_is_read_as_it_is_said(text: str, shown: str) -> None:
    assert str(read_facing(text)) == shown


def test_a_facing_cannot_contradict_itself() -> None:
    with pytest.raises(ValueError, match="the front and the rear at once"):
        read_facing("front and rear")
    with pytest.raises(ValueError, match="no side was named"):
        read_facing(" ")


def test_facings_are_compared() -> None:
    assert facing_doubt(read_facing("fwd"), read_facing("front")) is None
    assert "the wrong way round" in (facing_doubt(read_facing("up"), read_facing("down")) or "")
    assert facing_doubt(read_facing("up"), read_facing("left")) == "noted facing up, found facing left"
    assert facing_doubt(read_facing("the cover"), read_facing("front")) is not None
    assert facing_check("arrow", read_facing("front")) == "arrow facing the front, away from the rear"
    assert facing_check("slots", read_facing("up")) == "slots facing up"
