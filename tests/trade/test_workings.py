import json

import pytest

from reassembly.trade.quantity import of
from reassembly.trade.workings import Workings

SETTING = Workings(
    of(54.54545454, "N.m"),
    "torque x lever / (lever + adapter)",
    {"torque": of(60, "N.m"), "lever": of(380, "mm"), "teeth": 27, "side": "front"},
    "a manual",
    note="straight",
)


def test_workings_are_shown_line_by_line_with_units() -> None:
    assert SETTING.lines() == [
        "54.55 N.m = torque x lever / (lever + adapter)",
        "torque = 60 N.m",
        "lever = 380 mm",
        "teeth = 27",
        "side = front",
        "source: a manual",
        "note: straight",
    ]


def test_json_keeps_what_the_lines_round() -> None:
    told = json.loads(json.dumps(SETTING.as_json()))
    assert told["result"] == {"value": 54.54545454, "unit": "N.m"}
    assert told["inputs"]["teeth"] == 27
    assert (told["formula"], told["source"], told["note"]) == (SETTING.formula, "a manual", "straight")


@pytest.mark.parametrize(
    ("number", "shown"), [(48099.6, "48100"), (0.0012345, "0.001234"), (100.0, "100"), (0.0, "0"), (-2.5, "-2.5")]
)
def test_a_long_number_is_shown_to_four_figures_without_exponent(number: float, shown: str) -> None:
    assert Workings(number, "", {}, "").lines()[0] == f"{shown} = "


def test_several_numbers_and_an_unlisted_unit_are_shown_too() -> None:
    assert Workings((1, 2.5), "", {"area": of(58.0, "mm**2")}, "").lines()[:2] == ["1, 2.5 = ", "area = 58 mm²"]
