"""Papers written while the bench goes on."""

from __future__ import annotations

from threading import Event
from typing import TYPE_CHECKING

from labels.code import Kind, make
from reassembly.job import entries as said
from reassembly.record.trouble import Trouble
from reassembly.screens import writing
from tests.screens.bench import at_bench

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

    from reassembly.record.desk import Desk
    from reassembly.record.progress import Progress


async def test_what_takes_long_says_how_far_it_is_and_keys_are_taken_meanwhile(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writing, "TELL", 0.0)
    ready = Event()

    def write(progress: Progress) -> None:
        progress("labels drawn", 37, 100)
        ready.wait()

    async with at_bench(desk) as bench:
        bench.app.writing.begin(tmp_path / "big.pdf", write)
        await bench.until(lambda: bench.answer() == "writing big.pdf: labels drawn 37 of 100, go on meanwhile")
        bench.app.writing.begin(tmp_path / "other.pdf", write)
        assert "big.pdf is being written still: wait for it, then ask again" in bench.answer()
        await bench.press("w")
        assert bench.on() == "ShopScreen"
        ready.set()
        await bench.until(lambda: bench.answer() == f"written: {tmp_path / 'big.pdf'}")


async def test_what_cannot_be_written_is_told(desk: Desk, tmp_path: Path) -> None:
    def full(_progress: Progress) -> None:
        raise Trouble("The disk is full: free some of it, then write it again.")

    async with at_bench(desk) as bench:
        bench.app.writing.begin(tmp_path / "big.pdf", full)
        await bench.until(lambda: "The disk is full" in bench.answer())


async def test_the_record_and_the_labels_of_a_job(desk: Desk) -> None:
    job = desk.open_new(said.JobOpened(vehicle="Kestrel van"))
    desk.say(said.PartRemoved(part="pan", name="pan"))
    desk.say(said.BagPacked(bag=make(Kind.BAG, "XX", 1), parts=("pan",)))
    async with at_bench(desk) as bench:
        await bench.press("enter", "d")
        assert bench.on() == "RecordScreen"
        await bench.press("p")
        await bench.until(lambda: bench.answer() == f"written: {desk.path / 'records' / job}.pdf")
        await bench.press("l")
        await bench.until(lambda: bench.answer() == f"written: {desk.path / 'labels' / job}.pdf")
        assert {path.read_bytes()[:4] for path in desk.path.glob("*/*.pdf")} == {b"%PDF"}
