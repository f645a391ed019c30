"""`python -m tests.screens.hostile`: random keys, scans, pastes, touches and resizes through the real screens.

They are sent in legs. Each begins on the bench, which Escape must lead to from wherever the last one ended, and walks
from there by keys that the screens offer, those tried least first, so that deep screens have their share. Nothing that
cannot be taken back may come of it but by the name that is asked for. What is sent follows from the seed; what comes of
it may depend on the pace of the machine, so that a failure tells the last inputs and the screen.
"""

from __future__ import annotations

import asyncio
import json
import random
import tempfile
import time
from collections import Counter, deque
from contextlib import asynccontextmanager
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from reassembly.job.entries import TorqueSpecified
from reassembly.job.job import Job, bag_code, parts
from reassembly.job.plan import plan
from reassembly.job.shop import Shop
from reassembly.job.signoff import signoff
from reassembly.record.desk import Desk
from reassembly.record.verifying import verify
from reassembly.screens.frame import Frame
from reassembly.screens.jobs import JobsScreen
from reassembly.screens.keyline import keys_of
from reassembly.screens.part import PartScreen
from reassembly.screens.settle import SettleScreen
from reassembly.screens.tighten import TightenScreen
from tests.screens.bench import Bench
from tests.screens.hostile_inputs import SIZES, USUAL, codes, inputs, send
from tests.screens.hostile_reached import Reached, WatchedApp, counted, on
from tests.screens.hostile_shop import Other, furnish

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

BETWEEN = (3, 20)
"""Inputs, after which the screens may catch up and are looked at: on some legs soon, on others late."""
LEG = 60
EPISODE = 1_000
"""Inputs, after which the program is started anew: where it was left, or where a power cut took it."""
WAY_OUT = 60
"""Escapes that must lead to the bench from anywhere, with every form and list closed on the way."""
DEEPEST = 6
TOO_OFTEN = 3
"""Times its share of inputs, after which a screen is left."""
TYPED = ["2", "12", "55 N.m", "T3", "ben", "2026-03-14", "white paint", "pan", "4 x M10x1.25x40 10.9, 60 Nm"]
_EVERYWHERE = {"type_code", "who", "photo", "photos", "keys", "find_key", "workings"}
_LEG_BEGINS = ("a leg", "begins")
_PRESSED = {"Esc": "escape", "?": "question_mark", "/": "slash"}


class Tally(NamedTuple):
    inputs: int
    entries: int
    starts: int
    on_purpose: Counter[str]
    """Sign-offs and erasures by somebody who had given the name or badge that is asked for."""
    seconds: float
    reached: Reached


