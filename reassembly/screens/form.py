"""One fact as a form, made from the file format: every kind of fact can be said, and said again without retyping."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, Any, Generic

import msgspec
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.suggester import SuggestFromList
from textual.widgets import Static

from reassembly.job.doubts import doubts
from reassembly.job.entries import K
from reassembly.job.job import parts
from reassembly.job.struck import without
from reassembly.job.understood import understood
from reassembly.record.trouble import Trouble
from reassembly.screens.choice import Choice
from reassembly.screens.fields import Field, Misfit, fields_of, read
from reassembly.screens.frame import Frame
from reassembly.screens.line import Line, by_card
from reassembly.screens.text import shown
from reassembly.screens.twice import Twice

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from textual.app import ComposeResult

    from reassembly.job.doubt import Doubt
    from reassembly.job.job import Job
    from reassembly.job.reckon import Reckoned


_CODES = ("badge", "tag", "bag", "label")


class Title(Static):
    """What a field is called; a touch on it goes to the field."""

    def on_click(self) -> None:
        if self.parent is not None:
            self.screen.set_focus(self.parent.query_one("Line, Choice"))


class FormScreen(Frame, Generic[K]):
    """Returns the fact as it would be said, or None when it is left. What is fixed is not asked."""

    CSS_PATH = "form.tcss"
    replaces = ""
    """The entry that is struck out when this fact is said in its place."""
    BINDINGS = [
        Binding("enter", "say", "Say it", priority=True),
        Binding("down,tab", "app.focus_next", "Next", priority=True),
        Binding("up,shift+tab", "app.focus_previous", "Before", priority=True),
        Binding("escape", "leave", "Back"),
    ]

    def __init__(
        self,
        kind: type[K],
        heading: str,
        fixed: Mapping[str, Any] | None = None,
        start: K | None = None,
        suggest: Mapping[str, tuple[str, ...]] | None = None,
        recorded: Mapping[str, str] | None = None,
    ) -> None:
        """`fixed` fields are given and not shown; `start` fills in the others; `suggest` offers words for a field;
        `recorded` is filled in as well, from what was said earlier in this job, and shown to be so."""
        super().__init__()
        self._twice = Twice()
        self._kind = kind
        self.HEADING = heading
        self._fixed = dict(fixed or {})
        self._suggest = suggest or {}
        self._recorded = {name: text for name, text in (recorded or {}).items() if text}
        self._fields = tuple(
            field._replace(start=self._recorded.get(field.name, field.start))
            for field in fields_of(kind, frozenset(self._fixed), start)
        )

    def subject(self) -> str:
        part = parts(self.job).get(str(self._fixed.get("part", "")))
        return f"{super().subject()}  {part.name}" if part else super().subject()

    def body(self) -> ComposeResult:
        with VerticalScroll(id="fields", can_focus=False):
            for field in self._fields:
                with Horizontal(classes="field"):
                    yield Title(shown(field.title + (" *" if field.needed else "")), classes="title", markup=False)
                    yield self._widget(field)
        yield Static(id="hint", markup=False)
        yield Static(id="understood", markup=False)

    def _widget(self, field: Field) -> Line | Choice:
        if field.choices:
            return Choice(field.choices, field.start, id=f"field-{field.name}")
        offered = self._suggest.get(field.name, ())
        if field.shape == "part":
            with suppress(Trouble):  # nothing is offered; saying it will tell
                offered = tuple(p.name for p in parts(self.job).values())
        return Line(
            field.start,
            id=f"field-{field.name}",
            suggester=SuggestFromList(offered, case_sensitive=False) if offered else None,
        )

    def on_mount(self) -> None:
        if self._fields:
            # Letters typed at once belong into a line; a choice that is already made can wait.
            begins = next((f for f in self._fields if not f.choices or f.needed), self._fields[0])
            self.query_one(f"#field-{begins.name}").focus()

    def show(self) -> None:
        """Hint of the focused field, and what is understood so far."""
        focused = self.focused.id if self.focused else None
        hint = next((f.hint for f in self._fields if focused == f"field-{f.name}"), "")
        self.query_one("#hint", Static).update(shown(hint))
        self.query_one("#understood", Static).update(shown("\n".join([*self._as_recorded(), *self.told()])))

    def _as_recorded(self) -> Iterator[str]:
        """What stands in a field because it was recorded, not because somebody says it now."""
        for field in self._fields:
            if self._recorded.get(field.name) == self.text(field):
                yield f"{field.title} {self.text(field)}: as recorded, change it where it is not so now"

    @property
    def known(self) -> Job:
        """The job as it will be: without what this fact takes the place of."""
        return without(self.job, self.replaces) if self.replaces else self.job

    def told(self) -> list[str]:
        """What is understood of what is typed so far, and what deserves a second look."""
        try:
            fact = self.fact()
        except Misfit as misfit:
            typed = any(self.text(f).strip() for f in self._fields if f.name == misfit.field)
            return [str(misfit)] if typed else []
        return [*understood(fact, self.known), *(d.sentence for d in self._doubts(fact))]

    def on_descendant_focus(self) -> None:
        self.show()

    def on_input_changed(self) -> None:
        self.show()

    def on_choice_changed(self) -> None:
        self.show()

    def on_choice_typed(self) -> None:
        self.answer("nothing can be typed here: the arrows choose, Tab goes to the next field", "warn")

    def fact(self) -> K:
        """What the fields say now. Raises Misfit for the first that cannot be read."""
        values = self.values()
        try:
            return msgspec.convert(values, self._kind, str_keys=True)
        except msgspec.ValidationError as error:
            name = str(error).rpartition("$.")[2].rstrip("`").partition("[")[0]
            field = next((f for f in self._fields if f.name == name), self._fields[0])
            raise Misfit(field.name, f"{field.title}: {_plain(str(error))}") from error

    def reckoned(self) -> list[Reckoned]:
        """Of what the fields say now, as if it were kept."""
        from reassembly.job.reckoning import of_fact_to_be_said

        try:
            fact = self.fact()
        except Misfit:
            return []
        return of_fact_to_be_said(fact, self.known, self.desk.shop())

    def _doubts(self, fact: K) -> list[Doubt]:
        found = doubts(fact, self.known, self.desk.shop(), who=self.desk.who, today=self.desk.today)
        return [doubt for doubt in found if doubt.field not in self._fixed]

    def values(self) -> dict[str, Any]:
        """What the fields say, by name. Raises Misfit."""
        values = dict(self._fixed)
        for field in self._fields:
            value = read(field, self.text(field), self.job)
            if value is not None:
                values[field.name] = value
        return values

    def result(self, fact: K) -> Any:
        """What the form returns."""
        return fact

    def action_say(self) -> None:
        try:
            fact = self.fact()
        except Misfit as misfit:
            self._refuse(misfit.field, str(misfit))
            return
        found = self._doubts(fact)
        for doubt in found:
            if doubt.refuses:
                self._refuse(doubt.field, doubt.sentence)
                return
        asked = next((doubt for doubt in found if doubt.asks), None)
        if asked and not self._twice.sure(repr(fact), self.bench.clock()):
            self._refuse(asked.field, f"{asked.sentence}: Enter again keeps it")
            return
        self.dismiss(self.result(fact))

    def action_leave(self) -> None:
        self.dismiss(None)

    def _refuse(self, field: str, sentence: str) -> None:
        self.answer(sentence, "warn")
        for widget in self.query(f"#field-{field}"):
            widget.focus()

    def card(self, name: str) -> bool:
        """Numbers are typed into the focused line, or choose a word; NEXT and BACK go through the fields."""
        focused = self.focused
        match name:
            case "confirm":
                self.action_say()
            case "next":
                self.focus_next()
            case "back":
                self.focus_previous()
            case _ if isinstance(focused, Line) and by_card(focused, name):
                pass
            case _ if isinstance(focused, Choice) and name.isdecimal():
                return focused.choose(int(name))
            case _:
                return False
        return True

    def took_code(self, code: str) -> bool:
        """Whether the focused field asks for a code; it then has this one."""
        focused = self.focused
        if isinstance(focused, Line) and focused.id in {f"field-{name}" for name in _CODES}:
            focused.value = code
            return True
        return False

    def text(self, field: Field) -> str:
        """What stands in a field."""
        widget = self.query_one(f"#field-{field.name}")
        assert isinstance(widget, Line | Choice)
        return widget.value


def _plain(error: str) -> str:
    """msgspec's complaint in words for the bench."""
    return error.partition(" - at ")[0].replace("Expected `int`", "needs a number").replace("`", "")
