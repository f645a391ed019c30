"""A recall: which vehicles one wrench, batch, part number, fluid batch or person had to do with, and whom to call."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job import entries as said
from reassembly.job.recall import Vehicle, joints
from reassembly.job.uses import WHATS, key
from reassembly.record.desk import Desk
from reassembly.screens.frame import Frame
from reassembly.screens.lists import Lines
from reassembly.screens.pick import PickScreen
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.text import column, cut, shown

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from textual.app import ComposeResult

    from reassembly.job.recall import Outline, Recall
    from reassembly.job.uses import What

SHOWN = 500
"""Jobs in the list; the table and the pages hold all."""


def subject_of(fact: object) -> tuple[What, str] | None:
    """What a fact of the shop can be recalled by."""
    match fact:
        case said.WrenchAdded(wrench=name) | said.WrenchCalibrated(wrench=name) | said.WrenchFailed(wrench=name):
            return "wrench", name
        case said.PersonAdded(person=name):
            return "person", name
    return None


def ask_subject(frame: Frame, then: Callable[[What, str], object]) -> None:
    """Ask of what, then which."""

    def which(number: int) -> None:
        what = WHATS[number]
        question = PromptScreen("RECALL", f"Which {what}? Case, spaces and hyphens do not matter.")
        frame.ask(question, lambda name: then(what, name))

    frame.ask(PickScreen("RECALL", "All work that hangs on one ...", WHATS), which)


class RecallScreen(Frame):
    """Every job that this had to do with, the newest first; entries struck out are not counted. Enter opens the job
    under the bar, t and p write all of it into the data folder."""

    CSS_PATH = "recall.tcss"
    OF_THE_SHOP = True
    HEADING = "RECALL"
    BINDINGS = [
        Binding("enter", "open", "Open the job"),
        Binding("o", "other", "Recall another"),
        Binding("s", "since", "Since a day"),
        Binding("t", "table", "Table, CSV"),
        Binding("p", "paper", "PDF"),
        Binding("escape", "app.pop_screen", "Back"),
    ]

    def __init__(self, what: What, name: str, since: str = "") -> None:
        super().__init__()
        self._asked = what, name, since
        self._found: Outline | None = None

    def subject(self) -> str:
        what, name, since = self._asked
        return f"{what} {name}{f', since {since}' if since else ''}"

    def body(self) -> ComposeResult:
        yield Static(id="about", markup=False)
        yield Lines(id="found", markup=False)
        yield Static(id="joints", markup=False)

    def on_mount(self) -> None:
        self.query_one("#found").focus()

    def keeps(self) -> dict[str, Any]:
        return {"asked": self._asked}

    def take_up(self, kept: Mapping[str, Any]) -> None:
        what, name, since = kept["asked"]
        if what in WHATS and (not since or not _no_day(since)):
            self._asked, self._found = (what, str(name), since), None

    def on_screen_suspend(self) -> None:
        self._found = None  # whatever is said meanwhile is looked up on the way back

    def found(self) -> Outline:
        """What was found when it was last asked: news from another terminal waits for the next question."""
        if self._found is None:
            self._found = self.desk.recall_outline(*self._asked, SHOWN)
        return self._found

    def show(self) -> None:
        fresh = self._found is None
        found = self.found()
        if not fresh:
            return
        told = [found.summary, *found.notes]
        if not found.jobs and (nowhere := self.desk.unknown(found.what, found.name)):
            told.insert(0, nowhere)
        if len(found.jobs) > SHOWN:
            told.append(f"The newest {SHOWN} jobs are listed; the table and the PDF hold all {len(found.jobs):,}.")
        self.query_one("#about", Static).update(shown("\n".join(told)))
        listed = self.query_one("#found", OptionList)
        at = listed.highlighted or 0
        listed.set_options(
            Option(shown(self._line(found.vehicles.get(each.job, Vehicle(each.job)), each.uses)), id=each.job)
            for each in found.jobs[:SHOWN]
        )
        if found.jobs:
            listed.highlighted = min(at, listed.option_count - 1)
        self._show_joints()

    def _line(self, vehicle: Vehicle, count: int) -> str:
        room = max(20, self.app.size.width - 5)
        if room < 61:
            return cut(f"{column(vehicle.registration, 10)} {vehicle.told}", room)
        named = f"{column(vehicle.order or vehicle.job, 8)} {column(vehicle.registration, 11)}"
        return cut(f"{named} {column(vehicle.vehicle, 16)} {count:>4}  {vehicle.told}", room)

    def _job(self) -> str:
        option = self.query_one("#found", OptionList).highlighted_option
        return (option.id or "") if option else ""

    def _show_joints(self) -> None:
        """What was done at the job under the bar."""
        found, at = self.found(), self._job()
        under = next((each for each in found.jobs if each.job == at), None)
        several = self.desk.recall_in(found, under).uses if under else ()
        told = [f"{self.notation.minute(j.first.time)} {column(j.first.who, 6)} {j.told}" for j in joints(several)]
        self.query_one("#joints", Static).update(shown("\n".join(told) or "nothing was done with it in these days"))

    def on_option_list_option_highlighted(self) -> None:
        self._show_joints()

    def on_option_list_option_selected(self) -> None:
        self.do("open")

    def action_open(self) -> None:
        from reassembly.screens.job import JobScreen

        job = self._job()
        if job:
            self.desk.open_job = job
            self.app.push_screen(JobScreen())

    def action_other(self) -> None:
        ask_subject(self, lambda what, name: self._ask(what, name, ""))

    def action_since(self) -> None:
        what, name, since = self._asked
        question = "Only from which day, as 2026-03-14? A dash: as at first."
        self.ask(
            PromptScreen("RECALL", question, since, _no_day),
            lambda day: self._ask(what, name, "" if day == "-" else day),
        )

    def _ask(self, what: What, name: str, since: str) -> None:
        self._asked, self._found = (what, name, since), None
        self.refresh_all()

    def action_table(self) -> None:
        from reassembly.record.recall_paper import write_csv

        path = self._path("csv")
        self.bench.writing.begin(path, lambda _: write_csv(path, self._all_of_it()))

    def action_paper(self) -> None:
        from reassembly.record.recall_paper import write_pdf

        path, digest = self._path("pdf"), self.desk.digest()
        now, notation = datetime.now().astimezone(), self.notation
        self.bench.writing.begin(
            path, lambda progress: write_pdf(path, self._all_of_it(), now, digest, notation, progress)
        )

    def _all_of_it(self) -> Recall:
        """Read beside the screen, by a desk of its own."""
        with Desk.open(self.desk.path) as desk:
            return desk.recall(*self._asked)

    def _path(self, ending: str) -> Path:
        what, name, since = self._asked
        words = (what.replace(" ", "-"), key(name)[:40], f"since-{since}" if since else "", self.desk.today)
        return self.desk.path / "recalls" / f"{'_'.join(w for w in words if w)}.{ending}"


def _no_day(text: str) -> str:
    if text == "-":
        return ""
    try:
        date.fromisoformat(text)
    except ValueError:
        return f"{text}: type the day as 2026-03-14, or a dash"
    return ""
