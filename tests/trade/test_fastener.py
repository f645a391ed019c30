import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.fastener import (
    doubt_about_torque,
    nut_factor,
    preload_at_yield,
    preload_from,
    short_preload,
    short_torque,
    torque_at_yield,
    torque_for,
    torque_window,
)
from reassembly.trade.grade import GRADES, proof_load
from reassembly.trade.quantity import of, value
from reassembly.trade.thread import read_thread

# VDI 2230 (REFERENCES section 4a): friction, FM in kN and MA in N.m for 8.8, 10.9, 12.9.
# Fine threads as on a catalogue page; M8, M10, M12 8.8 at 0.12 as in a machine maker's table; the others from memory.
VDI_2230 = [
    ("M8x1", 0.10, "20.7 30.4 35.6", "22.8 33.5 39.2"),
    ("M8x1", 0.12, "20.2 29.7 34.7", "26.1 38.3 44.9"),
    ("M8x1", 0.14, "19.7 28.9 33.9", "29.2 42.8 50.1"),
    ("M10x1.25", 0.10, "32.4 47.5 55.6", "44 65 76"),
    ("M10x1.25", 0.12, "31.6 46.4 54.3", "51 75 87"),
    ("M10x1.25", 0.14, "30.8 45.2 52.9", "57 83 98"),
    ("M12x1.25", 0.10, "49.1 72.1 84.4", "79 116 135"),
    ("M12x1.25", 0.12, "48.0 70.5 82.5", "90 133 155"),
    ("M12x1.25", 0.14, "46.8 68.7 80.4", "101 149 174"),
    ("M8", 0.12, "18.6 27.4 32.0", "24.6 36.1 42.2"),
    ("M10", 0.12, "29.6 43.5 50.9", "48 71 83"),
    ("M12", 0.12, "43.1 63.3 74.1", "84 123 144"),
    ("M8", 0.10, "19.1 28.1 32.8", "21.6 31.8 37.2"),
    ("M10", 0.10, "30.4 44.6 52.2", "43 63 73"),
    ("M12", 0.10, "44.2 64.9 75.9", "73 108 126"),
    ("M8", 0.14, "18.1 26.6 31.2", "27.3 40.1 46.9"),
    ("M10", 0.14, "28.8 42.3 49.5", "54 79 93"),
    ("M12", 0.14, "42.0 61.7 72.2", "93 137 160"),
]
VDI_ROWS = [
    (thread, friction, grade, float(load), torque)
    for thread, friction, loads, torques in VDI_2230
    for grade, load, torque in zip(("8.8", "10.9", "12.9"), loads.split(), torques.split(), strict=True)
]


@pytest.mark.parametrize(("thread", "friction", "grade", "load", "torque"), VDI_ROWS)
def test_preload_and_torque_at_yield_are_the_printed_ones(
    thread: str, friction: float, grade: str, load: float, torque: str
) -> None:
    bolt = read_thread(thread)
    assert value(preload_at_yield(bolt, GRADES[grade], friction).result, "kN") == pytest.approx(load, rel=0.005)
    printed = float(torque)
    room = 0.6 if printed < 100 and "." not in torque else 0.007 * printed
    assert value(torque_at_yield(bolt, GRADES[grade], friction).result, "N.m") == pytest.approx(printed, abs=room)


# T = K d F (REFERENCES section 4b): K, diameter in inches, F in lbf, T in lbf.in, tolerance; a book page
@pytest.mark.parametrize(("k", "torque", "room"), [(0.20, 48.5, 0.1), (0.30, 72.675, 0.05)])
def test_the_short_form_gives_the_printed_torque(k: float, torque: float, room: float) -> None:
    found = short_torque(of(1275, "lbf"), of(0.190, "in"), k)
    assert value(found.result, "lbf.in") == pytest.approx(torque, abs=room)


# A hardware supplier (REFERENCES section 4b): 75 % of proof at K 0.20; F in lbf, T in lbf.ft
@pytest.mark.parametrize(("thread", "load", "torque"), [("1/2-13", 5853, 48.8), ("3/8-24", 3622, 22.6)])
def test_three_quarters_of_proof_give_the_printed_torque(thread: str, load: float, torque: float) -> None:
    bolt = read_thread(thread)
    preload = 0.75 * proof_load(bolt, GRADES["grade 2"]).result
    assert value(preload, "lbf") == pytest.approx(load, abs=1)
    assert value(short_torque(preload, bolt.diameter, 0.20).result, "lbf.ft") == pytest.approx(torque, abs=0.05)


