"""A recall as a table for a spreadsheet and as pages to work through on the telephone."""

from __future__ import annotations

import csv
import io
import re
from typing import TYPE_CHECKING, Any

from reassembly.job.notation import USUAL, Notation
from reassembly.job.recall import Vehicle, joints, rows
from reassembly.record.durable import OWNER, give_out
from reassembly.record.progress import Progress, nothing

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime
    from pathlib import Path

    from reassembly.job.recall import Recall
    from reassembly.job.uses import Use
    from reassembly.record.typeset import Cell

_OBEYED = re.compile(r"(^\s*|[;\t\r\n]\s*)(?=[-=+@\uff0d\uff1d\uff0b\uff20])")
"""Where a spreadsheet would take what follows for a formula: at the beginning of a cell, and in some countries after a
semicolon. Some take the wide signs of East Asia as well."""


def write_csv(path: Path, recall: Recall) -> None:
    """One line for each entry, UTF-8 with its mark, so that a spreadsheet reads it. Raises Trouble."""
    table = io.StringIO(newline="")
    columns = list(next(rows(recall), {"job": ""}))
    writer = csv.writer(table)
    writer.writerow(columns)
    writer.writerows(map(_cell, row.values()) for row in rows(recall))
    give_out(path, table.getvalue().encode("utf-8-sig", "replace"), OWNER)


def write_pdf(
    path: Path,
    recall: Recall,
    when: datetime,
    digest: str,
    notation: Notation = USUAL,
    progress: Progress = nothing,
) -> None:
    """The same, by vehicle. `digest` stands for the journal it was read from. Raises Trouble."""
    give_out(path, document(recall, when, digest, notation, progress), OWNER)


def document(
    recall: Recall, when: datetime, digest: str, notation: Notation = USUAL, progress: Progress = nothing
) -> bytes:
    """The PDF. The same recall and moment give the same bytes."""
    from reassembly.record.typeset import Column, Pages

    subject = f"{recall.what} {recall.name}"
    rows = len(recall.jobs) + sum(len(joints(uses)) for uses in recall.jobs.values())
    pages = Pages(f"Recall {subject}", f"journal {digest}   recall of {subject}", when, notation)
    pages.told = lambda done: progress("lines drawn", done, rows)
    pages.title_block("Recall", subject, recall.summary)
    for note in recall.notes:
        pages.paragraph(note)
    pages.paragraph(f"Looked up {notation.minute(when.isoformat())}.", "quiet")
    if recall.uses:
        columns = (Column("vehicle, customer, work", 0.68), Column("by", 0.12), Column("when", 0.20))
        pages.grid(columns, [list(_job(recall, job, uses)) for job, uses in recall.jobs.items()])
    return bytes(pages.output())


def _job(recall: Recall, job: str, uses: list[Use]) -> Iterator[list[Cell]]:
    from reassembly.record.typeset import Words, cell, time

    vehicle = recall.vehicles.get(job, Vehicle(job))
    named = "  ".join(w for w in (vehicle.registration, vehicle.vehicle, vehicle.order, f"job {job}") if w)
    yield [cell(Words(named, "bold"), vehicle.told), cell(), cell()]
    for joint in joints(uses):
        yield [cell(joint.told), cell(joint.first.who), cell(time(joint.first.time))]


def _cell(value: Any) -> str:
    return "" if value is None else _OBEYED.sub(r"\1'", str(value))
