"""Photos: each kept once, named by its content, and on the disk before anybody says so."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import stat
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import msgspec

from reassembly.record import durable, pictures
from reassembly.record.trouble import Trouble, of_file

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator, Mapping, Sequence

    from reassembly.job.job import Job

FOLDER = "photos"
INBOX = "photos-in"
"""The folder in the data folder that is watched where nobody named another."""
ENDINGS = frozenset({".jpg", ".jpeg", ".jpe", ".png", ".webp", ".heic", ".heif", ".avif"})
"""Of files that are offered; those that cannot be read are told so when they are to be kept."""
MOST = 40
"""New pictures that are offered at once, the newest."""

_DIGEST = re.compile(r"[0-9a-f]{64}")
_KEPT_AS = (".jpg", ".png")
_NOTED = 20_000  # files that were looked at
_ROOM = 16 << 20  # bytes that stay free: the last words are worth more than a picture


class Kept(NamedTuple):
    """A picture on the disk. `digest` is of the kept file, `source` of the one it was made from: SHA-256, in hex.
    `taken` is by the camera's own clock, `` where its file does not say; `size` is of the one it was made from."""

    digest: str
    source: str
    path: Path
    taken: str
    width: int
    height: int
    size: int


class Waiting(NamedTuple):
    """A new picture in a watched folder. `written` is when its file was, in seconds since 1970; `size` is in bytes."""

    path: Path
    source: str
    written: float
    size: int


def keep(folder: Path, picture: Path) -> Kept:
    """Keep a picture in the data folder; its own file is left as it is.

    When this returns the kept file is on the disk under its name, so that its fact may be said. The same picture is
    kept once. Takes half a second for 12 million pixels on a PC: call it in a thread. Raises Refused for what is no
    picture, is broken or is too large, Trouble when the disk will not.
    """
    data = pictures.read(picture)
    made = pictures.upright(data, picture)
    digest, photos = hashlib.sha256(made.data).hexdigest(), folder / FOLDER
    path = photos / f"{digest}{made.suffix}"
    try:
        durable.make(photos)
        with durable.alone(folder / "photos.lock"):
            if path.exists() and durable.sha256(path) == digest:
                durable.sync(photos)  # whoever gave it its name may not have come to this
            elif shutil.disk_usage(photos).free < len(made.data) + _ROOM:
                room = f"The disk with {photos} has no room for pictures: make room on it."
                raise Trouble(f"{room} {picture.name} was not kept.")
            else:
                _put(path, made.data)
    except BlockingIOError:
        raise pictures.refused(picture, "has to wait while another terminal keeps one", "try again") from None
    except OSError as error:
        raise of_file(error, path) from error
    source = hashlib.sha256(data).hexdigest()
    return Kept(digest, source, path, made.taken, made.width, made.height, len(data))


def _put(path: Path, data: bytes) -> None:
    try:
        durable.put(path, data)
    except OSError:
        path.with_name(path.name + durable.PART).unlink(missing_ok=True)  # it holds room that the journal may need
        raise


def find(folder: Path, digest: str) -> Path | None:
    """The kept file of a photo; None where it is not there, or where the entry names no digest at all."""
    if not _DIGEST.fullmatch(digest):
        return None
    try:
        return next((p for end in _KEPT_AS if (p := folder / FOLDER / f"{digest}{end}").is_file()), None)
    except OSError:
        return None


def of_job(folder: Path, job: Job) -> dict[str, Path]:
    """The kept files of all photos of a job, those struck out as well, by digest; those that are gone left out."""
    from reassembly.job.entries import PhotoKept

    named = {e.fact.digest for e in (*job.entries, *job.struck) if isinstance(e.fact, PhotoKept)}
    return {digest: path for digest in named if (path := find(folder, digest))}


def wrong(
    folder: Path, named: Mapping[str, str], *, whole: bool, progress: Callable[[int, int], None]
) -> Iterator[str]:
    """Photos that are not what was kept, and those that are gone, in words.

    `named` is from digest to the entry that names it. With `whole` every file there is read, else those that are named.
    """
    every = {path.stem: path for path in _files(folder / FOLDER)} if whole else {}
    every |= {digest: path for digest in named if (path := find(folder, digest))}
    for done, (digest, path) in enumerate(sorted(every.items()), 1):
        try:
            content = durable.sha256(path)
        except OSError as error:
            yield f"The picture {path.name} cannot be read: {error.strerror}."
        else:
            if content != digest:
                yield f"The picture {path.name} is not what was kept: it was altered or is damaged."
        progress(done, len(every))
    for digest, entry in named.items():
        if digest not in every:
            yield f"The picture that {entry} names is gone: bring it back from a backup."


def _files(photos: Path) -> Iterator[Path]:
    try:
        yield from (path for path in photos.iterdir() if _DIGEST.fullmatch(path.stem) and path.suffix in _KEPT_AS)
    except FileNotFoundError:
        return  # no photo was kept yet
    except OSError as error:
        raise of_file(error, photos) from error


def watched(
    folder: Path, named: str = "", mounted: Sequence[Path] = (Path("/media"), Path("/run/media"))
) -> list[Path]:
    """Where new pictures are looked for: the folder somebody named, else the inbox in the data folder; and the pictures
    of every card, stick or phone that is mounted (in a folder DCIM: common practice, no source)."""
    plugged = [place for root in mounted for depth in ("*", "*/*") for place in sorted(root.glob(f"{depth}/DCIM"))]
    return [Path(named).expanduser() if named else folder / INBOX, *plugged]


class Watch:
    """What lies in the watched folders. A file that was looked at is known again by its place, size and time."""

    def __init__(self, folder: Path, places: Sequence[Path]) -> None:
        """`folder` is the data folder: what was looked at is noted there, and may be thrown away."""
        self.places = places
        self._note = folder / "photos-looked-at.json"
        self._known: dict[str, str] | None = None

    def look(
        self, known: Collection[str], progress: Callable[[int, int], None] = lambda _done, _all: None
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
            if len(waiting) == MOST:
                break
        self._known = sources
        if len(sources) > before:
            self._write(sources)
        return list(waiting.values())

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

    def _every(self) -> Iterator[tuple[Path, os.stat_result]]:
        first = self.places[0]
        try:
            if first.name == INBOX:
                durable.make(first)
            next(first.iterdir(), None)
        except OSError as error:
            why = f"{first} cannot be read ({error.strerror})"
            raise Trouble(f"{why}: plug the card or phone in, or choose another folder.") from error
        for place in self.places:
            yield from _pictures_in(place)


def _pictures_in(place: Path) -> Iterator[tuple[Path, os.stat_result]]:
    """In all folders below, but for what is hidden, is only a link or no file at all."""
    for at, folders, files in os.walk(place):
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
