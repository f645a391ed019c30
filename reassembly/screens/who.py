"""Who is at the bench: picked from the shop's people, or added by typing a new short name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import Vertical
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.entries import PersonAdded
from reassembly.screens.frame import Frame
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from textual.app import ComposeResult


class WhoScreen(Frame):
    """Returns the short name of the person, added to the shop if new. A badge can be scanned instead."""

    HEADING = "WHO IS AT THE BENCH?"
    BINDINGS = [("escape", "dismiss(None)", "Back")]

    def body(self) -> ComposeResult:
        yield Static("\n  Pick your name with the arrow keys and Enter, scan your badge, or type a new short name.\n")
        with Vertical():
            yield Input(placeholder="short name, such as ann", compact=True, id="name", max_length=20)
            yield OptionList(id="people", markup=False)

    def subject(self) -> str:
        return "workshop"

    def on_mount(self) -> None:
        super().on_mount()
        box = self.query_one("#name", Input)
        box.cursor_blink = False
        (self.query_one("#people") if self.desk.shop().people else box).focus()

    def show(self) -> None:
        people = self.desk.shop().people.values()
        listed = self.query_one("#people", OptionList)
        at = listed.highlighted or 0
        listed.set_options(Option(shown(f"{p.person:<12} {p.name}"), id=p.person) for p in people)
        if people:
            listed.highlighted = min(at, len(people) - 1)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option_id)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        name = " ".join(event.value.split())
        if not name or not name.isprintable():
            self.answer("type a short name first, such as ann", "warn")
            return
        if name not in self.desk.shop().people:
            before, self.desk.who = self.desk.who, name
            if self.say(PersonAdded(person=name)) is None:
                self.desk.who = before
                return
        self.dismiss(name)
