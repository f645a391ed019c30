"""Where each bag is, and whether its label was ever seen on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings

from reassembly.job import entries as said
from reassembly.job.bag import bags, never_seen, shelf_of
from reassembly.job.checks import checks
from reassembly.job.job import Job
from reassembly.job.plan import plan
from reassembly.job.shop import Shop
from reassembly.job.signoff import signoff
from reassembly.job.tag import tag
from tests.job.histories import History, odd_histories
from tests.job.naive import standing

if TYPE_CHECKING:
    from reassembly.job.entries import Entry, Fact

CODE, OTHER = "BCDFGHJKLN", "PRSTVXBCDF"
PACKED = said.BagPacked(bag=CODE, parts=("pan",), shelf="B1")
PRINTED = said.LabelPrinted(code="bcdfg hjkln")
SEEN = said.LabelSeen(code=CODE)
CONFIRMED = said.CheckConfirmed(check="A.3.bag:pan", note="not scanned")


def job_of(*facts: Fact) -> Job:
    history = History()
    history.say(said.JobOpened(vehicle="Kestrel van"))
    history.say(said.PartRemoved(part="pan", name="gearbox pan"))
    for fact in facts:
        history.say(fact)
    return Job.of(history.entries)


SEEN_OR_NOT: dict[str, tuple[tuple[Fact, ...], bool]] = {
    "packed": ((PACKED,), False),
    "printed": ((PACKED, PRINTED), False),
    "scanned back": ((PACKED, PRINTED, SEEN), True),
    "printed anew": ((PACKED, SEEN, PRINTED), False),
    "packed anew": ((PACKED, SEEN, PACKED), False),
    "confirmed at refit": ((PACKED, PRINTED, CONFIRMED), True),
    "another check confirmed": ((PACKED, said.CheckConfirmed(check="A.2.back")), False),
    "another label seen": ((PACKED, said.LabelSeen(code=OTHER)), False),
}


@pytest.mark.parametrize(("facts", "seen"), SEEN_OR_NOT.values(), ids=SEEN_OR_NOT.keys())
def test_a_bag_counts_as_seen_once_somebody_had_it_in_hand(facts: tuple[Fact, ...], seen: bool) -> None:
    job = job_of(*facts)
    assert [bag.code for bag in never_seen(job)] == ([] if seen else [CODE])
    told = f"bag BCDFG HJKLN not seen since it was packed, gearbox pan, shelf {shelf_of(CODE, job)}"
    assert (told in signoff(job, Shop.of(())).warnings) is not seen


def test_the_shelf_said_last_is_on_the_check_the_step_and_the_next_label() -> None:
    job = job_of(PACKED, said.BagShelved(bag="bcdfg hjkln", shelf="C4"))
    assert [c.detail for c in checks(job) if c.way == "scan"] == ["shelf C4"]
    step = plan(job).step("pan")
    assert step is not None
    assert step.shelf == "C4"
    found = tag(job, "bcdfg hjkln", 2)
    assert found is not None
    assert found.footer == "shelf C4, copy 2"
    assert tag(job, OTHER) is None


def naive(entries: list[Entry[Any]]) -> dict[str, tuple[str, bool]]:
    """Shelf and whether it was seen, of each bag, told slowly and another way."""
    story = standing(entries)

    def code(text: str) -> str:
        return text.upper().replace(" ", "")

    found = {}
    for letters in {code(e.fact.bag) for e in story if isinstance(e.fact, said.BagPacked)}:
        packings = [
            n for n, e in enumerate(story) if isinstance(e.fact, said.BagPacked) and code(e.fact.bag) == letters
        ]
        shelf = ""
        for e in story[packings[0] :]:
            about = isinstance(e.fact, said.BagPacked | said.BagShelved) and code(e.fact.bag) == letters
            if about and (isinstance(e.fact, said.BagShelved) or e.fact.shelf):
                shelf = e.fact.shelf
        seen = False
        for n, e in enumerate(story):
            match e.fact:
                case said.BagPacked() if n in packings:
                    seen = False
                case said.LabelPrinted(code=of) if code(of) == letters:
                    seen = False
                case said.LabelSeen(code=of) if code(of) == letters and n > packings[0]:
                    seen = True
                case said.CheckConfirmed(check=key):
                    bags_before = [f"{story[p].id}.bag" for p in packings if p < n]
                    seen = seen or any(key == b or key.startswith(f"{b}:") for b in bags_before)
        found[letters] = shelf, seen
    return found


@given(odd_histories)
@settings(max_examples=150)
def test_any_history_tells_the_same_bags_as_a_slow_reading(entries: list[Entry[Any]]) -> None:
    found = bags(Job.of(entries))
    assert {code: (bag.shelf, bag.seen is not None) for code, bag in found.items()} == naive(entries)
