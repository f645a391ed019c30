"""Numbers and times as they are said in a line of words, the same on every screen and paper."""

from __future__ import annotations

_SEVERAL = {"entry": "entries"}


def plural(noun: str, number: int) -> str:
    """The noun for so many: bolt, bolts; entry, entries."""
    return noun if number == 1 else _SEVERAL.get(noun, f"{noun}s")


def many(number: int, noun: str) -> str:
    """`1 entry`, `12 bolts`."""
    return f"{number} {plural(noun, number)}"


def stand(number: int, noun: str) -> str:
    """`1 check is`, `12 checks are`."""
    return f"{many(number, noun)} {'is' if number == 1 else 'are'}"


def minute(time: str) -> str:
    """An ISO time as the clock on the wall showed it: `2026-03-14T16:55:03+01:00` is 2026-03-14 16:55."""
    return time[:16].replace("T", " ")
