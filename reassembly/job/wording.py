"""Numbers and times as they are said in a line of words, the same on every screen and paper."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

_SEVERAL = {"entry": "entries", "bag or tag": "bags and tags"}


def plural(noun: str, number: int) -> str:
    """The noun for so many: bolt, bolts; entry, entries."""
    return noun if number == 1 else _SEVERAL.get(noun, f"{noun}s")


def many(number: int, noun: str) -> str:
    """`1 entry`, `12 bolts`."""
    return f"{number} {plural(noun, number)}"


def stand(number: int, noun: str) -> str:
    """`1 check is`, `12 checks are`."""
    return f"{many(number, noun)} {'is' if number == 1 else 'are'}"


def size(thread: str, lengths: Iterable[str]) -> str:
    """`M10x1.25x35`, and `M8x25/40` for bolts of several lengths; as much of it as was said."""
    return "x".join(filter(None, (thread, "/".join(dict.fromkeys(lengths)))))


def verb(called: str, noun: str) -> str:
    """`faces` for one lug, `face` for slots: the verb as what it speaks of asks."""
    return called if several(noun) else f"{called}s"


def several(noun: str) -> bool:
    """Whether a noun speaks of more than one: slots, a lug and a tab; not one boss."""
    head = re.split(r" (?:of|in|on|at|for|with|under) ", noun.strip().casefold())[0]
    return " and " in head or (head.endswith("s") and not head.endswith(("ss", "us", "is", "lens")))


def one_by_one(names: Sequence[str], most: int = 3) -> str:
    """The first of them, and how many more; apart by semicolons where one has a comma in it: `propshaft, rear`."""
    between = "; " if any("," in name for name in names[:most]) else ", "
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return between.join(names[:most]) + more


def minute(time: str) -> str:
    """An ISO time as the clock on the wall showed it: `2026-03-14T16:55:03+01:00` is 2026-03-14 16:55."""
    return time[:16].replace("T", " ")
