"""What is found by a wrench, a batch, a part number, a fluid batch or a person, and which days count."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given

from reassembly.job import entries as said
from reassembly.job.entries import Entry, Stage
from reassembly.job.job import Job
from reassembly.job.recall import Recall, Vehicle, Window, joints, rows, window
from reassembly.job.uses import Use, key, uses
from tests.job.histories import hostile_histories


def entry(number: int, fact: Any, who: str = "ann", **rest: Any) -> Entry[Any]:
    fields = {"time": "2026-03-14T10:00:00+00:00", "hlc": number, "clock_trusted": True, **rest}
    return Entry(bench="KD", number=number, who=who, job="KD-1", previous="", fact=fact, **fields)


STORY = {
    e.id: e
    for e in (
        entry(1, said.TorqueSpecified(part="flange", stages=(Stage("torque", "30 N.m"), Stage("torque", "60 N.m")))),
        entry(2, said.RenewalNeeded(part="pan", what="gasket", count=2, part_number="INV-77")),
        entry(
            3,
            said.FastenersRemoved(
                part="flange", count=4, thread="M10x1.25", strength="10.9", reuse="renew", safety_critical=True
            ),
        ),
    )
}
FOUND = {
    "a tightening, by wrench and person": (
        said.StageTightened(specification="KD.1", stage=2, position=3, wrench="T3", value="61 N.m", setting="55 N.m"),
        [
            ("wrench", "T3", "tightened", "flange", "stage 2 of 2: 60 N.m"),
            ("person", "ann", "tightened", "flange", "stage 2 of 2: 60 N.m"),
        ],
    ),
    "a tightening of a specification that is not here": (
        said.StageTightened(specification="KD.9", stage=2, wrench="T3"),
        [("wrench", "T3", "tightened", "", "stage 2 of KD.9"), ("person", "ann", "tightened", "", "stage 2 of KD.9")],
    ),
    "new bolts": (
        said.RenewalReceived(needed="KD.3", batch="7731", part_number="B-10"),
        [
            ("batch", "7731", "on hand", "flange", "4 x M10x1.25 10.9, RENEW"),
            ("part number", "B-10", "on hand", "flange", "4 x M10x1.25 10.9, RENEW"),
        ],
    ),
    "a renewal without a number on the packet has the one asked for": (
        said.RenewalReceived(needed="KD.2"),
        [("part number", "INV-77", "on hand", "pan", "2 x gasket")],
    ),
    "another number on the packet: found by both": (
        said.RenewalReceived(needed="KD.2", part_number="SUB-1"),
        [
            ("part number", "SUB-1", "on hand", "pan", "2 x gasket"),
            ("part number", "INV-77", "on hand", "pan", "2 x gasket"),
        ],
    ),
    "asked for": (STORY["KD.2"].fact, [("part number", "INV-77", "asked for", "pan", "2 x gasket")]),
    "fluid": (
        said.FluidFilled(fluid="gear oil", amount="2 l", batch="L 4", phase="standing"),
        [("fluid batch", "L 4", "filled", "", "gear oil, standing")],
    ),
    "a second check": (
        said.SecondCheckMade(check="KD.3.second"),
        [("person", "ann", "second check", "flange", "flange: 4 x M10x1.25 10.9, RENEW, safety-critical")],
    ),
    "an exception, by who says and who answers for it": (
        said.ExceptionAccepted(check="KD.2.fitted", reason="none on hand", accepted_by="ben"),
        [
            ("person", "ben", "exception", "pan", "renew: 2 x gasket, pan, INV-77: none on hand"),
            ("person", "ann", "exception", "pan", "renew: 2 x gasket, pan, INV-77: none on hand"),
        ],
    ),
    "a sign-off": (said.SignedOff(covers={}), [("person", "ann", "signed off", "", "")]),
    "no wrench named": (
        said.StageTightened(specification="KD.1", stage=1),
        [("person", "ann", "tightened", "flange", "stage 1 of 2: 30 N.m")],
    ),
    "a part that came off": (said.PartRemoved(part="pan", name="pan"), []),
}


@pytest.mark.parametrize(("fact", "found"), FOUND.values(), ids=FOUND.keys())
def test_what_an_entry_is_found_by(fact: said.Fact, found: list[tuple[str, ...]]) -> None:
    told = [(what, u.typed, u.did, u.part, u.about) for what, u in uses(entry(5, fact), STORY.get)]
    assert told == found


@pytest.mark.parametrize(
    ("one", "other"), [("T3", "t3"), ("B 7731", "b-7731"), ("O77", "077"), ("I1", "11"), ("Ann ", "ann"), ("—", " —")]
)
def test_what_a_greasy_packet_leaves_unclear_is_found_all_the_same(one: str, other: str) -> None:
    assert key(one) == key(other)
    assert key(one)


def test_two_batches_are_two() -> None:
    assert len({key(text) for text in ("7731", "7732", "77311", "")}) == 4


GOOD, BAD = said.WrenchCalibrated, said.WrenchFailed
DAYS = {  # what was said of T3, oldest first: (since, until)
    "never calibrated": ([], ("", "")),
    "did not fail": ([GOOD(wrench="T3", on="2025-03-01"), GOOD(wrench="T3", on="2026-03-01")], ("2026-03-01", "")),
    "failed": (
        [GOOD(wrench="T3", on="2025-03-01"), GOOD(wrench="T9", on="2025-09-01"), BAD(wrench="t3", on="2026-03-01")],
        ("2025-03-01", ""),
    ),
    "failed and mended since": (
        [GOOD(wrench="T3", on="2025-03-01"), BAD(wrench="T3", on="2026-03-01"), GOOD(wrench="T3", on="2026-03-09")],
        ("2025-03-01", "2026-03-09"),
    ),
    "found wrong and set right on one day": (
        [GOOD(wrench="T3", on="2025-03-01"), BAD(wrench="T3", on="2026-03-01"), GOOD(wrench="T3", on="2026-03-01")],
        ("2025-03-01", "2026-03-01"),
    ),
    "dropped on the day it came back good": (
        [GOOD(wrench="T3", on="2025-03-01"), GOOD(wrench="T3", on="2026-03-01"), BAD(wrench="T3", on="2026-03-01")],
        ("2026-03-01", ""),
    ),
    "failed twice: the last counts": (
        [
            GOOD(wrench="T3", on="2024-03-01"),
            BAD(wrench="T3", on="2025-03-01"),
            GOOD(wrench="T3", on="2025-03-05"),
            BAD(wrench="T3", on="2026-03-01"),
        ],
        ("2025-03-05", ""),
    ),
    "failed twice with nothing between": (
        [GOOD(wrench="T3", on="2024-03-01"), BAD(wrench="T3", on="2025-03-01"), BAD(wrench="T3", on="2026-03-01")],
        ("2024-03-01", ""),
    ),
    "failed before it was ever calibrated": (
        [BAD(wrench="T3", on="2025-03-01"), GOOD(wrench="T3", on="2025-04-01")],
        ("", "2025-04-01"),
    ),
    "said late": (
        [BAD(wrench="T3", on="2026-03-01"), GOOD(wrench="T3", on="2025-03-01")],
        ("2025-03-01", ""),
    ),
}


@pytest.mark.parametrize(("facts", "days"), DAYS.values(), ids=DAYS.keys())
def test_the_days_in_which_a_wrench_is_in_doubt(facts: list[said.Fact], days: tuple[str, str]) -> None:
    found = window(Job.of(entry(n, fact) for n, fact in enumerate(facts, 1)), "T3")
    assert (found.since, found.until) == days
    assert "T3" in found.why


def test_a_calibration_struck_out_was_never_good() -> None:
    facts = [
        GOOD(wrench="T3", on="2025-03-01"),
        GOOD(wrench="T3", on="2025-09-01"),
        BAD(wrench="T3", on="2026-03-01"),
        said.EntryStruck(entry="KD.2", why="another wrench's certificate"),
    ]
    assert window(Job.of(entry(n, fact) for n, fact in enumerate(facts, 1)), "T3").since == "2025-03-01"


def stamp(day: str) -> int:
    return int(datetime.fromisoformat(f"{day}T12:00:00").replace(tzinfo=UTC).timestamp() * 1000) << 16


@pytest.mark.parametrize(
    ("time", "hlc", "trusted", "doubt"),
    [
        ("2026-03-14T10:00:00+00:00", "2026-03-14", False, ""),
        ("1970-01-01T00:10:00+00:00", "2026-03-14", False, "2026-03-14"),
        ("2026-03-13T10:00:00+00:00", "2026-03-14", True, ""),
        ("yesterday", "2026-03-14", False, "2026-03-14"),
    ],
)
def test_a_clock_that_cannot_be_believed_hides_no_joint(time: str, hlc: str, trusted: bool, doubt: str) -> None:
    told = entry(
        9, said.StageTightened(specification="KD.1", stage=1), time=time, hlc=stamp(hlc), clock_trusted=trusted
    )
    ((_, use),) = uses(told, STORY.get)
    assert use.doubt == doubt


def test_positions_of_one_stage_are_one_line() -> None:
    def one(number: int, position: int | None, wrench: str = "T3", day: int = 14) -> Use:
        time = f"2026-03-{day}T10:{number:02}:00+00:00"
        return Use("T3", "tightened", "flange", "60 N.m", position, "", wrench, entry=f"KD.{number}", time=time)

    several = [one(1, 1), one(2, 3), one(3, 2, "T5"), one(4, 2), one(5, 4, day=15), one(6, None)]
    assert [(j.first.wrench, j.positions) for j in joints(reversed(several))] == [
        ("T3", (1, 3, 2)),
        ("T5", (2,)),
        ("T3", (4,)),
        ("T3", ()),
    ]
    told = [joint.told for joint in joints(reversed(several))]
    assert told[0] == "tightened: flange, 60 N.m, positions 1 to 3, wrench T3"
    assert told[-1] == "tightened: flange, 60 N.m, whole stage at once, wrench T3"


def test_a_row_names_vehicle_and_customer_and_says_that_they_were_erased() -> None:
    use = Use("T3", "tightened", "flange", "60 N.m", 1, job="KD-1", entry="KD.4", time="2026-03-14T10:00:00+00:00")
    found = Recall("wrench", "T3", Window(), (use,), {"KD-1": Vehicle("KD-1", vehicle="Kestrel van", erased=True)})
    (row,) = rows(found)
    assert (row["vehicle"], row["customer"], row["customer_erased"], row["position"]) == ("Kestrel van", "", True, 1)
    assert found.vehicles["KD-1"].told == "details erased on request"
    assert found.summary == "1 entry of 1 job about wrench T3"
    assert any("struck out are not counted" in note for note in found.notes)


@given(hostile_histories)
def test_no_history_is_too_odd_to_recall(history: list[Entry[Any]]) -> None:
    every = {e.id: e for e in history}
    several = [use for e in history for _, use in uses(e, every.get)]
    for joint in joints(several):
        assert joint.told
    window(Job.of(history), "T3")
