"""One job at a glance: where it stands, who did what last, what is next, and the way to each of its screens."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.asks import two_groups
from reassembly.job.bag import bags, never_seen
from reassembly.job.standing import Line, Todo, standing, to_do
from reassembly.record.erasing import customer_told
from reassembly.screens.frame import TALL, Frame
from reassembly.screens.lists import Lines
from reassembly.screens.record import came_back
from reassembly.screens.text import cut, safe, shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.app import ComposeResult

    from reassembly.job.job import Job
    from reassembly.job.reckon import Reckoned

_WHOLE = {"next", "mind"}  # what somebody acts on has a second row even there
_SAID_AT = {"stands", "last"}  # what names a time
_ABOUT = 10  # cells
_WAYS = (
    ("v", "check-in", "Check-in: vehicle, codes, road test, findings, fluids"),
    ("s", "stripdown", "Strip-down: what came off"),
    ("b", "bags", "Bags: where each one is, and the pick list"),
    ("r", "refit", "Refit: what goes back, one check at a time"),
    ("o", "signoff", "Sign-off: what is not confirmed"),
    ("d", "record", "Record: everything said, as a document"),
)


class JobScreen(Frame):
    """Where the job stands in five lines: the complaint, how far it is, who said what last, what is next, what to mind.
    Choose what to do with its letter, or with the arrows and Enter."""

    CSS_PATH = "job.tcss"
    HEADING = "JOB"
    BINDINGS = [
        *(Binding(key, f"go('{way}')", words.partition(":")[0]) for key, way, words in _WAYS),
        Binding("e", "beside", "Beside the earlier job"),
        Binding("escape", "app.pop_screen", "Bench"),
    ]
    _beside = False

    def body(self) -> ComposeResult:
        yield Static(id="stands", markup=False)
        yield Lines(*(Option(f"{key}   {words}", id=way) for key, way, words in _WAYS), id="ways", markup=False)

    def on_mount(self) -> None:
        self.query_one("#ways").focus()

    def show(self) -> None:
        job = self.job
        self._beside = bool(job.opened.earlier or came_back(self.desk, job))
        self.query_one("#stands", Static).update(shown("\n".join(self._stands())))

    def _stands(self) -> Iterator[str]:
        job, width = self.job, self.app.size.width - 2
        low = self.app.size.height < TALL
        for line in standing(job):
            told = line._replace(words=self.notation.dated(line.words)) if line.about in _SAID_AT else line
            if line.about == "next":
                told = line._replace(words="; or ".join(map(_with_its_key, to_do(job))))
            yield from _rows(told, width, 1 if low and line.about not in _WHOLE else 2)
        if not low:
            yield ""
            for line in self._also(job):
                yield from _rows(line, width, 2)

    def _also(self, job: Job) -> Iterator[Line]:
        yield Line("customer", customer_told(self.desk, job))
        if job.opened.earlier:
            yield Line("come-back", f"from {self.notation.dated(self.desk.called(job.opened.earlier))}")
        for later in came_back(self.desk, job):
            yield Line("come-back", f"came back later: {self.notation.dated(later.called)}")
        unseen = never_seen(job)
        if unseen:
            codes = ", ".join(two_groups(bag.code) for bag in unseen[:2])
            more = f" and {len(unseen) - 2} more" if len(unseen) > 2 else ""
            yield Line("bags", f"{len(bags(job))}; {len(unseen)} not seen since they were packed: {codes}{more}")

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.do("go", event.option_id)

    def action_go(self, way: str) -> None:
        from reassembly.screens.bags import BagsScreen
        from reassembly.screens.checkin import JobFactsScreen
        from reassembly.screens.record import RecordScreen
        from reassembly.screens.refit import RefitScreen
        from reassembly.screens.signoff import SignoffScreen
        from reassembly.screens.stripdown import StripdownScreen

        screens = {
            "check-in": JobFactsScreen,
            "stripdown": StripdownScreen,
            "bags": BagsScreen,
            "refit": RefitScreen,
            "signoff": SignoffScreen,
            "record": RecordScreen,
        }
        self.app.push_screen(screens[way]())

    def reckoned(self) -> list[Reckoned]:
        from reassembly.job.reckoning import of_job

        return of_job(self.job, self.desk.shop())

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        return self._beside if action == "beside" else super().check_action(action, parameters)

    def action_beside(self) -> None:
        from reassembly.screens.comeback import tell_beside

        tell_beside(self)

    def scanned(self, code: str) -> bool:
        """A bag of this job is answered at refit."""
        self.do("go", "refit")
        refit = self.app.screen
        if isinstance(refit, Frame):
            refit.call_after_refresh(refit.scanned, code)
        return True


def _with_its_key(todo: Todo) -> str:
    if todo.way == "come-back":
        return f"nothing: if it comes back, d and then c {todo.words}"
    key = next(key for key, way, _ in _WAYS if way == todo.way)
    return f"{key}: {todo.words}" if todo.words else f"{key}, {todo.when}"


def _rows(line: Line, width: int, most: int) -> Iterator[str]:
    """A line with its words below one another, in so many rows."""
    room = max(10, width - _ABOUT)
    first, *more = wrap(safe(line.words), room) or [""]
    rows = [first, cut(" ".join(more), room)] if most > 1 and more else [cut(safe(line.words), room)]
    for n, row in enumerate(rows):
        yield f"{'' if n else line.about:<{_ABOUT}}{row}"
