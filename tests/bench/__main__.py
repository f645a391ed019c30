"""`python -m tests.bench`: everything of DESIGN section 10, each a ratio to its floor in this run."""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tests.bench import kept, long, painted, typed
from tests.bench.measure import Row, chart, table
from tests.bench.records import records

if TYPE_CHECKING:
    from collections.abc import Sequence

ROWS = {
    "start": painted.start,
    "scan": painted.scan,
    "processor": painted.processor,
    "keys": typed.keys,
    "durable": kept.durable,
    "answers": kept.answers,
    "recall": kept.recall,
    "long": long.long_jobs,
    "memory": painted.memory,
    "label": kept.label,
    "idle": painted.idle,
}

GROWS = ("start", "scan", "durable", "answers", "recall", "memory")
"""Those that a long record could slow down or make larger."""
GROWN = (1, 3, 10)  # years


@click.command()
@click.option("--only", type=click.Choice(list(ROWS)), multiple=True, help="These rows and no others.")
@click.option("--years", type=click.IntRange(1, 10), default=10, show_default=True, help="How long the record is.")
@click.option("--growth", is_flag=True, help="How the rows that could grow do, after 1, 3 and 10 years.")
@click.option("--data", type=click.Path(path_type=Path), metavar="DIR", help="Where built records are kept.")
def main(only: tuple[str, ...], years: int, growth: bool, data: Path | None) -> None:
    """Measure, and print a Markdown table, or with --growth a chart. The record of years is built once, 1.4 GB for ten
    of them."""
    if data is None:
        from platformdirs import user_cache_path

        data = user_cache_path("reassembly-bench")
    if growth:
        names = [name for name in only or GROWS if name in GROWS]
        grown = [[row for row in _measured(names, count, data) if "week" not in row.what] for count in GROWN]
        lines = chart(GROWN, grown)
    else:
        lines = table(_measured(only or tuple(ROWS), years, data))
    click.echo(f"{datetime.now().astimezone():%Y-%m-%d}, load {os.getloadavg()[0]:.1f}\n")
    for line in lines:
        click.echo(line)


def _measured(names: Sequence[str], years: int, data: Path) -> list[Row]:
    found: list[Row] = []
    with records(data, years, lambda words: click.echo(words, err=True)) as both:
        for name in names:
            click.echo(f"{name}, {years} years ...", err=True)
            found += ROWS[name](both)
    return found


if __name__ == "__main__":
    main()
