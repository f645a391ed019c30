"""Every computation can be named, runs on its own example, and leaves none of the trade out."""

from __future__ import annotations

import importlib
import inspect
import json
import pkgutil
import sys
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import reassembly.trade
from reassembly.trade.catalogue import EVERY, named
from reassembly.trade.computation import fold
from reassembly.trade.inputs import KINDS, understand
from reassembly.trade.quantity import value
from reassembly.trade.units import UNITS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.trade.computation import Computation

every = pytest.mark.parametrize("computation", EVERY, ids=lambda c: c.name)


@every
def test_its_own_example_runs_and_gives_result_formula_inputs_and_source(computation: Computation) -> None:
    result = computation.of_text(computation.example)
    for workings in (result.workings, *(each for _, each in result.also)):
        assert workings.formula
        assert workings.inputs
        assert workings.source
        assert "" not in workings.lines()
        json.dumps(workings.as_json())


@every
def test_every_input_has_an_example_that_can_be_read(computation: Computation) -> None:
    for each in computation.inputs:
        assert each.kind in KINDS or each.kind in UNITS
        understand(each.example, each.kind, each.unit)
        if each.default:
            understand(each.default, each.kind, each.unit)


def test_no_name_means_two_things() -> None:
    names = [fold(name) for each in EVERY for name in dict.fromkeys(map(fold, (each.name, *each.also)))]
    assert sorted(names) == sorted(set(names))
    for each in EVERY:
        inputs = [name for i in each.inputs for name in dict.fromkeys(map(fold, (i.name, *i.also)))]
        assert sorted(inputs) == sorted(set(inputs)), each.name


# Told in words, or used inside another computation under a name of its own.
NOT_BY_NAME: dict[str, str] = {}


def functions() -> Iterator[tuple[str, Any]]:
    """Every public function and property of the trade that gives workings, with its code."""
    for module in pkgutil.iter_modules(reassembly.trade.__path__):
        if module.name.startswith(("catalogue", "computation", "inputs", "workings")):
            continue
        loaded = importlib.import_module(f"reassembly.trade.{module.name}")
        for name, found in vars(loaded).items():
            if inspect.isfunction(found) and found.__module__ == loaded.__name__ and not name.startswith("_"):
                yield f"{module.name}.{name}", found
            if inspect.isclass(found) and found.__module__ == loaded.__name__:
                for own, member in vars(found).items():
                    if isinstance(member, property):
                        yield f"{module.name}.{name}.{own}", member.fget


def test_every_public_function_that_gives_workings_can_be_run_by_name() -> None:
    called = set()

    def note(frame: Any, event: str, argument: Any) -> None:
        if event == "call":
            called.add(frame.f_code)

    sys.setprofile(note)
    try:
        for computation in EVERY:
            computation.of_text(computation.example)
    finally:
        sys.setprofile(None)
    giving = {name: found for name, found in functions() if "Workings" in str(found.__annotations__.get("return"))}
    assert len(giving) > 60
    assert {name for name, found in giving.items() if found.__code__ not in called} == set(NOT_BY_NAME)


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("stress area", "stress area"),
        ("Stress-Area", "stress area"),
        ("STRESS_AREA", "stress area"),
        ("stress", "stress area"),
        ("residual", "residual angle"),
        ("T=KdF", "short torque"),
        ("vin", "VIN"),
        ("dtc", "trouble code"),
        ("vibration", "vibration suspects"),
    ],
)
def test_names_are_found_as_people_type_them(name: str, found: str) -> None:
    assert named(name).name == found


