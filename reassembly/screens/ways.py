"""How each kind of check is answered at the bench: a key, a short form, a second person, another screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.job import fold
from reassembly.job.plan import plan
from reassembly.screens.form import FormScreen
from reassembly.screens.settle import SettleScreen

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.job.checks import Check
    from reassembly.job.entries import Fact
    from reassembly.job.job import Job
    from reassembly.screens.hands import HandsScreen

BY_HAND, SCANNED = "not scanned", "scanned"
"""Notes on the confirmation of a bag: whether a scanner read its label."""

BY_BADGE = "by badge"

OTHER_PERSON = "; scan a badge or press p to change person"


def answer_check(screen: HandsScreen, check: Check) -> None:
    """Answer one check in its own way."""
    _ANSWERS[check.way](screen, check)


def measured(screen: HandsScreen, check: Check) -> None:
    """Confirm with a measured value or a note."""
    form = FormScreen(said.CheckConfirmed, f"MEASURED: {check.wording}"[:40].upper(), {"check": check.key})
    screen.ask(form, screen.say_unless_refused)


def add_fluid(screen: HandsScreen, check: Check) -> None:
    """Say one more amount that went in."""
    _form(screen, check, said.FluidFilled, {"fluid": check.asked_by.fact.fluid})


def filled(check: Check, job: Job) -> str:
    """What went in so far against what came out, in words; empty while nothing went in."""
    from reassembly.trade.fluid import filled_of_drained

    same = fold(check.asked_by.fact.fluid)
    went_in = [e.fact.amount for e in job.said(said.FluidFilled) if fold(e.fact.fluid) == same]
    came_out = [e.fact.amount for e in job.said(said.FluidDrained) if fold(e.fact.fluid) == same]
    try:
        return filled_of_drained(went_in, came_out).sentence if went_in else ""
    except ValueError as unread:
        return f"{', '.join(went_in)}: {unread}"


def _confirm(screen: HandsScreen, check: Check) -> None:
    screen.say_unless_refused(said.CheckConfirmed(check=check.key))


def _bag(screen: HandsScreen, check: Check) -> None:
    screen.say_unless_refused(said.CheckConfirmed(check=check.key, note=BY_HAND))


def _second(screen: HandsScreen, check: Check) -> None:
    screen.say_unless_refused(said.SecondCheckMade(check=check.key), hint=OTHER_PERSON)


def _aid(screen: HandsScreen, check: Check) -> None:
    screen.say_unless_refused(said.AidRemoved(aid=check.asked_by.id))


def _clear(screen: HandsScreen, check: Check) -> None:
    screen.say_unless_refused(said.CodesCleared(module=check.asked_by.fact.module))


def _receive(screen: HandsScreen, check: Check) -> None:
    number = getattr(check.asked_by.fact, "part_number", "")
    start = said.RenewalReceived(needed=check.asked_by.id, part_number=number)
    _form(screen, check, said.RenewalReceived, {"needed": check.asked_by.id}, start)


def _fill(screen: HandsScreen, check: Check) -> None:
    total = filled(check, screen.job)
    if total:
        screen.say_unless_refused(said.CheckConfirmed(check=check.key, value=total))
    else:
        add_fluid(screen, check)


def _level(screen: HandsScreen, check: Check) -> None:
    asked = check.asked_by.fact
    start = said.LevelChecked(fluid=asked.fluid, engine=getattr(asked, "engine", ""))
    _form(screen, check, said.LevelChecked, {"fluid": asked.fluid}, start)


def _drive(screen: HandsScreen, check: Check) -> None:
    _form(screen, check, said.RoadTested, {"when": "after"})


def _read(screen: HandsScreen, check: Check) -> None:
    start = said.CodeRead(when="after", module=check.asked_by.fact.module)
    _form(screen, check, said.CodeRead, {"when": "after"}, start)


def _tighten(screen: HandsScreen, check: Check) -> None:
    from reassembly.screens.tighten import TightenScreen

    def back(code: str | None) -> None:
        """A bag scanned there is answered here."""
        screen.came_back()
        if code:
            screen.scanned(code)

    screen.app.push_screen(TightenScreen(check.asked_by.id), back)


def _settle(screen: HandsScreen, check: Check) -> None:
    screen.app.push_screen(SettleScreen(check.key))


def _form(
    screen: HandsScreen, check: Check, kind: type[Fact], fixed: dict[str, str], start: Fact | None = None
) -> None:
    """Ask with a form, say the fact, and say why where the check stays open all the same."""

    def tell(fact: Fact) -> None:
        advice = [doubt.sentence for doubt in screen.doubts(fact)]
        if screen.say_unless_refused(fact) is None:
            return
        after = plan(screen.job).check(check.key)
        if after and after.open and kind is not said.FluidFilled:
            screen.answer(f"kept, but still open: {'; '.join(advice) or check.wording}", "warn")

    screen.ask(FormScreen(kind, check.wording.upper()[:30], fixed, start), tell)


_ANSWERS: dict[str, Callable[[HandsScreen, Check], None]] = {
    "confirm": _confirm,
    "receive": _receive,
    "scan": _bag,
    "tighten": _tighten,
    "second": _second,
    "aid": _aid,
    "fill": _fill,
    "level": _level,
    "clear": _clear,
    "drive": _drive,
    "read": _read,
    "settle": _settle,
}
