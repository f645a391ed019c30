"""What a tired person types into `reassembly workings`: a clear sentence, or the number with what was assumed."""

from __future__ import annotations

import json
from itertools import product
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from reassembly.cli import main
from reassembly.trade.catalogue import EVERY

if TYPE_CHECKING:
    from reassembly.trade.computation import Computation

REFUSED = {
    # unit
    "convert|value=85|to=N.m": "85 has no unit: type for example 85 N.m",
    "convert|value=85 mN|to=N.m": "mN is not a unit of torque",
    "convert|value=85 Newton|to=N.m": "newtons alone are a force: type N.m",
    "convert|value=62 lb|to=N.m": "pounds alone are a force: type lbf.ft or lbf.in",
    "convert|value=62 lb/ft|to=N.m": "that is a force per length: for a torque type lbf.ft",
    "convert|value=85-90 Nm|to=lbf.ft": "type one value and its unit; a range or a tolerance goes in the note",
    "wrench setting|torque=80 mm|lever=400|adapter=50": "torque: 80 mm: mm is not a unit of torque",
    "wrench setting|torque=80 Nm|lever=400 Nm|adapter=50": "lever: 400 Nm: N.m is a torque",
    "critical speed|length=1.5|outer=76|inner=72": "1.5 mm long and 76 mm across is no shaft: is the unit right?",
    "wheel speed|road speed=100|rollout=2200": "2200 m is no turn of a tyre: type it with its unit",
    "shaft speed|wheel speed=800|axle ratio=373": "is the decimal point missing?",
    "oil expansion|volume=9|from=20|to=90|expansion=7": "7 /K is no expansion that oil has",
    # number
    "convert|value=1,234 Nm|to=lbf.ft": "can mean 1234 or 1.234: type one of the two",
    "convert|value=1.234,5 Nm|to=lbf.ft": "type it without thousands signs",
    "convert|value=-5 Nm|to=lbf.ft": "a torque is not below nothing: leave out the minus",
    "convert|value=1e9 Nm|to=lbf.ft": "write the number out in full, without an exponent",
    "convert|value=８５ Nm|to=lbf.ft": "the digits are not 0 to 9",
    "convert|value=|to=lbf.ft": "convert needs value too: for example value=85 Nm",
    "convert|value=nan|to=N.m": "nan does not begin with a number",
    "torque at yield|thread=M10|class=8.8|friction=12": "a friction of 12 is none that steel has",
    "calibration|calibrated=2026-03-14|months=999999": "a calibration of 999999 months is none",
    "calibration|calibrated=14.03.2026": "type year-month-day",
    # thread and class
    "thread|thread=10x1.25": "is it M10x1.25?",
    "thread|thread=10mm": "is it M10? A metric thread begins with M",
    "thread|thread=3/8 x 24": "is 24 the threads per inch or the length? Type 3/8-24, or 3/8-16 x 24",
    "thread|thread=3/8-16 UNF": "3/8-16 is UNC, and UNF has 24 threads an inch",
    "thread|thread=M13": "the nearest are M12x1.75 and M14x2",
    "thread|thread=M10x0": "leaves no core in M10",
    "thread|thread=1/0": "nothing can be divided by 0",
    "proof load|thread=M10|class=8": "grade 8 does not go with the metric thread M10: type a class such as 8.8",
    "proof load|thread=3/8-16|class=8.8": "8.8 does not go with the inch thread 3/8-16 UNC",
    "proof load|thread=M10|class=88": "88 is not in the table of classes",
    # tooth and hole
    "tooth angle|teeth=0": "0 teeth make no circle to count round",
    "tooth angle|teeth=2,5": "2,5 is not a whole number",
    "place angle|place=tooth 17 of 16": "there is no tooth 17 of 16",
    "place angle|place=3": "of how many?",
    "teeth out|out=17|teeth=16": "17 teeth out on a circle of 16 cannot be",
    "weight holes out|unbalance=14 g at 45 mm|out=9|holes=8": "9 holes out on a circle of 8 cannot be",
    "noted and found|noted=tooth 3 of 16|found=tooth 3 of 18": "are not on one circle",
    "noted and found|noted=tooth 3 of 16|found=hole 3 of 16": "tooth 3 of 16 and hole 3 of 16 are not on one circle",
    # side
    "clock from other side|clock=4": "seen from which side?",
    "clock angle|clock=13": "the hour is 1 to 12",
    "clock angle|clock=4.5 from front": "half past is typed 4:30",
    # what cannot be
    "wrench setting|torque=80 Nm|lever=400|adapter=500|angle=180": "leaves no lever of 400 mm: turn it outwards",
    "unbalance|mass=0|radius=45": "a mass of 0 g cannot be",
    "joint speed ratio|angle=90": "a joint at 90 deg cannot turn",
    "largest second joint|speed=3000|first=3|acceleration=-4": "is below nothing",
    "critical speed|length=1500|outer=76|inner=72|modulus=-207": "a material without stiffness or weight cannot be",
    "critical speed|length=1500|outer=76|inner=72|density=0": "a material without stiffness or weight cannot be",
    "planetary ratio|sun=72|ring=30": "the ring has more",
    "level error|volume=9 l|measured=60|low=45|high=35": "upside down",
    "residual angle|angles=3,5": "can be one angle or two",
    "unevenness of order|layout=circle 8|order=1 2 3 4 5 6 7 7": "7 is there more than once; 8 is missing",
    "trouble code|code=P735": "is not a trouble code",
    "VIN|VIN=1M8GDM9AXKP04278O": "position 17 is the letter O, which a VIN never has: is it 0?",
}

