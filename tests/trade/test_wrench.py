from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.quantity import of, value
from reassembly.trade.wrench import (
    Wrench,
    best,
    last_good_day,
    lowest_usable,
    setting_with_adapter,
    suitability,
    torque_through_adapter,
    true_torque_band,
)

# REFERENCES section 5a: torque, its unit, lever, adapter (inches), angle, setting, tolerance
ADAPTERS = [
    (300, "lbf.in", 10, 4, 0, 214, 0.5),  # US Army TM 1-1500-204-23-9
    (100, "lbf.in", 12, 6, 0, 66.7, 0.05),  # NAVEDTRA 14315
    (40, "lbf.ft", 12, 4, 0, 30, 1e-9),  # TM 9-2350-277
    (20, "N.m", 12, 3, 0, 16, 1e-9),  # an adapter maker's manual
    (60, "N.m", 12, 5, 90, 60, 1e-9),  # NAVEDTRA 14008: square changes nothing
    (60, "N.m", 12, 5, -90, 60, 1e-9),
    (60, "N.m", 12, 4, 180, 90, 1e-9),  # NAVEDTRA 14008, TM 1-1500: T L/(L - E)
    (60, "N.m", 12, 0, 0, 60, 1e-9),  # a straight extension on the drive axis changes nothing
]


@pytest.mark.parametrize(("torque", "unit", "lever", "adapter", "angle", "setting", "room"), ADAPTERS)
def test_the_setting_with_an_adapter_is_the_printed_one(
    torque: float, unit: str, lever: float, adapter: float, angle: float, setting: float, room: float
) -> None:
    found = setting_with_adapter(of(torque, unit), of(lever, "in"), of(adapter, "in"), angle)
    assert value(found.result, unit) == pytest.approx(setting, abs=room)


def test_the_torque_through_an_adapter_is_the_printed_one() -> None:
    # TM 9-254 (REFERENCES section 5a): a setting of 60 lbf.in with L 12, E 2 gives 70 lbf.in
    found = torque_through_adapter(of(60, "lbf.in"), of(12, "in"), of(2, "in"))
    assert value(found.result, "lbf.in") == pytest.approx(70)


@given(st.floats(1, 500), st.floats(100, 900), st.floats(0, 99), st.floats(-360, 360))
def test_setting_and_torque_undo_each_other(torque: float, lever: float, adapter: float, angle: float) -> None:
    long, short = of(lever, "mm"), of(adapter, "mm")
    setting = setting_with_adapter(of(torque, "N.m"), long, short, angle).result
    assert value(torque_through_adapter(setting, long, short, angle).result, "N.m") == pytest.approx(torque)


def test_lengths_may_be_in_any_units() -> None:
    found = setting_with_adapter(of(60, "N.m"), of(15, "in"), of(38.1, "mm"))
    assert value(found.result, "N.m") == pytest.approx(60 * 15 / 16.5)
    assert found.lines()[0] == "54.55 N.m = torque x lever / (lever + adapter x cos angle)"


