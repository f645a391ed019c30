"""Where what the program has to say meets a label: bags, cards, badges; new codes, pictures and sheets."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from msgspec import structs

from labels.code import Code, Kind, make, read
from labels.label import Label
from reassembly.job.entries import PersonAdded, ShelfAdded, WrenchAdded
from reassembly.job.job import bag_code, title
from reassembly.job.notation import USUAL
from reassembly.job.tag import tag, tags
from reassembly.record.cards import BENCH as CARDS_BENCH
from reassembly.record.cards import CARDS, PAGES, TEST, Card
from reassembly.record.durable import give_out
from reassembly.record.progress import nothing
from reassembly.record.trouble import Refused, Trouble

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime
    from pathlib import Path

    from PIL.Image import Image

    from reassembly.job.job import Job
    from reassembly.job.notation import Notation
    from reassembly.job.shop import Shop
    from reassembly.job.tag import Tag
    from reassembly.record.desk import Desk
    from reassembly.record.progress import Progress

USUAL_SIZE, USUAL_DPI = "62x29", 300
MOST_AHEAD = 200  # a roll has some hundreds

OfShop = PersonAdded | WrenchAdded | ShelfAdded


def new_code(desk: Desk, kind: Kind = Kind.BAG) -> str:
    """Ten letters that no label ever had."""
    return make(kind, desk.bench, desk.new_serial(kind))


def is_code(text: str) -> bool:
    """Whether these are ten letters of ours, in any case, with or without spaces."""
    return isinstance(read(text), Code)


def is_of_bag(text: str) -> bool:
    """Whether they are for a bag or a tag."""
    found = read(text)
    return isinstance(found, Code) and found.kind in {Kind.BAG, Kind.TAG}


def code_of(card: Card) -> str:
    """The ten letters on a card."""
    return make(Kind.ACTION, CARDS_BENCH, card.serial)


def card_of(code: str) -> Card | None:
    """The card with these letters; None for one of a newer version, or of another kind."""
    found = read(code)
    if not isinstance(found, Code) or found.kind is not Kind.ACTION or found.bench != CARDS_BENCH:
        return None
    return CARDS.get(found.serial)


def labels_of(job: Job) -> list[Label]:
    """A label for each bag or tag of the job. A bag under letters that are no code of ours can have none."""
    return [_label(tag) for tag in tags(job) if is_code(tag.code)]


def label_of(job: Job, code: str, copy: int) -> Label | None:
    """One bag's label, which says that it is a further copy; None where there is no such bag, or no code of ours."""
    found = tag(job, code, copy)
    return _label(found) if found and is_code(found.code) else None


def _label(tag: Tag) -> Label:
    return Label(code=tag.code, heading=tag.heading, name=tag.name, lines=tag.lines, footer=tag.footer)


def blanks(desk: Desk, many: int) -> list[Label]:
    """Labels with a code and no words yet, printed ahead: the first scan at strip-down ties one to its part.

    Their numbers are used up here and now, printed or not, so no other bench and no later run gives the same again.
    """
    if not 1 <= many <= MOST_AHEAD:
        raise Refused(f"{many} blank labels: from 1 to {MOST_AHEAD} are made at once.")
    return [Label(new_code(desk), name="") for _ in range(many)]


def strip() -> list[Label]:
    """Every card as a label, to be stuck where hands are."""
    return [
        Label(code_of(card), card.word, heading="scan it instead of the key")
        for _, several in PAGES
        for card in several
    ]


def test_label(day: str) -> Label:
    """A label for looking at a new roll with; scanning it answers."""
    lines = ("Words sharp? White all round?", "Rub it with oil, wipe it, scan it again.")
    return Label(code_of(TEST), TEST.word, heading=f"printed {day}", lines=lines)


def with_code(desk: Desk, fact: OfShop) -> OfShop:
    """The same person, wrench or shelf, with a new code where it has none."""
    match fact:
        case PersonAdded(badge=""):
            return structs.replace(fact, badge=new_code(desk, Kind.PERSON))
        case WrenchAdded(tag=""):
            return structs.replace(fact, tag=new_code(desk, Kind.WRENCH))
        case ShelfAdded(label=""):
            return structs.replace(fact, label=new_code(desk, Kind.SHELF))
    return fact


def badge_of(fact: OfShop) -> Label | None:
    """The label of a person, wrench or shelf; None where its letters are no code of ours."""
    match fact:
        case PersonAdded():
            code, name, what, told = fact.badge, fact.person, "badge", fact.name
        case WrenchAdded():
            code, name, what, told = fact.tag, fact.wrench, "wrench", f"{fact.low} to {fact.high}"
        case ShelfAdded():
            code, name, what, told = fact.label, fact.shelf, "shelf", ""
    return Label(bag_code(code), name, heading=what, lines=(told,) if told else ()) if is_code(code) else None


