"""A scanner types like a keyboard. Told from fingers by its pace; caught before any key binding or field sees it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from labels.code import ALPHABET

if TYPE_CHECKING:
    from textual.events import Key

# Measured: scanners leave 0 to 12 ms between keys, fast fingers 60 ms and more, key repeat 33 ms.
PACE = 0.035
FEWEST = 6
PREFIX = "ctrl+b"
PREFIX_PATIENCE = 1.0
# A pasted code is followed by an Enter of its own, which must press nothing.
ENTER_AFTER_PASTE = 2.0

_FOREIGN = re.compile(r"\d{8}|\d{12,14}|[A-Za-z][A-Za-z0-9+.-]*://\S+", re.ASCII)


class Caught(NamedTuple):
    """What to do with the keys so far: replay them as they came, or take them as a scan."""

    replay: tuple[Key, ...] = ()
    scan: str | None = None


def is_scan(text: str, typing: bool) -> bool:
    """Whether a burst was a scanner's. While somebody types into a field only what is surely a label or a foreign code
    is taken from them; where letters are commands, every burst is, so that none is carried out by surprise."""
    letters = "".join(text.split()).upper()
    if len(letters) < FEWEST:
        return False
    return not typing or set(letters) <= set(ALPHABET) or _FOREIGN.fullmatch(text.strip()) is not None


class Wedge:
    """Holds keys back for as long as they may still become a scan."""

    def __init__(self) -> None:
        self._held: list[Key] = []
        self._prefixed = False
        self._pasted_at: float | None = None

    @property
    def holding(self) -> bool:
        return bool(self._held) or self._prefixed

    def key(self, key: Key, typing: bool) -> Caught:
        """Take one key; `typing` says whether a text field has the focus."""
        pasted_at, self._pasted_at = self._pasted_at, None
        late = () if self._follows(key) else self._let_go()
        if key.key == PREFIX:
            late += self._let_go()
            self._prefixed = True
            return Caught(late)
        if key.key == "enter":
            if not self._held and pasted_at is not None and key.time - pasted_at < ENTER_AFTER_PASTE:
                return Caught(late)
            text = "".join(k.character or "" for k in self._held)
            if self._prefixed or is_scan(text, typing):
                self._held, self._prefixed = [], False
                return Caught(late, text)
            return Caught((*late, *self._let_go(), key))
        if key.is_printable and key.character and (self._held or self._prefixed or not key.character.isspace()):
            self._held.append(key)
            return Caught(late)
        return Caught((*late, *self._let_go(), key))

    def paste(self, text: str, typing: bool, now: float) -> str | None:
        """The scan in a pasted text, or None where it is text to be pasted."""
        lines = text.strip().splitlines()
        if len(lines) == 1 and is_scan(lines[0], typing):
            self._pasted_at = None if text.endswith(("\n", "\r")) else now
            return lines[0].strip()
        return None

    def overdue(self, now: float) -> tuple[Key, ...]:
        """Keys held for longer than a scanner would take: fingers after all."""
        patience = PREFIX_PATIENCE if self._prefixed else PACE
        return self._let_go() if self._held and now - self._held[-1].time > patience else ()

    def _follows(self, key: Key) -> bool:
        patience = PREFIX_PATIENCE if self._prefixed else PACE
        return not self._held or key.time - self._held[-1].time <= patience

    def _let_go(self) -> tuple[Key, ...]:
        held, self._held, self._prefixed = tuple(self._held), [], False
        return held
