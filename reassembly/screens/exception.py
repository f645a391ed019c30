"""A check that is knowingly not met: the reason, then the person who answers for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.entries import ExceptionAccepted
from reassembly.job.job import fold
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.reasons import REASONS

if TYPE_CHECKING:
    from reassembly.job.checks import Check
    from reassembly.screens.frame import Frame


def except_check(screen: Frame, check: Check) -> None:
    """Ask why, ask who accepts it, and say it of the check it was asked for."""

    def by(reason: str, who: str) -> None:
        def refuse(person: str) -> str:
            if check.safety and fold(person) == fold(screen.desk.who):
                return "safety-critical: another person than the one at the bench has to accept it"
            shop = screen.desk.shop()
            if shop.people and shop.who(person) is None:
                return f"nobody here is called {person}: add the person at the workshop screen first"
            return ""

        def accepted(person: str) -> None:
            if screen.say(ExceptionAccepted(check=check.key, reason=reason, accepted_by=person)) is None:
                by(reason, person)

        question = f"{check.wording}: {reason}\n\nWho accepts it? A short name."
        screen.ask(PromptScreen("EXCEPTION", question, who, refuse, asks="person"), accepted)

    who = "" if check.safety else screen.desk.who
    question = f"{check.wording}\n{check.detail}\n\nWhy is it not met?"
    screen.ask(PromptScreen("EXCEPTION", question, offers=REASONS), lambda reason: by(reason, who))
