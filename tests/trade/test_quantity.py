import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade import quantity
from reassembly.trade.quantity import read, show, torque_pair, value
from reassembly.trade.units import UNITS, Dimension, every_unit

# NIST SP 811 (2008), appendix B.8 (REFERENCES section 1): factor to N.m, tolerance
NIST_SP_811 = {
    "1 lbf.ft": (1.355818, 5e-7),
    "1 lbf.in": (0.1129848, 5e-8),
    "1 kgf.m": (9.80665, 1e-15),
    "1 kgf.cm": (0.0980665, 1e-15),
    "1 ozf.in": (7.061552e-3, 5e-10),
}


@pytest.mark.parametrize(("text", "factor"), NIST_SP_811.items(), ids=NIST_SP_811.keys())
def test_a_torque_unit_is_worth_what_nist_prints(text: str, factor: tuple[float, float]) -> None:
    assert value(read(text, "torque").quantity, "N.m") == pytest.approx(factor[0], abs=factor[1])


def test_a_newton_metre_is_worth_what_the_sensor_maker_prints() -> None:
    # REFERENCES section 1; section 14 lists 8.50745782 lbf.in as a wrong number found in print
    torque = read("1 N.m", "torque").quantity
    assert value(torque, "lbf.ft") == pytest.approx(0.7375621, rel=5e-7)
    assert value(torque, "lbf.in") == pytest.approx(8.850746, rel=5e-7)
    assert value(torque, "ozf.in") == pytest.approx(141.6119, rel=5e-7)


def test_an_ounce_inch_of_unbalance_is_mass_times_length() -> None:
    assert value(read("1 oz.in", "unbalance").quantity, "g.mm") == pytest.approx(
        720.0779, abs=1e-4
    )  # exact definitions


# Range of AC 43.13-1B printed in both units in an ultralight maintenance manual (REFERENCES section 1), lbf.in and N.m
PRINTED_PAIRS = [(50, 5.6), (70, 7.9), (160, 18.1), (190, 21.5), (2300, 259.9), (2500, 282.5)]


@pytest.mark.parametrize(("inch_pounds", "newton_metres"), PRINTED_PAIRS)
def test_printed_pairs_agree(inch_pounds: int, newton_metres: float) -> None:
    torque = read(f"{inch_pounds} lbf.in", "torque").quantity
    assert value(torque, "N.m") == pytest.approx(newton_metres, abs=0.06)


SPELLINGS = {
    "N.m": "85 Nm|85Nm|85 N.m|85 N·m|85 N⋅m|85 N*m|85 N-m|85 N m|85 nm|85 NM|85 Nm.|85 newton metres|85 Newton-meters",
    "lbf.ft": "62 lb-ft|62 ft lbs|62 lbf.ft|62 lbf·ft|62 ft-lb|62 ft.lbs.|62 ftlb|62 LBFT|62 lb.ft.|62 foot-pounds"
    "|62 pound feet|62 ft/lbs|62 ft#|62 lbs ft|62 ft lbf",
    "lbf.in": "745 in-lb|745 lbf.in|745 in lbs|745 in.lbs|745 inch pounds|745 lb-in|745 inlb|745 in/lb",
    "kgf.m": "8,5 mkg|8.5 kgf.m|8.5 kgf·m|8.5 kgm|8.5 kg-m|8.5 m-kg|8.5 kpm|8.5 mkp|8.5 kp·m",
    "kgf.cm": "85 kgf.cm|85 kgf·cm|85 kg-cm|85 cmkg|85 kgcm|85 kp.cm",
    "ozf.in": "40 ozf.in|40 ozf·in|40 oz-in|40 in-oz|40 ozin",
    "cN.m": "250 cNm|250 cN·m",
    "daN.m": "8,5 daNm|8.5 daN.m",
    "kN.m": "1.2 kNm",
}


@pytest.mark.parametrize(("text", "unit"), [(text, unit) for unit, row in SPELLINGS.items() for text in row.split("|")])
def test_a_spelling_of_the_shop_floor_is_understood(text: str, unit: str) -> None:
    reading = read(text, "torque")
    assert (reading.unit, reading.typed, reading.assumed) == (unit, text, False)


