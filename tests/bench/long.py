"""A job far longer than usual: what is worked out anew after each word said of it, and at its sign-off."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING

from labels.code import Kind, make
from reassembly.job.capture import capture
from reassembly.job.entries import FindingNoted
from reassembly.job.plan import plan
from reassembly.job.signoff import signoff
from reassembly.record.desk import Desk
from tests.bench import stories
from tests.bench.measure import Row, by_turns, timed
from tests.bench.typed import LINE

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.bench.records import Records

AS_MUCH_AS_A_VEHICLE_HAS, MORE_THAN_ANYBODY_DOES = 300, 2000  # parts


def long_jobs(records: Records) -> Iterator[Row]:
    """Of a job with many parts, all but signed off; the floor is a second."""
    for parts in AS_MUCH_AS_A_VEHICLE_HAS, MORE_THAN_ANYBODY_DOES:
        folder = records.scratch / f"{parts}-parts"
        _all_put_back(folder, parts)
        with Desk.open(folder, who=stories.WORKER) as desk:
            desk.open_job = desk.jobs()[0].id
            yield from _rows(desk, parts, None if parts == MORE_THAN_ANYBODY_DOES else 1.0)


def _rows(desk: Desk, parts: int, aim: float | None) -> Iterator[Row]:
    def said(turn: int) -> None:
        desk.say(FindingNoted(what="scratch", where=f"place {turn}"))

    def said_and_planned(turn: int) -> None:
        said(turn)
        plan(desk.job())

    def judged(_turn: int) -> None:
        signoff(desk.job(), desk.shop())

    def typed(turn: int) -> None:
        capture(LINE[: turn * 7 % len(LINE)], job, shop)

    (planned,) = by_turns(5, timed(said_and_planned))
    yield Row(f"a word said and the refit planned anew, {parts:,} parts", 1000, planned, "ms", aim)
    said(0)
    (opened,) = by_turns(1, timed(judged))
    yield Row(f"sign-off opened, {parts:,} parts", 1000, opened, "ms", aim)
    job, shop = desk.job(), desk.shop()
    (key,) = by_turns(20, timed(typed))
    yield Row(f"computed at a key of strip-down, {parts:,} parts", 1000, key, "ms", aim)


def _all_put_back(folder: Path, parts: int) -> None:
    serials = count()
    with Desk.open(folder, who=stories.WORKER) as desk:
        for fact in stories.shop():
            desk.say(fact)
        job = desk.open_new(stories.check_in(0, ""))
        desk.say_all(list(stories.many_parts(parts, lambda: make(Kind.BAG, desk.bench, next(serials)))))
        answers = list(stories.refit(desk.job()))
        with desk.journal.writing() as writing:
            for who, fact in answers:
                writing.say(fact, who=who, job=job)
