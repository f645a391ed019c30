"""Text from people is data: shown as it is, never as markup or as orders to the terminal."""

from __future__ import annotations

from textual.content import Content

MOST = 6000
_INSTEAD = "\N{REPLACEMENT CHARACTER}"


def safe(text: str, lines: bool = False) -> str:
    """The text with every character that could move the cursor, hide or reverse others replaced by a visible one."""
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
