"""Pictures as cameras, phones and whoever means no good make them."""

from __future__ import annotations

import struct
import zlib
from io import BytesIO
from typing import TYPE_CHECKING

from PIL import Image

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

Dot = tuple[int, ...]

COLOURS = ((200, 30, 30), (30, 200, 30), (30, 30, 200), (230, 230, 60))
"""Of the four quarters as a person sees them: upper left, upper right, lower left, lower right."""
SECRET = b"51 deg 28' N, A. Nonymous"

# How a picture has to lie in the file so that it is seen upright, by its orientation tag.
# Source: EXIF 2.32 (CIPA DC-008), tag 0x0112: which sides of the picture the first row and the first column are.
_LIES: dict[int, Callable[[list[list[Dot]]], list[list[Dot]]]] = {
    1: lambda seen: seen,
    2: lambda seen: [row[::-1] for row in seen],
    3: lambda seen: [row[::-1] for row in seen[::-1]],
    4: lambda seen: seen[::-1],
    5: lambda seen: [list(column) for column in zip(*seen, strict=True)],
    6: lambda seen: [list(column) for column in zip(*seen, strict=True)][::-1],
    7: lambda seen: [list(column)[::-1] for column in zip(*seen, strict=True)][::-1],
    8: lambda seen: [list(column)[::-1] for column in zip(*seen, strict=True)],
}


def taken(
    width: int = 48,
    height: int = 32,
    *,
    orientation: int = 0,
    kind: str = "JPEG",
    secrets: bool = False,
    shade: int = 0,
    when: str = "",
) -> bytes:
    """A file in which somebody sees COLOURS, width x height. `shade` makes it another picture; `when` is what the
    camera writes into it, as EXIF has it."""
    half = [(r, c) for r in range(2) for c in range(2)]
    red, green, blue, yellow = (tuple(max(0, value - shade) for value in COLOURS[2 * r + c]) for r, c in half)
    seen = [[red] * (width // 2) + [green] * (width // 2)] * (height // 2)
    seen += [[blue] * (width // 2) + [yellow] * (width // 2)] * (height // 2)
    rows = _LIES[orientation or 1](seen)
    image = Image.frombytes("RGB", (len(rows[0]), len(rows)), bytes(v for row in rows for dot in row for v in dot))
    exif = Image.Exif()
    more: dict[str, object] = {}
    if orientation:
        exif[0x0112] = orientation
    if when:
        exif.get_ifd(0x8769)[0x9003] = when
    if secrets:
        exif[0x013B] = SECRET.decode()  # the artist
        exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 28.0, 40.0), 29: SECRET.decode()})  # GPS
        more = {"comment": SECRET, "icc_profile": b"profile of " + SECRET} if kind == "JPEG" else {}
    file = BytesIO()
    image.save(file, kind, exif=exif, quality=95, **more)
    return file.getvalue()


def take(path: Path, **how: object) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(taken(**how))  # type: ignore[arg-type]
    return path


def seen(data: bytes | Path) -> list[tuple[int, int, int]]:
    """The colours of the four quarters of a file as it lies, with no regard to any tag."""
    with Image.open(BytesIO(data) if isinstance(data, bytes) else data) as image:
        rgb = image.convert("RGB")
        w, h = rgb.size
        return [rgb.getpixel((x, y)) for y in (h // 4, 3 * h // 4) for x in (w // 4, 3 * w // 4)]  # type: ignore[misc]


def near(found: list[tuple[int, int, int]], shade: int = 0) -> bool:
    """Whether they are COLOURS, but for what JPEG does to them."""
    return all(
        abs(value - max(0, meant - shade)) < 24
        for one, other in zip(found, COLOURS, strict=True)
        for value, meant in zip(one, other, strict=True)
    )


def bomb(width: int, height: int) -> bytes:
    """A PNG of a few hundred bytes that says it is so large."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0" * 100_000))
        + chunk(b"IEND", b"")
    )


HEIC = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 64
