"""Labels without a label printer: one as a PNG to look at, many as a PDF for an office printer and scissors.

A sheet is drawn on a grid of 1/300 inch, which is 0.24 points and so exact in the two decimals of a PDF, and holds the
pictures of a 300 dpi label printer: at 300 and 600 dpi every module comes out with the same number of dots.
"""

from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING

from labels.lettering import drawable
from labels.picture import Size, picture

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from fpdf import FPDF
    from PIL.Image import Image

    from labels.label import Label

DPI = 300
PAGE = 2480, 3508  # A4 in 1/300 inch
POINT = 72 / DPI
INSET = 0.01  # points: a printer paints every dot it touches, and a rounding error would make a label one dot wider
MARGIN, GAP, FOOT = 90, 48, 110  # 7.6 mm that office printers leave blank, 4 mm for scissors, the words below
LONGEST_TITLE = 60  # letters, so that date and page number stay on the page
CUT = 14  # length of a cut mark
HINT = "Print at 100 %, not fitted to the page. Codes scan best on a laser printer."


def png(label: "Label", size: Size, dpi: int) -> bytes:
    """The label as a PNG, its resolution written into it so that it prints at its own size."""
    data = BytesIO()
    picture(label, size, dpi).save(data, "PNG", dpi=(dpi, dpi), optimize=True)
    return data.getvalue()


def sheet(
    labels: "Sequence[Label]",
    size: Size,
    title: str,
    when: datetime,
    made: str = "",
    progress: "Callable[[int, int], None]" = lambda _done, _all: None,
) -> bytes:
    """An A4 PDF with all the labels in order, cut marks between them. Same arguments, same bytes.

    `made` stands in the foot in place of `when`, which is told year first. `progress` hears how many labels are drawn,
    and of how many. Raises ValueError when there is nothing to print.
    """
    return laid_out((picture(label, size, DPI) for label in labels), len(labels), size, title, when, made, progress)


def laid_out(
    pictures: "Iterable[Image]",
    many: int,
    size: Size,
    title: str,
    when: datetime,
    made: str = "",
    progress: "Callable[[int, int], None]" = lambda _done, _all: None,
) -> bytes:
    """The same with so many pictures, any of that size at 300 dots an inch, mode "1"."""
    if not many:
        raise ValueError("there are no labels to print")
    pdf = _paper(title, when)
    width, height = size.dots(DPI)
    columns = (PAGE[0] - 2 * MARGIN + GAP) // (width + GAP)
    rows = (PAGE[1] - 2 * MARGIN - FOOT + GAP) // (height + GAP)
    indent = (PAGE[0] - columns * (width + GAP) + GAP) // 2
    pages = -(-many // (columns * rows))
    for number, drawn in enumerate(pictures):
        page, place = divmod(number, columns * rows)
        if place == 0:
            pdf.add_page()
            _write_foot(pdf, f"{_title(title)}   {made or f'{when:%Y-%m-%d %H:%M}'}   page {page + 1} of {pages}")
        row, column = divmod(place, columns)
        left, top = indent + column * (width + GAP), MARGIN + row * (height + GAP)
        inside = left * POINT + INSET, top * POINT + INSET, width * POINT - 2 * INSET, height * POINT - 2 * INSET
        pdf.image(drawn, *inside)
        _mark_corners(pdf, left, top, left + width, top + height)
        progress(number + 1, many)
    return bytes(pdf.output())


def _title(title: str) -> str:
    whole = drawable(title)
    return whole if len(whole) <= LONGEST_TITLE else f"{whole[: LONGEST_TITLE - 1]}…"


def _paper(title: str, when: datetime) -> "FPDF":
    import fontpkg_noto_sans
    from fpdf import FPDF

    pdf = FPDF(unit="pt", format=(PAGE[0] * POINT, PAGE[1] * POINT))
    pdf.set_auto_page_break(False)
    pdf.set_creation_date(when)
    pdf.set_title(_title(title))
    pdf.add_font("Noto Sans", fname=fontpkg_noto_sans.ROOT / "files" / "NotoSans[wdth,wght].ttf")
    pdf.set_line_width(POINT)
    return pdf


def _write_foot(pdf: "FPDF", words: str) -> None:
    pdf.set_font("Noto Sans", size=9)
    pdf.text(MARGIN * POINT, (PAGE[1] - MARGIN - FOOT // 2) * POINT, words)
    pdf.text(MARGIN * POINT, (PAGE[1] - MARGIN) * POINT, HINT)


def _mark_corners(pdf: "FPDF", left: int, top: int, right: int, bottom: int) -> None:
    for x, out in ((left, -1), (right, 1)):
        for y, down in ((top, -1), (bottom, 1)):
            near, far = 4, 4 + CUT
            pdf.line((x + out * near) * POINT, y * POINT, (x + out * far) * POINT, y * POINT)
            pdf.line(x * POINT, (y + down * near) * POINT, x * POINT, (y + down * far) * POINT)
