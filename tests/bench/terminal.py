"""A program in a real pseudo-terminal: what it paints and when, and what it costs the machine."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
from contextlib import suppress
from pathlib import Path
from time import perf_counter, sleep
from typing import TYPE_CHECKING, NamedTuple, Self

if TYPE_CHECKING:
    from collections.abc import Sequence

ROOT = Path(__file__).parents[2]
PATIENCE = 60.0
_ORDERS = re.compile(rb"\x1b(?:\[[0-9;?<>=$ ]*[@-~]|[P\]_^][^\x07\x1b]*(?:\x07|\x1b\\)|[@-Z\\=>])")


class Cost(NamedTuple):
    """Processor time in seconds, and bytes painted."""

    processor: float
    painted: int


class Terminal:
    """One program of ours, `python -m MODULE ARGUMENTS`, in a terminal of 80 x 24."""

    def __init__(self, module: str, *arguments: str) -> None:
        self._end, inside = pty.openpty()
        fcntl.ioctl(inside, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        environment = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor", "PYTHONPATH": str(ROOT)}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed program is not compiled at every start
        self.began = perf_counter()
        self._program = subprocess.Popen(
            [sys.executable, "-m", module, *arguments],
            stdin=inside, stdout=inside, stderr=inside, cwd=ROOT, env=environment, start_new_session=True,
        )  # fmt: skip
        os.close(inside)
        self._painted = b""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._program.terminate()
        with suppress(OSError):
            while self._read(5.0):
                pass
        self._program.wait(10)
        os.close(self._end)

    def type(self, keys: str) -> float:
        """Send keys in one burst, as a scanner does; returns when."""
        self.drain()
        at = perf_counter()
        os.write(self._end, keys.encode())
        return at

    def until_painted(self, words: Sequence[str]) -> float:
        """When all these words were painted since keys were last sent. Raises TimeoutError with what was."""
        wanted = [word.encode() for word in words]
        until = perf_counter() + PATIENCE
        while not all(word in _ORDERS.sub(b"", self._painted) for word in wanted):
            if not self._read(max(0.0, until - perf_counter())):
                raise TimeoutError(f"never painted {words}: {_ORDERS.sub(b'', self._painted)[-2000:]!r}")
        return perf_counter()

    def drain(self) -> int:
        """Read away what was painted; returns how many bytes."""
        while self._read(0.0):
            pass
        count, self._painted = len(self._painted), b""
        return count

    def memory(self) -> int:
        """Resident bytes, once they have stopped growing."""
        before, still = 0, 0
        while still < 4:
            sleep(0.5)
            self.drain()
            now = self._resident()
            still = still + 1 if now <= before * 1.005 else 0
            before = now
        return before

    def cost(self) -> Cost:
        """What was used since it began, and painted since last asked."""
        painted = self.drain()
        spent = 0
        for thread in Path(f"/proc/{self._program.pid}/task").iterdir():
            with suppress(OSError):  # a thread may end meanwhile
                spent += int((thread / "schedstat").read_text().split()[0])
        return Cost(spent / 1e9, painted)

    def _resident(self) -> int:
        status = Path(f"/proc/{self._program.pid}/status").read_text("ascii")
        return int(status.partition("VmRSS:")[2].split()[0]) * 1024

    def _read(self, patience: float) -> bool:
        if not select.select([self._end], [], [], patience)[0]:
            return False
        try:
            found = os.read(self._end, 65536)
        except OSError:  # the other side is closed
            return False
        self._painted += found
        return bool(found)
