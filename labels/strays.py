"""A code found among the keys that a hand pressed while the scanner typed it."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import TYPE_CHECKING, NamedTuple

from labels.code import ALPHABET, LENGTH, Code
from labels.code import read as read_code

if TYPE_CHECKING:
    from collections.abc import Callable, Container, Sequence

MOST_STRAYS = 3  # letters that could be the code's own, pressed by a hand while a scanner types ten
MOST_AROUND_FOREIGN = 2  # keys of a hand among those of a code that is none of ours
SURELY = 0.5  # one of several is meant where its pauses are less than half as uneven as those of each other
LETTERS = ALPHABET + ALPHABET.lower()


class Typed(NamedTuple):
    """What a key typed, "" for one that types nothing, and when, in seconds."""

    letter: str
    at: float


def code_among(keys: Sequence[Typed], ours: Container[str] | None) -> tuple[int, ...]:
    """The places of ten letters that are a code; none where there is no code, or where there could be several.

    A scanner types capitals, or small letters where Caps Lock is on, and a hand the other; where both are the same a
    few places are tried, those that leave out least first: only for a bench that is `ours`, because what merely seems
    to be a code has not its letters as well. None: every bench is. A hand's pauses are less even than a scanner's.
    """
    of_codes = [(n, key.letter) for n, key in enumerate(keys) if key.letter and key.letter in LETTERS]
    for places in (
        [n for n, letter in of_codes if letter.isupper()],
        [n for n, letter in of_codes if letter.islower()],
        [n for n, _ in of_codes],
    ):
        found = _fewest_left_out(keys, places, MOST_STRAYS, lambda code: ours is None or code.bench in ours)
        if not found and len(places) == LENGTH and len(keys) <= LENGTH + MOST_AROUND_FOREIGN:
            found = _fewest_left_out(keys, places, 0, lambda _: True)
        if found:
            return found
    return ()


def _fewest_left_out(
    keys: Sequence[Typed], places: Sequence[int], strays: int, counts: Callable[[Code], bool]
) -> tuple[int, ...]:
    for left_out in range(min(strays, len(places) - LENGTH) + 1):
        found: dict[str, tuple[int, ...]] = {}
        first, *rest = places[-LENGTH - left_out :]
        for others in combinations(rest, LENGTH - 1):
            of_code = (first, *others)
            code = read_code("".join(keys[n].letter for n in of_code))
            if isinstance(code, Code) and counts(code):
                before = found.setdefault(code.text, of_code)
                found[code.text] = min(before, of_code, key=lambda each: _uneven(keys, each))
        if found:
            likely, *less = sorted(found.values(), key=lambda each: _uneven(keys, each))
            sure = all(_uneven(keys, likely) < SURELY * _uneven(keys, each) for each in less)
            return likely if sure else ()
    return ()


def _uneven(keys: Sequence[Typed], places: Sequence[int]) -> float:
    """How much longer the longest pause between these keys is than the shortest, in seconds."""
    pauses = [keys[b].at - keys[a].at for a, b in pairwise(places)]
    return max(pauses) - min(pauses)
