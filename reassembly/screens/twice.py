"""A second Enter that says: yes, I have read it."""

from __future__ import annotations

TO_READ = 0.4
"""Seconds that a question stands before its second Enter counts: a key that bounces has read nothing."""


class Twice:
    """Whether the same words were entered a second time, after the question could be read."""

    def __init__(self) -> None:
        self._asked, self._at = "", 0.0

    def sure(self, words: str, now: float) -> bool:
        """`now` in seconds. Asked for the first time, and whenever the words are others, the answer is no."""
        if words != self._asked:
            self._asked, self._at = words, now
            return False
        return now - self._at >= TO_READ
