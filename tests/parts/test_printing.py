"""Labels through a real print server to printers that run dry, are switched off and lose their cable."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
import zxingcpp
from PIL import ImageChops

from labels.code import Kind, make
from labels.label import Label
from labels.picture import DOTS_A_MODULE, SIZES, Size, picture
from labels.printer import Printer, PrintTrouble, Spooler
from labels.raster import raster
from labels.state import Fate
from labels.waiting import Place, WaitingList
from tests.parts.printserver import PrintServer, Sink, dots, needed, spooler, until

SIZE = SIZES["62x29"]
LABELS = [Label(make(Kind.BAG, "KD", n), f"Bag {n}", "AB12 CDE · J-0142", ("4 × M10x1.25",)) for n in range(20)]
FIRST = LABELS[0]


@pytest.fixture(scope="module")
def machine() -> Iterator[PrintServer]:
    """One for all tests: starting costs more than printing."""
    needed()
    server = PrintServer()
    try:
        server.start()
        for dpi in DOTS_A_MODULE:
            server.add_queue(f"bench{dpi}", "bench:/", dpi)
        server.add_queue("net", "socket://127.0.0.1:9", 203)
        yield server
    finally:
        server.remove()


@pytest.fixture
def server(machine: PrintServer) -> PrintServer:
    """The same with empty queues, all of them running."""
    if machine.process is None:
        machine.start()
    machine.mend()
    machine.run("cancel", "-a", "-x")
    for queue in ("bench203", "bench300", "net"):
        machine.run("cupsaccept", queue)
        machine.run("cupsenable", queue)
    for path in (machine.folder / "out").iterdir():
        path.unlink()
    return machine


@pytest.fixture
def sink(server: PrintServer) -> Iterator[Sink]:
    sink = Sink()
    server.run("lpadmin", "-p", "net", "-v", sink.device)
    yield sink
    sink.switch_off()


@pytest.fixture
def waiting(tmp_path: Path) -> WaitingList:
    return WaitingList(tmp_path / "labels")


def codes(sent: list[bytes], dpi: int = 203) -> list[str]:
    """What a reader reads from the dots of each label that came out."""
    width, _ = SIZE.dots(dpi)
    read = [{found.text for found in zxingcpp.read_barcodes(dots(one, width).convert("L"))} for one in sent]
    assert all(len(found) == 1 for found in read)
    return [code for found in read for code in found]


def at(waiting: WaitingList, place: Place) -> list[str]:
    return [asked.label.code for asked in waiting.all(place)]


@pytest.mark.parametrize("dpi", DOTS_A_MODULE)
@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_the_printer_gets_every_dot_and_no_other(server: PrintServer, size: Size, dpi: int) -> None:
    drawn = picture(FIRST, size, dpi)
    spooler(server).send(f"bench{dpi}", "dots", raster(drawn, dpi))
    until(server.came_out)
    printed = dots(server.came_out()[0], drawn.width)
    assert printed.size == drawn.size
    assert sum(ImageChops.logical_xor(printed, drawn).convert("1").histogram()[1:]) == 0
    assert {found.text for found in zxingcpp.read_barcodes(printed.convert("L"))} == {FIRST.code}


def test_printers_are_listed_with_their_resolution(server: PrintServer) -> None:
    found = spooler(server).printers()
    assert found == [Printer("bench203", 203), Printer("bench300", 300), Printer("net", 203)]


def test_a_label_is_waiting_then_sent_then_seen(server: PrintServer, waiting: WaitingList) -> None:
    waiting.add(FIRST)
    assert at(waiting, Place.WAITING) == [FIRST.code]
    assert waiting.send(spooler(server), "bench203", SIZE, 203) == (1, "")
    until(server.came_out)
    assert at(waiting, Place.SENT) == [FIRST.code]
    assert waiting.seen(FIRST.code)
    assert (at(waiting, Place.SENT), at(waiting, Place.SEEN)) == ([], [FIRST.code])
    assert codes(server.came_out()) == [FIRST.code]


@pytest.mark.parametrize(
    ("reason", "words"),
    [
        ("media-empty-error", "bench203 is out of labels: put in a new roll (20 labels in its queue)."),
        ("cover-open-error", "bench203 is open: close it (20 labels in its queue)."),
        ("offline-report", "bench203 does not answer: switch it on and look at its cable (20 labels in its queue)."),
    ],
)
def test_a_printer_that_says_what_it_lacks_goes_on_when_it_has_it(
    server: PrintServer, waiting: WaitingList, reason: str, words: str
) -> None:
    server.set_fault(reason)
    for label in LABELS:
        waiting.add(label)
    assert waiting.send(spooler(server), "bench203", SIZE, 203) == (20, "")
    until(lambda: not spooler(server).state("bench203").fine)
    assert spooler(server).state("bench203").words == words
    server.mend()
    until(lambda: len(server.came_out()) == 20)
    until(lambda: spooler(server).state("bench203") == ("bench203 is ready.", True, 0, 203))
    assert codes(server.came_out()) == [label.code for label in LABELS] == at(waiting, Place.SENT)


def test_a_stopped_queue_says_how_to_start_it(server: PrintServer, waiting: WaitingList) -> None:
    server.set_fault("stop")
    waiting.add(FIRST)
    waiting.send(spooler(server), "bench203", SIZE, 203)
    until(lambda: not spooler(server).state("bench203").fine)
    assert spooler(server).state("bench203").words == (
        "bench203 is stopped: look at the printer, then run 'cupsenable bench203' to start it again "
        "(1 label in its queue)."
    )
    server.mend()
    server.run("cupsenable", "bench203")
    until(server.came_out)
    assert codes(server.came_out()) == [FIRST.code]


def test_a_printer_that_is_off_gets_its_labels_when_it_is_on(
    server: PrintServer, sink: Sink, waiting: WaitingList, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("labels.state.PATIENCE", 0)
    for label in LABELS[:3]:
        waiting.add(label)
    assert waiting.send(spooler(server), "net", SIZE, 203) == (3, "")
    until(lambda: not spooler(server).state("net").fine)
    assert "net has been at one label for" in spooler(server).state("net").words
    assert sink.came_out() == []
    sink.switch_on()
    until(lambda: len(sink.came_out()) == 3)
    assert codes(sink.came_out()) == [label.code for label in LABELS[:3]]


def test_a_cable_pulled_in_the_middle_of_twenty_labels_loses_none(
    server: PrintServer, sink: Sink, waiting: WaitingList
) -> None:
    """The printer had part of the eighth. It came out or it did not: scanning what did leaves just what did not."""
    for label in LABELS:
        waiting.add(label)
    sink.switch_on(pull_at=7)
    assert waiting.send(spooler(server), "net", SIZE, 203) == (20, "")
    until(lambda: not sink.is_on)
    assert len(sink.came_out()) == 7
    sink.switch_on()
    until(lambda: spooler(server).state("net").queued == 0)
    until(lambda: len(sink.came_out()) >= 19)
    printed = codes(sink.came_out())
    assert len(set(printed)) == len(printed)
    for code in printed:
        assert waiting.seen(code)
    missing = [label.code for label in LABELS if label.code not in printed]
    assert at(waiting, Place.SENT) == missing
    assert missing in ([], [LABELS[7].code])
    assert at(waiting, Place.WAITING) == []


def test_a_server_that_is_down_gets_them_when_it_is_up(server: PrintServer, waiting: WaitingList) -> None:
    for label in LABELS[:3]:
        waiting.add(label)
    server.stop()
    words = f"The print server {server.address} does not answer: is it switched on and in the network?"
    assert spooler(server).state("bench203") == (words, False, 0, None)
    assert waiting.send(spooler(server), "bench203", SIZE, 203) == (0, words)
    assert len(at(waiting, Place.WAITING)) == 3
    server.start()
    assert waiting.send(spooler(server), "bench203", SIZE, 203) == (3, "")
    until(lambda: len(server.came_out()) == 3)
    assert codes(server.came_out()) == [label.code for label in LABELS[:3]]


def test_a_server_restarted_in_the_middle_prints_each_once(server: PrintServer, waiting: WaitingList) -> None:
    server.set_fault("media-empty-error")
    for label in LABELS[:3]:
        waiting.add(label)
    assert waiting.send(spooler(server), "bench203", SIZE, 203).labels == 3
    server.stop()
    for label in LABELS[3:6]:
        waiting.add(label)
    assert waiting.send(spooler(server), "bench203", SIZE, 203).labels == 0
    server.start()
    server.mend()
    assert waiting.send(spooler(server), "bench203", SIZE, 203) == (3, "")
    until(lambda: len(server.came_out()) == 6)
    until(lambda: spooler(server).state("bench203").queued == 0)
    assert sorted(codes(server.came_out())) == sorted(label.code for label in LABELS[:6])
    assert len(at(waiting, Place.SENT)) == 6


def test_a_queue_that_turns_labels_away_leaves_them_waiting(server: PrintServer, waiting: WaitingList) -> None:
    server.run("cupsreject", "bench203")
    waiting.add(FIRST)
    words = "bench203 turns labels away: run 'cupsaccept bench203' to let them in."
    assert waiting.send(spooler(server), "bench203", SIZE, 203) == (0, words)
    assert at(waiting, Place.WAITING) == [FIRST.code]
    server.run("cupsaccept", "bench203")
    assert waiting.send(spooler(server), "bench203", SIZE, 203) == (1, "")
    until(server.came_out)
    assert codes(server.came_out()) == [FIRST.code]


def test_a_queue_that_is_not_there_is_said_to_be_so(server: PrintServer, waiting: WaitingList) -> None:
    waiting.add(FIRST)
    words = "There is no printer lost: choose another, or set it up."
    assert spooler(server).state("lost").words == words
    assert waiting.send(spooler(server), "lost", SIZE, 203) == (0, words)
    assert at(waiting, Place.WAITING) == [FIRST.code]


def test_a_cancelled_label_waits_until_somebody_asks_again(server: PrintServer, waiting: WaitingList) -> None:
    server.set_fault("media-empty-error")
    for label in LABELS[:2]:
        waiting.add(label)
    waiting.send(spooler(server), "bench203", SIZE, 203)
    first, second = spooler(server).jobs()[-2:]
    spooler(server).cancel(first)
    spooler(server).cancel(first)  # one that has ended is left alone
    assert waiting.look(spooler(server)) == ""
    (asked,) = waiting.all(Place.WAITING)
    assert (asked.label.code, asked.why) == (FIRST.code, "It was cancelled at the print server.")
    assert at(waiting, Place.SENT) == [LABELS[1].code]
    assert second.fate is Fate.QUEUED
    assert waiting.send(spooler(server), "bench203", SIZE, 203) == (0, "")
    assert waiting.send(spooler(server), "bench203", SIZE, 203, only=[FIRST.code]) == (1, "")
    server.mend()
    until(lambda: len(server.came_out()) == 2)
    assert sorted(codes(server.came_out())) == sorted([FIRST.code, LABELS[1].code])


def test_what_is_stuck_in_one_queue_can_go_to_another_printer(server: PrintServer, waiting: WaitingList) -> None:
    server.set_fault("cover-open-error")
    for label in LABELS[:3]:
        waiting.add(label)
    waiting.send(spooler(server), "bench203", SIZE, 203)
    assert waiting.take_back(spooler(server)) == ""
    assert len(at(waiting, Place.WAITING)) == 3
    server.mend()
    assert waiting.send(spooler(server), "bench300", SIZE, 300) == (3, "")
    until(lambda: len(server.came_out()) == 3)
    assert codes(server.came_out(), 300) == [label.code for label in LABELS[:3]]


CRASH = """
import os, signal, sys
from pathlib import Path
from labels.picture import SIZES
from labels.printer import Spooler
from labels.waiting import Place, WaitingList

