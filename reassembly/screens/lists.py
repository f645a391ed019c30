"""A list of lines under a bar."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.widgets import OptionList

from reassembly.screens.line import Line, one_line, tell_joined

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.content import Content
    from textual.events import Click, Key, Paste, Resize
    from textual.geometry import Size


_BAR_MOVED = 2  # lines that differ where only the bar moved


class Lines(OptionList):
    """An OptionList whose bar stays at the ends: from the last line to the first is another vehicle. It turns no page
    where the rest of the screen leaves it no row, takes no touch on a line that went meanwhile, and may be left no
    column: Textual raises there."""

    _as_wide = 0

    def tell(self, lines: Sequence[Content], bar: int | None) -> None:
        """These lines, with the bar on one of them. Those that the bar left and came to are drawn anew; where more
        changed, it is another list."""
        before = [cast("Content", option.prompt) for option in self.options]
        changed = [n for n, line in enumerate(lines) if n >= len(before) or not line.is_same(before[n])]
        if len(lines) == len(before) and len(changed) <= _BAR_MOVED:
            for n in changed:
                self.replace_option_prompt_at_index(n, lines[n])
        else:
            self.set_options(lines)
        self.highlighted = bar

    def on_resize(self, event: Resize) -> None:
        """Lines break elsewhere where the width is another; Textual draws each anew for another height as well."""
        before, self._as_wide = self._as_wide, self.scrollable_content_region.width
        if before == self._as_wide:
            event.prevent_default()

    def watch_show_vertical_scrollbar(self) -> None:
        """Beside a scroll bar lines break a column earlier; Textual counts them as before and leaves out the last."""
        self._clear_caches()

    def on_click(self, event: Click) -> None:
        if event.style.meta.get("option", 0) >= self.option_count:
            event.prevent_default()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return super().get_content_height(container, viewport, max(1, width))

    def action_cursor_up(self) -> None:
        if self.highlighted != 0:
            super().action_cursor_up()

    def action_cursor_down(self) -> None:
        if self.highlighted is None or self.highlighted < self.option_count - 1:
            super().action_cursor_down()

    def action_page_up(self) -> None:
        if self.scrollable_content_region:
            super().action_page_up()  # type: ignore[no-untyped-call]

    def action_page_down(self) -> None:
        if self.scrollable_content_region:
            super().action_page_down()  # type: ignore[no-untyped-call]


class LinesByALine(Lines):
    """A list beside the line `name` of its screen: what is typed here goes into the line, and Enter then means it."""

    async def on_key(self, event: Key) -> None:
        if event.is_printable and event.key not in self.screen.active_bindings:
            self._to_line(event.character or "")
        elif event.key == "enter" and self.line.has_focus:
            await self.line.action_submit()  # typed in one breath, before the focus was there
        else:
            return
        event.stop()
        event.prevent_default()

    def on_paste(self, event: Paste) -> None:
        self._to_line(one_line(event.text))
        tell_joined(self.screen, event.text)
        event.stop()

    @property
    def line(self) -> Line:
        return self.screen.query_one("#name", Line)

    def _to_line(self, text: str) -> None:
        self.screen.set_focus(self.line)
        self.line.insert_text_at_cursor(text)
