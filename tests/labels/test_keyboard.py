"""One scan of the scanner label teaches any keyboard layout that moves keys one to one."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.code import ALPHABET, Code, Kind, make, read
from labels.keyboard import KEYS, learn, meant

TYPED = {  # what a scanner set to a US keyboard types for KEYS. Source: xkeyboard-config 2.35.1, by libxkbcommon 1.5
    "us": "BCDFGHJKLNPRSTVXAEIOUMQWYZ1234567890-.",
    "be": "BCDFGHJKLNPRSTVXQEIOU?AZYW&é\"'(§è!çà):",
    "ch": "BCDFGHJKLNPRSTVXAEIOUMQWZY1234567890'.",
    "cz": "BCDFGHJKLNPRSTVXAEIOUMQWZY+ěščřžýáíé=.",
    "de": "BCDFGHJKLNPRSTVXAEIOUMQWZY1234567890ß.",
    "fr": "BCDFGHJKLNPRSTVXQEIOU?AZYW&é\"'(-è_çà):",
    "hu": "BCDFGHJKLNPRSTVXAEIOUMQWZY123456789öü.",
    "lt": "BCDFGHJKLNPRSTVXAEIOUMQWYZąčęėįšųū„“-.",
    "sk": "BCDFGHJKLNPRSTVXAEIOUMQWZY+ľščťžýáíé=.",
    "tr": "BCDFGHJKLNPRSTVXAEIOUMQWYZ1234567890*ç",
    "bepo": 'KXIE;CTSR?JOUÈ:YAPDLVQBÉ!À"«»()@+-/*=h',
    "dvorak": 'XJEUIDHTNBLPOYKQA>CRGM"<F:1234567890[v',
    "ru": "ИСВАПРОЛДТЗКЫЕМЧФУШЩГЬЙЦНЯ1234567890-ю",
}
CODE = make(Kind.BAG, "KD", 48_151)
every_layout = pytest.mark.parametrize("layout", TYPED)


def test_the_scanner_label_has_every_key_once() -> None:
    assert sorted(KEYS) == sorted(string.ascii_uppercase + string.digits + "-.")
    assert KEYS.startswith(ALPHABET)


@every_layout
def test_after_one_scan_everything_is_understood(layout: str) -> None:
    typed = TYPED[layout]
    learnt = learn(typed + "\n")
    assert learnt is not None
    key = dict(zip(KEYS, typed, strict=True))
    for text in (CODE, "4006381333931", "-25.4"):
        assert meant("".join(key[letter] for letter in text), learnt) == text


@every_layout
def test_with_caps_lock_on_for_either_scan_it_is_understood(layout: str) -> None:
    typed = TYPED[layout]
    key = dict(zip(KEYS, typed, strict=True))
    for label, scan in ((str.lower, str.upper), (str.upper, str.lower)):
        learnt = learn("".join(label(letter) if letter != "ß" else letter for letter in typed))
        assert learnt is not None
        answer = read(meant("".join(scan(key[letter]) for letter in CODE), learnt))
        assert isinstance(answer, Code)
        assert answer.text == CODE


@pytest.mark.parametrize("layout", sorted(TYPED.keys() - {"bepo", "dvorak", "ru"}))
def test_on_these_layouts_a_code_needs_no_learning(layout: str) -> None:
    key = dict(zip(KEYS, TYPED[layout], strict=True))
    assert "".join(key[letter] for letter in CODE) == CODE


@given(st.permutations(string.printable.strip().replace(string.ascii_lowercase, "")))
def test_any_layout_that_moves_keys_one_to_one_is_learnt(keys: list[str]) -> None:
    key = dict(zip(KEYS, keys, strict=False))
    learnt = learn("".join(key[letter] for letter in KEYS))
    assert learnt is not None
    assert meant("".join(key[letter] for letter in KEYS[::-1]), learnt) == KEYS[::-1]


@given(st.integers(0, len(KEYS) - 1), st.sampled_from(list(TYPED.values())))
def test_a_scan_that_lost_or_doubled_a_key_teaches_nothing(place: int, typed: str) -> None:
    assert learn(typed[:place] + typed[place + 1 :]) is None
    assert learn(typed[:place] + typed[place] + typed[place:]) is None
    assert learn(typed[:place] + typed[place - 1] + typed[place + 1 :]) is None


@pytest.mark.parametrize(
    "typed",
    [
        "",
        CODE,
        "4006381333931",
        "https://example.com/label/0123456789abcd",
        "ΒΨΔΦΓΗΞΚΛΝΠΡΣΤΩΧΑΕΙΟΘΜ:ΣΥΖ1234567890-.",  # the Greek layout has Σ twice
    ],
)
def test_anything_else_teaches_nothing(typed: str) -> None:
    assert learn(typed) is None


def test_what_was_not_taught_stays() -> None:
    learnt = learn(TYPED["fr"])
    assert learnt is not None
    assert meant("(à N·;", learnt) == "50 N·;"
    assert meant("bag", learnt) == "bqg"
