"""In which order the parts go back: the reverse of removal, changed only by what somebody said."""

from __future__ import annotations

import heapq
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.entries import OrderSaid
from reassembly.job.job import Part, parts

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from reassembly.job.entries import Entry
    from reassembly.job.job import Job


class Clash(NamedTuple):
    """Orders that cannot all hold; the entry that closed the circle, and the parts it names."""

    entry: Entry[Any]
    parts: tuple[str, ...]


class RefitOrder(NamedTuple):
    """Part ids in refit order, which parts must be back before each, and the orders that contradict."""

    parts: tuple[str, ...]
    first: dict[str, tuple[str, ...]]
    clashes: tuple[Clash, ...]


class _Said(NamedTuple):
    """One demand: `first` goes back before `then`."""

    first: str
    then: str
    entry: Entry[Any]


def refit_order(job: Job) -> RefitOrder:
    """Reverse of removal; a sub-assembly is complete before it goes back; what was said of two parts wins.

    Never refuses: demands that form a circle lose the one said last and come back as a clash.
    """
    every = parts(job)
    demands, clashes = _without_circles(every, sorted(_demands(job, every), key=lambda d: d.entry.order))
    usual = {part: place for place, part in enumerate(_usual(every))}
    order = _sorted(usual, demands)
    first: dict[str, dict[str, None]] = {part: {} for part in order}
    for demand in demands:
        first[demand.then][demand.first] = None
    for group in _in_turn(job, every, order):
        for before, after in pairwise(group):
            first[after][before] = None
    return RefitOrder(order, {part: tuple(p for p in order if p in first[part]) for part in order}, clashes)


def clash_if_said(job: Job, said: Entry[Any]) -> Clash | None:
    """The circle that one more fact would close, asked before it is said."""
    known = {clash.entry.id for clash in refit_order(job).clashes}
    after = refit_order(job._replace(entries=(*job.entries, said)))
    return next((clash for clash in after.clashes if clash.entry.id not in known), None)


def _demands(job: Job, every: dict[str, Part]) -> Iterator[_Said]:
    for part in every.values():
        if part.removed and part.parent in every:
            yield _Said(part.id, part.parent, part.removed)
    for entry in job.said(OrderSaid):
        fact = entry.fact
        if fact.goes != "independent" and fact.other in every:
            pair = (fact.part, fact.other) if fact.goes == "before" else (fact.other, fact.part)
            yield _Said(*pair, entry)


def _without_circles(every: Iterable[str], demands: list[_Said]) -> tuple[list[_Said], tuple[Clash, ...]]:
    clashes: list[Clash] = []
    while True:
        graph: TopologicalSorter[str] = TopologicalSorter(dict.fromkeys(every, ()))
        for demand in demands:
            graph.add(demand.then, demand.first)
        try:
            graph.prepare()
        except CycleError as error:
            circle: list[str] = error.args[1]
            pairs = set(pairwise(circle))
            culprit = max((d for d in demands if (d.first, d.then) in pairs), key=lambda d: d.entry.order)
            demands = [d for d in demands if d is not culprit]
            clashes.append(Clash(culprit.entry, tuple(dict.fromkeys(sorted(circle[1:])))))
        else:
            return demands, tuple(clashes)


def _usual(every: dict[str, Part]) -> Iterator[str]:
    """Reverse of removal, each sub-assembly's own parts just before it."""
    latest_first = sorted(every.values(), key=lambda part: part.since, reverse=True)
    of: dict[str, list[Part]] = {}
    for part in latest_first:
        of.setdefault(part.parent if part.parent in every else "", []).append(part)
    seen: set[str] = set()
    # Not recursive: a deep chain of sub-assemblies must not exhaust the stack. What hangs in a circle of parents
    # is never reached from the top and comes last.
    stack = [(part, False) for part in reversed([*of.get("", ()), *latest_first])]
    while stack:
        part, opened = stack.pop()
        if opened:
            yield part.id
        elif part.id not in seen:
            seen.add(part.id)
            stack.append((part, True))
            stack.extend((child, False) for child in reversed(of.get(part.id, ())))


def _sorted(usual: dict[str, int], demands: list[_Said]) -> tuple[str, ...]:
    graph: TopologicalSorter[str] = TopologicalSorter(dict.fromkeys(usual, ()))
    for demand in demands:
        graph.add(demand.then, demand.first)
    graph.prepare()
    ready: list[tuple[int, str]] = []
    order: list[str] = []
    while graph.is_active():
        for part in graph.get_ready():
            heapq.heappush(ready, (usual[part], part))
        _, part = heapq.heappop(ready)
        order.append(part)
        graph.done(part)
    return tuple(order)


def _in_turn(job: Job, every: dict[str, Part], order: tuple[str, ...]) -> Iterator[list[str]]:
    """Parts that wait for one another only because of their turn, a group for each sub-assembly."""
    free = {e.fact.part for e in job.said(OrderSaid) if e.fact.goes == "independent"}
    groups: dict[str, list[str]] = {}
    for part in order:
        if part not in free and every[part].removed:
            parent = every[part].parent
            groups.setdefault(parent if parent in every else "", []).append(part)
    yield from groups.values()
