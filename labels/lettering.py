"""Words made to fit: the widest letters that do, then narrower ones, then fewer words and a sign that some are gone."""

import unicodedata
from bisect import bisect_right
from functools import cache, lru_cache
from math import ceil
from typing import TYPE_CHECKING, NamedTuple

from labels.label import UNPRINTABLE, plain

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageDraw import ImageDraw
    from PIL.ImageFont import FreeTypeFont

CAPITAL = 0.714
"""Height of a capital letter of Noto Sans, as a part of the em. Source: its OS/2 table, sCapHeight 714 of 1000."""

WIDTHS = (100, 87.5, 75, 62.5)
"""Per cent of normal width, the font's own range."""

REGULAR, BOLD = 500, 700  # medium for regular: a stroke of one dot does not survive a worn print head
ELLIPSIS = "…"


class Row(NamedTuple):
    """One row of text, in the face it was fitted with."""

    text: str
    face: "FreeTypeFont"
    cut: bool = False

    @property
    def length(self) -> float:
        """Dots from its first letter to its last."""
        return _length(self.text, self.face)

    @property
    def top(self) -> int:
        """Dots from the baseline to its highest, below 0 as that is above."""
        return min((_glyph(letter, self.face).top for letter in self.text), default=0)

    def write(self, pen: "ImageDraw", left: float, baseline: int) -> None:
        """Paint it black from here on."""
        at = left
        for letter in self.text:
            glyph = _glyph(letter, self.face)
            if glyph.picture:
                pen.bitmap((round(at) + glyph.left, baseline + glyph.top), glyph.picture, 0)
            at += _advance(letter, self.face)


@cache
def face(capital: int, weight: int, width: float) -> "FreeTypeFont":
    """Noto Sans with capitals `capital` dots high. Basic layout: raqm is not everywhere, pictures must be."""
    import fontpkg_noto_sans
    from PIL import ImageFont

    path = fontpkg_noto_sans.ROOT / "files" / "NotoSans[wdth,wght].ttf"
    font = ImageFont.truetype(path, ceil(capital / CAPITAL), layout_engine=ImageFont.Layout.BASIC)
    font.set_variation_by_axes([weight, width])
    return font


def drawable(text: str) -> str:
    """One plain line in which every letter that the font cannot draw is a replacement character, seen."""
    return "".join(letter if _has(letter) else UNPRINTABLE for letter in plain(text))


@cache
def _has(letter: str) -> bool:
    if "DEVANAGARI" in unicodedata.name(letter, ""):
        return False  # the font has it, but basic layout would put its vowels in the wrong place
    font = face(20, REGULAR, 100)
    return bytes(font.getmask(letter, "1")) != bytes(font.getmask("\uffff", "1"))  # U+FFFF is in no font


def cut(text: str, font: "FreeTypeFont", room: int) -> str:
    """The text, or as much of its start as fits and an ellipsis. An accent takes no room and stays with its letter."""
    if _length(text, font) <= room:
        return text
    kept = _longest(text, font, room - ceil(_length(ELLIPSIS, font)))
    return text[:kept].rstrip() + ELLIPSIS


def wrap(text: str, font: "FreeTypeFont", room: int) -> list[str]:
    """Rows broken at spaces, and inside a word only where the word alone is too long."""
    rows: list[str] = []
    row = ""
    for word in text.split(" "):
        if row and _length(f"{row} {word}", font) <= room:
            row = f"{row} {word}"
            continue
        if row:
            rows.append(row)
        row = word
        while len(row) > 1 and _length(row, font) > room:
            kept = max(1, _longest(row, font, room))
            rows.append(row[:kept])
            row = row[kept:]
    return [*rows, row]


def one_row(text: str, capital: int, weight: int, room: int) -> Row:
    """The whole text in the widest letters that fit; cut in the narrowest where none do."""
    text = drawable(text)
    for width in WIDTHS:
        font = face(capital, weight, width)
        if _length(text, font) <= room:
            return Row(text, font)
    return Row(cut(text, font, room), font, cut=True)


def some_rows(text: str, capital: int, weight: int, room: int, limit: int) -> list[Row]:
    """The text in at most `limit` rows of the widest letters that fit; the last row is cut where none do."""
    text = drawable(text)
    for width in WIDTHS:
        font = face(capital, weight, width)
        rows = wrap(text, font, room)
        if len(rows) <= limit:
            return [Row(row, font) for row in rows]
    return [Row(row, font) for row in _cut_to(limit, rows, font, room)]


def lines_in_rows(lines: tuple[str, ...], capital: int, room: int, limit: int) -> list[Row]:
    """Lines, most important first, in at most `limit` rows and letters of one width.

    When not all fit, the first ones stay whole (two rows at most, so that one long line does not push out the rest) and
    those left out at the end are counted: half a line misleads more than a line that is known to be missing.
    """
    texts = [text for line in lines if (text := drawable(line))]
    if not texts or limit < 1:
        return []
    for width in WIDTHS:
        font = face(capital, REGULAR, width)
        wrapped = [wrap(text, font, room) for text in texts]
        if sum(map(len, wrapped)) <= limit:
            return [Row(row, font) for line in wrapped for row in line]
    rows: list[str] = []
    shown = 0
    while shown < len(wrapped) and len(rows) < limit:
        most = limit - len(rows)
        rows += _cut_to(min(most, 2) if len(wrapped) > 1 else most, wrapped[shown], font, room)
        shown += 1
    if left_out := len(wrapped) - shown:
        more = f" +{left_out} more"
        rows[-1] = cut(rows[-1], font, room - ceil(_length(more, font))) + more
    return [Row(row, font) for row in rows]


def _cut_to(limit: int, rows: list[str], font: "FreeTypeFont", room: int) -> list[str]:
    if len(rows) <= limit:
        return rows
    return [*rows[: limit - 1], cut(" ".join(rows[limit - 1 :]), font, room)]


def _longest(text: str, font: "FreeTypeFont", room: float) -> int:
    """How many letters fit, found by halving: drawing is slow, and somebody will type 200."""
    return bisect_right(range(1, len(text) + 1), room, key=lambda kept: _length(text[:kept], font))


def _length(text: str, font: "FreeTypeFont") -> float:
    """As the font's own, letter by letter: basic layout puts them side by side, and words are measured again and again
    until they fit."""
    return sum(_advance(letter, font) for letter in text)


_BLANKS = "    "


class Glyph(NamedTuple):
    """A letter as dots; where its left top is from its place on the baseline. No picture of a blank."""

    left: int
    top: int
    picture: "Image | None"


@lru_cache(maxsize=8192)
def _glyph(letter: str, font: "FreeTypeFont") -> Glyph:
    """Drawn once: a font of variable widths works out the outline of every letter anew each time."""
    from PIL import Image, ImageDraw

    text = _BLANKS + letter  # an accent alone, or what reaches left of its place, is put elsewhere where it comes first
    left, top, right, bottom = map(int, font.getbbox(text, "1", anchor="ls"))
    room = Image.new("1", (right - left, bottom - top))
    ImageDraw.Draw(room).text((-left, -top), text, 1, font, "ls")
    if (inked := room.getbbox()) is None:
        return Glyph(0, 0, None)
    at = left - round(_length(_BLANKS, font))
    return Glyph(at + inked[0], top + inked[1], room.crop(inked))


@lru_cache(maxsize=8192)
def _advance(letter: str, font: "FreeTypeFont") -> float:
    return font.getlength(letter, "1")
