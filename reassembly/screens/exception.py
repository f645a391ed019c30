"""A check that is knowingly not met: the reason, then the person who answers for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.entries import ExceptionAccepted
from reassembly.screens.prompt import PromptScreen

if TYPE_CHECKING:
    from reassembly.job.checks import Check
    from reassembly.screens.frame import Frame


def except_check(screen: Frame, check: Check) -> None:
    """Ask why, ask who accepts it, and say it of the check it was asked for."""

    def by(reason: str) -> None:
        def refuse(person: str) -> str:
            if check.safety and person.casefold() == screen.desk.who.casefold():
                return "safety-critical: another person than the one at the bench has to accept it"
            return ""

        who = "" if check.safety else screen.desk.who
        screen.ask(
            PromptScreen("EXCEPTION", f"{check.wording}: {reason}\n\nWho accepts it? A short name.", who, refuse),
            lambda person: screen.say(ExceptionAccepted(check=check.key, reason=reason, accepted_by=person)),
        )

    screen.ask(PromptScreen("EXCEPTION", f"{check.wording}\n{check.detail}\n\nWhy is it not met?"), by)
