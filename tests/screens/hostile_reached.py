"""Which screens hostile inputs reached, and what they did there."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from textual.actions import parse

from reassembly.screens import app as app_module
from reassembly.screens.app import ReassemblyApp
from reassembly.screens.form import FormScreen
from reassembly.screens.pick import PickScreen
from reassembly.screens.prompt import PromptScreen

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.record.desk import Desk


class Reached(NamedTuple):
    """How many inputs came to each screen, how often each action was done there, how many were said of each kind."""

    screens: Counter[str]
    actions: Counter[tuple[str, str]]
    kinds: Counter[str]

    def told(self) -> Iterator[str]:
        """A line for each screen, those that most came to first; then the kinds."""
        every = sum(self.screens.values())
        for screen, many in self.screens.most_common():
            done = Counter({action: n for (on, action), n in self.actions.items() if on == screen})
            yield f"{many:>8} {100 * many / every:5.1f} %  {screen}: " + ", ".join(
                f"{action} {n}" for action, n in done.most_common()
            )
        yield "kept: " + ", ".join(f"{kind} {n}" for kind, n in self.kinds.most_common())


class WatchedApp(ReassemblyApp):
    """The program, which tells what it does."""

    CSS_PATH = str(Path(app_module.__file__).with_name("frame.tcss"))

    def __init__(self, desk: Desk, reached: Reached) -> None:
        super().__init__(desk, terminal="hostile")
        self._reached = reached

    async def run_action(self, action: Any, *rest: Any, **more: Any) -> bool:
        self._reached.actions[on(self), counted(action)] += 1
        return await super().run_action(action, *rest, **more)


def on(app: ReassemblyApp) -> str:
    """The screen on top, with the question or the kind of fact it asks for."""
    screen = app.screen
    asks = ""
    if isinstance(screen, FormScreen):
        asks = screen._kind.__name__
    elif isinstance(screen, PromptScreen | PickScreen):
        asks = screen.HEADING[:24]
    return f"{type(screen).__name__.removesuffix('Screen')} {asks}".strip()


def counted(action: Any) -> str:
    """An action as it is counted."""
    _, name, arguments = parse(action) if isinstance(action, str) else action
    return f"{name}({arguments[0]})" if name in {"add", "go"} and arguments else name
