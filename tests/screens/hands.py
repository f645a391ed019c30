"""An invented vehicle half way back, and ways to wait for what a screen paints."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import pytest

from reassembly.job import entries as said
from reassembly.job.plan import plan
from reassembly.record.desk import Desk
from reassembly.record.printing import new_code
from reassembly.screens.app import ReassemblyApp
from tests.screens.bench import Bench

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from textual.pilot import Pilot

    from reassembly.job.checks import Check
    from reassembly.screens.frame import Frame

WIDE, SMALL = (80, 24), (50, 15)
SIZES = pytest.mark.parametrize("size", [WIDE, SMALL], ids=["80x24", "50x15"])
FLANGE, PAN = "propshaft, rear flange", "gearbox pan"
FLUID = "automatic fluid"
ORDER = "412"


class Story(NamedTuple):
    """The job on the bench, its bags, and the bag of another vehicle."""

    job: str
    flange_bag: str
    pan_bag: str
    other_bag: str


def told(desk: Desk) -> Story:
    """Pan off, then the flange: so the flange goes back first. Ann took it apart; ben is at the bench now."""
    desk.who = "ann"
    desk.say(said.PersonAdded(person="ann"))
    desk.say(said.PersonAdded(person="ben"))
    for wrench, low, high in (("T1", "2 N.m", "25 N.m"), ("T2", "10 N.m", "100 N.m"), ("T3", "40 N.m", "200 N.m")):
        desk.say(said.WrenchAdded(wrench=wrench, low=low, high=high, tag=new_code(desk)))
        desk.say(said.WrenchCalibrated(wrench=wrench, on="2020-01-01", until="2999-01-01"))
    other = desk.open_new(said.JobOpened(vehicle="Tallis van", registration="7KD 204"))
    desk.say(said.PartRemoved(part="shield", name="exhaust shield"))
    other_bag = new_code(desk)
    desk.say(said.BagPacked(bag=other_bag, parts=("shield",)))
    assert other

    job = desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", order=ORDER))
    desk.say(said.PartRemoved(part=PAN, name=PAN))
    desk.say(said.FastenersRemoved(part=PAN, count=4, thread="M6x1", lengths=("20", "20", "30", "20")))
    desk.say(
        said.TorqueSpecified(
            part=PAN, stages=(said.Stage("torque", "4 N.m"), said.Stage("torque", "8.5 N.m")), layout="rectangle 2x2",
            seen_from="below", source="invented manual",
        )
    )  # fmt: skip
    pan_bag = new_code(desk)
    desk.say(said.BagPacked(bag=pan_bag, parts=(PAN,), shelf="B1"))
    desk.say(said.PartRemoved(part=FLANGE, name=FLANGE, how="disconnected"))
    desk.say(said.MarkMade(part=FLANGE, mark="white paint", to="pinion flange"))
    desk.say(said.FastenersRemoved(part=FLANGE, count=4, thread="M10x1.25", safety_critical=True))
    desk.say(
        said.TorqueSpecified(
            part=FLANGE, stages=(said.Stage("torque", "30 N.m"), said.Stage("torque", "60 N.m")), layout="circle",
            seen_from="rear", order=(1, 3, 2, 4), source="invented manual",
        )
    )  # fmt: skip
    flange_bag = new_code(desk)
    desk.say(said.BagPacked(bag=flange_bag, parts=(FLANGE,), shelf="C4"))
    desk.who = "ben"
    return Story(job, flange_bag, pan_bag, other_bag)


def check(desk: Desk, wording: str, part: str | None = None) -> Check:
    """The check whose wording begins so, as it stands on the disk."""
    found = [
        c
        for c in plan(desk.job(desk.jobs(ORDER)[0].id)).checks
        if c.wording.casefold().startswith(wording.casefold()) and part in {None, c.part}
    ]
    assert found, f"no check {wording}"
    return found[0]


def confirm(desk: Desk, *wordings: str, part: str) -> None:
    """Say so without a screen."""
    for wording in wordings:
        desk.say(said.CheckConfirmed(check=check(desk, wording, part).key))


def painted(app: ReassemblyApp) -> str:
    """What stands on the screen, line by line."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip) for strip in strips)


def app_of(pilot: Pilot[None]) -> ReassemblyApp:
    """The program under this pilot."""
    assert isinstance(pilot.app, ReassemblyApp)
    return pilot.app


async def until(pilot: Pilot[None], condition: Callable[[], bool]) -> None:
    """Let the program work until something is so; says what was painted where it never is."""
    for _ in range(400):
        if condition():
            return
        await pilot.pause(0.01)
    assert condition(), painted(pilot.app)  # type: ignore[arg-type]


async def shows(pilot: Pilot[None], *words: str) -> str:
    """Wait until all of these words are painted."""
    app = app_of(pilot)
    await until(pilot, lambda: all(word in painted(app) for word in words))
    return painted(app)


async def opened(pilot: Pilot[None], screen: Frame, job: str) -> None:
    """Put a screen of the open job on top."""
    app = app_of(pilot)
    app.desk.open_job = job
    app.push_screen(screen)
    await until(pilot, lambda: app.screen is screen and screen.is_mounted)
    await Bench(app, pilot).settled()


async def press(pilot: Pilot[None], *keys: str) -> None:
    """Keys at the pace of a finger."""
    app = app_of(pilot)
    await Bench(app, pilot).press(*keys)


def bench(folder: Path, who: str = "ben") -> Desk:
    return Desk.open(folder, who=who)