# What pint's own list would take for something else (BENCH_FACTS section 12), and other slips
REFUSED = {
    "": "no torque typed",
    "tight": "does not begin with a number",
    "85": "has no unit",
    "62 lb": "type lbf.ft or lbf.in",
    "85 N": "newtons alone",
    "8.5 kg": "kilograms alone",
    "62 lb/ft": "force per length",
    "85 N/m": "force per length",
    "85 J": "joules are energy",
    "85 mN": "not a unit of torque",
    "85 MNm": "not a unit of torque",
    "90 deg": "stage of its own",
    "85 Nm2": "not a unit of torque",
    "1,500 Nm": "can mean 1500 or 1.500",
    "12,000 Nm": "can mean 12000 or 12.000",
    "1.500,5 Nm": "more than one point or comma",
    "1,234,567 Nm": "more than one point or comma",
    "1 500 Nm": "second number",
    "80-90 Nm": "one value",
    "80 – 90 Nm": "one value",
    "80 to 90 Nm": "one value",
    "85 ± 5 Nm": "one value",
    "85 Nm 62 lb-ft": "second number",
    "3/8 Nm": "second number",
    "1e3 Nm": "without an exponent",
    "NaN": "does not begin with a number",
    "inf Nm": "does not begin with a number",
    "-3 Nm": "not below nothing",
    "−3 Nm": "not below nothing",
    "٨٥ Nm": "digits are not 0 to 9",
    "\uff18\uff15 Nm": "digits are not 0 to 9",
    "85\x1b[2J Nm": "cannot be seen",
    "85\n Nm": "cannot be seen",
    "85\u202e Nm": "cannot be seen",
    "8" * 65: "too many",
}


@pytest.mark.parametrize(("text", "why"), REFUSED.items(), ids=range(len(REFUSED)))
def test_what_is_no_torque_is_refused_in_one_sentence(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why) as refusal:
        read(text, "torque")
    assert "\n" not in str(refusal.value)
    assert str(refusal.value).isprintable()


# text, number: a comma is a decimal point where it can only be that
NUMBERS = {
    "8,5": "8.5", "0,125": "0.125", "1,25": "1.25", "1,2345": "1.2345", "1234,567": "1234.567", "25.0": "25.0",
    "25,": "25", ".5": "0.5", ",5": "0.5", "+7": "7", "1.500": "1.500",
}  # fmt: skip


@pytest.mark.parametrize(("text", "number"), NUMBERS.items())
def test_a_number_keeps_the_digits_typed(text: str, number: str) -> None:
    reading = read(text, "torque", "Nm")
    assert (str(reading.number), reading.unit, reading.assumed) == (number, "N.m", True)
    assert reading.shown == f"{text} N.m"


OTHERS: list[tuple[Dimension, str, str, float]] = [
    ("length", "35 mm", "mm", 35),
    ("length", '3/8"', "mm", 9.525),
    ("length", "1 1/2 in", "mm", 38.1),
    ("length", "1-1/4 inch", "mm", 31.75),
    ("length", "5 thou", "mm", 0.127),
    ("length", "12 µm", "mm", 0.012),
    ("length", "100 km", "mi", 62.1371),
    ("mass", "1 oz", "g", 28.349523125),
    ("temperature", "-40 °C", "°F", -40),
    ("temperature", "104 F", "°C", 40),
    ("temperature", "35 degrees C", "K", 308.15),
    ("volume", "1 US qt", "ml", 946.352946),
    ("volume", "1 imperial gallon", "l", 4.54609),
    ("volume", "250 cm³", "l", 0.25),
    ("volume", "250 cm3", "l", 0.25),
    ("angle", "+90°", "deg", 90),
    ("angle", "-15 deg", "deg", -15),
    ("angle", "1/4 turn", "deg", 90),
    ("speed", "60 mph", "km/h", 96.56064),
    ("speed", "80 km/h", "m/s", 22.22222),
    ("rotational speed", "3000 1/min", "rad/s", 314.15927),
    ("rotational speed", "3000 min-1", "rpm", 3000),
    ("frequency", "720 cpm", "Hz", 12),
    ("force", "1 kN", "lbf", 224.80894),
    ("pressure", "2.5 bar", "psi", 36.25943),
    ("duration", "3 min", "s", 180),
]


@pytest.mark.parametrize(("dimension", "text", "unit", "number"), OTHERS)
def test_other_kinds_read_likewise(dimension: Dimension, text: str, unit: str, number: float) -> None:
    assert value(read(text, dimension).quantity, unit) == pytest.approx(number, rel=1e-6)


