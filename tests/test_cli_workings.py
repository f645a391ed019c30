"""`reassembly workings`: lists, describes and runs every computation, in words and as data."""

from __future__ import annotations

import json
import shlex
from typing import Any

import pytest
from click.testing import CliRunner, Result

from reassembly.cli import main
from reassembly.trade.catalogue import EVERY


def run(*words: str) -> Result:
    result = CliRunner().invoke(main, ["workings", *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


def data(*words: str) -> Any:
    result = run(*words, "--json")
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def test_the_list_names_every_computation_with_an_example_that_runs_as_it_stands() -> None:
    listed = run()
    assert listed.exit_code == 0
    examples = [line.strip() for line in listed.stdout.splitlines() if line.strip().startswith("reassembly workings")]
    assert len(examples) == len(EVERY)
    for example in examples:
        program, command, *words = shlex.split(example)
        assert (program, command) == ("reassembly", "workings")
        found = data(*words)
        assert found["formula"], example
        assert found["inputs"], example
        assert found["source"], example


def test_the_list_as_data_says_what_each_takes() -> None:
    listed = data()
    assert [each["name"] for each in listed] == [each.name for each in EVERY]
    proof = next(each for each in listed if each["name"] == "proof load")
    assert [(i["name"], i["needed"], i["example"]) for i in proof["inputs"]] == [
        ("thread", True, "M10x1.25"),
        ("class", True, "10.9"),
    ]


@pytest.mark.parametrize("words", [("critical-speed",), ("critical", "speed"), ("Critical speed",)])
def test_a_name_alone_tells_what_it_takes(words: tuple[str, ...]) -> None:
    told = run(*words)
    assert told.exit_code == 0
    for word in ("length=1500 mm", "wall=1.65 mm", "may be left out", "steel if left out", "GPa", "Example:"):
        assert word in told.stdout


def test_words_give_result_formula_inputs_and_source() -> None:
    told = run("stress-area", "thread=M8x1")
    assert told.stdout.splitlines() == [
        "stress area",
        "  39.17 mm² = pi/4 ((d2 + d3)/2)^2",
        "  d = 8 mm",
        "  P = 1 mm",
        "  d2 = 7.35 mm",
        "  d3 = 6.773 mm",
        "  source: ISO 898-1",
    ]


def test_data_give_exact_numbers_with_their_units_and_what_was_assumed() -> None:
    found = data("stress-area", "thread=M10")
    assert found["name"] == "stress area"
    assert found["result"] == {"value": pytest.approx(57.99, abs=0.005), "unit": "mm²"}
    assert found["inputs"]["P"] == {"value": 1.5, "unit": "mm"}
    assert found["assumed"] == ["no pitch typed: M10 has the coarse one, 1.5 mm"]
    assert found["also"] == []


def test_numbers_on_the_way_stand_beside_the_answer() -> None:
    found = data("vibration", "felt=22 Hz", "speed=50 km/h", "rollout=1.984 m", "axle=3.08")
    assert found["result"][0].startswith("good fit: propeller shaft order 1")
    shaft = next(each for each in found["also"] if each["title"] == "propeller shaft order 1")
    assert shaft["result"] == {"value": pytest.approx(21.56, abs=0.01), "unit": "Hz"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["horoscope"], "Error: no computation is called horoscope: reassembly workings lists them all."),
        (["strss-area", "thread=M8"], "Error: no computation is called strss-area: is it stress area?"),
        (["thread=M8"], "Error: Name the computation before its inputs: reassembly workings lists them."),
        (["proof-load", "thread=M8"], "Error: proof load needs class too: for example class=10.9."),
        (["proof-load", "thread=M8", "thread=M9"], "Error: thread was given twice: once is enough."),
        (
            ["tooth-angle", "teeth=\x1b[2J"],
            "Error: teeth: \ufffd[2J is not a whole number: count them and type the number.",
        ),
    ],
)
def test_bad_input_is_one_sentence_and_exit_code_2(words: list[str], said: str) -> None:
    result = run(*words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.strip() == said


def test_what_was_assumed_does_not_disturb_what_is_printed() -> None:
    result = run("tooth-angle", "teeth=16")
    assert result.stderr == ""
    result = run("joint-acceleration", "speed=1500", "angle=7.295")
    assert "1500 was taken as 1500 rpm" in result.stderr
    assert "taken" not in result.stdout
