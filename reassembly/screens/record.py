"""The record of a job: everything said, oldest first, and the ways it leaves the bench."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.checks import closed
from reassembly.job.entries import EntryStruck
from reassembly.job.job import title
from reassembly.job.telling import tell
from reassembly.record.erasing import customer_told
from reassembly.record.erasing import erase as erase_details
from reassembly.screens.checkin import CheckinScreen, check_in
from reassembly.screens.frame import Frame
from reassembly.screens.lists import Lines
from reassembly.screens.person import not_who_is_here
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.text import column, shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.app import ComposeResult

    from reassembly.job.job import Job
    from reassembly.record.desk import Desk
    from reassembly.record.finding import JobLine


def came_back(desk: Desk, job: Job) -> list[JobLine]:
    """Later jobs that point at this one."""
    return desk.came_back(job.id)


class RecordScreen(Frame):
    """Everything said of this job, those struck out with their reason. p writes a document, c opens a come-back."""

    CSS_PATH = "record.tcss"
    HEADING = "RECORD"
    BINDINGS = [
        Binding("p", "paper", "PDF"),
        Binding("l", "labels", "Labels sheet"),
        Binding("c", "come_back", "Come-back"),
        Binding("e", "beside", "Beside a complaint"),
        Binding("z", "erase", "Erase customer"),
        Binding("escape", "app.pop_screen", "Back"),
    ]

    def body(self) -> ComposeResult:
        yield Static(id="about", markup=False)
        yield Lines(id="told", markup=False)

    def on_mount(self) -> None:
        self.query_one("#told").focus()

    def show(self) -> None:
        job, names = self.job, self.names()
        reasons = {e.fact.entry: e.fact.why for e in job.said(EntryStruck)}
        listed = self.query_one("#told", OptionList)
        at = listed.highlighted
        every = sorted((*job.entries, *job.struck), key=lambda e: e.order)
        listed.set_options(
            Option(
                shown(
                    f"{self.notation.minute(e.time)} {column(e.who, 6)} "
                    + (f"STRUCK OUT ({reasons[e.id]}): " if e.id in reasons else "")
                    + tell(e, names)
                ),
                id=e.id,
            )
            for e in every
        )
        if every:
            listed.highlighted = min(at or 0, len(every) - 1)
        self.query_one("#about", Static).update(shown("\n".join(self._about())))

    def _about(self) -> Iterator[str]:
        opened, done = self.job.opened, closed(self.job)
        yield f"{opened.vehicle}  {opened.registration}  VIN {opened.vin or 'not noted'}  {opened.odometer}"
        yield f"customer {customer_told(self.desk, self.job)}"
        yield f"complaint {opened.complaint or 'none said'}"
        if opened.earlier:
            yield f"come-back from {title(self.desk.job(opened.earlier))}"
        for line in came_back(self.desk, self.job):
            yield f"came back: {self.notation.dated(line.called)}: {line.complaint}"
        yield f"signed off by {done.who} {self.notation.minute(done.time)}" if done else "not signed off"

    def action_paper(self) -> None:
        from reassembly.record.gathering import gather
        from reassembly.record.paper import write_pdf

        path = self.desk.path / "records" / f"{self.desk.open_job}.pdf"
        gathered = gather(self.desk, self.desk.open_job)
        self.bench.writing.begin(path, lambda progress: write_pdf(path, gathered, progress))

    def action_labels(self) -> None:
        from reassembly.record.printing import write_sheet

        path = self.desk.path / "labels" / f"{self.desk.open_job}.pdf"
        job, now, notation = self.job, datetime.now().astimezone(), self.notation
        self.bench.writing.begin(
            path, lambda progress: write_sheet(job, path, now, notation=notation, progress=progress)
        )

    def action_come_back(self) -> None:
        opened = self.job.opened
        start = type(opened)(
            vehicle=opened.vehicle,
            registration=opened.registration,
            vin=opened.vin,
            torque_unit=opened.torque_unit,
            earlier=self.desk.open_job,
        )

        def opened_new(job: str) -> None:
            self.desk.open_job = job
            self.app.pop_screen()
            self.refresh_all()

        self.ask(CheckinScreen(start, self.desk.customer()), lambda told: check_in(self, told, opened_new))

    def action_beside(self) -> None:
        from reassembly.screens.comeback import tell_beside

        tell_beside(self)

    def action_erase(self) -> None:
        if self.desk.customer() is None:
            self.answer("no customer's details are kept with this job: nothing to erase", "warn")
            return

        def erase(why: str) -> None:
            left = erase_details(self.desk, self.desk.open_job, why)
            self.answer(" ".join(("kept: the customer's details are erased.", *left)), "kept")
            self.refresh_all()

        def once_more(why: str) -> None:
            question = (
                f"Nothing brings them back.\n\nTo erase what {title(self.job)} says of its customer type your short "
                f"name, {self.desk.who}."
            )
            sure = PromptScreen(
                "ERASE FOR GOOD", question, refuse=lambda typed: not_who_is_here(self.desk, typed), asks="person"
            )
            self.ask(sure, lambda _: erase(why))

        question = "The customer's name, telephone, e-mail and address will be gone for good. Who asked for it?"
        self.ask(PromptScreen("ERASE CUSTOMER", question), once_more)
