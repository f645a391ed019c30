"""Property classes and grades of bolts: what the head shows, and the loads that follow."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from reassembly.trade.quantity import of
from reassembly.trade.thread import Thread, stress_area
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from pint import Quantity


class Strength(NamedTuple):
    """Least values up to and with one diameter, in the unit of its grade (MPa and mm, or psi and inch)."""

    largest: str
    tensile: int
    yield_: int
    proof: int


@dataclass(frozen=True, slots=True)
class Grade:
    """A property class of ISO 898-1 or a grade of SAE J429, with what its head shows."""

    name: str
    inch: bool
    head_mark: str
    strengths: tuple[Strength, ...]

    @property
    def source(self) -> str:
        return "SAE J429" if self.inch else "ISO 898-1:2013"

    def strength(self, thread: Thread) -> Strength:
        """The row for a thread. Raises ValueError where the standard has none."""
        if thread.inch != self.inch:
            kind, other = ("inch", "SAE grade 2, 5 or 8") if thread.inch else ("metric", "a class such as 8.8")
            raise ValueError(f"{self.name} does not go with the {kind} thread {thread.designation}: type {other}")
        for row in self.strengths:
            if thread.major <= Decimal(row.largest):
                return row
        raise ValueError(f"{self.source} has no {self.name} as thick as {thread.designation}: look at the head again")

    def stress(self, number: int) -> Quantity[float]:
        return of(float(number), "psi" if self.inch else "MPa")


def _iso(name: str, *rows: tuple[str, int, int, int]) -> Grade:
    return Grade(name, False, f"{name} on the head", tuple(Strength(*row) for row in rows))


def _sae(name: str, mark: str, *rows: tuple[str, int, int, int]) -> Grade:
    return Grade(name, True, mark, tuple(Strength(*row) for row in rows))


# Largest diameter, Rm, Rp0.2 (ReL, Rpf), proof stress. ISO 898-1:2013 table 3, MPa, as in a fastener maker's copy;
# 5.6 from memory. SAE J429, psi: proof as on a supplier's page; yield, thick Gr 2 and Gr 5 and the marks from memory.
GRADES: dict[str, Grade] = {
    grade.name: grade
    for grade in (
        _iso("4.6", ("39", 400, 240, 225)),
        _iso("4.8", ("39", 420, 340, 310)),
        _iso("5.6", ("39", 500, 300, 280)),
        _iso("5.8", ("39", 520, 420, 380)),
        _iso("6.8", ("39", 600, 480, 440)),
        _iso("8.8", ("16", 800, 640, 580), ("39", 830, 660, 600)),
        _iso("9.8", ("16", 900, 720, 650)),
        _iso("10.9", ("39", 1040, 940, 830)),
        _iso("12.9", ("39", 1220, 1100, 970)),
        _sae("grade 2", "no lines", ("0.75", 74_000, 57_000, 55_000), ("1.5", 60_000, 36_000, 33_000)),
        _sae("grade 5", "three lines", ("1", 120_000, 92_000, 85_000), ("1.5", 105_000, 81_000, 74_000)),
        _sae("grade 8", "six lines", ("1.5", 150_000, 130_000, 120_000)),
    )
}


def read_grade(text: str) -> Grade:
    """Understand "8.8", "10,9", "class 10.9", "grade 5", "Gr. 8", "SAE 8", "5". Raises ValueError in one sentence."""
    plain = " ".join(text.lower().split()).replace(",", ".")
    name = re.sub(r"^(?:(?:property|class|cl|sae|grade|gr|g)\b[ .]*|g(?:r(?:ade)?)?(?=\d))+", "", plain)
    grade = GRADES.get(name) or GRADES.get(f"grade {name}")
    if grade is None:
        known = ", ".join(GRADES)
        typed = text[:20] if text.isprintable() else "that"
        raise ValueError(f"{typed} is not in the table of classes: type one of {known}")
    return grade


def _load(thread: Thread, grade: Grade, number: int, name: str) -> Workings[Quantity[float]]:
    area = stress_area(thread.diameter, thread.pitch, inch=thread.inch)
    stress = grade.stress(number)
    load = (stress * area).to("lbf" if thread.inch else "N")
    return Workings(load, f"{name} x As", {name: stress, "As": area}, grade.source)


def proof_load(thread: Thread, grade: Grade) -> Workings[Quantity[float]]:
    """The load a bolt has to bear without staying longer: proof stress x stress area, N (lbf for inch threads)."""
    return _load(thread, grade, grade.strength(thread).proof, "proof stress")


def yield_load(thread: Thread, grade: Grade) -> Workings[Quantity[float]]:
    """The load at which a bolt begins to stay longer: least yield x stress area."""
    return _load(thread, grade, grade.strength(thread).yield_, "yield strength")


def tensile_load(thread: Thread, grade: Grade) -> Workings[Quantity[float]]:
    """The least load at which a bolt breaks: tensile strength x stress area."""
    return _load(thread, grade, grade.strength(thread).tensile, "tensile strength")
