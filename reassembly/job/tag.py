"""The words on a bag or tag: what is in it, for somebody without a scanner."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.asks import words
from reassembly.job.bag import bags
from reassembly.job.entries import (
    FastenersRemoved,
    MarkMade,
    OrientationNoted,
    RenewalNeeded,
    WeightFound,
)
from reassembly.job.job import bag_code, odd_lengths, parts, title
from reassembly.job.telling import fasteners

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from reassembly.job.bag import Bag
    from reassembly.job.job import Job, Part


class Tag(NamedTuple):
    """Words for one label, the most important first."""

    code: str
    heading: str
    name: str
    lines: tuple[str, ...]
    footer: str


def tags(job: Job) -> tuple[Tag, ...]:
    """One for each bag or tag of the job, in the order they were packed; a code packed twice counts as last said."""
    every, heading = parts(job), title(job)
    return tuple(_tag(bag, heading, every) for bag in bags(job).values())


def tag(job: Job, code: str, copy: int = 1) -> Tag | None:
    """The words of one bag on a further copy of its label; None where no such bag was packed."""
    found = bags(job).get(bag_code(code))
    return _tag(found._replace(copies=copy), title(job), parts(job)) if found else None


def _tag(bag: Bag, heading: str, every: Mapping[str, Part]) -> Tag:
    fact, shelf, copies = bag.packed.fact, bag.shelf, bag.copies
    found = [every[p] for p in dict.fromkeys(fact.parts) if p in every]
    holds = [fact.holds] if found and fact.holds else []
    return Tag(
        code=bag.code,
        heading=heading,
        name=" + ".join(part.name for part in found) or fact.holds,
        lines=(*holds, *(line for part in found for line in _lines(part) if line)),
        footer=words(shelf and f"shelf {shelf}", f"copy {copies}" if copies > 1 else ""),
    )


def _lines(part: Part) -> Iterator[str]:
    for entry in part.said(FastenersRemoved):
        yield fasteners(entry.fact)
        lengths = entry.fact.lengths
        if len(set(lengths)) > 1:
            usual, odd = odd_lengths(lengths)
            yield f"lengths: {usual}, {', '.join(f'{length} at {n}' for n, length in odd.items())}"
    for way in part.said(OrientationNoted):
        clock = words(f"{way.fact.clock} o'clock" if way.fact.clock else "", way.fact.seen_from, between=" from ")
        yield words(way.fact.feature, way.fact.faces, clock, between=" ")
    for mark in part.said(MarkMade):
        tooth = f"tooth {mark.fact.marked_tooth}" if mark.fact.marked_tooth else ""
        side = f"from {mark.fact.seen_from}" if mark.fact.seen_from else ""
        yield words(f"mark: {mark.fact.mark}", mark.fact.to, words(tooth, side, between=" "))
    for weight in part.said(WeightFound):
        side = f"from {weight.fact.seen_from}" if weight.fact.seen_from else ""
        yield words(weight.fact.mass, f"{weight.fact.what or 'weight'} at {weight.fact.position}", side, between=" ")
    for new in part.said(RenewalNeeded):
        yield f"RENEW {new.fact.what}"
    if part.how != "off":
        yield part.how
