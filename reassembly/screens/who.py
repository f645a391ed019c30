"""Who is at the bench: picked from the shop's people, or added by typing a new short name and saying so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.containers import Vertical
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.people import name_key
from reassembly.screens.frame import Frame
from reassembly.screens.line import Line
from reassembly.screens.lists import LinesByALine
from reassembly.screens.person import person_named
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from textual.app import ComposeResult


_FIRST = "Nobody is known here yet. Type your short name and press Enter: it stands beside everything you say."
_PICK = "Pick your name with the arrow keys and Enter, or type it: a new one is added."
_TYPED = "Down and Enter picks who is listed; Enter alone says the name that is typed."


class People(LinesByALine):
    """The list below the line, which is before its first row."""

    def action_cursor_up(self) -> None:
        if self.highlighted:
            super().action_cursor_up()
        else:
            self.line.focus()


class WhoScreen(Frame):
    """Returns the short name of the person, added to the shop if new. A badge can be scanned instead."""

    HEADING = "WHO IS AT THE BENCH?"
    BINDINGS = [
        Binding("down", "into_list", show=False),
        ("enter", "say_line", "Say it"),
        ("escape", "dismiss(None)", "Back"),
    ]

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        return action != "who" and super().check_action(action, parameters)

    def body(self) -> ComposeResult:
        yield Static(id="ask", markup=False)
        with Vertical():
            yield Line(placeholder="short name, such as ann", id="name", max_length=20)
            yield People(id="people", markup=False)

    def subject(self) -> str:
        return "workshop"

    def on_mount(self) -> None:
        self.query_one("#people" if self.desk.shop().people else "#name").focus()

    def show(self) -> None:
        everybody = self.desk.shop().people.values()
        typed = name_key(self.query_one("#name", Line).value)
        people = [p for p in everybody if typed in name_key(p.person) or typed in name_key(p.name)]
        how = _TYPED if typed else _PICK if everybody else _FIRST
        self.query_one("#ask", Static).update(how)
        listed = self.query_one("#people", OptionList)
        at = listed.highlighted or 0
        listed.set_options(Option(shown(f"{p.person:<12} {p.name}"), id=p.person) for p in people)
        if people:
            listed.highlighted = min(at, len(people) - 1)

    def action_into_list(self) -> None:
        self.query_one("#people").focus()

    def typing(self) -> bool:
        """Letters go into the line from wherever they are typed."""
        return True

    def person_came(self, person: str) -> None:
        self.dismiss(person)

    def _by_name(self, person: str) -> None:
        """Picked or typed: nothing of it says that it is that person."""
        self.bench.by_badge.discard(name_key(person))
        self.dismiss(person)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self._by_name(str(event.option_id))

    def on_input_changed(self) -> None:
        """Those whose name has what is typed stay listed."""
        self.show()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        name = " ".join(event.value.split())
        if not name_key(name):
            self.answer("no name is typed: type a short one first, such as ann", "warn")
            return
        person_named(self, name, self._by_name)
