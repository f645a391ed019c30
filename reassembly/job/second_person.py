"""What whoever signs has to know of a second person: added only lately, or named without a badge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.entries import ExceptionAccepted, SecondCheckMade
from reassembly.job.heard import Heard, work_on
from reassembly.job.job import parts
from reassembly.job.newcomer import newcomers

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from reassembly.job.checks import Check
    from reassembly.job.job import Job


def second_people(job: Job, checks: Iterable[Check]) -> Mapping[str, tuple[str, ...]]:
    """By key, of each safety-critical check that a second person answered: what to know of that person, in sentences.
    Those that have nothing to say are left out."""
    asked = tuple(checks)
    found: dict[str, tuple[str, ...]] = {key: (told,) for key, told in newcomers(job, asked).items()}
    for key, told in _typed(job, asked):
        found[key] = (*found.get(key, ()), told)
    return found


def _typed(job: Job, checks: Iterable[Check]) -> Iterator[tuple[str, str]]:
    """Where a name was typed and no badge scanned. An entry that does not say how it was named says nothing here."""
    every, heard = parts(job), Heard.of(job)
    for check in checks:
        answer = check.answer
        match answer.fact if answer and check.safety else None:
            case SecondCheckMade(named="typed") if answer:
                work = max(work_on(check, every, heard), key=lambda e: e.order, default=answer)
                yield check.key, _sentence(answer.who, work.who)
            case ExceptionAccepted(accepted_by=person, named="typed") if answer:
                yield check.key, _sentence(person, answer.who)


def _sentence(person: str, at_work: str) -> str:
    return f"{person} named by typing at {at_work}'s bench, no badge"