class Run:
    """Random inputs into one workshop."""

    def __init__(self, desk: Desk, other: Other, chance: random.Random) -> None:
        self.desk = desk
        self.chance = chance
        self.reached = Reached(Counter(), Counter(), Counter())
        self.sent = 0
        self.on_purpose: Counter[str] = Counter()
        self._other = other
        self._given = inputs(chance, codes(desk))
        self._last: deque[tuple[str, str]] = deque(maxlen=3 * LEG)
        self._before = self._for_good()

    async def episode(self, count: int) -> None:
        """One start of the program. Raises what the program raised, or AssertionError for what it must not do."""
        self._last.clear()
        try:
            async with self._started() as bench:
                for at in range(0, count, LEG):
                    self._last.append(_LEG_BEGINS)
                    if at or self.chance.random() < 0.5:  # otherwise go on where the last program was left
                        await self._home(bench)
                        await self._walk(bench)
                    await self._leg(bench, min(LEG, count - at))
        except BaseException as error:
            error.add_note(f"the last inputs: {list(self._last)}")
            raise

    @asynccontextmanager
    async def _started(self) -> AsyncIterator[Bench]:
        app = WatchedApp(self.desk, self.reached)
        async with app.run_test(size=SIZES[self.chance.choice(USUAL)]) as pilot:
            bench = Bench(app, pilot)
            await bench.settled()
            yield bench
            if self.chance.random() < 0.5:
                app.returning.leave()
        assert app.returning._keeper
        app.returning._keeper.close()

    async def _leg(self, bench: Bench, count: int) -> None:
        between = self.chance.choice(BETWEEN)
        for n in range(count):
            leave = n % between == 0 and self._too_often(bench)
            self._send(bench, *(("key", "escape") if leave else next(self._given)))
            if n % between == between - 1:
                await self._looked_at(bench)
        await self._looked_at(bench)
        self._look_for_accidents()

    def _send(self, bench: Bench, kind: str, what: str) -> None:
        def came() -> None:
            self.reached.screens[on(bench.app)] += 1

        bench.app.call_later(came)
        self.sent += 1
        match kind:
            case "offered":
                kind, what = "key", self._offered(bench)
            case "other":
                self._other.say(self.desk.open_job)
        self._last.append((kind, what))
        send(bench, kind, what)

    async def _looked_at(self, bench: Bench) -> None:
        await bench.at_rest()
        raw = {letter for letter in bench.painted() if not letter.isprintable()} - {"\n"}
        assert not raw, f"{raw} painted on {bench.on()}:\n{bench.painted()!r}"

    async def _home(self, bench: Bench) -> None:
        """Out of everything, to the bench, with ann at it."""
        for _ in range(WAY_OUT):
            await self._looked_at(bench)
            if len(bench.app.screen_stack) == 1:
                self.desk.who = "ann"
                return
            self._last.append(("way out", bench.on()))
            bench.key("escape")
        raise AssertionError(f"no way back to the bench from {bench.on()}:\n{bench.painted()}")

    async def _walk(self, bench: Bench) -> None:
        """Some screens deep, along what was done least."""
        send(bench, "resize", str(self.chance.choice(USUAL)))
        way = self.chance.random()
        screen = bench.screen
        assert isinstance(screen, JobsScreen)
        if way < 0.8:
            job = self._other.ready() if way < 0.15 else self.chance.choice(self._other.jobs())
            self._last.append(("job", job))
            screen.open(job)
            await bench.at_rest()
        if way < 0.15:
            await self._press(bench, "o")
            if way < 0.08:
                await self._press(bench, "f9")
            return
        if 0.15 <= way < 0.4 and (deep := self._deep()):
            self._last.append(("deep", type(deep).__name__))
            bench.app.push_screen(deep)
            await self._looked_at(bench)
            return
        for _ in range(self.chance.randrange(DEEPEST)):
            if isinstance(bench.screen, Frame) and bench.screen.typing() and self.chance.random() < 0.7:
                self._last.append(("paste", self.chance.choice(TYPED)))
                send(bench, *self._last[-1])
            await self._press(bench, self._offered(bench))

    def _deep(self) -> Frame | None:
        """A screen of the open job that few keys lead to."""
        job = self.desk.job()
        every: list[Frame] = [TightenScreen(e.id) for e in job.entries if isinstance(e.fact, TorqueSpecified)]
        every += [PartScreen(part) for part in parts(job)]
        every += [SettleScreen(check.key) for check in plan(job).open if check.way == "settle"]
        kinds = sorted({type(each) for each in every}, key=lambda kind: kind.__name__)
        if not kinds:
            return None
        kind = self.chance.choice(kinds)
        return self.chance.choice([each for each in every if isinstance(each, kind)])

    async def _press(self, bench: Bench, key: str) -> None:
        self._last.append(("key", key))
        bench.key(key)
        await self._looked_at(bench)

    def _offered(self, bench: Bench) -> str:
        """A key that works on the screen now, mostly that of what was done least on it."""
        screen = bench.screen
        every = [(key, action.rpartition(".")[2]) for key, _, action in keys_of(screen, hidden=True)]
        ways = [(key, action) for key, action in every if key != "Esc"]
        if not ways:
            return "escape"
        self.chance.shuffle(ways)
        here = on(bench.app)
        key, _ = ways[0] if self.chance.random() < 0.3 else min(ways, key=lambda way: self._done(here, counted(way[1])))
        return _PRESSED.get(key, key if len(key) == 1 else key.lower().replace("^", "ctrl+"))

    def _done(self, here: str, action: str) -> int:
        """How often: on this screen what is its own, anywhere what works on all."""
        if action not in _EVERYWHERE:
            return self.reached.actions[here, action]
        return sum(many for (_, each), many in self.reached.actions.items() if each == action)

    def _too_often(self, bench: Bench) -> bool:
        """Whether the screen had far more than its share."""
        screens = self.reached.screens
        return screens[on(bench.app)] > TOO_OFTEN * (sum(screens.values()) + LEG) / (len(screens) + 1)

    def _for_good(self) -> list[tuple[str, str]]:
        """The job and id of each sign-off and erasure kept, the oldest first."""
        with self.desk.journal.folder.reading() as connection:
            rows = connection.execute(
                "select job, bench, number from entry where kind in ('SignedOff', 'DetailsErased') order by hlc"
            )
            return [(job, f"{bench}.{number}") for job, bench, number in rows]

    def _look_for_accidents(self) -> None:
        """Nothing is signed off or erased but by the name that is asked for, and nothing signed off while a check is
        open."""
        for job, said in (now := self._for_good())[len(self._before) :]:
            entries, shop = self.desk.journal.read(job), self.desk.journal.read("")
            at = [entry.id for entry in entries].index(said)
            kind = type(entries[at].fact).__name__
            assert self._named(Shop.of(shop), entries[at].who), f"{kind} of {job} by chance, by {entries[at].who}"
            if kind == "SignedOff":
                still = signoff(Job.of(entries[:at], shop), Shop.of(shop)).open
                assert not still, f"signed off with open checks: {[check.wording for check in still]}"
            self.on_purpose[kind] += 1
        self._before = now

    def _named(self, shop: Shop, who: str) -> bool:
        """Whether somebody gave this name on this leg, by badge or by letters, and did something more after it."""
        badge = bag_code(shop.people[who].badge) if who in shop.people else ""
        given, typed = False, ""
        for kind, what in self._last:
            if (kind, what) == _LEG_BEGINS:
                given, typed = False, ""
            elif given:
                return True
            typed += what if kind in {"letter", "paste", "hold"} or len(what) == 1 else ""
            given = who in typed or (kind in {"scan", "paste"} and "" != bag_code(what) == badge)
        return False


