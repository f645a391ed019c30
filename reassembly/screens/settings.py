"""How the screens of this bench look, sound and write: kept for the machine, changed at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import structs
from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.notation import DATES, DECIMALS
from reassembly.record import settings
from reassembly.record.trouble import Trouble
from reassembly.screens.frame import Frame
from reassembly.screens.lists import Lines
from reassembly.screens.text import shown
from reassembly.screens.themes import CONTRAST, DAYLIGHT, NIGHT

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.app import ComposeResult

# field of the settings, its title, its values and how each is called
_ROWS: tuple[tuple[str, str, dict[Any, str]], ...] = (
    ("look", "look", {name: name for name in (NIGHT, DAYLIGHT, CONTRAST)}),
    ("bell", "bell on refusal", {True: "on", False: "off"}),
    ("dates", "dates", {form: form for form in DATES}),
    ("decimal", "decimal sign", dict(zip(DECIMALS, ("12.5", "12,5"), strict=True))),
)


class SettingsScreen(Frame):
    """How the screens of this bench look, sound and write. Space or a touch takes the next of what there is. Dates and
    computed numbers are written so, on paper too; what somebody typed is shown as it was typed."""

    DEFAULT_CSS = """
    SettingsScreen #ask { padding: 1 1; }
    SettingsScreen #rows { height: 1fr; padding: 0 1; }
    """
    HEADING = "SETTINGS"
    OF_THE_SHOP = True
    BINDINGS = [Binding("space", "change", "Change"), Binding("escape", "app.pop_screen", "Back")]

    def subject(self) -> str:
        return f"bench {self.desk.bench}"

    def body(self) -> ComposeResult:
        yield Static("Of this bench alone, kept when it is changed.", id="ask", markup=False)
        yield Lines(id="rows", markup=False)

    def on_mount(self) -> None:
        self.query_one("#rows").focus()

    def show(self) -> None:
        listed = self.query_one("#rows", OptionList)
        at = listed.highlighted or 0
        listed.set_options(Option(shown(line)) for line in self._lines())
        listed.highlighted = at

    def _lines(self) -> Iterator[str]:
        told = self._told()
        for field, title, values in _ROWS:
            now = getattr(told, field)
            others = ", ".join(called for value, called in values.items() if value != now)
            yield f"{title:<17}{values.get(now, str(now)).upper()}   ({others})"

    def _told(self) -> settings.Settings:
        """The usual where the file is damaged: choosing again mends it."""
        try:
            return settings.read(self.desk.path)
        except Trouble as trouble:
            self.answer(str(trouble), "trouble")
            return settings.Settings()

    def action_change(self) -> None:
        listed = self.query_one("#rows", OptionList)
        field, title, values = _ROWS[listed.highlighted or 0]
        told = self._told()
        now, every = getattr(told, field), list(values)
        following = every[(every.index(now) + 1) % len(every)] if now in every else every[0]
        try:
            settings.write(self.desk.path, structs.replace(told, **{field: following}))
        except Trouble as trouble:
            self.answer(str(trouble), "trouble")
            return
        self.bench.take_settings()
        self.answer(f"kept: {title} {values[following]}", "kept")
        self.refresh_all()

    def on_option_list_option_selected(self) -> None:
        self.action_change()
