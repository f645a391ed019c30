"""The words on a bag or tag: what is in it, for somebody without a scanner."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.asks import words
from reassembly.job.entries import BagPacked, FastenersRemoved, LabelPrinted, MarkMade, OrientationNoted, RenewalNeeded
from reassembly.job.job import parts, title
from reassembly.job.telling import fasteners

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.entries import Entry
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
    packed = {entry.fact.bag: entry for entry in job.said(BagPacked)}
    return tuple(_tag(entry, job) for entry in packed.values())


def _tag(entry: Entry[BagPacked], job: Job) -> Tag:
    every = parts(job)
    found = [every[p] for p in dict.fromkeys(entry.fact.parts) if p in every]
    copies = max((e.fact.copy_number for e in job.said(LabelPrinted) if e.fact.code == entry.fact.bag), default=1)
    return Tag(
        code=entry.fact.bag,
        heading=title(job),
        name=" + ".join(part.name for part in found) or entry.fact.holds,
        lines=tuple(line for part in found for line in _lines(part)),
        footer=words(entry.fact.shelf and f"shelf {entry.fact.shelf}", f"copy {copies}" if copies > 1 else ""),
    )


def _lines(part: Part) -> Iterator[str]:
    for entry in part.said(FastenersRemoved):
        yield fasteners(entry.fact)
        lengths = entry.fact.lengths
        if len(set(lengths)) > 1:
            common = max(set(lengths), key=lengths.count)
            odd = [f"{length} at {n}" for n, length in enumerate(lengths, 1) if length != common]
            yield f"lengths: {common}, {', '.join(odd)}"
    for way in part.said(OrientationNoted):
        clock = words(f"{way.fact.clock} o'clock" if way.fact.clock else "", way.fact.seen_from, between=" from ")
        yield words(way.fact.feature, way.fact.faces, clock, between=" ")
    for mark in part.said(MarkMade):
        tooth = f"tooth {mark.fact.marked_tooth}" if mark.fact.marked_tooth else ""
        yield words(f"mark: {mark.fact.mark}", mark.fact.to, tooth)
    for new in part.said(RenewalNeeded):
        yield f"RENEW {new.fact.what}"
    if part.how != "off":
        yield part.how
