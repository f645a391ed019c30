"""A measuring tool on a serial line: a pair of pseudo terminals stands for the cable."""

from __future__ import annotations

import os
import pty
import tty

import pytest

from reassembly.record.tool_line import ToolLine
from tests.parts.printserver import until

pytest.importorskip("serial", reason="pyserial is missing: pip install 'reassembly[serial]'")


class Cable:
    """What the tool writes at one end, and the name of the port at the other."""

    def __init__(self) -> None:
        self.tool, self._far = pty.openpty()
        tty.setraw(self._far)
        self.port = os.ttyname(self._far)

    def sends(self, data: bytes) -> None:
        os.write(self.tool, data)

    def pull(self) -> None:
        os.close(self.tool)
        os.close(self._far)


@pytest.fixture
def cable() -> Cable:
    return Cable()


class Heard:
    def __init__(self, port: str) -> None:
        self.lines: list[str] = []
        self.troubles: list[str] = []
        self.line = ToolLine(port, self.lines.append, self.troubles.append)
        self.line.start()

    def opened(self) -> Heard:
        """Opening a port throws away what came before."""
        until(lambda: self.line._open is not None)
        return self


def test_every_whole_line_is_heard_however_it_comes_in_pieces(cable: Cable) -> None:
    heard = Heard(cable.port).opened()
    for piece in (b"45.2 N", b".m\r", b"\n46.0 N.m\r\n\r\n", b"TQ 60.1", b" Nm OK\n"):
        cable.sends(piece)
    until(lambda: len(heard.lines) == 3)
    assert heard.lines == ["45.2 N.m", "46.0 N.m", "TQ 60.1 Nm OK"]
    cable.sends(b"\xff" * 200)
    cable.sends(b"\r45.3 N.m\r")
    until(lambda: heard.lines[-1] == "45.3 N.m")
    heard.line.stop()
    until(lambda: not heard.line._thread.is_alive())
    assert heard.troubles == []


def test_a_port_that_is_not_there_is_told_once_in_words() -> None:
    heard = Heard("/dev/no-such-tool@19200")
    until(lambda: heard.troubles)
    (told,) = heard.troubles
    assert told.startswith("The measuring tool at /dev/no-such-tool cannot be read (")
    heard.line.stop()
    until(lambda: not heard.line._thread.is_alive())


def test_a_cable_that_is_pulled_is_told(cable: Cable) -> None:
    heard = Heard(cable.port).opened()
    cable.sends(b"45.2 N.m\r")
    until(lambda: heard.lines)
    cable.pull()
    until(lambda: heard.troubles)
    heard.line.stop()
    assert len(heard.troubles) == 1
