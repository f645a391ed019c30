"""What holds for every typed line, sensible or not, in every job."""

from __future__ import annotations

import re
from typing import Any

import msgspec
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.capture import capture
from reassembly.job.capture_meanings import Unread
from reassembly.job.capture_read import read_line
from reassembly.job.capture_written import written
from reassembly.job.doubts import doubts
from reassembly.job.entries import Fact, Stage
from reassembly.job.job import Job
from tests.job.histories import hostile_histories, odd, odd_histories
from tests.job.test_capture import JOB, READ, SHOP, told

GOOD = [
    "aside", "left", "l+r", "of gearbox pan", "(as found)", "4xM10x35", "7 screws M6x16", "3 clips", "8.8",
    "hex 13", "safety", "renew", "90 at 2", "same bolts", "30 Nm", "60 ft lb", "90 deg", "by hand", "back off",
    "check 60 Nm", "circle", "from rear", "order 1 3 2 4", "manual p 9", "page 3", "retorque after 50 km", "book",
    "white paint to pinion", "tooth 3 of 27", "lug 4 o'clock front", "slots front", "14 g hole 2",
    "aid pin in bore", "renew gasket", "O-ring", "stuck heat", "clean the face", "x3",
]  # fmt: skip
BAD = [
    "110",
    "14 g",
    "lug 4",
    "wibble",
    "60 lb",
    "M10",
    "circus 9",
    "3/0",
    "x",
    "+",
    "of nothing",
    "tooth",
    "(",
    ")",
    "12,5",
]
typed = st.lists(st.sampled_from(["gearbox pan", "x", *GOOD, *BAD, "rear flange"]), min_size=1, max_size=8)
between = st.sampled_from([", ", "  ", " - ", "; ", " "])


@st.composite
def soups(draw: st.DrawFn) -> str:
    """Pieces of the shorthand in any order, parted in any way."""
    return "".join(f"{piece}{draw(between)}" for piece in draw(typed))


lines = st.one_of(
    soups(),
    soups().map(lambda line: f"+ {line}"),
    st.text(max_size=80),
    st.text("0123456789xM ,.+/-()gNmdeg", max_size=40),
)


@settings(max_examples=400, deadline=None)
@given(lines)
@example("+")
@example("(((")
@example("x, " + "9" * 300)
@example("x, M" + "9" * 40 + "x9")
@example("x, tooth 0 of 0, 0 x M10, 0 Nm, 0 g hole 0, renew 0 seals, order 0 0, 0 deg, lug 0 o'clock front")
@example("\x00\x1b[31m, \u202eleft, 4xM10\u00a0x35")
def test_no_line_raises_and_no_fact_of_one_is_refused(line: str) -> None:
    found, job = capture(line, JOB, SHOP), JOB
    for fact in found.facts:
        assert not [doubt for doubt in doubts(fact, job, SHOP) if doubt.refuses]
        job = told(*(entry.fact for entry in job.entries), fact)
        assert said.read_fact(msgspec.json.encode(fact)) == fact


@settings(max_examples=150, deadline=None)
@given(soups(), st.one_of(odd_histories, hostile_histories))
@example("gearbox pan", odd([140], hostile=True))
def test_no_job_raises(line: str, entries: list[Any]) -> None:
    for plus in ("", "+ "):
        found = capture(plus + line, Job.of(entries), SHOP)
        assert all(isinstance(fact, Fact) for fact in found.facts)


def words(text: str) -> list[str]:
    return sorted(set(re.findall(r"[\w°]+", text.casefold())) - {"and", "then"})


@settings(max_examples=300, deadline=None)
@given(soups())
def test_every_word_is_in_the_name_or_in_a_piece(line: str) -> None:
    read = read_line(line)
    assert words(" ".join([read.name, *(item.text for item in read.items)])) == words(line)


@settings(max_examples=300, deadline=None)
@given(st.lists(st.sampled_from([*GOOD[:-1], *BAD[:4]]), min_size=1, max_size=6, unique=True), st.data())
def test_no_piece_is_dropped_in_silence(pieces: list[str], data: st.DataObject) -> None:
    """Leaving one out is seen: in the facts, or in what is said back."""
    without = data.draw(st.integers(0, len(pieces) - 1))
    whole = capture(", ".join(["x", *pieces]), JOB, SHOP)
    less = capture(", ".join(["x", *pieces[:without], *pieces[without + 1 :]]), JOB, SHOP)
    assert (whole.facts, whole.not_understood) != (less.facts, less.not_understood)


def test_what_is_unread_is_said_back() -> None:
    for line in BAD:
        read = read_line(f"x, aside, {line}")
        unread = [item.text for item in read.items if isinstance(item.means, Unread)]
        found = capture(f"x, aside, {line}", JOB, SHOP)
        assert all(any(sentence.startswith(text) for sentence in found.not_understood) for text in unread)


