"""One doubt about a fact that is about to be said, and what every rule of doubt may look at."""

from __future__ import annotations

from functools import singledispatch
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.entries import Entry, Fact, JobOpened
from reassembly.trade.quantity import read
from reassembly.trade.units import USUAL

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from reassembly.job.job import Job, Part
    from reassembly.job.shop import Shop
    from reassembly.trade.quantity import Reading
    from reassembly.trade.units import Dimension

METRE_UNIT, INCH_UNIT = "mm", "in"


class Doubt(NamedTuple):
    """Why a fact deserves a second look: the field it is about ("" for the whole), in words, and whether it is refused.

    What is refused cannot be understood or contradicts; everything else may be said all the same, what `asks` only by
    somebody who has read it.
    """

    field: str
    sentence: str
    refuses: bool
    asks: bool = False


class Seen(NamedTuple):
    """What a rule may look at: the job and shop so far, who is speaking and on which day ("" where not known)."""

    job: Job
    shop: Shop
    parts: Mapping[str, Part]
    who: str = ""
    today: str = ""

    def name(self, part: str) -> str:
        return self.parts[part].name if part in self.parts else part


def refuse(field: str, sentence: str) -> Doubt:
    return Doubt(field, sentence, refuses=True)


def advise(field: str, sentence: str) -> Doubt:
    return Doubt(field, sentence, refuses=False)


def ask(field: str, sentence: str) -> Doubt:
    return Doubt(field, sentence, refuses=False, asks=True)


@singledispatch
def doubtful(fact: object, seen: Seen) -> Iterable[Doubt]:
    """What is doubtful about a fact of one kind. Every kind has to say so: there is no default."""
    raise NotImplementedError(type(fact).__name__)


def unit_of(dimension: Dimension, job: Job) -> str:
    """The unit meant where none is typed: for a torque the one the job was opened with."""
    if dimension != "torque":
        return USUAL[dimension]
    unit = job.opened.torque_unit
    return unit if is_torque_unit(unit) else JobOpened(vehicle="").torque_unit


def is_torque_unit(unit: str) -> bool:
    try:
        return read(f"1 {unit}", "torque").assumed is False
    except ValueError:
        return False


def measured(field: str, text: str, dimension: Dimension, seen: Seen, unit: str = "") -> Iterator[Doubt]:
    """Refused where the text is no such quantity; a unit that was not typed is said. Nothing typed is no doubt."""
    if not text.strip():
        return
    reading, doubt = reading_of(field, text, dimension, unit or unit_of(dimension, seen.job))
    if doubt:
        yield doubt
    elif reading and reading.assumed:
        yield advise(field, f"{reading.typed}: no unit typed, taken as {reading.shown}")


def reading_of(field: str, text: str, dimension: Dimension, unit: str) -> tuple[Reading | None, Doubt | None]:
    """The quantity, or the doubt that says why it is none."""
    try:
        return read(text, dimension, unit), None
    except ValueError as error:
        return None, refuse(field, str(error))


def said_now(fact: Fact, seen: Seen) -> Entry[Fact]:
    """The entry the fact would become, later than everything in the job: to ask what would follow from it."""
    last = seen.job.entries[-1] if seen.job.entries else None
    return Entry(
        bench=last.bench if last else "",
        number=max((e.number for e in seen.job.entries), default=0) + 1,
        hlc=last.hlc + 1 if last else 1,
        time=seen.today,
        who=seen.who,
        job=seen.job.id,
        previous="",
        fact=fact,
    )
