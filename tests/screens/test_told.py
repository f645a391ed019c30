"""A line that costs nothing while it stays the same looks as any other does."""

from __future__ import annotations

from asyncio import sleep
from random import Random
from typing import TYPE_CHECKING

from textual.app import App
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from reassembly.screens.told import Told

if TYPE_CHECKING:
    import pytest
    from textual.app import ComposeResult
    from textual.geometry import Region

WORDS = [
    "",
    "one",
    "two",
    "more words than go into one row of a narrow panel",
    "two\nrows",
    "⚙ wide 全角",
    "[b]no markup[/b]",
]


class Beside(App[None]):
    """The same words in both, each above a line that has to make room for them."""

    CSS = """
    Vertical { width: 20; } .words { height: auto; max-height: 4; } .ends { width: auto; }
    """

    def compose(self) -> ComposeResult:
        with Horizontal():
            for kind in (Static, Told):
                with Vertical(id=kind.__name__.lower()):
                    yield kind(classes="words", markup=False)
                    yield kind(classes="ends", markup=False)
                    yield Static("below")

    def seen(self, kind: str) -> list[tuple[Region, list[str]]]:
        """Where everything stands, and what is on it."""
        column = self.query_one(f"#{kind}")
        return [
            (
                each.region.translate(-column.region.offset),
                [strip.text for strip in each.render_lines(each.size.region)],
            )
            for each in column.children
        ]


async def test_it_looks_as_a_static_whatever_is_said_when() -> None:
    chance = Random(7)
    app = Beside()
    async with app.run_test(size=(60, 12)) as pilot:
        for _ in range(120):
            for name in (".words", ".ends"):
                said = Content(chance.choice(WORDS))
                if chance.random() < 0.3:
                    said = said.stylize("bold", 0, 2)
                for line in app.query(name).results(Static):
                    line.update(said)
            if chance.random() < 0.2:
                await pilot.resize_terminal(chance.randrange(30, 60), 12)
            if chance.random() < 0.5:
                await sleep(chance.choice((0, 0, 0.02)))
                continue
            await pilot.pause()
            assert app.seen("told") == app.seen("static")


async def test_the_same_words_paint_nothing_and_others_of_that_room_move_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    app = Beside()
    laid_out: list[Screen[object]] = []
    arrange = Screen._refresh_layout

    def counted(screen: Screen[object], *rest: object, **more: object) -> None:
        laid_out.append(screen)
        arrange(screen, *rest, **more)  # type: ignore[arg-type]

    async with app.run_test(size=(60, 12)) as pilot:
        line = app.query(Told).first()
        line.update(Content("one"))
        await pilot.pause()
        monkeypatch.setattr(Screen, "_refresh_layout", counted)
        line.update(Content("two"))
        await pilot.pause()
        assert (line.render_line(0).text.strip(), laid_out) == ("two", [])
        line.update(Content("two\nrows"))
        await pilot.pause()
        assert laid_out
