"""A label as the dots of a printer: one bit each, whole dots a module, nothing scaled afterwards."""

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING, NamedTuple

from labels.code import grouped
from labels.lettering import BOLD, REGULAR, WIDTHS, Row, face, lines_in_rows, one_row, some_rows

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageDraw import ImageDraw

    from labels.label import Label


@dataclass(frozen=True, slots=True)
class Size:
    """A kind of label stock, in millimetres; `name`, `text` and `code` are heights of capital letters."""

    title: str
    width: float
    height: float
    name: float
    text: float
    code: float = 4.0
    hole: float = 0  # left blank at the left end, for the eyelet of a tie-on tag

    def dots(self, dpi: int) -> tuple[int, int]:
        """Width and height of its picture."""
        return int(self.width * dpi / 25.4), int(self.height * dpi / 25.4)


SIZES = {
    size.title: size
    for size in (
        Size("62x29", 62, 29, name=4.4, text=1.9),
        Size("50x25", 50, 25, name=3.1, text=1.6),
        Size("57x32", 57, 32, name=4.4, text=2.0),
        Size("tag", 80, 40, name=6.0, text=2.4, code=5.0, hole=12),
    )
}

DOTS_A_MODULE = {203: 4, 300: 6}
"""Printer resolution in dots an inch to dots a module: 0.5 mm. Of 3 dots at 203, slight blur left nothing to read."""

MODULES, QUIET = 21, 4  # ISO/IEC 18004, version 1
MARGIN = 1.2  # mm: about what a label may be off under the print head
PITCH, DEPTH = 1.7, 0.32  # row to row, and baseline to the foot of a g, in capital heights


class Box(NamedTuple):
    """A rectangle in dots."""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def width(self) -> int:
        return self.right - self.left


class Places(NamedTuple):
    """Where things go. A symbol's place is the corner of its quiet zone."""

    symbols: tuple[tuple[int, int], tuple[int, int]]
    name: Box
    name_rows: int
    text: Box
    code: Box


def picture(label: "Label", size: Size, dpi: int) -> "Image":
    """The label in mode "1" (0 black, 1 white), one pixel for each dot of the printer.

    Raises ValueError for a resolution that is not in DOTS_A_MODULE.
    """
    from PIL import Image, ImageDraw

    image = Image.new("1", size.dots(dpi), 1)
    pen = ImageDraw.Draw(image)
    where = places(size, dpi)

    capital, rows = _name(label.name, _dots(size.name, dpi), where.name, where.name_rows)
    foot = _write(pen, rows, where.name, capital)

    text = where.text._replace(top=max(where.text.top, foot + _dots(0.5, dpi)))
    capital = _dots(size.text, dpi)
    if label.heading:
        row = one_row(label.heading, capital, BOLD, text.width)
        rows = some_rows(label.heading, capital, BOLD, text.width, 2) if row.cut else [row]
        foot = _write(pen, rows, text, capital)
        text = text._replace(top=foot + _dots(0.5, dpi))
    room = text.bottom - text.top - capital * (1 + DEPTH)
    limit = int(room / (capital * PITCH)) + 1 if room >= 0 else 0
    _write(pen, lines_in_rows(label.lines, capital, text.width, limit), text, capital)

    letters = where.code.bottom - where.code.top
    narrowest = Row(grouped(label.code), face(letters, REGULAR, WIDTHS[-1]))
    footer = one_row(label.footer, capital, BOLD, where.code.width - ceil(narrowest.length) - capital)
    code = one_row(narrowest.text, letters, REGULAR, where.code.width - ceil(footer.length) - capital)
    code.write(pen, where.code.left, where.code.bottom)
    footer.write(pen, where.code.right - footer.length, where.code.bottom)

    drawn = symbol(label.code, DOTS_A_MODULE[dpi])
    for corner in where.symbols:  # last, so that no tall letter reaches into a quiet zone
        image.paste(drawn, corner)
    return image


def places(size: Size, dpi: int) -> Places:
    """Two symbols one above the other, as far apart as the label is high; side by side where it is too low for that."""
    if dpi not in DOTS_A_MODULE:
        raise ValueError(f"labels are drawn for {' or '.join(map(str, DOTS_A_MODULE))} dots an inch, not {dpi}")
    width, height = size.dots(dpi)
    quiet = QUIET * DOTS_A_MODULE[dpi]
    side = MODULES * DOTS_A_MODULE[dpi] + 2 * quiet
    margin = _dots(MARGIN, dpi)
    name_top = _dots(0.8, dpi)
    left, right = _dots(size.hole, dpi) + margin, width - margin
    code_bottom = height - max(margin, _dots(size.code * DEPTH, dpi))  # a J goes below the line
    code_top = code_bottom - _dots(size.code, dpi)
    if height >= 2 * side - quiet:  # the quiet zone between them may be shared
        column = width - side
        return Places(
            symbols=((column, 0), (column, height - side)),
            name=Box(left, name_top, column, code_top),
            name_rows=2,
            text=Box(left, name_top, column, code_top - _dots(0.6, dpi)),
            code=Box(left, code_top, column, code_bottom),
        )
    top = code_top - side
    return Places(
        symbols=((width - 2 * side + quiet, top), (width - side, top)),
        name=Box(left, name_top, right, top),
        name_rows=1,
        text=Box(left, top, width - 2 * side + quiet, code_top - _dots(0.6, dpi)),
        code=Box(left, code_top, right, code_bottom),
    )


def symbol(text: str, dots: int, version: int = 1) -> "Image":
    """A QR code of level H, alphanumeric, with its quiet zone; `dots` dots a module. Version 1 is right for a code."""
    from PIL import Image
    from qrcode.constants import ERROR_CORRECT_H
    from qrcode.main import QRCode
    from qrcode.util import MODE_ALPHA_NUM, QRData

    qr = QRCode(version=version, error_correction=ERROR_CORRECT_H, border=QUIET)
    qr.add_data(QRData(text, mode=MODE_ALPHA_NUM))
    qr.make(fit=False)
    matrix = qr.get_matrix()
    small = Image.new("1", (len(matrix), len(matrix)))
    small.putdata([0 if dark else 1 for row in matrix for dark in row])
    return small.resize((small.width * dots, small.height * dots), Image.Resampling.NEAREST)


def _name(name: str, capital: int, box: Box, limit: int) -> tuple[int, list[Row]]:
    """One row, rather smaller than two; two rows rather than cut."""
    for smaller in (1, 0.85, 0.7):
        height = ceil(capital * smaller)
        row = one_row(name, height, BOLD, box.width)
        if not row.cut:
            return height, [row]
    return height, some_rows(name, height, BOLD, box.width, limit)


def _write(pen: "ImageDraw", rows: list[Row], box: Box, capital: int) -> int:
    """Write rows from the top of the box down; returns where their feet end."""
    baseline = box.top + capital
    for place, row in enumerate(rows):
        baseline = box.top + capital + round(place * capital * PITCH)
        if place == 0:
            baseline = max(baseline, 1 - row.top)  # an accent at the edge
        row.write(pen, box.left, baseline)
    return baseline + ceil(capital * DEPTH)


def _dots(mm: float, dpi: int) -> int:
    return ceil(mm * dpi / 25.4)
