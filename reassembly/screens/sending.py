"""Labels on their way to the printer, in a thread of their own: no key ever waits for a print server."""

from __future__ import annotations

from asyncio import TimerHandle, get_running_loop
from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING

from reassembly.screens.frame import Frame

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from reassembly.record.press import Press, Told
    from reassembly.screens.app import ReassemblyApp

AGAIN = 3.0
"""Seconds until the printer is asked once more, while a label is on its way."""

_DATABASE = "labels/labels.db"


class Sending:
    """What the printer said last, and one thread at a time that talks to it. At rest nothing is asked."""

    def __init__(self, app: ReassemblyApp) -> None:
        self.words = ""
        self._app = app
        self._made: Press | None = None
        self._seen: set[str] = set()
        self._again: set[str] = set()
        self._working = False
        self._wanted = False
        self._timer: TimerHandle | None = None

    @property
    def press(self) -> Press:
        if self._made is None:
            from reassembly.record.press import Press

            self._made = Press(self._app.desk.path)
        return self._made

    def begin(self) -> None:
        """When the program starts: go on with what was left."""
        if (self._app.desk.path / _DATABASE).exists():
            self.start()

    def seen(self, code: str) -> None:
        """A label is on its bag: it need not be looked for any more."""
        if (self._app.desk.path / _DATABASE).exists():
            self._seen.add(code)
            self.start()

    def start(self, again: str = "") -> None:
        """Send what waits and ask what became of the rest; a label that was given up is sent `again`."""
        self._again |= {again} - {""}
        self._wanted = True
        if not self._working:
            self._work()

    def aside(self, what: Callable[[], object], then: Callable[[object], None]) -> None:
        """Do what may take long in a thread, and go on here with what it returns or with the exception it raised."""

        def work() -> None:
            found: object
            try:
                found = what()
            except Exception as error:  # noqa: BLE001 - handed to whoever asked
                found = error
            with suppress(RuntimeError):  # the program has ended meanwhile
                self._app.call_later(then, found)

        Thread(target=work, daemon=True, name="labels").start()

    def stop(self) -> None:
        if self._timer:
            self._timer.cancel()

    def _tell(self, words: str) -> None:
        """What is wrong now stands on the answer line, unless the screen has a place of its own for it; what is no
        longer wrong does not stay there."""
        screen, stale = self._app.screen, self._app.answered.words == self.words
        self.words = words
        if not (isinstance(screen, Frame) and screen.query("#labels")) and (words or stale):
            self._app.answer(words, "warn" if words else "told")
        if isinstance(screen, Frame):
            screen.refresh_all()

    def _work(self) -> None:
        self.stop()
        self._working, self._wanted = True, False
        seen, again = frozenset(self._seen), frozenset(self._again)
        self._seen.clear()
        self._again.clear()
        press = self.press
        self.aside(lambda: _run(press, seen, again), self._heard)

    def _heard(self, told: object) -> None:
        self._working = False
        if isinstance(told, Exception):
            raise told
        from reassembly.record.press import Told

        assert isinstance(told, Told)
        if told.words != self.words:
            self._tell(told.words)
        if self._wanted:
            self._work()
        elif told.busy:
            self._timer = get_running_loop().call_later(AGAIN, self._work)


def _run(press: Press, seen: Collection[str], again: Collection[str]) -> Told:
    if again:
        press.run(seen, again)
    return press.run(seen)
