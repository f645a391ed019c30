"""New pictures: what lies in a folder that is watched, or on a card, stick or phone, and no photo was made from yet."""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import msgspec

from reassembly.record import durable, pictures
from reassembly.record.trouble import Trouble

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator, Sequence

INBOX = "photos-in"
"""The folder in the data folder that is watched where nobody named another."""
ENDINGS = frozenset({".jpg", ".jpeg", ".jpe", ".png", ".webp", ".heic", ".heif", ".avif"})
"""Of files that are offered; those that cannot be read are told so when they are to be kept."""
MOST = 40
"""New pictures that are offered at once, the newest."""
MOUNTED = (Path("/media"), Path("/run/media"))
"""Below these a desktop mounts cards, sticks and phones (common practice, no source)."""

_NOTED = 20_000  # files that were looked at


class Waiting(NamedTuple):
    """A new picture in a watched folder. `written` is when its file was, in seconds since 1970; `size` is in bytes."""

    path: Path
    source: str
    written: float
    size: int


def written(picture: Waiting) -> str:
    """2026-03-14 16:50"""
    return f"{datetime.fromtimestamp(picture.written).astimezone():%Y-%m-%d %H:%M}"


def size(length: int) -> str:
    """3.1 MB, 412 kB"""
    return f"{length / 1e6:.1f} MB" if length >= 1e6 else f"{-(-length // 1000)} kB"


def places(folder: Path, named: str = "", mounted: Sequence[Path] = MOUNTED) -> list[Path]:
    """Where new pictures are looked for: the folder somebody named, else the inbox in the data folder; and the pictures
    of every card, stick or phone that is mounted (in a folder DCIM: common practice, no source)."""
    plugged = [place for root in mounted for depth in ("*", "*/*") for place in sorted(root.glob(f"{depth}/DCIM"))]
    return [Path(named).expanduser() if named else folder / INBOX, *plugged]


class Watch:
    """What lies in the watched folders. A file that was looked at is known again by its place, size and time."""

    def __init__(self, folder: Path, named: str = "", mounted: Sequence[Path] = MOUNTED) -> None:
        """`folder` is the data folder: what was looked at is noted there, and may be thrown away."""
        self._folder, self._named, self._mounted = folder, named, mounted
        self._note = folder / "photos-looked-at.json"
        self._known: dict[str, str] | None = None
        self._below: frozenset[Path] = frozenset()
        self._stamps: dict[Path, int] | None = None

    @property
    def places(self) -> list[Path]:
        return places(self._folder, self._named, self._mounted)

    def look(
        self,
        known: Collection[str],
        progress: Callable[[int, int], None] = lambda _done, _all: None,
        most: int = MOST,
    ) -> list[Waiting]:
        """The newest pictures that no photo was made from yet, newest first, each once; `known` are their sources.

        Reads each file that it sees for the first time: call it in a thread. Raises Trouble for a folder that is not
        there.
        """
        waiting: dict[str, Waiting] = {}
        every = sorted(self._every(), key=lambda found: (-found[1].st_mtime_ns, found[0].name))
        sources = self._read() if self._known is None else self._known
        before = len(sources)
        for done, (path, found) in enumerate(every, 1):
            source = _source(path, found, sources)
            if source and source not in known:
                waiting.setdefault(source, Waiting(path, source, found.st_mtime, found.st_size))
            progress(done, len(every))
            if len(waiting) == most:
                break
        self._known = sources
        if len(sources) > before:
            self._write(sources)
        return list(waiting.values())

    def changed(self) -> bool:
        """Whether anything came into the watched folders, or a card was plugged in, since this was last asked; no at
        the first time. Cheap, but a card may keep whoever asks waiting: ask in a thread."""
        if self._stamps is None:
            with suppress(Trouble):
                list(self._every())
        stamps = {}
        for folder in {*self.places, *self._below}:
            with suppress(OSError):  # it was unplugged
                stamps[folder] = folder.stat().st_mtime_ns
        before, self._stamps = self._stamps, stamps
        return before is not None and any(before.get(folder) != when for folder, when in stamps.items())

    def _read(self) -> dict[str, str]:
        try:
            return msgspec.json.decode(self._note.read_bytes(), type=dict[str, str])
        except (OSError, msgspec.MsgspecError):
            return {}  # then every file is read once more

    def _write(self, sources: dict[str, str]) -> None:
        latest = dict(list(sources.items())[-_NOTED:])
        part = self._note.with_name(self._note.name + durable.PART)
        with suppress(OSError):
            part.write_bytes(msgspec.json.encode(latest))
            part.replace(self._note)

    def _every(self) -> list[tuple[Path, os.stat_result]]:
        places = self.places
        try:
            if not self._named:
                durable.make(places[0])
            next(places[0].iterdir(), None)
        except OSError as error:
            why = f"{places[0]} cannot be read ({error.strerror})"
            raise Trouble(f"{why}: plug the card or phone in, or choose another folder.") from error
        below: set[Path] = set()
        found = [picture for place in places for picture in _pictures_in(place, below)]
        self._below = frozenset(below)
        return found


def _pictures_in(place: Path, below: set[Path]) -> Iterator[tuple[Path, os.stat_result]]:
    """In all folders below, which are noted, but for what is hidden, is only a link or no file at all."""
    for at, folders, files in os.walk(place):
        below.add(Path(at))
        folders[:] = [name for name in folders if not name.startswith(".")]
        for name in files:
            path = Path(at, name)
            if not name.startswith(".") and path.suffix.lower() in ENDINGS:
                with suppress(OSError):  # it went while it was looked at
                    found = path.lstat()
                    if stat.S_ISREG(found.st_mode):
                        yield path, found


def _source(path: Path, found: os.stat_result, known: dict[str, str]) -> str:
    """SHA-256 of a file, noted in `known`; `` where it went while it was looked at."""
    key = f"{found.st_size} {found.st_mtime_ns} {str(path)!a}"
    if found.st_size > pictures.MOST_BYTES:
        return key  # whoever wants to keep it is told
    if key not in known:
        try:
            known[key] = durable.sha256(path)
        except OSError:
            return ""
    return known[key]
