"""Back to where this terminal was: which screens were open, where the bar was, what was half typed, who was here.

Nothing is said on the way back: the screens are opened again by the same actions that opened them, while the desk
refuses to keep anything. What cannot be opened again is told, with the words that were typed into it.
"""

from __future__ import annotations

import asyncio
from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING, Any

from textual.widgets import Input, OptionList
from textual.widgets.option_list import OptionDoesNotExist

from reassembly.job.telling import Names, tell
from reassembly.record.place import Keeper, Level, Place
from reassembly.record.trouble import Trouble
from reassembly.screens.choice import Choice
from reassembly.screens.frame import Frame, Way
from reassembly.screens.still import ask_still
from reassembly.screens.who import WhoScreen

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from reassembly.screens.app import ReassemblyApp

EVERY = 0.5
"""Seconds at most that a power cut takes of what is being typed. Only while somebody is at it: at rest nothing runs."""

STILL = 30
"""Minutes in which nothing was kept, after which it is asked whether the same person is still there."""

_PATIENCE = 5.0
_NO_WAY = (Trouble, AttributeError, LookupError, StopIteration, TypeError, ValueError)
"""What a damaged file, or one of another version, may lead to on the way."""


class Returning:
    """Keeps where a terminal is, and brings it back there."""

    def __init__(self, app: ReassemblyApp, terminal: str, stranger: str) -> None:
        self._app = app
        self._stranger = stranger
        self._keeper: Keeper | None = None
        self._left: Place | None = None
        self._kept: Place | None = None
        self._writing = False
        self._timer: asyncio.TimerHandle | None = None
        self._troubled = False
        self._came_back_as = ""
        if terminal:
            try:
                self._keeper = Keeper(app.desk.path, terminal)
                self._left = self._kept = self._keeper.read()
            except Trouble as trouble:
                app.answer(str(trouble), "warn")
        if stranger:
            self._stranger = f"{stranger}: pick yours, or type a new name and press Enter to add it"
            app.answer(self._stranger, "warn")
        self.under_way = bool(self._left and self._left.levels)
        """Until it is as it was left: a scan waits for that."""
        if self._left:
            if (self._left.levels or not stranger) and not app.desk.who:
                app.desk.who = self._came_back_as = self._left.who
            app.wrench, app.bag = self._left.wrench, self._left.bag

    def begin(self) -> None:
        """Once the first screen stands."""
        if self._left and self.under_way:
            self._app.run_worker(self._go_back(self._left))

    def changed(self) -> None:
        """Somebody did something: look soon whether the screen is another one now."""
        if self._keeper and self._timer is None and not self.under_way:
            self._timer = asyncio.get_running_loop().call_later(EVERY, self._look)

    def leave(self) -> None:
        """The program ends: keep what is on the screen now."""
        if self._timer:
            self._timer.cancel()
        if self._keeper and not self.under_way:
            place = self._place()
            if place != self._kept:
                with suppress(Trouble):  # nobody is there to be told; what was kept half a second ago stands
                    self._keeper.write(place)

    def _look(self) -> None:
        self._timer = None
        place = self._place()
        if self._writing or place == self._kept:
            return
        self._writing = True
        keeper = self._keeper
        assert keeper

        def write() -> None:
            trouble = None
            try:
                keeper.write(place)
            except Trouble as found:
                trouble = found
            with suppress(RuntimeError):  # the program has ended meanwhile
                self._app.call_later(self._written, place, trouble)

        Thread(target=write, daemon=True, name="place").start()

    def _written(self, place: Place, trouble: Trouble | None) -> None:
        self._writing = False
        if trouble is None:
            self._kept, self._troubled = place, False
        elif not self._troubled:
            if self._app.answered.manner == "trouble":  # that nothing was kept matters more
                return
            self._troubled = True
            why = str(trouble).replace(", then say it again", "")  # it was kept, or never said
            kept = f"{self._app.answered.words}. " if self._app.answered.manner == "kept" else ""
            self._app.tell(f"{kept}What is half typed would not outlive a power cut now. {why}", "warn")
        if trouble is None and self._place() != place:
            self.changed()

    def _place(self) -> Place:
        return Place(
            who=self._app.desk.who,
            wrench=self._app.wrench,
            bag=self._app.bag,
            last=self._last(),
            levels=tuple(self._levels()),
        )

    def _last(self) -> str:
        """The last word kept of the open job: what was typed before it may be said already."""
        try:
            entries = self._app.desk.job().entries if self._app.desk.open_job else ()
        except Trouble:
            return ""
        return entries[-1].id if entries else ""

    def _levels(self) -> Iterator[Level]:
        for at, screen in enumerate(self._app.screen_stack):
            if not isinstance(screen, Frame) or (at and screen.way is None) or not screen.is_attached:
                return
            way = screen.way or Way(())
            yield Level(
                type(screen).__name__,
                screen.HEADING,
                way.action,
                way.answers,
                {line.id: line.value for line in _fields(screen) if line.id},
                {listed.id: bar for listed in screen.query(OptionList) if listed.id and (bar := _bar(listed))},
                screen.focused.id or "" if screen.focused else "",
                screen.keeps(),
            )

    async def _go_back(self, place: Place) -> None:
        self._app.desk.listening = False
        try:
            lost = await self._levels_again(place)
        finally:
            self._app.desk.listening, self.under_way = True, False
        words, manner = "as it was left", "told"
        if self._app.desk.who:
            words += f"; {self._app.desk.who} is at the bench"
        if lost:
            words, manner = f"not opened again: {lost[0].heading or lost[0].screen}", "warn"
            typed = [text for level in lost for text in level.typed.values() if text.strip()]
            if typed:
                words += f". Typed there: {' | '.join(typed)}"
        elif self._last() != place.last:
            job = self._app.desk.job()
            words = f"{words}; kept since: {tell(job.entries[-1], Names.of(job))}. Look before you say it again"
            manner = "warn"
        self._app.answer(words, manner)
        top = self._app.screen
        if self._stranger and isinstance(top, Frame):
            self._app.desk.who = ""
            self._app.answer(f"{self._stranger}; {words}", "warn")
            if not isinstance(top, WhoScreen):
                top.action_who()
        elif self._came_back_as and isinstance(top, Frame) and self._app.desk.quiet_for(STILL):
            ask_still(top)
        if isinstance(self._app.screen, Frame):
            self._app.screen.refresh_all()
        self.changed()

    async def _levels_again(self, place: Place) -> tuple[Level, ...]:
        """Open each screen again from the one below. Returns those that could not be opened."""
        for at, level in enumerate(place.levels):
            below = self._app.screen
            if not isinstance(below, Frame):
                return place.levels[at:]
            await self._ready(below)
            if at and not await self._open(below, Way(level.way, level.answers)):
                return place.levels[at:]
            top = self._app.screen
            if not isinstance(top, Frame) or (type(top).__name__, top.HEADING) != (level.screen, level.heading):
                return place.levels[at:]
            await self._ready(top)
            try:
                _fill(top, level)
            except _NO_WAY:
                return place.levels[at:]
        return ()

    async def _open(self, below: Frame, way: Way) -> bool:
        """Do again what opened a screen, and answer again what was asked on the way."""
        await _in_its_turn(below, lambda: below.do(*way.action))
        asked: Any = self._app.screen
        if asked is below:
            return False
        for answer in way.answers:
            if not isinstance(asked, Frame):
                return False
            await self._ready(asked)
            await _in_its_turn(asked, lambda asked=asked, answer=answer: asked.dismiss(answer))  # type: ignore[misc]
            before = asked
            if not await _until(lambda before=before: self._app.screen not in (below, before)):  # type: ignore[misc]
                return False
            asked = self._app.screen
        return True

    async def _ready(self, frame: Frame) -> None:
        with suppress(TimeoutError):
            await asyncio.wait_for(frame.ready.wait(), _PATIENCE)


