"""The label printer of this bench: what was asked for, what became of it, and what to do where something is wrong."""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING, NamedTuple, TypeVar

import msgspec

from labels.picture import DOTS_A_MODULE, SIZES
from labels.printer import PrintTrouble, Spooler
from labels.waiting import Place, WaitingList
from reassembly.record import settings
from reassembly.record.settings import Settings
from reassembly.record.trouble import Refused, Trouble, of_database, of_file

if TYPE_CHECKING:
    from collections.abc import Callable, Collection
    from pathlib import Path

    from labels.label import Label
    from labels.printer import Printer
    from labels.waiting import Asked

T = TypeVar("T")


class Told(NamedTuple):
    """What is wrong and what to do, in one sentence, "" for nothing; `busy` while a label is on its way."""

    words: str = ""
    busy: bool = False


class Press:
    """One data folder's printer and waiting list.

    `run`, `printers` and `take_back` talk to the print server and may take as long as it lets them: call them from a
    thread that may wait. Everything else is quick. All may be called from any thread; they raise Trouble for the disk
    and for the print server.
    """

    def __init__(self, folder: Path, spooler: Spooler | None = None) -> None:
        self._folder = folder
        self._spooler = spooler or Spooler()
        self._list: WaitingList | None = None

    @property
    def settings(self) -> Settings:
        return settings.read(self._folder)

    def choose(self, printer: str, dpi: int = 203, size: str = "62x29") -> None:
        """Print there from now on; an empty name is none. Labels that wait go there too. Raises Refused."""
        if printer and dpi not in DOTS_A_MODULE:
            heads = " or ".join(map(str, DOTS_A_MODULE))
            raise Refused(f"{printer} prints {dpi} dots an inch, a label printer {heads}: print a sheet on that one.")
        try:
            before = self.settings
        except Trouble:  # choosing again is how a damaged file is mended
            before = Settings()
        settings.write(self._folder, msgspec.structs.replace(before, printer=printer, dpi=dpi, size=size))

    @property
    def began(self) -> bool:
        """Whether a label was ever asked for."""
        return (self._folder / "labels" / "labels.db").exists()

    def ask(self, label: Label, copy: int) -> None:
        """Put a label on the list: from now on it comes out once, or waits."""
        self._kept(lambda: self._waiting().add(label, copy))

    def next_copy(self, code: str) -> int:
        """1 for a code that never was on the list."""
        return self._kept(lambda: self._waiting().next_copy(code)) if self.began else 1

    def all(self, *places: Place) -> list[Asked]:
        """The labels at these places, as they were asked for."""
        return self._kept(lambda: self._waiting().all(*places)) if self.began else []

    def not_seen(self) -> list[Asked]:
        """The labels that nobody has seen on anything yet, those that wait and those that were sent."""
        return self.all(Place.WAITING, Place.SENT)

    def waits(self, code: str) -> Asked | None:
        """The label under this code that was not sent yet, or was given up."""
        return next((asked for asked in self.all(Place.WAITING) if asked.label.code == code), None)

    def drop(self, code: str) -> None:
        """Nobody wants this label any more."""
        if self.began:
            self._kept(lambda: self._waiting().drop(code))

    def printers(self) -> list[Printer]:
        """All queues of the print server."""
        try:
            return self._spooler.printers()
        except PrintTrouble as trouble:
            raise Trouble(str(trouble)) from trouble

    @property
    def sizes(self) -> list[str]:
        """The label sizes there are, width x height in mm."""
        return list(SIZES)

    def take_back(self) -> str:
        """Take out of its queue what has not been printed, to send it to the printer chosen since."""
        return self._kept(lambda: self._waiting().take_back(self._spooler)) if self.began else ""

    def run(self, seen: Collection[str] = (), again: Collection[str] | None = None) -> Told:
        """Note which labels were seen, send what waits, ask what became of the rest.

        With `again`, send those codes once more although they were cancelled or given up, and no others.
        """
        if not self.began:
            return Told()
        try:
            return self._kept(lambda: self._run(seen, again))
        except Trouble as trouble:
            return Told(str(trouble))

    def _run(self, seen: Collection[str], again: Collection[str] | None) -> Told:
        waiting, chosen = self._waiting(), self.settings
        for code in seen:
            waiting.seen(code)
        left = waiting.all(Place.WAITING)
        if not chosen.printer:
            many = f"{len(left)} label{'s wait' if len(left) != 1 else ' waits'}"
            return Told(f"{many} and no printer is chosen: l chooses one, or write the codes on." if left else "")
        if again is not None or any(not asked.why for asked in left):
            sent = waiting.send(self._spooler, chosen.printer, SIZES[chosen.size], chosen.dpi, again)
            if sent.trouble:
                return Told(sent.trouble, busy=True)
        elif not waiting.all(Place.SENT):
            return Told(_given_up(left))
        if trouble := waiting.look(self._spooler):
            return Told(trouble, busy=True)
        state = self._spooler.state(chosen.printer)
        if not state.fine:
            return Told(state.words, busy=True)
        left = waiting.all(Place.WAITING)
        return Told(_given_up(left), busy=state.queued > 0 or any(not asked.why for asked in left))

    def _waiting(self) -> WaitingList:
        if self._list is None:
            self._list = WaitingList(self._folder / "labels")
        return self._list

    def _kept(self, what: Callable[[], T]) -> T:
        try:
            return what()
        except sqlite3.Error as error:
            raise of_database(error, self._folder / "labels" / "labels.db") or error from error
        except OSError as error:
            raise of_file(error, self._folder / "labels") from error


def _given_up(left: Collection[Asked]) -> str:
    """What waits and will not go by itself."""
    held = [asked for asked in left if asked.why]
    if not held:
        return ""
    more = f" and {len(held) - 1} more" if len(held) > 1 else ""
    return f"Label {held[0].label.name}{more}: {held[0].why} l shows it: send it again or drop it."
