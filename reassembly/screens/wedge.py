"""A scanner types like a keyboard. Told from fingers by its pace; caught before any key binding or field sees it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from labels.code import ALPHABET, LENGTH, Code, Kind, grouped
from labels.code import read as read_code
from labels.keyboard import KEYS, learn, meant
from labels.strays import Typed, code_among
from reassembly.screens.held import HeldKeys

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Iterator, Mapping, Sequence

    from textual.events import Key

# Measured: scanners leave 0 to 12 ms between keys, fast fingers 60 ms and more, key repeat 33 ms.
PACE = 0.035
FEWEST_LETTERS = 5
FEWEST_DIFFERENT = 3
FEWEST_UNSAID = 6
ENDS = frozenset({"enter", "ctrl+j", "tab"})
PREFIX = "ctrl+b"
PREFIX_PATIENCE = 1.0
# The Enter of a pasted code, or of a scanner slow to send it, must press nothing.
ENTER_PATIENCE = 2.0
LATE_ENTER = 0.3  # until then a letter between them may be a hand's
PART = 2  # capitals of a code at a scanner's pace, which no hand types: the rest is waited for longer
PART_PATIENCE = 0.2
KINDS = frozenset(ALPHABET[kind] for kind in Kind)


class Unsaid(NamedTuple):
    """What came at a scanner's pace into a field and may be typing read late: its letters stand, its Enter is gone."""

    text: str


_VALUE = re.compile(r"[+-]?\d[\d.,]+", re.ASCII)
_FOREIGN = re.compile(r"\d{8}|\d{12,14}|[A-Za-z][A-Za-z0-9+.-]*://\S+", re.ASCII)


def is_scan(text: str, typing: bool) -> bool:
    """Whether a burst that ended with Enter was a scanner's. While somebody types into a field only what is surely a
    label, part of one or a foreign code is taken from them; where letters are commands every burst is, so that none
    is carried out by surprise. A key held down is no scan."""
    if isinstance(read_code(text), Code):  # BBBBB BBTBT is one
        return True
    bare = text.strip()  # what a label holds has no spaces; those are for people who read it aloud
    letters = set("".join(text.split()).upper())
    piece = len(bare) >= FEWEST_LETTERS and set(bare.upper()) <= set(ALPHABET) and len(letters) > 1  # BBSBBB is one
    if piece or _FOREIGN.fullmatch(bare):
        return True
    return _teaches(bare) if typing else len(letters) >= FEWEST_DIFFERENT


def is_foreign(text: str) -> bool:
    """Whether it is a trade number or an address: printed on boxes, and of no meaning here."""
    return _FOREIGN.fullmatch(text.strip()) is not None


def is_unsaid(text: str) -> bool:
    """Whether a burst that ended with Enter, and is no scan of ours, may be another code: a word of a scanner's length
    without a blank. A starved processor can bunch a person's keys so, which is why the letters are never taken."""
    return len(text) >= FEWEST_UNSAID and len(set(text)) >= FEWEST_DIFFERENT and not any(map(str.isspace, text))


def is_value(text: str, typing: bool) -> bool:
    """Whether a burst that ended with Enter is a number from a measuring tool, such as 55 or 44.4. Into a field it is
    typed like any other."""
    return not typing and _VALUE.fullmatch(text.strip()) is not None


def _teaches(text: str) -> bool:
    return len(text) == len(KEYS) and learn(text) is not None


def is_scan_without_end(text: str, typing: bool) -> bool:
    """The same of a burst after which no Enter came: the scanner sends none, or was cut short."""
    if typing:
        return isinstance(read_code(text), Code)
    return len("".join(text.split())) >= FEWEST_LETTERS and is_scan(text, typing)


Caught: TypeAlias = "Key | str | Unsaid"


