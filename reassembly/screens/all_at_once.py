"""A whole stage of a safety-critical joint said with one key: asked once, because nobody counted the bolts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.entries import StageTightened
from reassembly.job.tightening import counts_after, is_critical
from reassembly.screens.pick import PickScreen

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.job.job import Job
    from reassembly.job.joint import Joint
    from reassembly.screens.hands import HandsScreen


def all_at_once_asked(found: Joint, job: Job) -> bool:
    """Whether to ask: of a safety-critical set of several, where no other stage of it was said at once."""
    if found.stage.positions < 2 or not is_critical(found.specified.fact, found.part):
        return False
    after = counts_after(found.specified, found.part)
    return not any(
        e.fact.specification == found.specified.id and e.fact.position is None and e.order > after
        for e in job.said(StageTightened)
    )


def ask_all_at_once(screen: HandsScreen, found: Joint, say: Callable[[], None]) -> None:
    """One more key says it; the record tells that it was said at once."""
    what = f"all {found.stage.positions}"
    bolts = f"{what} {found.fasteners.what}s" if found.fasteners else what
    question = f"{bolts.capitalize()} of a safety-critical joint at once: were {what} tightened?"
    lines = [f"yes, {what} were tightened", "no: one by one"]

    def picked(number: int) -> None:
        if not number:
            say()

    screen.ask(PickScreen("WHOLE STAGE?", question, lines), picked)
