"""One question with a typed answer: a reason, a name, a code."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import Input, Static

from reassembly.job.doubts import LONGEST
from reassembly.screens.frame import Frame
from reassembly.screens.line import Line
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.app import ComposeResult


class PromptScreen(Frame):
    """Returns the typed text, never an empty one, or None when it is left."""

    BINDINGS = [("escape", "dismiss(None)", "Back")]

    def __init__(
        self, heading: str, question: str, start: str = "", refuse: Callable[[str], str] | None = None
    ) -> None:
        """`refuse` says in one sentence why a text will not do; an empty sentence lets it pass."""
        super().__init__()
        self.HEADING = heading
        self._question = question
        self._start = start
        self._refuse = refuse

    def body(self) -> ComposeResult:
        yield Static(shown(f"\n{self._question}\n"), id="question", markup=False)
        yield Line(self._start, id="typed")
        yield Static("\nEnter says it, Esc goes back.", id="hint")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one(Input).focus()

    def show(self) -> None:
        """Nothing here changes."""

    def on_input_submitted(self, event: Input.Submitted) -> None:
        typed = event.value.strip()
        if not typed:
            refused = "type an answer first"
        elif len(typed) > LONGEST:
            refused = f"{len(typed):,} characters, at most {LONGEST:,} are kept: say it shorter"
        else:
            refused = self._refuse(typed) if self._refuse else ""
        if refused:
            self.answer(refused, "warn")
        else:
            self.dismiss(typed)
