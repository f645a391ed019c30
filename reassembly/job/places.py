"""How a place is said, so that who confirms it confirms the number itself: tooth, clock position, balance weight."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from reassembly.job.entries import MarkMade, WeightFound
from reassembly.trade.facing import read_side

if TYPE_CHECKING:
    from reassembly.job.entries import OrientationNoted

# What is pushed on and held by a catch: common practice, no source. There is nothing to pull at on a bolted flange.
_PUSHED = re.compile(
    r"\b(?:connectors?|(?:multi)?plugs?|sockets?|harness|loom|sensors?|solenoids?|cables?|wires?|wiring"
    r"|(?:push|snap)[- ]?(?:fit|on)|quick[- ]?(?:fit|release|connect)\w*)\b",
    re.IGNORECASE,
)
_FROM = re.compile(
    r"\bfrom (?:the )?(front|rear|left|right|above|below|inboard|outboard|input end|output end)\b", re.IGNORECASE
)
HOLE = re.compile(r"(?:hole|bolt|position)\s*(\d+)(?:\s*(?:of|/)\s*(\d+))?", re.IGNORECASE | re.ASCII)
"""A place told as a hole: which one, and of how many where that was said."""

_ITSELF = re.compile(r"\b(?:plate|piece|magnet|washer|bolt|nut|screw|plug|pin)s?\b", re.IGNORECASE)


def seen_from(side: str) -> str:
    """`seen from below`, `seen from the front`; empty where nobody said the side."""
    if not side.strip():
        return ""
    try:
        return f"seen from {read_side(side).seen}"
    except ValueError:
        return f"seen from {side}"


def clock_place(fact: OrientationNoted) -> str:
    """`at 4 o'clock seen from the front`, `at 4:30 seen from below`, as far as it was said."""
    whole_hour = "" if ":" in fact.clock else " o'clock"
    clock = f"at {fact.clock}{whole_hour}" if fact.clock else ""
    return f"{clock} {seen_from(fact.seen_from)}".strip()


def counted_from(fact: MarkMade | WeightFound) -> str:
    """The side that its place is counted from: as said, else as its own words name it, `7 of 28 from the rear`."""
    if fact.seen_from.strip():
        return fact.seen_from
    texts = (fact.position,) if isinstance(fact, WeightFound) else (fact.mark, fact.to, fact.note)
    found = _FROM.search(" ".join(texts))
    return found[1] if found else ""


def tooth(fact: MarkMade) -> str:
    """`tooth 7 of 27 seen from the rear to the mark, white paint`; without its number, the same tooth as before."""
    which = f"tooth {fact.marked_tooth}" if fact.marked_tooth else "the same tooth"
    of = f"of {fact.spline_teeth}" if fact.spline_teeth else ""
    return f"{' '.join(filter(None, [which, of, seen_from(fact.seen_from)]))} to the mark, {fact.mark}"


def weight(fact: WeightFound) -> str:
    """`14 g balance weight`, `6 g riveted balance weight`; a locking plate is called so."""
    told = "balance weight"
    if _ITSELF.search(fact.what) or told in fact.what.casefold():
        told = fact.what
    elif fact.what.casefold().strip() not in {"", "weight"}:
        told = f"{fact.what} {told}"
    return f"{fact.mass} {told}".strip()


def weight_place(fact: WeightFound) -> str:
    """`hole 2 seen from the rear`, `140 deg`."""
    return f"{fact.position} {seen_from(fact.seen_from)}".strip()


def proof_of_connection(name: str) -> str:
    """How to prove that what was disconnected holds again, by what it is; empty where it is not pushed on."""
    return "push home, pull to prove" if _PUSHED.search(name) else ""
