"""Cardan joints and the critical speed of a tube."""

from math import atan2, cos, degrees, pi, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reassembly.trade.driveline import (
    MARGIN,
    Material,
    angle_for_fluctuation,
    bend_plane,
    critical_speed,
    equal_speed_angle,
    joint_acceleration,
    joint_doubts,
    largest_second_joint,
    residual_angle,
    speed_band,
    speed_ratio,
    unevenness,
    working_angle,
)
from reassembly.trade.quantity import of, value

RATIOS = {10: (1.01543, 0.98481), 30: (1.15470, 0.86603)}  # 1/cos b, cos b; data handbook 2.4.3


@pytest.mark.parametrize(("angle", "band"), RATIOS.items())
def test_the_driven_shaft_runs_between_one_over_cos_and_cos(angle: float, band: tuple[float, float]) -> None:
    ratios = [speed_ratio(angle, turned).result for turned in (0, 90, 180, 270)]
    assert ratios == pytest.approx([*band, *band], abs=1e-5)
    assert [value(speed, "rpm") for speed in speed_band(of(1000, "rpm"), angle).result] == pytest.approx(
        [1000 * ratio for ratio in band], abs=0.01
    )


def test_a_fluctuation_of_100_rpm_at_1200() -> None:
    # answer page, recomputed: 16.42 deg (the page prints 16.2), 1251 and 1151 rpm
    angle = value(angle_for_fluctuation(of(1200, "rpm"), of(100, "rpm")).result, "deg")
    assert angle == pytest.approx(16.42, abs=0.01)
    high, low = speed_band(of(1200, "rpm"), angle).result
    assert [value(high, "rpm"), value(low, "rpm")] == pytest.approx([1251, 1151], abs=0.5)


def test_equal_speed_and_unevenness_are_the_published_ones() -> None:
    assert value(equal_speed_angle(20).result, "deg") == pytest.approx(44.109, abs=0.001)  # tan t = sqrt(cos b)
    assert unevenness(3).result == pytest.approx(0.00274, abs=5e-5)  # shaft maker: 0.0027 is 3 deg


@given(st.floats(0, 60))
def test_at_the_equal_speed_angle_both_shafts_turn_alike(angle: float) -> None:
    turned = value(equal_speed_angle(angle).result, "deg")
    assert speed_ratio(angle, turned).result == pytest.approx(1, abs=1e-9)


# Chart after SAE AE-7 for 1500 rpm and 400 rad/s2: first joint 0 to 9 deg, largest second joint, +-0.1
CHART = dict(enumerate([7.3, 7.4, 7.6, 7.9, 8.3, 8.9, 9.5, 10.1, 10.8, 11.6]))


@pytest.mark.parametrize(("first", "second"), CHART.items())
def test_the_second_joint_follows_the_published_chart(first: float, second: float) -> None:
    found = value(largest_second_joint(of(1500, "rpm"), first, of(400, "rad/s**2")).result, "deg")
    assert found == pytest.approx(second, abs=0.1)
    left = value(residual_angle([first, found]).result, "deg")
    assert value(joint_acceleration(of(1500, "rpm"), left).result, "rad/s**2") == pytest.approx(400)


RESIDUAL = {  # joints, shafts out of phase: sqrt|b1^2 +- b2^2 +- b3^2|, same fork position same sign (shaft maker)
    ((5.0, 5.0), (0.0,)): 0.0,
    ((5.0, 5.0), (90.0,)): 50**0.5,
    ((5.0, 4.0), (0.0,)): 3.0,
    ((3.0,), ()): 3.0,
    ((1.0, 4.0, 4.0), (0.0, 0.0)): 1.0,
    ((2.0, 4.0, 3.0), (0.0, 0.0)): 3**0.5,
    ((2.0, 4.0, 3.0), (90.0, 0.0)): 11**0.5,
    ((2.0, 4.0, 3.0), (90.0, 90.0)): 29**0.5,
    ((5.0, 5.0), (180.0,)): 0.0,
}


@pytest.mark.parametrize(("joints", "residual"), RESIDUAL.items())
def test_what_is_left_of_several_joints(joints: tuple[tuple[float, ...], tuple[float, ...]], residual: float) -> None:
    assert value(residual_angle(*joints).result, "deg") == pytest.approx(residual, abs=1e-6)


def chain(angles: list[float], phases: list[float], planes: list[float]) -> float:
    """Highest less lowest speed behind a row of joints, from tan(t1) = tan(t2) cos b, one small step after another."""

    def out(turned: float) -> float:
        for n, angle in enumerate(angles):
            driving = turned - radians(planes[n])
            whole = round(driving / (2 * pi)) * 2 * pi
            driven = atan2(sin(driving - whole), cos(driving - whole) * cos(radians(angle))) + whole
            turned = driven + radians(planes[n]) + radians(90 + phases[n] if n < len(phases) else 0)
        return turned

    step = 1e-4
    speeds = [(out(t + step) - out(t - step)) / (2 * step) for t in (radians(d) + 0.01 for d in range(0, 170, 2))]
    return max(speeds) - min(speeds)


small, any_turn = st.floats(1, 8), st.floats(-90, 90)


