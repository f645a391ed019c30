"""Which step of a refit and which of its checks is on display at one bench, and how it goes on from there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.walk import LAST, checks_of, next_check, next_step, put_off, steps_in_turn

if TYPE_CHECKING:
    from reassembly.job.checks import Check
    from reassembly.job.job import Job
    from reassembly.job.plan import Plan, Step


class OnDisplay:
    """It changes by what is said or chosen here, never under the finger by what is said elsewhere."""

    def __init__(self, key: str = "") -> None:
        """At the check with this key, or at the first that can be confirmed."""
        self.key = key
        self.chosen_part: str | None = None
        self.put_off: set[str] = set()
        """Keys of checks put off here, until nothing else is left."""
        self.arrived = True
        """Whether somebody chose the step on display; not where the display moved on to it by itself."""
        self.turned = ""
        """Key of the check whose drawing is seen from the other side."""

    @property
    def part(self) -> str:
        """The part, or LAST for what is asked of the whole job."""
        return self.chosen_part or LAST

    def check(self, refit: Plan) -> Check | None:
        return refit.check(self.key)

    def checks(self, refit: Plan) -> tuple[Check, ...]:
        """Those of the step on display, in working order."""
        return checks_of(refit, self.part)

    def step(self, refit: Plan) -> Step | None:
        """None for what is asked of the whole job."""
        return refit.step(self.part)

    def waiting(self, job: Job) -> set[str]:
        """Keys of checks put off here or, with a reason, by anybody."""
        return {*self.put_off, *put_off(job)}

    def settle(self, refit: Plan, *, said_here: bool) -> None:
        """Find the step of the check where none is chosen yet, or where it is gone; go on from an answer given here."""
        turn, check = steps_in_turn(refit), self.check(refit)
        if self.chosen_part not in turn:
            found = next((p for p in turn if check and check in checks_of(refit, p)), None)
            self.chosen_part = found if found is not None else next_step(refit, LAST) or LAST
            if found is None:
                self.key = self._first(refit)
        elif said_here and not (check and check.open):
            self.go_on(refit)

    def go_on(self, refit: Plan) -> None:
        """To the next check that can be confirmed: in this step, else in the next that is ready."""
        part = self.part
        if next_check(refit, part, self.put_off) is None:
            following = next_step(refit, part, self.put_off)
            if following is None:
                self.put_off.clear()
                following = next_step(refit, part)
            self.chosen_part = part if following is None else following
            self.arrived = self.arrived and self.chosen_part == part
        self.key = self._first(refit)

    def go_to(self, part: str, refit: Plan) -> None:
        """To a step that somebody chose."""
        self.chosen_part, self.arrived = part, True
        self.key = self._first(refit)

    def go_to_check(self, check: Check, refit: Plan) -> None:
        """To a check that somebody chose."""
        self.chosen_part, self.arrived = LAST if check in refit.last else check.part, True
        self.key = check.key

    def next_step(self, by: int, refit: Plan) -> None:
        turn = steps_in_turn(refit)
        if turn:
            self.go_to(turn[(self.at(refit) + by) % len(turn)], refit)

    def at(self, refit: Plan) -> int:
        """Which of the steps in turn it is, from 0."""
        turn = steps_in_turn(refit)
        return turn.index(self.part) if self.part in turn else 0

    def next_check(self, by: int, refit: Plan) -> None:
        checks = self.checks(refit)
        at = next((n for n, c in enumerate(checks) if c.key == self.key), 0)
        if checks:
            self.key, self.arrived = checks[(at + by) % len(checks)].key, True

    def _first(self, refit: Plan) -> str:
        checks = self.checks(refit)
        still = [c for c in checks if c.open] or list(checks)
        found = next_check(refit, self.part, self.put_off) or next_check(refit, self.part)
        return found.key if found else still[0].key if still else ""
