"""`python -m tests.bench`: everything of DESIGN section 10, each a ratio to its floor in this run."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from tests.bench import kept, painted, typed
from tests.bench.measure import Row, table
from tests.bench.records import records

ROWS = {
    "start": painted.start,
    "scan": painted.scan,
    "keys": typed.keys,
    "durable": kept.durable,
    "answers": kept.answers,
    "memory": painted.memory,
    "label": kept.label,
    "idle": painted.idle,
}


@click.command()
@click.option("--only", type=click.Choice(list(ROWS)), multiple=True, help="These rows and no others.")
@click.option("--years", type=click.IntRange(1, 10), default=10, show_default=True, help="How long the record is.")
@click.option("--data", type=click.Path(path_type=Path), metavar="DIR", help="Where built records are kept.")
def main(only: tuple[str, ...], years: int, data: Path | None) -> None:
    """Measure, and print a Markdown table. The record of years is built once, 1 GB for ten of them."""
    if data is None:
        from platformdirs import user_cache_path

        data = user_cache_path("reassembly-bench")
    found: list[Row] = []
    with records(data, years, lambda words: click.echo(words, err=True)) as both:
        for name in only or ROWS:
            click.echo(f"{name} ...", err=True)
            found += ROWS[name](both)
    click.echo(f"{datetime.now().astimezone():%Y-%m-%d}, {both.jobs} jobs in the long record\n")
    for line in table(found):
        click.echo(line)


if __name__ == "__main__":
    main()