folder, address, moment = sys.argv[1:]

class Dying(Spooler):
    def send(self, *rest, **more):
        if moment == "before":
            os.kill(os.getpid(), signal.SIGKILL)
        super().send(*rest, **more)
        os.kill(os.getpid(), signal.SIGKILL)

WaitingList(Path(folder)).send(Dying(address), "bench203", SIZES["62x29"], 203)
"""


@pytest.mark.parametrize("moment", ["before", "after"])
def test_killed_between_the_hand_over_and_its_note_it_prints_each_once(
    server: PrintServer, tmp_path: Path, moment: str
) -> None:
    waiting = WaitingList(tmp_path)
    for label in LABELS[:3]:
        waiting.add(label)
    for _ in range(3):
        died = subprocess.run([sys.executable, "-c", CRASH, tmp_path, server.address, moment], check=False)
        assert died.returncode == -signal.SIGKILL
    waiting.send(spooler(server), "bench203", SIZE, 203)
    until(lambda: len(server.came_out()) == 3)
    until(lambda: spooler(server).state("bench203").queued == 0)
    assert codes(server.came_out()) == [label.code for label in LABELS[:3]] == at(waiting, Place.SENT)


SENDER = """
import sys
from pathlib import Path
from labels.picture import SIZES
from labels.printer import Spooler
from labels.waiting import WaitingList

