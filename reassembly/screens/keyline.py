"""The keys of a screen on its last lines, each also a place to touch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.style import Style

from reassembly.screens.told import Told

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from textual.binding import Binding
    from textual.dom import DOMNode
    from textual.screen import Screen

# Only glyphs that a bare Linux console has.
_CALLED = {
    "space": "Space",
    "enter": "Enter",
    "escape": "Esc",
    "tab": "Tab",
    "question_mark": "?",
    "slash": "/",
    "up": "Up",
    "down": "Down",
    "left": "Left",
    "right": "Right",
}
_HELP = {"?", "F1"}
_LAST = {"Esc", *_HELP}
_FIRST = {"Space", "Enter"}
_EVERYWHERE = {"F6", "F10"}  # after the keys of the screen's own, and gone before them where room is short


def keys_of(screen: Screen[object], hidden: bool = False) -> Iterator[tuple[str, str, str]]:
    """(key, what it does, action) for every key that works on a screen now, each action once; `hidden` asks for those
    of the screen's own as well that its last line never shows."""
    seen: set[str] = set()
    own = screen._bindings.key_to_bindings  # noqa: SLF001 - there is no other way to ask for it
    for key, active in screen.active_bindings.items():
        binding, node, enabled = active.binding, active.node, active.enabled
        if not binding.show and key in own:  # a list takes Enter first and hands it on to the screen
            binding, node = own[key][0], screen
            enabled = bool(screen.check_action(binding.action.partition("(")[0], ()))
        shown = binding.show or (hidden and node is screen and "." not in binding.action)  # with a dot: Textual's own
        if shown and binding.description and enabled and binding.action not in seen:
            seen.add(binding.action)
            yield _called(binding), binding.description, _named(binding.action, node, screen)


def _called(binding: Binding) -> str:
    if binding.key_display:
        return binding.key_display
    key = binding.key
    if key.startswith("ctrl+"):
        return f"Ctrl {key[5:].upper()}"
    return key if len(key) == 1 else _CALLED.get(key) or key.upper()


def _named(action: str, node: DOMNode, screen: Screen[object]) -> str:
    if "." in action.partition("(")[0]:
        return action
    return f"{'app' if node is screen.app else 'screen' if node is screen else 'focused'}.{action}"


class KeyLine(Told):
    """Takes as many lines as the keys need; the ways out come last. Where there is no room for all of them, what says
    or confirms stays longest, and help counts those that are left out."""

    _asked: tuple[object, ...] = ()
    _in_lines = Content("")

    def show(self) -> None:
        """Read the keys again: which work depends on the focus."""
        if not self.is_attached:
            return  # its screen was left meanwhile
        asked = tuple(keys_of(self.screen)), self.content_size.width, self.styles.max_height
        if asked != self._asked:
            self._asked, self._in_lines = asked, Content("\n").join(self._that_fit(asked[0]))
        self.update(self._in_lines)

    def _that_fit(self, keys: Sequence[tuple[str, str, str]]) -> list[Content]:
        every = sorted(keys, key=lambda found: (found[0] in _EVERYWHERE, found[0] not in _FIRST))
        ways_out = [found for found in every if found[0] in _LAST]
        others = [found for found in every if found[0] not in _LAST]
        most, dropped = self.styles.max_height, 0
        lines = self._lines([*others, *ways_out])
        while others and most is not None and most.value < len(lines):
            others.pop()
            dropped += 1
            told = [(key, f"{dropped} more" if key in _HELP else words, action) for key, words, action in ways_out]
            lines = self._lines([*others, *told])
        return lines

    def _lines(self, keys: list[tuple[str, str, str]]) -> list[Content]:
        lines: list[Content] = []
        for key in (self._key(*each) for each in keys):
            if lines and lines[-1].cell_length + 2 + key.cell_length <= self.content_size.width:
                lines[-1] = Content("  ").join((lines[-1], key))
            else:
                lines.append(key)
        return lines

    def on_resize(self) -> None:
        self.call_after_refresh(self.show)  # while rows are being given out, asking for fewer of them is not heard

    def _key(self, key: str, words: str, action: str) -> Content:
        return (
            Content(f"{key} {words}").stylize(Style.from_meta({"@click": action})).stylize("bold $accent", 0, len(key))
        )
