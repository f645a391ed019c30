"""Corrections from trial runs."""

from cmath import phase, rect
from math import cos, degrees, radians

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from reassembly.trade.quantity import of, value
from reassembly.trade.trial_run import clamps_apart, clamps_together, correction_with_phase, correction_without_phase

sizes = st.floats(0.5, 50)
angles = st.floats(0, 359)


def test_one_trial_with_phase_gives_the_recomputed_weight() -> None:
    # A meter maker's page: 7 at 160 deg, 5 at 70 deg with 100 g. It reads T = 9 and 77.8 g off a drawing;
    # recomputed T = 8.602, 81.4 g, and 35.5 deg between original and trial vector.
    found = correction_with_phase((7, 160), (5, 70), of(100, "g"), 0)
    grams, place = found.result
    assert value(grams, "g") == pytest.approx(81.4, abs=0.05)
    assert min(value(place, "deg"), 360 - value(place, "deg")) == pytest.approx(35.5, abs=0.1)


@given(sizes, angles, sizes, angles, sizes, angles)
def test_the_correction_leaves_no_vibration(
    size: float, at: float, response: float, lag: float, grams: float, trial_at: float
) -> None:
    influence = rect(response / 50, radians(lag))  # vibration a gram makes
    heavy = rect(size, radians(at))
    original, run = heavy * influence, (heavy + rect(grams, radians(trial_at))) * influence
    assume(abs(original) > 1e-3 and abs(run) > 1e-3)
    mass, place = correction_with_phase(
        (abs(original), degrees(phase(original))), (abs(run), degrees(phase(run))), of(grams, "g"), trial_at
    ).result
    left = heavy + rect(value(mass, "g"), radians(value(place, "deg")))
    assert abs(left) < 1e-5 * size


@given(
    sizes, angles, st.floats(0.02, 5), sizes, angles, st.sampled_from([(90, 180), (120, 240), (100, 200), (240, 120)])
)
def test_four_runs_without_phase_leave_no_vibration(
    size: float, at: float, response: float, grams: float, first: float, further: tuple[int, int]
) -> None:
    assume(grams > 0.02 * size)
    heavy, places = rect(size, radians(at)), [first, first + further[0], first + further[1]]
    runs = [abs(heavy + rect(grams, radians(place))) * response for place in places]
    assume(min(runs) > 1e-6)
    found = correction_without_phase(size * response, list(zip(runs, places, strict=True)), of(grams, "g"))
    mass, place = found.result
    assert abs(heavy + rect(value(mass, "g"), radians(value(place, "deg")))) < 1e-3 * size
    assert "do not meet" not in found.note


def test_four_runs_that_do_not_fit_say_so() -> None:
    # A published exercise (article on balancing without phase): 10; 7, 12, 18 with 50 g at 0, 120, 240 deg.
    # By hand: across = -2/3 (49 - 72 - 162) / 20 = 6.167, along = -2/3 x 0.866 (144 - 324) / 20 = 5.196,
    # distance 8.064, weight 50 x 10 / 8.064; by the mean, sqrt(517/3 - 100) = 8.505.
    found = correction_without_phase(10, [(7, 0), (12, 120), (18, 240)], of(50, "g"))
    mass, place = found.result
    assert value(mass, "g") == pytest.approx(62.0, abs=0.05)
    assert value(place, "deg") == pytest.approx(40.1, abs=0.05)
    assert "by the mean of the squares it would be 58.79 g" in found.note


CLAMPS = {0: 2.0, 60: 1.7321, 90: 1.4142, 120: 1.0, 180: 0.0}  # of one head; 2 cos(apart/2), vector algebra


@pytest.mark.parametrize(("apart", "heads"), CLAMPS.items())
def test_two_clamps_give_twice_the_cosine_of_half_the_spread(apart: float, heads: float) -> None:
    assert value(clamps_together(of(10, "g"), apart).result, "g") == pytest.approx(10 * heads, abs=1e-3)
    assert value(clamps_apart(of(10 * heads, "g"), of(10, "g")).result, "deg") == pytest.approx(apart, abs=0.01)


@given(st.floats(1, 50), st.floats(0, 180))
def test_the_two_heads_add_up_midway(head: float, apart: float) -> None:
    both = rect(head, radians(apart / 2)) + rect(head, -radians(apart / 2))
    assert both.real == pytest.approx(2 * head * cos(radians(apart / 2)), abs=1e-9)
    assert value(clamps_together(of(head, "g"), apart).result, "g") == pytest.approx(abs(both), abs=1e-9)


def test_a_weak_trial_is_said() -> None:
    assert "a heavier one tells more" in correction_with_phase((10, 0), (11, 10), of(5, "g"), 0).note
    assert "trial weight off" in correction_with_phase((10, 0), (14, 10), of(5, "g"), 0).note


def test_runs_that_tell_nothing_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match="changed nothing"):
        correction_with_phase((10, 30), (10, 30), of(5, "g"), 0)
    with pytest.raises(ValueError, match="changed nothing"):
        correction_without_phase(10, [(10, 0), (10, 120), (10, 240)], of(5, "g"))
    with pytest.raises(ValueError, match="too near each other"):
        correction_without_phase(10, [(9, 0), (11, 0), (10, 240)], of(5, "g"))
    with pytest.raises(ValueError, match="three trial runs, not 2"):
        correction_without_phase(10, [(9, 0), (11, 120)], of(5, "g"))
    with pytest.raises(ValueError, match="an amplitude of 0"):
        correction_with_phase((0, 30), (10, 30), of(5, "g"), 0)
    with pytest.raises(ValueError, match="a trial weight of 0 g"):
        correction_with_phase((10, 30), (12, 30), of(0, "g"), 0)
    with pytest.raises(ValueError, match="two clamp heads give nothing to 20 g, not 25 g"):
        clamps_apart(of(25, "g"), of(10, "g"))
