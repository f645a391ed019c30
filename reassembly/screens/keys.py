"""The keys of a screen: as help, and as entries of the command palette."""

from __future__ import annotations

import re
from functools import partial
from typing import TYPE_CHECKING

from textual import on
from textual.command import CommandPalette, DiscoveryHit, Hit, Provider
from textual.containers import VerticalScroll
from textual.widgets import Input, Static

from reassembly.screens.frame import Frame
from reassembly.screens.keyline import keys_of
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.command import Hits


class KeyCommands(Provider):
    """Every key of the screen below the palette, by the words beside it."""

    async def discover(self) -> Hits:
        for key, words, action in keys_of(self.screen, hidden=True):
            yield DiscoveryHit(f"{words}  ({key})", partial(self.screen.run_action, action))

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for key, words, action in keys_of(self.screen, hidden=True):
            score = matcher.match(words)
            if score > 0:
                yield Hit(score, matcher.highlight(words), partial(self.screen.run_action, action), help=key)


class Palette(CommandPalette):
    """Textual's palette, where a second Enter finds it left and does nothing: not the command again, nor whatever the
    screen below would do."""

    @on(Input.Submitted)
    def once(self, event: Input.Submitted) -> None:
        if self.app.screen is not self:
            event.prevent_default().stop()


class KeysScreen(Frame):
    """What each key does on the screen below."""

    BINDINGS = [("escape,enter,space,question_mark,f1", "dismiss(None)", "Back")]
    HEADING = "KEYS"

    def __init__(self, below: Frame) -> None:
        super().__init__()
        found: dict[str, list[str]] = {}
        for key, words, _ in keys_of(below, hidden=True):
            found.setdefault(words, []).append(key)
        found |= {"Find a key by its words": ["^P"], "Leave": ["^Q"]}
        self._lines = [f"  {' '.join(keys):<12} {words}" for words, keys in found.items()]
        # What a screen hands back is for who reads the code; the rest of its first words is for who stands before it.
        sentences = re.split(r"(?<=[.!?])\s+", " ".join((below.__doc__ or "").split()))
        self._about = " ".join(sentence for sentence in sentences if not sentence.startswith("Returns "))

    def body(self) -> ComposeResult:
        with VerticalScroll(id="told"):
            yield Static(shown("\n".join(["", f"  {self._about}", "", *self._lines])), markup=False)

    def show(self) -> None:
        """Nothing here changes."""