async def _in_its_turn(frame: Frame, do: Callable[[], object]) -> None:
    """As a key would: among the messages of the screen. What cannot be done leaves the screen as it is."""
    done = asyncio.Event()

    def now() -> None:
        try:
            do()
        except _NO_WAY:
            pass  # the screen that should be on top now is not: the caller sees it
        finally:
            done.set()

    frame.call_next(now)
    await done.wait()


async def _until(condition: Callable[[], bool]) -> bool:
    for _ in range(int(_PATIENCE / 0.01)):
        if condition():
            return True
        await asyncio.sleep(0.01)
    return False


def _fields(screen: Frame) -> Iterator[Input | Choice]:
    yield from screen.query(Input)
    yield from screen.query(Choice)


def _bar(listed: OptionList) -> str:
    """Which line the bar is on: its id, or its number."""
    option = listed.highlighted_option
    return "" if option is None else option.id or f"#{listed.highlighted}"


def _fill(screen: Frame, level: Level) -> None:
    """Put back what was typed, the bars, and the cursor."""
    screen.take_up(level.more)
    for field in _fields(screen):
        if field.id in level.typed:
            text = level.typed[field.id]
            if isinstance(field, Choice):
                if text in field.choices:
                    field.choose(field.choices.index(text) + 1)
            else:
                field.value = text
                field.cursor_position = len(field.value)
    screen.refresh_all()
    for listed in screen.query(OptionList):
        bar = level.bars.get(listed.id or "", "")
        with suppress(OptionDoesNotExist, ValueError):
            listed.highlighted = int(bar[1:]) if bar.startswith("#") else listed.get_option_index(bar)
    for widget in screen.query("*"):
        if level.focus and widget.id == level.focus:
            widget.focus()
