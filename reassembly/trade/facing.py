"""Which way round: clock positions seen from a named side, and which way a feature faces.

Left and right are the vehicle's own, looking forward. Seen from the other side, whoever looks has walked round the part
and kept the same way up, so 12 and 6 stay and left changes with right.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING

from reassembly.trade.quantity import of, plain
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from pint import Quantity

FULL_TURN = 12 * 60  # minutes on a clock face


@dataclass(frozen=True, slots=True)
class Side:
    """A side of the vehicle or of a part. A side in the technician's own words ("the cover") has no named opposite."""

    name: str
    opposite: str  # its name; empty when nobody named it
    seen: str  # after "seen from"
    faces: str  # after "faces"


# name, opposite, "seen from ...", "faces ...", other words people type (common practice, no source)
_TABLE = (
    ("front", "rear", "the front", "the front", "forward forwards fwd fore"),
    ("rear", "front", "the rear", "the rear", "back rearward rearwards backward backwards aft"),
    ("left", "right", "the left", "left", "lh leftward"),
    ("right", "left", "the right", "right", "rh rightward"),
    ("top", "bottom", "above", "up", "up upward upwards upper above over"),
    ("bottom", "top", "below", "down", "down downward downwards lower below under underneath"),
    ("inboard", "outboard", "inboard", "inboard", "in inside inner inward inwards"),
    ("outboard", "inboard", "outboard", "outboard", "out outside outer outward outwards"),
    ("input end", "output end", "the input end", "the input end", "input"),
    ("output end", "input end", "the output end", "the output end", "output"),
)
_SIDES = {name: Side(name, opposite, seen, faces) for name, opposite, seen, faces, _ in _TABLE}
_WORDS = {word: _SIDES[row[0]] for row in _TABLE for word in (row[0], *row[4].split())}
_FILLERS = {"the", "to", "towards", "toward", "and", "side", "end", "facing", "faces", "of", "vehicle"}
_CLOCK = re.compile(
    r"(?P<hour>\d{1,2})(?::(?P<minute>\d{2}))?\s*(?:o\s*'?\s*clock|uhr|h)?"
    r"(?:[\s,(]*(?:(?:as\s+)?(?:seen|viewed|looking|looked at)\s+)?(?P<own>from\s+)?(?P<side>[^\d()]+?)\)?)?",
    re.ASCII | re.IGNORECASE,
)


def read_side(text: str) -> Side:
    """The side that is named, or a side in the technician's own words. Raises ValueError when nothing is named."""
    plain_words = _plain(text)
    if not plain_words:
        raise ValueError("no side was named: front, rear, left, right, top, bottom, inboard or outboard")
    bare = [word for word in plain_words.split() if word not in _FILLERS]
    if len(bare) == 1 and bare[0] in _WORDS:
        return _WORDS[bare[0]]
    own = " ".join(plain_words.split())
    own = own if own.startswith("the ") else f"the {own}"
    return Side(own.removeprefix("the "), "", own, own)


@dataclass(frozen=True, slots=True)
class Clock:
    """A place on a clock face: `minutes` after 12 round the face (0 to 719), and the side it is seen from."""

    minutes: int
    side: Side | None = None

    @property
    def degrees(self) -> float:
        """Clockwise from 12 o'clock, seen from its side."""
        return self.minutes / 2

    def __str__(self) -> str:
        hour, minute = divmod(self.minutes, 60)
        return f"{hour or 12}:{minute:02}" if minute else f"{hour or 12} o'clock"

    @property
    def sentence(self) -> str:
        """ "4 o'clock seen from the front (8 o'clock seen from the rear)", as far as the sides are known."""
        if self.side is None:
            return f"{self}, side not said"
        other = seen_from_other_side(self)
        assert other.side is not None
        return f"{self} seen from {self.side.seen} ({other} seen from {other.side.seen})"


def read_clock(text: str, seen_from: str = "") -> Clock:
    """Read "4", "4 o'clock", "3:30", "4 o'clock from front"; the side may stand in the text or in `seen_from`.

    Raises ValueError, in words, for anything else and when the two sides contradict each other.
    """
    typed = " ".join(unicodedata.normalize("NFKC", text).translate(str.maketrans("’´`‘", "''''")).split())
    match = _CLOCK.fullmatch(typed)
    if match is None or (match["side"] and not match["own"] and not _named(match["side"])):
        half = re.match(r"(\d{1,2})[.,](5|50|30)\b", typed, re.ASCII)
        instead = f"half past is typed {half[1]}:30" if half else "type it as 4 or 3:30, with the side: 4 from front"
        raise ValueError(f'"{text.strip()}" is not a clock position: {instead}')
    hour, minute = int(match["hour"]), int(match["minute"] or 0)
    if not 1 <= hour <= 12 or minute > 59:
        raise ValueError(f'"{text.strip()}" is not on a clock face: the hour is 1 to 12, the minute 00 to 59')
    sides = [read_side(side) for side in (match["side"], seen_from) if side and side.strip()]
    if len(sides) == 2 and sides[0] != sides[1]:
        raise ValueError(f"seen from {sides[0].seen} or from {sides[1].seen}? The two turn the clock round: say one")
    return Clock((hour * 60 + minute) % FULL_TURN, sides[0] if sides else None)


