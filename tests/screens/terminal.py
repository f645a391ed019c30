"""The real program in a real terminal: bytes in at a stated pace, a screen out."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from typing import TYPE_CHECKING

import pyte

from reassembly.screens.wedge import PACE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

PATIENCE = 60.0
QUIET = 0.03
AT_MOST_SCANNED = PACE - 0.005
"""Seconds between two keys of a scanner; the program's own measure, less than which some is left for its reading."""
ENTER = "\r"


class NotAScan(Exception):
    """The machine was too busy for this test to send what it has to send: nothing is known of the program by it."""


class Terminal:
    """A child of this process on the other side of a pseudo terminal."""

    def __init__(self, *command: str, size: tuple[int, int] = (80, 24), **environment: str) -> None:
        columns, rows = size
        self.screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self.screen)
        self.raw = bytearray()
        self.pid, self._fd = pty.fork()
        if self.pid == 0:
            usual = {"TERM": "xterm-256color", "REASSEMBLY_WHO": "ann", "COLORTERM": "truecolor"}
            os.execve(sys.executable, [sys.executable, *command], {**os.environ, **usual, **environment})
        self.resize(columns, rows)

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, *raised: object) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self._fd)

    def resize(self, columns: int, rows: int) -> None:
        fcntl.ioctl(self._fd, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.screen.resize(rows, columns)

    def painted(self) -> str:
        return "\n".join(line.rstrip() for line in self.screen.display)

    def until(self, condition: Callable[[], object], why: str = "") -> None:
        """Read what the program paints until it holds, and the program has nothing more to paint."""
        end = time.monotonic() + PATIENCE
        while self._read(QUIET) or not condition():
            if time.monotonic() > end:
                raise AssertionError(f"{why or 'never came true'}:\n{self.painted()}")

    def shows(self, *words: str) -> None:
        self.until(lambda: all(word in self.painted() for word in words), f"never showed {words}")

    def send(self, text: str) -> None:
        """All of it at once."""
        os.write(self._fd, text.encode())

    def keys(self, text: str, pauses: Iterable[float]) -> None:
        """One key after each pause, in seconds, as a scanner or a hand sends them. What the program paints meanwhile
        is drawn afterwards: drawing takes longer than a scanner's pause. Raises NotAScan where this process was kept
        from the processor so long that a scanner's pause became a finger's."""
        painted = bytearray()
        last = time.monotonic()
        for character, pause in zip(text, pauses, strict=True):
            end = last + pause
            while (left := end - time.monotonic()) > 0:
                painted += self._received(left)
            self.send(character)
            sent = time.monotonic()
            if pause < AT_MOST_SCANNED <= sent - last:
                raise NotAScan(f"{sent - last:.3f} s before {character!r} of {text!r}, not {pause} s")
            last = sent
        self._stream.feed(bytes(painted))

    def at_times(self, keys: Iterable[tuple[float, str]]) -> list[float]:
        """Each key at its second, and when each was sent."""
        painted, sent = bytearray(), []
        begun = time.monotonic()
        for at, character in keys:
            while (left := begun + at - time.monotonic()) > 0:
                painted += self._received(left)
            self.send(character)
            sent.append(time.monotonic() - begun)
        self._stream.feed(bytes(painted))
        return sent

    def _read(self, patience: float) -> bool:
        found = self._received(patience)
        self._stream.feed(found)
        return bool(found)

    def _received(self, patience: float) -> bytes:
        """What the program painted, as soon as there is something."""
        ready, _, _ = select.select([self._fd], [], [], patience)
        if not ready:
            return b""
        try:
            found = os.read(self._fd, 65536)
        except OSError:  # Linux says so when the child has ended
            raise AssertionError(f"the program ended:\n{self.painted()}") from None
        self.raw += found
        return found
