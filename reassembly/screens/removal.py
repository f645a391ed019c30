"""How one part came off, as a form."""

from __future__ import annotations

import msgspec

from reassembly.job.entries import PartRemoved
from reassembly.job.job import called, part_id
from reassembly.job.namesake import numbered, question
from reassembly.screens.fields import Misfit
from reassembly.screens.form import FormScreen
from reassembly.screens.twice import Twice, asked_twice


class RemovalScreen(FormScreen[PartRemoved]):
    """How a part came off. The part's id is made of its name; one that is said again keeps its id."""

    def __init__(self, start: PartRemoved, heading: str = "WHAT CAME OFF?") -> None:
        super().__init__(PartRemoved, heading, {"part": start.part}, start)
        self._twice = Twice()

    def fact(self) -> PartRemoved:
        fact = super().fact()
        return fact if fact.part else msgspec.structs.replace(fact, part=part_id(self.job, fact.name, fact.side))

    def result(self, fact: PartRemoved) -> PartRemoved:
        return numbered(fact, self.known)

    def action_say(self) -> None:
        try:
            fact = self.fact()
        except Misfit:
            super().action_say()
            return
        too_late = self.replaces and self.job.entry(self.replaces) is None  # told when it is said
        asked = "" if too_late else asked_twice(question([fact], self.known))
        if asked and not self._twice.sure(f"{called(fact)} {fact.how}", self.bench.clock()):
            self.answer(asked, "warn")
        else:
            super().action_say()
