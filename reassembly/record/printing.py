"""Where the words on a bag meet a label: new codes, pictures and sheets."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labels.code import Code, Kind, make, read
from labels.label import Label
from reassembly.job.job import title
from reassembly.job.tag import tag, tags
from reassembly.record.trouble import Refused, of_file

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from reassembly.job.job import Job
    from reassembly.job.tag import Tag
    from reassembly.record.desk import Desk

USUAL_SIZE, USUAL_DPI = "62x29", 300


def new_code(desk: Desk, kind: Kind = Kind.BAG) -> str:
    """Ten letters that no label ever had."""
    return make(kind, desk.bench, desk.new_serial(kind))


def labels_of(job: Job) -> list[Label]:
    """A label for each bag or tag of the job. A bag under letters that are no code of ours can have none."""
    return [_label(tag) for tag in tags(job) if isinstance(read(tag.code), Code)]


def label_of(job: Job, code: str, copy: int) -> Label | None:
    """One bag's label, which says that it is a further copy; None where there is no such bag, or no code of ours."""
    found = tag(job, code, copy)
    return _label(found) if found and isinstance(read(found.code), Code) else None


def _label(tag: Tag) -> Label:
    return Label(code=tag.code, heading=tag.heading, name=tag.name, lines=tag.lines, footer=tag.footer)


def write_labels(job: Job, folder: Path, size: str = USUAL_SIZE, dpi: int = USUAL_DPI) -> list[Path]:
    """One PNG for each label, named by its code. Raises Trouble when the folder cannot be written."""
    from labels.picture import SIZES
    from labels.sheet import png

    written = []
    for label in _some(job):
        path = folder / f"{label.code}.png"
        _write(path, png(label, SIZES[size], dpi))
        written.append(path)
    return written


def write_sheet(job: Job, path: Path, when: datetime, size: str = USUAL_SIZE) -> int:
    """All labels of the job on A4 pages for an office printer; returns how many. Raises Trouble."""
    from labels.picture import SIZES
    from labels.sheet import sheet

    found = _some(job)
    _write(path, sheet(found, SIZES[size], title(job), when))
    return len(found)


def _some(job: Job) -> list[Label]:
    found = labels_of(job)
    if not found:
        raise Refused("This job has no bag or tag yet: pack one at strip-down first.")
    return found


def _write(path: Path, data: bytes) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    except OSError as error:
        raise of_file(error, path) from error
