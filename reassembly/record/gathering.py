"""Everything the record of one job is made of, read from the journal at one moment."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.comeback import comeback
from reassembly.job.notation import USUAL, Notation
from reassembly.job.signoff import signoff
from reassembly.record import photos, settings
from reassembly.record.trouble import Refused

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from reassembly.job.comeback import Story
    from reassembly.job.job import Job
    from reassembly.job.shop import Shop
    from reassembly.record.customer import Customer
    from reassembly.record.desk import Desk
    from reassembly.record.finding import JobLine
    from reassembly.record.writing import Head


class Gathered(NamedTuple):
    """A job, the shop, who brought the vehicle (None: not said, or erased), and how the journal stood.
    `photos` has the kept files by digest, those of struck photos as well; one that is gone is left out.
    `notation` is how this shop writes for people."""

    job: Job
    shop: Shop
    customer: Customer | None
    digest: str
    heads: Mapping[str, Head]
    earlier: JobLine | None = None
    later: tuple[JobLine, ...] = ()
    photos: Mapping[str, Path] = {}
    notation: Notation = USUAL


class NotBack(Refused):
    """A job that no other came back from; `story` tells it alone."""

    def __init__(self, job: str, story: Story) -> None:
        super().__init__(f"Job {job} did not come back: say what is complained of.")
        self.story = story


def gather(desk: Desk, job: str) -> Gathered:
    """Raises Trouble when the journal cannot be read."""
    found = desk.job(job)
    earlier = found.opened.earlier
    return Gathered(
        job=found,
        shop=_counted(desk.shop(), found),
        customer=desk.customer(job),
        digest=desk.digest(),
        heads=desk.heads(),
        earlier=desk.line(earlier) if earlier else None,
        later=tuple(desk.came_back(job)),
        photos=photos.of_job(desk.path, found),
        notation=settings.notation(desk.path),
    )


def _counted(shop: Shop, job: Job) -> Shop:
    """The shop with each count of a wrench's uses that is told of the job read already: the record is written in a
    thread of its own, and a desk belongs to the thread that opened it."""
    uses: dict[tuple[str, str, str], int] = {}

    def count(wrench: str, since: str, until: str) -> int:
        return uses.setdefault((wrench, since, until), shop.cycles(wrench, since, until))

    signoff(job, shop._replace(cycles=count))
    return shop._replace(cycles=lambda *asked: uses[asked])


def come_back(desk: Desk, job: str, complaint: str = "") -> Story:
    """The earlier job beside the one that came back, whichever of the two is named; with a complaint beside that.

    Raises Refused where there is nothing to tell it beside, Trouble when the journal cannot be read.
    """
    found = desk.job(job)
    earlier = found.opened.earlier
    if complaint:
        return comeback(found, desk.shop(), complaint=complaint)
    if earlier:
        first = desk.job(earlier)
        if not first.entries:
            raise Refused(f"Job {earlier}, from which {job} comes back, is not in this record.")
        return comeback(first, desk.shop(), found)
    later = desk.came_back(job)
    if not later:
        raise NotBack(job, comeback(found, desk.shop()))
    return comeback(found, desk.shop(), desk.job(later[0].id))
