"""The bench: which jobs are open, what waits on each, and finding any job there ever was."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from reassembly.job.asks import words
from reassembly.job.checks import closed
from reassembly.job.plan import plan
from reassembly.job.standing import open_again
from reassembly.job.wording import many
from reassembly.record.erasing import customer_told
from reassembly.screens.frame import Frame
from reassembly.screens.line import Line
from reassembly.screens.lists import Lines
from reassembly.screens.text import column, cut, shown
from reassembly.screens.told import Told

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from reassembly.record.finding import JobLine


LONGEST_SEARCH = 200  # letters; a search for very many costs all memory there is


class JobsScreen(Frame):
    """Open jobs, the newest first. Type in the find line to search every job there ever was: registration or part of
    it, VIN, name, telephone number, words of the complaint."""

    HEADING = "BENCH"
    BINDINGS = [
        Binding("enter", "open", "Open", show=True),
        Binding("n", "check_in", "Check a vehicle in"),
        Binding("slash", "find", "Find", key_display="/"),
        Binding("w", "shop", "Workshop"),
        Binding("p", "who", "Person"),
        Binding("l", "labels", "Labels"),
        Binding("escape", "clear", "All open jobs", show=False),
        Binding("down", "into_list", show=False),
    ]

    _left = ""
    """The job that was open when this screen came on top again: the bar goes back to it."""

    def body(self) -> ComposeResult:
        yield Line(placeholder="registration, VIN, name, phone, complaint; or a label's letters", id="find")
        yield Told(id="columns", markup=False)
        yield Lines(id="jobs", markup=False)
        yield Told(id="waits", markup=False)
        yield Told(id="copied", markup=False)
        yield Told(id="labels", markup=False)

    def subject(self) -> str:
        return self.desk.shop().benches.get(self.desk.bench, f"bench {self.desk.bench}, not named yet")

    def on_mount(self) -> None:
        self.query_one("#jobs").focus()
        if not self.desk.who:
            self.action_who()

    def on_screen_resume(self) -> None:
        if self.app.screen is self:  # a job may have been opened on top before this is told
            self._left, self.desk.open_job = self.desk.open_job, ""

    def show(self) -> None:
        find = self.query_one("#find", Input).value.strip()[:LONGEST_SEARCH]
        lines = self.desk.jobs(find, closed=bool(find))
        listed = self.query_one("#jobs", OptionList)
        bar = listed.highlighted_option
        kept, self._left = self._left or (bar.id if bar else ""), ""
        ids = [line.id for line in lines]
        with self.prevent(OptionList.OptionHighlighted):  # what waits is told below, once
            listed.set_options(Option(shown(self._line(line)), id=line.id) for line in lines)
            if ids:
                listed.highlighted = ids.index(kept) if kept in ids else 0
        found = f"{len(ids)} found" if find else f"{len(ids)} open"
        then = "customer, complaint" if find else "complaint"
        self.query_one("#columns", Told).update(shown(f"{found}: job, vehicle, registration, last word, {then}"))
        self._show_waits()
        labels, trouble = self.query_one("#labels", Told), self.desk.warning or self.bench.sending.words
        labels.update(shown(trouble))
        labels.display = bool(trouble)
        self.query_one("#copied", Told).update(shown(self.desk.copied))

    def _line(self, line: JobLine) -> str:
        short = f"{column(line.order or line.id, 8)} {column(line.vehicle, 16)} {column(line.registration, 10)}"
        if self.app.size.width < 66:
            return f"{short} {'signed off' if line.signed_off else ''}"
        customer = line.customer if self.query_one("#find", Input).value else ""
        rest = words("signed off" if line.signed_off else "", customer, line.complaint, between="  ")
        return cut(f"{short} {self.notation.day(line.last)} {rest}", self.app.size.width - 5)

    def on_option_list_option_highlighted(self) -> None:
        self._show_waits()

    def _show_waits(self) -> None:
        """What waits on the job under the bar."""
        option = self.query_one("#jobs", OptionList).highlighted_option
        waits = self.query_one("#waits", Told)
        if option is None or option.id is None:
            waits.update("no job here. n checks a vehicle in, / finds an old one")
            return
        job = self.desk.job(option.id)
        refit = plan(job)
        ready = [step.part.name for step in refit.steps if step.state in {"ready", "part done"}]
        still = open_again(refit) if refit.open and closed(job) else f"{many(len(refit.open), 'check')} open"
        told = f"{many(len(refit.steps), 'part')}, {still}"
        goes = f"; goes back next: {ready[0]}" if ready else ""
        customer = f"customer {customer_told(self.desk, job)}\n" if self.query_one("#find", Input).value else ""
        waits.update(shown(customer + told + goes))

    def on_input_changed(self) -> None:
        self.refresh_all()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        from reassembly.record.printing import is_code

        if is_code(event.value):
            event.input.value = ""
            self.bench.scans.take(event.value)
        elif self.query_one("#jobs", OptionList).option_count == 1:
            self.action_open()
        else:
            self.query_one("#jobs").focus()

    def on_option_list_option_selected(self) -> None:
        self.do("open")

    def action_open(self) -> None:
        option = self.query_one("#jobs", OptionList).highlighted_option
        if option is not None and option.id is not None:
            self.open(option.id)

    def open(self, job: str) -> None:
        """Go to one job."""
        self.do("open_job", job)

    def action_open_job(self, job: str) -> None:
        from reassembly.screens.job import JobScreen

        self.desk.open_job = job
        self.app.push_screen(JobScreen())

    def action_find(self) -> None:
        self.query_one("#find").focus()

    def action_into_list(self) -> None:
        self.query_one("#jobs").focus()

    def action_clear(self) -> None:
        self.query_one("#find", Input).value = ""
        self.query_one("#jobs").focus()

    def action_check_in(self) -> None:
        from reassembly.screens.checkin import CheckinScreen, check_in

        if not self.desk.who:
            self.action_who()
            return
        self.ask(CheckinScreen(), lambda told: check_in(self, told, self.open))

    def action_shop(self) -> None:
        from reassembly.screens.shop import ShopScreen

        self.app.push_screen(ShopScreen())

    def action_labels(self) -> None:
        from reassembly.screens.labels import LabelsScreen

        self.app.push_screen(LabelsScreen())

    def scanned(self, code: str) -> bool:
        """A bag on the bench opens its job at refit."""
        owner = self.desk.owner_of(code)
        if owner is None or not owner.job:
            return False
        self.open(owner.job)
        at_the_job = self.app.screen
        return isinstance(at_the_job, Frame) and at_the_job.scanned(code)
