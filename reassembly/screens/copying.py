"""Copies and proofs made beside the work: begun from here, and told where they find something wrong."""

from __future__ import annotations

from asyncio import TimerHandle, get_running_loop
from contextlib import suppress
from typing import TYPE_CHECKING

from reassembly.record.trouble import Trouble

if TYPE_CHECKING:
    from reassembly.record.beside import Beside
    from reassembly.screens.app import ReassemblyApp

FIRST = 5.0  # seconds: the bench comes first
LOOK = 2.0  # seconds between two looks at what is going on beside
DUE = 600.0  # seconds between two looks at whether a copy is due


class Copying:
    """What goes on beside; nothing does without a `beside`."""

    def __init__(self, app: ReassemblyApp, beside: Beside | None) -> None:
        self._app = app
        self._beside = beside
        self._next: TimerHandle | None = None

    def begin(self) -> None:
        """New entries are proved at each opening, all of them once a week."""
        if self._beside:
            self._next = get_running_loop().call_later(FIRST, self._prove, self._beside)

    def signed_off(self) -> None:
        """What was closed shall outlive this disk."""
        if self._beside:
            self._beside.copy()
            self._follow(self._beside)

    def stop(self) -> None:
        if self._next:
            self._next.cancel()
        if self._beside:
            self._beside.stop()

    def _prove(self, beside: Beside) -> None:
        beside.prove()
        self._look(beside)

    def _look(self, beside: Beside) -> None:
        with suppress(Trouble):  # what the journal cannot do now is told by whatever is done next
            beside.copy_if_due(self._app.desk)
        self._follow(beside)

    def _follow(self, beside: Beside) -> None:
        """Look often while something goes on, and seldom when nothing does."""
        for sentence in beside.news():
            self._app.tell(sentence, "trouble")
        if self._next:
            self._next.cancel()
        later, what = (LOOK, self._follow) if beside.busy else (DUE, self._look)
        self._next = get_running_loop().call_later(later, what, beside)
