"""Somebody at a demo bench who says things, and the clock on the wall there."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from reassembly.job.entries import BagPacked, Fact, PartRemoved
from reassembly.job.job import Job, part_id

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.job.entries import Entry
    from reassembly.record.desk import Desk


class WallClock:
    """A clock that is set, and moves on by some seconds each time it is read: nanoseconds since 1970."""

    def __init__(self, moment: datetime, seconds: int = 40) -> None:
        self.moment = moment
        self.step = timedelta(seconds=seconds)

    def __call__(self) -> int:
        self.moment += self.step
        return int(self.moment.timestamp()) * 1_000_000_000


class Person(NamedTuple):
    """One person at one job (`` is the shop)."""

    who: str
    desk: Desk
    job: str
    new_bag: Callable[[], str]

    def says(self, *facts: Fact) -> Entry[Any]:
        """Say them one after another; the last one as it was kept."""
        self.desk.who = self.who
        return [self.desk.say(fact, job=self.job) for fact in facts][-1]

    def takes(
        self,
        name: str,
        side: str = "",
        how: Literal["off", "loosened", "disconnected", "aside"] = "off",
        parent: str = "",
        note: str = "",
    ) -> str:
        """Take a part off; its id. No two parts of a story share a name."""
        part = part_id(Job(), name, side)
        self.says(PartRemoved(part=part, name=name, side=side, how=how, parent=parent, note=note))
        return part

    def bags(self, *parts: str, holds: str = "", shelf: str = "") -> None:
        self.says(BagPacked(bag=self.new_bag(), parts=parts, holds=holds, shelf=shelf))
