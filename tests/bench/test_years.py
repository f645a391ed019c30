"""The record that is measured says what a recall can find, and a recall finds what a reading of every entry does."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from reassembly.job.entries import (
    Entry,
    FluidFilled,
    RenewalNeeded,
    RenewalReceived,
    SecondCheckMade,
    SignedOff,
    StageTightened,
    read,
)
from reassembly.job.uses import WHATS, What
from reassembly.record.desk import Desk
from tests.bench import stories, years

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

JOBS = years.IN_HAND + 4


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    folder: Path = tmp_path_factory.mktemp("years")
    years.build(folder, JOBS)
    with Desk.open(folder, who=stories.WORKER) as desk:
        yield desk


def naive(every: dict[str, Entry[Any]]) -> Iterator[tuple[What, str, str]]:
    """What was used, as it is called, and the entry that says so, told from each entry; nothing is struck here."""
    for entry in every.values():
        match entry.fact:
            case StageTightened(wrench=wrench):
                yield "wrench", wrench, entry.id
                yield "person", entry.who, entry.id
            case RenewalReceived(batch=batch, needed=needed, part_number=number):
                yield "batch", batch, entry.id
                for each in {number, getattr(every[needed].fact, "part_number", "")}:
                    yield "part number", each, entry.id
            case RenewalNeeded(part_number=number):
                yield "part number", number, entry.id
            case FluidFilled(batch=batch):
                yield "fluid batch", batch, entry.id
            case SecondCheckMade() | SignedOff():
                yield "person", entry.who, entry.id


def test_a_recall_finds_what_a_reading_of_every_entry_finds(desk: Desk) -> None:
    every = {entry.id: entry for _, _, body in desk.journal.bodies() for entry in [read(body)]}
    used: dict[tuple[What, str], list[str]] = {}
    for what, name, entry in naive(every):
        if name:
            used.setdefault((what, name), []).append(entry)
    assert {what for what, _ in used} == set(WHATS), "the record has something of each to recall"
    found = {(what, name): [use.entry for use in desk.recall(what, name).uses] for what, name in used}
    assert {asked: sorted(entries) for asked, entries in found.items()} == {
        asked: sorted(entries) for asked, entries in used.items()
    }
