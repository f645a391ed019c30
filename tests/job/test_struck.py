"""What goes with a fact that is withdrawn, and what comes back with one that stands after all."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from reassembly.job import entries as said
from reassembly.job.checks import checks
from reassembly.job.job import Job, parts
from reassembly.job.struck import bring_back, may_be_withdrawn, struck_out, withdrawal, without
from tests.job.histories import entries_of

OPENED = said.JobOpened(vehicle="Kestrel van")
ABOUT = (
    said.MarkMade(part="pan", mark="white paint"),
    said.FastenersRemoved(part="pan", count=4),
    said.BagPacked(bag="BBBBBCCCCC", parts=("pan",)),
    said.PartStuck(part="pan", freed="heat"),
    said.MarkMade(part="shaft", mark="punched"),
    said.CodeRead(code="P0735"),
)


@given(st.lists(st.sampled_from(ABOUT), max_size=8))
def test_a_part_withdrawn_is_as_if_never_said_and_brought_back_as_if_never_withdrawn(about: list[said.Fact]) -> None:
    before = entries_of(OPENED, said.PartRemoved(part="pan", name="pan"), *about)
    every = [*(e.fact for e in before), *withdrawal(before[1], "wrong vehicle", Job.of(before))]
    went = Job.of(entries_of(*every))
    assert "pan" not in parts(went)
    assert _said(went)[1:] == [fact for fact in about if "pan" not in str(fact)]
    removal = next(s for s in struck_out(went) if s.entry.id == before[1].id)
    back = Job.of(entries_of(*every, *bring_back(removal, "it is ours", went)))
    assert _said(back) == [e.fact for e in before]
    assert struck_out(back) == []


def _said(job: Job) -> list[said.Fact]:
    return [e.fact for e in job.entries if not isinstance(e.fact, said.EntryStruck)]


def test_a_part_that_came_off_twice_keeps_its_facts_when_one_removal_is_withdrawn() -> None:
    entries = entries_of(*(said.PartRemoved(part="pan", name="pan"),) * 2, said.MarkMade(part="pan", mark="paint"))
    assert [
        f.entry for f in withdrawal(entries[1], "once only", Job.of(entries)) if isinstance(f, said.EntryStruck)
    ] == [entries[1].id]


def test_only_the_last_check_in_may_not_be_withdrawn() -> None:
    one, two = entries_of(OPENED), entries_of(OPENED, OPENED)
    assert not may_be_withdrawn(one[0], Job.of(one))
    assert may_be_withdrawn(two[1], Job.of(two))
    assert without(Job.of(two), two[0].id).entries == (two[1],)


def test_an_addition_to_a_check_in_may_be_withdrawn_and_asks_only_for_its_complaint() -> None:
    entries = entries_of(OPENED, said.JobOpened(vehicle="", odometer="184 300 km"))
    job = Job.of(entries)
    assert not may_be_withdrawn(entries[0], job)
    assert may_be_withdrawn(entries[1], job)
    assert job.opened == structs.replace(OPENED, odometer="184 300 km")
    assert {check.asked_by.id for check in checks(job)} == {entries[0].id}


def test_a_correction_of_the_check_in_keeps_what_was_added() -> None:
    right = said.JobOpened(vehicle="Heron pick-up")
    entries = entries_of(said.JobOpened(vehicle="Kestrel van"), said.JobOpened(vehicle="", complaint="whine"))
    job = Job.of(entries_of(*(e.fact for e in entries), said.EntryStruck(entry=entries[0].id, why="slip"), right))
    assert job.opened == structs.replace(right, complaint="whine")
