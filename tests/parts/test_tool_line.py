"""A measuring tool on a serial line: a pair of pseudo terminals stands for the cable."""

from __future__ import annotations

import os
import pty
import tty
from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.job.plan import plan
from reassembly.record.tool_line import ToolLine
from reassembly.screens.app import ReassemblyApp
from reassembly.screens.tighten import TightenScreen
from tests.parts.printserver import until
from tests.screens.bench import Bench, new_desk

if TYPE_CHECKING:
    from pathlib import Path

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


async def test_a_tool_on_the_line_tightens_the_position_on_display_with_the_wrench_it_is(
    cable: Cable, tmp_path: Path
) -> None:
    with new_desk(tmp_path) as desk:
        desk.say(said.WrenchAdded(wrench="T7", low="5 N.m", high="100 N.m"))
        desk.say(said.WrenchCalibrated(wrench="T7", on="2020-01-01", until="2999-01-01"))
        job = desk.open_new(said.JobOpened(vehicle="Kestrel van"))
        desk.say(said.PartRemoved(part="pan", name="pan"))
        desk.say(said.FastenersRemoved(part="pan", count=2))
        stages = (said.Stage("torque", "60 N.m"),)
        spec = desk.say(said.TorqueSpecified(part="pan", stages=stages, source="invented manual")).id
        for check in plan(desk.job()).checks:
            if check.wording.startswith(("back", "all 2")):
                desk.say(said.CheckConfirmed(check=check.key))
        app = ReassemblyApp(desk, tool=cable.port)
        async with app.run_test() as pilot:
            bench = Bench(app, pilot)
            await bench.until(lambda: app._tool and app._tool._open is not None)
            await bench.press("enter")
            app.push_screen(TightenScreen(spec))
            await bench.settled()

            def kept() -> list[tuple[int | None, str, str]]:
                facts = (e.fact for e in desk.job(job).said(said.StageTightened))
                return [(f.position, f.value, f.wrench) for f in facts]

            cable.sends(b"T7 70.1 N.m OK\r\n")
            await bench.until(lambda: "NOT CONFIRMED: 70.1 N.m is above" in bench.answer())
            assert kept() == []
            cable.sends(b"T7 60.3 N.m OK\r\n")
            await bench.until(lambda: kept() == [(1, "60.3 N.m", "T7")])
