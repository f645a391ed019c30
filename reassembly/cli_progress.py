"""How far something is that takes long, on standard error."""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Callable

_PATIENCE = 0.5  # seconds, until a person wonders whether anything is going on


class Progress:
    """How far it is, on standard error, once it takes longer than half a second: a line that changes on a terminal, and
    elsewhere a line every ten seconds."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._every = _PATIENCE if sys.stderr.isatty() else 10.0
        self._next = clock() + _PATIENCE
        self._shown = False

    def __call__(self, what: str, done: int, total: int) -> None:
        now = self._clock()
        if now < self._next or (done >= total and not self._shown):
            return
        self._next, self._shown = now + self._every, True
        line = f"{what}: {done * 100 // max(total, 1)} %"
        click.echo(f"\r{line}   " if sys.stderr.isatty() else line, err=True, nl=not sys.stderr.isatty())

    def of(self, what: str) -> Callable[[int, int], None]:
        """For what tells only numbers."""
        return lambda done, total: self(what, done, total)

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *_: object) -> None:
        self.end()

    def end(self) -> None:
        """Leave the line, also to say what went wrong."""
        if self._shown and sys.stderr.isatty():
            click.echo(err=True)
