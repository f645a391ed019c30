"""Registrations, VINs and trouble codes."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from vininfo import Vin

from reassembly.trade.identity import (
    check_sum,
    code_before_words,
    code_of_bytes,
    compare_registrations,
    has_form_of_code,
    read_code,
    read_vin,
    registration_key,
)

ALLOWED = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"


@pytest.mark.parametrize(
    ("one", "other", "nearness"),
    [
        ("AB-CD 123", "abcd123", "same"),
        ("AB–CD·123", "AB.CD.123", "same"),
        ("ＡＢ１２３", "AB123", "same"),  # a keyboard left in full-width input
        ("AB 1O3", "AB 103", "look-alike"),
        ("ABI 23", "AB1 23", "look-alike"),
        ("СВ 1234 АК", "CB 1234 AK", "look-alike"),  # the first in Cyrillic
        ("MÜ-X 12", "MU-X 12", "look-alike"),
        ("AB 123", "AB 124", "different"),
        ("AB 123", "AB 12", "different"),
        ("", "", "different"),
        ("-", " ", "different"),
    ],
)
def test_registrations_are_compared_as_people_compare_them(one: str, other: str, nearness: str) -> None:
    assert compare_registrations(one, other) == nearness
    assert compare_registrations(other, one) == nearness


@given(st.text(max_size=12))
def test_a_key_is_its_own_key(text: str) -> None:
    assert registration_key(registration_key(text)) == registration_key(text)


VINS = {  # sum and check digit
    "49 CFR 565.15 table VI": ("1G4AH59H45G118341", 411, "4"),
    "all ones, common test value": ("11111111111111111", 89, "1"),
}


@pytest.mark.parametrize(("vin", "total", "digit"), VINS.values(), ids=VINS.keys())
def test_the_check_digit_is_the_published_one(vin: str, total: int, digit: str) -> None:
    read = read_vin(vin)
    assert check_sum(vin) == total
    assert read.check_digit == digit == vin[8]
    assert read.doubts == ()
    assert f"check digit {digit} is right" in read.certain[0]


@given(st.sampled_from("12345"), st.text(ALLOWED, min_size=16, max_size=16))
def test_another_library_finds_the_same_vins_right(first: str, rest: str) -> None:
    vin = first + rest  # of North America, where the digit is required
    right = check_sum(vin) % 11 == "0123456789X".find(vin[8])
    assume(getattr(Vin(vin).assembler, "uses_sae_checkdigit", True))  # it knows makers that give none
    assert Vin(vin).verify_checksum(check_year=False) == right
    whole = vin[:8] + "0123456789X"[check_sum(vin) % 11] + vin[9:]
    assert Vin(whole).verify_checksum(check_year=False)


@given(st.text(ALLOWED, min_size=13, max_size=13), st.text("0123456789", min_size=4, max_size=4), st.data())
def test_one_wrong_digit_is_doubted(front: str, back: str, data: st.DataObject) -> None:
    vin = front + back
    # The plain rule of the regulation, told without a table: letters count from 1 after A, J and R, S from 2.
    value = {c: (ord(c) - 48) if c.isdigit() else 0 for c in ALLOWED}
    for run, first in (("ABCDEFGH", 1), ("JKLMN", 1), ("P", 7), ("R", 9), ("STUVWXYZ", 2)):
        value |= {c: first + n for n, c in enumerate(run)}
    weights = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2]
    digit = "0123456789X"[sum(value[c] * w for c, w in zip(vin, weights, strict=True)) % 11]
    right = vin[:8] + digit + vin[9:]
    assert read_vin(right).doubts == ()
    place = data.draw(st.sampled_from([n for n in range(17) if n != 8 and right[n].isdigit()]))
    slip = data.draw(st.sampled_from([c for c in "0123456789" if c != right[place]]))
    assert read_vin(right[:place] + slip + right[place + 1 :]).doubts != ()


def test_a_failed_digit_warns_and_keeps_what_was_typed() -> None:
    vin = read_vin("1g4ah59h5 5g118341")
    assert (vin.text, vin.key, vin.check_digit) == ("1g4ah59h5 5g118341", "1G4AH59H55G118341", "4")
    assert vin.doubts == ("position 9 is 5, the other sixteen ask for 4 (sum 411, remainder 4): read the plate again",)


def test_outside_north_america_the_warning_says_that_the_digit_may_mean_nothing() -> None:
    assert "only North America" in read_vin("ZAR00000500000001").doubts[0]
    assert read_vin("ZAR000ZZZ00000001").doubts == ()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1G4AH59H45G11834", "16 characters, a VIN has 17: 1 missing"),
        ("1G4AH59H45G1183411", "18 characters, a VIN has 17: 1 too many"),
        ("IG4AH59H45G118341", "position 1 is the letter I, which a VIN never has: is it 1?"),
        ("1G4AH59H45G1I8341", "position 13 is the letter I, which a VIN never has: is it 1?"),
        ("1G4AH59H45GO18341", "position 12 is the letter O, which a VIN never has: is it 0?"),
        ("1G4AH59H45GQ18341", "position 12 is the letter Q, which a VIN never has: is it 0?"),
        ("1G4AH59H45G11834!", "position 17 is !, which a VIN never has"),
        ("1G4AH59H45G11B341", "the last four are digits"),
    ],
)
def test_a_wrong_form_is_named_and_kept(text: str, words: str) -> None:
    vin = read_vin(text)
    assert any(words in doubt for doubt in vin.doubts)
    assert vin.text == text


def test_a_letter_taken_for_a_digit_is_mended_where_the_check_digit_agrees() -> None:
    assert "1G4AH59H45G118341 has the right check digit" in read_vin("1G4AH59H45G1I8341").doubts[-1]
    assert not any("right check digit" in doubt for doubt in read_vin("1G4AH59H45G1O8341").doubts)


def test_the_import_mark_of_a_bar_code_is_not_part_of_the_vin() -> None:
    assert read_vin("I1G4AH59H45G118341").key == "1G4AH59H45G118341"


def test_the_model_year_takes_position_7_to_tell_the_thirty_years_apart() -> None:
    told = " ".join(read_vin("1G4AH59H45G118341").certain)
    assert "model year 2005 for a car or light truck by position 7, otherwise 2035" in told
    assert "North America" in told


def test_nothing_typed_is_no_vin() -> None:
    with pytest.raises(ValueError, match="no VIN was typed"):
        read_vin("  -  ")


CODES = {0x0135: "P0135", 0x0735: "P0735", 0x0736: "P0736", 0xC100: "U0100"}  # ISO 15031-6, two bytes and text


@pytest.mark.parametrize(("number", "code"), CODES.items())
def test_two_bytes_and_text_are_one_code(number: int, code: str) -> None:
    assert code_of_bytes(number.to_bytes(2, "big")).code == code
    assert read_code(code).number == number


@given(st.integers(1, 0xFFFF))
def test_every_pair_of_bytes_survives_being_written_and_typed(number: int) -> None:
    read = code_of_bytes(number.to_bytes(2, "big"))
    assert read_code(read.code.lower()).number == number
    assert read.code == f"{'PCBU'[number // 16384]}{number % 16384:04X}"


MEANINGS = {  # generic meaning, SAE J2012 / ISO 15031-6
    "P0730": "incorrect gear ratio",
    "P0735": "gear 5: incorrect ratio",
    "P0736": "reverse: incorrect ratio",
    "P0720": "output speed sensor circuit",
}


@pytest.mark.parametrize(("code", "meaning"), MEANINGS.items())
def test_the_generic_meaning_is_given(code: str, meaning: str) -> None:
    assert read_code(code).meaning == meaning
    assert str(read_code(code)) == f"{code}: {meaning}; standard code"


@pytest.mark.parametrize(
    ("code", "system", "standard", "part"),
    [
        ("P0868", "powertrain", True, "transmission"),
        ("P1768", "powertrain", False, None),
        ("P2714", "powertrain", True, "transmission"),
        ("P3301", "powertrain", False, None),
        ("P3400", "powertrain", True, None),
        ("P3A00", "powertrain", None, None),
        ("C0035", "chassis", True, None),
        ("B1A2F", "body", False, None),
        ("U2100", "network", False, None),
        ("U3000", "network", None, None),
    ],
)
def test_the_parts_of_a_code(code: str, system: str, standard: bool | None, part: str | None) -> None:
    read = read_code(code)
    assert (read.system, read.standard, read.part) == (system, standard, part)


def test_slips_in_a_typed_code_are_read_and_said() -> None:
    read = read_code(" po735 ")
    assert (read.code, read.text) == ("P0735", " po735 ")
    assert "PO735 read as P0735" in read.doubts[0]
    assert read_code("P 0735").doubts == ()
    assert read_code("P0735-64").failure_type == "64"


@pytest.mark.parametrize(
    ("text", "code"),
    {
        "P0735clunk on 2-3": "P0735",
        " p 0735 clunk": "P0735",
        "PO735 clunk": "P0735",
        "P0735-64 stored": "P0735",
        "P0735, P0741": "P0735",
        "P0735": "",
        "P0735-64": "",
        "P0735 64": "",
        "P0735x": "",
        "P07351234": "",
        "clunk P0735": "",
        "SPN 639 FMI 9": "",
        "": "",
    }.items(),
)
def test_a_code_with_words_after_it_is_told_from_a_code(text: str, code: str) -> None:
    assert code_before_words(text) == code


@given(st.text(alphabet="P073OI5 -x\n,clunk", max_size=14))
def test_what_reads_as_a_code_has_no_words_after_it(text: str) -> None:
    try:
        read_code(text)
    except ValueError:
        code_before_words(text)
    else:
        assert code_before_words(text) == ""


@pytest.mark.parametrize("text", ["", "P073", "P4735", "0735", "X0735", "P073G", "P07355", "P０７３５x", "P0735-6"])
def test_what_is_no_code_is_refused_in_words(text: str) -> None:
    with pytest.raises(ValueError, match="is not a trouble code: P, C, B or U"):
        read_code(text)


def test_no_code_is_not_a_code() -> None:
    with pytest.raises(ValueError, match="no code is stored"):
        read_code("P0000")
    with pytest.raises(ValueError, match="no code is stored"):
        code_of_bytes(b"\0\0")
    with pytest.raises(ValueError, match="two bytes, not 3"):
        code_of_bytes(b"\1\2\3")


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        ("P0735", True), ("PO735", True), ("P0735-64", True), ("0735", True), ("4E2A0", True), ("18265", True),
        ("SPN 191 FMI 2", True), ("191/2", True), ("spn191-2", True), ("25", True),
        ("P07", False), ("km", False), ("P073", False), ("", False), ("clunk", False), ("FACE", False),
        ("P07 km", False),
    ],
)  # fmt: skip
def test_what_has_the_form_of_a_code_or_of_a_makers_own(text: str, is_one: bool) -> None:
    assert has_form_of_code(text) is is_one
