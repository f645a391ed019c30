"""Which caution stands at which step."""

import pytest

from reassembly.job import cautions as c
from reassembly.job import entries as said
from reassembly.job.cautions import Caution, cautions, job_cautions
from reassembly.job.entries import Entry, Fact, Stage
from reassembly.job.job import Job


def job_of(*facts: Fact) -> Job:
    return Job.of(
        Entry(bench="A", number=n, hlc=n, time="", who="ann", job="A.1", previous="", fact=fact)
        for n, fact in enumerate(facts, 1)
    )


def at(name: str, *facts: Fact) -> tuple[str, ...]:
    return cautions(job_of(said.PartRemoved(part="p", name=name), *facts), "p")


NAMED = [
    ("gearbox", {c.RAISED, c.ROLLS, c.HEAVY}),
    ("gearbox pan", {c.RAISED, c.HOT}),
    ("propshaft, rear flange", {c.RAISED, c.ROLLS, c.HEAVY}),
    ("sump pan bolts", {c.RAISED, c.HOT}),
    ("door panel", set()),
    ("spring seat", {c.SPRUNG, c.PYROTECHNIC}),
    ("connector at the gear selector", set()),
    ("wiring harness", set()),
    ("connector under the seat", {c.PYROTECHNIC}),
    ("steering column shroud", {c.BRAKES, c.PYROTECHNIC}),
    ("belt pretensioner", {c.PYROTECHNIC}),
    ("battery", {c.PYROTECHNIC}),
    ("valve seated in oil", {c.HOT}),
    ("ABS sensor", {c.BRAKES}),
    ("absolutely nothing", set()),
    ("brakes, rear", {c.BRAKES}),
    ("torque converter", {c.CONVERTER}),
    ("pinion nut", {c.CRUSH_SLEEVE}),
    ("crush sleeve", {c.CRUSH_SLEEVE}),
    ("pinion flange", set()),
    ("rear coupling to pinion flange", set()),
    ("bracket", set()),
    ("O-ring", {c.ONCE}),
    ("split pins", {c.ONCE}),
    ("sealed cover", set()),
    ("inverter cover", {c.HIGH_VOLTAGE}),
    ("wheel nuts", {c.RAISED, c.WHEELS}),
    ("PROPSHAFT", {c.RAISED, c.ROLLS, c.HEAVY}),
]


@pytest.mark.parametrize(("name", "called"), NAMED, ids=[name for name, _ in NAMED])
def test_a_caution_is_called_for_by_whole_words_of_the_trade(name: str, called: set[Caution]) -> None:
    assert set(at(name)) == {caution.sentence for caution in called}


def test_what_is_said_of_a_part_calls_for_cautions_too() -> None:
    assert c.ONCE.sentence in at("cover", said.RenewalNeeded(part="p", what="gasket"))
    assert c.ONCE.sentence in at("cover", said.FastenersRemoved(part="p", count=4, note="self-locking"))
    assert c.HOT.sentence in at("cover", said.FindingNoted(part="p", what="oil in the corner"))
    assert at("cover", said.OrderSaid(part="p", goes="after", other="gearbox")) == ()


def test_an_angle_stage_means_a_bolt_used_once() -> None:
    by_torque = said.TorqueSpecified(part="p", stages=(Stage("torque", "60 N.m"),))
    by_angle = said.TorqueSpecified(part="p", stages=(Stage("torque", "60 N.m"), Stage("angle", "90 deg")))
    assert at("cover", by_torque) == ()
    assert at("cover", by_angle) == (c.STRETCHED.sentence,)


def test_grease_is_warned_of_where_a_torque_was_given() -> None:
    stuck = said.PartStuck(part="p", freed="heat", grease="paste on the face")
    assert at("cover", stuck) == ()
    torque = said.TorqueSpecified(part="p", stages=(Stage("torque", "60 N.m"),))
    assert at("cover", stuck, torque) == (c.GREASED.sentence,)
    assert at("cover", said.PartStuck(part="p", freed="heat"), torque) == ()
    assert at("cover", said.CareNoted(part="p", care="grease", what="face"), torque) == (c.GREASED.sentence,)


def test_a_part_nobody_spoke_of_calls_for_nothing() -> None:
    assert cautions(job_of(), "p") == ()


def test_the_job_is_cautioned_for_what_belongs_to_no_part() -> None:
    opened = said.JobOpened(vehicle="Kestrel van")
    assert job_cautions(job_of(opened)) == ()
    assert job_cautions(job_of(opened, said.PartRemoved(part="p", name="clip"))) == (c.RAISED.sentence,)
    assert job_cautions(job_of(opened, said.FluidDrained(fluid="gear oil"))) == (c.HOT.sentence,)
    assert c.BRAKES.sentence not in job_cautions(job_of(opened, said.PartRemoved(part="p", name="brake disc")))


def test_a_struck_word_calls_for_nothing() -> None:
    slip = said.FindingNoted(part="p", what="brake fluid")
    assert at("cover", slip, said.EntryStruck(entry="A.2", why="another vehicle")) == ()


DEFERS = ("maker", "licensed", "local rules")


@pytest.mark.parametrize("caution", c.TABLE, ids=lambda caution: caution.sentence[:20])
def test_every_caution_defers_and_names_its_source(caution: Caution) -> None:
    assert any(word in caution.sentence for word in DEFERS)
    assert caution.source
    assert len(caution.sentence) <= 160
