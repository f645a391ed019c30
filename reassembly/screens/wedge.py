"""A scanner types like a keyboard. Told from fingers by its pace; caught before any key binding or field sees it."""

from __future__ import annotations

import re
from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from labels.code import ALPHABET, LENGTH, Code, grouped
from labels.code import read as read_code
from labels.keyboard import KEYS, learn, meant
from reassembly.screens.held import HeldKeys

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from textual.events import Key

# Measured: scanners leave 0 to 12 ms between keys, fast fingers 60 ms and more, key repeat 33 ms.
PACE = 0.035
FEWEST_LETTERS = 5
MOST_STRAYS = 2  # letters that a hand can type while a scanner types a code
FEWEST_DIFFERENT = 3
FEWEST_UNSAID = 6
ENDS = frozenset({"enter", "ctrl+j", "tab"})
PREFIX = "ctrl+b"
PREFIX_PATIENCE = 1.0
# The Enter of a pasted code, or of a scanner slow to send it, must press nothing.
ENTER_PATIENCE = 2.0


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

    def __init__(self) -> None:
        self.learnt: Mapping[str, str] = {}
        """How the scanner types where that is not how this machine reads it, taught by the scanner label."""
        self._held: list[Key] = []
        self._late = 0
        """How many were held when one came too late for a scanner; 0 while none is in doubt. A starved processor reads
        a scan in pieces: if the next key comes at a scanner's pace it was one all the same."""
        self._fingers = HeldKeys()
        self._prefixed_at: float | None = None
        self._enter_until = 0.0

    @property
    def due(self) -> float | None:
        """When `overdue` should be asked, by the clock of the keys; None while nothing is held."""
        return self._scan_due if self._scan_due is not None else self._fingers.due

    @property
    def _scan_due(self) -> float | None:
        if self._prefixed_at is not None:
            return self._prefixed_at + PREFIX_PATIENCE
        return self._held[-1].time + PACE if self._held else None

    def key(self, key: Key, typing: bool) -> Iterator[Caught]:
        """Take one key; `typing` says whether a text field has the focus."""
        if self._late and key.time - self._held[-1].time > PACE:
            yield from self._by_fingers(self._let_first_go(key.time, typing), typing)
        self._late = 0
        overdue = self._scan_due is not None and key.time > self._scan_due
        if overdue and self._held and self._prefixed_at is None and key.is_printable and key.character:
            self._late = len(self._held)
        else:
            yield from self.overdue(key.time, typing)
        yield from self._by_fingers(self._key(key, typing), typing)

    def _key(self, key: Key, typing: bool) -> Iterator[Caught]:
        if key.key == PREFIX:
            yield from self._let_go(key.time, typing)
            self._prefixed_at = key.time
        elif key.key in ENDS:
            yield from self._end(key, typing)
        elif (
            key.is_printable
            and key.character
            and (self._scan_due is not None or not (typing and key.character.isspace()))
        ):
            # A blank too, where it is a command: a tool may send one before its number.
            self._enter_until = 0.0
            self._held.append(key)
        else:
            yield from self._let_go(key.time, typing)
            yield key

    def paste(self, text: str, typing: bool, now: float) -> str | None:
        """The scan in a pasted text, or None where it is text to be pasted."""
        self._fingers.forget()
        lines = text.strip().splitlines()
        if len(lines) != 1 or not is_scan(lines[0], typing):
            return None
        self._enter_until = 0.0 if text.endswith(("\n", "\r")) else now + ENTER_PATIENCE
        return lines[0].strip()

    def overdue(self, now: float, typing: bool) -> Iterator[Caught]:
        """What was held for longer than a scanner, or a key held down, would take."""
        if self._scan_due is not None and now > self._scan_due:
            yield from self._by_fingers(self._let_first_go(now, typing), typing)
            yield from self._by_fingers(self._let_go(now, typing), typing)
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
        text = self._text()
        if found := self._among_strays():
            self._forget()
            yield from found
        elif text and (self._prefixed_at is not None or is_scan(text, typing) or is_value(text, typing)):
            typed = self._small_among_capitals() if typing and self._prefixed_at is None else []
            self._forget()
            yield from typed
            yield text.strip()
        elif not text and key.time < self._enter_until and key.key != "tab":
            self._enter_until = 0.0
        elif typing and key.key != "tab" and is_unsaid(text):
            yield from self._let_go(key.time, typing)
            self._enter_until = key.time + PACE  # of a scanner that sends a line feed as well
            yield Unsaid(text)
        else:
            yield from self._let_go(key.time, typing)
            yield key

    def _let_go(self, now: float, typing: bool) -> Iterator[Caught]:
        held, text, prefixed = tuple(self._held), self._text(), self._prefixed_at is not None
        self._forget()
        if text and is_scan_without_end(text, typing and not prefixed):
            self._enter_until = now + ENTER_PATIENCE
            yield text.strip()
        else:
            yield from held

    def _let_first_go(self, now: float, typing: bool) -> Iterator[Caught]:
        """Of two bursts in doubt the first; the second is a burst of its own."""
        if self._late:
            first, second = self._held[: self._late], self._held[self._late :]
            self._held = first
            yield from self._let_go(now, typing)
            self._held, self._enter_until = second, 0.0

    def _text(self) -> str:
        """What was held, as the scanner meant it; what is a code as it came is one, whichever scanner sent it."""
        came = "".join(key.character or "" for key in self._held)
        as_it_came = not self.learnt or isinstance(read_code(came), Code) or _teaches(came)
        return came if as_it_came else meant(came, self.learnt)

    def _among_strays(self) -> tuple[Key | str, ...]:
        """What somebody typed while the scanner typed a code, and the code; nothing where it could be several codes.

        A hand types small letters and a scanner the capitals that are on the label; of other letters a few are tried.
        """
        came = "".join(key.character or "" for key in self._held)
        whole = read_code(text := self._text())
        as_printed = isinstance(whole, Code) and text.strip().upper() in {whole.text, grouped(whole.text)}
        if len(came) <= LENGTH or as_printed:
            return ()
        found: dict[str, set[int]] = {}
        for text in (came, meant(came, self.learnt)):
            capitals = [n for n, letter in enumerate(text) if letter in ALPHABET]
            for places in (range(len(text)), capitals):
                if not LENGTH <= len(places) <= LENGTH + MOST_STRAYS:
                    continue
                for of_code in combinations(places, LENGTH):
                    rest = "".join(text[n] for n in of_code)
                    if isinstance(read_code(rest), Code):
                        found.setdefault(rest, set(of_code))
        if len(found) != 1:
            return ()
        ((code, its_own),) = found.items()
        return (*(key for n, key in enumerate(self._held) if n not in its_own), code)

    def _small_among_capitals(self) -> list[Key]:
        """What somebody typed while part of a code came: small letters that would be taken for letters of it."""
        letters = "".join(key.character or "" for key in self._held)
        if isinstance(read_code(letters), Code) or not set(letters.upper()) <= set(ALPHABET):
            return []
        small = [key for key in self._held if (key.character or "").islower()]
        return small if len(small) < len(self._held) else []

    def _forget(self) -> None:
        self._held, self._late, self._prefixed_at = [], 0, None
