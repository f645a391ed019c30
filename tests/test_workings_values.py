"""Check values from outside the reference list, each through `reassembly workings ... --json`.

`how` says where a value comes from: "hand", recomputed with a pencil from the definition that is named; "memory", a
printed table as remembered, not looked up again; "definition", exact by the definition of the unit.
"""

from __future__ import annotations

import json
from cmath import phase, rect
from math import degrees, pi, radians
from typing import Any, NamedTuple

import pytest
from click.testing import CliRunner

from reassembly.cli import main

NIST = "definition: NIST SP 811 B.8"
ISO724 = "hand: d - 0.649519 P, d - 1.082532 P, d - 1.226869 P of ISO 724"
ISO898 = "memory: nominal stress area as printed in ISO 898-1"
B11 = "memory: stress area as printed in ASME B1.1"
PROOF = "memory: proof load as printed in ISO 898-1"
BREAK = "memory: least tensile load as printed in ISO 898-1"
J429 = "memory: proof load as printed after SAE J429"
VDI = "memory: table A1 of VDI 2230:2003, friction 0.12"
ADAPTER = "hand: T L / (L + E cos a)"
GEOMETRY = "hand: 360 deg / count"
GRADE = "hand: ISO 21940-11, 1000 G m / (2 pi n / 60)"
CARDAN = "hand: cos b, 1 / cos b, tan b sin b"
SIZE = "hand: rim x 25.4 + 2 x width x height"
FEDERAL = "hand: 49 CFR 565.15, values and weights summed by hand; invented numbers"
BITS = "hand: ISO 15031-6, two bits letter, two bits digit, three hex digits"


class Row(NamedTuple):
    """What is typed, the number and unit that come out, how far off they may be (relative), and where it is from."""

    typed: str
    expected: float | str
    unit: str
    within: float
    how: str


