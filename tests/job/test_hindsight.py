"""Entries kept already are doubted by what their job was just before each, however many there are."""

from typing import Any

from hypothesis import given

from reassembly.job.doubts import doubts
from reassembly.job.entries import Entry, Unknown
from reassembly.job.hindsight import refused
from reassembly.job.job import Job
from reassembly.job.shop import Shop
from tests.job.histories import CREW, crew, hostile_histories, odd_histories

PEOPLE = crew(*CREW)
SHOP = Shop.of(PEOPLE)


def one_by_one(entries: list[Entry[Any]]) -> list[tuple[str, str]]:
    """The same, with the job folded anew before each."""
    found = []
    for entry in entries:
        if not isinstance(entry.fact, Unknown):
            before = Job.of((e for e in entries if e.order < entry.order), PEOPLE)
            found += [
                (entry.id, d.sentence) for d in doubts(entry.fact, before, SHOP, who=entry.who) if d.refuses or d.asks
            ]
    return found


@given(odd_histories)
def test_what_grows_entry_by_entry_is_what_is_folded_anew(entries: list[Entry[Any]]) -> None:
    entries = sorted(entries, key=lambda e: e.order)
    found = refused(entries, {e.id for e in entries}, PEOPLE, SHOP)
    assert [(entry.id, doubt.sentence) for entry, doubt in found] == one_by_one(entries)


@given(hostile_histories)
def test_hostile_ones_too(entries: list[Entry[Any]]) -> None:
    entries = sorted(entries, key=lambda e: e.order)
    late = {e.id for e in entries[len(entries) // 2 :]}
    found = refused(entries, late, PEOPLE, SHOP)
    assert [(entry.id, doubt.sentence) for entry, doubt in found] == [d for d in one_by_one(entries) if d[0] in late]
