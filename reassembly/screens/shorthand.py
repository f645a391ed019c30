"""How to say a part in one line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.widgets import Static

from reassembly.job.capture_words import SHORTHAND
from reassembly.screens.frame import Frame
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from textual.app import ComposeResult


KEYS = """  Tab   the rest of a word said before, grey behind the letters; in an empty line what came off next last time
  F12   the part under the bar in the line again, to be changed and said of another
  F2 and F3 ask every fact by a form; each key on the last lines is a place to touch as well"""


class ShorthandScreen(Frame):
    """What the line understands, an example each."""

    HEADING = "HOW TO SAY IT"
    BINDINGS = [Binding("escape,enter,space", "dismiss(None)", "Back")]

    def body(self) -> ComposeResult:
        with VerticalScroll():
            told = (f"  {example}\n        {meaning}" for example, meaning in SHORTHAND)
            yield Static(shown("\n".join([*told, "", KEYS])), markup=False)

    def show(self) -> None:
        """Nothing here changes."""