EXACT = 1e-12
ROWS = (
    Row("convert|value=100 lbf.ft|to=N.m", 135.58179483314004, "N.m", EXACT, NIST),
    Row("convert|value=12 lbf.ft|to=lbf.in", 144, "lbf.in", EXACT, NIST),
    Row("convert|value=1 kgf.m|to=lbf.ft", 7.233013851, "lbf.ft", 1e-9, NIST),
    Row("convert|value=50 cNm|to=ozf.in", 70.80596, "ozf.in", 1e-6, NIST),
    Row("convert|value=16 ozf.in|to=lbf.in", 1, "lbf.in", EXACT, NIST),
    Row("convert|value=5 daNm|to=N.m", 50, "N.m", EXACT, NIST),
    Row("convert|value=250 kgf.cm|to=N.m", 24.516625, "N.m", EXACT, NIST),
    Row("convert|value=25 thou|to=mm", 0.635, "mm", EXACT, NIST),
    Row("convert|value=3 1/2 in|to=mm", 88.9, "mm", EXACT, NIST),
    Row("convert|value=60 mph|to=km/h", 96.56064, "km/h", EXACT, NIST),
    Row("convert|value=350 °F|to=°C", 176.6667, "°C", 1e-6, NIST),
    Row("convert|value=-40 °C|to=°F", -40, "°F", 1e-9, NIST),
    Row("convert|value=37 °C|to=K", 310.15, "K", EXACT, NIST),
    Row("convert|value=1 US qt|to=l", 0.946352946, "l", EXACT, NIST),
    Row("convert|value=1 imp gal|to=l", 4.54609, "l", EXACT, NIST),
    Row("convert|value=1 US gal|to=l", 3.785411784, "l", EXACT, NIST),
    Row("convert|value=3000 rpm|to=rad/s", 314.1592654, "rad/s", 1e-9, "definition: 2 pi a turn"),
    Row("convert|value=2400 rpm|to=Hz", 40, "Hz", EXACT, "definition: 60 s a minute"),
    Row("convert|value=1 oz|to=g", 28.349523125, "g", EXACT, NIST),
    Row("convert|value=30 psi|to=bar", 2.068427, "bar", 1e-6, NIST),
    Row("convert|value=1 kN|to=lbf", 224.80894, "lbf", 1e-7, NIST),
    Row("convert|value=1 rad|to=deg", 57.29577951, "deg", 1e-9, "definition: 180 / pi"),
    Row("pitch diameter|thread=M3", 2.675, "mm", 2e-4, ISO724),
    Row("minor diameter|thread=M3", 2.459, "mm", 2e-4, ISO724),
    Row("pitch diameter|thread=M30", 27.727, "mm", 2e-5, ISO724),
    Row("minor diameter|thread=M30", 26.211, "mm", 2e-5, ISO724),
    Row("root diameter|thread=M30", 25.706, "mm", 2e-5, ISO724),
    Row("pitch diameter|thread=M16x1.5", 15.026, "mm", 4e-5, ISO724),
    Row("root diameter|thread=M14", 11.546, "mm", 5e-5, ISO724),
    Row("stress area|thread=M3", 5.03, "mm²", 1e-3, ISO898),
    Row("stress area|thread=M7", 28.9, "mm²", 2e-3, ISO898),
    Row("stress area|thread=M10x1", 64.5, "mm²", 1e-3, ISO898),
    Row("stress area|thread=M12x1.5", 88.1, "mm²", 1e-3, ISO898),
    Row("stress area|thread=M14", 115, "mm²", 5e-3, ISO898),
    Row("stress area|thread=M16x1.5", 167, "mm²", 3e-3, ISO898),
    Row("stress area|thread=M18", 192, "mm²", 3e-3, ISO898),
    Row("stress area|thread=M22x1.5", 333, "mm²", 2e-3, ISO898),
    Row("stress area|thread=M27", 459, "mm²", 1e-3, ISO898),
    Row("stress area|thread=M30", 561, "mm²", 1e-3, ISO898),
    Row("stress area|thread=M36", 817, "mm²", 1e-3, ISO898),
    Row("stress area|thread=#10-32", 0.0200, "in²", 3e-3, B11),
    Row("stress area|thread=5/16-18", 0.0524, "in²", 1e-3, B11),
    Row("stress area|thread=5/16-24", 0.0580, "in²", 2e-3, B11),
    Row("stress area|thread=7/16-14", 0.1063, "in²", 1e-3, B11),
    Row("stress area|thread=7/16-20", 0.1187, "in²", 1e-3, B11),
    Row("stress area|thread=9/16-18", 0.203, "in²", 3e-3, B11),
    Row("stress area|thread=7/8-9", 0.462, "in²", 2e-3, B11),
    Row("stress area|thread=1-8 UNC", 0.606, "in²", 1e-3, B11),
    Row("proof load|thread=M5|class=8.8", 8230, "N", 5e-3, PROOF),
    Row("proof load|thread=M14|class=8.8", 66_700, "N", 5e-3, PROOF),
    Row("proof load|thread=M18|class=8.8", 115_000, "N", 5e-3, PROOF),
    Row("proof load|thread=M22|class=10.9", 252_000, "N", 5e-3, PROOF),
    Row("proof load|thread=M24|class=8.8", 212_000, "N", 5e-3, PROOF),
    Row("proof load|thread=M30|class=10.9", 466_000, "N", 5e-3, PROOF),
    Row("proof load|thread=M16|class=4.6", 35_300, "N", 5e-3, PROOF),
    Row("proof load|thread=M10|class=6.8", 25_500, "N", 5e-3, PROOF),
    Row("proof load|thread=M16x1.5|class=8.8", 96_900, "N", 5e-3, PROOF),
    Row("tensile load|thread=M16|class=8.8", 125_000, "N", 5e-3, BREAK),
    Row("tensile load|thread=M20|class=10.9", 255_000, "N", 5e-3, BREAK),
    Row("tensile load|thread=M6|class=12.9", 24_500, "N", 5e-3, BREAK),
    Row("proof load|thread=5/16-18|class=grade 5", 4450, "lbf", 5e-3, J429),
    Row("proof load|thread=7/16-14|class=grade 8", 12_750, "lbf", 5e-3, J429),
    Row("proof load|thread=1/2-20|class=grade 8", 19_200, "lbf", 5e-3, J429),
    Row("proof load|thread=5/8-11|class=grade 5", 19_200, "lbf", 5e-3, J429),
    Row("proof load|thread=7/8-9|class=grade 2", 15_250, "lbf", 5e-3, J429),
    Row("torque at yield|thread=M6|class=8.8|friction=0.12", 10.1, "N.m", 1e-2, VDI),
    Row("torque at yield|thread=M6|class=10.9|friction=0.12", 14.9, "N.m", 1e-2, VDI),
    Row("torque at yield|thread=M14|class=8.8|friction=0.12", 133, "N.m", 7e-3, VDI),
    Row("torque at yield|thread=M16|class=10.9|friction=0.12", 302, "N.m", 7e-3, VDI),
    Row("torque at yield|thread=M20|class=8.8|friction=0.12", 415, "N.m", 7e-3, VDI),
    Row("torque at yield|thread=M24|class=12.9|friction=0.12", 1190, "N.m", 7e-3, VDI),
    Row("preload at yield|thread=M16|class=8.8|friction=0.12", 80_900, "N", 5e-3, VDI),
    Row("preload at yield|thread=M20|class=10.9|friction=0.12", 186_000, "N", 5e-3, VDI),
    Row("short torque|preload=40 kN|diameter=M12|factor=0.2", 96, "N.m", EXACT, "hand: K d F"),
    Row("short preload|torque=90 N.m|diameter=12 mm|factor=0.15", 50_000, "N", EXACT, "hand: T / (K d)"),
    Row("wrench setting|torque=100|lever=500|adapter=100|angle=30", 85.2366, "N.m", 1e-6, ADAPTER),
    Row("wrench setting|torque=100|lever=500|adapter=100|angle=45", 87.6101, "N.m", 1e-6, ADAPTER),
    Row("wrench setting|torque=100|lever=500|adapter=100|angle=60", 90.9091, "N.m", 1e-6, ADAPTER),
    Row("wrench setting|torque=100|lever=500|adapter=100|angle=120", 111.1111, "N.m", 1e-6, ADAPTER),
    Row("wrench setting|torque=100|lever=500|adapter=100|angle=135", 116.4716, "N.m", 1e-6, ADAPTER),
    Row("torque through adapter|setting=80|lever=400|adapter=50|angle=180", 70, "N.m", EXACT, ADAPTER),
    Row("true torque|setting=200 Nm", 192.3077, "N.m", 1e-6, "hand: 200 / 1.04, ISO 6789"),
    Row("true torque|setting=8 Nm", 7.547170, "N.m", 1e-6, "hand: 8 / 1.06, ISO 6789"),
    Row("lowest setting|low=40 Nm|high=340 Nm", 68, "N.m", EXACT, "hand: a fifth of 340"),
    Row("calibration|calibrated=2024-02-29", "2025-02-28", "", 0, "hand: 2025 has no 29 February"),
    Row("tooth angle|teeth=31", 11.612903, "deg", 1e-7, GEOMETRY),
    Row("holes out|out=2|holes=5", 144, "deg", EXACT, GEOMETRY),
    Row("place angle|place=tooth 5 of 24", 60, "deg", EXACT, GEOMETRY),
    Row("yokes out|out=1|teeth=16", 22.5, "deg", EXACT, GEOMETRY),
    Row("clock angle|clock=2:30 seen from the front", 75, "deg", EXACT, "hand: 30 deg an hour"),
    Row("permissible unbalance|grade=G16|rotor mass=10 kg|speed=4000 rpm", 381.9719, "g.mm", 1e-6, GRADE),
    Row("permissible unbalance|grade=G40|rotor mass=12 kg|speed=1000 rpm", 4583.662, "g.mm", 1e-6, GRADE),
    Row("balance grade|unbalance=382 g.mm|rotor mass=10 kg|speed=4000 rpm", 16.00118, "mm/s", 1e-6, GRADE),
    Row("unbalance force|mass=20 g|radius=150 mm|speed=1000 rpm", 32.89868, "N", 1e-6, "hand: m r omega^2"),
    Row("turned weight|unbalance=1000 g.mm|angle=45 deg", 765.3669, "g.mm", 1e-6, "hand: 2 sin 22.5 deg"),
    Row("weight holes out|unbalance=900 g.mm|out=1|holes=6", 900, "g.mm", 1e-9, "hand: equilateral triangle"),
    Row("weight at radius|mass=30 g|radius=40 mm|new radius=48 mm", 25, "g", EXACT, "hand: 30 x 40 / 48"),
    Row("split weight|mass=30 g|wanted=30|first=0|second=90", 25.98076, "g", 1e-6, "hand: 30 cos 30 deg"),
    Row("two clamps|head=25 g|apart=90 deg", 35.35534, "g", 1e-6, "hand: 25 sqrt 2"),
    Row("clamps apart|wanted=25 g|head=25 g", 120, "deg", 1e-9, "hand: two of three equal vectors"),
    Row("joint speed ratio|angle=25 deg|turned=0", 1.103378, "", 1e-6, CARDAN),
    Row("joint speed ratio|angle=25 deg|turned=90", 0.9063078, "", 1e-6, CARDAN),
    Row("joint speed band|speed=2000 rpm|angle=15 deg", 2070.552, "rpm", 1e-6, CARDAN),
    Row("joint unevenness|angle=15 deg", 0.06935035, "", 1e-6, CARDAN),
    Row("equal speed angle|angle=45 deg", 40.06036, "deg", 1e-6, "hand: arc tan of the fourth root of 1/2"),
    Row("residual angle|angles=5; 3", 4, "deg", 1e-9, "hand: 3, 4, 5"),
    Row("residual angle|angles=6; 4; 2", 4.898979, "deg", 1e-6, "hand: sqrt(36 - 16 + 4)"),
    Row("residual angle|angles=3; 4|out of phase=90", 5, "deg", 1e-9, "hand: out of phase they add, 3, 4, 5"),
    Row("joint acceleration|speed=3000 rpm|angle=4 deg", 481.037, "rad/s²", 1e-5, "hand: omega^2 b^2"),
    Row("critical speed|length=48 in|outer=1 in", 2069.7, "rpm", 2e-2, "memory: 4.7687e6 d / L^2, solid steel, inch"),
    Row("tyre|size=205/55R16", 631.9, "mm", 1e-9, SIZE),
    Row("tyre|size=265/70R17", 802.8, "mm", 1e-9, SIZE),
    Row("tyre|size=315/80 R 22.5", 1075.5, "mm", 1e-9, SIZE),
    Row("roll-out|tyre=195/65R15", 1.993341, "m", 1e-6, "hand: pi x 634.5 mm"),
    Row("wheel speed|road speed=90 km/h|rollout=2 m", 750, "rpm", 1e-9, "hand: 25 m/s / 2 m"),
    Row("planetary ratio|sun=30|ring=66", 3.2, "", EXACT, "hand: 1 + 66 / 30"),
    Row("slip|input speed=1850 rpm|output speed=1200 rpm|gear ratio=1.5", 50, "rpm", 1e-9, "hand: 1850 - 1800"),
    Row("oil expansion|volume=9 l|from=20 °C|to=80 °C", 0.378, "l", 1e-9, "hand: 9 x 0.0007 x 60"),
    Row("level error|volume=8 l|measured=55 °C|low=35 °C|high=45 °C", 0.056, "l", 1e-9, "hand: 8 x 0.0007 x 10"),
    Row("VIN|VIN=1ZZAB12C7DE100001", "7", "", 0, f"{FEDERAL}: 260 = 23 x 11 + 7"),
    Row("VIN|VIN=SZZBC34D4EF200002", "4", "", 0, f"{FEDERAL}: 323 = 29 x 11 + 4"),
    Row("VIN|VIN=1ZZAB12C5DE100008", "X", "", 0, f"{FEDERAL}: 274 = 24 x 11 + 10"),
    Row("trouble code bytes|bytes=4123", "C0123", "", 0, BITS),
    Row("trouble code bytes|bytes=92 34", "B1234", "", 0, BITS),
    Row("trouble code bytes|bytes=D1A0", "U11A0", "", 0, BITS),
    Row("trouble code bytes|bytes=0x2789", "P2789", "", 0, BITS),
)


