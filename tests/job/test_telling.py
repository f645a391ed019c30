"""Each fact as one line of plain words."""

import re
from typing import Any

import pytest
from hypothesis import given
from msgspec import inspect

from reassembly.job import entries as said
from reassembly.job.job import Job
from reassembly.job.telling import Names, fasteners, stages, tell, title_of
from tests.job.histories import History, hostile_histories, odd_histories

NOBODY = Names({}, {}, {})


def line(fact: object, names: Names = NOBODY) -> str:
    return tell(History().say(fact), names)


def fields(kind: Any) -> dict[str, Any]:
    found = {}
    for field in inspect.type_info(kind).fields:  # type: ignore[attr-defined]
        type_ = field.type
        while isinstance(type_, inspect.Metadata):
            type_ = type_.type
        found[field.name] = type_
    return found


def filled(kind: Any) -> Any:
    """A fact of this kind with a word of its own in every field that takes words, and the least in the others."""
    values: dict[str, Any] = {}
    for name, type_ in fields(kind).items():
        match type_:
            case inspect.StrType():
                values[name] = f"the{name.replace('_', '')}word"
            case inspect.LiteralType(values=choices):
                values[name] = choices[0]
            case inspect.IntType() | inspect.UnionType():
                values[name] = 77
            case inspect.BoolType():
                values[name] = True
            case inspect.VarTupleType(item_type=inspect.StructType()):
                values[name] = (said.Stage("torque", "thestageword"),)
            case inspect.VarTupleType():
                values[name] = (78, 79) if name == "order" else (f"the{name}word",)
            case inspect.DictType():
                values[name] = {"A": 1}
    return kind(**values)


SHOWN_ELSEWHERE = {
    "PartRemoved.name", "PartRemoved.side",  # what the part is called
    "JobOpened.torque_unit", "CustomerNamed.digest", "PhotoKept.digest", "SignedOff.covers", "SignedOff.exceptions",
    "SignedOff.checks", "DetailsErased.entry", "PhotoKept.source",
}  # fmt: skip


@pytest.mark.parametrize("kind", said.kinds())
def test_every_word_that_was_said_is_in_its_line(kind: Any) -> None:
    shown = line(filled(kind)).replace(" ", "").casefold()  # a code is shown in capitals, in two groups
    for name, type_ in fields(kind).items():
        if f"{kind.__name__}.{name}" in SHOWN_ELSEWHERE:
            continue
        match type_:
            case inspect.StrType():
                assert f"the{name.replace('_', '')}word" in shown, name
            case inspect.VarTupleType(item_type=inspect.StructType()):
                assert "thestageword" in shown
            case inspect.VarTupleType():
                assert "7879" in shown or f"the{name}word" in shown, name
            case inspect.IntType() | inspect.UnionType():
                assert "77" in shown, name


@pytest.mark.parametrize("kind", said.kinds())
@pytest.mark.parametrize("fill", [True, False])
def test_a_line_has_no_empty_parts(kind: Any, fill: bool) -> None:
    fact = filled(kind)
    if not fill:  # only what has to be said
        needed = {f.name for f in inspect.type_info(kind).fields if f.required}  # type: ignore[attr-defined]
        fact = kind(**{name: getattr(fact, name) for name in needed})
    told = line(fact)
    assert told == told.strip()
    assert re.search(r",\s*,|:\s*,|[:,]$|\(\)|\s\s|^\W", told) is None, told


@given(hostile_histories)
def test_a_fact_is_told_in_one_line_whatever_was_typed(entries: list[Any]) -> None:
    names = Names.of(Job.of(entries))
    for entry in entries:
        assert len(tell(entry, names).splitlines()) == 1


@given(odd_histories)
def test_no_line_shows_a_name_from_the_program(entries: list[Any]) -> None:
    names = Names.of(Job.of(entries))
    inside = [kind.__name__ for kind in said.kinds()]
    for entry in entries:
        if not isinstance(entry.fact, said.Unknown):  # its own words are all there is
            assert not any(name in tell(entry, names) for name in inside)


