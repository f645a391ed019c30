"""A second Enter that says: yes, I have read it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from reassembly.job.namesake import Question

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


def asked_twice(question: Question | None) -> str:
    """The question with the keys that answer it; empty for none."""
    if question is None:
        return ""
    again = ": F3 and r say that it came off again" if question.went_back else ""
    return f"{question.told}{again}. Enter again {question.does}"
