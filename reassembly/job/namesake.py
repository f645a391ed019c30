"""Two parts called the same, and one part that comes off twice: asked about first, and told apart by a number."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from msgspec import structs

from reassembly.job.entries import CheckConfirmed, Fact, PartRemoved
from reassembly.job.job import called, fold, parts

if TYPE_CHECKING:
    from collections.abc import Iterable

    from reassembly.job.job import Job, Part


def namesake(fact: PartRemoved, job: Job) -> Part | None:
    """Another part of the job that came off under the same name and side."""
    name = fold(called(fact))
    others = (p for p in parts(job).values() if p.removed and p.id != fact.part)
    return next((p for p in others if fold(p.name) == name), None)


class Question(NamedTuple):
    """What to ask before a part is said, and what saying it all the same does; `went_back` where the other part with
    this name is back already, and may be the one that came off again."""

    told: str
    does: str
    went_back: bool = False


def question(facts: Iterable[Fact], job: Job) -> Question | None:
    """What to ask before these facts are said; None where no part is called like another one."""
    for fact in facts:
        if not isinstance(fact, PartRemoved):
            continue
        if twin := namesake(fact, job):
            second = f"records a second one, {called(numbered(fact, job))}"
            back = _went_back(twin, job)
            return Question(f"{twin.name} {'went back' if back else 'is off'} already", second, back)
        same = parts(job).get(fact.part)
        if same and same.removed and same.how == fact.how and not _went_back(same, job):
            return Question(f"{same.name} is {same.how} and never went back", "records that it came off twice")
    return None


def _went_back(part: Part, job: Job) -> bool:
    back = f"{part.removed.id}.back" if part.removed else ""
    return any(e.fact.check == back for e in job.said(CheckConfirmed))


def numbered(fact: PartRemoved, job: Job) -> PartRemoved:
    """The removal with a number in the name where another part is called the same."""
    number, told = 1, fact
    while namesake(told, job):
        number += 1
        told = structs.replace(fact, name=f"{fact.name} {number}")
    return told


def told_apart(facts: Iterable[Fact], job: Job) -> tuple[Fact, ...]:
    """The facts as they stand, but each removal under a name of its own."""
    return tuple(numbered(fact, job) if isinstance(fact, PartRemoved) else fact for fact in facts)