def computed(typed: str) -> Any:
    name, *inputs = typed.split("|")
    result = CliRunner().invoke(main, ["workings", name, *inputs, "--json"])
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)["result"]


@pytest.mark.parametrize("row", ROWS, ids=[row.typed for row in ROWS])
def test_a_value_from_elsewhere_comes_out(row: Row) -> None:
    found = computed(row.typed)
    first = found[0] if isinstance(found, list) else found
    if isinstance(row.expected, str):
        assert str(first).partition(":")[0] == row.expected
        return
    number, unit = (first["value"], first["unit"]) if isinstance(first, dict) else (first, "")
    assert number == pytest.approx(row.expected, rel=row.within), row.how
    assert unit == row.unit


@pytest.mark.parametrize(("grams", "at"), [(12.0, 75.0), (7.5, 310.0), (31.0, 181.0)])
def test_four_runs_find_the_weight_that_was_put_on(grams: float, at: float) -> None:
    """A rotor made up: so many units a gram, an unbalance known beforehand; the correction stands opposite to it."""
    per_gram, trial = 0.6, 10.0
    unbalance = rect(grams * per_gram, radians(at))
    runs = [
        f"run {n}={abs(unbalance + rect(trial * per_gram, radians(a)))} at {a}" for n, a in enumerate((0, 120, 240), 1)
    ]
    (mass, place) = computed("|".join(["four runs", f"original={abs(unbalance)}", *runs, f"trial={trial} g"]))
    assert (mass["value"], mass["unit"]) == (pytest.approx(grams, rel=1e-6), "g")
    assert place["value"] == pytest.approx((at + 180) % 360, abs=1e-4)