TAKEN = {  # what is meant is certain: the number in N.m, mm or deg
    "convert|value=85 NM|to=N.m": 85,
    "convert|value=62 ft lb|to=lbf.ft": 62,
    "convert|value=62 lb-ft|to=lbf.ft": 62,
    "convert|value=8,5 mkg|to=kgf.m": 8.5,
    "pitch diameter|thread=M10 x 1,25": 10 - 0.649519 * 1.25,
    "pitch diameter|thread=m10×1.25": 10 - 0.649519 * 1.25,
    "place angle|place=hole 3 of 8": 90,
    "shaft speed|wheel speed=1100|axle ratio=41:11": 4100,
    "turned weight|unbalance=14 g at 45|angle=360": 0,
}

ASSUMED = {  # what was assumed is said
    "thread|thread=3/8": "no pitch typed: 3/8-16 UNC has the coarse one",
    "thread|thread=M10x1.3": "M10x1.3 is not a standard size: the nearest are M10x1.25 and M10x1.5",
    "thread|thread=#0-32": "the nearest are #0-80 and #1-64",
    "torque check|thread=M10|class=10.9|torque=60": "60 was taken as 60 N.m",
    "turned weight|unbalance=14 at 45|angle=30": "14 at 45 was taken as 14 g at 45 mm",
    "short torque|preload=40|diameter=M10|factor=0.2": "40 was taken as 40 N",
}


def run(typed: str, *flags: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["workings", *typed.split("|"), *flags])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result.exit_code, result.stdout, result.stderr


@pytest.mark.parametrize(("typed", "sentence"), REFUSED.items(), ids=list(REFUSED))
def test_a_slip_is_refused_in_a_sentence(typed: str, sentence: str) -> None:
    code, told, refused = run(typed)
    assert (code, told) == (2, "")
    assert sentence in refused


@pytest.mark.parametrize(("typed", "number"), TAKEN.items(), ids=list(TAKEN))
def test_what_can_mean_one_thing_only_is_taken(typed: str, number: float) -> None:
    code, told, refused = run(typed, "--json")
    assert code == 0, refused
    assert json.loads(told)["result"]["value"] == pytest.approx(number)


@pytest.mark.parametrize(("typed", "sentence"), ASSUMED.items(), ids=list(ASSUMED))
def test_what_was_assumed_is_said(typed: str, sentence: str) -> None:
    code, _, remarks = run(typed)
    assert code == 0
    assert sentence in remarks
    code, told, _ = run(typed, "--json")
    assert any(sentence in remark for remark in json.loads(told)["assumed"])


SLIPS = ("", " ", "-5", "85", "1e9", "0", "９９", "nan", "x" * 200, "85 NM", "-", "1/0", "\x00", "P", "M", "3;;", "at")


@pytest.mark.parametrize("computation", EVERY, ids=[each.name for each in EVERY])
def test_no_slip_in_any_input_gets_past_a_sentence(computation: Computation) -> None:
    """Each input in turn takes each slip, the others their examples: a number or a sentence of our own comes out."""
    for name, slip in product((each.name for each in computation.inputs), SLIPS):
        found, refused = outcome(computation, {**computation.example, name: slip})
        assert not {"nan", "inf", "-inf"} & set(found.split()), (name, slip, found)
        assert not refused.startswith(("math domain", "year ", "could not", "invalid literal")), (name, slip, refused)


def outcome(computation: Computation, typed: dict[str, str]) -> tuple[str, str]:
    """Its workings, or the sentence that refused; any other error goes on."""
    try:
        return "\n".join(computation.of_text(typed).workings.lines()), ""
    except ValueError as refused:
        return "", str(refused)
