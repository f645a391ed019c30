"""A job that is signed off takes nothing more unasked: it goes on, or its come-back is meant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding

from reassembly.job.checks import closed
from reassembly.job.entries import JobReopened
from reassembly.job.job import title
from reassembly.job.signoff import needs_signoff
from reassembly.record.desk import SHOP_FACTS
from reassembly.screens.pick import PickScreen
from reassembly.screens.prompt import PromptScreen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reassembly.job.entries import Fact
    from reassembly.screens.frame import Frame


class SignedScreen(PickScreen):
    """Returns 1 where the job goes on."""

    takes_photos = False
    BINDINGS = [Binding("j", "dismiss(1)", "Reopen")]


def is_signed(screen: Frame, facts: Sequence[Fact]) -> bool:
    """Whether something new would be said of a signed-off job: then it is asked first what is meant, on top of
    whatever keeps what was typed. Raises Trouble."""
    if screen.OF_THE_SHOP or not any(needs_signoff(fact) and not isinstance(fact, SHOP_FACTS) for fact in facts):
        return False
    signed = closed(screen.job) if screen.desk.open_job else None
    if signed is None:
        return False
    screen.answer(f"nothing was kept: {signed.who} signed this job off", "warn")
    screen.bench.call_later(_ask, screen)
    return True


def _ask(screen: Frame) -> None:
    from reassembly.screens.frame import Frame

    top = screen.app.screen
    if not isinstance(top, Frame) or isinstance(top, SignedScreen):
        return
    back = [line for line in screen.desk.came_back(screen.job.id) if not line.signed_off]
    called = f"{back[0].id} ({screen.notation.dated(back[0].called)})" if back else ""
    meant = f"or is the come-back {called} meant?" if back else "or is a come-back meant (record, then c, opens one)?"
    lines = (
        f"leave it as it is{'; the come-back is meant' if back else ''}: nothing is kept here",
        "reopen it: say why",
    )

    def picked(number: int) -> None:
        if number:
            top.ask(PromptScreen("REOPEN", "Why does this job go on?"), reopen)
        else:
            leave()

    def reopen(why: str) -> None:
        if screen.say(JobReopened(why=why)):
            top.answer("kept: the job is open again; what you said before is not kept yet, say it again", "kept")

    def leave() -> None:
        there = f": go to {called}, on the bench screen" if back else ""
        top.answer(f"nothing was kept, the job stays signed off{there}", "warn")

    question = f"{title(screen.job)} is signed off: reopen it (j), {meant}"
    top.ask(SignedScreen("THIS JOB IS SIGNED OFF", question, lines), picked, leave)
