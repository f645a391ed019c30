"""A picture from a camera, read with care: its size before its pixels, the right way up, nothing else of its file."""

from __future__ import annotations

import os
import stat
import struct
import warnings
from contextlib import suppress
from datetime import datetime
from errno import ELOOP
from io import BytesIO
from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.record.trouble import Refused, Trouble

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from PIL.Image import Image

MOST_PIXELS = 50_000_000
"""A picture is unpacked into 3 bytes a pixel, twice while it is turned: a Pi has room for this many."""
MOST_BYTES = 40 << 20
QUALITY = 92
"""Of a JPEG that was none before."""

Colour = tuple[int, int, int]
"""Red, green, blue, each of 255."""

_FORMATS = ("JPEG", "PNG", "WEBP")
_NOT_JPEG = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif", b"avis")
_BROKEN = (OSError, SyntaxError, ValueError, TypeError, LookupError, ArithmeticError, EOFError, struct.error)
"""What the library raises for a file that is not what it says."""


class Upright(NamedTuple):
    """A picture as it is kept: its file, and how the name of that ends, `.jpg` or `.png`."""

    data: bytes
    suffix: str
    width: int
    height: int
    taken: str
    """By the camera's own clock, 2026-03-14T16:50; `` where its file does not say."""


def read(path: Path) -> bytes:
    """The file of a picture. Raises Refused for one that is too large, no file of its own or still being copied,
    Trouble when it cannot be read."""
    try:
        with open(path, "rb", opener=_as_it_is) as file:
            before = os.fstat(file.fileno())
            if not stat.S_ISREG(before.st_mode):
                raise IsADirectoryError
            if before.st_size > MOST_BYTES:
                size = f"{before.st_size >> 20} MB, more than {MOST_BYTES >> 20}"
                raise refused(path, f"has {size}", "set the camera to smaller pictures")
            data = file.read(MOST_BYTES + 1)
            after = os.fstat(file.fileno())
    except IsADirectoryError:
        raise Refused(f"{path} is no picture: name the file of one.") from None
    except ValueError:
        raise Refused("No file can have such a name: name another.") from None
    except OSError as error:
        if error.errno == ELOOP:
            raise refused(path, "is only a link to a file", "name the picture itself") from None
        raise Trouble(f"{path} cannot be read ({error.strerror}): look at the card or phone and its plug.") from error
    if (len(data), after.st_mtime_ns) != (before.st_size, before.st_mtime_ns):
        raise refused(path, "is still being copied", "wait until it is there and try again")
    return data


def _as_it_is(path: str, flags: int) -> int:
    """A pipe would keep us waiting for ever; a link may lead to what is nobody's picture."""
    return os.open(path, flags | os.O_NONBLOCK | os.O_NOFOLLOW)


def upright(data: bytes, path: Path) -> Upright:
    """The right way up, with no word about place, time, camera or owner. Raises Refused, which names the file."""
    image = _opened(data, path)
    clear = image.has_transparency_data
    kept_as_png = clear or image.format == "PNG"
    mode = "RGBA" if clear else "L" if image.mode in {"1", "L"} else "RGB"
    try:
        how = _as_the_camera_did(image)
        taken = _taken(image)
        _turn(image)
        plain = image if image.mode == mode else image.convert(mode)
        plain.info.clear()  # a comment or a colour profile would be written again
        file = BytesIO()
        if kept_as_png:
            plain.save(file, "PNG")
        else:
            plain.save(file, "JPEG", **how)
    except _BROKEN as error:
        raise _broken(path) from error
    return Upright(file.getvalue(), ".png" if kept_as_png else ".jpg", *plain.size, taken)


def _as_the_camera_did(image: Image) -> dict[str, Any]:
    """A JPEG keeps its own tables: packed by the same ones once more it loses next to nothing, and grows no larger."""
    from PIL.JpegImagePlugin import JpegImageFile, get_sampling

    if isinstance(image, JpegImageFile) and image.mode in {"L", "RGB"}:
        return {"qtables": image.quantization, "subsampling": get_sampling(image)}
    return {"quality": QUALITY}


