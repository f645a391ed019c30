"""A measuring tool on a serial line: every whole line it sends is handed on."""

from __future__ import annotations

import re
from threading import Event, Thread
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

SPEED = 9600
LONGEST = 64  # bytes; more than that without an end is noise, or the wrong speed
PATIENCE = 2.0  # seconds until a line that went away is opened again

_END = re.compile(rb"[\r\n]+")


class ToolLine:
    """Reads one serial port in a thread of its own until it is stopped.

    `port` is its name, perhaps with a speed: `/dev/ttyUSB0`, `/dev/ttyUSB0@19200`; 8 data bits, no parity, 1 stop bit.
    `heard` gets each line, `trouble` one sentence when the port cannot be read, once until it can be again; both are
    called from the thread.
    """

    def __init__(self, port: str, heard: Callable[[str], object], trouble: Callable[[str], object]) -> None:
        self._port, _, speed = port.partition("@")
        self._speed = int(speed) if speed.isdecimal() and speed.isascii() else SPEED
        self._heard = heard
        self._trouble = trouble
        self._stopped = Event()
        self._open: Any = None
        self._thread = Thread(target=self._run, daemon=True, name="measuring tool")

    def start(self) -> None:
        self._thread.start()

    def stop(self) -> None:
        self._stopped.set()
        if self._open is not None:
            self._open.cancel_read()

    def _run(self) -> None:
        try:
            import serial
        except ImportError:
            self._trouble("A tool on a serial line needs pyserial: pip install 'reassembly[serial]'")
            return
        told = False
        while not self._stopped.is_set():
            try:
                with serial.Serial(self._port, self._speed) as self._open:
                    told = False
                    self._read()
            except (OSError, ValueError) as error:  # SerialException is an OSError
                if not told and not self._stopped.is_set():
                    why = getattr(error, "strerror", None) or "it does not answer"
                    self._trouble(f"The measuring tool at {self._port} cannot be read ({why}): look at its cable.")
                told = True
                self._stopped.wait(PATIENCE)

    def _read(self) -> None:
        held = b""
        while not self._stopped.is_set():
            held += self._open.read(self._open.in_waiting or 1)
            *whole, held = _END.split(held)
            for line in whole:
                if line.strip():
                    self._heard(line[: LONGEST + 1].decode("ascii", "replace"))
            if len(held) > LONGEST:
                held = b""