def test_the_long_form_gives_the_printed_nut_factor() -> None:
    # Shigley table 8-15 by formula 8-26 (REFERENCES section 4b): 0.197 for a friction of 0.15
    assert nut_factor(read_thread("1/2-13"), 0.15).result == pytest.approx(0.197, abs=0.002)


@given(st.floats(1, 500), st.floats(0.05, 0.3), st.floats(0.05, 0.3))
def test_the_preload_of_a_torque_gives_the_torque_again(newton_metres: float, friction: float, head: float) -> None:
    bolt = read_thread("M10x1.25")
    load = preload_from(of(newton_metres, "N.m"), bolt, friction, under_head=head).result
    assert value(torque_for(load, bolt, friction, under_head=head).result, "N.m") == pytest.approx(newton_metres)
    short = short_preload(of(newton_metres, "N.m"), bolt.diameter, 0.2).result
    assert value(short_torque(short, bolt.diameter, 0.2).result, "N.m") == pytest.approx(newton_metres)


def test_the_window_lies_between_slippery_and_rough() -> None:
    bolt, grade = read_thread("M8"), GRADES["8.8"]
    low, high = torque_window(bolt, grade)
    inside = [value(torque_at_yield(bolt, grade, mu).result, "N.m") for mu in (0.08, 0.12, 0.14, 0.20)]
    assert inside == sorted(inside)
    assert (value(low.result, "N.m"), value(high.result, "N.m")) == (inside[0], inside[-1])


def test_thread_and_head_may_rub_differently() -> None:
    # by hand: 1 kN x (0.16 x 1.25 + 0.58 x 7.188 x 0.10 + 0.20 x 10.3 / 2) mm
    found = torque_for(of(1, "kN"), read_thread("M8"), 0.10, under_head=0.20)
    assert value(found.result, "N.m") == pytest.approx(0.2 + 0.4169 + 1.03, abs=0.0001)
    given = torque_for(of(1, "kN"), read_thread("M8"), 0.10, under_head=0.20, bearing=of(20, "mm"))
    assert value(given.result, "N.m") == pytest.approx(0.2 + 0.4169 + 2.0, abs=0.0001)


@pytest.mark.parametrize("friction", [0, -0.1, 0.6, float("nan")])
def test_an_impossible_friction_is_refused(friction: float) -> None:
    with pytest.raises(ValueError, match="friction of"):
        preload_at_yield(read_thread("M8"), GRADES["8.8"], friction)


def test_an_impossible_nut_factor_is_refused() -> None:
    with pytest.raises(ValueError, match="nut factor"):
        short_torque(of(1, "kN"), of(8, "mm"), 0)


# The slips of a tired person: what was typed, what the sentence asks
SLIPS = [
    ("M6", "8.8", "85 N.m", "85 N.m is 6 times what an M6 8.8 usually takes: is it lbf.in?"),
    ("M6", "8.8", "42 Nm", "42 Nm is 3 times what an M6 8.8 usually takes: is it lbf.in?"),
    ("M10", "10.9", "745 N.m", "is it lbf.in"),  # 84 N.m
    ("M10", "10.9", "8 Nm", "is it kgf.m"),  # 78 N.m
    ("M8", "8.8", "2,5 Nm", "is it kgf.m"),  # 24.5 N.m
    ("M8", "8.8", "8 in-lb", "is it lbf.ft?"),  # 10.8 N.m; 8 N.m would fit, but less well
    ("M8", "8.8", "245 N.m", "is it lbf.in"),  # 27.7 N.m
    ("M8", "8.8", "90000 kNm", "look at unit, thread and class again"),
    ("M12", "10.9", "85 in-lb", "is it N.m|is it lbf.ft"),  # 85 N.m
    ("M12", "8.8", "145 N.m", "145 N.m is 1.2 times what an M12 8.8 usually takes: is the bolt 10.9?"),
    ("M8", "8.8", "2450 N.m", "2450 N.m is 72 times"),
    ("1/4-20", "grade 5", "100 lbf.ft", "9 times what a 1/4-20 UNC grade 5 usually takes: is it lbf.in"),
    ("1/2-13", "grade 5", "75 in-lb", "is it N.m|is it lbf.ft"),
    # No class: the upper end of the window of an M6 8.8 is 14.1 N.m, by VDI 2230 at a friction of 0.20.
    (
        "M6",
        "",
        "22 N.m",
        "22 N.m is 1.6 times what an M6 usually takes, 8.8 assumed as no class is said: is it lbf.in, or is the bolt",
    ),
    ("M6", " ", "85 N.m", "6 times what an M6 usually takes, 8.8 assumed as no class is said: is it lbf.in?"),
    ("3/8-24", "", "90 N.m", "what a 3/8-24 UNF usually takes, grade 5 assumed as no class is said"),
]


