"""Whether a road test after the work is the one before again."""

import pytest

from reassembly.job.entries import CheckConfirmed, RoadTested
from reassembly.job.road import may_be_there_still, not_driven, not_the_same

SAME: dict[str, tuple[RoadTested, RoadTested]] = {
    "nothing was said of how": (RoadTested(felt="hums uphill"), RoadTested(felt="quiet")),
    "speed for speed": (RoadTested(speed="80 km/h"), RoadTested(speed="80 km/h")),
    "in another unit": (RoadTested(speed="50 mph"), RoadTested(speed="80 km/h")),  # 80.5 km/h
    "faster": (RoadTested(felt="drone from 60 km/h"), RoadTested(felt="no drone up to 110 km/h")),
    "speed in words for a speed": (RoadTested(speed="80 km/h"), RoadTested(felt="quiet at 80")),
    "speed for a speed in words": (RoadTested(felt="shudder at 60"), RoadTested(felt="quiet", speed="60 mph")),
    "a bare number in the other's unit": (RoadTested(felt="shudder at 60 mph"), RoadTested(felt="quiet at 60")),
    "through one of two": (RoadTested(felt="shudders between 60 and 90"), RoadTested(felt="quiet at 70")),
    "of a distance only": (RoadTested(distance="12 km"), RoadTested(distance="9 km")),
    "a gear in words": (RoadTested(felt="jumps out of 3rd"), RoadTested(felt="stays in 3rd")),
    "a gear by its ratio": (RoadTested(felt="jumps out of 3rd"), RoadTested(felt="stays in", gear_ratio="1.36")),
    "said to be": (RoadTested(felt="shudder at 60", speed="60 mph"), RoadTested(felt="quiet", as_before=True)),
    "a speed that nobody can read": (RoadTested(speed="motorway"), RoadTested(speed="motorway")),
}
OTHER: dict[str, tuple[RoadTested, RoadTested, str]] = {
    "no speed for a speed in words": (RoadTested(felt="shudder at 60"), RoadTested(felt="quiet"), "shudder at 60"),
    "a distance for a speed in words": (
        RoadTested(felt="shudder at 60", distance="12 km"),
        RoadTested(felt="quiet", distance="12 km"),
        "shudder at 60, 12 km",
    ),
    "too slow": (RoadTested(speed="80 km/h"), RoadTested(speed="50 km/h"), "80 km/h"),
    "too slow in words": (
        RoadTested(felt="shudder at 60 mph"), RoadTested(felt="quiet up to 60 km/h"), "shudder at 60 mph",
    ),
    "too slow for a bare number": (RoadTested(felt="shudder at 60"), RoadTested(felt="quiet at 40"), "shudder at 60"),
    "a bare number too slow": (RoadTested(speed="60 mph"), RoadTested(felt="quiet at 40"), "60 mph"),
    "too slow for a bare number in its own unit": (
        RoadTested(felt="shudder at 60"), RoadTested(felt="quiet", speed="40 mph"), "shudder at 60",
    ),
    "a distance for a speed": (
        RoadTested(distance="12 km", speed="80 km/h"), RoadTested(distance="12 km"), "12 km at 80 km/h",
    ),
    "another number that is no speed": (
        RoadTested(felt="shudder at 60"), RoadTested(felt="quiet, 80 % throttle, 2100 rpm"), "shudder at 60",
    ),
    "nothing of a distance": (RoadTested(distance="12 km"), RoadTested(felt="quiet"), "12 km"),
    "nothing of a gear": (RoadTested(felt="jumps out of 3rd"), RoadTested(felt="fine"), "jumps out of 3rd"),
}  # fmt: skip


@pytest.mark.parametrize(("before", "after"), SAME.values(), ids=SAME.keys())
def test_it_is_the_same_road_test(before: RoadTested, after: RoadTested) -> None:
    assert not_the_same(before, after) == ""


@pytest.mark.parametrize(("before", "after", "told"), OTHER.values(), ids=OTHER.keys())
def test_it_is_another_road_test_and_the_conditions_before_are_said(
    before: RoadTested, after: RoadTested, told: str
) -> None:
    assert not_the_same(before, after) == told


NEVER_LEFT: dict[str, RoadTested | CheckConfirmed] = {
    "in words": RoadTested(felt="not driven, out of time"),
    "in other words": RoadTested(felt="Not yet road tested"),
    "no road test": RoadTested(felt="no road test, rain"),
    "nobody drove": RoadTested(felt="couldn't be driven: no plates"),
    "never": RoadTested(felt="never driven", as_before=True),
    "no distance": RoadTested(felt="fine", distance="0 km"),
    "no distance, a comma": RoadTested(felt="fine", distance="0,0 km"),
    "no speed": RoadTested(felt="fine", outcome="gone", speed="0"),
    "a bare yes with words": CheckConfirmed(check="A.1.road", note="not driven"),
}
LEFT: dict[str, RoadTested | CheckConfirmed] = {
    "a symptom": RoadTested(felt="no drive noise, does not drift"),
    "not so fast": RoadTested(felt="quiet; not driven above 90", distance="12 km"),
    "a short way": RoadTested(felt="quiet", distance="0.5 km", speed="05 km/h"),
    "a yes with words": CheckConfirmed(check="A.1.road", note="driven 5 km, quiet"),
}


@pytest.mark.parametrize("told", NEVER_LEFT.values(), ids=NEVER_LEFT.keys())
def test_nobody_drove(told: RoadTested | CheckConfirmed) -> None:
    assert not_driven(told)


@pytest.mark.parametrize("told", LEFT.values(), ids=LEFT.keys())
def test_somebody_drove(told: RoadTested | CheckConfirmed) -> None:
    assert not not_driven(told)


@pytest.mark.parametrize(
    ("complaint", "driven", "asked"),
    [
        ("drones at 80", RoadTested(felt="still drones at 80"), True),
        ("drones at 80", RoadTested(felt="drone from 80 km/h"), True),
        ("leaves drops", RoadTested(felt="same as before"), True),
        ("drones at 80", RoadTested(felt="quiet at 80 km/h"), False),
        ("drones at 80", RoadTested(felt="no drone left", outcome="gone"), False),
        ("drones at 80", RoadTested(), False),
    ],
)
def test_the_words_of_the_complaint_after_the_work_are_asked_about(
    complaint: str, driven: RoadTested, asked: bool
) -> None:
    assert may_be_there_still(complaint, driven) is asked
