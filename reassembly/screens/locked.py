"""Another program holds the record: no key waits for it, and whoever was refused hears when it is done."""

from __future__ import annotations

from asyncio import TimerHandle, get_running_loop
from contextlib import suppress
from typing import TYPE_CHECKING

from reassembly.record.trouble import Trouble

if TYPE_CHECKING:
    from reassembly.screens.app import ReassemblyApp

PATIENCE = 0.4
"""Seconds that a key may wait: another terminal is done sooner, a long file of lines is not."""

LOOK = 0.25


class Locked:
    """What was refused is not said by itself later: a screen that changed meanwhile would say something else."""

    def __init__(self, app: ReassemblyApp) -> None:
        self._app = app
        self._refused = ""
        self._next: TimerHandle | None = None

    def begin(self, refused: str) -> None:
        """`refused` are the words in which it was told."""
        self._refused = refused
        self.stop()
        self._next = get_running_loop().call_later(LOOK, self._look)

    def stop(self) -> None:
        if self._next:
            self._next.cancel()

    def _look(self) -> None:
        with suppress(Trouble):  # whatever else is wrong is told to whoever says something
            if self._app.desk.held_elsewhere():
                self.begin(self._refused)
            elif self._app.answered.words == self._refused:
                self._app.tell("The other program is done: say it again.")
