"""How each kind of check is answered at the bench: a key, a short form, a second person, another screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.asks import Turn
from reassembly.job.fluids import filled, short_of
from reassembly.job.plan import first, not_back, plan
from reassembly.job.road import last_drive, may_be_there_still
from reassembly.job.walk import LAST, checks_of
from reassembly.job.wording import many, one_by_one
from reassembly.screens.form import FormScreen
from reassembly.screens.pick import PickScreen
from reassembly.screens.second_check import made_by_name
from reassembly.screens.settle import SettleScreen
from reassembly.screens.step import capitals
from reassembly.screens.text import cut

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.job.checks import Check
    from reassembly.job.entries import Fact
    from reassembly.job.plan import Plan
    from reassembly.screens.frame import Frame
    from reassembly.screens.hands import HandsScreen

BY_HAND, SCANNED = "not scanned", "scanned"
"""Notes on the confirmation of a bag: whether a scanner read its label."""


def answer_check(screen: HandsScreen, check: Check) -> None:
    """Answer one check in its own way."""
    _ANSWERS[check.way](screen, check)


def measured(screen: HandsScreen, check: Check) -> None:
    """Confirm with a measured value or a note."""
    form = FormScreen(said.CheckConfirmed, cut(capitals(f"measured: {check.wording}"), 40), {"check": check.key})
    _once_closed(screen, check, lambda: screen.ask(form, screen.say_unless_refused))


def add_fluid(screen: HandsScreen, check: Check) -> None:
    """Say one more amount that went in."""
    _once_closed(screen, check, lambda: _form(screen, check, said.FluidFilled, {"fluid": check.asked_by.fact.fluid}))


def _once_closed(screen: HandsScreen, check: Check, go_on: Callable[[], None]) -> None:
    """Go on; where the first fluid is about to go in and parts are still off, only after asking."""
    if check.way != "fill" or filled(check.asked_by.fact.fluid, screen.job):
        go_on()
    else:
        ask_while_open(screen, "fill", go_on, lambda: screen.do("list"))


def ask_while_open(screen: Frame, do: str, go_on: Callable[[], None], show: Callable[[], object]) -> None:
    """Go on with a fluid; while parts are still off only after asking, and else show what is open."""
    still = not_back(plan(screen.job))
    if not still:
        go_on()
        return
    question = f"NOT BACK YET: {one_by_one(still)} ({many(len(still), 'part')}). {do.capitalize()} all the same?"
    lines = ["no: show what is open", "yes: nothing that is open holds this fluid"]
    screen.ask(PickScreen(f"{do.upper()}?", question, lines), lambda n: go_on() if n else show())


def _confirm(screen: HandsScreen, check: Check, value: str = "") -> None:
    """Say it, and at once what is doubtful about it all the same."""
    fact = said.CheckConfirmed(check=check.key, value=value)
    advice = [doubt.sentence for doubt in screen.doubts(fact)]
    if screen.say_unless_refused(fact) and advice:
        screen.answer(f"kept, but {advice[0]}; u takes it back", "warn")


def _yes(screen: HandsScreen, check: Check) -> None:
    """Confirm; the complaint only after asking where the last road test speaks of it again."""
    driven = last_drive(screen.job)
    if check.turn != Turn.COMPLAINT or not may_be_there_still(check.detail, driven):
        _confirm(screen, check)
        return
    question = f"The road test after the work says: {driven.felt}\nThe complaint was: {check.detail}\nIs it gone?"
    lines = ["no: leave it open", "yes, it is gone"]
    screen.ask(PickScreen("COMPLAINT GONE?", question, lines), lambda n: _confirm(screen, check) if n else None)


def _bag(screen: HandsScreen, check: Check) -> None:
    screen.say_unless_refused(said.CheckConfirmed(check=check.key, note=BY_HAND))


def _aid(screen: HandsScreen, check: Check) -> None:
    screen.say_unless_refused(said.AidRemoved(aid=check.asked_by.id))


def _clear(screen: HandsScreen, check: Check) -> None:
    screen.say_unless_refused(said.CodesCleared(module=check.asked_by.fact.module))


def _receive(screen: HandsScreen, check: Check) -> None:
    number = getattr(check.asked_by.fact, "part_number", "")
    _form(screen, check, said.RenewalReceived, {"needed": check.asked_by.id}, {"part_number": number})


def _fill(screen: HandsScreen, check: Check) -> None:
    total = filled(check.asked_by.fact.fluid, screen.job)
    if not total:
        add_fluid(screen, check)
    elif short_of(check, None, screen.job):
        lines = ["add more", "this is all that goes in: the level will tell"]
        screen.ask(
            PickScreen("TOO LITTLE?", total, lines),
            lambda n: _confirm(screen, check, total) if n else add_fluid(screen, check),
        )
    else:
        _confirm(screen, check, total)


def _level(screen: HandsScreen, check: Check) -> None:
    asked = check.asked_by.fact
    _form(screen, check, said.LevelChecked, {"fluid": asked.fluid}, {"engine": getattr(asked, "engine", "")})


def _drive(screen: HandsScreen, check: Check) -> None:
    _form(screen, check, said.RoadTested, {"when": "after"})


def _read(screen: HandsScreen, check: Check) -> None:
    _form(screen, check, said.CodeRead, {"when": "after"}, {"module": check.asked_by.fact.module})


def _deal(screen: HandsScreen, check: Check) -> None:
    _form(screen, check, said.CheckConfirmed, {"check": check.key, "value": ""})


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
    screen: HandsScreen, check: Check, kind: type[Fact], fixed: dict[str, str], recorded: dict[str, str] | None = None
) -> None:
    """Ask with a form, say the fact, and say why where the check stays open all the same."""

    def tell(fact: Fact) -> None:
        advice = [doubt.sentence for doubt in screen.doubts(fact)]
        if screen.say_unless_refused(fact) is None:
            return
        after = plan(screen.job).check(check.key)
        if after and after.open and kind is not said.FluidFilled:
            screen.answer(f"kept, but still open: {'; '.join(advice) or check.wording}", "warn")

    screen.ask(FormScreen(kind, cut(capitals(check.wording), 30), fixed, recorded=recorded), tell)


_ANSWERS: dict[str, Callable[[HandsScreen, Check], None]] = {
    "confirm": _yes,
    "receive": _receive,
    "scan": _bag,
    "tighten": _tighten,
    "second": made_by_name,
    "aid": _aid,
    "fill": _fill,
    "level": _level,
    "clear": _clear,
    "drive": _drive,
    "read": _read,
    "deal": _deal,
    "settle": _settle,
}


def stage_in_turn(refit: Plan, part: str) -> Check | None:
    """The stage of a part that is tightened next; the last one where all are tight."""
    stages = [check for check in checks_of(refit, part) if check.way == "tighten"]
    return next((check for check in stages if check.open), stages[-1] if stages else None)


def other_way(check: Check | None, refit: Plan) -> tuple[str, str]:
    """What can be done about a check besides confirming it: the words of its touch, and its action."""
    if check is None or not check.open:
        return "UNDO LAST", "undo"
    if check.way == "fill":
        return "ADD FLUID", "other_way"
    stage = check if check.way == "tighten" else stage_in_turn(refit, LAST if check in refit.last else check.part)
    if stage and stage.open and (stage is check or not first(stage, refit)):
        return "TIGHTEN", "other_way"
    return "EXCEPTION", "exception"
