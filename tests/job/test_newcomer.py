"""A second person who was added only after the job was opened counts, and whoever signs is told."""

from typing import Any

import pytest

from reassembly.job import entries as said
from reassembly.job.checks import checks
from reassembly.job.entries import Entry
from reassembly.job.job import Job
from reassembly.job.newcomer import newcomers
from reassembly.job.shop import Shop
from reassembly.job.signoff import signoff

OPENED = 100
Added = tuple[str, str, int]
"""Who, by whom, and when among all entries."""
OLD: tuple[Added, ...] = (("ann", "ann", 1), ("ben", "ann", 2))


def entry(number: int, fact: said.Fact, who: str, job: str = "A.1") -> Entry[Any]:
    return Entry(
        bench="A", number=number, hlc=number, time=f"2026-03-14T16:{number % 60:02}:00+01:00", who=who, job=job,
        previous="", fact=fact,
    )  # fmt: skip


def job(*added: Added, fitter: str = "ann", second: str = "ben", excepted: bool = False) -> Job:
    """A propshaft that one person tightened, the other one looked at or answers for."""
    answer: said.Fact = said.SecondCheckMade(check="A.102.second")
    if excepted:
        answer = said.ExceptionAccepted(check="A.102.second", reason="nobody here", accepted_by=second)
    history = [
        entry(OPENED, said.JobOpened(vehicle="Kestrel van"), "ann"),
        entry(101, said.PartRemoved(part="shaft", name="propshaft"), fitter),
        entry(102, said.FastenersRemoved(part="shaft", count=4, safety_critical=True), fitter),
        entry(103, said.CheckConfirmed(check="A.102.started"), fitter),
        entry(104, said.CheckConfirmed(check="A.102.tight"), fitter),
        entry(140, answer, fitter if excepted else second),
    ]
    people = [entry(n, said.PersonAdded(person=person), who, job="") for person, who, n in (*OLD, *added)]
    return Job.of(history, people)


def told(story: Job) -> list[str]:
    return list(newcomers(story, checks(story)).values())


WHEN = "2026-03-14 16:00, after this job was opened"
TOLD: dict[str, tuple[Job, list[str]]] = {
    "both known before": (job(), []),
    "a new one who has nothing to do with it": (job(("anne", "ann", 120)), []),
    "by the fitter, a close name": (
        job(("anne", "ann", 120), second="anne"),
        [f"anne was added {WHEN}, by ann, who did the work; anne and ann are close names"],
    ),
    "by the fitter": (job(("zoe", "ann", 120), second="zoe"), [f"zoe was added {WHEN}, by ann, who did the work"]),
    "by somebody else": (job(("zoe", "ben", 120), second="zoe"), [f"zoe was added {WHEN}, by ben"]),
    "by somebody else, a close name": (
        job(("anne", "ben", 120), second="anne"), [f"anne was added {WHEN}, by ben; anne and ann are close names"],
    ),
    "by nobody else": (
        job(("zoe", "Zoe", 120), second="zoe"),
        [f"zoe was added {WHEN}, by nobody else: the new name was typed at the bench"],
    ),
    "before the job was opened": (job(("anne", "ann", 60), second="anne"), []),
    "said again of one known before": (job(("ben", "ann", 120)), []),
    "the fitter is the new one, by who made the second check": (
        job(("zoe", "ann", 120), fitter="zoe", second="ann"),
        [f"zoe, who did the work, was added {WHEN}, by ann, who made the second check"],
    ),
    "the fitter is the new one, a close name": (
        job(("anne", "ben", 120), fitter="anne", second="ann"),
        [f"anne, who did the work, was added {WHEN}, by ben; anne and ann are close names"],
    ),
    "the fitter is an apprentice whom a third one added": (job(("zoe", "ann", 120), fitter="zoe"), []),
    "an exception": (
        job(("zoe", "ann", 120), second="zoe", excepted=True), [f"zoe was added {WHEN}, by ann, who did the work"],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("story", "sentences"), TOLD.values(), ids=TOLD.keys())
def test_of_a_second_person_is_told_who_added_whom_and_when(story: Job, sentences: list[str]) -> None:
    assert told(story) == sentences


def test_it_counts_all_the_same_and_the_signoff_warns_first() -> None:
    story = job(("anne", "ann", 120), second="anne")
    (second,) = (check for check in checks(story) if check.way == "second")
    assert second.state == "confirmed"
    assert signoff(story, Shop.of(story.people)).warnings[0] == (
        f"anne was added {WHEN}, by ann, who did the work; anne and ann are close names: second check of propshaft"
    )


def test_the_signoff_warns_of_an_exception_that_somebody_new_accepted() -> None:
    story = job(("zoe", "ann", 120), second="zoe", excepted=True)
    assert (
        f"zoe was added {WHEN}, by ann, who did the work: exception at propshaft"
        in signoff(story, Shop.of(story.people)).warnings
    )


def test_one_warning_names_every_joint() -> None:
    story = job(("zoe", "ann", 120), second="zoe")
    more = [
        entry(105, said.FastenersRemoved(part="shaft", count=2, fasteners="strap", safety_critical=True), "ann"),
        entry(106, said.CheckConfirmed(check="A.105.tight"), "ann"),
        entry(141, said.SecondCheckMade(check="A.105.second"), "zoe"),
    ]
    both = Job.of((*story.entries, *more), story.people)
    assert told(both) == told(story) * 2
    assert sum("zoe was added" in warning for warning in signoff(both, Shop.of(story.people)).warnings) == 1