@pytest.mark.parametrize(
    ("lever", "adapter", "angle", "why"),
    [
        (100, 100, 180, "adapter of 100 mm at 180 deg leaves no lever of 100 mm"),
        (100, 150, 180, "leaves no lever"),
        (100, 150, 140, "leaves no lever"),
        (0, 50, 0, "a lever of 0 mm is none"),
        (-300, 50, 0, "a lever of -300 mm is none"),
        (300, -50, 0, "an adapter of -50 mm is none"),
        (300, 50, 400, "0 is straight out"),
        (float("nan"), 50, 0, "is none"),
        (300, 50, float("nan"), "0 is straight out"),
    ],
)
def test_where_the_formula_has_no_answer_it_is_refused(lever: float, adapter: float, angle: float, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        setting_with_adapter(of(60, "N.m"), of(lever, "mm"), of(adapter, "mm"), angle)
    with pytest.raises(ValueError, match=why):
        torque_through_adapter(of(60, "N.m"), of(lever, "mm"), of(adapter, "mm"), angle)


# ISO 6789 (REFERENCES section 5b): 4 % above 10 N.m, 6 % up to it; at 100 N.m the true torque is 96.15-104.17
@pytest.mark.parametrize(
    ("setting", "least", "most"), [(100, 96.15, 104.17), (10, 10 / 1.06, 10 / 0.94), (10.1, 10.1 / 1.04, 10.1 / 0.96)]
)
def test_the_true_torque_lies_in_the_band_of_the_standard(setting: float, least: float, most: float) -> None:
    low, high = true_torque_band(of(setting, "N.m"))
    assert value(low.result, "N.m") == pytest.approx(least, abs=0.005)
    assert value(high.result, "N.m") == pytest.approx(most, abs=0.005)


T3 = Wrench("T3", "40 N.m", "200 N.m")


def test_the_lowest_usable_setting_is_a_fifth_of_full_scale_or_the_lowest_mark() -> None:
    assert value(lowest_usable(T3).result, "N.m") == pytest.approx(40)
    assert value(lowest_usable(replace(T3, low="10")).result, "N.m") == pytest.approx(40)
    assert value(lowest_usable(replace(T3, low="60")).result, "N.m") == pytest.approx(60)


@pytest.mark.parametrize(
    ("torque", "change", "says"),
    [
        ("40 N.m", {}, None),
        ("200 N.m", {}, None),
        ("147 lbf.ft", {}, None),
        ("201 N.m", {}, "201 N.m is above its range, which ends at 200 N.m"),
        ("150 lbf.ft", {}, "150 lbf.ft (203.4 N.m) is above its range, which ends at 200 N.m"),
        ("39.9 N.m", {}, "39.9 N.m is below its range, which begins at 40 N.m"),
        ("30 N.m", {"low": "20 N.m"}, "30 N.m is below a fifth of its full scale, 40 N.m"),
        ("60 N.m", {"doubt": "was not calibrated"}, "was not calibrated"),
        ("60 N.m", {"high": "big"}, "its range cannot be read: big does not begin with a number"),
        ("60 N.m", {"high": "200", "low": "40"}, "its range cannot be read: 200 has no unit"),
        ("60 N.m", {"high": "200", "low": "40 N.m"}, None),
        ("60 N.m", {"low": "40"}, None),
        ("60 N.m", {"low": "300 N.m"}, "its range cannot be read: T3 runs from 300 N.m to 200 N.m"),
    ],
)
def test_a_wrench_is_suitable_or_says_why_not(torque: str, change: dict[str, str], says: str | None) -> None:
    number, unit = torque.split()
    reasons = suitability(replace(T3, **change), of(float(number), unit))  # type: ignore[arg-type]
    assert len(reasons) == (says is not None)
    assert says is None or reasons[0].startswith(says)


def test_a_wrench_wears_out_by_cycles_as_well_as_by_date() -> None:
    # 5000 cycles or 12 months, whichever comes first (REFERENCES section 5b)
    assert suitability(T3, of(60, "N.m"), 4999) == []
    assert suitability(T3, of(60, "N.m"), 5000) == [
        "it has done 5000 cycles since its calibration, and 5000 are allowed"
    ]
    assert len(suitability(T3, of(60, "N.m"), 2500)) == 0
    assert len(suitability(replace(T3, cycles_allowed=2500), of(60, "N.m"), 2500)) == 1


def test_every_reason_is_given_not_only_the_first() -> None:
    worn = replace(T3, doubt="was not calibrated")
    assert len(suitability(worn, of(300, "N.m"), 6000)) == 3


@pytest.mark.parametrize(
    ("calibrated", "until"),
    [("2025-03-31", "2026-03-31"), ("2024-02-29", "2025-02-28"), ("2025-12-01", "2026-12-01")],
)
def test_a_calibration_holds_twelve_months(calibrated: str, until: str) -> None:
    assert last_good_day(date.fromisoformat(calibrated)).isoformat() == until


def test_a_calibration_may_hold_for_fewer_months_in_a_shop() -> None:
    assert last_good_day(date(2025, 8, 31), 6) == date(2026, 2, 28)
    with pytest.raises(ValueError, match="at least one month"):
        last_good_day(date(2025, 8, 31), 0)


RACK = (
    Wrench("T1", "5 N.m", "25 N.m"),
    Wrench("T2", "20 N.m", "100 N.m"),
    T3,
    Wrench("T4", "60 N.m", "340 N.m", "was out of calibration since 2025-12-31"),
    Wrench("T5", "20 lbf.ft", "150 lbf.ft"),
)


def test_the_best_wrench_works_nearest_the_middle_of_its_best_range() -> None:
    choice = best(RACK, of(110, "N.m"))
    assert choice.best == T3
    assert {wrench.name: why for wrench, why in choice.others} == {
        "T1": ("110 N.m is above its range, which ends at 25 N.m",),
        "T2": ("110 N.m is above its range, which ends at 100 N.m",),
        "T4": ("was out of calibration since 2025-12-31",),
        "T5": ("it would work at 54 % of its full scale, T3 at 55 %; 30 % to 80 % is best",),
    }


def test_a_worn_wrench_gives_way_to_the_next_best() -> None:
    choice = best(RACK, of(110, "N.m"), {"T3": 5000})
    assert choice.best is not None
    assert choice.best.name == "T5"
    assert (T3, ("it has done 5000 cycles since its calibration, and 5000 are allowed",)) in choice.others


def test_without_a_suitable_wrench_there_is_none_and_each_says_why() -> None:
    choice = best(RACK, of(900, "N.m"))
    assert choice.best is None
    assert [wrench for wrench, _ in choice.others] == list(RACK)
    assert all(why for _, why in choice.others)
    assert best((), of(60, "N.m")).best is None


@given(st.floats(1, 400), st.integers(0, 6000))
def test_the_best_is_suitable_and_nobody_is_forgotten(torque: float, cycles: int) -> None:
    counted = dict.fromkeys(["T1", "T3"], cycles)
    choice = best(RACK, of(torque, "N.m"), counted)
    names = [wrench.name for wrench, _ in choice.others] + ([choice.best.name] if choice.best else [])
    assert sorted(names) == [wrench.name for wrench in RACK]
    if choice.best:
        assert suitability(choice.best, of(torque, "N.m"), counted.get(choice.best.name, 0)) == []
    else:
        assert all(suitability(w, of(torque, "N.m"), counted.get(w.name, 0)) for w in RACK)
