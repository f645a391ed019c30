"""The list of what came off, and the names to offer below it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.suggester import Suggester

from reassembly.job.completing import LEAST, Known, rest_of
from reassembly.job.entries import BagPacked, FastenersRemoved, MarkMade, WeightFound
from reassembly.job.job import Job, bag_code
from reassembly.job.telling import fasteners
from reassembly.job.wording import many
from reassembly.record.trouble import Trouble
from reassembly.screens.lists import LinesByALine
from reassembly.screens.text import column

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.job import Part
    from reassembly.record.desk import Desk

TOLD_LETTERS = 5  # the last ones of a bag: the first are the same on all that are made here


class CameOff(LinesByALine):
    """The list above the line, which is at the end of the list."""

    def action_cursor_down(self) -> None:
        if self.highlighted is None or self.highlighted == self.option_count - 1:
            self.line.focus()
        else:
            super().action_cursor_down()


class SaidBefore(Suggester):
    """What goes on with a name or a piece begun, as it was said before: on this model, in the spec book, in this job,
    and names of parts in any job. Tab or Right takes it."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._desk = desk
        self.known = Known()
        self.job = Job()

    async def get_suggestion(self, value: str) -> str | None:
        if rest := rest_of(value, self.known, self.job):
            return value + rest
        begun = value.lstrip()
        try:
            found = self._desk.parts_named(begun, 1) if len(begun) >= LEAST and "," not in begun else []
        except Trouble:
            return None  # saying the part will tell
        return value + found[0][len(begun) :] if found and found[0].casefold().startswith(begun.casefold()) else None


def told_in_line(number: int, part: Part) -> str:
    """One part of the list, with its number."""
    told = "  ".join(_beside(part))
    return f"{number:>3}  {column(part.name, 26)} {part.how:<12} {told}"


def _beside(part: Part) -> Iterator[str]:
    for bag in part.said(BagPacked):
        yield f"bag ..{bag_code(bag.fact.bag)[-TOLD_LETTERS:]}"
    if part.parent:
        yield f"of {part.parent}"
    if any(part.said(MarkMade)):
        yield "marked"
    weights = sum(1 for _ in part.said(WeightFound))
    if weights:
        yield many(weights, "weight")
    for entry in part.said(FastenersRemoved):
        yield fasteners(entry.fact)