OTHERS_REFUSED: list[tuple[Dimension, str, str]] = [
    ("length", "35 nm", "nanometres"),
    ("length", "1/2 mm", "a fraction goes with"),
    ("length", "1/0 in", "divided by 0"),
    ("length", "-3 mm", "not below nothing"),
    ("temperature", "-300 C", "colder than anything"),
    ("temperature", "40 deg", "not a unit of temperature"),
    ("volume", "3 kg", "not a unit of volume"),
    ("mass", "3 l", "not a unit of mass"),
]


@pytest.mark.parametrize(("dimension", "text", "why"), OTHERS_REFUSED)
def test_other_kinds_are_refused_likewise(dimension: Dimension, text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        read(text, dimension)


def test_degrees_alone_take_the_unit_of_the_job_for_a_temperature() -> None:
    reading = read("40°", "temperature", "°C")
    assert (reading.unit, reading.assumed) == ("°C", True)


# 110 and 62: SCREENS and any printed manual; 5.6: the printed pair above; the rest: the factors above, rounded by hand
PAIRS = {
    "110 N.m": "110 N.m (81 lbf.ft)",
    "62 ft lbs": "62 ft lbs (84 N.m)",
    "5.6 Nm": "5.6 Nm (50 lbf.in)",
    "12 Nm": "12 Nm (106 lbf.in)",
    "25.0 Nm": "25.0 Nm (18.4 lbf.ft)",
    "745 in-lb": "745 in-lb (84.2 N.m)",
    "8,5 mkg": "8,5 mkg (83 N.m)",
    "1 kgf.m": "1 kgf.m (9.8 N.m)",
    "85": "85 N.m (63 lbf.ft)",
    "0 Nm": "0 Nm (0 lbf.in)",
    "as tight as it was": "as tight as it was",
}


@pytest.mark.parametrize(("typed", "shown"), PAIRS.items())
def test_the_typed_torque_comes_first_and_the_other_unit_beside_it(typed: str, shown: str) -> None:
    assert torque_pair(typed, "N.m") == shown


@given(st.text(max_size=80), st.sampled_from(sorted(UNITS)))
def test_any_text_is_read_or_refused_in_one_printable_line(text: str, dimension: Dimension) -> None:
    try:
        reading = read(text, dimension)
    except ValueError as refusal:
        assert str(refusal).isprintable()  # noqa: PT017  either outcome is right
    else:
        assert reading.typed == text.strip()


@given(st.decimals(0, 9999, places=2), st.sampled_from(UNITS["torque"]))
def test_a_torque_shown_in_its_own_unit_reads_back_the_same(number: object, unit: object) -> None:
    reading = read(f"{number} {unit.symbol}", "torque")  # type: ignore[attr-defined]
    assert read(show(reading.quantity, reading.unit, 2), "torque").number == reading.number


def test_a_folded_spelling_means_one_unit_of_its_kind() -> None:
    for dimension, units in UNITS.items():
        spellings = [spelling for unit in units for spelling in unit.spellings]
        assert len(spellings) == len(set(spellings)), dimension


def test_every_unit_is_known_to_the_registry_and_shown_by_its_own_symbol() -> None:
    for unit in every_unit():
        assert quantity.symbol(quantity.of(1, unit.symbol)) == unit.symbol


CLEAN = """
import pkgutil, sys, importlib
import reassembly.trade as trade
for module in pkgutil.iter_modules(trade.__path__):
    importlib.import_module(f"reassembly.trade.{module.name}")
from reassembly.trade.quantity import read
read("85 Nm", "torque")
print("pint" in sys.modules)
"""


def test_neither_importing_nor_reading_loads_the_unit_library() -> None:
    answer = subprocess.run([sys.executable, "-c", CLEAN], capture_output=True, text=True, check=True)
    assert answer.stdout == "False\n"


TWO_AT_ONCE = """
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from reassembly.trade.quantity import of
both = Barrier(4)
def first(number):
    both.wait()
    return of(number, "N.m")
with ThreadPoolExecutor(4) as threads:
    smallest = min(threads.map(first, (3.0, 2.0, 1.0, 4.0)))
print(smallest.magnitude)
"""


def test_threads_that_ask_for_the_first_quantity_at_once_get_ones_that_can_be_compared() -> None:
    answer = subprocess.run([sys.executable, "-c", TWO_AT_ONCE], capture_output=True, text=True, check=False)
    assert answer.stdout.strip() == "1.0", answer.stderr


def test_an_example_is_an_amount_that_may_be_meant() -> None:
    with pytest.raises(ValueError, match=r"for example 2\.5 l$"):
        read("a lot", "volume", "l")
