"""The label that teaches how a scanner types: scanned once with each new scanner."""

from typing import TYPE_CHECKING

from labels.keyboard import KEYS
from labels.lettering import BOLD, REGULAR, one_row, some_rows
from labels.picture import DOTS_A_MODULE, MARGIN, PITCH, QUIET, Size, symbol

if TYPE_CHECKING:
    from PIL.Image import Image

VERSION, MODULES = 4, 33  # the smallest of level H that holds KEYS. Source: ISO/IEC 18004, table 7
TITLE = "Scanner label"
WORDS = (
    "Scan once with a new scanner.",
    "Codes still do not come? Set it to a plain US keyboard with Enter after each scan, then scan this again.",
)


def scanner_label(size: Size, dpi: int) -> "Image":
    """The picture, as `picture` draws that of a label: mode "1", one pixel for each dot of the printer.

    Raises ValueError for a resolution that is not in DOTS_A_MODULE, or stock too low for its symbol.
    """
    from PIL import Image, ImageDraw

    if dpi not in DOTS_A_MODULE:
        raise ValueError(f"labels are drawn for {' or '.join(map(str, DOTS_A_MODULE))} dots an inch, not {dpi}")
    image = Image.new("1", size.dots(dpi), 1)
    pen = ImageDraw.Draw(image)
    side = (MODULES + 2 * QUIET) * DOTS_A_MODULE[dpi]
    margin, capital = round(MARGIN * dpi / 25.4), round(size.text * dpi / 25.4)
    left = round(size.hole * dpi / 25.4) + margin
    room = image.width - side - left
    if side > image.height or room < side // 3:
        raise ValueError(f"the scanner label does not fit on {size.title}")
    rows = [one_row(TITLE, capital, BOLD, room)]
    for words in WORDS:
        rows += some_rows(words, capital, REGULAR, room, 4)
    for place, row in enumerate(rows, 1):
        pen.text((left, margin + round(place * capital * PITCH)), row.text, 0, row.face, "ls")
    image.paste(symbol(KEYS, DOTS_A_MODULE[dpi], VERSION), (image.width - side, (image.height - side) // 2))
    return image
