"""What a scan means now: one of five answers."""

from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.answer import Answer, Kind, answer
from reassembly.job.job import Job
from reassembly.job.plan import plan
from tests.job.histories import History, odd_histories

PAN, SHAFT, BOTH, LOOSE = "BCDFGHJKLN", "PRSTVXBCDF", "HJKLNPRSTV", "XVTSRPNLKJ"


def story(*confirmed: str) -> Job:
    history = History()
    for part in ("shaft", "pan"):  # the pan goes back first
        history.say(said.PartRemoved(part=part, name=part))
    history.say(said.BagPacked(bag=PAN, parts=("pan",)))
    history.say(said.BagPacked(bag="prstv xbcdf", parts=("shaft",)))
    history.say(said.BagPacked(bag=BOTH, parts=("shaft", "pan")))
    history.say(said.BagPacked(bag=LOOSE, parts=(), holds="clips of the tunnel"))
    for key in confirmed:
        history.say(said.CheckConfirmed(check=key))
    return Job.of(history.entries)


PAN_DONE = ("A.2.back", "A.3.bag:pan", "A.5.bag:pan")
SHAFT_DONE = ("A.1.back", "A.4.bag:shaft", "A.5.bag:shaft")
FIVE: dict[str, tuple[tuple[str, ...], str | None, str, Answer]] = {
    "fit now": ((), PAN, "", Answer("fit now", "FIT NOW", "pan", "pan")),
    "typed in small letters": ((), "bcdfg hjkln", "", Answer("fit now", "FIT NOW", "pan", "pan")),
    "too early": (
        (),
        SHAFT,
        "",
        Answer("too early", "TOO EARLY", "shaft waits; first pan", "shaft", ("pan",)),
    ),
    "no longer too early": (PAN_DONE, SHAFT, "", Answer("fit now", "FIT NOW", "shaft", "shaft")),
    "already fitted": (
        PAN_DONE,
        PAN,
        "",
        Answer("already fitted", "ALREADY FITTED", "pan: every check is confirmed", "pan"),
    ),
    "a shared bag tells of the part that is free": ((), BOTH, "", Answer("fit now", "FIT NOW", "pan", "pan")),
    "then of the other": (PAN_DONE, BOTH, "", Answer("fit now", "FIT NOW", "shaft", "shaft")),
    "then of neither": (
        (*PAN_DONE, *SHAFT_DONE),
        BOTH,
        "",
        Answer("already fitted", "ALREADY FITTED", "pan, shaft: every check is confirmed", "pan"),
    ),
    "another vehicle": (
        (),
        "NNNNNNNNNN",
        "413 Merlin",
        Answer("another vehicle", "ANOTHER VEHICLE'S PART", "it belongs to 413 Merlin: put it back there"),
    ),
    "of this job whatever else it is known from": ((), PAN, "413 Merlin", Answer("fit now", "FIT NOW", "pan", "pan")),
    "not one of ours": (
        (),
        None,
        "",
        Answer("not our label", "NOT ONE OF OUR LABELS", "scan it again, or type the ten letters under the code"),
    ),
    "ours but packed nowhere": (
        (),
        "NNNNNNNNNN",
        "",
        Answer(
            "not our label",
            "NO PART IN THIS JOB HAS THIS LABEL",
            "nothing was packed under it: look at the words on the bag",
        ),
    ),
    "a bag of no part": ((), LOOSE, "", Answer("fit now", "FIT NOW", "clips of the tunnel")),
    "emptied": (("A.6.bag",), LOOSE, "", Answer("already fitted", "ALREADY FITTED", "clips of the tunnel: emptied")),
}


@pytest.mark.parametrize(("confirmed", "code", "belongs_to", "expected"), FIVE.values(), ids=FIVE.keys())
def test_a_scan_answers(confirmed: tuple[str, ...], code: str | None, belongs_to: str, expected: Answer) -> None:
    job = story(*confirmed)
    assert answer(code, job, plan(job), belongs_to) == expected


def test_all_five_answers_are_in_the_table() -> None:
    assert {expected.kind for *_, expected in FIVE.values()} == set(get_args(Kind))


def test_many_parts_first_are_named_by_three_and_counted() -> None:
    history = History()
    for part in ("shaft", "e", "d", "c", "b", "a"):
        history.say(said.PartRemoved(part=part, name=part))
    history.say(said.BagPacked(bag=SHAFT, parts=("shaft",)))
    job = Job.of(history.entries)
    found = answer(SHAFT, job, plan(job))
    assert (found.detail, found.first) == ("shaft waits; first a, b, c and 2 more", ("a", "b", "c", "d", "e"))


@given(odd_histories, st.sampled_from(["BCDFGHJKLN", "PRSTVXBCDF", "NNNNNNNNNN", None]), st.sampled_from(["", "413"]))
def test_a_scan_gives_exactly_one_of_five_answers(entries: list[Any], code: str | None, belongs_to: str) -> None:
    job = Job.of(entries)
    refit = plan(job)
    found = answer(code, job, refit, belongs_to)
    packed = [e.fact for e in job.said(said.BagPacked) if code and "".join(e.fact.bag.split()).upper() == code]
    about = {part for fact in packed for part in fact.parts}
    steps = [step for step in refit.steps if step.part.id in about]
    truth: dict[Kind, bool] = {
        "not our label": not packed and (code is None or not belongs_to),
        "another vehicle": not packed and code is not None and belongs_to != "",
        "already fitted": bool(steps) and all(step.state == "done" for step in steps),
        "fit now": any(step.state in {"ready", "part done"} for step in steps),
        "too early": {step.state for step in steps} in ({"blocked"}, {"blocked", "done"}),
    }
    if packed and not steps:  # a bag of no part: taken or emptied
        assert found.kind in {"fit now", "already fitted"}
        return
    assert [kind for kind, holds in truth.items() if holds] == [found.kind]
    assert (found.kind == "too early") == (found.first != ())


def test_no_letters_at_all_are_no_label_of_ours_even_where_a_bag_was_said_without_any() -> None:
    history = History()
    history.say(said.PartRemoved(part="pan", name="pan"))
    history.say(said.BagPacked(bag="", parts=("pan",)))
    job = Job.of(history.entries)
    assert answer("", job, plan(job)).headline == "NOT ONE OF OUR LABELS"
