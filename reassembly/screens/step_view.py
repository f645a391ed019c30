"""A step of the refit as it is drawn: what it is, its checks, the one that is next alone, and where that belongs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import Horizontal, Vertical
from textual.content import Content

from reassembly.job.cautions import cautions, job_cautions
from reassembly.job.drawn import drawing
from reassembly.job.reckoning import consequence
from reassembly.job.wrenches import distrusted
from reassembly.screens.banner import Banner
from reassembly.screens.drawing import DrawingView, cells_for
from reassembly.screens.frame import TALL
from reassembly.screens.lists import Lines
from reassembly.screens.step import (
    below,
    check_line,
    have_ready,
    instead_of_list,
    now_lines,
    under_name,
    where_it_waits,
)
from reassembly.screens.text import cut, shown
from reassembly.screens.told import Told

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from reassembly.job.job import Job
    from reassembly.job.notation import Notation
    from reassembly.job.on_display import OnDisplay
    from reassembly.job.plan import Plan
    from reassembly.job.shop import Shop

ROOMY = 24  # rows, from which a consequence has a row of its own


class StepView(Vertical):
    """The answer to a scan stands in the place of the check that is next."""

    def compose(self) -> ComposeResult:
        with Horizontal(id="step"):
            yield Told(id="name", markup=False)
            yield Told(id="shelf", markup=False)
        yield Told(id="under", markup=False)
        checks = Lines(id="checks", markup=False)
        checks.can_focus = False
        banner = Banner(id="banner")
        banner.display = False
        with Horizontal(id="middle"):
            with Vertical(id="left"):
                yield checks
                yield banner
                yield Told(id="now", markup=False)
            yield DrawingView(id="drawing")

    def show(self, on: OnDisplay, refit: Plan, job: Job, shop: Shop, who: str, notation: Notation) -> None:
        """`who` is at the bench."""
        step, (width, height) = on.step(refit), self.app.size
        where = where_it_waits(step, width) if step else ""
        called = step.part.name if step else "BEFORE IT LEAVES"
        self.query_one("#name", Told).update(shown(cut(called.upper(), max(10, width - len(where) - 4))))
        self.query_one("#shelf", Told).update(shown(where))
        warned = cautions(job, step.part.id) if step else job_cautions(job)
        answered = self.query_one(Banner).answer is not None
        ready = have_ready(step, width - 2) if height >= TALL and not answered else ""
        under = [
            *under_name(step, refit, width, on.waiting(job)),
            *([ready] if ready else []),
            *(f"! {each}" for each in warned[:1]),
        ]
        told = (shown(line, "bold $text-warning") if line.startswith("!") else _waiting(line) for line in under)
        self.query_one("#under", Told).update(Content("\n").join(told))
        check, lines = on.check(refit), self._of_the_next(on, refit, job, who, notation)
        drawn = drawing(check, job, on.turned == on.key) if check else None
        beside = cells_for(drawn, self.app.size, under, lines)
        self.query_one(DrawingView).show(drawn, beside)
        checks = on.checks(refit)
        self.query_one("#checks", Lines).tell(
            [shown(check_line(c, c.key == on.key, width - beside - 3, distrusted(c, job, shop))) for c in checks],
            next((n for n, c in enumerate(checks) if c.key == on.key), None),
        )
        self.query_one("#now", Told).update(shown("\n".join(below(lines, width - beside - 2))))

    def _of_the_next(self, on: OnDisplay, refit: Plan, job: Job, who: str, notation: Notation) -> list[str]:
        check, height = on.check(refit), self.app.size.height
        lines = now_lines(check, refit, job, who, notation)
        if check and check.open and (slip := consequence(check, job)):
            if check.detail and height < ROOMY:
                lines[1] += f"; {notation.computed(slip)}"  # on a row of its own it could fall off a small panel
            else:
                lines.append(f"  {notation.computed(slip)}")
        return [*lines, *(instead_of_list(on.checks(refit), on.key) if height < TALL else [])]


def _waiting(line: str) -> Content:
    """What a step waits for stands out from the rest of its line."""
    head, waits, names = line.partition("WAITS FOR ")
    return Content.assemble(shown(head), shown(waits + names, "bold $text"))