def badges(shop: Shop) -> list[Label]:
    """A label for each person, wrench and shelf that has a code of ours."""
    racked = (wrench.added for wrench in shop.rack.values())
    every: tuple[OfShop, ...] = (*shop.people.values(), *racked, *shop.shelves.values())
    return [label for each in every if (label := badge_of(each))]


def write_labels(
    job: Job, folder: Path, size: str = USUAL_SIZE, dpi: int = USUAL_DPI, progress: Progress = nothing
) -> list[Path]:
    """One PNG for each label, named by its code. Raises Trouble when the folder cannot be written."""
    from labels.picture import SIZES
    from labels.sheet import png

    written, labels = [], _some(job)
    for label in labels:
        path = folder / f"{label.code}.png"
        give_out(path, png(label, SIZES[size], dpi))
        written.append(path)
        progress("labels drawn", len(written), len(labels))
    return written


def write_sheet(
    job: Job,
    path: Path,
    when: datetime,
    size: str = USUAL_SIZE,
    notation: Notation = USUAL,
    progress: Progress = nothing,
) -> None:
    """All labels of the job on A4 pages for an office printer. Raises Trouble."""
    write_sheet_of(_some(job), title(job), path, when, size, notation, progress)


def write_badges(
    shop: Shop,
    path: Path,
    when: datetime,
    size: str = USUAL_SIZE,
    notation: Notation = USUAL,
    progress: Progress = nothing,
) -> None:
    """Every badge, wrench tag and shelf label on A4 pages. Raises Trouble."""
    found = badges(shop)
    if not found:
        raise Refused("Nobody has a badge and no wrench a tag: l on the workshop screen makes one.")
    write_sheet_of(found, "badges, wrenches and shelves", path, when, size, notation, progress)


def write_sheet_of(
    labels: Sequence[Label],
    title: str,
    path: Path,
    when: datetime,
    size: str = USUAL_SIZE,
    notation: Notation = USUAL,
    progress: Progress = nothing,
) -> None:
    """Any labels on A4 pages for an office printer. Raises Trouble."""
    from labels.picture import SIZES
    from labels.sheet import sheet

    made, drawn = notation.minute(when.isoformat()), partial(progress, "labels drawn")
    give_out(path, sheet(labels, SIZES[size], title, when, made, drawn))


def write_cards(path: Path, when: datetime) -> None:
    """A page of A6 for each of PAGES. Raises Trouble."""
    from labels.card import Card as Page
    from labels.card import cards

    pages = [Page(title, [(code_of(card), card.word) for card in several]) for title, several in PAGES]
    give_out(path, cards(pages, when))


def print_test_page(queue: str, size: str, day: str) -> None:
    """A test label and the scanner label, straight to a label printer. Raises Refused, Trouble."""
    from labels.picture import DOTS_A_MODULE
    from labels.printer import PrintTrouble, Spooler
    from labels.raster import raster

    spooler = Spooler()
    try:
        found = next((each for each in spooler.printers() if each.name == queue), None)
        if found is None:
            raise Trouble(f"There is no printer {queue}: lpstat -p lists those that there are.")
        dpi = found.dpi or min(DOTS_A_MODULE)
        if dpi not in DOTS_A_MODULE:
            raise Refused(f"{queue} prints {dpi} dots an inch and is no label printer: write a sheet with --sheet.")
        for number, drawn in enumerate(_test_pictures(size, dpi, day), 1):
            spooler.send(queue, f"test page {number}", raster(drawn, dpi))
    except PrintTrouble as trouble:
        raise Trouble(str(trouble)) from trouble


def write_test_page(path: Path, when: datetime, size: str = USUAL_SIZE, notation: Notation = USUAL) -> None:
    """The same as a PDF for an office printer. Raises Trouble."""
    from labels.picture import SIZES
    from labels.sheet import DPI, laid_out

    made = notation.minute(when.isoformat())
    pictures = _test_pictures(size, DPI, notation.day(when.isoformat()))
    give_out(path, laid_out(pictures, len(pictures), SIZES[size], "test page", when, made))


def _test_pictures(size: str, dpi: int, day: str) -> list[Image]:
    from labels.picture import SIZES, picture
    from labels.scanner_label import scanner_label

    return [picture(test_label(day), SIZES[size], dpi), scanner_label(SIZES[size], dpi)]


def _some(job: Job) -> list[Label]:
    found = labels_of(job)
    if not found:
        raise Refused("This job has no bag or tag yet: pack one at strip-down first.")
    return found
