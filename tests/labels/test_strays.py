"""A code found among the keys that a hand pressed while the scanner typed it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.code import Kind, make
from labels.strays import MOST_AROUND_FOREIGN, MOST_STRAYS, Typed, code_among

OURS = frozenset({"KD"})
CODE = make(Kind.BAG, "KD", 4711)
FOREIGN = make(Kind.BAG, "XX", 4711)
GAP, HAND = 0.005, 0.03


def among(code: str, strays: list[tuple[int, str]]) -> tuple[list[Typed], tuple[int, ...]]:
    """The keys of a code with others pressed before its letters, by place; and where its own then are."""
    keys: list[Typed] = []
    own: list[int] = []
    at = 0.0
    for place, letter in enumerate(code):
        for _, stray in (each for each in strays if each[0] == place):
            at += HAND
            keys.append(Typed(stray, at))
        at += GAP
        own.append(len(keys))
        keys.append(Typed(letter, at))
    return keys, tuple(own)


NO_LETTERS = st.sampled_from(["", "7", " ", "a", "m", "w", "A", "Q", "é"])


@given(st.lists(st.tuples(st.integers(1, 9), NO_LETTERS), max_size=9), st.integers(0, (1 << 20) - 1), st.booleans())
def test_whatever_else_comes_between_its_letters_is_left_out(
    strays: list[tuple[int, str]], serial: int, small: bool
) -> None:
    code = make(Kind.BAG, "KD", serial)
    keys, own = among(code.lower() if small else code, strays)
    assert code_among(keys, OURS) == code_among(keys, None) == own


@given(st.lists(st.tuples(st.integers(1, 9), st.sampled_from("bdfknprst")), max_size=9))
def test_small_letters_of_a_hand_are_told_from_the_capitals_of_a_code(strays: list[tuple[int, str]]) -> None:
    keys, own = among(CODE, strays)
    assert code_among(keys, OURS) == own


@pytest.mark.parametrize("many", [1, MOST_STRAYS])
def test_capitals_that_could_be_its_own_are_tried_for_a_bench_of_ours_alone(many: int) -> None:
    strays = [(5, "V")] * many
    keys, own = among(CODE, strays)
    assert code_among(keys, OURS) == own
    assert code_among(among(FOREIGN, strays)[0], OURS) == ()


@pytest.mark.parametrize(("many", "found"), [(MOST_AROUND_FOREIGN, True), (MOST_AROUND_FOREIGN + 1, False)])
def test_a_code_of_another_bench_is_one_with_few_keys_around_it(many: int, found: bool) -> None:
    keys, own = among(FOREIGN, [(5, "a")] * many)
    assert code_among(keys, OURS) == (own if found else ())


def test_a_wrong_letter_makes_no_code() -> None:
    assert code_among(among(f"{CODE[:-1]}{'B' if CODE[-1] != 'B' else 'C'}", [])[0], None) == ()


def test_two_codes_at_one_pace_are_none() -> None:
    """Where either could be meant nobody is served by a guess."""
    keys = [Typed(letter, n * GAP) for n, letter in enumerate(two_in_one())]
    assert code_among(keys, OURS) == ()


def two_in_one() -> str:
    """Eleven letters in which leaving out either of two gives a code of ours."""
    for serial in range(1 << 20):
        code = make(Kind.BAG, "KD", serial)
        for letter in "BCDFGHJKLNPRSTVX":
            text = f"{code[:9]}{letter}{code[9:]}"
            other = {text[:n] + text[n + 1 :] for n in range(11)} - {code}
            if any(code_among([Typed(c, 0.0) for c in each], OURS) for each in other):
                return text
    raise AssertionError("there is none")
