"""The entries that stand, and the parts they are about."""

from itertools import permutations
from typing import Any

import pytest

from reassembly.job import entries as said
from reassembly.job.checks import closed
from reassembly.job.job import Job, Part, bag_code, part_id, part_in, parts, title
from tests.job.histories import History


def job_of(*facts: object) -> Job:
    history = History()
    for fact in facts:
        history.say(fact)
    return Job.of(history.entries)


def strike(entry: str) -> said.EntryStruck:
    return said.EntryStruck(entry=entry, why="a slip")


PAN = said.PartRemoved(part="pan", name="gearbox pan")


@pytest.mark.parametrize(
    ("facts", "standing"),
    [
        ([PAN], ["A.1"]),
        ([PAN, strike("A.1")], ["A.2"]),
        ([PAN, strike("A.1"), strike("A.2")], ["A.1", "A.3"]),
        ([PAN, strike("A.1"), strike("A.2"), strike("A.3")], ["A.2", "A.4"]),
        ([PAN, strike("A.1"), strike("A.1")], ["A.2", "A.3"]),
        ([strike("A.2"), PAN], ["A.1", "A.2"]),  # nothing is struck before it was said
        ([strike("A.1")], ["A.1"]),
        ([PAN, strike("Z.9")], ["A.1", "A.2"]),
    ],
)
def test_a_strike_takes_out_what_it_names_and_can_itself_be_struck(facts: list[object], standing: list[str]) -> None:
    job = job_of(*facts)
    assert [e.id for e in job.entries] == standing
    assert len(job.entries) + len(job.struck) == len(facts)


def test_entries_of_several_benches_are_read_in_one_order() -> None:
    history = History()
    for bench, later in (("B", 2), ("A", 2), ("A", 1), ("B", 9)):
        history.say(PAN, bench=bench, later=later)
    for arrived in permutations(history.entries):
        assert [e.id for e in Job.of(arrived).entries] == ["A.1", "B.1", "A.2", "B.2"]


@pytest.mark.parametrize(
    ("name", "side", "called"),
    [
        ("crossmember", "left", "crossmember, left"),
        ("left crossmember", "left", "left crossmember"),
        ("crossmember", "", "crossmember"),
        ("", "", "p1"),
    ],
)
def test_a_part_is_called_by_name_and_side(name: str, side: str, called: str) -> None:
    job = job_of(said.PartRemoved(part="p1", name=name, side=side))
    assert parts(job)["p1"].name == called


def test_a_part_only_spoken_of_has_no_removal_and_is_called_by_its_id() -> None:
    part = parts(job_of(said.FindingNoted(what="leak", part="pan")))["pan"]
    assert (part.removed, part.name, part.how, part.parent, part.since) == (None, "pan", "off", "", (1, "A", 1))
    assert part_in({}, "nowhere") == Part("nowhere", (), ())


def test_a_bag_speaks_of_each_of_its_parts_and_a_fact_without_a_part_of_none() -> None:
    job = job_of(
        said.BagPacked(bag="BCDFGHJKLN", parts=("pan", "filter", "pan", "")), said.CareNoted(care="look", what="plug")
    )
    assert list(parts(job)) == ["pan", "filter"]


def test_a_part_that_came_off_again_counts_as_it_came_off_last() -> None:
    job = job_of(PAN, said.PartRemoved(part="pan", name="oil pan", how="loosened"))
    part = parts(job)["pan"]
    assert (part.name, part.how, part.since, len(part.removals)) == ("oil pan", "loosened", (2, "A", 2), 2)


LONG = said.FastenersRemoved(part="pan", count=2, fasteners="Long bolts")
SHORT = said.FastenersRemoved(part="pan", count=6, fasteners="short bolts")
PLAIN = said.FastenersRemoved(part="pan", count=13)


@pytest.mark.parametrize(
    ("sets", "asked", "found"),
    [
        ([LONG, SHORT], "long  bolts", LONG),
        ([LONG, SHORT], "", LONG),
        ([LONG, PLAIN], "", PLAIN),
        ([LONG, SHORT], "middle bolts", None),
        ([], "", None),
    ],
)
def test_fasteners_are_found_by_name_or_else_the_first(sets: list[Any], asked: str, found: Any) -> None:
    part = parts(job_of(PAN, *sets))["pan"]
    assert part.fasteners(asked) is found


def test_a_new_part_gets_a_readable_id_that_is_free() -> None:
    job = job_of(PAN, said.PartRemoved(part="pan 2", name="pan"))
    assert part_id(job, "Pan") == "pan 3"
    assert part_id(job, "Cross  member", "left") == "cross member, left"
    assert part_id(job, "  ") == "part"
    assert part_id(job, "x" * 200) == "x" * 60


SIGNED = said.SignedOff(covers={"A": 1})


@pytest.mark.parametrize(
    ("facts", "closing"),
    [
        ([], None),
        ([SIGNED], "A.2"),
        ([SIGNED, said.JobReopened(why="a noise")], None),
        ([SIGNED, said.JobReopened(why="a noise"), SIGNED], "A.4"),
        ([SIGNED, strike("A.2")], None),
        ([SIGNED, said.JobReopened(why="wrong job"), strike("A.3")], "A.2"),
    ],
)
def test_a_job_is_closed_by_the_last_signoff_not_reopened_since(facts: list[object], closing: str | None) -> None:
    found = closed(job_of(said.LabelPrinted(code="BCDFGHJKLN"), *facts))
    assert (found.id if found else None) == closing


def test_the_title_is_order_vehicle_and_registration() -> None:
    opened = said.JobOpened(vehicle="Kestrel van", registration="4TN 881", order="412")
    assert title(job_of(opened)) == "412 Kestrel van  4TN 881"
    assert title(job_of(opened, said.JobOpened(vehicle="Kestrel bus"))) == "J Kestrel bus"
    assert title(Job()) == ""


def test_aids_are_whatever_was_fitted_for_the_work_and_stands() -> None:
    job = job_of(said.AidFitted(aid="wire"), said.AidFitted(aid="plug"), strike("A.1"))
    assert [e.fact.aid for e in job.said(said.AidFitted)] == ["plug"]


def test_an_entry_is_found_while_it_stands() -> None:
    job = job_of(PAN, said.AidFitted(aid="wire"), strike("A.1"))
    found = job.entry("A.2")
    assert found is not None
    assert found.fact == said.AidFitted(aid="wire")
    assert job.entry("A.1") is None


def test_a_code_is_compared_in_any_case_with_or_without_spaces() -> None:
    assert bag_code("bcdfg hjkln") == "BCDFGHJKLN"


def test_the_parts_of_one_job_are_sorted_out_once() -> None:
    history = History()
    for n in range(3):
        history.say(said.PartRemoved(part=f"p{n}", name=f"part {n}"))
    job = Job.of(history.entries)
    assert parts(job) is parts(job)
    history.say(said.PartRemoved(part="p3", name="part 3"))
    assert list(parts(Job.of(history.entries))) == ["p0", "p1", "p2", "p3"]
