"""Where each terminal was left: a small file beside the journal, one for each terminal.

It is not the record. It holds what nobody has said yet: which screens were open, half a line, half a form, who was at
the bench. Whatever is wrong with it, nothing that was kept is lost, and the program starts without it. It is written
anew as a whole, so that a power cut leaves the one before or the one after.

A terminal that is gone (another pseudo terminal after a restart) leaves its file to the next one that has none. Two
programs never share a file: each holds a lock on its own for as long as it runs.
"""

from __future__ import annotations

import fcntl
import os
import re
from contextlib import suppress
from typing import TYPE_CHECKING, Any

import msgspec

from reassembly.record import durable
from reassembly.record.trouble import Trouble, of_file

if TYPE_CHECKING:
    from pathlib import Path

FOLDER = "terminals"
MOST = 1 << 20
"""Bytes of a file that is still read: a form full of long words has a few thousand."""


class Level(msgspec.Struct, frozen=True, omit_defaults=True):
    """One screen on the stack, and how it was reached from the one below."""

    screen: str
    heading: str = ""
    way: tuple[Any, ...] = ()
    """The action of the screen below that opened it, and its arguments."""
    answers: tuple[str | int, ...] = ()
    """What was answered to the questions that this action asks before this one."""
    typed: dict[str, str] = {}
    """What stands in each field, by the field's name."""
    bars: dict[str, str] = {}
    """Which line of each list the bar is on."""
    focus: str = ""
    more: dict[str, Any] = {}


class Place(msgspec.Struct, frozen=True, omit_defaults=True):
    """Everything a terminal needs to be again as it was."""

    who: str = ""
    wrench: str = ""
    bag: tuple[str, str] = ("", "")
    last: str = ""
    """The last entry of the open job when this was written: what came after it may have said what is typed here."""
    levels: tuple[Level, ...] = ()


def terminal() -> str:
    """The name of the terminal this program talks to, such as tty1 or pts-3; `` where it talks to none."""
    for stream in (0, 1):
        with suppress(OSError):
            return os.ttyname(stream).removeprefix("/dev/").replace("/", "-")
    return ""


class Keeper:
    """The file of one terminal. Every method raises Trouble, with a sentence to show."""

    def __init__(self, folder: Path, terminal: str) -> None:
        """Takes the terminal's name in the data folder; a second name where another program runs there."""
        self._folder = folder / FOLDER
        name = re.sub(r"[^A-Za-z0-9-]", "-", terminal)[:40]
        try:
            durable.make(self._folder)
            number = 1
            self._lock = self._taken(name)
            while self._lock is None:
                number += 1
                self._lock = self._taken(f"{name}-{number}")
            self._path = self._folder / f"{name if number == 1 else f'{name}-{number}'}.json"
        except OSError as error:
            raise of_file(error, self._folder) from error

    def _taken(self, name: str) -> int | None:
        """A lock on this name, held until the program ends, however it ends; None where another program holds it."""
        lock = os.open(self._folder / f"{name}.lock", os.O_RDWR | os.O_CREAT, 0o600)
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            os.close(lock)
            return None
        return lock

    def read(self) -> Place | None:
        """Where this terminal was left, or the newest that was left by a terminal that is gone; None: nowhere."""
        try:
            if not self._path.exists() and not self._adopt():
                return None
            if self._path.stat().st_size > MOST:
                raise Trouble(self._unreadable("it is far too large"))
            return msgspec.json.decode(self._path.read_bytes(), type=Place)
        except OSError as error:
            raise Trouble(self._unreadable(error.strerror or str(error))) from error
        except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
            raise Trouble(self._unreadable("it is damaged")) from error

    def _unreadable(self, why: str) -> str:
        return f"Where this terminal was left cannot be told ({why}). Nothing that was kept is lost: go on from here."

    def _adopt(self) -> bool:
        left = []
        for path in self._folder.glob("*.json"):
            with suppress(FileNotFoundError):  # another one takes it at this moment
                left.append((path.stat().st_mtime, path))
        for _, path in sorted(left, reverse=True):
            lock = self._taken(path.stem)
            if lock is not None:
                try:
                    path.replace(self._path)
                except FileNotFoundError:
                    continue
                finally:
                    os.close(lock)
                return True
        return False

    def write(self, place: Place) -> None:
        """On the disk when this returns."""
        try:
            durable.put(self._path, msgspec.json.encode(place))
        except OSError as error:
            raise of_file(error, self._path) from error

    def close(self) -> None:
        if self._lock is not None:
            os.close(self._lock)
            self._lock = None
