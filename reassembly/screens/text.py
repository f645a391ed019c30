"""Text from people is data: shown as it is, never as markup or as orders to the terminal."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from textual.content import Content

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST = 6000
NARROWEST = 10  # cells; in fewer nothing can be read, but nothing may fail either
_INSTEAD = "\N{REPLACEMENT CHARACTER}"


def safe(text: str, lines: bool = False) -> str:
    """The text with every character that could move the cursor, hide or reverse others replaced by a visible one."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() or (lines and c == "\n") else (" " if c.isspace() else _INSTEAD) for c in text)


def shown(text: str, style: str = "") -> Content:
    """One person's words as something a widget can show; of very many the first, and how many there are."""
    if len(text) > MOST:
        text = f"{text[:MOST]}… ({len(text):,} characters)"
    return Content.styled(safe(text, lines=True), style)


def cut(text: str, cells: int) -> str:
    """The text in so many cells, an ellipsis where some was left out."""
    content = Content(safe(text[: 4 * cells + 4]))
    return content.plain if content.cell_length <= cells else content.truncate(cells, ellipsis=True).plain


def column(text: str, cells: int) -> str:
    """The text in exactly so many cells, wide characters counted as they are painted."""
    short = cut(text, cells)
    return short + " " * (cells - Content(short).cell_length)


def in_rows(text: str, rows: int, cells: int) -> str:
    """The text as it is where it goes into so many rows, otherwise its beginning with an ellipsis."""
    wide = max(cells, NARROWEST)
    fits = len(text) <= wide or sum(_rows(line, wide) for line in text.split("\n")) <= rows
    return text if fits else "\n".join(wrap(text, wide, max_lines=rows, placeholder=" …"))


def some_of(lines: Sequence[str], rows: int, cells: int) -> list[str]:
    """The lines that go into so many rows; where some do not, the last row says how many more there are."""
    taken = [_rows(line, cells) for line in lines]
    if sum(taken) <= rows:
        return list(lines)
    most = max(1, max((n for n in range(len(lines)) if sum(taken[:n]) < rows), default=1))
    return [*lines[:most], f"... and {len(lines) - most} more"] if most < len(lines) else list(lines)


def _rows(line: str, cells: int) -> int:
    return len(wrap(line, max(cells, NARROWEST))) or 1
