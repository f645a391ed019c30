"""`reassembly recall` and `reassembly comeback`: what only a record can answer."""

from __future__ import annotations

import json
import sys
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

import click

from reassembly.cli_base import (
    OUT,
    Commands,
    Wrong,
    at_desk,
    find_job,
    named_job,
    notation,
    safe,
    tell,
    tell_data,
    warn,
    with_data,
    with_json,
)
from reassembly.cli_progress import Progress

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from reassembly.job.recall import Recall
    from reassembly.job.uses import What
    from reassembly.record.desk import Desk


@click.group(cls=Commands)
def recall() -> None:
    """Find all work that hangs on one wrench, batch, part number or fluid batch, or on one person, in every job.

    Entries struck out are not counted. Case, spaces and hyphens do not matter, nor O and 0, I and 1. Exit code 0 also
    where nothing was done with it in the days looked at; 2 for a name that is not known here.

    \b
    Example:
      reassembly recall wrench T3
      reassembly recall batch 7731 --csv batch.csv
    """


def _command(what: What, help_text: str) -> None:
    @recall.command(what.replace(" ", "-"), help=help_text)
    @click.argument("name")
    @with_data
    @click.option("--since", metavar="DATE", default="", help="Only from that day, as 2026-03-14.")
    @with_json
    @click.option("--csv", "csv_file", type=OUT, metavar="FILE", help="Write a table.")
    @click.option("--pdf", type=OUT, metavar="FILE", help="Write it as a PDF, by vehicle.")
    def command(name: str, since: str, as_json: bool, csv_file: Path | None, pdf: Path | None) -> None:
        if not safe(name).strip():
            raise Wrong(f"Name the {what}.")
        with at_desk() as desk:
            found = desk.recall(what, name.strip(), _day(since))
            if not found.uses and (nowhere := desk.unknown(what, found.name)):
                raise Wrong(f"{nowhere}.")
            _warn_of_unknown(desk, what, found.name)
            for path in _written(desk, found, csv_file, pdf):
                tell(str(path))
        if as_json:
            _tell_json(found)
        elif csv_file is None and pdf is None:
            sys.stdout.writelines(f"{safe(line)}\n" for line in _lines(found))


def _day(text: str) -> str:
    if text:
        try:
            return date.fromisoformat(text).isoformat()
        except ValueError:
            raise Wrong(f"{text} should be a date, as 2026-03-14.") from None
    return ""


def _warn_of_unknown(desk: Desk, what: What, name: str) -> None:
    from reassembly.job.uses import key

    shop = desk.shop()
    if what == "wrench" and key(name) not in map(key, shop.rack):
        warn(f"Wrench {name} is not in the rack.")
    if what == "person" and key(name) not in map(key, shop.people):
        warn(f"Nobody here is called {name}.")


def _written(desk: Desk, found: Recall, csv_file: Path | None, pdf: Path | None) -> Iterator[Path]:
    from reassembly.record import recall_paper

    if csv_file is not None:
        recall_paper.write_csv(csv_file, found)
        yield csv_file
    if pdf is not None:
        with Progress() as progress:
            recall_paper.write_pdf(pdf, found, datetime.now().astimezone(), desk.digest(), notation(), progress)
        yield pdf


def _lines(found: Recall) -> Iterator[str]:
    from reassembly.job.recall import Vehicle, joints

    here = notation()
    yield found.summary
    yield from found.notes
    for job, uses in found.jobs.items():
        vehicle = found.vehicles.get(job, Vehicle(job))
        yield ""
        order = f"order {vehicle.order}" if vehicle.order else ""
        yield "  ".join(w for w in (vehicle.registration, vehicle.vehicle, vehicle.told, order, f"job {job}") if w)
        for joint in joints(uses):
            yield f"  {here.minute(joint.first.time)}  {joint.first.who}  {joint.told}"


def _tell_json(found: Recall) -> None:
    """One use a line, given out as they are made: a recall of ten years can have many."""
    from reassembly.job.recall import rows

    head: dict[str, Any] = {
        "what": found.what,
        "name": found.name,
        "since": found.window.since,
        "until": found.window.until,
        "notes": found.notes,
        "jobs": len(found.jobs),
    }
    out = sys.stdout
    out.write(f'{json.dumps(head)[:-1]}, "uses": [')
    out.writelines(f"{',' if number else ''}\n{json.dumps(row)}" for number, row in enumerate(rows(found)))
    out.write("\n]}\n")


_command(
    "wrench",
    """Find every joint that wrench NAME tightened since its last good calibration before it failed.

    To the next good calibration after it; where it did not fail, since its last calibration. --since asks for more.

    \b
    Example:
      reassembly recall wrench T3
      reassembly recall wrench T3 --since 2025-01-01 --pdf t3.pdf
    """,
)
_command(
    "batch",
    """Find every job that new parts or bolts of batch NAME went into.

    \b
    Example:
      reassembly recall batch 7731
    """,
)
_command(
    "part number",
    """Find every job that part number NAME was asked for or went into.

    \b
    Example:
      reassembly recall part-number 24-117
    """,
)
_command(
    "fluid batch",
    """Find every job that fluid of batch NAME was filled in.

    \b
    Example:
      reassembly recall fluid-batch L4410 --since 2026-01-01
    """,
)
_command(
    "person",
    """Find every joint that person NAME tightened, with second checks, exceptions and sign-offs.

    \b
    Example:
      reassembly recall person ben --since 2026-01-01 --csv ben.csv
    """,
)


@click.command()
@named_job
@with_data
@click.option("--complaint", default="", metavar="TEXT", help="Tell the JOB beside this complaint.")
@with_json
def comeback(name: str, complaint: str, as_json: bool) -> None:
    """Tell the story of an earlier job beside the complaint it came back with.

    JOB is either of the two. What shares a word with the complaint comes first; what is not recorded is said. A job
    that did not come back is told alone.

    \b
    Example:
      reassembly comeback 418
      reassembly comeback 287 --complaint "whines at 60"
    """
    from reassembly.job.comeback import between, sections
    from reassembly.record.gathering import NotBack, come_back

    with at_desk() as desk:
        try:
            story = come_back(desk, find_job(desk, name), safe(complaint).strip())
        except NotBack as not_back:
            warn(str(not_back))
            story = not_back.story
    if as_json:
        tell_data(story)
        return
    tell("  ".join(filter(None, (story.registration, story.vehicle, f"job {story.earlier}"))))
    tell(f"complaint then: {story.first_complaint or 'none said'}")
    tell(f"complaint now:  {story.complaint or 'none said'}")
    for felt in story.now:
        tell(f"                {felt}")
    tell(between(story))
    for heading, lines in sections(story, notation()):
        tell()
        tell(heading.upper())
        for line in lines:
            tell(f"  {line}")
