"""One job alone, told again in another journal: the same job, the same checks, under this bench's own numbers."""

from pathlib import Path

import pytest

from reassembly.job.entries import (
    AidFitted,
    AidRemoved,
    CheckConfirmed,
    FastenersRemoved,
    JobOpened,
    MarkMade,
    PartRemoved,
    PersonAdded,
    RoadTested,
    SecondCheckMade,
    SignedOff,
)
from reassembly.job.plan import plan
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from reassembly.record.lines import LinesRefused, append, dump


@pytest.fixture
def dumped(tmp_path: Path) -> list[bytes]:
    with Desk.open(tmp_path / "theirs", who="ann") as desk:
        desk.open_new(JobOpened(vehicle="Other"))
        desk.say(PartRemoved(part="lid", name="lid"))
        job = desk.open_new(JobOpened(vehicle="Kestrel"))
        from reassembly.job.entries import CustomerNamed

        desk.say(CustomerNamed(digest=""), details=Customer(name="Orla"))
        desk.say(PartRemoved(part="pan", name="pan"))
        mark = desk.say(MarkMade(part="pan", mark="paint"))
        aid = desk.say(AidFitted(aid="plug"))
        desk.say(CheckConfirmed(check=f"{mark.id}.mark"))
        desk.say(AidRemoved(aid=aid.id))
        desk.say(SignedOff(covers={"XX": 4}, exceptions=(f"{mark.id}.mark",)))
        return list(dump(desk.journal, job))


def test_a_job_alone_is_refused_as_it_stands_and_taken_anew(dumped: list[bytes], tmp_path: Path) -> None:
    with Desk.open(tmp_path / "ours", who="ben") as desk:
        with pytest.raises(LinesRefused) as refused:
            append(desk.journal, dumped)
        assert "told anew" in str(refused.value.errors[0])
        kept = append(desk.journal, dumped, anew=True)
        job = desk.job(kept.entries[0].job)
        states = {check.wording: check.state for check in plan(job).checks}
        assert states["marks in line"] == states["plug out again"] == "confirmed"
        assert states["back in place"] == "open"
        assert [e.who for e in kept.entries] == ["ann"] * 7
        assert kept.left_out == 1, "the customer's words do not travel"
        signed = kept.entries[-1].fact
        assert signed.covers == {desk.bench: 6}
        assert signed.exceptions == (f"{kept.entries[2].id}.mark",)
        assert desk.verify(lambda *_: None) == []


def test_a_job_is_not_told_anew_into_itself(tmp_path: Path) -> None:
    with Desk.open(tmp_path / "ours", who="ben") as desk:
        job = desk.open_new(JobOpened(vehicle="Kestrel"))
        desk.say(PartRemoved(part="pan", name="pan"))
        before = list(dump(desk.journal))
        with pytest.raises(LinesRefused) as refused:
            append(desk.journal, list(dump(desk.journal, job)), anew=True)
        assert "here already" in str(refused.value.errors[0])
        assert list(dump(desk.journal)) == before


def test_a_signed_job_whose_people_nobody_here_knows_is_not_opened_again_without_a_word(tmp_path: Path) -> None:
    with Desk.open(tmp_path / "theirs", who="ann") as theirs:
        for person in ("ann", "ben"):
            theirs.say(PersonAdded(person=person))
        job = theirs.open_new(JobOpened(vehicle="Kestrel"))
        theirs.say(PartRemoved(part="pan", name="pan"))
        theirs.say(FastenersRemoved(part="pan", count=4, safety_critical=True))
        theirs.say(RoadTested(when="after", felt="quiet"))
        for check in plan(theirs.job()).open:
            with theirs.in_the_name_of("ben" if check.way == "second" else "ann"):
                theirs.say(
                    SecondCheckMade(check=check.key) if check.way == "second" else CheckConfirmed(check=check.key)
                )
        assert theirs.sign_off()
        lines = list(dump(theirs.journal, job))
    with Desk.open(tmp_path / "ours", who="joss") as ours:
        ours.say(PersonAdded(person="joss"))
        before = list(dump(ours.journal))
        with pytest.raises(LinesRefused) as refused:
            append(ours.journal, lines, anew=True)
        assert "ann and ben are not known here: add them, then append." in str(refused.value.errors[0])
        assert list(dump(ours.journal)) == before
        for person in ("ann", "ben"):
            ours.say(PersonAdded(person=person))
        append(ours.journal, lines, anew=True)
        assert ours.jobs()[0].signed_off
