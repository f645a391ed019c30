"""A4 pages with headings, pairs and tables: quiet type, every word kept, whatever signs are in it."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Literal, NamedTuple

from fpdf import FPDF
from fpdf.enums import MethodReturnValue, TextMode

from reassembly.job.notation import USUAL, Notation
from reassembly.job.wording import minute

if TYPE_CHECKING:
    from collections.abc import Iterator

REPLACEMENT = "\N{REPLACEMENT CHARACTER}"
FONT = "Noto Sans"
WIDTH, HEIGHT = 210.0, 297.0  # mm, as everything here
LEFT, TOP, FOOT = 18.0, 16.0, 20.0
ROOM = WIDTH - 2 * LEFT
BODY, SMALL, LINE = 9.0, 7.0, 4.2  # points, points, mm from line to line
GAP = 1.0  # above and below a group of rows
INDENT = 2.0  # between two columns
PLATE = 90.0  # the height of a picture
PLATE_DOTS = 1000  # each way at most: 300 to the inch
BLACK, GREY, HAIR = 20, 105, 205  # of 255

Style = Literal["plain", "bold", "quiet"]


class Words(NamedTuple):
    """A paragraph of one cell; `ours` where the program wrote it, so that its dates are written as this shop does."""

    text: str
    style: Style = "plain"
    ours: bool = False


def time(iso: str, *before: str) -> Words:
    """When something was said, quietly, with what stands before it."""
    return Words(" ".join((*before, minute(iso))).strip(), "quiet", ours=True)


Cell = tuple[Words, ...]
Group = Sequence[Sequence[Cell]]


class Column(NamedTuple):
    """Heading of a column and its share of the width."""

    heading: str
    share: float


class _Drawn(NamedTuple):
    text: str
    style: Style


def cell(*several: str | Words) -> Cell:
    """A cell of several paragraphs, the empty ones left out."""
    return tuple(w for each in several if (w := each if isinstance(each, Words) else Words(each)).text)


@cache
def _drawable() -> frozenset[int]:
    """What the font has. Devanagari would need shaping, without which its vowels stand in the wrong place."""
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped] # fpdf2 brings it

    return frozenset(
        code for code in TTFont(_font_file()).getBestCmap() if "DEVANAGARI" not in unicodedata.name(chr(code), "")
    )


def _font_file() -> str:
    import fontpkg_noto_sans

    return str(fontpkg_noto_sans.ROOT / "files" / "NotoSans[wdth,wght].ttf")


def _step(size: float) -> float:
    """From line to line."""
    return LINE * size / BODY


def safe(text: str) -> str:
    """One line that means what it shows: a sign that the font lacks, or that nobody can see, is replaced, seen."""
    line = unicodedata.normalize("NFC", " ".join(text.split()))
    return "".join(c if c.isprintable() and ord(c) in _drawable() else REPLACEMENT for c in line)


class Pages(FPDF):
    """An A4 document with the same foot on every page. The same calls give the same bytes. `told` hears how many rows
    of grids and pictures are drawn."""

    def __init__(self, title: str, foot: str, when: datetime, notation: Notation = USUAL) -> None:
        super().__init__(unit="mm", format="A4")
        self.notation = notation
        self.drawn = 0
        self.told: Callable[[int], None] = lambda _drawn: None
        self._broken: dict[tuple[str, float, float], list[str]] = {}
        self.set_auto_page_break(False)
        self.set_margins(LEFT, TOP, LEFT)
        self.set_creation_date(when)
        self.set_title(safe(title))
        self.set_lang("en")
        self.add_font(FONT, fname=_font_file())
        self._style("quiet", SMALL)
        self.foot = self._cut(safe(foot), ROOM - 30)
        self.add_page()
        self.set_xy(LEFT, TOP)

    def footer(self) -> None:
        """Called by the library at the end of each page."""
        self._style("quiet", SMALL)
        self.set_draw_color(HAIR)
        self.set_line_width(0.2)
        self.line(LEFT, HEIGHT - 15, WIDTH - LEFT, HEIGHT - 15)
        self.text(LEFT, HEIGHT - 11, self.foot)
        self.set_xy(LEFT, HEIGHT - 14)
        self.cell(ROOM, 4, f"page {self.page_no()} of {{nb}}", align="R")

    def _cut(self, text: str, room: float) -> str:
        kept = text[:200]
        while kept and self.get_string_width(kept) > room:
            kept = f"{kept[:-2]}…"
        return kept

    @property
    def room_left(self) -> float:
        """Height from here to the foot."""
        return HEIGHT - FOOT - float(self.get_y())

    def need(self, height: float) -> None:
        """Go to a new page unless so much is left on this one."""
        if self.room_left < height:
            self.next_page()

    def next_page(self) -> None:
        self.add_page()
        self.set_xy(LEFT, TOP)

    def title_block(self, over: str, title: str, under: str) -> None:
        self._write(over, LINE + 1, style="quiet")
        for line in self._lines(title, ROOM, 19, "bold"):
            self.need(9)
            self._style("bold", 19)
            self.text(LEFT, self.get_y() + 6.5, line)
            self.set_y(self.get_y() + 9)
        self._write(under, LINE + 1.5, size=10.5, style="bold")
        self.set_y(self.get_y() + 1.5)

    def heading(self, text: str) -> None:
        """A section: never alone at the foot of a page."""
        self.need(32)
        self.set_y(self.get_y() + 5)
        self._style("bold", 11.5)
        self.text(LEFT, self.get_y() + 4, safe(text))
        self.set_y(self.get_y() + 6)
        self.set_draw_color(BLACK)
        self.set_line_width(0.35)
        self.line(LEFT, self.get_y(), WIDTH - LEFT, self.get_y())
        self.set_y(self.get_y() + 1.2)

    def paragraph(self, text: str, style: Style = "plain") -> None:
        self._write(text, LINE, style=style)
        self.set_y(self.get_y() + 0.8)

    def pairs(self, several: Sequence[tuple[str, str]]) -> None:
        """Names and values in two columns; a name with no value is left out."""
        given = [(name, value) for name, value in several if value]
        half = -(-len(given) // 2)
        columns = (Column("", 0.14), Column("", 0.34), Column("", 0.14), Column("", 0.38))
        for row in range(half):
            pair = [given[row], given[row + half] if row + half < len(given) else ("", "")]
            cells = [each for name, value in pair for each in (cell(Words(name, "quiet")), cell(value))]
            self._row(columns, cells, BODY)

    def grid(self, columns: Sequence[Column], groups: Sequence[Group], size: float = BODY) -> None:
        """Groups of rows with a hair line after each; the headings stand again on each page that it runs on to.

        A group's first two rows stay together: they are a name and what is said of it."""
        self._headings(columns, size)
        for group in groups:
            self._turn_page_for(columns, group[:2], size)
            self.set_y(self.get_y() + GAP)
            for row in group:
                self._row(columns, row, size, repeats=True)
            self.set_y(self.get_y() + GAP)
            self._rule()
            self._drew(len(group))

    def _drew(self, rows: int) -> None:
        self.drawn += rows
        self.told(self.drawn)

    def plates(self, several: Sequence[tuple[Callable[[], bytes | str], Cell]]) -> None:
        """Pictures two by two, each above its words, of which five lines are drawn; two rows fill a page. Each is
        made at its turn: a JPEG, or the words in place of one."""
        width, foot = ROOM / 2 - INDENT, 5 * _step(SMALL)
        for at in range(0, len(several), 2):
            self.need(PLATE + foot + 2 * GAP)
            top = self.get_y() + GAP
            for left, (make, words) in zip((LEFT, LEFT + ROOM / 2), several[at : at + 2], strict=False):
                picture = make()
                if isinstance(picture, bytes):
                    self.image(BytesIO(picture), left, top, width, PLATE, keep_aspect_ratio=True)
                else:
                    self._lines_at(left, top, list(self._cell_lines(cell(picture), width, BODY)), BODY)
                self._lines_at(left, top + PLATE, list(self._cell_lines(words, width, SMALL))[:5], SMALL)
                self._drew(1)
            self.set_y(top + PLATE + foot + GAP)

    def _lines_at(self, left: float, top: float, lines: Sequence[_Drawn], size: float) -> None:
        for number, line in enumerate(lines, 1):
            self._style(line.style, size)
            self.text(left, top + (number - 0.25) * _step(size), line.text)

    def _headings(self, columns: Sequence[Column], size: float) -> None:
        self.set_y(self.get_y() + GAP)
        self._row(columns, [cell(Words(column.heading, "quiet")) for column in columns], size)
        self._rule()

    def _rule(self) -> None:
        self.set_draw_color(HAIR)
        self.set_line_width(0.15)
        self.line(LEFT, self.get_y(), WIDTH - LEFT, self.get_y())

    def _turn_page_for(self, columns: Sequence[Column], rows: Group, size: float) -> None:
        """A new page where these rows do not fit on this one but would on another."""
        height = sum(self.height(columns, row, size) for row in rows) + 2 * GAP
        if self.room_left < height < HEIGHT / 3:
            self._next_page(columns, size)

    def height(self, columns: Sequence[Column], row: Sequence[Cell], size: float = BODY) -> float:
        """Of one row of a grid."""
        return max(map(len, self._drawn(columns, row, size)), default=0) * _step(size)

    def _drawn(self, columns: Sequence[Column], row: Sequence[Cell], size: float) -> list[list[_Drawn]]:
        widths = [ROOM * column.share for column in columns]
        return [list(self._cell_lines(each, width - INDENT, size)) for each, width in zip(row, widths, strict=True)]

    def _row(self, columns: Sequence[Column], row: Sequence[Cell], size: float, *, repeats: bool = False) -> None:
        """One row, column by column for whoever copies or listens to it; as much as fits on each page."""
        drawn = self._drawn(columns, row, size)
        if repeats:
            self._turn_page_for(columns, [row], size)
        done, lines = 0, max(map(len, drawn), default=0)
        while done < lines:
            fitting = int(self.room_left / _step(size))
            if fitting < 1:
                self._next_page(columns if repeats else (), size)
                continue
            left, top = LEFT, self.get_y()
            for several, column in zip(drawn, columns, strict=True):
                self._lines_at(left, top, several[done : done + fitting], size)
                left += ROOM * column.share
            self.set_y(top + min(fitting, lines - done) * _step(size))
            done += fitting

    def _next_page(self, columns: Sequence[Column], size: float) -> None:
        self.next_page()
        if columns:
            self._headings(columns, size)
            self.set_y(self.get_y() + GAP)

    def _cell_lines(self, words: Cell, width: float, size: float) -> Iterator[_Drawn]:
        for each in words:
            text = self.notation.dated(each.text) if each.ours else each.text
            for line in self._lines(text, width, size, each.style):
                yield _Drawn(line, each.style)

    def _lines(self, text: str, width: float, size: float, style: Style) -> list[str]:
        key = text, width, size
        if key not in self._broken:
            self._style(style, size)
            self._broken[key] = self._broken_in(safe(text), width)
        return self._broken[key]

    def _broken_in(self, text: str, width: float) -> list[str]:
        """The lines of a text in the style set. What fits in one is measured alone, which takes a tenth of the time."""
        one_line = text and "\n" not in text and text == text.strip()
        if one_line and self.get_string_width(text) <= width - 2 * self.c_margin:
            return [text]
        found = self.multi_cell(width, LINE, text, dry_run=True, output=MethodReturnValue.LINES)
        assert isinstance(found, list)
        return found

    def _write(self, text: str, step: float, *, size: float = BODY, style: Style = "plain") -> None:
        for line in self._lines(text, ROOM, size, style):
            self.need(step)
            self._style(style, size)
            self.text(LEFT, self.get_y() + 3.2, line)
            self.set_y(self.get_y() + step)

    def _style(self, style: Style, size: float) -> None:
        """Bold is the regular letter with its outline drawn: the font's own bold takes seconds to make on a Pi."""
        shade = GREY if style == "quiet" else BLACK
        self.set_font(FONT, size=size)
        self.set_text_color(shade)
        self.set_draw_color(shade)
        self.set_line_width(size / 9 * 0.09)
        self.text_mode = TextMode.FILL_STROKE if style == "bold" else TextMode.FILL


def moment(iso: str) -> datetime:
    """When a document says it was made: fixed where nobody said, so that the same data give the same bytes."""
    try:
        found = datetime.fromisoformat(iso)
    except ValueError:
        return datetime(2000, 1, 1, tzinfo=UTC)
    return found if found.tzinfo else found.replace(tzinfo=UTC)
