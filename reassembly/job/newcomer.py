"""Another person, where that person was added only after the job was opened: whoever signs has to look at it.

Two people are asked for where one could be wrong. A name that the fitter adds and then speaks under is no second
person, and the program cannot tell it from a colleague who is new here; it says what it knows.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.entries import ExceptionAccepted, PersonAdded
from reassembly.job.heard import Heard, work_on
from reassembly.job.job import parts, unstruck
from reassembly.job.people import name_key
from reassembly.job.wording import minute

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job
    from reassembly.job.people import People

    New = Mapping[str, Entry[PersonAdded]]
    """Who was added after the job was opened, by short name as it is compared, with the first entry that said so."""


def newcomers(job: Job, checks: Iterable[Check]) -> Mapping[str, str]:
    """By key, of each safety-critical check that a second person answered: what to know of the two, in one sentence.

    Those that have nothing to say are left out: both were added before the job was opened, or the one who looked at it
    was, and the one who did the work was added by somebody else under a name that is not close.
    """
    opened = min((e.order for e in (*job.entries, *job.struck)), default=None)
    if opened is None:
        return {}
    added: dict[str, Entry[PersonAdded]] = {}
    for entry in unstruck(job.people):
        if isinstance(entry.fact, PersonAdded):
            added.setdefault(name_key(entry.fact.person), entry)
    new = {short: entry for short, entry in added.items() if entry.order > opened}
    if not new:
        return {}
    every, heard = parts(job), Heard.of(job)
    told: dict[str, str] = {}
    for check in checks:
        answer = check.answer
        if answer is None or not check.safety or not (check.way == "second" or check.state == "excepted"):
            continue
        work = [*work_on(check, every, heard, whole=True)]
        looked, looks = answer.who, "made the second check"
        if isinstance(answer.fact, ExceptionAccepted):
            work.append(answer)
            looked, looks = answer.fact.accepted_by, "accepted it"
        workers = list(dict.fromkeys(e.who for e in work))
        if sentence := next(_sentences(looked, looks, workers, new, heard.people), ""):
            told[check.key] = sentence
    return told


def _sentences(looked: str, looks: str, workers: list[str], new: New, people: People) -> Iterator[str]:
    """What is odd about whoever looked at it, then about those who did the work."""
    if entry := _added(looked, new, people):
        does = ", who did the work" if _same(entry.who, workers, people) else ""
        yield _sentence(entry, "", does, next((w for w in workers if people.close(w, looked)), ""))
    for worker in workers:
        if entry := _added(worker, new, people):
            does = f", who {looks}" if _same(entry.who, [looked], people) else ""
            close = looked if people.close(worker, looked) else ""
            if does or close:
                yield _sentence(entry, ", who did the work,", does, close)


def _added(name: str, new: New, people: People) -> Entry[PersonAdded] | None:
    known = people.find(name)
    return new.get(name_key(known.person)) if known else None


def _itself(entry: Entry[PersonAdded]) -> bool:
    return name_key(entry.who) == name_key(entry.fact.person)


def _same(name: str, several: Iterable[str], people: People) -> bool:
    known = people.find(name)
    return known is not None and any(people.find(other) == known for other in several)


def _sentence(entry: Entry[PersonAdded], did: str, does: str, close: str) -> str:
    person = entry.fact.person
    by = "by nobody else: the new name was typed at the bench" if _itself(entry) else f"by {entry.who}{does}"
    alike = f"; {person} and {close} are close names" if close else ""
    return f"{person}{did} was added {minute(entry.time)}, after this job was opened, {by}{alike}"
