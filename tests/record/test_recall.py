"""The search table of recalls says what a slow look through every entry says, and no more."""

from __future__ import annotations

import sqlite3
import tempfile
from datetime import datetime, timedelta
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any

from hypothesis import given, settings
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.entries import Entry, Stage, read
from reassembly.job.uses import WHATS
from reassembly.record import finding, schema
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from tests.job.naive import standing
from tests.record.bench import START, Wall, desk_in, with_job

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.job.recall import Recall
    from reassembly.job.uses import What

DAY = 86_400_000
NAMES = {
    "wrench": ("T3", "t-3", "T5", ""),
    "batch": ("7731", "B 1", ""),
    "part number": ("INV-1", "inv 1", "INV-2"),
    "fluid batch": ("L4", ""),
    "person": ("ann", "Ann ", "ben"),
}


def fact(chance: Random, last: dict[str, str], bench: str) -> said.Fact:
    """One fact about two parts, with references that mostly lead somewhere."""

    def named(what: str) -> str:
        return chance.choice(NAMES[what])

    def earlier(kind: str) -> str:
        return last.get(kind, "KD.0") if chance.random() < 0.8 else f"{bench}.{chance.randint(0, 30)}"

    part = chance.choice(("pan", "flange"))
    sayings: tuple[Callable[[], said.Fact], ...] = (
        lambda: said.PartRemoved(part=part, name=chance.choice((part, "cover")), side=chance.choice(("", "left"))),
        lambda: said.TorqueSpecified(part=part, stages=(Stage("torque", "30 N.m"), Stage("angle", "90 deg"))),
        lambda: said.FastenersRemoved(part=part, count=4, reuse="renew"),
        lambda: said.RenewalNeeded(part=part, what="gasket", part_number=named("part number")),
        *[
            lambda: said.StageTightened(
                specification=earlier("TorqueSpecified"),
                stage=chance.randint(1, 3),
                position=chance.choice((None, 1, 2)),
                wrench=named("wrench"),
            )
        ]
        * 5,
        *[
            lambda: said.RenewalReceived(
                needed=earlier(chance.choice(("RenewalNeeded", "FastenersRemoved"))),
                batch=named("batch"),
                part_number=chance.choice(("", *NAMES["part number"])),
            )
        ]
        * 2,
        lambda: said.FluidFilled(fluid="gear oil", amount="1 l", batch=named("fluid batch")),
        lambda: said.SecondCheckMade(check=f"{earlier('FastenersRemoved')}.second"),
        lambda: said.ExceptionAccepted(
            check=f"{earlier('RenewalNeeded')}.fitted", reason="none", accepted_by=named("person")
        ),
        lambda: said.SignedOff(covers={}),
        *[lambda: said.EntryStruck(entry=f"{bench}.{chance.randint(1, 40)}", why="a slip")] * 3,
    )
    return chance.choice(sayings)()


def tell(desk: Desk, wall: Wall, seeds: list[int]) -> None:
    """A history of two jobs and of the wrench rack, on a clock that is sometimes wrong."""
    last: dict[str, dict[str, str]] = {"A-1": {}, "A-2": {}}
    for seed in seeds:
        chance = Random(seed)
        wall.milliseconds += chance.choice((0, 1000, DAY, 5 * DAY))
        wall.trusted = chance.random() < 0.8
        desk.who = chance.choice(NAMES["person"])
        kind = chance.random()
        job = chance.choice(("A-1", "A-2"))
        day = datetime.fromtimestamp(wall.milliseconds / 1000).astimezone().date().isoformat()
        if kind < 0.05:
            desk.say(said.WrenchCalibrated(wrench="T3", on=day))
        elif kind < 0.1:
            desk.say(said.WrenchFailed(wrench="T3", on=day))
        elif kind < 0.15:
            desk.say(said.CustomerNamed(digest=""), job, Customer(name="Jo Lark", phone="0555 1"))
        elif kind < 0.18:
            desk.erase(job, "asked")
        else:
            back = 400 * DAY if not wall.trusted and chance.random() < 0.5 else 0
            wall.milliseconds -= back
            entry = desk.say(fact(chance, last[job], desk.bench), job)
            wall.milliseconds += back
            last[job][type(entry.fact).__name__] = entry.id


def plain(text: str) -> str:
    return "".join(c for c in text.casefold() if c.isalnum()).replace("o", "0").replace("i", "1")


def slowly(desk: Desk, what: str, name: str, since: str = "", until: str = "9999") -> list[tuple[Any, ...]]:
    """The same, by looking at every entry there is: (entry, what was done, part, position), the newest first."""
    every = [read(body) for _, _, body in desk.journal.bodies()]
    found: list[tuple[Any, ...]] = []
    for job in {e.job for e in every}:
        whole = sorted((e for e in every if e.job == job), key=lambda e: e.order)
        stands = standing(whole)
        for e in stands:
            before = {o.id: o for o in whole if o.order < e.order}
            done, part, names = what_it_did(e, before)
            days = {e.time[:10]}
            if not e.clock_trusted:
                zone = datetime.fromisoformat(e.time).tzinfo
                days.add(datetime.fromtimestamp((e.hlc >> 16) / 1000, tz=zone).date().isoformat())
            if plain(name) in {plain(n) for n in names.get(what, ())} and any(since <= day <= until for day in days):
                found.append((e.order, e.id, done, called(part, stands), getattr(e.fact, "position", None)))
    return [row[1:] for row in sorted(found, reverse=True)]


