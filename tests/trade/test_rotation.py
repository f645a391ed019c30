"""Speeds of tyre, wheel, shaft and engine; ratio and slip."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.quantity import of, value
from reassembly.trade.rotation import (
    engine_speed,
    gear_ratio,
    planetary_ratio,
    read_tyre,
    shaft_speed,
    slip,
    slip_share,
    turns_per_second,
    wheel_speed,
)


@pytest.mark.parametrize(
    ("number", "unit", "turns"),
    [(600, "rpm", 10), (2 * pi, "rad/s", 1), (3, "turn/s", 3), (15, "Hz", 15), (900, "cpm", 15)],
)
def test_turns_and_cycles_are_not_taken_for_radians(number: float, unit: str, turns: float) -> None:
    assert turns_per_second(of(number, unit)) == pytest.approx(turns)


TYRES = {  # free diameter in mm by the ISO size code: rim x 25.4 + 2 x width x height (definition, recomputed by hand)
    "235/60R18": 739.2,
    "P235/60 R18 103H": 739.2,
    "205/55 R16 91V": 631.9,
    "205/55ZR16": 631.9,
    "lt245/75r16": 773.9,
    "225/75R16C 118/116R": 743.9,
    "315/80 R22.5": 1075.5,
    "235/60-18": 739.2,
    "165R13": 594.2,
    "31x10.50R15": 787.4,
    "31 x 10,50 R 15 LT": 787.4,
}


@pytest.mark.parametrize(("code", "millimetres"), TYRES.items())
def test_a_tyre_size_gives_the_free_diameter(code: str, millimetres: float) -> None:
    tyre = read_tyre(code)
    assert value(tyre.diameter, "mm") == pytest.approx(millimetres)
    assert value(tyre.rollout.result, "mm") == pytest.approx(pi * millimetres)


@pytest.mark.parametrize(
    "text", ["", "big", "235/60", "18", "999/60R18", "235/600R18", "235/60R99", "31R15", "9x31R15"]
)
def test_what_is_no_tyre_size_is_refused_in_words(text: str) -> None:
    with pytest.raises(ValueError, match="is not a tyre size: type it from the sidewall"):
        read_tyre(text)


def test_wheel_speed_is_road_speed_over_rollout() -> None:
    # 96.56 km/h, radius 0.33 m: 12.94 Hz, wheel Hz = v / (2 pi r)
    wheel = wheel_speed(of(96.56, "km/h"), of(2 * pi * 0.33, "m"))
    assert turns_per_second(wheel.result) == pytest.approx(12.94, abs=0.005)
    assert value(wheel.result, "rpm") == pytest.approx(776.2, abs=0.1)


def test_shaft_and_engine_follow_the_ratios() -> None:
    # vibration theory page: wheel 7 Hz x axle 3.08 = 21.56 Hz (printed 22)
    shaft = shaft_speed(of(7, "Hz"), 3.08)
    assert turns_per_second(shaft.result) == pytest.approx(21.56)
    assert turns_per_second(engine_speed(shaft.result, 1.5).result) == pytest.approx(32.34)


RATIOS = [(3000, 1000, 3.0), (1500, 2000, 0.75), (2000, 2000, 1.0)]  # definition: input / output


@pytest.mark.parametrize(("going_in", "going_out", "ratio"), RATIOS)
def test_a_ratio_is_input_over_output_and_leaves_no_slip(going_in: float, going_out: float, ratio: float) -> None:
    speeds = of(going_in, "rpm"), of(going_out, "rpm")
    assert gear_ratio(*speeds).result == pytest.approx(ratio)
    assert value(slip(*speeds, ratio).result, "rpm") == pytest.approx(0)


@given(st.floats(1, 9000), st.floats(1, 9000), st.floats(0.3, 20))
def test_slip_is_what_the_ratio_does_not_explain(going_in: float, going_out: float, ratio: float) -> None:
    speeds = of(going_in, "rpm"), of(going_out, "rpm")
    slipped = value(slip(*speeds, ratio).result, "rpm")
    assert slipped == pytest.approx(going_in - going_out * ratio, abs=1e-6)
    assert value(slip_share(*speeds, ratio).result, "%") == pytest.approx(100 * slipped / going_in, abs=1e-6)


def test_a_planetary_set_with_the_ring_held() -> None:
    assert planetary_ratio(30, 70).result == pytest.approx(1 + 70 / 30)  # 1 + ring/sun, maker's bulletin
    with pytest.raises(ValueError, match="the ring has more"):
        planetary_ratio(70, 30)


def test_impossible_input_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="output stands still"):
        gear_ratio(of(1000, "rpm"), of(0, "rpm"))
    with pytest.raises(ValueError, match="a roll-out of 0 m cannot be"):
        wheel_speed(of(50, "km/h"), of(0, "m"))
    with pytest.raises(ValueError, match="axle ratio 0 cannot be"):
        shaft_speed(of(50, "rpm"), 0)
    with pytest.raises(ValueError, match="below nothing"):
        gear_ratio(of(-1000, "rpm"), of(10, "rpm"))
    with pytest.raises(ValueError, match="input stands still"):
        slip_share(of(0, "rpm"), of(10, "rpm"), 1)
