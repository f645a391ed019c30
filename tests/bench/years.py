"""A record as it is after years of work, said through the real journal many words to a transaction."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from labels.code import Kind, make
from reassembly.job.entries import CustomerNamed, SignedOff
from reassembly.job.job import Job
from reassembly.job.plan import plan
from reassembly.record.customer import Detail
from reassembly.record.desk import Desk
from tests.bench import stories

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from reassembly.job.entries import Entry, Fact
    from reassembly.record.writing import Writing

JOBS_A_YEAR = 1250
IN_HAND = 12
"""Jobs at the end that are taken apart and not yet put back."""

JOBS_A_TRANSACTION = 25
_SECONDS = 120  # between two words: ten years take ten years
_FIRST_DAY = datetime(2016, 1, 4, 8, tzinfo=UTC)


def build(folder: Path, jobs: int, progress: Callable[[int], None] = lambda _jobs: None) -> None:
    """Keep so many jobs in an empty folder. Each is put back while the next ones are taken apart, as in a workshop."""
    clock = _Clock()
    with Desk.open(folder, now=clock, trusted=lambda: True, who=stories.WORKER) as desk:
        for fact in stories.shop():
            desk.say(fact)
        workshop = _Workshop()
        for start in range(0, jobs, JOBS_A_TRANSACTION):
            with desk.journal.writing() as writing:
                for number in range(start, min(start + JOBS_A_TRANSACTION, jobs)):
                    workshop.take_apart(writing, number)
                    if number >= IN_HAND:
                        workshop.put_back(writing, number - IN_HAND)
            progress(start)
        _look_at(desk, workshop, jobs)


def _look_at(desk: Desk, workshop: _Workshop, jobs: int) -> None:
    """One of each pattern is closed with nothing open, and those in hand are not."""
    for number in range(min(stories.PATTERNS, jobs - IN_HAND)):
        still = plan(desk.job(workshop.ids[number])).open
        assert not still, f"job {number}: {[check.wording for check in still]}"
    assert len(desk.jobs(closed=False)) == min(IN_HAND, jobs)


class _Clock:
    """Nanoseconds since 1970, some seconds later each time it is read."""

    def __init__(self) -> None:
        self._now = int(_FIRST_DAY.timestamp()) * 1_000_000_000

    def __call__(self) -> int:
        self._now += _SECONDS * 1_000_000_000
        return self._now


class _Workshop:
    """The jobs said so far."""

    def __init__(self) -> None:
        self.ids: list[str] = []
        self._in_hand: dict[int, list[Entry[Any]]] = {}

    def take_apart(self, writing: Writing, number: int) -> None:
        job = writing.new_job()
        self.ids.append(job)

        def say(fact: Fact, detail: Detail | None = None) -> Entry[Any]:
            return writing.say(fact, who=stories.WORKER, job=job, detail=detail)

        def new_bag() -> str:
            return make(Kind.BAG, writing.bench, writing.allot(f"code {writing.bench} {Kind.BAG}"))

        earlier = self.ids[number - 5] if stories.is_come_back(number) else ""
        detail = Detail.of(stories.customer(number))
        self._in_hand[number] = [
            say(stories.check_in(number, earlier)),
            say(CustomerNamed(digest=detail.digest), detail),
            *map(say, stories.strip_down(number, new_bag)),
        ]

    def put_back(self, writing: Writing, number: int) -> None:
        job = self.ids[number]
        apart = Job.of(self._in_hand.pop(number))
        for who, fact in stories.refit(apart):
            writing.say(fact, who=who, job=job)
        covers = {bench: head.number for bench, head in writing.heads.items()}
        asked = tuple(check.key for check in plan(apart).checks)  # what later versions ask besides opens none of them
        writing.say(SignedOff(covers=covers, checks=asked), who=stories.WORKER, job=job)
