"""A come-back: the new complaint stays above, the story of the earlier job is read below it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from reassembly.job.comeback import between, sections
from reassembly.record.gathering import come_back
from reassembly.screens.frame import Frame
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.text import cut, shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.app import ComposeResult

    from reassembly.job.comeback import Story
    from reassembly.job.notation import Notation


def tell_beside(frame: Frame) -> None:
    """Tell the open job beside the one it comes back from or that came back; otherwise ask what is complained of."""
    job = frame.desk.open_job
    if frame.job.opened.earlier or frame.desk.came_back(job):
        frame.app.push_screen(ComebackScreen(job))
    else:
        question = "This job did not come back. What is complained of now? It is only looked up, not kept."
        frame.ask(PromptScreen("COME-BACK", question), lambda said: frame.app.push_screen(ComebackScreen(job, said)))


class ComebackScreen(Frame):
    """What the earlier job has to say to the complaint: first what shares a word with it, last the whole story. What
    nobody recorded is not here."""

    CSS_PATH = "comeback.tcss"
    HEADING = "COME-BACK"
    BINDINGS = [
        Binding("enter", "earlier", "Record of the earlier job"),
        Binding("escape", "app.pop_screen", "Back"),
    ]

    def __init__(self, job: str, complaint: str = "") -> None:
        """`job` is either of the two; with a complaint it is the earlier one."""
        super().__init__()
        self._asked = job, complaint

    def body(self) -> ComposeResult:
        yield Static(id="now", markup=False)
        with VerticalScroll(id="told"):
            yield Static(id="lines", markup=False)

    def on_mount(self) -> None:
        self.query_one("#told").focus()

    def on_screen_resume(self) -> None:
        self.desk.open_job = self._asked[0]  # the earlier job may have been opened on top

    def show(self) -> None:
        story = come_back(self.desk, *self._asked)
        head = list(_head(story, self.notation.dated(self.desk.called(story.earlier))))
        if self.app.size.height < 20:  # one line each, so that the story has room
            head = [cut(line, self.app.size.width - 2) for line in head]
        self.query_one("#now", Static).update(shown("\n".join(head)))
        self.query_one("#lines", Static).update(Content("\n").join(_lines(story, self.notation)))

    def action_earlier(self) -> None:
        from reassembly.screens.record import RecordScreen

        self.desk.open_job = come_back(self.desk, *self._asked).earlier
        self.app.push_screen(RecordScreen())


def _head(story: Story, earlier: str) -> Iterator[str]:
    yield f"now   {story.complaint or 'no complaint said'}"
    yield f"then  {story.first_complaint or 'no complaint said'}  ({earlier})"
    if held := between(story):
        yield f"      {held}"
    for felt in story.now:
        yield f"found {felt}"


def _lines(story: Story, notation: Notation) -> Iterator[Content]:
    for heading, lines in sections(story, notation):
        yield shown(heading.upper(), "bold")
        yield from (shown(f"  {line}") for line in lines)
        yield Content("")
