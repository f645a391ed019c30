"""What was understood of a typed line, in plain words, to show beside what is typed."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.asks import words
from reassembly.job.job import Job, parts
from reassembly.job.places import seen_from, weight, weight_place
from reassembly.job.understood import coarse_unsaid, understood
from reassembly.job.wording import many
from reassembly.trade.grade import read_grade
from reassembly.trade.quantity import plain
from reassembly.trade.thread import read_thread

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.entries import Fact


def shown(fact: Fact, job: Job, *, fits: bool) -> Iterator[str]:
    """One line for each thing understood. `job` holds the fact; `fits` when nothing is doubtful about a torque."""
    match fact:
        case said.PartRemoved():
            yield parts(job)[fact.part].name
            yield from understood(fact, job)
            yield f"note: {fact.note}" if fact.note else ""
        case said.FastenersRemoved():
            yield _fasteners(fact)
        case said.TorqueSpecified():
            yield from _torque(fact, job, fits=fits)
        case said.MarkMade():
            yield words(f"mark: {fact.mark}", fact.to and f"in line with {fact.to}")
            yield from understood(fact, job)
            if fact.marked_tooth and not fact.spline_teeth:
                yield words(f"tooth {fact.marked_tooth}", seen_from(fact.seen_from), between=" ")
        case said.WeightFound():
            yield words(f"{weight(fact)} at {weight_place(fact)}", fact.radius and f"radius {fact.radius}")
        case said.AidFitted():
            yield f"aid to come out again: {words(fact.aid, fact.where)}"
        case said.RenewalNeeded():
            count = f"{fact.count} x " if fact.count > 1 else ""
            yield words(f"renew {count}{fact.what}", fact.part_number, fact.why)
        case said.PartStuck():
            yield words(f"stuck, freed by {fact.freed}", fact.grease and f"at refit {fact.grease}")
        case said.CareNoted():
            yield f"at refit {_CARE.get(fact.care, fact.care)} {fact.what}"
        case _:
            yield from understood(fact, job)


_CARE = {"look": "look at"}


def _fasteners(fact: said.FastenersRemoved) -> str:
    """`3 bolts M12 x 1.75 x 60, class 10.9`; a pitch that nobody said is not told as if somebody had."""
    length = f" x {fact.lengths[0]}" if len(set(fact.lengths)) == 1 else ""
    size, pitch_unsaid = fact.thread, ""
    with suppress(ValueError):
        thread = read_thread(fact.thread)
        pitch = f" x {plain(float(thread.pitch_or_tpi))}"
        if thread.coarse_assumed:
            pitch, pitch_unsaid = "", coarse_unsaid(thread)
        left = " LH" if thread.left_hand else ""
        size = f"{thread.designation}{left}" if thread.inch else f"M{plain(float(thread.major))}{pitch}{left}"
    strength = fact.strength if fact.strength.startswith("grade") else fact.strength and f"class {fact.strength}"
    return words(
        f"{many(fact.count, fact.what)} {size}{length}".strip(),
        f"lengths {'/'.join(fact.lengths)}" if len(set(fact.lengths)) > 1 else "",
        strength,
        pitch_unsaid,
        fact.drive,
        "new ones at refit" if fact.reuse == "renew" else "",
        "a second person confirms" if fact.safety_critical else "",
    )


def _torque(fact: said.TorqueSpecified, job: Job, *, fits: bool) -> Iterator[str]:
    found = parts(job)[fact.part].fasteners(fact.fasteners)
    of = f"{fact.fasteners}: " if fact.fasteners else ""
    for number, line in enumerate(understood(fact, job)):
        yield f"{of}{line}" if not number else line
    yield f"source {fact.source}" if fact.source else "no source given yet"
    yield f"retorque {fact.retorque}" if fact.retorque else ""
    torque = any(stage.kind == "torque" for stage in fact.stages)
    if found and fits and torque and not any(stage.kind == "angle" for stage in fact.stages):
        with suppress(ValueError):
            read_grade(found.strength).strength(read_thread(found.thread))
            yield f"inside the usual window for {found.thread} {found.strength}"
