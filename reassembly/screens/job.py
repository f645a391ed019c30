"""One job at a glance: where it stands, who did what last, what is next, and the way to each of its screens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.asks import two_groups
from reassembly.job.bag import bags, never_seen
from reassembly.job.job import closed
from reassembly.job.plan import plan
from reassembly.job.telling import Names, tell
from reassembly.job.walk import put_off
from reassembly.job.wording import minute
from reassembly.record.erasing import customer_told
from reassembly.screens.frame import Frame
from reassembly.screens.record import came_back
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.app import ComposeResult

    from reassembly.job.reckon import Reckoned

_WAYS = (
    ("v", "check-in", "Check-in: vehicle, codes, road test, findings, fluids"),
    ("s", "stripdown", "Strip-down: what came off"),
    ("b", "bags", "Bags: where each one is, and the pick list"),
    ("r", "refit", "Refit: what goes back, one check at a time"),
    ("o", "signoff", "Sign-off: what is not confirmed"),
    ("d", "record", "Record: everything said, as a document"),
)


class JobScreen(Frame):
    """Where the job stands. Choose what to do with its letter, or with the arrows and Enter."""

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
        yield OptionList(*(Option(f"{key}   {words}", id=way) for key, way, words in _WAYS), id="ways", markup=False)

    def on_mount(self) -> None:
        self.query_one("#ways").focus()

    def show(self) -> None:
        self.query_one("#stands", Static).update(shown("\n".join(self._stands())))

    def _stands(self) -> Iterator[str]:
        job = self.job
        refit = plan(job)
        opened = job.opened
        yield f"complaint   {opened.complaint or 'none said'}"
        yield f"customer    {customer_told(self.desk, job)}"
        if opened.earlier:
            yield f"come-back   from job {opened.earlier}"
        later = came_back(self.desk, job)
        self._beside = bool(opened.earlier or later)
        for line in later:
            yield f"come-back   came back later as job {line.id}"
        done = sum(step.done for step in refit.steps)
        yield f"stands      {len(refit.steps)} parts, {done} back and done; {len(refit.open)} checks open"
        unseen = never_seen(job)
        if unseen:
            codes = ", ".join(two_groups(bag.code) for bag in unseen[:2])
            more = f" and {len(unseen) - 2} more" if len(unseen) > 2 else ""
            yield f"bags        {len(bags(job))}; {len(unseen)} not seen since they were packed: {codes}{more}"
        waits = [(check, e) for key, e in put_off(job).items() if (check := refit.check(key)) and check.open]
        for check, entry in waits[-2:]:
            yield f"not now     {check.wording}: {entry.fact.reason}"
        last = job.entries[-1] if job.entries else None
        if last:
            yield f"last said   {last.who} {minute(last.time)}  {tell(last, Names.of(job))}"
        ready = [step.part.name for step in refit.steps if step.state in {"ready", "part done"}]
        signed = closed(job)
        if signed:
            yield f"closed      signed off by {signed.who} {minute(signed.time)}"
        elif ready:
            yield f"next back   {', '.join(ready[:3])}"

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
