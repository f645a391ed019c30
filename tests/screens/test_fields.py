"""What a form asks, read from the file format; and that what was said can be typed again as it stands."""

from __future__ import annotations

import string
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.entries import Entry, Fact, JobOpened, PartRemoved, Stage, kinds
from reassembly.job.job import Job
from reassembly.screens.fields import Field, Misfit, fields_of, read, typed
from reassembly.trade.stages import read_stages

BY_FORM = tuple(kind for kind in kinds() if kind is not said.SignedOff)  # that one is signed, not filled in
PARTS = ("pan", "crossmember, left", "Odd-ID 7", "pan 2")


def job(unit: str = "N.m") -> Job:
    facts = [JobOpened(vehicle="Kestrel van", torque_unit=unit)]
    removals = [PartRemoved(part=part, name=f"the {part}") for part in PARTS]
    return Job(
        tuple(
            Entry(
                bench="KD",
                number=n,
                hlc=n,
                time="2026-03-14T09:00:00+01:00",
                who="ann",
                job="KD-1",
                previous="",
                fact=f,
            )
            for n, f in enumerate([*facts, *removals], 1)
        )
    )


JOB = job()
words = st.text(string.ascii_letters + string.digits + " äß中,;.-/'\"[]x", max_size=20).map(str.strip)
lengths = st.lists(
    st.one_of(
        st.integers(1, 200).map(str),
        st.integers(1, 200).map(lambda n: f"{n} mm"),
        st.integers(1, 99).map(lambda n: f"{n},5"),
        st.sampled_from(["1/2 in", "2.25 in", "3,5 mm"]),
    ),
    max_size=5,
).map(tuple)
stages = st.sampled_from(
    [
        "by hand",
        "30 N.m",
        "30 N.m, 60 N.m, 90 deg",
        "by hand, 40 lbf.ft, back off, 20 N.m, 45 deg",
        "60 N.m, check pass 60 N.m",
        "20 N.m, back off 90 deg, 30 N.m",
    ]
).map(lambda text: tuple(Stage(s.kind, s.value) for s in read_stages(text)))


def value_of(field: Field) -> st.SearchStrategy[Any]:
    """Whatever may stand in a field of this shape."""
    match field.shape:
        case "text":
            return words.filter(bool) if field.needed else words
        case "number":
            return st.integers(2, 200) if field.needed or field.start else st.none() | st.integers(2, 200)
        case "choice":
            return st.sampled_from([word for word in field.choices if word or not field.needed])
        case "yes or no":
            return st.booleans()
        case "part":
            return st.sampled_from(PARTS) if field.needed else st.sampled_from(("", *PARTS))
        case "parts":
            return st.lists(st.sampled_from(PARTS), min_size=1, unique=True).map(tuple)
        case "list":
            return lengths
        case "order":
            return st.lists(st.integers(1, 20), max_size=8).map(tuple)
        case "stages":
            return stages


def facts_of(kind: type[Fact]) -> st.SearchStrategy[Fact]:
    return st.builds(kind, **{field.name: value_of(field) for field in fields_of(kind)})


@pytest.mark.parametrize("kind", BY_FORM, ids=lambda kind: kind.__name__)
@settings(max_examples=30, deadline=None)
@given(data=st.data())
def test_every_kind_can_be_typed_again_as_it_was_said(kind: type[Fact], data: st.DataObject) -> None:
    fact = data.draw(facts_of(kind))
    found = {f.name: read(f, f.start, JOB) for f in fields_of(kind, start=fact)}
    assert msgspec.convert({k: v for k, v in found.items() if v is not None}, kind) == fact


@pytest.mark.parametrize("kind", BY_FORM, ids=lambda kind: kind.__name__)
def test_every_field_has_a_title_and_says_what_to_type(kind: type[Fact]) -> None:
    for field in fields_of(kind):
        assert field.title
        assert field.hint or field.choices
        assert len(field.title) < 22


def test_every_choice_of_the_format_can_be_chosen() -> None:
    how = field_of(PartRemoved, "how")
    assert how.choices == ("off", "loosened", "disconnected", "aside")
    assert how.start == "off"


LENGTHS = {
    "20 20 25": ("20", "20", "25"),
    "20, 20, 25": ("20", "20", "25"),
    "20,20,25": ("20", "20", "25"),
    "35 mm": ("35 mm",),
    "35 mm 40 mm": ("35 mm", "40 mm"),
    "20,5 25": ("20,5", "25"),
    "20,5": ("20,5",),
    "20,5, 25": ("20,5", "25"),
    "20; 1 1/2 in": ("20", "1 1/2 in"),
    "": (),
    " , ": (),
}


@pytest.mark.parametrize("text", LENGTHS)
def test_lengths_are_read_as_they_are_written_on_a_bag(text: str) -> None:
    field = field_of(said.FastenersRemoved, "lengths")
    assert read(field, text, JOB) == LENGTHS[text]


def field_of(kind: type[Fact], name: str) -> Field:
    return next(f for f in fields_of(kind) if f.name == name)


def test_a_bare_torque_is_in_the_unit_of_the_job() -> None:
    field = field_of(said.TorqueSpecified, "stages")
    assert [s.value for s in read(field, "30, 60", job("lbf.ft"))] == ["30 lbf.ft", "60 lbf.ft"]


MISFITS = {
    ("FastenersRemoved", "count", "four"): "count: four is not a whole number",
    ("FastenersRemoved", "count", "-4"): "not a whole number",
    ("FastenersRemoved", "count", "٤"): "not a whole number",
    ("FastenersRemoved", "count", ""): "count is needed: how many",
    ("FastenersRemoved", "count", "9" * 50): "not a whole number",
    ("TorqueSpecified", "stages", "30 bananas"): "stages: stage 1",
    ("TorqueSpecified", "order", "1 2 x"): "order: x is not a whole number",
    ("MarkMade", "mark", "  "): "mark is needed",
    ("OrderSaid", "other", "nothing such"): "no part of this job is called nothing such",
    ("OrderSaid", "other", "an"): "could be pan, pan 2: say which",
}


@pytest.mark.parametrize(("kind", "name", "text"), MISFITS)
def test_what_cannot_be_read_is_refused_in_words(kind: str, name: str, text: str) -> None:
    field = field_of(getattr(said, kind), name)
    with pytest.raises(Misfit) as caught:
        read(field, text, JOB)
    assert MISFITS[kind, name, text] in str(caught.value)
    assert caught.value.field == name


@pytest.mark.parametrize(
    ("text", "part"), [("the CROSSmember, left", "crossmember, left"), ("odd", "Odd-ID 7"), ("PAN", "pan")]
)
def test_a_part_is_named_as_far_as_it_tells_it_from_the_others(text: str, part: str) -> None:
    assert read(field_of(said.OrderSaid, "other"), text, JOB) == part


@pytest.mark.parametrize("value", [None, True, False, 7, "x", (), ("a b",), (1, 2)])
def test_typed_is_text(value: Any) -> None:
    assert isinstance(typed(value), str)


def test_how_a_level_was_found_is_chosen_and_never_filled_in() -> None:
    found = next(field for field in fields_of(said.LevelChecked) if field.name == "found")
    assert (found.choices, found.start, found.needed) == (("", "right", "low", "high"), "", True)
    with pytest.raises(Misfit, match="level is needed"):
        read(found, found.start, JOB)
