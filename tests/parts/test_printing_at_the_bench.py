"""From the real screens to a real print server: F4 at strip-down to dots, whatever happens to the printer."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import zxingcpp

from labels.picture import SIZES
from labels.waiting import Place
from reassembly.job import entries as said
from reassembly.job.bag import bags, never_seen
from reassembly.record.press import Press
from tests.parts.printserver import PrintServer, dots, needed, until
from tests.screens.bench import Bench, at_bench, new_desk

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from reassembly.record.desk import Desk

WIDTH, _ = SIZES["62x29"].dots(203)


@pytest.fixture(scope="module")
def machine() -> Iterator[PrintServer]:
    needed()
    server = PrintServer()
    try:
        server.start()
        for name in ("labels", "spare"):
            server.add_queue(name, "bench:/", 203)
        server.add_queue("office", "bench:/", 203)
        yield server
    finally:
        server.remove()


@pytest.fixture
def server(machine: PrintServer, monkeypatch: pytest.MonkeyPatch) -> PrintServer:
    if machine.process is None:
        machine.start()
    machine.mend()
    machine.run("cancel", "-a", "-x")
    for queue in ("labels", "spare"):
        machine.run("cupsaccept", queue)
        machine.run("cupsenable", queue)
    for path in (machine.folder / "out").iterdir():
        path.unlink()
    monkeypatch.setenv("CUPS_SERVER", machine.address)
    monkeypatch.setattr("reassembly.screens.sending.AGAIN", 0.1)
    return machine


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with new_desk(tmp_path / "shop") as desk:
        desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", order="412"))
        for part in ("pan", "filter", "shaft"):
            desk.say(said.PartRemoved(part=part, name=part))
        yield desk


def codes(server: PrintServer) -> list[str]:
    read = [
        {found.text for found in zxingcpp.read_barcodes(dots(one, WIDTH).convert("L"))} for one in server.came_out()
    ]
    assert all(len(found) == 1 for found in read)
    return [code for found in read for code in found]


def packed(desk: Desk) -> list[str]:
    (line,) = desk.jobs()
    return list(bags(desk.job(line.id)))


async def sent(bench: Bench, many: int) -> None:
    press = Press(bench.desk.path)
    await bench.until(lambda: len(press.all(Place.SENT, Place.SEEN)) == many, f"{many} labels never sent")


async def came_out(bench: Bench, server: PrintServer, many: int) -> None:
    await bench.until(lambda: len(server.came_out()) >= many, f"{many} labels never came out")


async def test_a_printer_and_a_size_are_chosen_with_three_keys_and_remembered(server: PrintServer, desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await bench.press("l")
        assert "no label printer" in bench.painted()
        await bench.press("c")
        await bench.until(lambda: bench.on() == "PickScreen", "never asked")
        await bench.settled()
        assert [line.split()[0] for line in bench.options("#lines")] == ["labels", "office", "spare", "no"]
        await bench.press("enter", "enter")
        assert bench.answer() == "kept: labels go to labels, 62x29 mm"
    chosen = Press(desk.path).settings
    assert (chosen.printer, chosen.dpi, chosen.size) == ("labels", 203, "62x29")
    async with at_bench(desk) as bench:
        await bench.press("l")
        assert "labels, 62x29 mm, 203 dots an inch" in bench.painted()


async def test_f4_packs_and_prints_and_a_scan_proves_it(server: PrintServer, desk: Desk) -> None:
    Press(desk.path).choose("labels", 203, "62x29")
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f4")
        (code,) = packed(desk)
        assert bench.answer() == f"kept: bag {code[:5]} {code[5:]} holds shaft; its label goes to labels"
        await came_out(bench, server, 1)
        await sent(bench, 1)
        assert codes(server) == [code]
        assert [bag.code for bag in never_seen(desk.job())] == [code]
        await bench.scan(code)
        assert never_seen(desk.job()) == ()
        await bench.until(lambda: Press(desk.path).all(Place.SEEN))
        await bench.press("f9")
        await came_out(bench, server, 2)
        assert codes(server) == [code, code]
        assert [e.fact.copy_number for e in desk.job().said(said.LabelPrinted)] == [1, 2]
        assert [asked.label.footer for asked in Press(desk.path).all(Place.SENT)] == ["copy 2"]


async def test_a_printer_that_is_away_is_told_in_one_sentence_and_prints_each_once_when_it_is_back(
    server: PrintServer, desk: Desk
) -> None:
    Press(desk.path).choose("labels", 203, "62x29")
    server.set_fault("media-empty-error")
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f4")
        await bench.press("down", "down", "f4", "enter", "down", "f4", "enter")
        await bench.until(lambda: "out of labels" in bench.app.sending.words)
        await bench.press("escape", "escape", "escape")
        await bench.settled()
        assert bench.on() == "JobsScreen"
        await bench.until(lambda: "3 labels in its queue" in bench.app.sending.words)
        await bench.settled()
        assert "labels is out of labels: put in a new roll (3 labels in its queue)." in bench.painted()
        server.mend()
        await came_out(bench, server, 3)
        await bench.until(lambda: not bench.app.sending.words)
        await bench.settled()
        assert not bench.screen.query_one("#labels").display
        assert codes(server) == packed(desk)


async def test_a_server_that_is_down_keeps_every_label_waiting_and_prints_it_once_when_it_is_up(
    server: PrintServer, desk: Desk
) -> None:
    Press(desk.path).choose("labels", 203, "62x29")
    server.stop()
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f4")
        await bench.until(lambda: "The print server is not running" in bench.app.sending.words)
        assert len(Press(desk.path).all(Place.WAITING)) == 1
    async with at_bench(desk) as bench:  # the power went meanwhile
        await bench.until(lambda: "The print server is not running" in bench.app.sending.words)
        await bench.settled()
        assert "The print server is not running" in bench.painted()
        server.start()
        await came_out(bench, server, 1)
        await sent(bench, 1)
        await bench.until(lambda: not bench.app.sending.words)
    assert codes(server) == packed(desk)


async def test_a_cancelled_label_waits_and_is_sent_again_by_one_key(server: PrintServer, desk: Desk) -> None:
    Press(desk.path).choose("labels", 203, "62x29")
    server.set_fault("cover-open-error")
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f4")
        await bench.until(lambda: "is open: close it" in bench.app.sending.words)
        server.run("cancel", "-a", "labels")
        server.mend()
        await bench.until(lambda: "cancelled at the print server" in bench.app.sending.words)
        await bench.press("f9")
        await came_out(bench, server, 1)
        await bench.until(lambda: not bench.app.sending.words)
    assert codes(server) == packed(desk)
    assert len(list(desk.job(desk.jobs()[0].id).said(said.LabelPrinted))) == 1


async def test_another_printer_takes_over_what_the_first_could_not_print(server: PrintServer, desk: Desk) -> None:
    Press(desk.path).choose("labels", 203, "62x29")
    server.run("cupsdisable", "labels")
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f4")
        await sent(bench, 1)
        await bench.press("escape", "escape", "escape")
        await bench.press("l", "c")
        await bench.until(lambda: bench.on() == "PickScreen", "never asked")
        await bench.settled()
        await bench.press("down", "down", "enter", "enter")
        await came_out(bench, server, 1)
    server.run("cupsenable", "labels")
    until(lambda: len(server.came_out()) == 1)
    assert codes(server) == packed(desk)


async def test_a_queue_that_turns_labels_away_is_told_and_prints_each_once_when_it_takes_them(
    server: PrintServer, desk: Desk
) -> None:
    Press(desk.path).choose("labels", 203, "62x29")
    server.run("cupsreject", "labels")
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f4", "down", "down", "f4", "enter")
        await bench.until(lambda: "cupsaccept labels" in bench.app.sending.words)
        await bench.press("escape", "escape", "escape")
        await bench.settled()
        assert "cupsaccept labels" in " ".join(bench.painted().split())
        assert len(Press(desk.path).all(Place.WAITING)) == 2
        server.run("cupsaccept", "labels")
        await came_out(bench, server, 2)
        await sent(bench, 2)
        await bench.until(lambda: not bench.app.sending.words)
    assert codes(server) == packed(desk)


async def test_a_server_restarted_in_the_middle_prints_each_once(server: PrintServer, desk: Desk) -> None:
    Press(desk.path).choose("labels", 203, "62x29")
    server.set_fault("offline-report")
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f4", "down", "down", "f4", "enter")
        await bench.until(lambda: "does not answer" in bench.app.sending.words)
        server.stop()
        await bench.press("down", "f4", "enter")
        await bench.until(lambda: "The print server is not running" in bench.app.sending.words)
        server.start()
        server.mend()
        await came_out(bench, server, 3)
        await sent(bench, 3)
        await bench.until(lambda: not bench.app.sending.words)
    assert sorted(codes(server)) == sorted(packed(desk))
