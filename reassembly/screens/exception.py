"""A check that is knowingly not met: the reason, then the person who answers for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.doubts import doubts
from reassembly.job.entries import ExceptionAccepted
from reassembly.job.people import name_key
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.reasons import REASONS

if TYPE_CHECKING:
    from reassembly.job.checks import Check
    from reassembly.screens.frame import Frame


def except_check(screen: Frame, check: Check) -> None:
    """Ask why, ask who accepts it, and say it of the check it was asked for."""

    def no_reason(reason: str) -> str:
        return "" if name_key(reason) else "nothing can be seen of this reason: type it in words"

    def by(reason: str, who: str) -> None:
        def said(person: str) -> ExceptionAccepted:
            known = screen.desk.shop().who(person) or person
            badges = {name_key(asked.by_badge), *screen.bench.by_badge & {name_key(screen.desk.who)}}
            by_badge = name_key(known) in badges
            return ExceptionAccepted(
                check=check.key, reason=reason, accepted_by=known, named="badge" if by_badge else "typed"
            )

        def refuse(person: str) -> str:
            job, shop = screen.desk.job(), screen.desk.shop()
            if name_key(person) and shop.who(person) is None:
                return ""  # asked about first, and judged when it is known who is meant
            found = doubts(said(person), job, shop, who=screen.desk.who, today=screen.desk.today)
            return next((doubt.sentence for doubt in found if doubt.refuses), "")

        def accepted(person: str) -> None:
            if screen.say(said(person)) is None:
                by(reason, person)

        question = f"{check.wording}: {reason}\n\nWho accepts it? A short name."
        asked = PromptScreen("EXCEPTION", question, who, refuse, asks="person")
        screen.ask(asked, accepted)

    who = "" if check.safety else screen.desk.who
    question = f"{check.wording}\n{check.detail}\n\nWhy is it not met?"
    screen.ask(PromptScreen("EXCEPTION", question, refuse=no_reason, offers=REASONS), lambda reason: by(reason, who))
