"""Five lines from which somebody who never saw the job can go on."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.job import Job
from reassembly.job.plan import plan
from reassembly.job.standing import Todo, standing, to_do
from reassembly.record.demo.build import build
from reassembly.record.desk import Desk
from tests.job.histories import entries_of, odd

if TYPE_CHECKING:
    from pathlib import Path

NOW = datetime(2026, 3, 14, 16, 55, tzinfo=UTC)


def job(*facts: said.Fact) -> Job:
    return Job.of(entries_of(*facts))


def told(*facts: said.Fact) -> dict[str, str]:
    return dict(standing(job(*facts)))


OPENED = said.JobOpened(vehicle="Kestrel van", complaint="drones at 80")
PAN = said.PartRemoved(part="pan", name="gearbox pan")


@pytest.mark.parametrize(
    ("facts", "lacks"),
    [
        ((said.JobOpened(vehicle="Kestrel van"),), "complaint, codes read, road test before the work; or "),
        ((OPENED, said.CodeRead(when="after")), "codes read, road test before the work; or "),
        ((OPENED, said.CodeRead()), "road test before the work; or "),
        ((OPENED, said.CodeRead(), said.RoadTested(felt="drones")), ""),
    ],
)
def test_what_check_in_lacks_comes_before_the_first_part(facts: tuple[said.Fact, ...], lacks: str) -> None:
    assert told(*facts)["next"] == f"{lacks}say the first part that comes off"


def test_a_job_just_checked_in_asks_for_the_first_part() -> None:
    lines = told(OPENED, said.CodeRead(), said.RoadTested(felt="drones"))
    assert lines["complaint"] == "drones at 80"
    assert lines["stands"] == "checked in, nothing taken off yet"
    assert lines["next"] == "say the first part that comes off"
    assert lines["last"].startswith("ann 2026-03-14 16:55: ")


def test_a_job_taken_apart_names_the_part_and_the_check_that_come_next() -> None:
    lines = told(OPENED, PAN, said.BagPacked(bag="BCDFGHJKLN", parts=("pan",), shelf="B1"))
    assert lines["stands"].startswith("1 part off, none back; ")
    assert lines["next"].startswith("gearbox pan: ")
    assert lines["next"].endswith(", shelf B1; or if more comes off")


def test_what_is_still_in_it_what_is_dry_and_what_waits_is_to_be_minded() -> None:
    lines = told(
        OPENED, PAN,
        said.AidFitted(aid="locking pin", part="pan"),
        said.FluidDrained(fluid="automatic fluid"),
        said.CheckPutOff(check="KD.2.back", reason="waits for a part"),
    )  # fmt: skip
    assert lines["mind"] == (
        "still in it: locking pin; automatic fluid not yet filled; not now: back in place (waits for a part)"
    )


def test_a_part_that_is_back_is_counted_and_the_sign_off_comes_last() -> None:
    back = (OPENED, PAN, said.CheckConfirmed(check="KD.2.back"))
    lines = told(*back)
    assert lines["stands"] == "the part back; 3 checks open before it leaves"
    assert lines["next"].startswith("before it leaves, ")
    asked = [check.key for check in plan(job(*back)).open]
    lines = told(*back, *(said.ExceptionAccepted(check=key, reason="no", accepted_by="ben") for key in asked))
    assert lines["stands"] == "the part back, every check confirmed or excepted; not signed off"
    assert lines["next"] == "look at the sign-off, and sign"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, str]]:
    folder: Path = tmp_path_factory.mktemp("demo")
    jobs = build(folder, NOW)
    with Desk.open(folder) as desk:
        return {name: dict(standing(desk.job(job))) for name, job in jobs._asdict().items()}


def test_the_demo_can_be_gone_on_with_by_a_stranger(demo: dict[str, dict[str, str]]) -> None:
    stripped, refitted, closed = demo["half_stripped"], demo["half_refitted"], demo["signed_off"]
    assert stripped["stands"] == "3 parts off, none back; 22 checks open"
    assert stripped["mind"] == "still in it: strap round the shaft"
    assert "propshaft, rear flange" in stripped["next"]
    assert refitted["stands"].startswith("11 of 20 parts back; ")
    assert refitted["last"].startswith("ben 2026-03-13 ")
    assert refitted["next"] == "propshaft, front joint: 6 new bolts on hand"
    assert "wire round the joint" in refitted["mind"]
    assert "automatic fluid not yet filled" in refitted["mind"]
    assert closed["stands"].startswith("signed off by ann ")
    assert "opens a new job" in closed["next"]


@given(st.lists(st.integers(0, 2**32), max_size=25))
def test_no_history_is_without_its_five_lines(seeds: list[int]) -> None:
    lines = standing(Job.of(odd(seeds)))
    assert [line.about for line in lines] == ["complaint", "stands", "last", "next", "mind"]
    assert all(line.words for line in lines)


def test_where_to_go_on_is_said_and_no_key_of_a_screen() -> None:
    assert to_do(job(OPENED)) == (
        Todo("check-in", "codes read, road test before the work"),
        Todo("stripdown", "say the first part that comes off"),
    )
    assert [todo.way for todo in to_do(job(OPENED, PAN))] == ["refit", "stripdown"]
