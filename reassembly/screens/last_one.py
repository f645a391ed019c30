"""The last position of a joint, and with it what is left of its step: said by one key, in view before it is said."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from reassembly.job.together import together
from reassembly.job.walk import put_off
from reassembly.screens.frame import TALL
from reassembly.screens.pick import PickScreen

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual.geometry import Size

    from reassembly.job.checks import Check
    from reassembly.job.job import Job
    from reassembly.job.joint import Joint
    from reassembly.job.plan import Plan
    from reassembly.screens.hands import HandsScreen


def is_last(found: Joint) -> bool:
    """Whether no position but one is left of the joint."""
    return not found.finished and found.stage.number == found.stage.of and len(found.left) <= 1


def rest_of(found: Joint, refit: Plan, job: Job) -> tuple[Check, ...]:
    """What one more key may say with the last position: stripes, and what comes out. Nothing before that one."""
    if found.check is None or not is_last(found):
        return ()
    return together(refit, found.part.id, put_off(job), {found.check.key})


def told_beside(rest: Sequence[Check], size: Size) -> list[str]:
    """What the key says, in lines beside the drawing; none where they have no room there."""
    if not rest:
        return []
    said = f"LAST ONE: y says it is tight, and {'; '.join(check.wording for check in rest)}"
    lines = wrap(said, max(1, size.width - 2))
    return lines if len(lines) <= (1 if size.height < TALL else 2) else []


def ask_last_one(screen: HandsScreen, position: int | None, rest: Sequence[Check], say: Callable[[], None]) -> None:
    """Show what had no room before it is said; any line but the first says nothing."""
    tight = f"position {position} is tight" if position else "the stage is tight"
    question = f"Is it so that {tight}, and is {'this' if len(rest) == 1 else 'each of these'} done?"
    lines = [f"{tight}, and the rest is done: say so", *(check.wording for check in rest)]

    def picked(number: int) -> None:
        if number:
            screen.answer("nothing was said: Space says that it is tight, without the rest", "warn")
        else:
            say()

    screen.ask(PickScreen("LAST ONE, AND THE REST", question, lines), picked)
