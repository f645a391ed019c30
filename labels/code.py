"""A code is ten letters: kind, bench, serial number and a check that catches a slip.

letter   1      2 3     4 5 6 7 8   9 10
         kind   bench   serial      check
bits     4      8       20          8
"""

from dataclasses import dataclass
from enum import IntEnum

ALPHABET = "BCDFGHJKLNPRSTVX"
"""The letters that every Latin keyboard layout in use leaves where they are; each stands for its place, 0 to 15."""

LENGTH = 10
SERIALS = 1 << 20

# x^8 + x^5 + x + 1. Any CRC-8 catches a wrong letter and a swap of neighbours, both being bursts of at most 8 bits.
# In ten letters this one, found by trying all 128, also catches every two wrong letters wherever they are.
_POLYNOMIAL = 0x123
_START = 0xFF  # so that BBBBBBBBBB, a key held down, is no code


class Kind(IntEnum):
    """What a label is for. The number is on labels in the field: never changed, never used again.

    Each is chosen so that the first letter of the code tells a person the kind.
    """

    BAG = 0  # B
    ACTION = 2  # D, do: a card that stands for a key
    JOB = 6  # J
    ALPHABET = 7  # K, keyboard: the calibration label of a scanner
    PERSON = 10  # P
    WRENCH = 11  # R, wrench rack
    SHELF = 12  # S
    TAG = 13  # T


@dataclass(frozen=True, slots=True)
class Code:
    """A code that was read whole: its letters in capitals, and what they say."""

    text: str
    kind: Kind
    bench: str
    serial: int


@dataclass(frozen=True, slots=True)
class Misread:
    """Something that looks like one of our codes and is not. `why` says what is wrong and what to do."""

    text: str
    why: str


def make(kind: Kind, bench: str, serial: int) -> str:
    """The ten letters of a new code.

    `bench` is two letters of ALPHABET, `serial` 0 to 1 048 575. Raises ValueError for anything else.
    """
    if len(bench) != 2 or not set(bench) <= set(ALPHABET):
        raise ValueError(f"a bench is two letters of {ALPHABET}, not {bench!r}")
    if not 0 <= serial < SERIALS:
        raise ValueError(f"serial {serial} does not fit on a label (0 to {SERIALS - 1}): give the bench a new name")
    payload = ALPHABET[kind] + bench + _letters(serial, 5)
    return payload + _check(payload)


def read(text: str) -> Code | Misread | None:
    """What was scanned or typed, in any case, with or without spaces. None: it does not even look like a code."""
    letters = "".join(text.split())
    if not letters.isascii():  # 'ſ' and 'ı' have ASCII capitals
        return None
    letters = letters.upper()
    foreign = [letter for letter in letters if letter not in ALPHABET]
    if foreign:
        if len(letters) == LENGTH and len(foreign) <= 2:
            return Misread(letters, f"No code of ours has {' or '.join(foreign)} in it: read it again.")
        return None
    if len(letters) != LENGTH:
        if abs(len(letters) - LENGTH) <= 2:
            return Misread(letters, f"{len(letters)} letters where a code has {LENGTH}: read it again.")
        return None
    if _check(letters[:-2]) != letters[-2:]:
        return Misread(letters, "The check letters do not agree: a letter is wrong, read it again.")
    number = ALPHABET.index(letters[0])
    if number not in set(Kind):
        return Misread(letters, "A kind of label this version does not know: update the program.")
    return Code(letters, Kind(number), letters[1:3], _value(letters[3:8]))


def grouped(code: str) -> str:
    """The code as it is printed and read aloud: two groups of five letters."""
    return f"{code[:5]} {code[5:]}"


def _check(payload: str) -> str:
    """The two check letters of eight: what is left when the payload is divided by the polynomial."""
    remainder = _START
    for letter in payload:
        remainder ^= ALPHABET.index(letter) << 4
        for _ in range(4):
            remainder <<= 1
            if remainder & 0x100:
                remainder ^= _POLYNOMIAL
    return _letters(remainder, 2)


def _letters(value: int, count: int) -> str:
    return "".join(ALPHABET[value >> 4 * place & 15] for place in reversed(range(count)))


def _value(letters: str) -> int:
    value = 0
    for letter in letters:
        value = value << 4 | ALPHABET.index(letter)
    return value
