"""The record in short: what a customer, or whoever picks the record up in a year, asks first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reassembly.job import entries as said
from reassembly.job.asks import words
from reassembly.job.job import part_in
from reassembly.job.telling import stages
from reassembly.job.tightening import counts_after, stages_of, tightened
from reassembly.job.wrenches import untrusted

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job, Part
    from reassembly.job.shop import Shop
    from reassembly.job.telling import Names

Data = dict[str, Any]


def in_short(
    job: Job,
    every: dict[str, Part],
    checks: Sequence[Check],
    names: Names,
    done: Entry[said.SignedOff] | None,
    told: Mapping[str, str],
    shop: Shop,
) -> Data:
    """As plain data: parts that came off, what was renewed, each joint in one line, who did what. `told` has by key of
    a check what to know of the second person."""
    return {
        "off": [part.name for part in every.values() if part.removed],
        "renewed": [_renewed(entry.fact, names) for entry in job.said(said.RenewalReceived)],
        "joints": list(_joints(job, every, checks, shop)),
        "second": [_second(check, every, told.get(check.key, "")) for check in checks if check.way == "second"],
        "who": {**dict(_who(job)), **({"signed off": [done.who]} if done else {})},
    }


def _renewed(fact: said.RenewalReceived, names: Names) -> str:
    number = words(fact.part_number, fact.batch and f"batch {fact.batch}")
    return words(names.entry(fact.needed), number, between=" ")


def _second(check: Check, every: dict[str, Part], told: str) -> Data:
    """A safety-critical set, and who made its second check, if somebody did."""
    made = check.answer if check.state == "confirmed" else None
    return {
        "joint": part_in(every, check.part).name,
        "state": check.state,
        "who": made.who if made else "",
        "when": made.time if made else "",
        "told": told,
    }


def _joints(job: Job, every: dict[str, Part], checks: Sequence[Check], shop: Shop) -> Iterator[Data]:
    """Each specification that stands, with the state of what it asks for, and what was tightened to it."""
    states: dict[str, set[str]] = {}
    for check in checks:
        states.setdefault(check.asked_by.id, set()).add(check.state)
    for entry in job.said(said.TorqueSpecified):
        fact = entry.fact
        part = part_in(every, fact.part)
        asked = stages_of(fact, part)
        done = [tightened(job, entry, stage, counts_after(entry, part)) for stage in asked]
        several = [e for each in done for e in each.entries]
        last = max(several, key=lambda e: e.order, default=None)
        yield {
            "joint": words(part.name, fact.fasteners),
            "specified": stages(fact.stages),
            "positions": asked[0].positions if asked else 0,
            "state": _state(states.get(entry.id, set())),
            "wrenches": sorted({e.fact.wrench for e in several if e.fact.wrench}),
            "untrusted": sorted(
                {
                    f"{e.fact.wrench} {why}"
                    for stage, each in zip(asked, done, strict=True)
                    for e in each.entries
                    if (why := untrusted(e, stage, job, shop))
                }
            ),
            "who": sorted({e.who for e in several}),
            "when": last.time if last else "",
        }


def _state(states: set[str]) -> str:
    """Of all that one specification asks for: `confirmed`, `excepted` where nothing else is, `open`."""
    still = states - {"confirmed"}
    return "confirmed" if not still else "excepted" if still == {"excepted"} else "open"


def _who(job: Job) -> Iterator[tuple[str, list[str]]]:
    kinds: dict[str, tuple[type[said.Fact], ...]] = {
        "stripped": (said.PartRemoved,),
        "refitted": (said.CheckConfirmed,),
        "tightened": (said.StageTightened,),
        "second checks": (said.SecondCheckMade,),
    }
    for did, several in kinds.items():
        people = dict.fromkeys(e.who for e in job.entries if isinstance(e.fact, several))
        if people:
            yield did, list(people)
