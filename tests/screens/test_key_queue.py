"""Keys go on in their order, and none waits for what will not come back."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, cast

from textual.events import Key

from reassembly.screens import key_queue
from reassembly.screens.key_queue import KeyQueue

if TYPE_CHECKING:
    from collections.abc import Callable, Coroutine

    import pytest
    from textual.app import App

    from reassembly.screens.key_queue import Going


class Taken:
    """A widget that was taken away while a key's follower lay before it: it has it, and it bubbles up to nobody."""

    is_attached = False

    def post_message(self, _: object) -> bool:
        return True


class Glass:
    """As much of an app as the queue asks for."""

    def __init__(self) -> None:
        self.focused = None
        self.screen = Taken()
        self.screen_stack = [self.screen]

    def call_later(self, callback: Callable[..., Coroutine[object, object, None]], *given: object) -> None:
        asyncio.ensure_future(callback(*given))  # noqa: RUF006  (as the app does: the loop has it)


async def test_a_key_does_not_wait_for_a_widget_that_was_taken_away(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(key_queue, "LOST", float("inf"))
    done: list[str] = []
    both = asyncio.Event()

    async def do(each: Going) -> None:
        done.append(cast("Key", each).key)
        if len(done) == 2:
            both.set()

    queue = KeyQueue(cast("App[None]", Glass()), lambda event: [cast("Key", event)], do)
    await queue.take(Key("enter", None))
    await queue.take(Key("escape", None))
    await asyncio.wait_for(both.wait(), 30)
    assert done == ["enter", "escape"]
