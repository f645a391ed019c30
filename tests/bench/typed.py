"""What is computed at every key: the line of strip-down read, judged and reckoned anew each time."""

from __future__ import annotations

from time import sleep
from typing import TYPE_CHECKING

from reassembly.job.capture import capture
from reassembly.record.desk import Desk
from tests.bench.measure import Row, by_turns, timed
from tests.bench.painted import presses
from tests.bench.terminal import Terminal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.bench.records import Records

LINE = (
    "propshaft, 8 x M10x1.25x35 10.9, 60 Nm then 90 deg, circle 8, paint mark, 27 teeth tooth 3, "
    "weight 14 g hole 2 radius 45 mm"
)
"""With a thread, a torque that is compared with its bolt, stages, a layout, a spline and a weight."""

_FRAME = 0.05  # seconds after which Textual paints at once: sooner it waits for its next sixtieth


def keys(records: Records) -> Iterator[Row]:
    """What is understood, doubted and reckoned of the line as it grows by a key, in a job stripped down; the floor is
    a key painted by a program that computes nothing."""
    with Desk.open(records.small) as desk:
        job, shop = desk.job(desk.jobs(closed=False)[0].id), desk.shop()

    def computed(turn: int) -> None:
        capture(LINE[: turn % len(LINE) + 1], job, shop)

    with Terminal("tests.bench.bare") as bare:
        press = presses(bare, "x")

        def painted(turn: int) -> float:
            sleep(_FRAME)
            return press(turn)

        floor, ours = by_turns(2 * len(LINE), painted, timed(computed))
    yield Row(f"computed at a key, {len(job.entries)} facts; floor: a key painted", floor * 1000, ours, "ms", 0.5)
