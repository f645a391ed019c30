"""One line in which a part and its facts are typed as a technician would say them, read into facts.

What may be typed stands in capture_words.SHORTHAND. Nothing is guessed silently: a piece is a fact, or it is said back.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import msgspec

from reassembly.job.capture_draft import Draft
from reassembly.job.capture_ground import Ground, Part
from reassembly.job.capture_read import LONGEST, read_line
from reassembly.job.capture_shown import shown
from reassembly.job.doubts import doubts
from reassembly.job.entries import Entry, Fact, JobOpened, PartRemoved
from reassembly.job.job import Job, part_id
from reassembly.job.shop import Shop

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.doubt import Doubt


class Captured(NamedTuple):
    """What a line comes to. The facts may be said one after another as they stand, a part's removal before the rest."""

    facts: tuple[Fact, ...] = ()
    understood: tuple[str, ...] = ()  # in plain words, to show beside what is typed
    not_understood: tuple[str, ...] = ()  # pieces in no fact, each with what it lacks; Enter should not pass over them
    asks: tuple[str, ...] = ()  # what a second Enter confirms
    doubts: tuple[str, ...] = ()  # may be said all the same, and deserve a second look
    part: str = ""  # id of the part the facts are about; of a pair the first
    adds: bool = False  # to a part that is off already


def capture(line: str, job: Job, shop: Shop, to: str = "") -> Captured:
    """Read what was typed so far. Pure, and never raises, whatever was typed or the job holds.

    A line that begins with + adds to the part with the id `to`, where that one is off, otherwise to the latest.
    The facts are those the doubts of the job do not refuse; what they refuse is in `not_understood`, in their words.
    """
    typed = " ".join(line.split())
    read = read_line(line)
    if not typed or typed == "+":
        return Captured(adds=bool(typed))
    ground = Ground.of(job, shop)
    adds_to = ground.part(to) if to in ground.off else ground.latest
    if read.adds and adds_to is None:
        return Captured(not_understood=(f"{typed}: no part is off yet to add to: type its name",), adds=True)
    if not read.adds and not any(sign.isalpha() for sign in read.name):
        if len(typed) > LONGEST:
            return Captured(not_understood=(f"{len(typed)} characters are too many for one line: say it in two",))
        more = f", or + to add to {adds_to.name}" if adds_to else ""
        return Captured(not_understood=(f"{typed}: which part? Type its name first{more}",))
    draft = Draft(read.name, adds_to if read.adds else None, ground)
    for item in read.items:
        draft.take(item)
    return _checked(draft, _ids(draft, ground), ground)


def _ids(draft: Draft, ground: Ground) -> list[Part]:
    """The parts the line is about, with ids that are free in this job."""
    if draft.adds_to:
        return [draft.adds_to]
    found: list[Part] = []
    # One entry of each part is enough to know which ids are taken: a long job must not slow down typing.
    taken = Job(ground.one_of_each)
    for name, side in draft.called():
        removed = PartRemoved(
            part=part_id(taken, name, side), name=name, how=draft.how, parent=draft.parent, side=side, note=draft.note
        )
        found.append(Part(removed.part, f"{name}, {side}" if side else name, (removed,)))
        taken = Job((*taken.entries, *_entries((removed,))))
    return found


def _checked(draft: Draft, found: list[Part], ground: Ground) -> Captured:
    """Every fact of every part, as far as nothing refuses it."""
    facts: list[Fact] = []
    lines = [f"adds to {draft.adds_to.name}"] if draft.adds_to else []
    refused: list[str] = []
    advice: list[str] = list(_advice(draft, found, ground))
    bare = draft.facts()
    for part in found:
        before: tuple[Fact, ...] = (*ground.removal(draft.parent), *(part.facts if draft.adds_to else ()))
        removal = [] if draft.adds_to else [(fact, draft.name) for fact in part.facts]
        for fact, text in (*removal, *((msgspec.structs.replace(fact, part=part.id), text) for fact, text in bare)):
            found_doubts = _doubts(fact, before, ground.torque_unit)
            refusals = [doubt.sentence for doubt in found_doubts if doubt.refuses]
            if refusals:
                refused += [f"{text}: {refusals[0]}"]
                continue
            facts.append(fact)
            advice += [doubt.sentence for doubt in found_doubts if not _shown_already(doubt)]
            lines += _shown(fact, before, ground.torque_unit)
            before = (*before, fact)
    return Captured(
        facts=tuple(facts),
        understood=tuple(dict.fromkeys(lines)),
        not_understood=tuple(dict.fromkeys((*draft.not_understood, *refused))),
        asks=tuple(draft.asks),
        doubts=tuple(dict.fromkeys(advice)),
        part=found[0].id,
        adds=draft.adds_to is not None,
    )


def _advice(draft: Draft, found: list[Part], ground: Ground) -> Iterator[str]:
    if draft.adds_to:
        return
    number = re.search(r"\s(\d+(?:[.,]\d+)?)(?= ?x?(?:\s|$))", draft.name)
    if number:
        yield f"{number[1]} is read as part of the name: a torque has a unit, a count an x (4 x M10)"
    if _TO_DO.match(draft.name):
        yield f"{draft.name} is read as the name of a part: what to do at refit comes after it (sensor, connect plug)"
    for part in found:
        if ground.in_list(part.name):
            yield f"{part.name} is in the list already: is this another one? Say which, such as {part.name}, rear"


_TO_DO = re.compile(r"(?:connect|inspect|look at|seal with)\b", re.IGNORECASE)


def _shown_already(doubt: Doubt) -> bool:
    """Beside the torque and the thread it is about."""
    return doubt.field == "source" or doubt.sentence.startswith("no pitch typed")


# A key changes one piece: what the others came to is not worked out again (a torque and its bolt take milliseconds).
@lru_cache(maxsize=512)
def _doubts(fact: Fact, before: tuple[Fact, ...], torque_unit: str) -> tuple[Doubt, ...]:
    return tuple(doubts(fact, _small(before, torque_unit), Shop.of(())))


@lru_cache(maxsize=512)
def _shown(fact: Fact, before: tuple[Fact, ...], torque_unit: str) -> tuple[str, ...]:
    fits = not any(doubt.field == "stages" for doubt in _doubts(fact, before, torque_unit))
    return tuple(line for line in shown(fact, _small((*before, fact), torque_unit), fits=fits) if line)


def _small(facts: tuple[Fact, ...], torque_unit: str) -> Job:
    """A job of no more than what a fact has to agree with."""
    return Job(tuple(_entries((JobOpened(vehicle="", torque_unit=torque_unit), *facts))))


def _entries(facts: tuple[Fact, ...]) -> Iterator[Entry[Fact]]:
    for number, fact in enumerate(facts, 1):
        yield Entry(bench="", number=number, hlc=number, time="", who="", job="", previous="", fact=fact)
