"""The second check: made by another person, by badge or by name, while whoever works at the bench stays there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.entries import SecondCheckMade
from reassembly.job.people import name_key
from reassembly.job.plan import first

if TYPE_CHECKING:
    from reassembly.job.checks import Check
    from reassembly.job.plan import Plan
    from reassembly.screens.hands import HandsScreen

BY_BADGE = "by badge"
OTHER_PERSON = "; scan a badge or press p to change person"


def next_second_check(refit: Plan, part: str) -> Check | None:
    """The next that somebody can make now: this part's, else any."""
    still = [c for c in refit.checks if c.way == "second" and c.open and not first(c, refit)]
    return next((c for c in still if c.part == part), still[0] if still else None)


def is_other(screen: HandsScreen, check: Check | None, person: str) -> bool:
    """Whether a badge is one of another person, scanned while a second check is on display."""
    at_work = screen.desk.who
    return (
        check is not None
        and check.way == "second"
        and check.open
        and bool(at_work)
        and name_key(person) != name_key(at_work)
    )


def made_by_badge(screen: HandsScreen, check: Check, person: str) -> None:
    """In that person's name; who works here stays."""
    with screen.desk.in_the_name_of(person):
        made = screen.say_unless_refused(SecondCheckMade(check=check.key, note=BY_BADGE, named="badge"))
    if made:
        screen.answer(f"kept: second check by {person}; {screen.desk.who} is at the bench", "kept")
    screen.refresh_all()


def steps_in(screen: HandsScreen, check: Check | None) -> None:
    """Somebody comes to the bench by name while a second check is on display: remember whose work it is."""
    if check is not None and check.way == "second" and check.open and screen.desk.who:
        key, at_work = screen.stepped_in
        screen.stepped_in = check.key, at_work if key == check.key else screen.desk.who


def made_by_name(screen: HandsScreen, check: Check) -> None:
    """Whoever came for it alone, said by name, leaves the bench to the one who works there, as with a badge."""
    by_badge = name_key(screen.desk.who) in screen.bench.by_badge
    fact = SecondCheckMade(check=check.key, named="badge" if by_badge else "typed")
    advice = [doubt.sentence for doubt in screen.doubts(fact)]
    came_for, at_work = screen.stepped_in
    made = screen.say_unless_refused(fact, hint=OTHER_PERSON)
    if made is None:
        screen.stepped_in = came_for, at_work
        return
    if came_for == check.key:
        screen.desk.who = at_work
        screen.answer(f"kept: second check by {made.who}; {at_work} is at the bench", "kept")
        screen.refresh_all()
    if advice:
        screen.answer(f"kept: second check, but {advice[0]}; {screen.desk.who} is at the bench", "warn")
