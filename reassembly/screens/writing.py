"""Papers written beside the bench: no key waits for a record of three hundred parts or a sheet of a hundred labels."""

from __future__ import annotations

from asyncio import TimerHandle, get_running_loop
from typing import TYPE_CHECKING

from reassembly.record.trouble import Trouble

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from reassembly.record.progress import Progress
    from reassembly.screens.app import ReassemblyApp

TELL = 0.5
"""Seconds, until a person wonders whether anything is going on."""


class Writing:
    """One paper at a time."""

    def __init__(self, app: ReassemblyApp) -> None:
        self._app = app
        self._path: Path | None = None
        self._at = "", 0, 0
        self._next: TimerHandle | None = None

    def begin(self, path: Path, write: Callable[[Progress], object]) -> None:
        """`write` runs in a thread and may not use the desk of the screens: what it needs was read before, or is read
        by a desk of its own. It tells how far it is."""
        if self._path is not None:
            self._app.tell(f"{self._path.name} is being written still: wait for it, then ask again", "warn")
            return
        self._path, self._at = path, ("", 0, 0)
        self._next = get_running_loop().call_later(TELL, self._still)
        self._app.sending.aside(lambda: write(self._heard), self._done)

    def stop(self) -> None:
        if self._next:
            self._next.cancel()

    def _heard(self, what: str, done: int, total: int) -> None:
        """From the thread: a tuple put in place of another at once."""
        self._at = what, done, total

    def _still(self) -> None:
        if self._path is not None:
            what, done, total = self._at
            far = f"{what} {done} of {total}, " if total else ""
            self._app.tell(f"writing {self._path.name}: {far}go on meanwhile", "told")
            self._next = get_running_loop().call_later(1.0, self._still)

    def _done(self, found: object) -> None:
        path, self._path = self._path, None
        self.stop()
        if isinstance(found, Trouble):
            self._app.tell(str(found), "trouble")
        elif isinstance(found, Exception):
            raise found
        else:
            self._app.tell(f"written: {path}", "kept")
