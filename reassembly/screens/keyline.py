"""The keys of a screen on its last lines, each also a place to touch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.style import Style
from textual.widgets import Static

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.screen import Screen

# Only glyphs that a bare Linux console has.
_CALLED = {
    "space": "Space",
    "enter": "Enter",
    "escape": "Esc",
    "question_mark": "?",
    "slash": "/",
    "up": "Up",
    "down": "Down",
    "left": "Left",
    "right": "Right",
}


def keys_of(screen: Screen[object]) -> Iterator[tuple[str, str, str]]:
    """(key, what it does, action) for every key that works on a screen now, each action once."""
    seen: set[str] = set()
    for active in screen.active_bindings.values():
        binding = active.binding
        if binding.show and binding.description and active.enabled and binding.action not in seen:
            seen.add(binding.action)
            key = binding.key_display or _CALLED.get(
                binding.key, binding.key.upper() if len(binding.key) > 1 else binding.key
            )
            yield key, binding.description, _named(binding.action, active.node is screen.app)


def _named(action: str, of_app: bool) -> str:
    return f"app.{action}" if of_app and not action.startswith("app.") else action


class KeyLine(Static):
    """Takes as many lines as the keys need; the ways out come last."""

    def show(self) -> None:
        """Read the keys again: which work depends on the focus."""
        lines: list[list[Content]] = [[]]
        room = self.content_size.width
        for found in sorted(keys_of(self.screen), key=lambda found: found[0] in {"Esc", "?"}):
            key = self._key(*found)
            if lines[-1] and sum(k.cell_length + 2 for k in lines[-1]) + key.cell_length > room:
                lines.append([])
            lines[-1].append(key)
        self.update(Content("\n").join(Content("  ").join(line) for line in lines))

    def on_resize(self) -> None:
        self.show()

    def _key(self, key: str, words: str, action: str) -> Content:
        target = action if "." in action.partition("(")[0] else f"screen.{action}"
        return (
            Content(f"{key} {words}").stylize(Style.from_meta({"@click": target})).stylize("bold $accent", 0, len(key))
        )
