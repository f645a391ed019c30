"""A person by a typed name: one who is known here, or one added on purpose."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.entries import PersonAdded
from reassembly.job.people import name_key
from reassembly.record.desk import NOBODY
from reassembly.screens.pick import PickScreen

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.record.desk import Desk
    from reassembly.screens.frame import Frame


class WhoIsMeantScreen(PickScreen):
    """A badge answers as well: it returns its person's short name."""

    def badge(self, person: str) -> bool:
        self.dismiss(person)
        return True


def not_who_is_here(desk: Desk, typed: str) -> str:
    """Why a typed name is not that of the person at the bench; nothing where it is. For what cannot be taken back."""
    shop = desk.shop()
    if not desk.who:
        return NOBODY
    if (shop.who(typed) or name_key(typed)) != (shop.who(desk.who) or name_key(desk.who)):
        return f"{desk.who} is at the bench: type that name, or change the person first"
    return ""


def person_named(screen: Frame, typed: str, then: Callable[[str], object]) -> None:
    """Go on with the short name of whoever is meant. A name that nobody here has is asked about first: a slip would
    make a second person, who could look at the first one's work. Whoever comes first of all is just added."""
    shop, name = screen.desk.shop(), " ".join(typed.split())
    known, near = shop.who(name), shop.near(name)
    people = [*(near or [""]), name]

    def picked(answer: int | str) -> None:
        person = answer if isinstance(answer, str) else people[answer]
        if person == name:
            add()
        elif person:
            then(person)

    def add() -> None:
        with screen.desk.in_the_name_of(screen.desk.who or name):
            added = screen.say(PersonAdded(person=name))
        if added:
            then(name)

    if known:
        then(known)
    elif not shop.people:
        add()
    else:
        meant = f"Did you mean {near[0]}?" if near else "Nobody here is called anything like it."
        lines = [*(near or ["type the name again"]), f"add {name} as a new person"]
        screen.ask(WhoIsMeantScreen("WHO IS MEANT?", f"{name} is not known here. {meant}", lines), picked)
