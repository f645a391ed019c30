"""The keys of a screen: as help, and as a list in which a key is found by its words and done."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.job import fold
from reassembly.screens.frame import Frame
from reassembly.screens.keyline import keys_of
from reassembly.screens.line import Line
from reassembly.screens.lists import Lines
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from textual.app import ComposeResult

MORE = "more below: Down"


class FindKeyScreen(Frame):
    """Type a word of what is to be done; Enter does it on the screen below. Returns the action."""

    DEFAULT_CSS = """
    FindKeyScreen #lines { height: 1fr; padding: 0 1; }
    """
    HEADING = "FIND A KEY"
    BINDINGS = [
        Binding("down", "bar(1)", "Next", show=False),
        Binding("up", "bar(-1)", "Before", show=False),
        Binding("escape", "dismiss(None)", "Back"),
    ]

    def __init__(self, below: Frame) -> None:
        super().__init__()
        self._keys = list(keys_of(below, hidden=True))

    def body(self) -> ComposeResult:
        yield Line(placeholder="a word of what is to be done", id="words", max_length=60)
        lines = Lines(id="lines", markup=False)
        lines.can_focus = False
        yield lines

    def show(self) -> None:
        """The keys that have every word typed."""
        words = fold(self.query_one(Line).value).split()
        lines = self.query_one("#lines", Lines)
        lines.set_options(
            Option(shown(f"{key:<12} {told}"), id=str(number))
            for number, (key, told, _) in enumerate(self._keys)
            if all(word in fold(f"{told} {key}") for word in words)
        )
        lines.highlighted = 0 if lines.option_count else None

    def on_input_changed(self) -> None:
        self.show()

    def action_bar(self, by: int) -> None:
        lines = self.query_one("#lines", Lines)
        if by > 0:
            lines.action_cursor_down()
        else:
            lines.action_cursor_up()

    def on_input_submitted(self) -> None:
        under_the_bar = self.query_one("#lines", Lines).highlighted_option
        if under_the_bar is None:
            self.answer("no key has these words: take some away", "warn")
        else:
            self._do(under_the_bar)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self._do(event.option)

    def _do(self, line: Option) -> None:
        self.dismiss(self._keys[int(line.id or 0)][2])


class Scrolled(VerticalScroll):
    """Tells its screen how far it was scrolled."""

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        super().watch_scroll_y(old_value, new_value)
        self.tell()

    def on_resize(self) -> None:
        self.call_after_refresh(self.tell)

    def tell(self) -> None:
        if self.is_attached:  # not where the screen went meanwhile
            for more in self.screen.query("#more").results(Static):
                more.update(MORE if self.scroll_y < self.max_scroll_y else "")


class KeysScreen(Frame):
    """What each key does on the screen below."""

    DEFAULT_CSS = """
    KeysScreen #told { padding: 0 2; }
    KeysScreen #more { height: 1; padding: 0 2; text-style: bold; }
    """
    BINDINGS = [("escape,enter,space,question_mark,f1", "dismiss(None)", "Back")]
    HEADING = "KEYS"

    def __init__(self, below: Frame) -> None:
        super().__init__()
        found: dict[str, list[str]] = {}
        for key, words, _ in keys_of(below, hidden=True):
            found.setdefault(words, []).append(key)
        found |= {"Find a key by its words": ["Ctrl P"], "Leave": ["Ctrl Q"]}
        self._lines = [f"{' '.join(keys):<12} {words}" for words, keys in found.items()]
        # What a screen hands back is for who reads the code; the rest of its first words is for who stands before it.
        sentences = re.split(r"(?<=[.!?])\s+", " ".join((below.__doc__ or "").split()))
        self._about = " ".join(sentence for sentence in sentences if not sentence.startswith("Returns "))

    def body(self) -> ComposeResult:
        with Scrolled(id="told"):
            yield Static(shown("\n".join(["", self._about, "", *self._lines])), markup=False)
        yield Static(id="more", markup=False)

    def show(self) -> None:
        """Nothing here changes."""
