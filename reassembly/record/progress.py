"""How far something is that takes long: what is counted, how much of it is done, how much there is."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[str, int, int], None]


def nothing(_what: str, _done: int, _total: int) -> None:
    """Progress told to nobody."""
