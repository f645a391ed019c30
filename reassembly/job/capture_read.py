"""One typed line taken apart: the name, and pieces of which each means one thing or was not understood.

Only the words are looked at here, never the job; what they come to is decided in capture.py.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.capture_free import another_renewal, hint, to_the_end, up_to_next
from reassembly.job.capture_meanings import Fasteners, How, Item, Said, Tighten, Times, Tooth, Unread
from reassembly.job.capture_pieces import sides_of, token_at
from reassembly.job.capture_words import COLOUR, MARK, words_of
from reassembly.job.entries import RenewalNeeded

if TYPE_CHECKING:
    from collections.abc import Iterator

LONGEST = 600
_NAME_WORDS = 6
_BETWEEN = re.compile(r"\s{2,}|\s*;\s*|\s+[-–]\s+|\s*,(?!(?<=\d,)\d)\s*")
_GLUE = re.compile(r"(?:\+|->|→|&|then\b|and\b)\s*", re.IGNORECASE)
_THEN = re.compile(r"(?:and )?then (?=\S)", re.IGNORECASE)
_ENDS_NAME = words_of(
    rf"(?:renew|stuck|aid|aside|loosened|disconnected|same)\b|{COLOUR} {MARK}\b|\d{{1,2}}(?::\d\d)? ?o ?'? ?clock|\("
)
_LEADING_TIMES = re.compile(r"(\d{1,2}) ?[x×] ?(?=[a-z]{2})(?!m\d)", re.IGNORECASE | re.ASCII)


class Line(NamedTuple):
    """What was typed: the name of a new part, or `adds` to the latest one, and everything said of it."""

    name: str
    adds: bool
    items: tuple[Item, ...]


@lru_cache(maxsize=256)
def read_line(line: str) -> Line:
    """Never raises: what nobody can read is an item that says so."""
    plain = unicodedata.normalize("NFC", line).translate(_SIGNS)
    plain = "".join(sign if sign.isprintable() else "  " for sign in plain).strip()
    if len(plain) > LONGEST:
        return Line("", False, (Item(plain, Unread(f"{len(plain)} characters in one line: say it in two")),))
    adds = plain.startswith("+")
    pieces = list(_pieces(plain.lstrip("+ ") if adds else plain))
    items: list[Item] = []
    names: list[str] = []
    if pieces and not adds:
        name, rest = _name(pieces.pop(0))
        names = [name] if name else []
        items += rest
    for each in pieces:
        piece = _THEN.sub("", each) if items else each
        read = _piece(piece)
        if all(isinstance(item.means, Unread) for item in read):
            last = items[-1].means if items else None
            if isinstance(last, Said) and isinstance(last.fact, RenewalNeeded) and (more := another_renewal(piece)):
                read = [more]
            elif names and not items and _goes_on(piece, read):
                names.append(piece)
                continue
        items += read
    return Line(", ".join(names), adds, tuple(items))


_SIGNS = str.maketrans(
    {"×": "x", "’": "'", "`": "'", "´": "'", "\t": "  ", "\u00a0": " ", "\u2009": " ", "\u202f": " "}
)


def _pieces(line: str) -> Iterator[str]:
    """Parted at commas, semicolons, two spaces and dashes; what stands in brackets stays whole."""
    start = depth = 0
    position = 0
    while position < len(line):
        depth = max(0, depth + {"(": 1, ")": -1}.get(line[position], 0))
        found = _BETWEEN.match(line, position) if not depth else None
        if found and found.end() > position:
            if line[start:position].strip():
                yield " ".join(line[start:position].split())
            start = position = found.end()
        else:
            position += 1
    if line[start:].strip():
        yield " ".join(line[start:].split())


def _goes_on(piece: str, read: list[Item]) -> bool:
    """Whether a piece that nobody can read may be more of the name: `rear flange` after `propshaft`."""
    plain = not re.search(r"[\d()]", piece)
    return plain and len(piece.split()) <= _NAME_WORDS and [each.means for each in read] == [Unread()]


def _name(piece: str) -> tuple[str, list[Item]]:
    """The name runs to the first word at which something else is understood; a side or a how at its end is one."""
    items: list[Item] = []
    times = _LEADING_TIMES.match(piece)
    if times:
        items.append(Item(times[0].strip(), Times(int(times[1]))))
        piece = piece[times.end() :]
    cut = len(piece)
    for found in re.finditer(r"(?<!\S)\S", piece):
        if _ends_name(piece, found.start()):
            cut = found.start()
            break
    name, rest = piece[:cut].strip(), piece[cut:]
    while last := _last_words(name):
        name = name[: -len(last.text)].strip()
        items.append(last)
    return name, [*items, *_piece(rest)]


def _ends_name(piece: str, position: int) -> bool:
    if _ENDS_NAME.match(piece, position):
        return True
    token = token_at(piece, position, firm=True)
    if token is None or position:
        return token is not None
    means = token[0]  # a name may begin with a number, "4 pin plug", but not with a size
    return isinstance(means, Tighten | Tooth | Said) or (isinstance(means, Fasteners) and means.thread != "")


def _last_words(name: str) -> Item | None:
    """The side, how or number at the end of a name, if it ends in one."""
    words = name.split(" ")
    for count in range(min(4, len(words) - 1), 0, -1):
        tail = " ".join(words[-count:])
        sides = sides_of(tail)
        token = token_at(tail, 0)
        if sides:
            return Item(tail, sides)
        if token and token[1] == len(tail) and isinstance(token[0], How | Times):
            return Item(tail, token[0])
    return None


def _piece(piece: str) -> list[Item]:
    """Everything in one piece, from left to right; words that nobody can read stay together."""
    items: list[Item] = []
    position, unread = 0, -1
    while position < len(piece):
        glue = _GLUE.match(piece, position) if items and unread < 0 else None
        if glue:
            position = glue.end()
            continue
        read, end = _next(piece, position)
        if read:
            items += [*_not_understood(piece, unread, position), *read]
            unread = -1
        else:
            unread = position if unread < 0 else unread
            end = len(piece[:position]) + len(piece[position:].partition(" ")[0])
        position = end + len(piece[end:]) - len(piece[end:].lstrip())
    return [*items, *_not_understood(piece, unread, len(piece))]


def _next(piece: str, position: int) -> tuple[list[Item], int]:
    if position == 0 and (sides := _leading_side(piece)):
        return [sides], len(sides.text)
    read, end = to_the_end(piece, position)
    if read:
        return read, end
    if token := token_at(piece, position):
        return [Item(piece[position : token[1]].strip(), token[0])], token[1]
    return up_to_next(piece, position)


def _leading_side(piece: str) -> Item | None:
    """A side alone, or before a short form: not the "rear" of "rear flange"."""
    words = piece.split(" ")
    for count in range(min(4, len(words)), 0, -1):
        head = " ".join(words[:count])
        sides = sides_of(head)
        if sides and (count == len(words) or token_at(piece, len(head) + 1)):
            return Item(head, sides)
    return None


def _not_understood(piece: str, start: int, end: int) -> list[Item]:
    typed = piece[start:end].strip() if start >= 0 else ""
    return [Item(typed, Unread(hint(typed)))] if typed else []