def what_it_did(e: Entry[Any], before: dict[str, Entry[Any]]) -> tuple[str, str, dict[str, list[str]]]:
    match e.fact:
        case said.StageTightened(specification=spec, wrench=wrench):
            asked = before.get(spec)
            part = asked.fact.part if asked and isinstance(asked.fact, said.TorqueSpecified) else ""
            return "tightened", part, {"wrench": [wrench], "person": [e.who]}
        case said.RenewalReceived(needed=needed, batch=batch, part_number=number):
            asked = before.get(needed)
            numbers = [number, asked.fact.part_number if asked and isinstance(asked.fact, said.RenewalNeeded) else ""]
            part = getattr(asked.fact, "part", "") if asked else ""
            return "on hand", part, {"batch": [batch], "part number": numbers}
        case said.RenewalNeeded(part=part, part_number=number):
            return "asked for", part, {"part number": [number]}
        case said.FluidFilled(batch=batch):
            return "filled", "", {"fluid batch": [batch]}
        case said.SecondCheckMade(check=check):
            asked = before.get(check.removesuffix(".second"))
            return "second check", getattr(asked.fact, "part", "") if asked else "", {"person": [e.who]}
        case said.ExceptionAccepted(check=check, accepted_by=person):
            asked = before.get(check.removesuffix(".fitted"))
            return "exception", getattr(asked.fact, "part", "") if asked else "", {"person": [e.who, person]}
        case said.SignedOff():
            return "signed off", "", {"person": [e.who]}
    return "", "", {}


def outlined(desk: Desk, what: What, name: str, since: str, found: Recall) -> None:
    """What the screen shows before it is read through, and job by job, is the same."""
    outline = desk.recall_outline(what, name, since, 1)
    assert (outline.summary, outline.notes) == (found.summary, found.notes)
    assert [(each.job, each.uses) for each in outline.jobs] == [(job, len(uses)) for job, uses in found.jobs.items()]
    assert outline.vehicles == {each.job: found.vehicles[each.job] for each in outline.jobs[:1]}
    for each in outline.jobs:
        assert list(desk.recall_in(outline, each).uses) == found.jobs[each.job]


def called(part: str, stands: list[Entry[Any]]) -> str:
    for e in reversed(stands):
        if isinstance(e.fact, said.PartRemoved) and e.fact.part == part:
            return f"{e.fact.name}, {e.fact.side}" if e.fact.side else e.fact.name
    return part


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(0, 2**40), min_size=5, max_size=45), st.integers(0, 60))
def test_a_recall_finds_what_a_look_at_every_entry_finds(seeds: list[int], days: int) -> None:
    wall = Wall()
    with tempfile.TemporaryDirectory() as folder, desk_in(Path(folder), wall) as desk:
        tell(desk, wall, seeds)
        since = datetime.fromtimestamp((START + days * DAY) / 1000).astimezone().date().isoformat()
        for what in WHATS:
            for name in filter(None, NAMES[what]):
                for first in ("2000-01-01", since):
                    found = desk.recall(what, name, first)
                    told = [(u.entry, u.did, u.part, u.position) for u in found.uses]
                    assert told == slowly(desk, what, name, first), (what, name, first)
                    outlined(desk, what, name, first, found)
        doubted = desk.recall("wrench", "T3")
        assert [(u.entry, u.did, u.part, u.position) for u in doubted.uses] == slowly(
            desk, "wrench", "T3", doubted.window.since, doubted.window.until or "9999"
        )
        for job, vehicle in doubted.vehicles.items():
            customer = desk.customer(job)
            assert (vehicle.customer, vehicle.phone) == ((customer.name, customer.phone) if customer else ("", ""))
            named = any(isinstance(e.fact, said.CustomerNamed) for e in desk.job(job).entries)
            assert vehicle.erased == (named and customer is None)
        with desk.journal.folder.writing() as connection:
            along = finding.contents(connection)
            finding.rebuild(connection)
            assert finding.contents(connection) == along


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(0, 2**40), min_size=5, max_size=30), st.randoms())
def test_entries_that_came_from_another_bench_are_recalled_the_same(seeds: list[int], chance: Random) -> None:
    wall = Wall()
    with tempfile.TemporaryDirectory() as here, tempfile.TemporaryDirectory() as there:
        with desk_in(Path(here), wall) as desk:
            tell(desk, wall, seeds)
            bodies = desk.journal.after(desk.bench, 0)
            with desk.journal.folder.reading() as connection:
                along = finding.contents(connection)["use"]
        with desk_in(Path(there), Wall(wall.milliseconds + DAY)) as other:
            while bodies:
                with other.journal.writing() as writing:
                    for _ in range(chance.randint(1, len(bodies))):
                        writing.take(bodies.pop(0))
            with other.journal.folder.reading() as connection:
                assert finding.contents(connection)["use"] == along