@pytest.mark.parametrize(
    ("name", "said"),
    [("strss area", "stress area"), ("load", "proof load, yield load, tensile load"), ("horoscope", "lists them all")],
)
def test_a_name_that_is_none_is_told_with_the_nearest(name: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        named(name)


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("stress area", {"pitch": "1.5"}, "stress area has no pitch: it takes thread"),
        ("proof load", {"thread": "M10"}, "proof load needs class too: for example class=10.9"),
        ("proof load", {"thread": "M10", "class": "8.8", "grade": "8.8"}, "class was given twice"),
        ("proof load", {"thread": "M10", "class": "11.9"}, "class: 11.9 is not in the table"),
        ("tooth angle", {"teeth": "1"}, "1 teeth make no circle"),
        ("tooth angle", {"teeth": "16.5"}, "teeth: 16.5 is not a whole number"),
        ("joint speed ratio", {"angle": "90"}, "a joint at 90 deg cannot turn"),
        ("residual angle", {"angles": "3,5"}, "3,5 can be one angle or two: type 3.5, or 3 5"),
        ("critical speed", {"length": "1 m", "outer": "70", "inner": "60", "wall": "5"}, "leave one of them out"),
        ("critical speed", {"length": "1 m", "outer": "70", "material": "brass"}, "brass is not in the table"),
        ("slip", {"input": "-3", "output": "2", "gear": "1"}, "input speed: -3: a rotational speed is not below"),
        ("short torque", {"F": "30 kN", "d": "ten", "K": "0.2"}, "diameter: ten does not begin with a number"),
        ("short torque", {"F": "30 kN", "d": "M10", "K": "1,200"}, "1,200 can mean 1200 or 1.200"),
        ("vibration orders", {"axle": "3.7"}, "nothing can be told"),
        ("convert", {"value": "5 N.m", "to": "parsec"}, "parsec is no unit that is known here"),
        ("convert", {"value": "60 lb", "to": "N.m"}, "pounds alone are a force"),
        ("trial run", {"original": "7", "with trial": "5 at 70", "trial": "10 g"}, "type amplitude and angle"),
        ("trouble code bytes", {"bytes": "07"}, "type four signs"),
        ("calibration", {"calibrated": "14.3.2026"}, "type year-month-day"),
    ],
)
def test_bad_input_is_refused_in_one_sentence(name: str, typed: dict[str, str], said: str) -> None:
    with pytest.raises(ValueError, match=said.replace("(", r"\(")):
        named(name).of_text(typed)


def test_a_bare_number_takes_the_unit_shown_and_it_is_said() -> None:
    result = named("unbalance").of_text({"mass": "10", "radius": "100"})
    assert result.remarks == ("10 was taken as 10 g", "100 was taken as 100 mm")
    assert value(result.workings.result, "g.mm") == pytest.approx(1000)


@pytest.mark.parametrize(
    ("name", "typed", "unit", "expected"),
    [
        ("unbalance force", {"mass": "10 g", "radius": "100 mm", "speed": "3000 rpm"}, "N", 98.696),
        ("unbalance force", {"unbalance": "1000 g.mm", "speed": "50 Hz"}, "N", 98.696),
        ("unbalance force", {"unbalance": "10 g at 100 mm", "n": "3000"}, "N", 98.696),
        ("wheel speed", {"speed": "96.56 km/h", "rollout": "2.0735 m"}, "rpm", 776.1),
        ("critical speed", {"L": "1.5 m", "OD": "76.2", "wall": "1.65"}, "rpm", 5678.1),
        (
            "critical speed",
            {"L": "1.143 m", "OD": "88.9", "ID": "84.68", "E": "200 GPa", "rho": "7850"},
            "rpm",
            11176.7,
        ),
        ("convert", {"value": "3000 rpm", "to": "Hz"}, "Hz", 50),
        ("convert", {"value": "212 °F", "to": "°C"}, "°C", 100),
        ("residual angle", {"angles": "3 deg; 5 deg"}, "deg", 4),
        ("residual angle", {"angles": "3 5"}, "deg", 4),
        ("working angle", {"side": "-3", "plan": "4"}, "deg", 4.994),
    ],
)
def test_inputs_may_be_given_as_they_are_at_hand(name: str, typed: dict[str, str], unit: str, expected: float) -> None:
    # values: REFERENCES sections 1, 7, 8, 9, 10; 212 °F and 3000 rpm by definition
    assert value(named(name).of_text(typed).workings.result, unit) == pytest.approx(expected, rel=2e-4)


