"""Which wrench, what it is set to, and whether it may be trusted: asked at the joint."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import structs

from reassembly.job.tightening import is_critical
from reassembly.job.wrenches import to_be_asked
from reassembly.screens.hands import ANOTHER
from reassembly.screens.pick import PickScreen
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.rack import offered, setting

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.job.entries import StageTightened
    from reassembly.job.joint import Joint
    from reassembly.job.tightening import StageAsked
    from reassembly.screens.hands import HandsScreen

ALL_THE_SAME = "tightened with it all the same"
WHY_ALL_THE_SAME = ("no other wrench here is in order", "tightened again later with another wrench")
NOT_IN_THE_RACK = "the wrench is not in the rack"


def choose_wrench(screen: HandsScreen, torque: str) -> None:
    """Out of the rack, the best for this torque first; empty where there is none to be set."""
    several = offered(screen.desk.shop(), torque, screen.desk.today, screen.job.opened.torque_unit)
    asked = f"Which wrench for {torque}?" if torque else "Which wrench?"

    def picked(number: int) -> None:
        if number < len(several):
            screen.take_wrench(several[number].wrench)
        else:
            screen.add_wrench()

    screen.ask(PickScreen("WRENCH", asked, [*(each.line for each in several), ANOTHER]), picked)


def ask_setting(screen: HandsScreen, stage: StageAsked, typed_before: str, then: Callable[[str], None]) -> None:
    """What the wrench is set to where that is not the torque itself: `then` gets what is typed."""
    unit = screen.job.opened.torque_unit

    def refuse(typed: str) -> str:
        try:
            setting(typed, stage.value, unit)
        except ValueError as error:
            return str(error)
        return ""

    question = (
        f"{stage.told}.\n\nWhat is the wrench set to, if not to {stage.value}?\n"
        "Or with an adapter: lever from drive square to middle of hand, adapter from\n"
        "drive square to bolt, and its angle: 410 mm, 38 mm, 90 deg\n"
        "A self-locking thread, where the manual says so: + 8 N.m, as it runs down"
    )
    screen.ask(PromptScreen("SETTING", question, typed_before, refuse), then)


def unless_doubted(
    screen: HandsScreen,
    found: Joint,
    fact: StageTightened,
    say: Callable[[StageTightened], None],
    still: Callable[[], bool],
) -> None:
    """Say it, once the wrench is one to be trusted here or somebody answers for it. `still` is asked after a question:
    the position may be tight by then, said at another terminal."""
    why = to_be_asked(found, fact, screen.job, screen.desk.shop(), screen.desk.today)
    if not why:
        say(fact)
        return
    lines = ("another wrench", ALL_THE_SAME) if fact.wrench else ("choose one", NOT_IN_THE_RACK)

    def because(reason: str) -> None:
        if still():
            say(structs.replace(fact, reason=reason))

    def picked(number: int) -> None:
        if not number:
            screen.do("wrench")
        elif not still():
            return
        elif fact.wrench and is_critical(found.specified.fact, found.part):
            question = f"{why}\nThe joint is safety-critical.\n\nWhy is it tightened with it all the same?"
            screen.ask(PromptScreen("WRENCH", question, offers=WHY_ALL_THE_SAME), because)
        else:
            say(fact)

    screen.ask(PickScreen("WRENCH", why, lines), picked)
