"""The pick list on paper: shelf by shelf what to fetch, with a box to tick."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.asks import two_groups
from reassembly.job.job import title
from reassembly.job.notation import USUAL, Notation
from reassembly.job.picklist import by_shelf, picks
from reassembly.job.plan import plan
from reassembly.job.wording import many
from reassembly.record.durable import give_out
from reassembly.record.trouble import Refused

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from reassembly.job.job import Job

BOX = "[  ]"


class NothingToFetch(Refused):
    """There is nothing to write a list of."""

    def __init__(self) -> None:
        super().__init__("Nothing is left to fetch: every bag of this job is back on the vehicle, or none was packed.")


def write_pick_list(job: Job, path: Path, when: datetime, notation: Notation = USUAL) -> int:
    """A4 pages; returns how many bags are still to be fetched. Raises NothingToFetch, Trouble."""
    from reassembly.record.typeset import Column, Pages, Words, cell

    refit = plan(job)
    wanted = tuple(pick for pick in picks(job, refit) if not pick.done)
    if not wanted:
        raise NothingToFetch
    turn = {step.part.id: str(n) for n, step in enumerate(refit.steps, 1)}
    made = notation.minute(when.isoformat())
    pages = Pages(f"Pick list {title(job)}", f"{title(job)}   {made}", when, notation)
    pages.title_block("Pick list", title(job), many(len(wanted), "bag or tag"))
    columns = (Column("", 0.08), Column("code", 0.22), Column("what is in it", 0.54), Column("refit step", 0.16))
    for shelf, found in by_shelf(wanted).items():
        pages.heading(f"Shelf {shelf}" if shelf else "Shelf not said: look for these")
        rows = []
        for pick in found:
            steps = ", ".join(turn[part] for part in pick.bag.packed.fact.parts if part in turn)
            rows.append([[cell(BOX), cell(Words(two_groups(pick.bag.code), "bold")), cell(pick.holds), cell(steps)]])
        pages.grid(columns, rows)
    give_out(path, bytes(pages.output()))
    return len(wanted)
