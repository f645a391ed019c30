"""A part that is not in the bag that was said: taken out of it by a strike, with a reason."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.asks import two_groups
from reassembly.job.bag import bags
from reassembly.job.job import parts
from reassembly.job.struck import taken_out
from reassembly.screens.pick import PickScreen
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.strike import ask_strike

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.job.bag import Bag
    from reassembly.job.job import Part
    from reassembly.screens.frame import Frame


def ask_what_is_struck(screen: Frame, part: Part, of_the_part: Callable[[], None]) -> None:
    """What was said of the part, or that it is in a bag, where it is in one."""
    mine = [bag for bag in bags(screen.job).values() if part.id in bag.packed.fact.parts]
    if not mine:
        of_the_part()
        return
    lines = [f"{part.name}: how it came off", *(f"not in bag {two_groups(bag.code)}" for bag in mine)]

    def picked(number: int) -> None:
        if number:
            take_out(screen, mine[number - 1], part)
        else:
            of_the_part()

    screen.ask(PickScreen("WHAT IS WRONG?", f"What was said wrong of {part.name}?", lines), picked)


def ask_which_is_not_in(screen: Frame, bag: Bag) -> None:
    """Which part is not in a bag; a bag of no part is struck out as a whole."""
    every = parts(screen.job)
    held = [every[part] for part in bag.packed.fact.parts if part in every]
    if not held:
        ask_strike(screen, bag.packed, None)
    elif len(held) == 1:
        take_out(screen, bag, held[0])
    else:
        lines = [part.name for part in held]
        question = f"What is not in bag {two_groups(bag.code)}?"
        screen.ask(PickScreen("NOT IN THIS BAG", question, lines), lambda n: take_out(screen, bag, held[n]))


def take_out(screen: Frame, bag: Bag, part: Part, why: str = "") -> None:
    """Ask for the reason and say it; the bag keeps its letters, shelf and whatever else is in it."""
    called = two_groups(bag.code)

    def said(why: str) -> None:
        now = bags(screen.job).get(bag.code)
        if now is None or part.id not in now.packed.fact.parts:
            screen.answer(f"{part.name} is not in bag {called} any more: look at what stands now", "warn")
        elif not screen.say_all(taken_out(now, part.id, why), f"{part.name} is not in bag {called}   ({why})"):
            take_out(screen, bag, part, why)

    question = f"{part.name} is not in bag {called}. What went wrong?"
    screen.ask(
        PromptScreen("NOT IN THIS BAG", question, why),
        said,
        lambda: screen.answer(f"nothing struck: {part.name} is in bag {called}", "warn"),
    )
