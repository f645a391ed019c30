"""The rest of a word or a piece begun in the line, from what was said before: offered, never said."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.capture_written import pieces
from reassembly.job.entries import PartRemoved, TorqueSpecified
from reassembly.job.job import fold, parts

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from reassembly.job.job import Job
    from reassembly.job.shop import Shop

LEAST = 2
"""Letters that have to be typed before anything is offered."""
LATEST = 40
"""Entries of the open job, newest first, whose words are offered."""


class Known(NamedTuple):
    """Words to complete with. Made once for a screen: earlier jobs do not change while one is taken apart."""

    names: tuple[str, ...] = ()
    of_part: dict[str, tuple[str, ...]] = {}
    """By a part's name as it is compared: what was said of it on this model, then what the spec book has."""
    others: tuple[str, ...] = ()

    @classmethod
    def of(cls, earlier: Sequence[Job], shop: Shop, vehicle: str) -> Known:
        """`earlier` are jobs on this model, oldest first."""
        of_part: dict[str, list[str]] = {}
        for job in reversed(earlier):
            for part in parts(job).values():
                said = pieces(entry.fact for entry in part.about)
                of_part.setdefault(fold(part.name), []).extend(said)
        for spec in reversed(shop.specs):
            torque = TorqueSpecified(part="", stages=spec.fact.stages, source=spec.fact.source)
            if fold(spec.fact.vehicle) == fold(vehicle):
                of_part.setdefault(fold(spec.fact.joint), []).extend(pieces((torque,)))
        once = {name: tuple(dict.fromkeys(said)) for name, said in of_part.items()}
        every = dict.fromkeys(piece for said in once.values() for piece in said)
        return cls(tuple(_names(earlier, shop, vehicle)), once, tuple(every))


def _names(earlier: Sequence[Job], shop: Shop, vehicle: str) -> Iterator[str]:
    """Of parts, the most usual first, then the joints of the spec book for this model."""
    counted = Counter(part.name for job in earlier for part in parts(job).values() if part.removed)
    yield from (name for name, _ in counted.most_common())
    yield from (spec.fact.joint for spec in shop.specs if fold(spec.fact.vehicle) == fold(vehicle))


def rest_of(line: str, known: Known, job: Job) -> str:
    """What is offered after the end of the line, "" for nothing: of the name, or of the piece after the last comma."""
    named, comma, _ = line.partition(",")
    begun = line.rpartition(",")[2].lstrip() if comma else line.lstrip()
    if begun.startswith("+"):
        named, begun = "", begun.lstrip("+ ")
    if len(begun) < LEAST:
        return ""
    if not comma and not line.lstrip().startswith("+"):
        return _rest(begun, known.names)
    said = {fold(piece) for piece in line.split(",")}
    offered = (*known.of_part.get(fold(named), ()), *_said_here(job), *known.others)
    return _rest(begun, (piece for piece in offered if fold(piece) not in said))


def _rest(begun: str, offered: Iterable[str]) -> str:
    small = begun.casefold()
    return next((each[len(begun) :] for each in offered if each.casefold().startswith(small) and each != begun), "")


def _said_here(job: Job) -> Iterator[str]:
    """The words of this job, the newest first."""
    latest = [entry.fact for entry in job.entries[-LATEST:] if not isinstance(entry.fact, PartRemoved)]
    return reversed(pieces(latest))
