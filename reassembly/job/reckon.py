"""One computed number of a job with its workings, or what has to be known before it can be computed."""

from __future__ import annotations

from functools import singledispatch
from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.job import Part, part_in

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from reassembly.job.job import Job
    from reassembly.job.shop import Shop
    from reassembly.trade.workings import Workings


class Reckoned(NamedTuple):
    """A title as a technician would say it, and the workings; None where something is `missing`, said in words."""

    title: str
    workings: Workings[Any] | None
    missing: str = ""


class Around(NamedTuple):
    """What a computation may look at besides its own fact."""

    job: Job
    shop: Shop
    parts: Mapping[str, Part]

    def part(self, part: str) -> Part:
        return part_in(self.parts, part)


@singledispatch
def reckon(fact: object, around: Around) -> Iterable[Reckoned]:
    """What can be computed from one kind of fact. Every kind has to say so: there is no default."""
    raise NotImplementedError(type(fact).__name__)


def tried(title: str, compute: Callable[[], Workings[Any]]) -> Iterator[Reckoned]:
    """One computation; nothing where a text in it cannot be read, which is what the doubts tell."""
    try:
        yield Reckoned(title, compute())
    except ValueError:
        return
