"""A come-back: the earlier job told beside what is complained of now."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given

from reassembly.job import entries as said
from reassembly.job.comeback import AS_RECORDED, between, comeback, sections
from reassembly.job.entries import Entry, Stage
from reassembly.job.job import Job
from reassembly.job.shop import Shop
from reassembly.job.trade_words import trade_words
from tests.job.histories import hostile_histories, odd_histories
from tests.job.naive import standing

pytestmark = pytest.mark.usefixtures("answers_left_out")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("leaking", "leaks"),
        ("Noise", "noises"),
        ("slipping", "slips"),
        ("bearing", "BEARINGS"),
        ("vibrates", "vibrated"),
        ("P0735", "p0735"),
        ("press", "pressing"),
        ("joint,", "(joint)"),
    ],
)
def test_a_word_is_known_in_another_ending(one: str, other: str) -> None:
    assert trade_words(one).keys() == trade_words(other).keys()
    assert len(trade_words(one)) == 1


def test_small_words_and_numbers_say_nothing() -> None:
    assert trade_words("it was not there at 80 km/h, since last week; I'm on to it") == {}
    assert set(trade_words("seal shaft oil pan").values()) == {"seal", "shaft", "oil", "pan"}


def told(job: str, *facts: said.Fact, day: str = "2026-03-14", bench: str = "KD", first: int = 1) -> Job:
    return Job.of(
        Entry(
            bench=bench, number=n, hlc=n, time=f"{day}T10:{n:02}:00+00:00", who="ann", job=job, previous="", fact=fact
        )
        for n, fact in enumerate(facts, first)
    )  # fmt: skip


def shop(*facts: said.Fact) -> Shop:
    return Shop.of(told("", *facts).entries)


EARLIER = told(
    "KD-1",
    said.JobOpened(
        vehicle="Tallis van", registration="7KD 204", complaint="oil under the axle", odometer="96 120 km"
    ),  # 1
    said.CodeRead(code="P0735", module="gearbox"),  # 2
    said.FindingNoted(what="leak", where="pinion seal"),  # 3
    said.PartRemoved(part="flange", name="propshaft flange", side="rear"),  # 4
    said.FastenersRemoved(part="flange", count=4, thread="M10x1.25", reuse="renew"),  # 5
    said.TorqueSpecified(part="flange", stages=(Stage("torque", "65 N.m"),), source="page 1"),  # 6
    said.RenewalNeeded(part="flange", what="pinion seal", part_number="PS-64"),  # 7
    said.RenewalNeeded(part="flange", what="gasket"),  # 8
    said.CareNoted(care="look", what="filler plug, not touched"),  # 9
    said.MarkMade(part="flange", mark="white paint"),  # 10
    said.RenewalReceived(needed="KD.7", batch="2041"),  # 11
    said.StageTightened(specification="KD.6", stage=1, wrench="T4"),  # 12
    said.ExceptionAccepted(check="KD.10.mark", reason="paint was gone", accepted_by="joss"),  # 13
    said.PartRemoved(part="shield", name="heat shield"),  # 14
    said.EntryStruck(entry="KD.14", why="another vehicle's"),  # 15
    said.FindingNoted(what="seal dry", when="after"),  # 16
    said.CodeRead(when="after", none_stored=True),  # 17
    said.SignedOff(covers={"KD": 17}, checks=("KD.10.mark",)),  # 18
)
LATER = told(
    "KD-9",
    said.JobOpened(
        vehicle="Tallis van", complaint="clunk at the rear flange, hums", earlier="KD-1", odometer="121 480 km"
    ),
    said.CodeRead(code="p0735", module="gearbox"),
    said.CodeRead(code="P0741"),
    said.FindingNoted(what="play", where="centre bearing"),
    said.PartRemoved(part="shield", name="heat shield"),
    said.PartRemoved(part="flange", name="propshaft flange", side="rear"),
    day="2026-04-14",
    first=31,
)
RACK = shop(
    said.WrenchAdded(wrench="T4", low="30 N.m", high="150 N.m"),
    said.WrenchCalibrated(wrench="T4", on="2026-01-01", until="2027-01-01"),
    said.WrenchFailed(wrench="T4", on="2026-04-01"),
)


def test_the_story_of_the_earlier_job_beside_the_new_complaint() -> None:
    story = comeback(EARLIER, RACK, LATER)
    assert (story.earlier, story.later, story.registration) == ("KD-1", "KD-9", "7KD 204")
    assert story.complaint == "clunk at the rear flange, hums"
    assert story.first_complaint == "oil under the axle"
    assert between(story) == "31 days after sign-off, 96 120 km then, now 121 480 km"
    assert story.codes.before == ("P0735, gearbox",)
    assert story.codes.after == ("none stored",)
    assert story.codes.now == ("p0735, gearbox", "P0741")
    assert story.codes.back == ("p0735",)
    assert story.findings_before == ("leak, pinion seal",)
    assert story.findings_after == ("seal dry",)
    assert story.now == ("play, centre bearing",)
    assert story.exceptions == ("marks in line, propshaft flange, rear: paint was gone (accepted by joss)",)
    assert story.doubts == ("wrench T4 failed later, on 2026-04-01: propshaft flange, rear",)
    assert story.renewed == (
        "4 x bolt, M10x1.25, propshaft flange, rear, NO WORD THAT IT CAME",
        "1 x pinion seal, propshaft flange, rear, PS-64, batch 2041",
        "1 x gasket, propshaft flange, rear, NO WORD THAT IT CAME",
    )


def test_what_was_near_shares_words_and_says_which() -> None:
    near = {line.entry: line.near for line in comeback(EARLIER, RACK, LATER).near}
    assert near["KD.4"] == ("rear", "flange")
    assert near["KD.13"] == ("rear", "flange")
    assert "KD.3" not in near
    assert "KD.14" not in near  # struck out


def test_the_name_of_the_vehicle_is_near_nothing() -> None:
    assert comeback(EARLIER, RACK, complaint="the Tallis van hums").near == ()
    assert [line.entry for line in comeback(EARLIER, RACK, complaint="axle hums").near] == ["KD.1"]


def test_what_was_never_touched_is_told_with_how_far_that_goes() -> None:
    story = comeback(EARLIER, RACK, LATER)
    assert story.not_mentioned == ("clunk", "hums", "play", "centre", "bearing")
    assert story.only_looked_at == ("filler plug, not touched",)
    assert story.off_now_not_then == ("heat shield",)
    never = dict(sections(story))["never touched"]
    assert never[-1] == AS_RECORDED
    assert "taken off now, not then: heat shield" in never


def test_a_complaint_heard_at_the_counter_needs_no_new_job() -> None:
    story = comeback(EARLIER, RACK, complaint="leaks at the seal")
    assert {line.entry for line in story.near} == {"KD.3", "KD.7", "KD.11", "KD.16"}
    assert story.later == ""
    assert story.codes.now == ()
    assert between(story) == "96 120 km"


def test_nothing_recorded_is_told_as_nothing_recorded() -> None:
    told_as = dict(sections(comeback(told("KD-1", said.JobOpened(vehicle="van")), shop(), complaint="hums")))
    assert told_as["near the complaint, by the words they share"] == ["no word of it is in the earlier job"]
    assert told_as["fault codes"] == ["before the work: not read", "after the work: not read", "now: not read yet"]
    assert told_as["exceptions"] == told_as["renewed"] == ["none recorded"]
    assert told_as["never touched"] == ["nothing recorded of: hums", AS_RECORDED]


@given(odd_histories, hostile_histories)
def test_any_two_histories_are_told_in_order_and_nothing_struck_out(
    one: list[Entry[Any]], other: list[Entry[Any]]
) -> None:
    complaint = "left lug two words red"
    stands = [e.id for e in standing(one)]
    alone = [line.entry for line in comeback(Job.of(one), shop(), complaint=complaint).lines]
    assert alone == [entry for entry in stands if entry in set(alone)]
    story = comeback(Job.of(one), shop(), Job.of(other), complaint)
    heard = {word for text in (complaint, *story.now) for word in trade_words(text).values()}
    for line in story.near:
        assert line.entry in stands
        assert set(line.near) <= heard
    assert not set(story.not_mentioned) & {word for line in story.near for word in line.near}
    for heading, lines in sections(story):
        assert lines or heading == "the story"
