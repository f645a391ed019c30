"""The label printer of this bench, and every label that is not on its bag yet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.asks import two_groups, words
from reassembly.job.entries import LabelSeen
from reassembly.record.trouble import Trouble
from reassembly.screens.frame import Frame
from reassembly.screens.lists import Lines
from reassembly.screens.packing import send
from reassembly.screens.pick import PickScreen
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.text import column, cut, shown

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from labels.printer import Printer
    from labels.waiting import Asked
    from reassembly.record.press import Press

_NONE = "no label printer: the codes are written by hand"


class LabelsScreen(Frame):
    """Labels that were asked for and that nobody has seen on a bag yet. c chooses printer and label size. A label that
    was sent is not yet printed: scan it on its bag, or say with y that you see it there."""

    CSS_PATH = "facts.tcss"
    OF_THE_SHOP = True
    HEADING = "LABELS"
    BINDINGS = [
        Binding("c", "choose", "Choose printer"),
        Binding("r", "again", "Send again"),
        Binding("y", "seen", "It is on the bag"),
        Binding("d", "drop", "Not wanted"),
        Binding("t", "test", "Test label"),
        Binding("b", "blank", "Blank labels"),
        Binding("escape", "app.pop_screen", "Back"),
    ]

    def body(self) -> ComposeResult:
        yield Static(id="above", markup=False)
        yield Static(id="labels", markup=False)
        yield Lines(id="facts", markup=False)

    def subject(self) -> str:
        return "this bench's labels"

    @property
    def _press(self) -> Press:
        return self.bench.sending.press

    def on_mount(self) -> None:
        self.query_one("#facts").focus()
        self.bench.sending.begin()

    def show(self) -> None:
        chosen = self._press.settings
        printer = f"{chosen.printer}, {chosen.size} mm, {chosen.dpi} dots an inch" if chosen.printer else _NONE
        told = self.bench.sending.words or ("" if chosen.printer else "c chooses a printer")
        self.query_one("#above", Static).update(shown(f"printer   {printer}"))
        self.query_one("#labels", Static).update(shown(f"  {told}"))
        listed = self.query_one("#facts", OptionList)
        at = listed.highlighted or 0
        labels = self._labels()
        listed.set_options(Option(shown(_line(asked))) for asked in labels)
        listed.highlighted = min(at, len(labels) - 1) if labels else None

    def _labels(self) -> list[Asked]:
        return self._press.not_seen()

    def _current(self) -> Asked | None:
        at, labels = self.query_one("#facts", OptionList).highlighted, self._labels()
        if at is None or at >= len(labels):
            self.answer("no label here: F4 at strip-down packs a bag and prints one", "warn")
            return None
        return labels[at]

    def action_choose(self) -> None:
        self.answer("asking the print server for its printers ...")
        self.bench.sending.aside(self._press.printers, self._found)

    def _found(self, found: object) -> None:
        if isinstance(found, Trouble):
            self.answer(str(found), "trouble")
            return
        if isinstance(found, Exception):
            raise found
        self.answer("")
        printers: list[Printer] = found  # type: ignore[assignment]
        chosen = self._press.settings
        lines = [f"{p.name}   {p.dpi or 'unknown'} dots an inch" for p in printers]
        names = [p.name for p in printers]
        at = names.index(chosen.printer) if chosen.printer in names else 0

        def printer(n: int) -> None:
            if n == len(printers):
                self._choose("", chosen.dpi, chosen.size)
                return
            sizes = self._press.sizes
            title = f"Which labels are in {printers[n].name}? Width x height in mm."
            pick = PickScreen("LABEL SIZE", title, sizes, sizes.index(chosen.size) if chosen.size in sizes else 0)
            self.ask(pick, lambda size: self._choose(printers[n].name, printers[n].dpi or 203, sizes[size]))

        self.ask(PickScreen("PRINTER", "Which printer prints the labels?", [*lines, _NONE], at), printer)

    def _choose(self, printer: str, dpi: int, size: str) -> None:
        before = self._press.settings.printer
        self._press.choose(printer, dpi, size)
        told = f"labels go to {printer}, {size} mm" if printer else "no label printer: write the codes on"
        self.answer(f"kept: {told}", "kept")
        self.refresh_all()
        if before and before != printer:
            self.bench.sending.aside(self._press.take_back, lambda _: self.bench.sending.start())
        else:
            self.bench.sending.start()

    def action_again(self) -> None:
        asked = self._current()
        if asked is not None:
            self.answer(f"{asked.label.name}: {'sent again' if asked.why else 'it goes by itself as soon as it can'}")
            self.bench.sending.start(again=asked.label.code if asked.why else "")

    def action_seen(self) -> None:
        asked = self._current()
        if asked is None:
            return
        code = asked.label.code
        owner = self.desk.owner_of(code)
        if owner is not None and owner.job:
            self.desk.say(LabelSeen(code=code), owner.job)
        if self._press.waits(code):
            self._press.drop(code)
        self.bench.sending.seen(code)
        self.answer(f"kept: label {two_groups(code)} is on its bag", "kept")
        self.refresh_all()

    def action_drop(self) -> None:
        asked = self._current()
        if asked is not None:
            self._press.drop(asked.label.code)
            self.answer(f"label {two_groups(asked.label.code)} is not looked for any more", "kept")
            self.bench.sending.start()
            self.refresh_all()

    def action_test(self) -> None:
        from reassembly.record.printing import test_label

        if not self._press.settings.printer:
            self.answer("choose a printer first: c", "warn")
            return
        label = test_label(self.desk.today)
        send(self, label, self._press.next_copy(label.code))
        self.answer("a test label goes out: scan it, and wipe it with brake cleaner before you trust the roll")

    def action_blank(self) -> None:
        """Labels printed ahead, so that bags can be labelled away from the screen."""
        if not self._press.settings.printer:
            self.answer("choose a printer first: c; or reassembly labels --blank 24 --sheet FILE", "warn")
            return
        question = "How many blank labels?\n\nScan one at strip-down, and it is the label of the part on display."
        self.ask(PromptScreen("BLANK LABELS", question, "12", refuse=_no_number), lambda typed: self._blank(int(typed)))

    def _blank(self, many: int) -> None:
        from reassembly.record.printing import blanks

        for label in blanks(self.desk, many):
            self._press.ask(label, 1)
        self.bench.sending.start()
        self.answer(f"{many} blank labels go to {self._press.settings.printer}", "kept")
        self.refresh_all()


def _no_number(typed: str) -> str:
    from reassembly.record.printing import MOST_AHEAD

    fits = typed.isascii() and typed.isdecimal() and 1 <= int(typed) <= MOST_AHEAD
    return "" if fits else f"a number from 1 to {MOST_AHEAD}"


def _line(asked: Asked) -> str:
    stands = asked.why or {"waiting": "waits to be sent", "sent": f"sent to {asked.queue}, not seen yet"}[asked.place]
    copy = f"copy {asked.copy}" if asked.copy > 1 else ""
    return f"{two_groups(asked.label.code)}  {column(words(cut(asked.label.name or 'blank', 26), copy), 30)} {stands}"
