"""Workings as printed, recomputed with a pencil: from the lines alone, in the units that stand there."""

from __future__ import annotations

import re
from math import acos, asin, atan, cos, degrees, pi, radians, sin, sqrt, tan
from typing import TYPE_CHECKING

import pytest

from reassembly.trade.catalogue import EVERY, named

if TYPE_CHECKING:
    from collections.abc import Callable

Printed = dict[str, float]
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def at_yield(i: Printed, mu: float) -> float:
    twist = 1.5 * (i["d2"] / i["d0"]) * (i["P"] / (pi * i["d2"]) + 1.155 * mu)
    load = 0.9 * i["Rp"] * i["As"] / sqrt(1 + 3 * twist**2)
    return load * (0.16 * i["P"] + 0.58 * i["d2"] * mu + mu * i["DKm"] / 2) / 1000


# name, what is typed where the example does not do, and the pencil's way to every number of the first line
BY_HAND: list[tuple[str, str, Callable[[Printed], tuple[float, ...]]]] = [
    ("convert", "", lambda i: (i["typed"] * i["factor"],)),
    ("convert", "value=350 °F|to=°C", lambda i: ((i["typed"] - 32) / 1.8,)),
    ("pitch diameter", "", lambda i: (i["d"] - 0.649519 * i["P"],)),
    ("stress area", "", lambda i: (pi / 4 * ((i["d2"] + i["d3"]) / 2) ** 2,)),
    ("stress area", "thread=3/8-16", lambda i: (pi / 4 * (i["d"] - 0.9743 * i["P"]) ** 2,)),
    ("proof load", "", lambda i: (i["proof stress"] * i["As"],)),
    ("tensile load", "", lambda i: (i["tensile strength"] * i["As"],)),
    ("torque at yield", "", lambda i: (at_yield(i, i["mu"]),)),
    ("torque window", "", lambda i: (at_yield(i, 0.08), at_yield(i, 0.20))),
    (
        "share of window",
        "",
        lambda i: (100 * i["torque"] / at_yield(i, 0.20), 100 * i["torque"] / at_yield(i, 0.08)),
    ),
    (
        "torque for preload",
        "preload=30000 N|thread=M10x1.25|friction=0.12",
        lambda i: (i["FM"] * (0.16 * i["P"] + 0.58 * i["d2"] * i["muG"] + i["muK"] * i["DKm"] / 2) / 1000,),
    ),
    (
        "preload from torque",
        "",
        lambda i: (i["MA"] * 1000 / (0.16 * i["P"] + 0.58 * i["d2"] * i["muG"] + i["muK"] * i["DKm"] / 2),),
    ),
    ("short preload", "", lambda i: (i["T"] / (i["K"] * i["d"] / 1000),)),
    (
        "wrench setting",
        "torque=60 Nm|lever=400|adapter=50|angle=45",
        lambda i: (i["torque"] * i["lever"] / (i["lever"] + i["adapter"] * cos(radians(i["angle"]))),),
    ),
    ("true torque", "", lambda i: (i["set"] / (1 + i["deviation"]), i["set"] / (1 - i["deviation"]))),
    ("place angle", "", lambda i: ((i["tooth"] - 1) * 360 / i["teeth"],)),
    ("teeth out", "", lambda i: (i["teeth out"] * 360 / i["teeth"],)),
    ("turned weight", "", lambda i: (2 * i["unbalance"] * sin(radians(i["angle"]) / 2),)),
    ("weight holes out", "", lambda i: (2 * i["unbalance"] * sin(radians(i["holes out"] * 360 / i["holes"]) / 2),)),
    ("unbalance force", "", lambda i: (i["unbalance"] / 1e6 * (2 * pi * i["speed"] / 60) ** 2,)),
    ("permissible unbalance", "", lambda i: (9549 * i["grade"] * i["mass"] / i["speed"],)),
    ("balance grade", "", lambda i: (i["unbalance"] * i["speed"] / (9549 * i["mass"]),)),
    (
        "split weight",
        "",
        lambda i: tuple(
            i["mass"] * sin(radians(angle)) / sin(radians(i["second"] - i["first"]))
            for angle in (i["second"] - i["wanted"], i["wanted"] - i["first"])
        ),
    ),
    ("clamps apart", "", lambda i: (degrees(2 * acos(i["wanted"] / (2 * i["head"]))),)),
    (
        "joint speed ratio",
        "angle=20|turned=30",
        lambda i: (cos(radians(i["b"])) / (1 - sin(radians(i["b"])) ** 2 * cos(radians(i["t"])) ** 2),),
    ),
    ("equal speed angle", "", lambda i: (degrees(atan(sqrt(cos(radians(i["b"]))))),)),
    ("bend plane", "", lambda i: (degrees(atan(tan(radians(i["plan"])) / tan(radians(i["side"])))),)),
    ("residual angle", "angles=6 4 2", lambda i: (sqrt(abs(i["b1"] ** 2 - i["b2"] ** 2 + i["b3"] ** 2)),)),
    ("joint acceleration", "", lambda i: ((2 * pi * i["speed"] / 60) ** 2 * radians(i["b"]) ** 2,)),
    (
        "critical speed",
        "",
        lambda i: (
            (30 / pi)
            * (pi / (i["length"] / 1000)) ** 2
            * sqrt(i["E"] * 1e9 * ((i["outer"] / 1000) ** 2 + (i["inner"] / 1000) ** 2) / (16 * i["density"])),
        ),
    ),
    ("tyre", "", lambda i: (i["rim"] * 25.4 + 2 * i["width"] * i["height"] / 100,)),
    ("wheel speed", "", lambda i: (i["road speed"] / 3.6 / i["roll-out"] * 60,)),
    ("slip", "", lambda i: (i["input speed"] - i["output speed"] * i["gear ratio"],)),
    ("oil expansion", "", lambda i: (i["volume"] * i["expansion"] * (i["end"] - i["start"]),)),
    ("level error", "", lambda i: (i["volume"] * i["expansion"] * (i["end"] - i["start"]),)),
    ("trial run", "", lambda i: _pencil_triangle(6, 40, 8, 110, i["trial"])),
    ("four runs", "", lambda i: (i["trial"] * i["original"] / 4.146,)),
]


