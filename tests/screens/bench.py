"""A bench for the tests: the screens over a real desk, keys as a person, a program or a scanner sends them."""

from __future__ import annotations

import asyncio
from contextlib import asynccontextmanager
from time import monotonic, process_time
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from textual import events
from textual.geometry import Size
from textual.keys import _character_to_key
from textual.widgets import OptionList

from reassembly.job.entries import PersonAdded
from reassembly.record.desk import Desk
from reassembly.screens.app import ReassemblyApp

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable, Iterable
    from pathlib import Path

    from textual.pilot import Pilot
    from textual.screen import Screen

PATIENCE = 10.0
"""Seconds of the processor's time at most until something has come true, or twenty times as many by the clock."""
PRESS = 0.15
"""Seconds between two keys of a quick finger."""
TICK = 0.001
MOST_PAINTS = 8
"""In a window of a few cells the bars of two lists can come and go for ever, each for want of the other's room."""
AHEAD = 5.0
"""Seconds by which the clock of the keys goes before the machine's, so that no gap depends on how busy it is."""


_CLOCKS: WeakKeyDictionary[ReassemblyApp, float] = WeakKeyDictionary()
"""When the last key was sent to each program, by the clock of the keys."""


class Bench:
    """One terminal of a bench."""

    def __init__(self, app: ReassemblyApp, pilot: Pilot[None]) -> None:
        self.app = app
        self.pilot = pilot

    @property
    def desk(self) -> Desk:
        return self.app.desk

    @property
    def screen(self) -> Screen[object]:
        return self.app.screen

    def painted(self) -> str:
        """What stands on the glass, line by line."""
        return "\n".join(strip.text.rstrip() for strip in self.screen._compositor.render_strips())

    def painted_on(self, *which: str) -> str:
        """The words that stand on some widgets, as far as they are on the glass, each line end a blank."""
        areas = [self.screen.query_one(one).region for one in which]
        strips = self.screen._compositor.render_strips()
        rows = [strips[y].crop(area.x, area.right).text for area in areas for y in range(area.y, area.bottom)]
        return " ".join(" ".join(rows).split())

    def answer(self) -> str:
        return self.app.answered.words

    def on(self) -> str:
        return type(self.screen).__name__

    def options(self, which: str) -> list[str]:
        listed = self.screen.query_one(which, OptionList)
        return [str(listed.get_option_at_index(n).prompt) for n in range(listed.option_count)]

    async def until(self, condition: Callable[[], object], why: str = "") -> None:
        """Wait until it holds; the glass is told where it never does."""
        late = _patience()
        while not condition():
            if late():
                raise AssertionError(f"{why or 'never came true'}; on {self.on()}:\n{self.painted()}")
            await asyncio.sleep(0.002)

    async def settled(self) -> None:
        """Until every key was taken, every scan answered, and everything they led to is painted. Textual's own pause
        sleeps until the process does next to nothing, for 20 ms at the least."""
        await self._taken()
        await self._answered()
        paints, late = 0, _patience()
        while self._begun() or self.app._resize_event or (self._unpainted() and paints < MOST_PAINTS):
            assert not late(), f"never at rest; on {self.on()}:\n{self.painted()}"
            await asyncio.sleep(TICK)
            self.screen._on_timer_update()
            await self._answered()
            paints += 1

    async def _answered(self) -> None:
        """Until nothing waits, and nobody is in the middle of an answer: whoever is has nothing waiting either."""
        await self._quiet()
        await self.pilot._wait_for_screen()
        await self._quiet()

    def _unpainted(self) -> bool:
        screen = self.screen
        return bool(
            screen._layout_required
            or screen._scroll_required
            or screen._repaint_required
            or screen._recompose_required
            or screen._dirty_widgets
            or screen._callbacks
        )

    async def resize(self, *size: int) -> None:
        """Another window of so many columns and lines."""
        self.app._driver._size = cells = Size(*size)  # type: ignore[union-attr]
        self.app.post_message(events.Resize(cells, cells))
        await self.settled()

    async def at_rest(self) -> None:
        """Until every key and scan was taken and its answer is painted; what threads do may still be under way."""
        await self._taken()
        while self._begun():
            await self.until(lambda: not self._begun(), "a key or a scan is not done")
            await self._taken()
        await self.pilot._wait_for_screen()
        self.screen._on_timer_update()

    def _begun(self) -> bool:
        """Whether something waits for what was begun by what came before it."""
        order = self.app._key_queue
        return not self.app._exception and bool(self.app.scans._waiting or order._rounds or order._coming)

    async def _taken(self) -> None:
        """Until no message waits anywhere. What the wedge holds is let go as its timers do some hundredths of a second
        later, for which the tests in a real terminal wait."""
        await self._quiet()
        while self.app.wedge.due is not None:
            self.app.call_next(self._let_go)
            await self._quiet()

    async def _let_go(self) -> None:
        due = self.app.wedge.due
        if due is not None:
            await self.app._let_go(due + TICK)

    async def _quiet(self) -> None:
        quiet, late = 0, _patience()
        while quiet < 12:
            assert not late(), f"never at rest; on {self.on()}:\n{self.painted()}"
            await asyncio.sleep(0)
            pumps = (
                self.app,
                *(each for screen in self.app.screen_stack for each in screen.walk_children(with_self=True)),
            )
            quiet = 0 if any(pump.message_queue_size for pump in pumps) else quiet + 1

    async def press(self, *keys: str) -> None:
        """Keys one after another, as slowly as fingers are by the clock of the keys."""
        for key in keys:
            self._send(key, None, PRESS)
            await self._taken()
        await self.settled()

    async def hold(self, key: str, gaps: Iterable[float]) -> None:
        """A key held down, which comes again after each of these gaps, in seconds, and is let go then."""
        self._tick(AHEAD)
        for gap in (PRESS, *gaps):
            while (due := self.app.wedge.due) is not None and due < _CLOCKS[self.app] + gap:
                self.app.call_next(self._let_go)
                await self._quiet()
            self._send(key, None, gap)
            await self._quiet()
        await self.settled()

    async def type(self, text: str) -> None:
        """Text in one burst, as a program sends it, some time after the last key."""
        self._tick(PRESS)
        self.burst(text)
        await self._taken()

    async def scan(self, code: str) -> None:
        self._tick(PRESS)
        self.burst(code)
        self._send("enter", "\r")
        await self.settled()

    async def paste(self, text: str) -> None:
        pasted = events.Paste(text)
        pasted.time = self._tick(0.0)
        self.app.post_message(pasted)
        await self.settled()

    def key(self, key: str, pause: float = PRESS) -> None:
        """One key so many seconds after the last, not waited for."""
        self._send(key, None, pause)

    def burst(self, text: str) -> None:
        for character in text:
            self._send(_character_to_key(character), character)

    def _send(self, key: str, character: str | None, pause: float = 0.0) -> None:
        if character is None and (len(key) == 1 or key == "space"):
            character = " " if key == "space" else key
            key = _character_to_key(character)
        sent = events.Key(key, character)
        sent.time = self._tick(pause)
        self.app.post_message(sent)

    def _tick(self, pause: float) -> float:
        """Put the clock of the keys so much forward; it is never behind the machine's."""
        now = _CLOCKS[self.app] = max(monotonic(), _CLOCKS.get(self.app, monotonic()) + pause)
        return now


def _patience() -> Callable[[], bool]:
    """Tells whether it is over: others may have most of the processor, which is no fault of the program."""
    used, end = process_time() + PATIENCE, monotonic() + 20 * PATIENCE
    return lambda: process_time() > used or monotonic() > end


@asynccontextmanager
async def at_bench(desk: Desk, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Bench]:
    """The screens over a desk, in a terminal of so many cells."""
    app = ReassemblyApp(desk)
    async with app.run_test(size=size) as pilot:
        bench = Bench(app, pilot)
        await bench.settled()
        yield bench


def new_desk(folder: Path, who: str = "ann") -> Desk:
    """A shop in which ann and ben work, with somebody at the bench."""
    desk = Desk.open(folder, who="ann")
    for person in ("ann", "ben"):
        desk.say(PersonAdded(person=person))
    desk.who = who
    return desk
