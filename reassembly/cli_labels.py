"""Labels, cards and badges: drawn for a printer, an office printer, or to look at."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import click

from reassembly.cli_base import (
    FILE,
    OUT,
    Wrong,
    at_desk,
    data_folder,
    find_job,
    in_words,
    notation,
    safe,
    tell,
    with_data,
)
from reassembly.cli_progress import Progress

if TYPE_CHECKING:
    from pathlib import Path

SIZES = ("62x29", "50x25", "57x32", "tag")


@click.command()
@click.argument("name", metavar="[JOB]", required=False)
@with_data
@click.option("--out", type=FILE, metavar="DIR", help="A PNG for each label, into this folder.")
@click.option("--sheet", type=OUT, metavar="FILE", help="All of them on A4 pages, a PDF.")
@click.option("--pick-list", type=OUT, metavar="FILE", help="What to fetch from which shelf, a PDF.")
@click.option("--test-page", is_flag=True, help="A test label and the scanner label, for a new roll or scanner.")
@click.option("--blank", type=int, metavar="N", help="N labels with a code and no words yet, to have at hand.")
@click.option("--printer", default="", metavar="QUEUE", help="Print the test page there [the bench's own printer].")
@click.option("--size", type=click.Choice(SIZES), default=SIZES[0], show_default=True, help="Label size in mm.")
@click.option("--dpi", type=click.Choice(["203", "300"]), default="300", show_default=True, help="For the PNGs.")
def labels(
    name: str | None,
    out: Path | None,
    sheet: Path | None,
    pick_list: Path | None,
    test_page: bool,
    blank: int | None,
    printer: str,
    size: str,
    dpi: str,
) -> None:
    """Draw the labels of a JOB's bags and tags, to look at or for an office printer; or test a roll and a scanner.

    Blank labels go to the printer of the bench, or to --sheet. At strip-down the first scan of one ties it to the part
    on display, so bags can be labelled before anybody is at the screen. No two are ever the same.

    \b
    Example:
      reassembly labels 412 --sheet labels.pdf
      reassembly labels 412 --out labels --size 50x25 --dpi 203
      reassembly labels 412 --pick-list fetch.pdf
      reassembly labels --test-page --printer bags
      reassembly labels --blank 24
    """
    if test_page:
        _test_page(sheet, printer, size)
        return
    if blank is not None:
        _blank(blank, sheet, size)
        return
    if name is None:
        raise click.UsageError("Name a JOB, --blank N or --test-page.")
    if [out, sheet, pick_list].count(None) != 2:
        raise click.UsageError("Name one of --out DIR, --sheet FILE and --pick-list FILE.")
    from reassembly.record.picklist import NothingToFetch, write_pick_list
    from reassembly.record.printing import write_labels, write_sheet

    now, here = datetime.now().astimezone(), notation()
    with at_desk() as desk, Progress() as progress:
        job = desk.job(find_job(desk, name))
        if sheet is not None:
            write_sheet(job, sheet, now, size, here, progress)
            tell(str(sheet))
        if pick_list is not None:
            try:
                write_pick_list(job, pick_list, now, here)
                tell(str(pick_list))
            except NothingToFetch as nothing:
                tell(str(nothing))
        if out is not None:
            for path in write_labels(job, out, size, int(dpi), progress):
                tell(str(path))


def _test_page(sheet: Path | None, printer: str, size: str) -> None:
    from reassembly.record.printing import print_test_page, write_test_page

    now = datetime.now().astimezone()
    with in_words():
        if sheet is not None:
            write_test_page(sheet, now, size, notation())
            tell(str(sheet))
            return
        if not printer:
            from reassembly.record.settings import read

            chosen = read(data_folder())
            printer, size = chosen.printer, chosen.size
        if not printer:
            raise Wrong("No printer is chosen at this bench: name one with --printer, or a PDF with --sheet.")
        print_test_page(printer, size, notation().day(now.isoformat()))
    tell(f"A test label and the scanner label were sent to {safe(printer)}. Scan both with the screens open.")


def _blank(many: int, sheet: Path | None, size: str) -> None:
    from reassembly.record.press import Press
    from reassembly.record.printing import blanks, write_sheet_of

    with at_desk(begin=True) as desk:
        press = Press(desk.path)
        if sheet is not None:
            now = datetime.now().astimezone()
            with Progress() as progress:
                write_sheet_of(blanks(desk, many), "blank labels", sheet, now, size, notation(), progress)
            tell(str(sheet))
            return
        if not press.settings.printer:
            raise Wrong("No printer is chosen at this bench: l on the bench screen chooses one, --sheet makes a PDF.")
        for label in blanks(desk, many):
            press.ask(label, 1)
        told = press.run().words
    tell(told or "Blank labels were sent. Scan each at strip-down when its part is on display.")


@click.command()
@with_data
@click.option("--sheet", type=OUT, metavar="FILE", help="The cards on A6 pages, a PDF.")
@click.option("--strip", type=OUT, metavar="FILE", help="Each card as a label of its own, on A4 pages, a PDF.")
@click.option("--badges", type=OUT, metavar="FILE", help="Badges, wrench tags and shelf labels, on A4 pages, a PDF.")
@click.option("--size", type=click.Choice(SIZES), default=SIZES[0], show_default=True, help="Label size in mm.")
def cards(sheet: Path | None, strip: Path | None, badges: Path | None, size: str) -> None:
    """Write the cards with which a refit is done by scanner alone, and the badges of people, wrenches and shelves.

    \b
    Example:
      reassembly cards --sheet cards.pdf
      reassembly cards --badges badges.pdf --size 50x25
    """
    if sheet is strip is badges is None:
        raise click.UsageError("Name at least one of --sheet FILE, --strip FILE and --badges FILE.")
    from reassembly.record import printing

    now = datetime.now().astimezone()
    with in_words():
        if sheet is not None:
            printing.write_cards(sheet, now)
            tell(str(sheet))
        if strip is not None:
            printing.write_sheet_of(printing.strip(), "cards", strip, now, size, notation())
            tell(str(strip))
    if badges is not None:
        with at_desk() as desk:
            printing.write_badges(desk.shop(), badges, now, size, notation())
        tell(str(badges))