WORDS = [  # results that are words, each by hand
    ("clock from other side", {"clock": "4 seen from the front"}, "8 o'clock seen from the rear"),
    ("VIN", {"VIN": "1M8GDM9AXKP042788"}, "X"),
    ("calibration", {"calibrated": "2024-02-29", "months": "12"}, "2025-02-28"),
    ("head mark", {"class": "SAE 5"}, "three lines"),
    ("noted and found", {"noted": "3/16", "found": "3/16"}, "the same place"),
    ("registration", {"one": "AB 1O3", "other": "AB 103"}, "look-alike"),
    ("trouble code bytes", {"bytes": "0xC100"}, "U0100: network; standard code"),
]


@pytest.mark.parametrize(("name", "typed", "result"), WORDS, ids=[row[0] for row in WORDS])
def test_results_in_words(name: str, typed: dict[str, str], result: str) -> None:
    assert named(name).of_text(typed).workings.result == result


def test_the_workings_of_a_check_digit_can_be_recomputed() -> None:
    # sample of 49 CFR 565.15(c): sum 411, remainder 4
    inputs = named("VIN").of_text({"VIN": "1G4AH59H45G118341"}).workings.inputs
    assert (inputs["sum"], inputs["remainder"]) == (411, 4)


CONVERTED = [  # NIST SP 811, and by definition
    ("62 ft lbs", "N.m", 84.0607),
    ("1 ozf.in", "N.m", 7.061552e-3),
    ("1 kgf.m", "lbf.ft", 7.2330),
    ("1200 cpm", "Hz", 20),
    ("1200 rpm", "cpm", 1200),
    ("100 rad/s", "rpm", 954.93),
    ("1 turn", "deg", 360),
    ("1 oz.in", "g.mm", 720.0779),
    ("5 kg", "lb", 11.0231),
    ("212 °F", "K", 373.15),
]


@pytest.mark.parametrize(("typed", "to", "expected"), CONVERTED)
def test_a_quantity_is_converted_and_its_factor_does_the_same(typed: str, to: str, expected: float) -> None:
    found = named("convert").of_text({"value": typed, "to": to}).workings
    assert value(found.result, to) == pytest.approx(expected, rel=1e-5)
    if "factor" in found.inputs:
        assert float(found.inputs["typed"].m) * found.inputs["factor"] == pytest.approx(expected, rel=1e-5)  # type: ignore[attr-defined,operator]


@pytest.mark.parametrize("fahrenheit", [-40, 32, 98.6, 212])
def test_the_formula_shown_for_a_temperature_is_the_one_that_was_used(fahrenheit: float) -> None:
    for typed, one, other in ((fahrenheit, "°F", "°C"), ((fahrenheit - 32) / 1.8, "°C", "°F")):
        found = named("convert").of_text({"value": f"{typed:.6f} {one}", "to": other}).workings
        by_hand = eval(found.formula.replace("x", "*"), {"typed": typed})
        assert value(found.result, other) == pytest.approx(by_hand, abs=1e-4)


@given(st.sampled_from(EVERY), st.data())
def test_whatever_is_typed_is_computed_or_refused_in_one_line(computation: Computation, data: st.DataObject) -> None:
    text = st.one_of(
        st.text(max_size=70), st.sampled_from([i.example for c in EVERY for i in c.inputs] + ["0", "-1", "1e9"])
    )
    typed = {each.name: data.draw(text) for each in computation.inputs}
    try:
        result = computation.of_text(typed)
    except ValueError as why:
        assert len(f"{why}".splitlines()) == 1  # noqa: PT017 - either way is right
    else:
        json.dumps(result.workings.as_json())
