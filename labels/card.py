"""A card of codes to be scanned instead of pressing keys: A6 pages, each code under its word."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from labels.code import grouped
from labels.lettering import drawable
from labels.picture import symbol

if TYPE_CHECKING:
    from fpdf import FPDF

DPI = 300
PAGE = 1240, 1748  # A6 in 1/300 inch
POINT = 72 / DPI
COLUMNS, ROWS = 3, 5  # codes far enough apart that a scanner held over one does not read its neighbour
MARGIN, TITLE = 50, 80
DOTS = 8  # a module: 0.68 mm, larger than on a label, because a card hangs at arm's length
WORD, LETTERS, SMALL = 12.0, 6.0, 0.5  # points; words too long are made smaller, at most to half


class Card(NamedTuple):
    """A title and its codes, each with the word for what it does."""

    title: str
    codes: Sequence[tuple[str, str]]


def cards(several: Sequence[Card], when: datetime) -> bytes:
    """A PDF with one A6 page for each card. Same arguments, same bytes.

    Raises ValueError when a card has more codes than there is room for.
    """
    for card in several:
        if len(card.codes) > COLUMNS * ROWS:
            raise ValueError(f"{card.title}: {len(card.codes)} codes, a card has room for {COLUMNS * ROWS}")
    import fontpkg_noto_sans
    from fpdf import FPDF

    pdf = FPDF(unit="pt", format=(PAGE[0] * POINT, PAGE[1] * POINT))
    pdf.set_auto_page_break(False)
    pdf.set_creation_date(when)
    pdf.add_font("Noto Sans", fname=fontpkg_noto_sans.ROOT / "files" / "NotoSans[wdth,wght].ttf")
    width, height = (PAGE[0] - 2 * MARGIN) // COLUMNS, (PAGE[1] - 2 * MARGIN - TITLE) // ROWS
    for card in several:
        pdf.add_page()
        pdf.set_font("Noto Sans", size=14)
        pdf.text(MARGIN * POINT, (MARGIN + TITLE // 2) * POINT, drawable(card.title))
        for number, (code, word) in enumerate(card.codes):
            row, column = divmod(number, COLUMNS)
            picture = symbol(code, DOTS)
            left, top = MARGIN + column * width, MARGIN + TITLE + row * height
            indent = (width - picture.width) // 2
            pdf.image(picture, (left + indent) * POINT, top * POINT, w=picture.width * POINT, h=picture.height * POINT)
            foot = (top + picture.height) * POINT
            _centred(pdf, word, (left + width / 2) * POINT, foot + WORD * 0.8, WORD, (width - 20) * POINT)
            _centred(pdf, grouped(code), (left + width / 2) * POINT, foot + WORD * 1.5, LETTERS, width * POINT)
    return bytes(pdf.output())


def _centred(pdf: "FPDF", words: str, middle: float, baseline: float, size: float, room: float) -> None:
    text = drawable(words)
    pdf.set_font("Noto Sans", size=size)
    wide = pdf.get_string_width(text)
    if wide > room:
        pdf.set_font("Noto Sans", size=max(size * SMALL, size * room / wide))
    pdf.text(middle - pdf.get_string_width(text) / 2, baseline, text)
