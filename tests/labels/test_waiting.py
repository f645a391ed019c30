"""The list of labels: kept when the call returns, and each printed once or waiting, whatever fails in the middle."""

import sqlite3
import tempfile
from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labels.code import Kind, make
from labels.label import Label
from labels.picture import SIZES
from labels.printer import PrintTrouble, Spooler
from labels.state import Fate, Job
from labels.waiting import Asked, Place, Sent, WaitingList

SIZE = SIZES["50x25"]
LABELS = [Label(make(Kind.BAG, "KD", n), f"Bag {n}", lines=("4 × M10",), footer="shelf 2") for n in range(4)]
FIRST = LABELS[0]


class Killed(BaseException):
    """The program is gone at this moment, with everything it had not kept."""


@dataclass(frozen=True)
class Model(Spooler):
    """A server in memory. `troubles` says how the next hand-overs end."""

    known: list[Job] = field(default_factory=list)
    troubles: list[str] = field(default_factory=list)

    def jobs(self) -> list[Job]:
        if self._next("asking"):
            raise PrintTrouble("Nobody answers.")
        return list(self.known)

    def send(self, queue: str, name: str, data: bytes, hold: Collection[int] = ()) -> str:
        trouble = self.troubles.pop(0) if self.troubles else ""
        if trouble in ("killed before", "refused before"):
            raise Killed if trouble == "killed before" else PrintTrouble("No.")
        fate = Fate.COMING if trouble == "killed between" else Fate.QUEUED
        self.known.append(Job(f"{queue}-{len(self.known) + 1}", name, fate))
        if trouble in ("killed between", "killed after"):
            raise Killed
        if trouble == "refused after":
            raise PrintTrouble("It did not say so.")
        return self.known[-1].id

    def cancel(self, job: Job) -> None:
        self.turn(job, Fate.CANCELLED)

    def turn(self, job: Job, fate: Fate) -> None:
        self.known[self.known.index(job)] = job._replace(fate=fate)

    def _next(self, trouble: str) -> bool:
        return bool(self.troubles) and self.troubles[0] == trouble and bool(self.troubles.pop(0))


@pytest.fixture
def waiting(tmp_path: Path) -> WaitingList:
    return WaitingList(tmp_path / "a" / "b")


def send(waiting: WaitingList, server: Spooler, only: Collection[str] | None = None) -> Sent:
    return waiting.send(server, "L1", SIZE, 203, only)


def test_what_was_asked_for_is_there_word_for_word_for_the_next_program(waiting: WaitingList, tmp_path: Path) -> None:
    for label in LABELS:
        waiting.add(label)
    again = WaitingList(tmp_path / "a" / "b")
    assert again.all(Place.WAITING) == [Asked(label, 1) for label in LABELS]


def test_the_same_copy_is_asked_for_once_however_often(waiting: WaitingList) -> None:
    waiting.add(FIRST)
    send(waiting, Model())
    waiting.add(FIRST)
    assert waiting.all(Place.WAITING) == []
    assert waiting.next_copy(FIRST.code) == 2
    waiting.add(FIRST, copy=2)
    assert [asked.copy for asked in waiting.all(*Place)] == [1, 2]
    assert waiting.next_copy(LABELS[1].code) == 1


def test_a_copy_is_a_positive_number(waiting: WaitingList) -> None:
    with pytest.raises(sqlite3.IntegrityError):
        waiting.add(FIRST, copy=0)


def test_only_what_was_sent_can_be_seen(waiting: WaitingList) -> None:
    waiting.add(FIRST)
    assert not waiting.seen(FIRST.code)
    send(waiting, Model())
    waiting.add(FIRST, copy=2)
    assert waiting.seen(FIRST.code)
    assert [(asked.copy, asked.place) for asked in waiting.all(*Place)] == [(1, Place.SEEN), (2, Place.WAITING)]
    assert not waiting.seen(FIRST.code)
    assert not waiting.seen(LABELS[1].code)


def test_what_nobody_wants_is_neither_sent_nor_looked_for(waiting: WaitingList) -> None:
    waiting.add(FIRST)
    assert waiting.drop(FIRST.code)
    server = Model()
    assert send(waiting, server) == (0, "")
    assert server.known == []
    assert not waiting.drop(FIRST.code)


