"""Orders of what turns, and suspects for what is felt."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.quantity import of, value
from reassembly.trade.rotation import read_tyre
from reassembly.trade.vibration import ENGINE, SHAFT, WHEEL, not_told_apart, orders, speeds, suspects

ROLLOUT = of(2 * pi * 0.33, "m")


def at(turning: dict[str, float], cylinders: int | None = None) -> dict[str, float]:
    """Frequencies by name, from frequencies of a turn."""
    road = speeds(of(turning[WHEEL], "m/s"), of(1, "m"), turning.get("axle"), turning.get("gear"))
    return {order.name: order.hertz for order in orders(road, cylinders)}


PUBLISHED = [  # wheel Hz, axle, gear, cylinders, order, expected Hz
    (7, 3.08, None, None, "propeller shaft order 1", 21.56),  # vibration theory page, printed 22
    (7, 3.08, None, None, "propeller shaft order 2", 43.12),  # the same, printed 44 from the rounded 22
    (7, None, None, None, "wheel order 2", 14),  # the same
    (12, None, None, None, "wheel order 1", 12),  # one wheel turn a second at 5 mph: 60 mph
    (10, 3, 1, 8, "engine order 4", 120),  # four-stroke: cylinders/2 firings a turn
    (10, 3, 2, 4, "engine order 2", 120),
    (10, 3, 1, 3, "engine order 1.5", 45),
]


@pytest.mark.parametrize(("wheel", "axle", "gear", "cylinders", "order", "expected"), PUBLISHED)
def test_orders_are_the_published_ones(
    wheel: float, axle: float | None, gear: float | None, cylinders: int | None, order: str, expected: float
) -> None:
    turning = {WHEEL: wheel} | ({"axle": axle} if axle else {}) | ({"gear": gear} if gear else {})
    assert at(turning, cylinders)[order] == pytest.approx(expected)


def test_five_miles_an_hour_is_about_a_wheel_turn_a_second() -> None:
    # workshop rule, seen; exact for a roll-out of 2.235 m, near it for any car tyre
    turning = speeds(of(5, "mph"), read_tyre("235/60R18").rollout.result)
    assert value(turning[WHEEL].result, "rpm") / 60 == pytest.approx(1, abs=0.05)


def test_a_tyre_of_0_33_m_at_96_56_km_h_turns_at_12_94_hz() -> None:
    (first, *_) = orders(speeds(of(96.56, "km/h"), ROLLOUT))
    assert first.hertz == pytest.approx(12.94, abs=0.005)


@given(st.floats(5, 60), st.floats(1, 4), st.floats(0.5, 5), st.floats(2, 5))
def test_from_the_engine_backwards_is_the_same_as_from_the_road(
    metres: float, rollout: float, gear: float, axle: float
) -> None:
    forwards = speeds(of(metres, "m/s"), of(rollout, "m"), axle, gear)
    backwards = speeds(axle_ratio=axle, gear_ratio=gear, measured_engine=forwards[ENGINE].result)
    for what in (WHEEL, SHAFT, ENGINE):
        assert value(backwards[what].result, "rpm") == pytest.approx(value(forwards[what].result, "rpm"))


def test_only_what_can_be_told_is_told() -> None:
    assert speeds() == {}
    assert speeds(of(50, "km/h")) == {}
    assert [*speeds(of(50, "km/h"), ROLLOUT)] == [WHEEL]
    assert [*speeds(measured_engine=of(2000, "rpm"))] == [ENGINE]
    slipping = speeds(of(50, "km/h"), ROLLOUT, 3.0, 1.0, of(2000, "rpm"))
    assert value(slipping[ENGINE].result, "rpm") == pytest.approx(2000)
    assert value(slipping[SHAFT].result, "rpm") == pytest.approx(1205.7, abs=0.1)


def test_a_felt_frequency_finds_its_cause() -> None:
    possible = orders(speeds(of(7, "m/s"), of(1, "m"), 3.08, 1.5), 6)
    best, *others = suspects(of(43, "Hz"), possible)
    assert (best.order.name, best.fit) == ("propeller shaft order 2", "good")
    assert best.sentence.startswith("good fit: propeller shaft order 2 at 43.12 Hz, 0.3 % above: cardan joint")
    assert others[-1].fit == "poor"
    counted = suspects(of(14 * 60, "cpm"), possible)
    assert counted[0].order.name == "wheel order 2"
    assert "exactly" in counted[0].sentence


@given(st.floats(1, 300))
def test_suspects_are_ranked_by_their_distance(hertz: float) -> None:
    ranked = suspects(of(hertz, "Hz"), orders(speeds(of(20, "m/s"), of(2, "m"), 3.5, 1.2), 4))
    distances = [abs(s.order.hertz - hertz) for s in ranked]
    assert distances == sorted(distances)
    assert len(ranked) == 8


def test_causes_that_fit_alike_are_told_apart_by_another_gear() -> None:
    direct = orders(speeds(of(20, "m/s"), of(2, "m"), 3.5, 1.0), 4)
    assert "another gear" in (not_told_apart(suspects(of(35, "Hz"), direct)) or "")
    threefold = orders(speeds(of(20, "m/s"), of(2, "m"), 3.0))
    assert "wheels off" in (not_told_apart(suspects(of(30, "Hz"), threefold)) or "")
    assert not_told_apart(suspects(of(10, "Hz"), direct)) is None
    assert not_told_apart(suspects(of(1000, "Hz"), direct)) is None
    assert not_told_apart([]) is None


def test_impossible_input_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="a vibration of 0 Hz is none"):
        suspects(of(0, "Hz"), [])
    with pytest.raises(ValueError, match="0 cylinders: type from 1 to 16"):
        orders({}, 0)
    with pytest.raises(ValueError, match="gear ratio 0 cannot be"):
        speeds(gear_ratio=0, measured_engine=of(1000, "rpm"))
