"""In which order the parts go back: the reverse of removal, changed only by what somebody said."""

from __future__ import annotations

import heapq
from collections import deque
from graphlib import TopologicalSorter
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.entries import OrderSaid, PartRemoved
from reassembly.job.job import Part, parts

if TYPE_CHECKING:
    from collections.abc import Iterator

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

    Never refuses: what would close a circle with what was said before it comes back as a clash instead.
    """
    every = parts(job)
    demands, clashes = _without_circles(sorted(_demands(job, every), key=lambda d: d.entry.order))
    order = _sorted({part: place for place, part in enumerate(_usual(every))}, demands)
    first: dict[str, dict[str, None]] = {part: {} for part in order}
    for demand in demands:
        first[demand.then][demand.first] = None
    for group in _in_turn(job, every, order):
        for before, after in pairwise(group):
            first[after][before] = None
    place = {part: n for n, part in enumerate(order)}
    return RefitOrder(order, {part: tuple(sorted(first[part], key=place.__getitem__)) for part in order}, clashes)


def clash_if_said(job: Job, said: Entry[Any]) -> Clash | None:
    """The circle that one more fact would close, asked before it is said."""
    after = job._replace(entries=(*job.entries, said))
    if not _leads_back(after, getattr(said.fact, "part", "")):
        return None  # nearly always; to order all parts for each entry of a long file takes minutes
    known = {clash.entry.id for clash in refit_order(job).clashes}
    return next((clash for clash in refit_order(after).clashes if clash.entry.id not in known), None)


def _leads_back(job: Job, part: str) -> bool:
    """Whether a part waits for itself, by any parent and any order that was said of it and of those that wait."""
    parent: dict[str, str] = {}
    then: dict[str, list[str]] = {}
    for entry in job.entries:
        fact = entry.fact
        if isinstance(fact, PartRemoved):
            parent[fact.part] = fact.parent
        elif isinstance(fact, OrderSaid) and fact.goes != "independent":
            first, after = (fact.part, fact.other) if fact.goes == "before" else (fact.other, fact.part)
            then.setdefault(first, []).append(after)
    seen: set[str] = set()
    todo = [part]
    while todo:
        at = todo.pop()
        for after in (parent.get(at, ""), *then.get(at, ())):
            if after == part:
                return True
            if after and after not in seen:
                seen.add(after)
                todo.append(after)
    return False


def _demands(job: Job, every: dict[str, Part]) -> Iterator[_Said]:
    for part in every.values():
        if part.removed and part.parent in every:
            yield _Said(part.id, part.parent, part.removed)
    for entry in job.said(OrderSaid):
        fact = entry.fact
        if fact.goes != "independent" and fact.part in every and fact.other in every:
            pair = (fact.part, fact.other) if fact.goes == "before" else (fact.other, fact.part)
            yield _Said(*pair, entry)


def _without_circles(demands: list[_Said]) -> tuple[list[_Said], tuple[Clash, ...]]:
    held: list[_Said] = []
    clashes: list[Clash] = []
    before: dict[str, dict[str, None]] = {}
    for demand in demands:
        circle = _way_back(before, demand.first, demand.then)
        if circle:
            clashes.append(Clash(demand.entry, circle))
        else:
            held.append(demand)
            before.setdefault(demand.then, {})[demand.first] = None
    return held, tuple(clashes)


def _way_back(before: dict[str, dict[str, None]], start: str, goal: str) -> tuple[str, ...]:
    """The shortest way from a part through those before it to another; empty where there is none."""
    came_from = {start: start}
    todo = deque([start])
    while todo:
        part = todo.popleft()
        if part == goal:
            way = [part]
            while part != start:
                part = came_from[part]
                way.append(part)
            return tuple(way)
        for earlier in before.get(part, ()):
            if earlier not in came_from:
                came_from[earlier] = part
                todo.append(earlier)
    return ()


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
    needs: dict[str, list[str]] = {part: [] for part in usual}
    for demand in demands:
        needs[demand.then].append(demand.first)
    place = _moved_up(usual, needs, demands)
    graph = TopologicalSorter(needs)
    graph.prepare()
    ready: list[tuple[int, int, str]] = []
    order: list[str] = []
    while graph.is_active():
        for part in graph.get_ready():
            heapq.heappush(ready, (place[part], usual[part], part))
        *_, part = heapq.heappop(ready)
        order.append(part)
        graph.done(part)
    return tuple(order)


def _moved_up(usual: dict[str, int], needs: dict[str, list[str]], demands: list[_Said]) -> dict[str, int]:
    """Who speaks of a part means that part to move: one that goes before another moves up to it, with all it needs;
    one that goes after another waits for it, and moves nothing."""
    place = dict(usual)
    todo = [
        (d.first, usual[d.then])
        for d in demands
        if isinstance(d.entry.fact, OrderSaid) and d.first == d.entry.fact.part
    ]
    while todo:
        part, at = todo.pop()
        if at < place[part]:
            place[part] = at
            todo.extend((need, at) for need in needs[part])
    return place


def _in_turn(job: Job, every: dict[str, Part], order: tuple[str, ...]) -> Iterator[list[str]]:
    """Parts that wait for one another only because of their turn, a group for each sub-assembly."""
    free = {e.fact.part for e in job.said(OrderSaid) if e.fact.goes == "independent"}
    groups: dict[str, list[str]] = {}
    for part in order:
        if part not in free and every[part].removed:
            parent = every[part].parent
            groups.setdefault(parent if parent in every else "", []).append(part)
    yield from groups.values()