def _pencil_triangle(one: float, at: float, two: float, after: float, trial: float) -> tuple[float, float]:
    """The drawn triangle: cosine rule for its third side, sine rule for the turn from the original."""
    effect = sqrt(one**2 + two**2 - 2 * one * two * cos(radians(after - at)))
    turn = degrees(asin(two * sin(radians(after - at)) / effect))  # between effect and the original, turned about
    return trial * one / effect, turn


def printed(name: str, typed: str) -> tuple[list[float], Printed]:
    """The numbers of the first line, and the inputs below by name, as far as they begin with a number."""
    computation = named(name)
    given = dict(pair.split("=", 1) for pair in typed.split("|")) if typed else computation.example
    first, *below = computation.of_text(given).workings.lines()
    inputs = {}
    for line in below:
        title, equals, text = line.partition(" = ")
        if equals and (number := _NUMBER.match(text)):
            inputs[title] = float(number[0])
    results = [float(number) for each in first.split(" = ")[0].split(", ") for number in _NUMBER.findall(each)[:1]]
    return results, inputs


@pytest.mark.parametrize(
    ("name", "typed", "pencil"), BY_HAND, ids=[f"{name} {typed}".strip() for name, typed, _ in BY_HAND]
)
def test_the_number_follows_from_the_lines_alone(
    name: str, typed: str, pencil: Callable[[Printed], tuple[float, ...]]
) -> None:
    results, inputs = printed(name, typed)
    found = pencil(inputs)
    assert results[: len(found)] == pytest.approx(found, rel=1e-3)  # four figures are printed


def test_the_check_digit_follows_from_the_values_and_weights_printed() -> None:
    lines = dict(line.split(" = ") for line in named("VIN").of_text({"VIN": "1ZZAB12C7DE100001"}).workings.lines()[1:7])
    values, weights = lines["values"].split(), lines["weights"].split()
    total = sum(int(value) * int(weight) for value, weight in zip(values, weights, strict=True) if value != "-")
    assert (total, total % 11) == (int(lines["sum"]), int(lines["remainder"])) == (260, 7)


def test_every_number_says_formula_inputs_and_source() -> None:
    for each in EVERY:
        result = each.of_text(each.example)
        for workings in (result.workings, *(found for _, found in result.also)):
            assert workings.formula, each.name
            assert workings.inputs, each.name
            assert workings.source, each.name
