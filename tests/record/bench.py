"""A wall clock that a test sets, and a desk that goes by it."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from reassembly.job.entries import JobOpened
from reassembly.record.desk import Desk

START = 1_773_500_000_000  # milliseconds: 14 March 2026


@dataclass
class Wall:
    """Stands still until it is set."""

    milliseconds: int = START
    trusted: bool = True

    def now(self) -> int:
        return self.milliseconds * 1_000_000


@contextmanager
def desk_in(folder: Path, wall: Wall | None = None, who: str = "ann", patience: float = 5.0) -> Iterator[Desk]:
    clock = wall or Wall()
    with Desk.open(folder, who=who, now=clock.now, trusted=lambda: clock.trusted, patience=patience) as desk:
        yield desk


def with_job(desk: Desk, **fields: str) -> str:
    """A job opened for an invented vehicle."""
    return desk.open_new(JobOpened(**{"vehicle": "Kestrel van", "registration": "4TN 881", **fields}))
