"""Words of a text that can be compared with those of another: no meaning, only the same word in another ending."""

from __future__ import annotations

import re


def trade_words(text: str) -> dict[str, str]:
    """The words of a text that can be compared, by their stem, each as it was typed: `leaking` and `leaks` are one.

    Letters of three and more without the usual small words, and fault codes. Nothing is known of their meaning.
    """
    found: dict[str, str] = {}
    for word in re.findall(r"[a-z]\d[0-9a-f]{3}\b|[^\W\d_]{3,}", text.casefold()):
        if word not in _SMALL:
            found.setdefault(_stem(word), word)
    return found


_SMALL_WORDS = """
    about after again all also always and any are away back bad been before being better but came can come could
    customer day days did does done down during each ever every felt few first for from get gets gone good had
    has have heard her here his hold holds how into its just last less like made makes may might month months
    more much never new none not nothing now off old once only onto other our out over repair repaired said same
    says should since some sometimes still such than that the their them then there these they this time times
    too until upon very was week weeks were what when where which while who will with without worse would year
    years yes yet you your
"""
_PLACE_WORDS = "front rear left right upper lower inner outer side top bottom inside outside under"
_SMALL = frozenset(_SMALL_WORDS.split())
_PLACES = frozenset(_PLACE_WORDS.split())


def _stem(word: str) -> str:
    for ending in ("s", "ing", "ed"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            word = word.removesuffix(ending)
    word = word.removesuffix("e") if len(word) > 3 else word
    return word[:-1] if len(word) > 3 and word[-1] == word[-2] else word


def is_place(word: str) -> bool:
    """Whether the word only says on which side."""
    return word in _PLACES
