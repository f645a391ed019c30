"""Everything the record of one job is made of, read from the journal at one moment."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from reassembly.job.job import Job
    from reassembly.job.shop import Shop
    from reassembly.record.customer import Customer
    from reassembly.record.desk import Desk
    from reassembly.record.finding import JobLine
    from reassembly.record.writing import Head


class Gathered(NamedTuple):
    """A job, the shop, who brought the vehicle (None: not said, or erased), and how the journal stood."""

    job: Job
    shop: Shop
    customer: Customer | None
    digest: str
    heads: Mapping[str, Head]
    earlier: JobLine | None = None
    later: tuple[JobLine, ...] = ()


def gather(desk: Desk, job: str) -> Gathered:
    """Raises Trouble when the journal cannot be read."""
    found = desk.job(job)
    opened = found.opened
    named = opened.registration or opened.vin
    family = desk.jobs(named) if named else []
    earlier = next((line for line in desk.jobs(opened.earlier) if line.id == opened.earlier), None)
    return Gathered(
        job=found,
        shop=desk.shop(),
        customer=desk.customer(job),
        digest=desk.digest(),
        heads=desk.heads(),
        earlier=earlier if opened.earlier else None,
        later=tuple(line for line in family if line.earlier == job),
    )