def test_the_days_in_doubt_run_from_the_last_good_calibration_to_the_next_both_included(tmp_path: Path) -> None:
    first = datetime.fromtimestamp(START / 1000).astimezone().date()

    def day(number: int) -> str:
        return (first + timedelta(days=number)).isoformat()

    wall = Wall()
    with desk_in(tmp_path, wall) as desk:
        with_job(desk)
        spec = desk.say(said.TorqueSpecified(part="flange", stages=(Stage("torque", "60 N.m"),)))
        for number in range(12):
            desk.say(said.StageTightened(specification=spec.id, stage=1, position=number + 1, wrench="T3"))
            wall.milliseconds += DAY
        assert len(desk.recall("wrench", "T3").uses) == 12
        for fact in (
            said.WrenchCalibrated(wrench="T3", on=day(0)),
            said.WrenchCalibrated(wrench="T3", on=day(3)),
            said.WrenchFailed(wrench="T3", on=day(6)),
            said.WrenchCalibrated(wrench="T3", on=day(8)),
        ):
            desk.say(fact)
        assert [u.position for u in desk.recall("wrench", "T3").uses] == [9, 8, 7, 6, 5, 4]
        assert [u.position for u in desk.recall("wrench", "T3", day(10)).uses] == [12, 11]


def test_every_job_is_told_with_its_vehicle_and_whom_to_call(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        for registration, name in (("4TN 881", "Jo Lark"), ("9XX 10", "Mo Finch")):
            job = with_job(desk, registration=registration, order=f"R-{registration[0]}")
            desk.say(said.CustomerNamed(digest=""), details=Customer(name=name, phone="0555 1"))
            desk.say(said.PartRemoved(part="flange", name="rear flange", side="left"))
            spec = desk.say(said.TorqueSpecified(part="flange", stages=(Stage("torque", "60 N.m"),)))
            slip = desk.say(said.StageTightened(specification=spec.id, stage=1, position=1, wrench="T3"))
            desk.say(said.EntryStruck(entry=slip.id, why="it was T5"))
            desk.say(said.StageTightened(specification=spec.id, stage=1, position=2, wrench="T3", value="61 N.m"))
        desk.erase(job, "asked by letter")
        found = desk.recall("wrench", "t3")
        assert [(u.part, u.about, u.position, u.value, u.who) for u in found.uses] == [
            ("rear flange, left", "60 N.m", 2, "61 N.m", "ann")
        ] * 2
        newest, oldest = (found.vehicles[j] for j in found.jobs)
        assert (oldest.order, oldest.vehicle, oldest.registration) == ("R-4", "Kestrel van", "4TN 881")
        assert oldest.told == "Jo Lark, 0555 1"
        assert (newest.registration, newest.told) == ("9XX 10", "details erased on request")
        assert "Finch" not in repr(found)


def test_a_name_that_is_no_text_is_looked_for_and_not_found(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        for name in ("\udce9", "", "x" * 10_000, "' or 1=1", "\x00"):
            assert desk.recall("batch", name).uses == ()


def test_a_record_of_an_older_program_can_be_recalled_from(tmp_path: Path, monkeypatch: Any) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        desk.say(said.PartRemoved(part="flange", name="rear flange"))
        spec = desk.say(said.TorqueSpecified(part="flange", stages=(Stage("torque", "60 N.m"),)))
        desk.say(said.StageTightened(specification=spec.id, stage=1, wrench="T3"))
    connection = sqlite3.connect(tmp_path / "shop.db", isolation_level=None)
    for statement in (  # as the step before left it
        "drop table found_use",
        "alter table found_part drop column called",
        "alter table found_part drop column hlc",
        "delete from _sqlite_migrations where name = 'recall'",
    ):
        connection.execute(statement)
    assert not schema.is_current(connection)
    connection.close()
    told: list[tuple[int, int]] = []
    with Desk.open(tmp_path, progress=lambda done, total: told.append((done, total))) as desk:
        assert [u.part for u in desk.recall("wrench", "T3").uses] == ["rear flange"]
    assert told == [(0, 1), (1, 1)]  # a minute at ten years: nobody waits that long for a screen that says nothing


def test_what_was_said_before_its_specification_is_the_same_after_a_rebuild(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        desk.say(said.StageTightened(specification=f"{desk.bench}.3", stage=1, wrench="T3"))
        desk.say(said.TorqueSpecified(part="flange", stages=(Stage("torque", "60 N.m"),)))
        desk.say(said.ExceptionAccepted(check=f"{desk.bench}.4.back", reason="of itself", accepted_by="ben"))
        with desk.journal.folder.writing() as connection:
            along = finding.contents(connection)
            finding.rebuild(connection)
            assert finding.contents(connection) == along
        assert [use.part for use in desk.recall("wrench", "T3").uses] == [""]