TOLD: dict[str, tuple[object, str]] = {
    "job": (
        said.JobOpened(vehicle="Kestrel van", registration="4TN 881", complaint="hums", earlier="407"),
        "checked in, Kestrel van, 4TN 881, hums, come-back from 407",
    ),
    "no code": (said.CodeRead(when="after", none_stored=True), "code read after the work: none stored"),
    "no code before": (said.CodeRead(), "code read before the work: none stored"),
    "nothing said": (said.CodeRead(when="after"), "code read after the work: nothing said"),
    "removal": (said.PartRemoved(part="pan", name="pan", how="aside", parent="box"), "gearbox pan swung aside, of box"),
    "way": (
        said.OrientationNoted(part="pan", feature="lug", clock="4", seen_from="front"),
        "gearbox pan: lug at 4 o'clock seen from the front",
    ),
    "mark": (
        said.MarkMade(part="pan", mark="scribe", to="yoke", spline_teeth=27, marked_tooth=5),
        "gearbox pan marked: scribe, to yoke, tooth 5 of 27 teeth",
    ),
    "mark from a side": (
        said.MarkMade(part="pan", mark="scribe", spline_teeth=27, marked_tooth=5, seen_from="rear"),
        "gearbox pan marked: scribe, tooth 5 of 27 teeth seen from the rear",
    ),
    "torque": (
        said.TorqueSpecified(
            part="pan", stages=(said.Stage("by hand"), said.Stage("torque", "8 N.m")), order=(1, 3, 2)
        ),
        "gearbox pan torque: by hand, 8 N.m, order 1 3 2, no source",
    ),
    "whole stage": (
        said.StageTightened(specification="A.3", stage=2, wrench="T3"),
        "tightened: gearbox pan stage 2, whole stage at once, wrench T3",
    ),
    "position": (
        said.StageTightened(specification="A.3", stage=2, position=4, value="8.1 N.m"),
        "tightened: gearbox pan stage 2, position 4, 8.1 N.m",
    ),
    "check": (said.CheckConfirmed(check="A.1.back"), "confirmed: back in place, gearbox pan"),
    "exception": (
        said.ExceptionAccepted(check="A.1.back", reason="kept off", accepted_by="ben"),
        "EXCEPTION: back in place, gearbox pan: kept off (accepted by ben)",
    ),
    "aid": (said.AidRemoved(aid="A.2"), "out again: wire"),
    "strike": (
        said.EntryStruck(entry="A.1", why="wrong part"),
        "struck out: removal of gearbox pan: wrong part",
    ),
    "signed": (said.SignedOff(covers={}, exceptions=("a", "b")), "SIGNED OFF, 2 exceptions"),
    "received": (
        said.RenewalReceived(needed="A.4", batch="7731"),
        "on hand: nuts of gearbox pan, no part number said, batch 7731",
    ),
    "independent": (said.OrderSaid(part="pan", goes="independent"), "gearbox pan need not wait for its turn"),
    "order": (said.OrderSaid(part="pan", goes="after", other="box"), "gearbox pan goes back after box"),
}


@pytest.mark.parametrize(("fact", "expected"), TOLD.values(), ids=TOLD.keys())
def test_a_fact_is_told_in_plain_words(fact: object, expected: str) -> None:
    history = History()
    history.say(said.PartRemoved(part="pan", name="gearbox pan"))
    history.say(said.AidFitted(aid="wire"))
    history.say(said.TorqueSpecified(part="pan", stages=()))
    history.say(said.FastenersRemoved(part="pan", count=2, what="nut", reuse="renew"))
    assert line(fact, Names.of(Job.of(history.entries))) == expected


def test_a_struck_fact_is_still_told_by_its_names() -> None:
    history = History()
    history.say(said.PartRemoved(part="p1", name="gearbox pan"))
    confirmed = history.say(said.CheckConfirmed(check="A.1.back"))
    history.say(said.EntryStruck(entry="A.1", why="a slip"))
    assert tell(confirmed, Names.of(Job.of(history.entries))) == "confirmed: back in place, gearbox pan"


def test_stages_are_told_as_they_are_said() -> None:
    several = [
        said.Stage("by hand"),
        said.Stage("torque", "30 N.m"),
        said.Stage("angle", "90 deg"),
        said.Stage("back off", "180 deg"),
    ]
    assert stages(several) == "by hand, 30 N.m, 90 deg, back off 180 deg"


def test_a_fastener_set_is_written_as_on_a_bag() -> None:
    bolts = said.FastenersRemoved(
        part="p", count=4, thread="M10x1.25", lengths=("35",) * 4, strength="10.9", reuse="renew"
    )
    assert fasteners(bolts) == "4 x M10x1.25x35 10.9, RENEW"


def test_every_kind_has_a_title_in_plain_words() -> None:
    titles = [title_of(kind) for kind in said.kinds()]
    assert len(set(titles)) == len(titles)
    assert all(
        title == title.lower() and kind.__name__.lower() != title
        for title, kind in zip(titles, said.kinds(), strict=True)
    )
    assert title_of(said.Unknown) == "entry of a newer program"
