"""Keys and scans go on one at a time, in the order in which they came: the next when all that one led to was done."""

from __future__ import annotations

from asyncio import get_running_loop
from collections import deque
from typing import TYPE_CHECKING, TypeAlias

from textual.events import Key, Paste
from textual.message import Message
from textual.widgets import Input

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Iterable

    from textual.app import App
    from textual.message_pump import MessagePump

    from reassembly.screens.wedge import Caught

# A key bubbles from the field that has the focus up to the app, whose binding may then send what bubbles up again: the
# line that was said, a list's line that was picked.
ROUNDS = 2
GONE = 0.05  # seconds between two looks whether the widget that has the follower still stands
LOST = 2.0  # seconds after which a follower is waited for no more, whatever holds it

Going: TypeAlias = "Caught | Paste"


class Handled(Message):
    """Follows a key along its way through the widgets, so that it comes back when the key was handled."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self.number = number


class KeyQueue:
    """Textual alone puts a letter that comes at once into its field before the Enter or the backspace that came
    earlier is done, which is how two lines became one on a busy machine."""

    def __init__(
        self,
        app: App[None],
        judge: Callable[[Key | Paste | float], Iterable[Going]],
        do: Callable[[Going], Awaitable[None]],
    ) -> None:
        """`judge` tells what an event was, or what the time, in seconds by the clock of the keys, has made sure; `do`
        hands one key, paste or scan on."""
        self._app = app
        self._judge = judge
        self._do = do
        self._coming: deque[Key | Paste | float] = deque()
        self._going: deque[Going] = deque()
        self._number = 0
        self._rounds = 0
        self._words = False  # handed to a field that may not have them yet
        self._at_it = False

    async def take(self, event: Key | Paste | float) -> None:
        """A key, a paste, or a time by which to judge what is held."""
        self._coming.append(event)
        await self._go_on()

    async def _go_on(self) -> None:
        if self._at_it:
            return
        self._at_it = True
        try:
            while not self._rounds and (self._going or self._coming):
                if not self._going:
                    self._going.extend(self._judge(self._coming.popleft()))
                    continue
                each = self._going.popleft()
                field = isinstance(self._app.focused, Input)
                words = field and (isinstance(each, Paste) or (isinstance(each, Key) and each.is_printable))
                if self._words and not words:  # a form's own Enter reads the field at once
                    self._going.appendleft(each)
                    self._words, self._rounds = False, 1
                    self._follow()
                    continue
                self._words = words
                if isinstance(each, Key) and not words:
                    self._rounds = ROUNDS
                await self._do(each)
                if self._rounds:
                    self._follow()
        finally:
            self._at_it = False

    def _follow(self) -> None:
        self._number += 1
        if not self._app.screen_stack:  # the program ends
            self._rounds = 0
            return
        target = self._app.focused or self._app.screen
        if not target.post_message(Handled(self._number)):
            self._rounds = 0
            return
        loop = get_running_loop()
        loop.call_later(GONE, self._look_after, self._number, target, loop.time() + LOST)

    def _look_after(self, number: int, target: MessagePump, late: float) -> None:
        """What went to a widget that was taken away, or to a screen that closed, does not bubble up from there."""
        if number != self._number or not self._rounds:
            return
        loop = get_running_loop()
        if not target.is_attached or loop.time() >= late:
            self._app.call_later(self.handled, number)
        else:
            loop.call_later(GONE, self._look_after, number, target, late)

    async def handled(self, number: int) -> None:
        """What followed a key is back."""
        if number != self._number or not self._rounds:
            return
        self._rounds -= 1
        if self._rounds:
            self._follow()
        if not self._rounds:
            await self._go_on()
