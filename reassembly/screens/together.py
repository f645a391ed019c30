"""Several checks answered by one key, all of them in view; taken back by one key as well."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.plan import plan
from reassembly.job.together import saying
from reassembly.job.wording import many
from reassembly.screens.pick import PickScreen

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual.widgets import OptionList

    from reassembly.job.checks import Check
    from reassembly.screens.hands import HandsScreen


def say_together(screen: HandsScreen, several: Sequence[Check]) -> bool:
    """Say each of them, all or none; False, with the reason on the answer line, for none."""
    facts = [saying(check) for check in several]
    if screen.refuses(facts):
        return False
    told = several[0].wording if len(several) == 1 else many(len(several), "check")
    if not screen.say_all(facts, f"{told}; u takes {'it' if len(several) == 1 else 'them'} back"):
        return False
    answers = (plan(screen.job).check(check.key) for check in several)
    screen.bench.breath = frozenset(check.answer.id for check in answers if check and check.answer)
    return True


def ask_together(
    screen: HandsScreen, several: Sequence[Check], say: Callable[[], None], go_to: Callable[[str], None]
) -> None:
    """Show what does not stand on the glass before it is said: nobody confirms what was not in view."""
    lines = [f"all {len(several)} are done: say so", *(check.wording for check in several)]

    def picked(number: int) -> None:
        if number:
            go_to(several[number - 1].key)
        else:
            say()

    screen.ask(PickScreen("ALL OF THESE", "Is each of them done? Enter on a line goes to that one.", lines), picked)


def in_view(listed: OptionList, rows: Sequence[int]) -> bool:
    """Whether these lines of a list stand on the glass, each of one row."""
    top, seen = listed.scroll_offset.y, listed.size.height if listed.display else 0
    return all(top <= row < top + seen for row in rows)
