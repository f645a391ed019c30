"""What is offered behind the letters of a line begun."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.completing import Known, rest_of
from reassembly.job.entries import Entry, Fact
from reassembly.job.job import Job
from reassembly.job.shop import Shop
from tests.job.test_capture_measure import PARTS, typed_in_turn

VEHICLE = "Wexmoor 4x4 estate"


def of(job: str, *facts: Fact) -> tuple[Entry[Fact], ...]:
    return tuple(
        Entry(bench="A", number=n, hlc=n, time="", who="ann", job=job, previous="", fact=fact)
        for n, fact in enumerate(facts, 1)
    )


BOOK = Shop.of(
    of(
        "",
        said.SpecNoted(
            vehicle=VEHICLE, joint="output flange", stages=(said.Stage("torque", "160 Nm"),), source="manual p 77"
        ),
        said.SpecNoted(vehicle="Tallis van", joint="output gear", stages=(said.Stage("torque", "9 Nm"),), source="x"),
    )
)
HERE = Job(of("A.9", said.JobOpened(vehicle=VEHICLE), said.PartRemoved(part="p", name="plate"),
              said.AidFitted(aid="wedge", where="under the sill", part="p")))  # fmt: skip


@pytest.fixture(scope="module")
def known() -> Known:
    earlier, _ = typed_in_turn()
    return Known.of([earlier], BOOK, VEHICLE)


@pytest.mark.parametrize(
    ("begun", "rest"),
    [
        ("prop", "shaft, rear flange"),  # said of this model
        ("heat", " shield"),
        ("output fl", "ange"),  # the spec book
        ("output flange, 16", "0 Nm"),
        ("output flange, 160 Nm, so", "urce manual p 77"),
        ("gearbox pan, 13", "xM6x20 8.8 hex 10 renew"),  # of the same part, before any other
        ("gearbox pan, renew", " gasket"),
        ("drain plug, renew", " ring"),
        ("gearbox pan, renew gasket, renew O", "-ring"),  # not what the line has already
        ("plate, aid we", "dge under the sill"),  # said in this job
        ("+ aid we", "dge under the sill"),
        ("p", ""),  # one letter is no beginning
        ("gearbox pan, ", ""),
        ("", ""),
        ("+ ", ""),
    ],
)
def test_what_is_offered(known: Known, begun: str, rest: str) -> None:
    got = rest_of(begun, known, HERE)
    assert got.startswith(rest) if rest else got == ""


@given(line=st.sampled_from([line for line, _ in PARTS]), data=st.data())
def test_what_is_offered_goes_on_with_the_words_as_they_were_typed(line: str, data: st.DataObject) -> None:
    earlier, _ = typed_in_turn()
    known = Known.of([earlier], BOOK, VEHICLE)
    begun = line[: data.draw(st.integers(0, len(line)))]
    got = rest_of(begun, known, HERE)
    last = (begun + got).rpartition(",")[2].strip() if "," in begun else (begun + got).strip()
    everything = {*known.names, *known.others, "aid wedge under the sill"}
    assert not got or last.casefold() in {each.casefold() for each in everything} or "," in got
