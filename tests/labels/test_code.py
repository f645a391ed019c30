"""The ten letters: no slip of a scanner or a pencil is taken for another label."""

import random
import string
import subprocess
import sys
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.code import ALPHABET, LENGTH, SERIALS, Code, Kind, Misread, grouped, make, read

benches = st.text(ALPHABET, min_size=2, max_size=2)
codes = st.builds(make, st.sampled_from(Kind), benches, st.integers(0, SERIALS - 1))


def remainder(letters: str) -> int:
    """The rule told another way: long division of the whole number, 0xFF folded into its first eight bits."""
    number = 0xFF << 32
    for place, letter in enumerate(letters):
        number ^= ALPHABET.index(letter) << 4 * (LENGTH - 1 - place)
    for bit in range(39, 7, -1):
        if number >> bit & 1:
            number ^= 0b1_0010_0011 << bit - 8
    return number


def changed(*errors: tuple[int, int]) -> bool:
    """Whether an error (letter, bits flipped in it) is seen.

    The check is linear: the remainder of a code with an error is that of the code (zero) plus that of the error alone.
    So one look at an error pattern stands for all 2^32 codes it can fall on.
    """
    pattern = 0
    for place, bits in errors:
        pattern ^= bits << 4 * place
    for bit in range(39, 7, -1):
        if pattern >> bit & 1:
            pattern ^= 0x123 << bit - 8
    return pattern != 0


def test_every_wrong_letter_is_caught() -> None:
    assert all(changed((place, bits)) for place in range(LENGTH) for bits in range(1, 16))


def test_every_swap_of_neighbours_is_caught() -> None:
    """Swapping letters a and b flips the bits a ^ b in both places."""
    assert all(changed((place, bits), (place + 1, bits)) for place in range(LENGTH - 1) for bits in range(1, 16))


def test_every_two_wrong_letters_are_caught_wherever_they_are() -> None:
    pairs = combinations(range(LENGTH), 2)
    assert all(changed((p, a), (q, b)) for p, q in pairs for a in range(1, 16) for b in range(1, 16))


@given(codes, st.integers(0, SERIALS - 1))
def test_the_check_is_linear_so_the_proof_holds_for_every_code(code: str, chance: int) -> None:
    assert remainder(code) == 0
    other = "".join(random.Random(chance).choices(ALPHABET, k=LENGTH))  # any ten letters, mostly no code
    accepted = isinstance(read(other), Code)
    assert accepted == (remainder(other) == 0 and ALPHABET.index(other[0]) in set(Kind))


@given(codes)
def test_every_wrong_letter_and_swap_of_one_whole_code_is_answered_as_a_misreading(code: str) -> None:
    wrong = {code[:i] + letter + code[i + 1 :] for i in range(LENGTH) for letter in ALPHABET}
    swapped = {code[:i] + code[i + 1] + code[i] + code[i + 2 :] for i in range(LENGTH - 1)}
    assert all(isinstance(read(slip), Misread) for slip in (wrong | swapped) - {code})


@given(st.sampled_from(Kind), benches, st.integers(0, SERIALS - 1))
def test_what_was_made_is_read_back(kind: Kind, bench: str, serial: int) -> None:
    code = make(kind, bench, serial)
    assert read(code) == Code(code, kind, bench, serial)
    assert read(grouped(code).lower()) == read(code) == read(f" {code.swapcase()}\r\n")
    assert set(code) <= set(ALPHABET)


FIXED_FOR_EVER = {
    (Kind.BAG, "KD", 0): "BKDBBBBBCG",
    (Kind.ACTION, "BB", 1): "DBBBBBBCJH",
    (Kind.JOB, "XX", SERIALS - 1): "JXXXXXXXNB",
    (Kind.ALPHABET, "BC", 0): "KBCBBBBBGD",
    (Kind.PERSON, "TR", 77): "PTRBBBGTPX",
    (Kind.WRENCH, "TR", 4096): "RTRBCBBBNH",
    (Kind.SHELF, "NV", 12): "SNVBBBBSGF",
    (Kind.TAG, "KD", 65535): "TKDBXXXXTH",
}


