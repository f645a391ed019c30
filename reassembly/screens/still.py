"""Whether whoever was at the bench is still there: asked after a start, before anything is kept in that name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding

from reassembly.screens.pick import PickScreen

if TYPE_CHECKING:
    from reassembly.screens.frame import Frame


class StillScreen(PickScreen):
    """Returns 0 for yes, 1 for somebody else, or the short name of who came, by badge or by name."""

    takes_photos = False
    BINDINGS = [Binding("p", "who", "Somebody else")]

    def __init__(self, person: str) -> None:
        lines = (f"yes: {person} is at the bench", "somebody else: say who")
        question = (
            f"This terminal comes back with {person} at the bench, and nothing was kept for a while. Who is here?"
        )
        super().__init__(f"STILL {person.upper()}?", question, lines)

    def scanned(self, code: str) -> bool:
        self.answer("say first who is here: Enter for yes, a badge or p for somebody else; then scan it again", "warn")
        return True

    def came_to_the_bench(self, person: str) -> None:
        super().came_to_the_bench(person)
        self.dismiss(person)

    def person_came(self, person: str) -> None:
        self.dismiss(person)


def ask_still(screen: Frame) -> None:
    """What is half typed stays below the question. Whoever leaves it has not said who is here."""
    person = screen.desk.who

    def somebody_else() -> None:
        screen.desk.who = ""
        screen.refresh_all()
        screen.action_who()

    def answered(who: int | str) -> None:
        if who == 0:
            screen.answer(f"at the bench: {person}")
        elif who == 1:
            somebody_else()
        screen.refresh_all()

    screen.ask(StillScreen(person), answered, somebody_else)
