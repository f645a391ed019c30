"""What the journal costs: an entry kept, a job opened, a vehicle found, in a long record and in a short one."""

from __future__ import annotations

import sqlite3
from itertools import count
from random import Random
from time import perf_counter
from typing import TYPE_CHECKING

from labels.code import Kind, make
from reassembly.job.plan import plan
from reassembly.job.uses import WHATS
from reassembly.record.desk import Desk
from reassembly.record.schema import PRAGMAS
from tests.bench import stories
from tests.bench.measure import Row, by_turns, timed

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from reassembly.job.uses import What
    from tests.bench.records import Records


def durable(records: Records) -> Iterator[Row]:
    """Entries a second, each on the disk before the next is said: what is said while a vehicle is taken apart.

    The floor inserts rows as long, with the same primary key, without triggers, search tables and lock.
    """
    with Desk.open(records.small, who="ann") as small, Desk.open(records.large, who="ann") as large:
        floor, week, years = by_turns(
            40, _raw(records.scratch / "raw.db", small), lambda _: _said(small), lambda _: _said(large)
        )
    yield Row("durable entry, one week's record", floor, week, "a second", 0.85, at_least=True)
    yield Row(f"durable entry, {records.years} years", floor, years, "a second", 0.85, at_least=True)


def _said(desk: Desk) -> float:
    desk.open_new(stories.check_in(0, ""))
    serials = count()
    facts = list(stories.strip_down(0, lambda: make(Kind.BAG, desk.bench, next(serials))))
    at = perf_counter()
    for fact in facts:
        desk.say(fact)
    return len(facts) / (perf_counter() - at)


def _raw(path: Path, desk: Desk) -> Callable[[int], float]:
    connection = sqlite3.connect(path, isolation_level=None)
    for name, value in PRAGMAS.items():
        connection.execute(f"pragma {name} = {value}")
    connection.execute(
        "create table entry (bench text, number integer, hlc integer, job text, kind text, body text, hash text, "
        "primary key (bench, number)) strict, without rowid"
    )
    job = f"{desk.bench}-1"
    with desk.journal.folder.reading() as reading:
        like = reading.execute("select * from entry where job = ? order by number limit 90", [job]).fetchall()

    def insert(turn: int) -> float:
        rows = [(bench, turn * len(like) + n, *rest) for n, (bench, _, *rest) in enumerate(like)]
        at = perf_counter()
        for row in rows:
            connection.execute("insert into entry values (?, ?, ?, ?, ?, ?, ?)", row)
        return len(rows) / (perf_counter() - at)

    return insert


def answers(records: Records) -> Iterator[Row]:
    """The same questions asked of both records, about jobs with the same number of entries; the week's is the floor."""
    questions: dict[str, Callable[[Desk, int], object]] = {
        "open a job": lambda desk, number: plan(desk.job(_id(desk, number))),
        "find by registration": lambda desk, number: desk.jobs(stories.registration(number).replace(" ", "").lower()),
        "whose bag is this": lambda desk, number: desk.owner_of(make(Kind.BAG, desk.bench, number)),
        "list the open jobs": lambda desk, _: desk.jobs(closed=False),
        "people and wrenches": lambda desk, _: desk.shop(),
        "names of parts that begin so": lambda desk, _: desk.parts_named("gea"),
    }
    chance = Random(2016)
    rounds = (records.jobs - stories.PATTERNS) // stories.PATTERNS
    with Desk.open(records.small) as small, Desk.open(records.large) as large:
        for what, ask in questions.items():

            def in_small(turn: int, ask: Callable[[Desk, int], object] = ask) -> None:
                ask(small, turn % stories.PATTERNS)

            def in_large(turn: int, ask: Callable[[Desk, int], object] = ask) -> None:
                ask(large, turn % stories.PATTERNS + stories.PATTERNS * chance.randrange(rounds))

            floor, ours = by_turns(5 * stories.PATTERNS, timed(in_small), timed(in_large))
            yield Row(f"{what}, {records.jobs} jobs", floor, ours, "ms", 1.3)
    floor, ours = by_turns(20, _opened(records.small), _opened(records.large))
    yield Row(f"open the record, {records.jobs} jobs", floor, ours, "ms", 1.3)


def _opened(folder: Path) -> Callable[[int], float]:
    return timed(lambda _: Desk.open(folder).close())


def _id(desk: Desk, number: int) -> str:
    return f"{desk.bench}-{number + 1}"


LISTED = 500
"""Jobs, as on the screen."""


def recall(records: Records) -> Iterator[Row]:
    """What is on the screen of whatever most was done with, in all the years; the floor is a second. Of persons the
    two: one did nearly all there is, and the whole list of that is read as well."""
    with Desk.open(records.large) as desk:
        for what in WHATS:
            for name, uses in _busiest(desk, what, 2 if what == "person" else 1):

                def ask(_: int, what: What = what, name: str = name) -> None:
                    found = desk.recall_outline(what, name, "", LISTED)
                    desk.recall_in(found, found.jobs[0])

                (ours,) = by_turns(3, timed(ask))
                yield Row(f"recall of a {what}, {uses:,} uses", 1000, ours, "ms", 1.0)
        ((name, uses),) = _busiest(desk, "person", 1)
        (ours,) = by_turns(1, timed(lambda _: desk.recall("person", name)))
        yield Row(f"the same in full, for table and PDF, {uses:,} uses", 1000, ours, "ms", None)


def _busiest(desk: Desk, what: What, count: int) -> list[tuple[str, int]]:
    with desk.journal.folder.reading() as connection:
        return connection.execute(
            "select max(typed), count(*) as uses from found_use where what = ? group by key order by uses desc limit ?",
            [what, count],
        ).fetchall()


def label(records: Records) -> Iterator[Row]:
    """The picture of a bag label at printer dots; the floor is the library's own image of its code."""
    from qrcode.constants import ERROR_CORRECT_H
    from qrcode.main import QRCode

    from labels.picture import SIZES, picture
    from reassembly.record.printing import labels_of

    with Desk.open(records.small) as desk:
        labels = labels_of(desk.job(f"{desk.bench}-1"))

    def library(turn: int) -> None:
        code = QRCode(version=1, error_correction=ERROR_CORRECT_H, box_size=6, border=4)
        code.add_data(labels[turn % len(labels)].code)
        code.make(fit=False)
        code.make_image().get_image()

    def ours(turn: int) -> None:
        picture(labels[turn % len(labels)], SIZES["62x29"], 300)

    floor, drawn = by_turns(50, timed(library), timed(ours))
    yield Row("bag label at 300 dpi, text and two symbols", floor, drawn, "ms", 2.0)
