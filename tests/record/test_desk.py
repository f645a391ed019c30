"""What the one door does in one breath."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import msgspec
import pytest

from reassembly.job.checks import closed
from reassembly.job.entries import CheckConfirmed, JobOpened, PartRemoved, PersonAdded, RoadTested, write
from reassembly.job.plan import plan
from reassembly.record.desk import Desk
from reassembly.record.trouble import Refused

if TYPE_CHECKING:
    from pathlib import Path


def ready(desk: Desk) -> str:
    job = desk.open_new(JobOpened(vehicle="Kestrel"))
    desk.say(RoadTested(when="after", felt="quiet"))
    for check in plan(desk.job()).open:
        desk.say(CheckConfirmed(check=check.key))
    return job


def test_a_job_with_nothing_open_is_signed_off_over_what_was_judged(tmp_path: Path) -> None:
    with Desk.open(tmp_path, who="ann") as desk:
        ready(desk)
        last = desk.heads()[desk.bench].number
        signed = desk.sign_off()
        assert signed is not None
        assert signed.fact.covers == {desk.bench: last}
        assert closed(desk.job()) == signed
        assert desk.sign_off() is None, "it is signed off already"


def test_what_another_terminal_said_after_the_look_keeps_a_job_open(tmp_path: Path) -> None:
    with Desk.open(tmp_path, who="ann") as desk, Desk.open(tmp_path, who="ben") as other:
        other.open_job = ready(desk)
        assert plan(desk.job()).open == ()
        other.say(PartRemoved(part="pan", name="pan"))
        assert desk.sign_off() is None
        assert closed(desk.job()) is None


@pytest.mark.parametrize("trusted", [True, False])
def test_a_clock_beyond_2200_is_not_let_in_whatever_is_known_of_ours(tmp_path: Path, trusted: bool) -> None:
    with Desk.open(tmp_path, who="ann", trusted=lambda: trusted) as desk:
        said: Any = desk.say(PersonAdded(person="ann"))
        other = msgspec.structs.replace(said, bench="ZZZ", number=1, hlc=(1 << 63) - 1, previous="")
        with pytest.raises(Refused), desk.journal.writing() as writing:
            writing.take(write(other))
        assert desk.say(PersonAdded(person="ben")).number == said.number + 1
