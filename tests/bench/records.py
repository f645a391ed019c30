"""The two records that are compared: one of a week, and one of years, built once and kept."""

from __future__ import annotations

import shutil
from contextlib import contextmanager
from typing import TYPE_CHECKING, NamedTuple

from reassembly.record.desk import Desk
from tests.bench import stories, years

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

SMALL = stories.PATTERNS + years.IN_HAND
"""Jobs: one of each pattern put back, and those in hand."""


class Records(NamedTuple):
    """Copies to work on, side by side on one disk; `scratch` is a folder beside them."""

    small: Path
    large: Path
    scratch: Path
    years: int
    jobs: int


@contextmanager
def records(kept: Path, count: int, tell: Callable[[str], None]) -> Iterator[Records]:
    """Take the records from the folder `kept`, built there first where they are missing."""
    jobs = count * years.JOBS_A_YEAR
    small, large = _built(kept / "week", SMALL, tell), _built(kept / f"{count}-years", jobs, tell)
    work = kept / "at-work"
    shutil.rmtree(work, ignore_errors=True)
    try:
        shutil.copytree(small, work / "small")
        shutil.copytree(large, work / "large")
        for copy in work / "small", work / "large":
            with Desk.open(copy) as desk:
                desk.journal.tidy()  # as the proof of every week leaves it
        yield Records(work / "small", work / "large", work, count, jobs)
    finally:
        shutil.rmtree(work, ignore_errors=True)


def _built(folder: Path, jobs: int, tell: Callable[[str], None]) -> Path:
    if not folder.exists():
        half = folder.with_name(f"{folder.name}-half-built")
        shutil.rmtree(half, ignore_errors=True)
        tell(f"building {jobs} jobs in {folder} ...")
        years.build(half, jobs, lambda done: tell(f"  {done} of {jobs} jobs") if done % 2500 == 0 else None)
        half.rename(folder)
    return folder
