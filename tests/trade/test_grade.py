import pytest

from reassembly.trade.grade import GRADES, proof_load, read_grade, tensile_load, yield_load
from reassembly.trade.quantity import value
from reassembly.trade.thread import read_thread

# REFERENCES section 3: proof loads in N, two supplier tables; the last three rows from memory
PROOF = {
    "M6": {"8.8": 11_600, "10.9": 16_700, "12.9": 19_500},
    "M8": {"8.8": 21_200, "10.9": 30_400, "12.9": 35_500},
    "M10": {"8.8": 33_700, "10.9": 48_100, "12.9": 56_300},
    "M12": {"8.8": 48_900, "10.9": 70_000, "12.9": 81_800},
    "M16": {"8.8": 91_000, "10.9": 130_000, "12.9": 152_000},
    "M20": {"8.8": 147_000, "12.9": 238_000},
    "M8x1": {"8.8": 22_700, "10.9": 32_500, "12.9": 38_000},
    "M10x1.25": {"8.8": 35_500, "10.9": 50_800, "12.9": 59_400},
    "M12x1.25": {"8.8": 53_400, "10.9": 76_400, "12.9": 89_300},
    "M4": {"10.9": 7_290},  # by the formula, 8.78 mm² x 830 MPa
}
# REFERENCES section 3: least tensile loads in N; for M4 10.9 a table prints 91130
TENSILE = {
    "M8": {"8.8": 29_200, "10.9": 38_100, "12.9": 44_600},
    "M10": {"8.8": 46_400, "10.9": 60_300, "12.9": 70_800},
    "M12": {"8.8": 67_400, "10.9": 87_700, "12.9": 103_000},
    "M4": {"10.9": 9_130},
}
# SAE J429 (REFERENCES section 3, a scanned submittal): proof loads in lbf
SAE_PROOF = {
    "1/4-20": {"grade 2": 1750, "grade 5": 2700, "grade 8": 3800},
    "3/8-16": {"grade 2": 4250, "grade 5": 6600, "grade 8": 9300},
    "3/4-10": {"grade 2": 18_400, "grade 5": 28_400, "grade 8": 40_100},
}


def rows(table: dict[str, dict[str, int]]) -> list[tuple[str, str, int]]:
    return [(thread, grade, load) for thread, row in table.items() for grade, load in row.items()]


@pytest.mark.parametrize(("thread", "grade", "newtons"), rows(PROOF))
def test_a_proof_load_is_the_printed_one(thread: str, grade: str, newtons: int) -> None:
    load = proof_load(read_thread(thread), GRADES[grade])
    # M6 8.8: the standard rounds 20.1 x 580 = 11 658 down to 11 600
    assert value(load.result, "N") == pytest.approx(newtons, rel=0.0065 if (thread, grade) == ("M6", "8.8") else 0.005)


@pytest.mark.parametrize(("thread", "grade", "newtons"), rows(TENSILE))
def test_a_tensile_load_is_the_printed_one(thread: str, grade: str, newtons: int) -> None:
    load = tensile_load(read_thread(thread), GRADES[grade])
    assert value(load.result, "N") == pytest.approx(newtons, rel=0.005)


@pytest.mark.parametrize(("thread", "grade", "pounds"), rows(SAE_PROOF))
def test_an_inch_proof_load_is_the_printed_one(thread: str, grade: str, pounds: int) -> None:
    load = proof_load(read_thread(thread), GRADES[grade])
    assert value(load.result, "lbf") == pytest.approx(pounds, rel=0.005)


# ISO 898-1:2013 table 3 (REFERENCES section 3): Rm, Rp0.2 (ReL, Rpf), proof stress in MPa
ISO_898_1 = [
    ("M10", "4.6", 400, 240, 225),
    ("M10", "4.8", 420, 340, 310),
    ("M10", "5.8", 520, 420, 380),
    ("M10", "6.8", 600, 480, 440),
    ("M16", "8.8", 800, 640, 580),
    ("M18", "8.8", 830, 660, 600),
    ("M16", "9.8", 900, 720, 650),
    ("M10", "10.9", 1040, 940, 830),
    ("M10", "12.9", 1220, 1100, 970),
]


@pytest.mark.parametrize(("thread", "grade", "tensile", "yields", "proof"), ISO_898_1)
def test_a_class_has_the_printed_strengths(thread: str, grade: str, tensile: int, yields: int, proof: int) -> None:
    assert GRADES[grade].strength(read_thread(thread))[1:] == (tensile, yields, proof)


def test_a_yield_load_is_the_least_yield_strength_times_the_area() -> None:
    # ISO 898-1 table 3 x ISO 898-1 area: 940 MPa x 58.0 mm²
    assert value(yield_load(read_thread("M10"), GRADES["10.9"]).result, "N") == pytest.approx(54_500, rel=0.002)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("8.8", "8.8"), ("10,9", "10.9"), ("class 12.9", "12.9"), ("Class 8.8 ", "8.8"),
        ("property class 10.9", "10.9"),
        ("5", "grade 5"), ("grade 8", "grade 8"), ("Gr. 5", "grade 5"), ("gr8", "grade 8"), ("SAE 2", "grade 2"),
        ("SAE grade 8", "grade 8"), ("G5", "grade 5"),
    ],
)  # fmt: skip
def test_a_class_is_read_as_people_write_it(typed: str, name: str) -> None:
    assert read_grade(typed).name == name


@pytest.mark.parametrize("typed", ["", "11.9", "A2-70", "grade", "8.8\x1b[2J", "9"])
def test_an_unknown_class_is_refused_with_the_known_ones(typed: str) -> None:
    with pytest.raises(ValueError, match=r"type one of 4\.6, .*12\.9, grade 2, grade 5, grade 8") as refusal:
        read_grade(typed)
    assert str(refusal.value).isprintable()


@pytest.mark.parametrize(
    ("thread", "grade", "why"),
    [
        ("M10", "grade 5", "does not go with the metric thread M10"),
        ("3/8-16", "8.8", "does not go with the inch thread 3/8-16 UNC"),
        ("M20", "9.8", "has no 9.8 as thick as M20"),
        ("M42", "8.8", "has no 8.8 as thick as M42"),
    ],
)
def test_a_class_that_does_not_exist_for_a_thread_is_refused(thread: str, grade: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        proof_load(read_thread(thread), GRADES[grade])


def test_each_head_says_what_it_is() -> None:
    assert [GRADES[f"grade {n}"].head_mark for n in (2, 5, 8)] == ["no lines", "three lines", "six lines"]
    assert GRADES["10.9"].head_mark == "10.9 on the head"
