"""Parts of one job that are called the same are told apart."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from reassembly.job.entries import Entry, PartRemoved
from reassembly.job.job import Job, fold, part_id, parts
from reassembly.job.namesake import namesake, numbered, question

CALLED = st.tuples(st.sampled_from(["pan", "Pan", "pan 2", "bolt"]), st.sampled_from(["", "left", "right"]))


@given(st.lists(CALLED, max_size=9))
def test_no_two_parts_have_one_name_however_often_they_are_said(every: list[tuple[str, str]]) -> None:
    job = Job()
    for number, (name, side) in enumerate(every, 1):
        fact = PartRemoved(part=part_id(job, name, side), name=name, side=side)
        assert bool(question([fact], job)) == bool(namesake(fact, job))
        told = numbered(fact, job)
        assert told.name.startswith(name)
        entry = Entry(bench="KD", number=number, hlc=number, time="", who="", job="J", previous="", fact=told)
        job = Job((*job.entries, entry))
    names = [fold(part.name) for part in parts(job).values()]
    assert len(names) == len(set(names)) == len(every)
