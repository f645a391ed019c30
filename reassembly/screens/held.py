"""A key held down says one thing. Told from a finger that presses again by its pace, and dropped."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.events import Key

# A key held down comes again after 250 to 700 ms and then every 33 to 45 ms, sometimes two read at once; fingers
# leave 160 ms and more.
AGAIN = 0.1
FIRST_AGAIN = 1.0
MOVES = frozenset({"up", "down", "left", "right", "pageup", "pagedown", "home", "end", "tab", "backspace", "delete"})


class HeldKeys:
    """Doubts a key that comes again within a second until it is sure that no third follows at the pace of a machine.

    Keys that only move, and letters in a text field, repeat as they always did. A key held down just long enough to
    come again once cannot be told from two presses.
    """

    def __init__(self) -> None:
        self._last, self._at = "", -inf
        self._doubted: Key | None = None
        self._commands = False  # whether the last key did something, so that held down it must not type either

    @property
    def due(self) -> float | None:
        """When a doubted key is sure to be a press, by the clock of the keys."""
        return None if self._doubted is None else self._doubted.time + AGAIN

    def key(self, key: Key, typing: bool) -> Iterator[Key]:
        """Take one key that is no scanner's; `typing` says whether a text field has the focus."""
        again = key.key == self._last
        gap = key.time - self._at if again else inf
        self._last, self._at = key.key, key.time
        repeats = key.key.rpartition("+")[2] in MOVES or (typing and key.is_printable)
        if repeats and not (again and self._commands):
            yield from self.let_go(typing)
            self._commands = False
            yield key
        elif gap < AGAIN:
            self._doubted = None
        else:
            yield from self.let_go(typing)
            if gap < FIRST_AGAIN:
                self._doubted = key
            else:
                self._commands = not typing or not key.is_printable
                yield key

    def forget(self) -> None:
        """Something else than a key came between: a scan, a paste."""
        self._last = ""

    def let_go(self, typing: bool) -> Iterator[Key]:
        """What is doubted, where something else came after it or its time is over."""
        doubted, self._doubted = self._doubted, None
        if doubted is not None:
            self._commands = not typing or not doubted.is_printable
            yield doubted
