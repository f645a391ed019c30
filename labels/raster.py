"""A picture as CUPS raster, which a label filter takes dot by dot. Whatever else CUPS is given, it scales."""

import struct
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image

SYNC = b"RaS3"  # version 3, big-endian, not compressed
HEADER = 1796
BLACK = 3  # CUPS_CSPACE_K: a bit that is set is ink

# Where the fields of cups_page_header2_t stand in the header, in bytes. Those not named stay 0: as the queue has them.
# Source: the CUPS raster format in the CUPS documentation; held to by the test with a real server.
RESOLUTION, COPIES, PAGE_POINTS = 276, 340, 352
WIDTH, HEIGHT, BITS_PER_COLOR, BITS_PER_PIXEL, BYTES_PER_LINE, COLOR_SPACE = 372, 376, 384, 388, 392, 400
COLORS, PAGE_SIZE = 420, 428


def raster(image: "Image", dpi: int) -> bytes:
    """A file of one page with exactly the dots of `image`, a picture in mode "1".

    Raises ValueError for any other mode: somebody would have to choose what becomes black.
    """
    if image.mode != "1":
        raise ValueError(f"a label is printed from a picture of one bit a dot, not of mode {image.mode}")
    width, height = image.size
    points = width * 72 / dpi, height * 72 / dpi
    numbers = {
        RESOLUTION: dpi,
        RESOLUTION + 4: dpi,
        COPIES: 1,
        PAGE_POINTS: round(points[0]),
        PAGE_POINTS + 4: round(points[1]),
        WIDTH: width,
        HEIGHT: height,
        BITS_PER_COLOR: 1,
        BITS_PER_PIXEL: 1,
        BYTES_PER_LINE: (width + 7) // 8,
        COLOR_SPACE: BLACK,
        COLORS: 1,
    }
    header = bytearray(HEADER)
    for where, number in numbers.items():
        struct.pack_into(">I", header, where, number)
    struct.pack_into(">2f", header, PAGE_SIZE, *points)
    return SYNC + bytes(header) + image.tobytes("raw", "1;I")  # inverted here: ImageChops does not, for a white of 1