@pytest.mark.parametrize(("meaning", "code"), FIXED_FOR_EVER.items())
def test_labels_in_the_field_keep_their_meaning(meaning: tuple[Kind, str, int], code: str) -> None:
    assert make(*meaning) == code
    assert {kind for kind, _, _ in FIXED_FOR_EVER} == set(Kind)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "4006381333931",  # an EAN
        "1234567890",
        "1111111111",
        "https://example.com/label",
        "KDTRB",  # half a code
        "SUSPENSION",
        "SHAFT, REAR",
        "RETOUR BOX",
        "25.4 N.m",
        "BKDBBBBB\N{LATIN SMALL LETTER LONG S}G",
        "ＢＫＤＢＢＢＢＢＣＧ",
        "BKDBBBBBCG" * 2,
    ],
)
def test_what_is_no_code_is_not_called_one(text: str) -> None:
    assert read(text) is None


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("BKDBBBBBCH", "check letters"),
        ("BKDBBBBBC", "9 letters"),
        ("BKDBB BBBBB CG", "12 letters"),
        ("BKDBBBBBCA", "No code of ours has A"),
        ("0KDBBBB8CG", "0 or 8"),
        ("BBBBBBBBBB", "check letters"),
    ],
)
def test_a_misreading_says_what_is_wrong(text: str, why: str) -> None:
    answer = read(text)
    assert isinstance(answer, Misread)
    assert why in answer.why


anything = st.text(max_size=14) | st.text(ALPHABET + ALPHABET.lower() + "0189AQZ \t\u00a0\u2028ſı", max_size=14)


@given(anything | st.tuples(anything, codes, anything).map("".join))
def test_any_text_is_answered_and_a_code_only_for_its_own_letters(text: str) -> None:
    answer = read(text)
    if isinstance(answer, Code):
        assert answer.text == "".join(text.split()).upper()
        assert answer.text == make(answer.kind, answer.bench, answer.serial)
    elif isinstance(answer, Misread):
        assert answer.why
    else:
        assert answer is None


@given(codes, st.text(st.characters(exclude_characters="".join(map(chr, range(128)))), min_size=1, max_size=2))
def test_a_letter_of_another_script_makes_no_code(code: str, foreign: str) -> None:
    for at in range(LENGTH + 1):
        if "".join((code[:at] + foreign + code[at:]).split()) != code:
            assert not isinstance(read(code[:at] + foreign + code[at:]), Code)


def test_a_kind_of_a_newer_version_is_told_from_a_wrong_letter() -> None:
    newer = next(text for a in ALPHABET for b in ALPHABET if remainder(text := f"C{'B' * 7}{a}{b}") == 0)
    answer = read(newer)
    assert isinstance(answer, Misread)
    assert "update" in answer.why


@pytest.mark.parametrize("bench", ["", "B", "BBB", "AB", "bc", "B1"])
def test_a_bench_is_two_letters_of_the_alphabet(bench: str) -> None:
    with pytest.raises(ValueError, match="two letters"):
        make(Kind.BAG, bench, 0)


@pytest.mark.parametrize("serial", [-1, SERIALS])
def test_a_serial_that_does_not_fit_is_refused(serial: int) -> None:
    with pytest.raises(ValueError, match="does not fit"):
        make(Kind.BAG, "KD", serial)


def test_no_letter_of_a_code_is_a_digit_or_moves_between_keyboard_layouts() -> None:
    assert not set(ALPHABET) & set(string.digits + "AMQWYZ")
    assert len(set(ALPHABET)) == 16


def test_reading_a_code_loads_nothing_heavy() -> None:
    asked = (
        "import sys, labels.code; print(*sorted({'PIL', 'qrcode', 'fpdf', 'fontpkg_noto_sans'} & sys.modules.keys()))"
    )
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []
