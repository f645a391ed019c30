"""Proving and copying beside the work, each in a process of its own that gives way to the bench."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections import deque
from tempfile import TemporaryFile
from typing import IO, TYPE_CHECKING, NamedTuple

from reassembly.record import copies

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from reassembly.record.desk import Desk

PROGRAM = (sys.executable, "-m", "reassembly")
_IN_WORDS = {"verify": "while the record was proved", "backup": "while the record was copied"}


class _Running(NamedTuple):
    what: str
    process: subprocess.Popen[bytes]
    out: IO[bytes]
    errors: IO[bytes]


class Beside:
    """One thing at a time. What comes of it is asked for with `news`, as often as one likes."""

    def __init__(self, folder: Path, program: Sequence[str] = PROGRAM) -> None:
        self._folder = folder
        gently = [each, "-n", "19"] if (each := shutil.which("nice")) else []
        self._command = [*gently, *program, "--data", str(folder)]
        self._waiting: deque[tuple[str, list[str]]] = deque()
        self._running: _Running | None = None

    def prove(self) -> None:
        """Read what is new, or all of it once a week."""
        self._ask("verify", ["verify"])

    def copy(self) -> None:
        """Copy to the second device, where one is there."""
        directory = copies.second_device(self._folder)
        if directory is not None:
            self._ask("backup", ["backup", str(directory)])

    def copy_if_due(self, desk: Desk) -> None:
        """Copy where the last copy is of another day and something was said since."""
        if desk.copy_due:
            self.copy()

    def news(self) -> list[str]:
        """What is wrong, in sentences, once something came to its end; nothing while all is well."""
        found: list[str] = []
        if self._running and self._running.process.poll() is not None:
            found = _told(self._running)
            self._running = None
        if self._running is None and self._waiting:
            self._begin(*self._waiting.popleft())
        return found

    @property
    def busy(self) -> bool:
        return self._running is not None or bool(self._waiting)

    def stop(self) -> None:
        """A copy goes on to its end after the screens are left; a proof is begun again at the next opening."""
        if self._running and self._running.what == "verify":
            self._running.process.terminate()
            self._running.process.wait()
        self._waiting.clear()

    def _ask(self, what: str, arguments: list[str]) -> None:
        if all(what != waiting for waiting, _ in self._waiting):
            self._waiting.append((what, arguments))
        if self._running is None:
            self._begin(*self._waiting.popleft())

    def _begin(self, what: str, arguments: list[str]) -> None:
        out, errors = TemporaryFile(), TemporaryFile()  # noqa: SIM115 - read when it came to its end
        process = subprocess.Popen(  # noqa: S603 - this program
            [*self._command, *arguments], stdin=subprocess.DEVNULL, stdout=out, stderr=errors, start_new_session=True
        )
        self._running = _Running(what, process, out, errors)


def _told(done: _Running) -> list[str]:
    """The first sentence, and that there are more: a screen has one line for it."""
    with done.out, done.errors:
        code = done.process.returncode
        if not code:
            return []
        file = done.out if code == 1 else done.errors
        file.seek(0)
        lines = [line.strip() for line in file.read().decode("utf-8", "replace").splitlines() if line.strip()]
    first = (lines or [f"it ended with {code}"])[0 if code == 1 else -1].removeprefix("Error: ")
    return [f"{_IN_WORDS[done.what]}: {first}"]
