"""`python -m tests.powercut`: cut the power under the real program, and tell how often something was lost."""

from __future__ import annotations

import sqlite3
import sys
import tempfile
import time
from datetime import datetime
from pathlib import Path

import click

from tests.powercut.cutting import Outcome, run
from tests.powercut.recording import why_not
from tests.powercut.scenarios import BROKEN, SCENARIOS, Scenario


@click.command()
@click.option("--states", type=click.IntRange(1), default=10_000, show_default=True, help="In all.")
@click.option("--only", metavar="WORD", default="", help="The scenarios with this in their name.")
@click.option("--seed", type=int, default=1, show_default=True)
def main(states: int, only: str, seed: int) -> None:
    """Look at so many different states of the disk, spread over the scenarios, then at set-ups broken on purpose.

    Exit code 1 where a cut lost something, or a broken set-up was not found out.
    """
    if reason := why_not():
        raise click.ClickException(reason)
    if not any(only in name for name in (*SCENARIOS, *BROKEN)):
        raise click.BadParameter("no scenario is called so", param_hint="--only")
    begun, right, total = time.monotonic(), True, 0
    click.echo("| scenario | calls | acknowledgements | states | lost something |\n|---|--:|--:|--:|--:|")
    chosen = [name for name in SCENARIOS if only in name]
    for at, name in enumerate(chosen):
        found = _run(name, SCENARIOS[name], (states - total) // (len(chosen) - at), seed)
        total += found.states
        right &= not found.bad
        for cut, sentences in found.bad[:3]:
            click.echo(f"after call {cut} of {found.calls}: {'; '.join(sentences[:5])}", err=True)
    for name in BROKEN:
        if only in name:
            right &= bool(_run(f"broken: {name}", BROKEN[name], min(300, states), seed).bad)
    click.echo(
        f"\n{datetime.now().astimezone():%Y-%m-%d}, SQLite {sqlite3.sqlite_version}, {total} states, seed {seed}, ",
        nl=False,
    )
    click.echo(f"{time.monotonic() - begun:.0f} s: {'as it should be' if right else 'NOT as it should be'}")
    sys.exit(not right)


def _run(name: str, scenario: Scenario, states: int, seed: int) -> Outcome:
    with tempfile.TemporaryDirectory() as work:
        found = run(scenario, Path(work), states, seed)
    click.echo(f"| {name} | {found.calls} | {found.acknowledged} | {found.states} | {len(found.bad)} |")
    return found


if __name__ == "__main__":
    main()