def seen_from_other_side(clock: Clock) -> Clock:
    """The same place, seen from the opposite side. Raises ValueError when nobody said which side it was seen from."""
    if clock.side is None:
        raise ValueError(f"{clock} seen from which side? Seen from the other side it is another place: say the side")
    return Clock(-clock.minutes % FULL_TURN, _opposite(clock.side))


def _opposite(side: Side) -> Side:
    if side.opposite:
        return _SIDES.get(side.opposite) or read_side(side.opposite)
    return Side(f"away from {side.seen}", side.name, "the other side", "the other way")


def clock_angle(clock: Clock) -> Workings[Quantity[float]]:
    """The angle of a clock position in degrees, clockwise from 12."""
    hour, minute = divmod(clock.minutes, 60)
    return Workings(
        of(clock.degrees, "deg"),
        "30 deg x hours + 0.5 deg x minutes, clockwise from 12",
        {"hours": hour, "minutes": minute},
        "geometry",
    )


def clock_from_other_side(clock: Clock) -> Workings[str]:
    """The same place seen from the opposite side, in words. Raises ValueError when no side was said."""
    other = seen_from_other_side(clock)
    assert clock.side is not None
    assert other.side is not None
    return Workings(
        f"{other} seen from {other.side.seen}",
        "12 o'clock - clock position: left changes with right, 12 and 6 stay",
        {"clock position": str(clock), "seen from": clock.side.seen},
        "geometry: the direction is reversed",
    )


def angle_from_other_side(degrees: float) -> Workings[Quantity[float]]:
    """An angle measured clockwise from one side, measured clockwise from the other. Raises ValueError if not finite."""
    if not isfinite(degrees):
        raise ValueError("an angle is a number of degrees")
    inputs = {"angle": of(degrees, "deg")}
    return Workings(of(-degrees % 360, "deg"), "360 deg - angle", inputs, "geometry: the direction is reversed")


def clock_check(feature: str, clock: Clock) -> str:
    """What is confirmed at refit: "lug at 4 o'clock seen from the front (8 o'clock seen from the rear)"."""
    return f"{feature} at {clock.sentence}"


def clock_doubt(noted: Clock, found: Clock) -> str | None:
    """Why what is found is not what was noted, in one sentence; None when it is the same place."""
    if noted.side != found.side:
        if noted.side is None or found.side is None:
            return f"noted {noted.sentence}, found {found.sentence}: say from which side, then they can be compared"
        found_from = seen_from_other_side(found)
        if found_from.side is None or found_from.side.name != noted.side.name:
            return f"noted seen from {noted.side.seen}, found seen from {found.side.seen}: look from {noted.side.seen}"
        found = found_from
    out = (found.minutes - noted.minutes + FULL_TURN // 2) % FULL_TURN - FULL_TURN // 2
    if out == 0:
        return None
    way = ", half a turn" if abs(out) == FULL_TURN // 2 else " clockwise" if out > 0 else " anticlockwise"
    words = f"noted {noted}, found {found}: {plain(abs(out) / 2)} deg out{way}"
    if noted.side and found.minutes == -noted.minutes % FULL_TURN:
        other = seen_from_other_side(noted)
        assert other.side is not None
        words += f"; seen from {other.side.seen} it would be right: are you looking from {noted.side.seen}?"
    return words


@dataclass(frozen=True, slots=True)
class Facing:
    """Which way a feature faces: one side, or two or three at once ("up and to the rear")."""

    ways: tuple[Side, ...]

    def __str__(self) -> str:
        return " and ".join(way.faces for way in self.ways)

    @property
    def away(self) -> str:
        """What it faces away from, where that reads as a place: "the rear" for the front, nothing for up."""
        return " and ".join(_SIDES[way.opposite].faces for way in self.ways if way.name in ("front", "rear"))


def read_facing(text: str) -> Facing:
    """Read "front", "up", "rear left", "outboard", or a thing it faces in the technician's own words ("the gearbox").

    Raises ValueError when nothing is named or two of the words contradict each other.
    """
    words = [word for word in _plain(text).split() if word not in _FILLERS]
    if not words or not all(word in _WORDS for word in words):
        return Facing((read_side(text),))
    ways = tuple(dict.fromkeys(_WORDS[word] for word in words))
    for way in ways:
        if _SIDES[way.opposite] in ways:
            raise ValueError(f"nothing faces {way.faces} and {_SIDES[way.opposite].faces} at once: say one of them")
    return Facing(ways)


def facing_check(feature: str, facing: Facing) -> str:
    """What is confirmed at refit: "arrow facing the front, away from the rear"."""
    return f"{feature} facing {facing}" + (f", away from {facing.away}" if facing.away else "")


def facing_doubt(noted: Facing, found: Facing) -> str | None:
    """Why what is found is not what was noted, in one sentence; None when it faces the same way."""
    if set(noted.ways) == set(found.ways):
        return None
    if all(way.opposite for way in noted.ways) and {_SIDES[w.opposite] for w in noted.ways} == set(found.ways):
        return f"noted facing {noted}, found facing {found}: it is the wrong way round"
    return f"noted facing {noted}, found facing {found}"


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[,/+&\-.]", " ", unicodedata.normalize("NFKC", text).lower()).split())


def _named(text: str) -> bool:
    bare = [word for word in _plain(text).split() if word not in _FILLERS]
    return len(bare) == 1 and bare[0] in _WORDS
