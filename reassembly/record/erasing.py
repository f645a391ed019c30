"""A customer's details erased on request: in the journal, on the record written before, and what is left to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.entries import DetailsErased
from reassembly.job.job import fold

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.job import Job
    from reassembly.record.desk import Desk

ERASED = "details erased on request"


def customer_told(desk: Desk, job: Job) -> str:
    """Who brought the vehicle, in one line; where nobody stands there, why."""
    customer = desk.customer(job.id)
    if customer:
        return "  ".join(w for w in (customer.name, customer.phone) if w) or "named without name and telephone"
    return ERASED if any(job.said(DetailsErased)) else "not named"


def erase(desk: Desk, job: str, why: str) -> list[str]:
    """Erase the customer's words of one job for good. Returns what may still name that person, in sentences.

    The record as it was written into the data folder is written anew. Raises Trouble.
    """
    customer = desk.customer(job)
    desk.erase(job, why)
    record = desk.path / "records" / f"{job}.pdf"
    if record.exists():
        from reassembly.record.gathering import gather
        from reassembly.record.paper import write_pdf

        write_pdf(record, gather(desk, job))
    return list(_left(desk, job, customer.name if customer else ""))


def _left(desk: Desk, job: str, name: str) -> Iterator[str]:
    same = [line.id for line in desk.jobs(name) if line.id != job and fold(line.customer) == fold(name)] if name else []
    if same:
        yield f"The same name stands with job {', '.join(same)}: erase it there too."
    recalls = desk.path / "recalls"
    if recalls.is_dir() and any(recalls.iterdir()):
        yield f"Recalls written before may name the customer: delete {recalls}."
    yield "Backups, archives and papers made before still do."