@pytest.mark.parametrize(("thread", "torque"), [("M6", "10 N.m"), ("M6", "16 N.m"), ("M6", "0.5 N.m"), ("?", "9 N.m")])
def test_a_torque_that_a_common_class_takes_is_no_doubt_without_a_class_nor_is_a_low_one(
    thread: str, torque: str
) -> None:
    assert doubt_about_torque(thread, "", torque) is None


@pytest.mark.parametrize(("thread", "grade", "torque", "says"), SLIPS)
def test_a_slip_is_named_in_one_sentence(thread: str, grade: str, torque: str, says: str) -> None:
    sentence = doubt_about_torque(thread, grade, torque)
    assert sentence is not None
    assert any(part in sentence for part in says.split("|"))
    assert sentence.isprintable()


# AC 43.13-1B table 7-1 (REFERENCES section 4c), lbf.in, tension and shear nuts, lower and upper value.
# The bolts of that table are of about the strength of grade 5 (memory).
AC_43_13 = {
    "10-32": "20 25 12 15", "1/4-28": "50 70 30 40", "3/8-24": "160 190 95 110", "1/2-20": "480 690 290 410",
    "1/4-20": "40 50 25 30", "3/8-16": "160 185 95 100", "1/2-13": "400 480 240 290",
}  # fmt: skip


@pytest.mark.parametrize(("thread", "torque"), [(t, n) for t, row in AC_43_13.items() for n in row.split()])
def test_a_published_torque_raises_no_doubt(thread: str, torque: str) -> None:
    assert doubt_about_torque(thread, "grade 5", f"{torque} lbf.in") is None


@pytest.mark.parametrize(("thread", "friction", "grade", "load", "torque"), VDI_ROWS)
def test_a_torque_of_the_vdi_table_raises_no_doubt(
    thread: str, friction: float, grade: str, load: float, torque: str
) -> None:
    assert doubt_about_torque(thread, grade, torque, "N.m") is None


def test_a_low_torque_before_an_angle_raises_no_doubt() -> None:
    assert doubt_about_torque("M12", "12.9", "20 N.m") is not None
    assert doubt_about_torque("M12", "12.9", "20 N.m", angle_follows=True) is None
    assert doubt_about_torque("M12", "12.9", "2000 N.m", angle_follows=True) is not None


@pytest.mark.parametrize(
    ("thread", "grade", "torque"),
    [("", "8.8", "85 Nm"), ("M6", "8.8", "tight"), ("M6", "8.8", "85"), ("M6", "grade 5", "85 Nm"),
     ("M13", "8.8", "85 Nm"), ("M6", "A2-70", "85 Nm"), ("M42", "8.8", "85 Nm")],
)  # fmt: skip
def test_where_not_enough_is_known_nothing_is_doubted(thread: str, grade: str, torque: str) -> None:
    assert doubt_about_torque(thread, grade, torque) is None


@given(st.text(max_size=20), st.text(max_size=10), st.text(max_size=20))
def test_no_text_makes_the_doubt_raise(thread: str, grade: str, torque: str) -> None:
    doubt_about_torque(thread, grade, torque)


@given(st.sampled_from(["M4", "M6", "M8x1", "M10", "M24", "1/2-13"]), st.integers(0, 99999), st.booleans())
def test_no_number_makes_the_doubt_raise(thread: str, number: int, follows: bool) -> None:
    doubt_about_torque(thread, "8.8", f"{number} Nm", angle_follows=follows)
    doubt_about_torque(thread, "grade 8", f"{number} in-lb", angle_follows=follows)