class Wedge:
    """Holds keys back for as long as they may still become a scan.

    What it gives back is a key, to be replayed as it came, a text, which is a scan, or what was typed and not said.
    """

    def __init__(self, ours: Container[str] | None = None) -> None:
        """`ours` are the two letters of each bench whose codes are sure to be ours; None: every bench is."""
        self.learnt: Mapping[str, str] = {}
        """How the scanner types where that is not how this machine reads it, taught by the scanner label."""
        self._ours = ours
        self._held: list[Key] = []
        self._held_until = 0.0
        self._fingers = HeldKeys()
        self._prefixed_at: float | None = None
        self._enter_until = 0.0
        self._late_enter_until = 0.0

    @property
    def due(self) -> float | None:
        """When `overdue` should be asked, by the clock of the keys; None while nothing is held."""
        return self._scan_due if self._scan_due is not None else self._fingers.due

    @property
    def _scan_due(self) -> float | None:
        if self._prefixed_at is not None:
            return self._prefixed_at + PREFIX_PATIENCE
        return self._held_until if self._held else None

    def key(self, key: Key, typing: bool) -> Iterator[Caught]:
        """Take one key; `typing` says whether a text field has the focus."""
        if self._prefixed_at is not None or not _has_letter(key):
            yield from self.overdue(key.time, typing)
        # A letter after what is overdue: nobody asked meanwhile, so the processor was away, and reads a scan in pieces.
        yield from self._by_fingers(self._key(key, typing), typing)

    def _hold(self, key: Key) -> None:
        self._held.append(key)
        self._held_until = key.time + (PART_PATIENCE if self._is_part(self._held) else PACE)

    def _is_part(self, held: Sequence[Key]) -> bool:
        """Whether the last keys are the beginning of a label, read by a scanner that was kept waiting."""
        *_, last = _bursts(held)
        capitals = [letter for letter in meant("".join(map(_letter, last)), self.learnt) if letter in ALPHABET]
        return PART <= len(capitals) < LENGTH and capitals[0] in KINDS

    def _key(self, key: Key, typing: bool) -> Iterator[Caught]:
        if key.key == PREFIX:
            yield from self._let_go(typing)
            self._prefixed_at = key.time
        elif key.key in ENDS:
            yield from self._end(key, typing)
        elif self._scan_due is not None or (_has_letter(key) and not (typing and (key.character or "").isspace())):
            # A blank too, where it is a command: a tool may send one before its number. Whatever a hand presses while a
            # code comes must not cut it in two.
            self._enter_until = min(self._enter_until, self._late_enter_until)
            self._hold(key)
        else:
            yield key

    def paste(self, text: str, typing: bool, now: float) -> str | None:
        """The scan in a pasted text, or None where it is text to be pasted."""
        self._fingers.forget()
        lines = text.strip().splitlines()
        if len(lines) != 1 or not is_scan(lines[0], typing):
            return None
        self._enter_until = self._late_enter_until = 0.0
        if not text.endswith(("\n", "\r")):
            self._await_enter(now)
        return lines[0].strip()

    def overdue(self, now: float, typing: bool) -> Iterator[Caught]:
        """What was held for longer than a scanner, or a key held down, would take."""
        if self._scan_due is not None and now > self._scan_due:
            yield from self._by_fingers(self._let_go(typing), typing)
        if self._scan_due is None and self._fingers.due is not None and now > self._fingers.due:
            yield from self._fingers.let_go(typing)

    def _by_fingers(self, caught: Iterable[Caught], typing: bool) -> Iterator[Caught]:
        for each in caught:
            if isinstance(each, str | Unsaid):
                yield from self._fingers.let_go(typing)
                self._fingers.forget()
                yield each
            else:
                yield from self._fingers.key(each, typing)

    def _end(self, key: Key, typing: bool) -> Iterator[Caught]:
        held, prefixed = self._held, self._prefixed_at is not None
        if not prefixed and not self._code_in(held, typing) and any(_of_code(each) for each in held):
            self._hold(key)  # perhaps a hand's, and the rest of a code is still to come
        else:
            self._held, self._prefixed_at = [], None
            yield from self._judged(held, key, typing, prefixed)

    def _let_go(self, typing: bool) -> Iterator[Caught]:
        held, prefixed = self._held, self._prefixed_at is not None
        self._held, self._prefixed_at = [], None
        yield from self._judged(held, None, typing, prefixed)

    def _judged(self, held: Sequence[Key], end: Key | None, typing: bool, prefixed: bool = False) -> Iterator[Caught]:
        """What these keys were, in their order; `end` is the Enter after them."""
        if places := self._code_in(held, typing):
            before, after = held[: places[0]], places[-1] + 1
            while after < len(held) and held[after].time - held[after - 1].time <= PACE:
                after += 1
            yield from self._judged(before, None, typing)
            yield from (held[n] for n in range(places[0], after) if n not in places)
            yield self._text([held[n] for n in places]).strip()
            if after < len(held):
                yield from self._judged(held[after:], end, typing)
            elif end is None:
                self._await_enter(held[-1].time)
        elif prefixed:
            yield from self._burst(held, end, typing, prefixed)
        elif ends := [n for n, key in enumerate(held) if key.key in ENDS]:
            yield from self._judged(held[: ends[0]], held[ends[0]], typing)
            if end or held[ends[0] + 1 :]:
                yield from self._judged(held[ends[0] + 1 :], end, typing)
        else:
            *bursts, last = _bursts(held)
            for burst in bursts:
                yield from self._burst(burst, None, typing)
            yield from self._burst(last, end, typing)

    def _burst(self, held: Sequence[Key], end: Key | None, typing: bool, prefixed: bool = False) -> Iterator[Caught]:
        """What these keys were that hold no code and came in one go."""
        text = self._text(held)
        if end is None:
            if text and is_scan_without_end(text, typing and not prefixed):
                self._await_enter(held[-1].time)
                yield from (key for key in held if not _has_letter(key))
                yield text.strip()
            else:
                yield from held
        elif text and (prefixed or is_scan(text, typing) or is_value(text, typing)):
            small = self._small_among_capitals(held) if typing and not prefixed else []
            yield from (key for key in held if key in small or not _has_letter(key))
            yield text.strip()
        elif end.time < self._enter_until and end.key != "tab":
            self._enter_until = 0.0
            yield from held
        elif typing and end.key != "tab" and is_unsaid(text):
            yield from held
            self._enter_until = end.time + PACE  # of a scanner that sends a line feed as well
            self._late_enter_until = 0.0
            yield Unsaid(text)
        else:
            yield from held
            yield end

    def _await_enter(self, scanned: float) -> None:
        self._enter_until, self._late_enter_until = scanned + ENTER_PATIENCE, scanned + LATE_ENTER

    def _code_in(self, held: Sequence[Key], typing: bool) -> tuple[int, ...]:
        """The places of a code's letters among these keys."""
        text = self._text(held)
        whole = read_code(text)
        if isinstance(whole, Code) and text.strip().upper() == grouped(whole.text) and not typing:
            return tuple(n for n, key in enumerate(held) if _letter(key))
        came = [Typed(_letter(key), key.time) for key in held]
        found = code_among(came, self._ours)
        if not found and self.learnt:
            found = code_among([Typed(meant(each.letter, self.learnt), each.at) for each in came], self._ours)
        return found

    def _text(self, keys: Sequence[Key]) -> str:
        """What was held, as the scanner meant it; what is a code as it came is one, whichever scanner sent it."""
        came = "".join(map(_letter, keys))
        as_it_came = not self.learnt or isinstance(read_code(came), Code) or _teaches(came)
        return came if as_it_came else meant(came, self.learnt)

    def _small_among_capitals(self, held: Sequence[Key]) -> list[Key]:
        """What somebody typed while part of a code came: small letters that would be taken for letters of it."""
        letters = "".join(map(_letter, held))
        if isinstance(read_code(letters), Code) or not set(letters.upper()) <= set(ALPHABET):
            return []
        small = [key for key in held if _letter(key).islower()]
        return small if len(small) < len(letters) else []


def _has_letter(key: Key) -> bool:
    return bool(key.is_printable and key.character)


def _letter(key: Key) -> str:
    """What the key types, "" where it types nothing."""
    return key.character or "" if key.is_printable else ""


def _of_code(key: Key) -> bool:
    return bool(_letter(key)) and _letter(key).upper() in ALPHABET


def _bursts(held: Sequence[Key]) -> list[Sequence[Key]]:
    """Parted where a key came too late for a scanner, and the next as well. If that one came at a scanner's pace the
    keys are one burst all the same: a starved processor reads a scan in pieces."""
    late = [0, *(n for n in range(1, len(held)) if held[n].time - held[n - 1].time > PACE)]
    begins = [n for n in late if n == 0 or n + 1 in late or n + 1 == len(held)]
    return [held[begin:end] for begin, end in zip(begins, [*begins[1:], len(held)], strict=True)]
