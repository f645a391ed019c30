"""The invented workshop: people, wrench rack, shelves, spec book; badges, tags and labels with codes."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from reassembly.job.entries import (
    BenchNamed,
    PersonAdded,
    ShelfAdded,
    SpecNoted,
    Stage,
    WrenchAdded,
    WrenchCalibrated,
    WrenchFailed,
)
from reassembly.record.printing import with_code

if TYPE_CHECKING:
    from datetime import date

    from reassembly.record.demo.person import Person

SOURCE = "invented workshop manual"

PEOPLE = (
    PersonAdded(person="ann", name="Ann Thistlewood"),
    PersonAdded(person="ben", name="Ben Marrowby"),
    PersonAdded(person="joss", name="Joss Penderwick, foreman"),
)
RACK = (
    WrenchAdded(wrench="T1", name="click wrench, 1/4 inch", low="2 N.m", high="25 N.m"),
    WrenchAdded(wrench="T2", name="click wrench, 3/8 inch", low="20 N.m", high="100 N.m"),
    WrenchAdded(wrench="T3", name="click wrench, 1/2 inch", low="40 N.m", high="200 N.m"),
    WrenchAdded(wrench="T4", name="dial wrench, 1/2 inch", low="30 N.m", high="150 N.m"),
)
SHELVES = tuple(ShelfAdded(shelf=name) for name in ("A1", "A2", "B1", "C2", "C3", "long rack"))
WITH_A_CODE: tuple[PersonAdded | WrenchAdded | ShelfAdded, ...] = (*PEOPLE, *RACK, *SHELVES)


def set_up(ann: Person, on: date) -> None:
    """The workshop as it was when it began to keep its record."""
    ann.says(
        BenchNamed(name="the bench by the window"),
        *(with_code(ann.desk, each) for each in WITH_A_CODE),
    )
    for number, wrench in enumerate(RACK, 1):
        ann.says(_calibrated(wrench.wrench, on - timedelta(days=30), f"C-{400 + number}"))
    ann.says(
        SpecNoted(
            vehicle="Wexmoor 4x4 estate",
            joint="propshaft to pinion flange",
            thread="M10x1.25",
            strength="10.9",
            stages=(Stage("torque", "40 N.m"), Stage("torque", "70 N.m")),
            source=f"{SOURCE}, page 212",
        ),
        SpecNoted(
            vehicle="Wexmoor 4x4 estate",
            joint="gearbox pan",
            thread="M6x1",
            strength="8.8",
            stages=(Stage("by hand"), Stage("torque", "4 N.m"), Stage("torque", "8 N.m")),
            source=f"{SOURCE}, page 118",
        ),
        SpecNoted(
            vehicle="Tallis van",
            joint="pinion flange nut",
            thread="M20x1.5",
            strength="10",
            stages=(Stage("torque", "120 N.m"), Stage("angle", "60 deg")),
            source=f"{SOURCE}, page 64",
        ),
    )


def calibrate(joss: Person, on: date) -> None:
    """A year later: two wrenches came back good, one failed, and T2 was not sent."""
    joss.says(
        _calibrated("T1", on, "C-431"),
        _calibrated("T3", on, "C-432"),
        WrenchFailed(wrench="T4", on=on.isoformat(), why="read 9 % low at 100 N.m"),
    )


def _calibrated(wrench: str, on: date, certificate: str) -> WrenchCalibrated:
    return WrenchCalibrated(
        wrench=wrench,
        on=on.isoformat(),
        until=(on + timedelta(days=365)).isoformat(),
        certificate=f"{certificate}, invented laboratory",
    )
