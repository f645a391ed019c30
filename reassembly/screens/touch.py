"""A place to touch with a glove on: it runs an action of its screen and never takes the keys."""

from __future__ import annotations

from textual.widgets import Static


class Touch(Static):
    """At least 7 x 4 cells on a small panel; the words say what it does."""

    DEFAULT_CSS = """
    Touch { width: 1fr; height: 100%; content-align: center middle; text-style: bold; border: solid $foreground 60%; }
    Touch:hover { background: $primary; }
    """

    def __init__(self, words: str, action: str, id: str) -> None:  # noqa: A002 - Textual's own word
        super().__init__(words, id=id, markup=False)
        self._action = action

    async def on_click(self) -> None:
        await self.screen.run_action(self._action)

    def becomes(self, words: str, action: str) -> None:
        """Say and do something else."""
        self._action = action
        if words != self.content:
            self.update(words)
