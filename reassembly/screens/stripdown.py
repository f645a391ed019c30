"""Strip-down: what came off, the latest on top, and one line in which the next part is named."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.capture import Captured, capture
from reassembly.job.capture_written import written
from reassembly.job.completing import Known
from reassembly.job.entries import EntryStruck, PartRemoved
from reassembly.job.job import Job, parts
from reassembly.job.likely import next_likely, offer_in_words
from reassembly.job.namesake import question, told_apart
from reassembly.job.shop import Shop
from reassembly.record.trouble import Trouble
from reassembly.screens.came_off import CameOff, SaidBefore, told_in_line
from reassembly.screens.frame import Frame
from reassembly.screens.line import Line
from reassembly.screens.packing import ask_whose_bag, choose_bag, pack, print_label_again, take_label
from reassembly.screens.part import PartScreen
from reassembly.screens.removal import RemovalScreen
from reassembly.screens.shorthand import ShorthandScreen
from reassembly.screens.strike import ask_instead, ask_strike, say_instead
from reassembly.screens.struck import StruckScreen
from reassembly.screens.taken_out import ask_what_is_struck
from reassembly.screens.text import cut, shown, some_of
from reassembly.screens.twice import Twice, asked_twice

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from reassembly.job.job import Part
    from reassembly.job.likely import Likely

EARLIER = 20
BESIDE = 8  # rows, as in the style sheet


class StripdownScreen(Frame):
    """Say each part as it comes off, with its bolts, torque and marks in one line if you like, and press Enter. Up
    goes to the list; there Enter opens a part and a letter goes into the line. Scanning an unused label packs the part
    under the bar with it. Tab takes what is offered in grey behind the letters."""

    CSS_PATH = "stripdown.tcss"
    HEADING = "STRIP-DOWN"
    BINDINGS = [
        Binding("enter", "say_line", "Say it"),
        Binding("tab", "take", "Last time", priority=True),
        Binding("f7", "not_this_time", "Not this time", show=False),
        Binding("f2", "form", "Form"),
        Binding("f3", "part", "Part's facts"),
        Binding("f4", "pack", "Bag"),
        Binding("f8", "strike", "Correct, strike"),
        Binding("f11,ctrl+o", "whole_job", "Fluids, codes"),
        Binding("f12", "repeat", "Same again, to change", show=False),
        Binding("f9", "label", "Label again", show=False),
        Binding("f5", "shorthand", "How to say it"),
        Binding("up,down", "into_list", show=False),
        Binding("escape", "leave", "Back"),
    ]

    CARDS = {"bag": "pack", "label again": "label", "last time": "take", "not this time": "not_this_time"}

    def __init__(self) -> None:
        super().__init__()
        self._seen: tuple[Job, Shop] = Job(), Shop.of(())
        self._earlier: list[Job] = []
        self._declined: list[str] = []
        self._twice = Twice()
        self._refused, self._refusal = "", ""

    def body(self) -> ComposeResult:
        yield CameOff(id="off", markup=False)
        yield Static("what came off?", id="asks")
        yield Line(
            placeholder="gearbox pan, 13 x M6x1x20 8.8, renew gasket", id="name", suggester=SaidBefore(self.desk)
        )
        yield Static(id="beside", markup=False)

    def on_mount(self) -> None:
        self._earlier = self._of_this_model()
        self._said_before.known = Known.of(self._earlier, self._seen[1], self.job.opened.vehicle)
        self.query_one("#name").focus()
        self._show_beside()

    def _of_this_model(self) -> list[Job]:
        """What the shop did on this model before, oldest first."""
        vehicle = self.job.opened.vehicle
        try:
            lines = self.desk.jobs(vehicle, limit=EARLIER) if vehicle else []
        except Trouble:
            return []  # nothing to offer; saying a part will tell
        return [self.desk.job(line.id) for line in reversed(lines) if line.id != self.desk.open_job]

    @property
    def _said_before(self) -> SaidBefore:
        suggester = self.query_one("#name", Line).suggester
        assert isinstance(suggester, SaidBefore)
        return suggester

    def show(self) -> None:
        self._seen = self.job, self.desk.shop()
        self._said_before.job = self._seen[0]
        listed = self.query_one("#off", OptionList)
        kept = listed.highlighted_option
        came_off = self._parts()
        width = max(40, self.app.size.width - 6)
        numbered = [(len(came_off) - n, part) for n, part in enumerate(came_off)]
        listed.set_options(Option(shown(cut(told_in_line(n, part), width)), id=part.id) for n, part in numbered)
        ids = [part.id for part in came_off]
        if ids:
            listed.highlighted = ids.index(kept.id) if kept is not None and kept.id in ids else 0
        self._show_beside()

    def _parts(self) -> list[Part]:
        """The latest first."""
        return sorted((p for p in parts(self.job).values() if p.removed), key=lambda p: p.since, reverse=True)

    def _current(self) -> Part | None:
        """The part under the bar; after a part was named, that one."""
        option = self.query_one("#off", OptionList).highlighted_option
        return parts(self.job).get(option.id or "") if option else None

    def part_on_display(self) -> str:
        part = self._current()
        return part.id if part else ""

    def _offer(self) -> Likely | None:
        return next_likely(self._seen[0], self._earlier, self._declined)

    def _show_beside(self) -> None:
        """What is understood of the line so far; with nothing typed, what came off next the last time."""
        line = self.query_one("#name", Line).value
        if line.strip():
            found = self._understood(line)
            told = [*(f"? {piece}" for piece in found.not_understood), *found.asks, *found.doubts, *found.understood]
        else:
            offer, part = self._offer(), self._current()
            adds = f"+ or F3 adds to: {part.name}" if part else "name the first part and press Enter; F5 shows how"
            told = [adds]
            if offer:
                told += [f"{offer_in_words(offer)}   Tab takes it, F7 not this time", *offer.mind]
        beside = some_of(told, BESIDE, self.app.size.width - 2)
        self.query_one("#beside", Static).update(shown("\n".join(beside)))

    def _understood(self, line: str) -> Captured:
        part = self._current()
        return capture(line, *self._seen, part.id if part else "")

    def on_input_changed(self, event: Input.Changed) -> None:
        if event.value != self._refused and self._refusal and self.bench.answered.words == self._refusal:
            self.answer("")
        self._show_beside()

    def _refuse(self, why: str) -> None:
        """It stands until the line is another."""
        self._refused, self._refusal = self.query_one("#name", Line).value, why
        self.answer(why, "warn")

    def on_option_list_option_highlighted(self) -> None:
        self._show_beside()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        if event.value != self.query_one("#name", Line).value:
            return  # a second Enter of the same burst: the line was said
        if not event.value.strip():
            self._refuse("nothing is typed yet: name the part first, such as gearbox pan")
            return
        found = self._understood(event.value)
        if found.not_understood:
            first, *others = found.not_understood
            more = f" (and {len(others)} more, see above)" if others else ""
            told = first if "not understood" in first else f"not understood: {first}"
            self._refuse(f"{told}{more}. Change it, or put it in brackets to keep it as a note")
        elif (asked := self._asked(found)) and not self._twice.sure(event.value, self.bench.clock()):
            self._refuse(asked)
        elif self.say_all(told_apart(found.facts, self.job), "; ".join(found.understood) or event.value):
            self._next_line()

    def _asked(self, found: Captured) -> str:
        return found.asks[0] if found.asks else asked_twice(question(found.facts, self.job))

    def action_take(self) -> None:
        """The part that came off next the last time; in a line begun, the word that is offered; from the list, back to
        the line."""
        line = self.query_one("#name", Line)
        offer = self._offer()
        if not line.has_focus:
            line.focus()
        elif line.value:
            line.action_cursor_right()
        elif offer is None:
            self.answer("nothing is known to come next: name the part", "warn")
        else:
            anew = f"; note anew with +: {', '.join(offer.anew)}" if offer.anew else ""
            if self.say_all(
                offer.facts, f"{offer.name}, as on {self.notation.dated(self.desk.called(offer.earlier))}{anew}"
            ):
                self._next_line()

    def action_repeat(self) -> None:
        """Everything said of the part under the bar, back in the line, to be changed and said of another."""
        line, part = self.query_one("#name", Line), self._current()
        if part is None or part.removed is None:
            self.answer("nothing is off yet to say again: name the part", "warn")
        elif line.value:
            self.answer("say what is in the line first, or clear it: then F12 puts the last part there", "warn")
        else:
            facts = [entry.fact for entry in part.about if not isinstance(entry.fact, PartRemoved)]
            line.value = written([part.removed.fact, *facts])
            line.focus()
            line.cursor_position = len(part.removed.fact.name)

    def action_not_this_time(self) -> None:
        offer = self._offer()
        if offer is not None:
            self._declined.append(offer.name)
            self._show_beside()

    def _next_line(self) -> None:
        self.query_one("#name", Line).value = ""
        self.query_one("#off", OptionList).action_first()
        self._show_beside()

    def on_option_list_option_selected(self) -> None:
        self.do("part")

    def action_form(self) -> None:
        name = " ".join(self.query_one("#name", Line).value.split())
        self._ask_removal(PartRemoved(part="", name=name))

    def _ask_removal(self, start: PartRemoved, strike: EntryStruck | None = None) -> None:
        """How a part came off; with a strike, said in the place of what is struck out, or nothing is."""

        def came_off(fact: PartRemoved) -> None:
            if say_instead(self, strike, fact) if strike else self.say(fact):
                self._next_line()
            else:
                self._ask_removal(fact, strike)

        ask_instead(self, RemovalScreen(start), came_off, strike)

    def action_part(self) -> None:
        part = self._current()
        if part is None:
            self.answer("nothing is off yet: type the name of a part and press Enter first", "warn")
        else:
            self.app.push_screen(PartScreen(part.id))

    def action_pack(self) -> None:
        part = self._current()
        if self.query_one("#name", Line).value.strip():
            self._refuse("say the line first: Enter")
        elif part is None:
            self.answer("nothing is off yet: type the name of a part and press Enter first", "warn")
        else:
            choose_bag(self, part, lambda: pack(self, part))

    def action_label(self) -> None:
        print_label_again(self, self._current())

    def action_strike(self) -> None:
        """Under the same id, so that what was said of the part stays with it."""
        part = self._current()
        removed = part.removed if part else None
        if part is None or removed is None:
            self.app.push_screen(StruckScreen())
        else:

            def again(why: str) -> None:
                self._ask_removal(removed.fact, EntryStruck(entry=removed.id, why=why))

            ask_what_is_struck(self, part, lambda: ask_strike(self, removed, again))

    def action_shorthand(self) -> None:
        self.app.push_screen(ShorthandScreen())

    def action_whole_job(self) -> None:
        """What belongs to no single part: fluid let out, codes, findings."""
        from reassembly.screens.checkin import JobFactsScreen

        self.app.push_screen(JobFactsScreen())

    def action_into_list(self) -> None:
        if self._parts():
            self.query_one("#off").focus()

    def action_leave(self) -> None:
        """From the list back to the line, from the line back to the job."""
        line = self.query_one("#name")
        if line.has_focus:
            self.app.pop_screen()
        else:
            line.focus()

    def typing(self) -> bool:
        """Letters go into the line from wherever they are typed."""
        return True

    def scanned(self, code: str) -> bool:
        part = self._current()
        if part is None or not self.query_one("#name", Line).value.strip():
            return take_label(self, part, code)
        return take_label(self, part, code, lambda into_it: ask_whose_bag(self, part, code, into_it))
