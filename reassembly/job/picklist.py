"""What to fetch from which shelf before a refit."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.asks import two_groups
from reassembly.job.bag import Bag, bags
from reassembly.job.job import bag_code, parts

if TYPE_CHECKING:
    from reassembly.job.job import Job
    from reassembly.job.plan import Plan


class Pick(NamedTuple):
    """One bag or tag, what is in it in words, and whether every part of it is back."""

    bag: Bag
    holds: str
    done: bool


def picks(job: Job, refit: Plan) -> tuple[Pick, ...]:
    """Every bag in refit order; those of no part last."""
    every = parts(job)
    turn = {step.part.id: n for n, step in enumerate(refit.steps)}
    done = {step.part.id for step in refit.steps if step.done}
    found = []
    for bag in bags(job).values():
        of = [part for part in dict.fromkeys(bag.packed.fact.parts) if part in every]
        names = [every[part].name for part in of]
        holds = ", ".join([*names, *([bag.packed.fact.holds] if bag.packed.fact.holds else [])])
        found.append((min((turn.get(p, len(turn)) for p in of), default=len(turn)), Pick(bag, holds, {*of} <= done)))
    return tuple(pick for _, pick in sorted(found, key=lambda each: each[0]))


def in_this_job(code: str, job: Job, refit: Plan) -> str:
    """What a bag of this job is and where it waits, for a screen with no use for it; empty for a label under which
    nothing is packed."""
    pick = next((each for each in picks(job, refit) if each.bag.code == bag_code(code)), None)
    if pick is None:
        return ""
    shelf = f"shelf {pick.bag.shelf}" if pick.bag.shelf else "no shelf said"
    fitted = "fitted" if pick.done else "NOT FITTED YET"
    what = f"{pick.holds or 'a bag without a part'}, {fitted}, {shelf}, bag {two_groups(pick.bag.code)}"
    return f"OF THIS JOB: {what}. Scan it at refit to go to it"


def by_shelf(found: tuple[Pick, ...]) -> dict[str, list[Pick]]:
    """The walk along the shelves: 2 before 10, bags whose shelf nobody said under ``, last."""
    shelves: dict[str, list[Pick]] = {}
    for pick in found:
        shelves.setdefault(pick.bag.shelf, []).append(pick)
    return {shelf: shelves[shelf] for shelf in sorted(shelves, key=lambda s: (not s, _natural(s)))}


def _natural(text: str) -> list[tuple[int, str]]:
    return [(int(piece), "") if piece.isdecimal() else (-1, piece.casefold()) for piece in re.split(r"(\d+)", text)]