lengths = st.sampled_from(["20", "35", "60"])
threads = st.sampled_from(["M6", "M8x1.25", "M10x1.25", "M12x1.75", "3/8-24 UNF", "M20x1.5 LH"])
sets = st.builds(
    said.FastenersRemoved,
    part=st.just("x"),
    count=st.integers(1, 40),
    what=st.sampled_from(["bolt", "nut", "screw", "banjo bolt", "hose clip"]),
    thread=threads,
    lengths=lengths.map(lambda each: (each,)),
    strength=st.sampled_from(["", "8.8", "10.9", "10"]),
    drive=st.sampled_from(["", "hex 13", "internal hex 6", "splined 10", "T50"]),
    reuse=st.sampled_from(["reuse", "renew"]),
    safety_critical=st.booleans(),
)
stage_lists = st.sampled_from([
    (Stage("torque", "60 N.m"),),
    (Stage("by hand"), Stage("torque", "4 Nm"), Stage("torque", "8 Nm")),
    (Stage("torque", "40 lbf.ft"), Stage("angle", "90 deg")),
    (Stage("torque", "60 Nm"), Stage("back off", ""), Stage("torque", "40 Nm"), Stage("check pass", "40 Nm")),
])  # fmt: skip
torques = st.builds(
    said.TorqueSpecified,
    part=st.just("x"),
    stages=stage_lists,
    seen_from=st.sampled_from(["", "rear", "below"]),
    source=st.sampled_from(["", "manual, page 212", "blue book"]),
    retorque=st.sampled_from(["", "after 50 km"]),
)
others = st.one_of(
    st.builds(said.MarkMade, part=st.just("x"), mark=st.sampled_from(["white paint", "two punch dots"]),
              to=st.sampled_from(["", "pinion flange"])),
    st.builds(said.WeightFound, part=st.just("x"), position=st.sampled_from(["hole 2", "140 deg"]),
              mass=st.sampled_from(["14 g", "0.5 oz"]), radius=st.sampled_from(["", "48 mm"]),
              what=st.sampled_from(["", "locking plate"])),
    st.builds(said.OrientationNoted, part=st.just("x"), feature=st.sampled_from(["lug", "grease nipple"]),
              clock=st.sampled_from(["4", "4:30"]), seen_from=st.sampled_from(["", "rear"]),
              faces=st.sampled_from(["", "front", "into the slot"])),
    st.builds(said.AidFitted, part=st.just("x"), aid=st.sampled_from(["wire", "locking pin"]),
              where=st.sampled_from(["", "in bellcrank", "round the joint, twice"])),
    st.builds(said.RenewalNeeded, part=st.just("x"), what=st.sampled_from(["gasket", "snap ring"]),
              count=st.sampled_from([1, 4]), part_number=st.sampled_from(["", "GK-118"]),
              why=st.sampled_from(["", "once only", "torn, dry"])),
    st.builds(said.PartStuck, part=st.just("x"), freed=st.sampled_from(["heat", "puller and a little heat"]),
              grease=st.sampled_from(["", "assembly paste"])),
    st.builds(said.CareNoted, part=st.just("x"), care=st.sampled_from(["clean", "inspect", "fit", "look"]),
              what=st.sampled_from(["sealing face", "both faces, no burr, no paint between"])),
)  # fmt: skip
removals = st.builds(
    said.PartRemoved,
    part=st.just("x"),
    name=st.sampled_from(["heat shield", "propshaft, rear flange", "universal joint"]),
    how=st.sampled_from(["off", "loosened", "disconnected", "aside"]),
    side=st.sampled_from(["", "left", "upper"]),
    parent=st.sampled_from(["", "gearbox pan"]),
    note=st.sampled_from(["", "seated all round, no gap"]),
)


@settings(max_examples=300, deadline=None)
@given(removals, st.none() | sets, st.none() | torques, st.lists(others, max_size=4, unique_by=type))
def test_a_line_written_from_facts_gives_them_again(
    removal: said.PartRemoved, bolts: Fact | None, torque: Fact | None, more: list[Fact]
) -> None:
    facts = [removal, *filter(None, [bolts, torque]), *more]
    found = capture(written(facts), JOB, SHOP)
    bare = [msgspec.structs.replace(fact, part="x") for fact in found.facts]
    assert sorted(bare, key=repr) == sorted(facts, key=repr)
    assert found.not_understood == ()


@pytest.mark.parametrize("line", [line for line, facts in READ if sum(type(f) is said.PartRemoved for f in facts) == 1])
def test_what_a_line_gave_can_be_written_and_read_again(line: str) -> None:
    facts = capture(line, JOB, SHOP).facts
    assert capture(written(facts), JOB, SHOP).facts == facts
