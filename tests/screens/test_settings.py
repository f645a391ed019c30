"""How a bench looks, sounds and writes: kept for the machine, at work at once, readable in every look."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from textual.color import Color

from reassembly.job import entries as said
from reassembly.job.notation import Notation
from reassembly.record import settings
from reassembly.record.settings import Settings
from reassembly.screens.figures import block
from reassembly.screens.themes import CONTRAST, DAYLIGHT, LOOKS, NIGHT
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


async def change(bench: Bench, row: int, times: int = 1) -> None:
    await bench.press("w", "e", *["down"] * row, *["space"] * times)


async def test_a_look_is_chosen_kept_and_there_again_after_a_restart(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        assert bench.app.theme == NIGHT
        await change(bench, 0)
        assert bench.app.theme == DAYLIGHT
        assert bench.answer() == "kept: look daylight"
        await bench.press("space")
        assert "HIGH CONTRAST   (night, daylight)" in bench.painted()
    async with at_bench(desk) as bench:
        assert bench.app.theme == CONTRAST
    assert settings.read(desk.path) == Settings(look=CONTRAST)


async def test_the_bell_rings_on_a_refusal_until_it_is_turned_off(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    rung: list[str] = []
    async with at_bench(desk) as bench:
        monkeypatch.setattr(bench.app, "bell", lambda: rung.append(bench.answer()))
        bench.app.answer("kept: the pan", "kept")
        assert rung == []
        bench.app.answer("NOT YET", "warn")
        bench.app.answer("the disk is full", "trouble")
        assert rung == ["NOT YET", "the disk is full"]
        await change(bench, 1)
        assert bench.answer() == "kept: bell on refusal off"
        bench.app.answer("NOT YET", "warn")
        assert len(rung) == 2


async def test_dates_and_the_decimal_sign_are_written_as_chosen_and_what_was_typed_as_typed(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van", complaint="hums since 2026-01-31 at 12.5 km/h"))
    today = desk.today
    async with at_bench(desk) as bench:
        await change(bench, 2, 1)
        assert bench.answer() == "kept: dates 14.03.2026"
        await bench.press("escape", "escape", "enter")
        year, month, day = today.split("-")
        assert f"last      ann {day}.{month}.{year} " in bench.painted()
        assert "hums since 2026-01-31 at 12.5 km/h" in bench.painted()
        await bench.press("escape")
        await change(bench, 3)
        assert bench.app.notation == Notation("14.03.2026", ",")
    assert settings.read(desk.path) == Settings(dates="14.03.2026", decimal=",")


async def test_lists_of_facts_write_every_day_as_the_shop_does(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van"))
    slip = desk.say(said.FindingNoted(what="scratch on the sill"))
    desk.say(said.PhotoKept(digest="ab" * 32, source="cd" * 32, taken="2026-03-14T16:55"))
    desk.say(said.EntryStruck(entry=slip.id, why="another vehicle's"))
    desk.say(said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m"), job="")
    desk.say(said.WrenchCalibrated(wrench="T3", on="2025-06-01", until="2026-06-01"), job="")
    settings.write(desk.path, Settings(dates="14 Mar 2026"))
    today = Notation("14 Mar 2026").day(desk.today)
    async with at_bench(desk) as bench:
        await bench.press("enter", "v")
        assert f" {today} ann    checked in, Kestrel van" in bench.painted()
        await bench.press("z")
        assert f" {today} ann    found before the work: scratch on the sill" in bench.painted()
        await bench.press("escape", "escape", "d")
        assert "taken 14 Mar 2026 16:55" in bench.painted()
        await bench.press("escape", "escape", "w")
        assert f" {today} ann    wrench T3 calibrated 01 Jun 2025, good until 01 Jun 2026" in bench.painted()


def test_a_number_with_a_comma_is_drawn_in_block_figures() -> None:
    assert len(block("54,5")) == len(block("54.5"))
    assert block("54,5") != block("54.5")


async def test_settings_that_are_damaged_are_told_and_choosing_again_mends_them(desk: Desk) -> None:
    (desk.path / settings.FILE).write_bytes(b"\x00")
    async with at_bench(desk) as bench:
        assert "cannot be understood: choose the printer again, then the settings" in bench.answer()
        await change(bench, 0)
        assert bench.answer() == "kept: look daylight"
    assert settings.read(desk.path) == Settings(look=DAYLIGHT)


# WCAG 2.2, success criteria 1.4.3 (4.5 to 1) and 1.4.6 (7 to 1)
ENOUGH = {NIGHT: 4.5, DAYLIGHT: 4.5, CONTRAST: 7.0}


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
async def test_everything_on_the_screens_can_be_read_in_every_look(desk: Desk, look: object) -> None:
    name = look.name  # type: ignore[attr-defined]
    settings.write(desk.path, Settings(look=name))
    async with at_bench(desk) as bench:
        for manner in ("told", "kept", "warn", "trouble", "fit"):
            bench.app.answer("the words", manner)
            bench.screen.show_answer()  # type: ignore[attr-defined]
            await bench.settled()
            for strip in bench.screen._compositor.render_strips():
                for segment in strip:
                    style = segment.style
                    if segment.text.strip(" ─│┌┐└┘▔▁▆▅▄▃▂") and style and style.color and style.bgcolor:
                        fore, back = (Color.from_rich_color(c) for c in (style.color, style.bgcolor))
                        if style.reverse:
                            fore, back = back, fore
                        assert _contrast(fore, back) >= ENOUGH[name], (segment.text, fore.hex, back.hex)


def _contrast(one: Color, other: Color) -> float:
    """WCAG 2.2: (lighter + 0.05) / (darker + 0.05) of the relative luminances."""
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(color: Color) -> float:
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in color.normalized]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