WaitingList(Path(sys.argv[1])).send(Spooler(sys.argv[2]), "bench203", SIZES["62x29"], 203)
"""


def test_killed_again_and_again_in_the_middle_of_twenty_labels_it_prints_each_once(
    server: PrintServer, tmp_path: Path
) -> None:
    waiting = WaitingList(tmp_path)
    for label in LABELS:
        waiting.add(label)
    for sent in (1, 5, 9, 13, 17):
        program = subprocess.Popen([sys.executable, "-c", SENDER, tmp_path, server.address])
        until(lambda so_many=sent: len(at(waiting, Place.SENT)) >= so_many)  # type: ignore[misc]
        program.kill()
        program.wait()
    assert waiting.send(spooler(server), "bench203", SIZE, 203).trouble == ""
    until(lambda: len(server.came_out()) >= 20)
    until(lambda: spooler(server).state("bench203").queued == 0)
    assert codes(server.came_out()) == [label.code for label in LABELS] == at(waiting, Place.SENT)


def test_a_label_handed_over_in_part_is_cancelled_and_sent_whole(
    server: PrintServer, waiting: WaitingList, tmp_path: Path
) -> None:
    """`lp` makes a job, then fills it. Killed between the two, it leaves a job that will never print."""
    waiting.add(FIRST)
    (asked,) = waiting.all(Place.WAITING)

    class Half(Spooler):
        def send(self, queue: str, name: str, data: bytes, hold: object = ()) -> str:
            half = tmp_path / "half.test"
            half.write_text(
                f"""{{ OPERATION Create-Job GROUP operation-attributes-tag
                ATTR charset attributes-charset utf-8 ATTR naturalLanguage attributes-natural-language en
                ATTR uri printer-uri $uri ATTR name requesting-user-name $user ATTR name job-name "{name}" }}"""
            )
            server.run("ipptool", "-q", f"ipp://{server.address}/printers/{queue}", str(half))
            raise PrintTrouble("Killed.")

    assert waiting.send(Half(server.address), "bench203", SIZE, 203) == (0, "Killed.")

    def fates() -> list[Fate]:
        return [job.fate for job in spooler(server).jobs() if job.name == asked.name]

    assert fates() == [Fate.COMING]
    assert waiting.send(spooler(server), "bench203", SIZE, 203) == (1, "")
    until(server.came_out)
    until(lambda: fates() == [Fate.CANCELLED, Fate.PASSED_ON])
    assert codes(server.came_out()) == [FIRST.code]


def test_nobody_sends_while_an_orphan_still_hands_over(
    server: PrintServer, waiting: WaitingList, tmp_path: Path
) -> None:
    """The program was killed, its `lp` was not: what it is about to hand over must not be sent a second time."""
    slow, go = tmp_path / "bin", tmp_path / "go"
    slow.mkdir()
    os.mkfifo(go)
    real = subprocess.run(["which", "lp"], capture_output=True, text=True, check=True).stdout.strip()
    (slow / "lp").write_text(f'#!/bin/sh\nread -r word < {go}\nexec {real} "$@"\n')
    (slow / "lp").chmod(0o755)
    waiting.add(FIRST)
    program = subprocess.Popen(
        [sys.executable, "-c", CRASH, tmp_path / "labels", server.address, "after"],
        env=os.environ | {"PATH": f"{slow}:{os.environ['PATH']}"},
    )
    until(lambda: waiting.all(Place.WAITING)[0].queue == "bench203")
    with go.open("w") as writing:  # opens when `lp` has begun to read
        program.kill()
        program.wait()
        impatient = WaitingList(tmp_path / "labels", patience=0.1)
        answer = impatient.send(spooler(server), "bench203", SIZE, 203)
        assert answer == (0, "Another program is sending labels: wait, then send again.")
        writing.write("go\n")
    assert waiting.send(spooler(server), "bench203", SIZE, 203) == (0, "")
    until(server.came_out)
    until(lambda: spooler(server).state("bench203").queued == 0)
    assert codes(server.came_out()) == [FIRST.code]
    assert at(waiting, Place.SENT) == [FIRST.code]


def test_a_server_that_hangs_is_given_up(waiting: WaitingList, sink: Sink) -> None:
    """It takes the connection and says nothing."""
    sink.switch_on()
    waiting.add(FIRST)
    answer = waiting.send(Spooler(f"127.0.0.1:{sink.port}", patience=1), "bench203", SIZE, 203)
    assert answer.labels == 0
    assert "The print server" in answer.trouble
    assert at(waiting, Place.WAITING) == [FIRST.code]


def test_without_the_programs_of_cups_it_says_what_to_install(
    waiting: WaitingList, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    waiting.add(FIRST)
    words = "lp is not installed: labels need cups, cups-client and cups-ipp-utils."
    assert waiting.send(Spooler(), "bench203", SIZE, 203) == (0, words)
    assert at(waiting, Place.WAITING) == [FIRST.code]