@settings(max_examples=60)
@given(st.lists(st.tuples(small, any_turn, any_turn), min_size=1, max_size=3))
def test_the_residual_angle_turns_as_unevenly_as_the_chain(joints: list[tuple[float, float, float]]) -> None:
    angles, planes = [j[0] for j in joints], [j[2] for j in joints]
    phases = [j[1] for j in joints[:-1]]
    residual = value(residual_angle(angles, phases, planes).result, "deg")
    whole = sum(radians(a) ** 2 for a in angles)
    assert radians(residual) ** 2 == pytest.approx(chain(angles, phases, planes), abs=0.03 * whole)


def test_compound_angles() -> None:
    assert value(working_angle((3, 4)).result, "deg") == pytest.approx(4.994, abs=0.001)  # tan rule
    assert value(working_angle((5, 0), (2, 0)).result, "deg") == pytest.approx(3)
    assert value(working_angle((-3, 0), (2, 0)).result, "deg") == pytest.approx(5)
    assert value(working_angle((2, 1), (2, 1)).result, "deg") == pytest.approx(0)
    assert value(bend_plane(3, 0).result, "deg") == pytest.approx(0)
    assert value(bend_plane(0, 3).result, "deg") == pytest.approx(90)


@given(st.floats(-8, 8), st.floats(-8, 8), st.floats(-8, 8), st.floats(-8, 8))
def test_a_true_angle_is_about_the_root_of_the_squares(a: float, b: float, c: float, d: float) -> None:
    true = value(working_angle((a, b), (c, d)).result, "deg")
    assert true == pytest.approx(((a - c) ** 2 + (b - d) ** 2) ** 0.5, abs=0.05 + 0.02 * true)


CRITICAL = {  # E in GPa, density, outer, inner, length; expected rpm; a finite-element rotor program gives the same
    "1.5 m": (207, 7830, (76.2, "mm"), (72.9, "mm"), (1.5, "m"), 5678.1),
    "1.143 m": (200, 7850, (88.9, "mm"), (84.68, "mm"), (1.143, "m"), 11176.7),
    "textbook exercise, 29 Msi, 0.284 lb/in3": (
        199.948,
        7861,
        (3, "in"),
        (2.75, "in"),
        (48, "in"),
        8262,
    ),
}


@pytest.mark.parametrize(("e", "rho", "outer", "inner", "length", "expected"), CRITICAL.values(), ids=CRITICAL.keys())
def test_critical_speed_is_the_distributed_one(
    e: float, rho: float, outer: tuple[float, str], inner: tuple[float, str], length: tuple[float, str], expected: float
) -> None:
    found = critical_speed(of(*length), of(*outer), of(*inner), Material("steel", e, rho))
    assert value(found.result, "rpm") == pytest.approx(expected, rel=0.001)


def test_a_solid_steel_bar_follows_the_shop_rule() -> None:
    # 4.7687e6 d / L^2 in inches, engineering note after Machinery's Handbook
    found = critical_speed(of(40, "in"), of(2, "in"), of(0, "in"))
    assert value(found.result, "rpm") == pytest.approx(4.7687e6 * 2 / 40**2, rel=0.01)
    assert f"below {MARGIN} of it" in found.note


def test_doubts_about_angles_are_rules_of_thumb() -> None:
    assert joint_doubts([3, 3], 0) == []
    doubts = joint_doubts([7, 4], value(residual_angle([7, 4]).result, "deg"))
    assert [doubt.split(",")[0] for doubt in doubts] == [
        "joint 1 works at 7 deg",
        "joints 1 and 2 differ by 3 deg",
        "residual angle 5.745 deg",
    ]


@pytest.mark.parametrize("angle", [90, 120, -1, float("nan"), float("inf")])
def test_a_joint_that_cannot_turn_is_refused(angle: float) -> None:
    for formula in (unevenness, equal_speed_angle, lambda a: speed_ratio(a, 0), lambda a: residual_angle([a])):
        with pytest.raises(ValueError, match="deg cannot turn: from 0 to under 90"):
            formula(angle)


def test_impossible_shafts_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match="2 joints have 1 shafts between them"):
        residual_angle([3, 3], [0, 0])
    with pytest.raises(ValueError, match="no joint was given"):
        residual_angle([])
    with pytest.raises(ValueError, match="has no wall"):
        critical_speed(of(1, "m"), of(70, "mm"), of(76, "mm"))
    with pytest.raises(ValueError, match="a tube 0 m long"):
        critical_speed(of(0, "m"), of(76, "mm"), of(70, "mm"))
    with pytest.raises(ValueError, match="does not run lengthwise"):
        working_angle((90, 0))
    with pytest.raises(ValueError, match="no plane"):
        bend_plane(0, 0)
    with pytest.raises(ValueError, match="stands still"):
        angle_for_fluctuation(of(0, "rpm"), of(10, "rpm"))


def test_the_limit_of_1000_is_about_5_8_degrees_at_3000() -> None:
    found = largest_second_joint(of(3000, "rpm"), 0, of(1000, "rad/s**2"))  # from memory
    assert value(found.result, "deg") == pytest.approx(5.8, abs=0.05)
    assert degrees(1000**0.5 / (100 * pi)) == pytest.approx(value(found.result, "deg"))
