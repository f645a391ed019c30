"""One question with a typed answer: a reason, a name, a code."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from textual.widgets import Input, Static

from reassembly.job.doubts import LONGEST
from reassembly.job.job import bag_code
from reassembly.screens.frame import Frame
from reassembly.screens.line import Line, by_card
from reassembly.screens.person import person_named
from reassembly.screens.reasons import numbered
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual.app import ComposeResult


class PromptScreen(Frame):
    """Returns the typed text, never an empty one, or None when it is left."""

    BINDINGS = [("enter", "say_line", "Say it"), ("escape", "dismiss(None)", "Back")]

    def __init__(
        self,
        heading: str,
        question: str,
        start: str = "",
        refuse: Callable[[str], str] | None = None,
        *,
        offers: Sequence[str] = (),
        asks: Literal["", "person", "shelf", "code"] = "",
        hint: str = "Enter says it, Esc goes back.",
    ) -> None:
        """`refuse` says in one sentence why a text will not do; an empty sentence lets it pass. `offers` are answers
        that a number card chooses; what is asked for can be scanned as well. A person is returned by short name."""
        super().__init__()
        self.HEADING = heading
        self._question = question
        self._start = start
        self._refuse = refuse
        self._offers = offers
        self._asks = asks
        self._hint = hint
        self.by_badge = ""
        """Whoever's badge filled the line in last."""

    def body(self) -> ComposeResult:
        yield Static(shown(f"\n{self._question}\n"), id="question", markup=False)
        yield Line(self._start, id="typed")
        offered = "\n".join(["", *numbered(self._offers)]) if self._offers else ""
        yield Static(shown(f"{offered}\n{self._hint}"), id="hint", markup=False)

    def on_mount(self) -> None:
        self.query_one(Input).focus()

    def show(self) -> None:
        """Nothing here changes."""

    def card(self, name: str) -> bool:
        """A number chooses what is offered, or is typed; CONFIRM says it."""
        line = self.query_one(Input)
        if name.isdecimal() and self._offers:
            if not 1 <= int(name) <= len(self._offers):
                return False
            line.value = self._offers[int(name) - 1]
        elif name == "confirm":
            self._say(line.value)
        elif not by_card(line, name):
            return False
        return True

    def badge(self, person: str) -> bool:
        """The name is filled in; saying it needs one key or card more."""
        if self._asks == "person":
            self.query_one(Input).value = self.by_badge = person
            self.answer(f"{person}: Enter or CONFIRM says it")
        return self._asks == "person"

    def took_code(self, code: str) -> bool:
        if self._asks == "code":
            self.dismiss(code)
            return True
        if self._asks != "shelf":
            return False
        named = [s.shelf for s in self.desk.shop().shelves.values() if s.label and bag_code(s.label) == code]
        if named:
            self.query_one(Input).value = named[0]
        return bool(named)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        self._say(event.value)

    def _say(self, value: str) -> None:
        typed = self._typed(value)
        if typed and self._asks == "person":
            person_named(self, typed, self._say_person)
        elif typed:
            self.dismiss(typed)

    def _say_person(self, person: str) -> None:
        self.query_one(Input).value = person
        if self._typed(person):
            self.dismiss(person)

    def _typed(self, value: str) -> str:
        """What was typed, where it will do; otherwise nothing, and the answer line says why."""
        typed = value.strip()
        if not typed:
            refused = "type an answer first"
        elif len(typed) > LONGEST:
            refused = f"{len(typed):,} characters, at most {LONGEST:,} are kept: say it shorter"
        else:
            refused = self._refuse(typed) if self._refuse else ""
        if refused:
            self.answer(refused, "warn")
        return "" if refused else typed
