"""What a scanner meant when the keyboard layout it types for is not the one of the machine it types into.

A layout moves keys one to one, so one scan of a label with every key on it teaches which is which.
"""

from collections.abc import Mapping

from labels.code import ALPHABET

KEYS = ALPHABET + "AEIOUMQWYZ" + "1234567890" + "-."
"""The text of the scanner label: capitals, digits, and the two signs of a measured value. No key twice."""


def learn(typed: str) -> dict[str, str] | None:
    """From each character that came to the one that was meant, when `typed` is a scan of the scanner label.

    None when it is anything else, or when two keys gave the same or a key gave nothing (a layout with dead keys, a
    scanner that drops keys): then nothing can be learnt, and the scanner has to be set.
    """
    came = [_capital(letter) for letter in typed.strip()]
    if len(came) != len(KEYS) or len(set(came)) != len(KEYS):
        return None
    return dict(zip(came, KEYS, strict=True))


def meant(typed: str, learnt: Mapping[str, str]) -> str:
    """The text as the scanner had it. A character that the scanner label did not teach stays; so does its case."""
    return "".join(_as_typed(learnt.get(_capital(letter), letter), letter) for letter in typed)


def _as_typed(letter: str, typed: str) -> str:
    return letter.lower() if typed.islower() else letter


def _capital(letter: str) -> str:
    """Caps Lock may be on. Where a capital is two letters (ß) there is none."""
    capital = letter.upper()
    return capital if len(capital) == 1 else letter