def test_a_label_seen_while_it_is_looked_for_stays_seen(waiting: WaitingList) -> None:
    waiting.add(FIRST)
    server = Model()
    send(waiting, server)
    server.turn(server.known[0], Fate.CANCELLED)

    class Slow(Model):
        def jobs(self) -> list[Job]:
            waiting.seen(FIRST.code)
            return server.jobs()

    waiting.look(Slow())
    assert [asked.place for asked in waiting.all(*Place)] == [Place.SEEN]


def test_what_the_server_gave_up_waits_and_says_why(waiting: WaitingList) -> None:
    waiting.add(FIRST)
    server = Model()
    send(waiting, server)
    server.turn(server.known[0], Fate.FAILED)
    assert waiting.look(server) == ""
    (asked,) = waiting.all(Place.WAITING)
    assert "gave it up" in asked.why
    assert send(waiting, server) == (0, "")
    assert send(waiting, server, only=[FIRST.code]) == (1, "")


def test_the_last_thing_that_happened_to_a_label_is_the_one_it_says(waiting: WaitingList) -> None:
    waiting.add(FIRST)
    server = Model()
    for fate, words in ((Fate.CANCELLED, "cancelled"), (Fate.FAILED, "gave it up"), (Fate.CANCELLED, "cancelled")):
        assert send(waiting, server, only=[FIRST.code]) == (1, "")
        server.turn(server.known[-1], fate)
        waiting.look(server)
        assert words in waiting.all(Place.WAITING)[0].why


def test_what_the_server_forgot_after_it_was_sent_is_still_looked_for_on_its_bag(waiting: WaitingList) -> None:
    waiting.add(FIRST)
    send(waiting, Model())
    assert waiting.look(Model()) == ""
    assert [asked.place for asked in waiting.all(*Place)] == [Place.SENT]


TROUBLES = ["", "killed before", "killed between", "killed after", "refused before", "refused after", "asking"]
steps = st.one_of(
    st.tuples(st.just("add"), st.integers(0, len(LABELS) - 1)),
    st.tuples(st.just("send"), st.sampled_from([(), ("killed between",)])),
    st.tuples(st.just("send"), st.lists(st.sampled_from(TROUBLES), max_size=3).map(tuple)),
    st.tuples(st.sampled_from(["look", "take back"]), st.sampled_from([(), ("asking",)])),
    st.tuples(st.sampled_from(["pass on", "cancel", "give up"]), st.integers(0, 9)),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(steps, max_size=12))
def test_whatever_fails_each_label_is_printed_once_or_waits(story: list[tuple[str, object]]) -> None:
    server = Model()
    with tempfile.TemporaryDirectory() as folder:
        wanted: set[str] = set()
        for what, how in story:
            waiting = WaitingList(Path(folder))  # every step a new program
            server.troubles[:] = how if isinstance(how, tuple) else ()
            try:
                match what, how:
                    case "add", int(n):
                        waiting.add(LABELS[n])
                        wanted.add(LABELS[n].code)
                    case "send", _:
                        send(waiting, server)
                    case "look", _:
                        waiting.look(server)
                    case "take back", _:
                        waiting.take_back(server)
                    case _, int(n):
                        queued = [job for job in server.known if job.fate is Fate.QUEUED]
                        if queued:
                            end = {"pass on": Fate.PASSED_ON, "cancel": Fate.CANCELLED, "give up": Fate.FAILED}[what]
                            server.turn(queued[n % len(queued)], end)
            except Killed:
                pass
            check(waiting, server, wanted)
        server.troubles.clear()
        waiting = WaitingList(Path(folder))
        assert send(waiting, server).trouble == ""
        assert all(asked.why for asked in waiting.all(Place.WAITING))  # nobody cancelled it: it goes by itself
        assert send(waiting, server, only=wanted).trouble == ""
        assert {asked.label.code: asked.place for asked in waiting.all(*Place)} == dict.fromkeys(wanted, Place.SENT)
        assert sorted(alive(server)) == sorted(f"{code} copy 1" for code in wanted)


def check(waiting: WaitingList, server: Model, wanted: set[str]) -> None:
    """Nothing twice at the server, and nothing that is neither there nor in the list."""
    there = alive(server)
    assert len(there) == len(set(there))
    assert {asked.label.code for asked in waiting.all(Place.WAITING, Place.SENT)} == wanted


def alive(server: Model) -> list[str]:
    return [job.name for job in server.known if job.fate in (Fate.QUEUED, Fate.PASSED_ON)]
