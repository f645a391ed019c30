"""What stands on the bench screen about the record itself, and what goes on beside it."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING, cast

import pytest

from reassembly.job.entries import JobOpened, PartRemoved, PersonAdded
from reassembly.record.desk import Desk
from reassembly.record.trouble import Trouble
from reassembly.screens import copying
from reassembly.screens.app import ReassemblyApp
from reassembly.screens.copying import Copying
from tests.screens.bench import at_bench

if TYPE_CHECKING:
    from pathlib import Path

    from reassembly.record.beside import Beside


class Watched:
    """Stands in for the processes: what was asked of it, and news to give."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self.said: list[str] = []
        self.busy = False

    def prove(self) -> None:
        self.asked.append("prove")

    def copy(self) -> None:
        self.asked.append("copy")

    def copy_if_due(self, _: Desk) -> None:
        self.asked.append("copy if due")

    def news(self) -> list[str]:
        told, self.said = self.said, []
        return told

    def stop(self) -> None:
        self.asked.append("stop")


async def test_the_age_of_the_last_copy_stands_on_the_bench(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        assert "no copy of the record yet" in bench.painted()


async def test_another_journal_in_its_place_stands_on_the_bench_and_nothing_is_kept(tmp_path: Path) -> None:
    with Desk.open(tmp_path / "shop", who="ann") as desk:
        desk.say(PersonAdded(person="ann"))
    shutil.copy(tmp_path / "shop" / "shop.db", tmp_path / "older.db")
    with Desk.open(tmp_path / "shop", who="ann") as desk:
        desk.open_new(JobOpened(vehicle="Kestrel van"))
    shutil.copy(tmp_path / "older.db", tmp_path / "shop" / "shop.db")
    with Desk.open(tmp_path / "shop", who="ann") as desk:
        async with at_bench(desk) as bench:
            assert "is not the one that was last" in " ".join(bench.painted().split())
        with pytest.raises(Trouble, match="Nothing was changed"):
            desk.say(PartRemoved(part="pan", name="pan"), job="X")


async def test_the_record_is_proved_at_opening_copied_at_sign_off_and_what_is_wrong_is_told(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(copying, "FIRST", 0.0)
    beside = Watched()
    app = ReassemblyApp(desk, beside=cast("Beside", beside))
    async with app.run_test() as pilot:
        while "prove" not in beside.asked:
            await pilot.pause()
        assert beside.asked == ["prove", "copy if due"]
        beside.said = ["while the record was proved: KD.1 was altered: its words and its hash do not agree."]
        app.copying.signed_off()
        assert beside.asked[-1] == "copy"
        assert app.answered.manner == "trouble"
        assert app.answered.words.startswith("while the record was proved: KD.1 was altered")
    assert beside.asked[-1] == "stop"


async def test_where_nothing_shall_go_on_beside_nothing_does(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        nothing = Copying(bench.app, None)
        nothing.begin()
        nothing.signed_off()
        nothing.stop()
