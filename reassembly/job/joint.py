"""A joint as it is being tightened: the stage that is next, its positions in order, and what was done out of order."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.job import odd_lengths, part_in, parts
from reassembly.job.tightening import Tightened, counts_after, stages_of, tightened

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry, FastenersRemoved, TorqueSpecified
    from reassembly.job.job import Job, Part
    from reassembly.job.plan import Plan
    from reassembly.job.tightening import StageAsked
    from reassembly.trade.layout import Layout


class Joint(NamedTuple):
    """One fastener set and its specification at the stage that is next, or at the last where all are done."""

    specified: Entry[TorqueSpecified]
    part: Part
    fasteners: FastenersRemoved | None
    stage: StageAsked
    check: Check | None
    done: Tightened
    layout: Layout | None
    order: tuple[int, ...]
    order_from: str
    trouble: str

    @property
    def finished(self) -> bool:
        """Whether no stage is left."""
        return self.check is None or not self.check.open

    @property
    def left(self) -> tuple[int, ...]:
        """Positions still to do in this stage, in order."""
        return tuple(position for position in self.order if position not in self.done.positions)

    @property
    def seen_from(self) -> str:
        return self.specified.fact.seen_from or (self.layout.side if self.layout else "")

    @property
    def out_of_order(self) -> frozenset[int]:
        """Positions tightened before one that comes earlier in the order."""
        left = list(self.order)
        found = set()
        for position in sorted(self.done.positions, key=lambda p: self.done.positions[p].order):
            if left and position != left[0]:
                found.add(position)
            if position in left:
                left.remove(position)
        return frozenset(found)

    @property
    def long_ones(self) -> dict[int, str]:
        """Length by position, of those that differ from the usual one of the set."""
        lengths = self.fasteners.lengths if self.fasteners else ()
        if len(set(lengths)) < 2 or len(lengths) != self.stage.positions:
            return {}
        return odd_lengths(lengths)[1]


def joint(job: Job, refit: Plan, specification: str) -> Joint | None:
    """The joint of one specification as it stands; None where the specification stands no more, or has no stage."""
    specified = next((c.asked_by for c in refit.checks if c.asked_by.id == specification and c.way == "tighten"), None)
    if specified is None:
        return None
    part = part_in(parts(job), specified.fact.part)
    stages = stages_of(specified.fact, part)
    asked = {s.number: refit.check(f"{specification}.stage{s.number}") for s in stages}
    todo = [s for s in stages if (check := asked[s.number]) and check.open]
    stage = todo[0] if todo else stages[-1]
    layout, order, order_from, trouble = _order(specified.fact, stage.positions)
    return Joint(
        specified=specified,
        part=part,
        fasteners=part.fasteners(specified.fact.fasteners),
        stage=stage,
        check=asked[stage.number],
        done=tightened(job, specified, stage, counts_after(specified, part)),
        layout=layout,
        order=order,
        order_from=order_from,
        trouble=trouble,
    )


def _order(specified: TorqueSpecified, count: int) -> tuple[Layout | None, tuple[int, ...], str, str]:
    """Layout, order, where the order is from, and why one of them could not be used."""
    from reassembly.trade.layout import positions
    from reassembly.trade.order import generic_order

    layout, trouble = None, ""
    if specified.layout.strip() and count:
        try:
            layout = positions(specified.layout, count)
        except ValueError as error:
            trouble = str(error)
    if specified.order:
        if _whole(specified.order, count):
            return layout, specified.order, "order of the source", trouble
        trouble = f"the order of the source does not name each of {count} positions once: correct it"
    if layout is not None:
        return layout, generic_order(layout), "generic order", trouble
    return None, tuple(range(1, count + 1)), "by number, no layout recorded", trouble


def _whole(order: Sequence[int], count: int) -> bool:
    return sorted(order) == list(range(1, count + 1))