def run(folder: Path, count: int, seed: int, every: int = EPISODE) -> Tally:
    """So many inputs into a demo workshop kept in an empty folder. Raises AssertionError for a job signed off by
    chance, for a journal that does not verify, and for what `Run.episode` says."""
    chance = random.Random(seed)
    began = time.monotonic()
    furnish(folder, chance)
    starts = 0
    with Desk.open(folder, who="ben") as second, Desk.open(folder, who="ann") as desk:
        it = Run(desk, Other(second, chance), chance)
        before = sum(1 for _ in desk.journal.bodies())
        while it.sent < count:
            asyncio.run(it.episode(min(every, count - it.sent)))
            starts += 1
        found = verify(desk.journal, whole=True).found
        assert not found, found
        entries = [json.loads(body) for _, _, body in desk.journal.bodies()][before:]
        it.reached.kinds.update(each["fact"]["kind"] for each in entries if each["who"] != second.who)
    return Tally(it.sent, len(entries), starts, it.on_purpose, time.monotonic() - began, it.reached)


@click.command()
@click.option("--inputs", "count", default=1_000_000, show_default=True)
@click.option("--seed", default=1, show_default=True)
def main(count: int, seed: int) -> None:
    """Send random inputs to the real screens of a demo workshop, and say how it went."""
    with tempfile.TemporaryDirectory() as folder:
        tally = run(Path(folder) / "shop", count, seed)
    for line in tally.reached.told():
        click.echo(line)
    click.echo(
        f"{tally.inputs} inputs from seed {seed}, {tally.starts} starts, {tally.entries} entries kept, "
        f"{tally.seconds:.0f} s: no traceback, nothing signed off or erased by chance, {dict(tally.on_purpose)} "
        "by name, a way back from everywhere, the journal whole"
    )


if __name__ == "__main__":
    main()
