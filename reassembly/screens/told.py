"""Words on a screen that cost nothing while they stay the same."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.content import Content
from textual.widgets import Static

if TYPE_CHECKING:
    from textual.css.scalar import Scalar
    from textual.css.styles import RulesMap
    from textual.geometry import Size
    from textual.visual import VisualType


class Told(Static):
    """A Static that is painted anew only for other words, and that moves what stands around it only where they do not
    fit the room it has: every screen is drawn from the desk after every word said, and most of what is on it stays."""

    def update(self, content: VisualType = "", *, layout: bool = True) -> None:
        before = self.content
        if not (isinstance(content, Content) and isinstance(before, Content) and content.is_same(before)):
            super().update(content, layout=False)
        if layout and not self._fits():
            # Textual counts a request only where none is pending; a layout in between would then be kept for good.
            self._layout_updates += 1
            self.refresh(layout=True)

    def _size_updated(self, size: Size, virtual_size: Size, container_size: Size, layout: bool = True) -> bool:
        """What does not scroll has no other size than the one just given: Textual lays the screen out again for it."""
        return super()._size_updated(size, virtual_size, container_size, layout=False)

    def _fits(self) -> bool:
        """Whether the words have just the room that they ask for."""
        width, height = self.content_size
        rules = cast("RulesMap", self.styles)  # as Textual's own widgets do
        as_wide = (
            not _is_auto(self.styles.width) or self.visual.get_optimal_width(rules, self.screen.size.width) == width
        )
        return (
            bool(width)
            and as_wide
            and (not _is_auto(self.styles.height) or self.visual.get_height(rules, width) == height)
        )


def _is_auto(size: Scalar | None) -> bool:
    return size is not None and size.is_auto
