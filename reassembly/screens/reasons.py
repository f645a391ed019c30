"""Why a check is not met now, by number: what a number card can say."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

REASONS = (
    "waits for a part",
    "waits for a tool or material",
    "needs another person",
    "has to cool, dry or settle",
    "not on this vehicle",
    "the customer does not want it",
    "called away",
)


def numbered(several: Sequence[str]) -> list[str]:
    """One line each, with its number before it."""
    return [f"{n}  {words}" for n, words in enumerate(several, 1)]
