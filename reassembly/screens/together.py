"""Several checks answered by one key, all of them in view; taken back by one key as well."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.plan import plan
from reassembly.job.together import looked_at_alone, saying, together
from reassembly.job.walk import next_check, put_off
from reassembly.job.wording import many
from reassembly.screens.lists import Lines
from reassembly.screens.pick import PickScreen
from reassembly.screens.step import first_in_words
from reassembly.screens.ways import answer_check

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual.widgets import OptionList

    from reassembly.job.checks import Check
    from reassembly.job.plan import Plan, Step
    from reassembly.screens.hands import HandsScreen
    from reassembly.screens.refit import RefitScreen


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
    every = "it is done" if len(several) == 1 else f"all {len(several)} are done"

    def picked(number: int) -> None:
        if number:
            go_to(several[number - 1].key)
        else:
            say()

    question = "Is each of them done? Enter on a line goes to that one."
    lines = [f"{every}: say so", *(check.wording for check in several)]
    screen.ask(PickScreen("ALL OF THESE", question, lines), picked)


def say_of_step(screen: RefitScreen, step: Step, refit: Plan) -> None:
    """Say of a step whatever needs no more than saying so, then show the joint to be tightened. What was put off is
    left out; not where somebody came back to it, unless it waits for a reason."""
    came_back = screen.on.key in screen.on.put_off
    later = put_off(screen.job) if came_back else screen.on.waiting(screen.job)
    several = together(refit, step.part.id, later)
    rows = [step.checks.index(check) for check in several]

    def say() -> None:
        if say_together(screen, several):
            _to_the_joint(screen, step.part.id)

    if not several and not _to_the_joint(screen, step.part.id):
        screen.answer(_nothing_to_say(screen, step, refit), "warn")
    elif several and in_view(screen.query_one("#checks", Lines), rows):
        say()
    elif several:
        ask_together(screen, several, say, screen.show_check)


def _to_the_joint(screen: RefitScreen, part: str) -> bool:
    """Whether a joint of this part is next; it is then open."""
    check = next_check(plan(screen.job), part, screen.on.put_off)
    if check is None or check.way != "tighten":
        return False
    answer_check(screen, check)
    return True


def _nothing_to_say(screen: RefitScreen, step: Step, refit: Plan) -> str:
    """What the rest of the step waits for."""
    if step.blocked_by:
        waiting = [each.part.name for each in refit.steps if each.part.id in step.blocked_by]
        return first_in_words(waiting, parts=True)
    check = next_check(refit, step.part.id, screen.on.put_off) or next_check(refit, step.part.id)
    if check and check.key in screen.on.waiting(screen.job):
        return f"put off: {check.wording}. Space takes it up again"
    if check and looked_at_alone(check):
        return f"looked at by itself: {check.wording}. Space confirms it"
    return f"nothing here is confirmed by saying so alone{f': {check.wording}' if check else ''}"


def in_view(listed: OptionList, rows: Sequence[int]) -> bool:
    """Whether these lines of a list stand on the glass, each of one row."""
    top, seen = listed.scroll_offset.y, listed.size.height if listed.display else 0
    return all(top <= row < top + seen for row in rows)