def _taken(image: Image) -> str:
    """Source of the tags: EXIF 2.32 (CIPA DC-008), DateTimeOriginal 0x9003 in the Exif IFD 0x8769, DateTime 0x0132."""
    with suppress(*_BROKEN):
        exif = image.getexif()
        said = str(exif.get_ifd(0x8769).get(0x9003) or exif.get(0x0132) or "")
        return datetime.strptime(said[:16], "%Y:%m:%d %H:%M").isoformat(timespec="minutes")  # noqa: DTZ007 - it knows no zone
    return ""


def small(path: Path, width: int, height: int) -> Image:
    """The picture of a file, the right way up, at most so many pixels wide and high. Raises Refused, Trouble."""
    image = _opened(read(path), path)
    try:
        image.thumbnail((max(width, height),) * 2)  # of a JPEG no more is unpacked than this needs
        _turn(image)
        image.thumbnail((width, height))
        return _on_white(image)
    except _BROKEN as error:
        raise _broken(path) from error


def thumbnail(path: Path, width: int, height: int) -> bytes:
    """As `small`, a JPEG."""
    file = BytesIO()
    small(path, width, height).save(file, "JPEG", quality=80)
    return file.getvalue()


def pixels(path: Path, width: int, height: int, colours: Sequence[Colour] = ()) -> list[list[Colour]]:
    """As `small`, row by row; with `colours` dots of these alone, mixed so that from afar it is the picture."""
    from PIL import Image

    image = small(path, width, height)
    if colours:
        palette = Image.new("P", (1, 1))
        palette.putpalette([part for colour in colours for part in colour])
        image = image.quantize(palette=palette, dither=Image.Dither.FLOYDSTEINBERG).convert("RGB")
    data, line = image.tobytes(), 3 * image.width
    rows = [data[at : at + line] for at in range(0, len(data), line)]
    return [[(row[at], row[at + 1], row[at + 2]) for at in range(0, line, 3)] for row in rows]


def _opened(data: bytes, path: Path) -> Image:
    """Only its head is read; what follows may still be broken."""
    from PIL import Image, UnidentifiedImageError

    Image.MAX_IMAGE_PIXELS = None  # the library's own limit warns on standard error; the one below refuses
    warnings.filterwarnings("ignore", module=r"PIL\.")  # of tags that are dropped anyhow
    if data[4:8] == b"ftyp" and data[8:12] in _NOT_JPEG:
        raise refused(path, "is a HEIC or AVIF picture, which is not read here", "set the phone to take JPEG")
    try:
        image = Image.open(BytesIO(data), formats=_FORMATS)
    except UnidentifiedImageError:
        raise refused(path, "is no picture in JPEG, PNG or WebP", "take it again in one of these") from None
    except _BROKEN as error:
        raise _broken(path) from error
    if image.width * image.height > MOST_PIXELS:
        size = f"{image.width} x {image.height} pixels, more than {MOST_PIXELS // 1_000_000} million"
        raise refused(path, f"has {size}", "set the camera to smaller pictures")
    return image


def _turn(image: Image) -> None:
    """As the camera was held. Where the tags that say so are broken it stays as it lies."""
    from PIL import ImageOps

    image.load()
    with suppress(*_BROKEN):
        ImageOps.exif_transpose(image, in_place=True)


def _on_white(image: Image) -> Image:
    from PIL import Image as Images

    if not image.has_transparency_data:
        return image.convert("RGB")
    clear = image.convert("RGBA")
    white = Images.new("RGBA", clear.size, "white")
    white.alpha_composite(clear)
    return white.convert("RGB")


def _broken(path: Path) -> Refused:
    return refused(path, "is broken or not yet copied to its end", "copy it once more")


def refused(path: Path, why: str, what_to_do: str) -> Refused:
    """In one sentence, with the file's name."""
    return Refused(f"{path.name} {why}: {what_to_do}. It was not kept.")