def test_a_trial_run_with_phase_finds_it_too() -> None:
    unbalance, effect = rect(8.0, radians(50)), rect(0.4, radians(-20))  # a rotor that answers 20 degrees late
    after = 8.0 * rect(1, radians(50)) + 10 * effect * rect(1, radians(90))
    found = computed(
        f"trial run|original=8 at 50|with trial={abs(after)} at {degrees(phase(after))}|trial=10 g|trial at=90"
    )
    needed = -unbalance / effect
    assert found[0]["value"] == pytest.approx(abs(needed), rel=1e-6)
    assert found[1]["value"] == pytest.approx(degrees(phase(needed)) % 360, abs=1e-4)


@pytest.mark.parametrize(
    ("typed", "named", "hertz"),
    [
        ("engine speed=3000 rpm|cylinders=4", "engine order 2", 100.0),  # firing, cylinders / 2 a crank turn
        ("engine speed=2000 rpm|cylinders=6", "engine order 3", 100.0),
        ("engine speed=1500 rpm|cylinders=8", "engine order 4", 100.0),
        ("road speed=90 km/h|rollout=2 m|axle ratio=3.2", "wheel order 1", 12.5),
        ("road speed=90 km/h|rollout=2 m|axle ratio=3.2", "propeller shaft order 2", 80.0),
        ("road speed=90 km/h|rollout=2 m|axle ratio=3.2|gear ratio=1.5", "engine order 1", 60.0),
    ],
)
def test_orders_of_what_turns_by_hand(typed: str, named: str, hertz: float) -> None:
    lines = dict(line.split(": ") for line in computed(f"vibration orders|{typed}"))
    assert lines[named] == f"{hertz:g} Hz"


def test_a_shaft_s_rule_of_thumb_from_tyre_and_axle() -> None:
    """rpm = 336.13 x mph x ratio / tyre diameter in inches, 63360 / 60 / pi (hand)."""
    rollout = f"{pi * 26} in"
    wheel = computed(f"wheel speed|road speed=60 mph|rollout={rollout}")["value"]
    shaft = computed(f"shaft speed|wheel speed={wheel} rpm|axle ratio=3.55")["value"]
    assert shaft == pytest.approx(336.135 * 60 * 3.55 / 26, rel=1e-4)


@pytest.mark.parametrize("holes", [5, 7, 10, 18, 28])
def test_an_order_for_a_flange_of_any_count_takes_each_bolt_once_and_pairs_the_opposite_ones(holes: int) -> None:
    order = computed(f"tightening order|layout=circle {holes}")
    assert sorted(order) == list(range(1, holes + 1))
    if holes % 2 == 0:
        pairs = zip(order[::2], order[1::2], strict=True)
        assert {(b - a) % holes for a, b in pairs} == {holes // 2}
