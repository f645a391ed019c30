"""No history raises, however odd: two benches can each be right and contradict each other when they merge."""

from typing import Any

from hypothesis import given, settings

from reassembly.job import entries as said
from reassembly.job.answer import answer
from reassembly.job.checks import closed
from reassembly.job.job import Job, part_id, parts, title
from reassembly.job.plan import first, plan
from reassembly.job.refit_order import clash_if_said, refit_order
from reassembly.job.shop import Shop
from reassembly.job.signoff import accepted, signoff
from reassembly.job.tag import tags
from reassembly.job.telling import Names, tell
from reassembly.job.tightening import stages_of, tightened
from tests.job.histories import hostile_histories


@settings(max_examples=300)
@given(hostile_histories)
def test_no_history_raises(entries: list[Any]) -> None:
    job, shop = Job.of(entries), Shop.of(entries)
    refit = plan(job)
    for check in refit.checks:
        assert isinstance(first(check, refit), tuple)
        accepted(check)
    for code in ("BCDFGHJKLN", "", None, "\x1b"):
        answer(code, job, refit)
    assert signoff(job, shop).open == refit.open
    names = Names.of(job)
    for entry in entries:
        assert "\n" not in tell(entry, names)
        clash_if_said(job, entry)
    for part in parts(job).values():
        assert isinstance(part.name, str)
        for specified in part.said(said.TorqueSpecified):
            for stage in stages_of(specified.fact, part):
                tightened(job, specified, stage, part.since)
    for wrench in shop.rack.values():
        assert isinstance(wrench.good_until, str)
    title(job), closed(job), tags(job), part_id(job, "pan"), shop.called("ann")


@given(hostile_histories)
def test_every_part_has_one_place_in_the_refit_order(entries: list[Any]) -> None:
    job = Job.of(entries)
    assert sorted(refit_order(job).parts) == sorted(parts(job))


@given(hostile_histories)
def test_what_was_said_survives_being_kept(entries: list[Any]) -> None:
    assert [said.read(said.write(entry)) for entry in entries if not isinstance(entry.fact, said.Unknown)] == [
        entry for entry in entries if not isinstance(entry.fact, said.Unknown)
    ]
