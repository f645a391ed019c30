"""Where the words on a bag meet a label: new codes, pictures and sheets."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labels.code import Code, Kind, make, read
from labels.label import Label
from reassembly.job.job import title
from reassembly.job.tag import tag, tags
from reassembly.record.durable import give_out
from reassembly.record.trouble import Refused

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from PIL.Image import Image

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
        give_out(path, png(label, SIZES[size], dpi))
        written.append(path)
    return written


def write_sheet(job: Job, path: Path, when: datetime, size: str = USUAL_SIZE) -> int:
    """All labels of the job on A4 pages for an office printer; returns how many. Raises Trouble."""
    from labels.picture import SIZES
    from labels.sheet import sheet

    found = _some(job)
    give_out(path, sheet(found, SIZES[size], title(job), when))
    return len(found)


def print_test_page(queue: str, size: str, when: datetime) -> None:
    """A test label and the scanner label, straight to a label printer. Raises PrintTrouble, Refused."""
    from labels.picture import DOTS_A_MODULE
    from labels.printer import PrintTrouble, Spooler
    from labels.raster import raster

    spooler = Spooler()
    found = next((each for each in spooler.printers() if each.name == queue), None)
    if found is None:
        raise PrintTrouble(f"There is no printer {queue}: lpstat -p lists those that there are.")
    dpi = found.dpi or min(DOTS_A_MODULE)
    if dpi not in DOTS_A_MODULE:
        raise Refused(f"{queue} prints {dpi} dots an inch and is no label printer: write a sheet for it with --sheet.")
    for number, drawn in enumerate(_test_pictures(size, dpi, when), 1):
        spooler.send(queue, f"test page {number}", raster(drawn, dpi))


def write_test_page(path: Path, when: datetime, size: str = USUAL_SIZE) -> None:
    """The same as a PDF for an office printer. Raises Trouble."""
    from labels.picture import SIZES
    from labels.sheet import DPI, laid_out

    give_out(path, laid_out(_test_pictures(size, DPI, when), SIZES[size], "test page", when))


def _test_pictures(size: str, dpi: int, when: datetime) -> list[Image]:
    from labels.picture import SIZES, picture
    from labels.scanner_label import scanner_label
    from reassembly.record.cards import test_label

    return [picture(test_label(f"{when:%Y-%m-%d}"), SIZES[size], dpi), scanner_label(SIZES[size], dpi)]


def _some(job: Job) -> list[Label]:
    found = labels_of(job)
    if not found:
        raise Refused("This job has no bag or tag yet: pack one at strip-down first.")
    return found
