"""An invented 24-part job through the screens: keys pressed, against the characters that would stand on the bags.

Every key counts: letters, Enter, Tab, arrows, and those that open and leave a screen. A scan of a label or a badge is
no key and is counted by itself.
"""

from __future__ import annotations

from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from labels.code import Kind, make
from reassembly.job import entries as said
from reassembly.job.capture_written import written
from reassembly.job.job import parts
from reassembly.job.plan import plan
from reassembly.job.together import looked_at_alone
from reassembly.job.walk import next_check
from tests.job.test_capture_measure import FIRST_TIME, PARTS, SECOND_JOB
from tests.job.the_job import FACTS
from tests.screens.bench import Bench, at_bench
from tests.screens.scanning import CARD

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.job.entries import Fact
    from reassembly.record.desk import Desk

DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"
VEHICLE = "Wexmoor 4x4 estate"
BEN = make(Kind.PERSON, "XX", 7)
AGAIN = (said.MarkMade, said.OrientationNoted, said.WeightFound, said.AidFitted)
WRITTEN = sum(len(bag) for _, bag in PARTS)


class Hands:
    """Presses keys and counts them."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.keys = self.scans = 0

    async def press(self, *keys: str) -> None:
        self.keys += len(keys)
        await self.bench.press(*keys)

    async def line(self, text: str) -> None:
        self.keys += len(text)
        await self.bench.type(text)
        await self.press("enter")

    async def scan(self, code: str) -> None:
        self.scans += 1
        await self.bench.scan(code)


class Labels:
    """A roll of labels not used yet."""

    def __init__(self) -> None:
        self.used = 0

    def next(self) -> str:
        self.used += 1
        return make(Kind.BAG, "XX", self.used)


def kept(desk: Desk, job: str, but: tuple[type, ...] = ()) -> list[Fact]:
    """What the job holds of its parts."""
    passed = (said.JobOpened, said.BagPacked, said.LabelSeen, *but)
    return [e.fact for e in desk.job(job).entries if not isinstance(e.fact, passed)]


async def each_in_a_bag(hands: Hands, labels: Labels, came_off: int) -> None:
    """An unused label scanned for each part that the last line named; of a pair the other is one up in the list."""
    await hands.scan(labels.next())
    for _ in range(came_off - 1):
        await hands.press("up", "down")
        await hands.scan(labels.next())
        await hands.press("escape")


async def strip_down(desk: Desk, order: str, labels: Labels) -> Hands:
    desk.open_new(said.JobOpened(vehicle=VEHICLE, order=order))
    async with at_bench(desk) as bench:
        await bench.press("enter", "s")
        hands = Hands(bench)
        for line, _ in PARTS:
            before = len(parts(desk.job()))
            await hands.line(line)
            await each_in_a_bag(hands, labels, len(parts(desk.job())) - before)
        return hands


async def strip_down_again(desk: Desk, order: str, labels: Labels) -> Hands:
    """The next of the model: Tab takes each part; its marks, facings, weights and aids are typed anew."""
    noted = {
        part.name: [e.fact for e in part.about if isinstance(e.fact, AGAIN)] for part in parts(desk.job()).values()
    }
    desk.open_new(said.JobOpened(vehicle=VEHICLE, order=order))
    async with at_bench(desk) as bench:
        await bench.press("enter", "s")
        hands = Hands(bench)
        for _ in range(len(noted)):
            await hands.press("tab")
            part = list(parts(desk.job()).values())[-1]
            if noted[part.name]:
                await hands.line(written(noted[part.name]))
            await hands.scan(labels.next())
        return hands


class Refit(NamedTuple):
    hands: Hands
    parts: int
    bolts: int
    """Positions of every stage, each confirmed by a key of its own."""
    alone: int
    """Balance weights and spline teeth, each looked at alone and confirmed by a key of its own."""
    after: int
    """Parts that have one: a key more goes on after it."""


async def refit(desk: Desk) -> Refit:
    """Every bag scanned in turn, every bolt of every stage confirmed, ben's badge for what a second person looks at."""
    order = [step.part.id for step in plan(desk.job()).steps]
    bags = {part: entry.fact.bag for entry in desk.job().said(said.BagPacked) for part in entry.fact.parts}
    async with at_bench(desk) as bench:
        bench.app.clock = count(0.0, 2.0).__next__  # no two scans within a second
        await bench.press("enter", "r")
        hands, alone = Hands(bench), dict[str, str]()
        for part in order:
            await hands.scan(bags[part])
            assert "FIT NOW" in bench.answer(), bench.answer()
            await hands.press("y")
            while (next_one := next_check(plan(desk.job()), part)) and looked_at_alone(next_one):
                await hands.press("space")
                alone[next_one.key] = part
            if part in alone.values():
                await hands.press("y")
            while bench.on() in {"TightenScreen", "PickScreen"}:
                if bench.on() == "PickScreen":
                    await hands.scan(CARD["2"])  # no wrench of this bench is in the rack: asked once a joint
                elif "LAST ONE: y says" in bench.painted():
                    await hands.press("y")
                else:  # of a plug nobody said how many there are
                    await hands.press("space" if "position" in bench.painted() else "a")
            step = plan(desk.job()).step(part)
            assert step is not None
            if any(check.way == "second" and check.open for check in step.checks):
                await hands.scan(BEN)
            step = plan(desk.job()).step(part)
            assert step is not None
            assert step.done, f"{part}: {[c.wording for c in step.checks if c.open]}\n{bench.painted()}"
        tightened = sum(1 for _ in desk.job().said(said.StageTightened))
        return Refit(hands, len(order), tightened, len(alone), len(set(alone.values())))


async def test_a_job_through_the_screens_costs_less_than_a_marker_pen(
    desk: Desk, figures: Callable[[str], None]
) -> None:
    desk.say(said.PersonAdded(person="ben", badge=BEN))
    labels = Labels()
    first = await strip_down(desk, "412", labels)
    assert kept(desk, desk.open_job) == FACTS
    back = await refit(desk)
    again = await strip_down_again(desk, "430", labels)
    assert sorted(map(repr, kept(desk, desk.open_job))) == sorted(
        repr(fact) for fact in FACTS if not isinstance(fact, said.PartStuck)
    )
    allowed = back.parts + back.bolts
    looking = back.alone + back.after
    table = f"""\
| a job of 24 lines, {back.parts} parts | keys | scans | against | ratio | aim |
|---|---|---|---|---|---|
| strip-down, the first of the model | {first.keys} | {first.scans} | {WRITTEN} characters on bags | \
{first.keys / WRITTEN:.2f} | at most {FIRST_TIME} |
| strip-down, the second of the model | {again.keys} | {again.scans} | {WRITTEN} characters on bags | \
{again.keys / WRITTEN:.2f} | at most {SECOND_JOB} |
| refit, each bolt of each stage confirmed | {back.hands.keys} | {back.hands.scans} | {allowed}: {back.parts} parts, \
{back.bolts} bolts | {back.hands.keys / allowed:.2f} | at most 1 |
| the same but for what is looked at alone | {back.hands.keys - looking} | {back.hands.scans} | {allowed} | \
{(back.hands.keys - looking) / allowed:.2f} | at most 1 |
"""
    figures(table)
    assert first.keys <= FIRST_TIME * WRITTEN
    assert again.keys <= SECOND_JOB * WRITTEN
    assert (back.alone, back.after) == (3, 2), "two weights at a flange, a tooth of a yoke"
    assert back.hands.keys <= allowed + looking
    assert table in DEVELOPERS.read_text(encoding="utf-8"), "the table of the measure in DEVELOPERS.md is another one"
