"""What came off next the last time the shop did one of these: offered, never said."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import msgspec

from reassembly.job import entries as said
from reassembly.job.asks import words as joined
from reassembly.job.capture_written import written
from reassembly.job.job import Job, fold, part_id, parts
from reassembly.job.telling import fasteners as told_fasteners

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from reassembly.job.entries import Fact
    from reassembly.job.job import Part

ONCE_ONLY = {"", "once only", "once-only"}  # why a renewal is needed whatever the vehicle


class Likely(NamedTuple):
    """The next part as it came off an earlier vehicle of the same model."""

    name: str  # and side, as it is called
    facts: tuple[Fact, ...]  # may be said as they stand: what belongs to the model, not to one vehicle
    line: str  # the same facts as a line, to be changed before they are said
    anew: tuple[str, ...]  # what has to be noted of this vehicle, with what it was last time
    mind: tuple[str, ...]  # what went wrong last time
    earlier: str  # id of the earlier job


def next_likely(job: Job, earlier: Sequence[Job], declined: Collection[str] = ()) -> Likely | None:
    """The next part of the most similar earlier job that is not off in this one; None when there is none.

    `earlier` may hold any jobs, oldest first; those of another model and this one are passed over. Most similar is
    the job that shares the most parts; the newer of two. Next is the first one not off yet after the last one that
    both jobs have, else the first one that was passed over. `declined` are names of parts not to offer again.
    """
    here = {fold(part.name) for part in _off(job)}
    model = fold(job.opened.vehicle)
    same = [other for other in earlier if model and fold(other.opened.vehicle) == model and other.id != job.id]
    chosen: tuple[int, Job, list[Part]] | None = None
    for other in same:
        theirs = _off(other)
        shared = sum(1 for part in theirs if fold(part.name) in here)
        if theirs and (chosen is None or shared >= chosen[0]):
            chosen = shared, other, theirs
    if chosen is None:
        return None
    _, other, theirs = chosen
    last = max((at for at, part in enumerate(theirs) if fold(part.name) in here), default=-1)
    never = here | {fold(name) for name in declined}
    left = [part for part in (*theirs[last + 1 :], *theirs[: last + 1]) if fold(part.name) not in never]
    return _offer(left[0], job, other) if left else None


def _off(job: Job) -> list[Part]:
    """The parts that are off, in the order they came off."""
    return sorted((part for part in parts(job).values() if part.removed), key=lambda part: part.removals[0].order)


def _offer(part: Part, job: Job, other: Job) -> Likely:
    assert part.removed is not None
    removed = part.removed.fact
    new = part_id(job, removed.name, removed.side)
    facts: list[Fact] = [
        said.PartRemoved(
            part=new,
            name=removed.name,
            how=removed.how,
            side=removed.side,
            parent=_same_part(removed.parent, job, other),
        )
    ]
    facts += [msgspec.structs.replace(fact, part=new) for fact in _of_the_model(part)]
    return Likely(
        name=part.name,
        facts=tuple(facts),
        line=written(facts),
        anew=tuple(_anew(part)),
        mind=tuple(_mind(part)),
        earlier=other.id,
    )


def _same_part(parent: str, job: Job, other: Job) -> str:
    """The id here of what is called so there, "" where it is not off here."""
    theirs = parts(other).get(parent)
    found = [part.id for part in _off(job) if theirs and fold(part.name) == fold(theirs.name)]
    return found[-1] if found else ""


def _of_the_model(part: Part) -> Iterator[Fact]:
    """Fasteners, torque with its source, once-only parts, care: the same on every vehicle of the model."""
    yield from _last_said(part, said.FastenersRemoved)
    yield from _last_said(part, said.TorqueSpecified)
    for renewal in part.said(said.RenewalNeeded):
        if fold(renewal.fact.why) in ONCE_ONLY:
            yield renewal.fact
    for care in part.said(said.CareNoted):
        yield care.fact


def _last_said(part: Part, kind: type[said.FastenersRemoved | said.TorqueSpecified]) -> Iterator[Fact]:
    return iter({fold(entry.fact.fasteners): entry.fact for entry in part.said(kind)}.values())


def _anew(part: Part) -> Iterator[str]:
    """Values of one vehicle are never copied: they are asked, with what they were."""
    for entry in part.about:
        match entry.fact:
            case said.MarkMade(mark=mark, to=to, spline_teeth=teeth, marked_tooth=tooth, seen_from=side):
                of = joined(f"tooth {tooth}" if tooth else "", f"{teeth} teeth" if teeth else "", between=" of ")
                counted = joined(of, side and f"from {side}", between=" ")
                yield joined(f"mark: last time {mark}", to and f"to {to}", counted)
            case said.WeightFound(mass=mass, what=what, position=position, seen_from=side):
                place = joined(mass, f"at {position}", side and f"from {side}", between=" ")
                yield f"{what or 'balance weight'}: last time {place}"
            case said.OrientationNoted(feature=feature, faces=faces, clock=clock, seen_from=side):
                at = joined(clock and f"at {clock} o'clock", side and f"from {side}", between=" ")
                yield f"{feature}: last time {joined(faces and f'faces {faces}', at) or 'noted'}"
            case said.AidFitted(aid=aid, where=where):
                yield f"aid: last time {joined(aid, where)}"
            case said.RenewalNeeded(what=what, why=why) if fold(why) not in ONCE_ONLY:
                yield f"renewed last time: {joined(what, why)}"


def _mind(part: Part) -> Iterator[str]:
    for entry in part.said(said.PartStuck):
        yield f"was stuck last time: freed by {entry.fact.freed}"


def offer_in_words(offer: Likely) -> str:
    """The offer on one line: `exhaust hanger, rear  2 x M8x1.25x25 8.8`."""
    sets = [told_fasteners(fact) for fact in offer.facts if isinstance(fact, said.FastenersRemoved)]
    return "  ".join([offer.name, *sets])
