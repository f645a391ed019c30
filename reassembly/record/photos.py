"""Photos: each kept once, named by its content, and on the disk before anybody says so."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.entries import PhotoKept
from reassembly.record import durable, pictures, readback
from reassembly.record.trouble import Damage, Refused, Trouble, of_file

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Callable, Iterator, Mapping
    from pathlib import Path

    from reassembly.job.entries import Entry
    from reassembly.job.job import Job

FOLDER = "photos"
"""In the data folder, and beside the copies of the record."""
DIGEST = re.compile(r"[0-9a-f]{64}")

_KEPT_AS = (".jpg", ".png")
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
            for left in photos.glob(f"*{durable.PART}"):
                left.unlink()  # of a keeping that a power cut ended
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
    if not DIGEST.fullmatch(digest):
        return None
    try:
        return next((p for end in _KEPT_AS if (p := folder / FOLDER / f"{digest}{end}").is_file()), None)
    except OSError:
        return None


def of_job(folder: Path, job: Job) -> dict[str, Path]:
    """The kept files of all photos of a job, those struck out as well, by digest; those that are gone left out."""
    named = {e.fact.digest for e in (*job.entries, *job.struck) if isinstance(e.fact, PhotoKept)}
    return {digest: path for digest in named if (path := find(folder, digest))}


class Photo(NamedTuple):
    """A photo that stands, and its file; None where that is gone."""

    entry: Entry[Any]
    path: Path | None


def standing(folder: Path, job: Job) -> list[Photo]:
    """The photos of a job, the oldest first."""
    return [Photo(entry, find(folder, entry.fact.digest)) for entry in job.said(PhotoKept)]


def give_out(photo: Photo, directory: Path, name: str) -> Path:
    """Write a copy named so, with its own ending. Raises Refused for one that is gone or not what was kept, Trouble."""
    if photo.path is None:
        raise Refused(gone(photo.entry.id))
    try:
        data = photo.path.read_bytes()
    except OSError as error:
        raise of_file(error, photo.path) from error
    if hashlib.sha256(data).hexdigest() != photo.entry.fact.digest:
        raise Refused(altered(photo.path))
    copy = directory / f"{name}{photo.path.suffix}"
    durable.give_out(copy, data)
    return copy


def view(path: Path) -> str:
    """Open a photo full size by the system's own viewer, and say so; where there is none, say where the file is."""
    viewer = shutil.which("xdg-open")
    if viewer and (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        try:
            quiet = subprocess.DEVNULL
            shown = subprocess.Popen([viewer, path], stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True)  # noqa: S603
        except OSError as error:
            return f"no viewer could be opened ({error.strerror}); the photo is {path}"
        Thread(target=shown.wait, daemon=True, name="viewer").start()
        return f"opened: {path}"
    return f"there is no viewer at this terminal; the photo is {path}"


def named(connection: sqlite3.Connection, bench: str, after: int = 0) -> dict[str, str]:
    """The entry that names each photo kept at a bench after its entry of that number, by digest; photos of other
    benches need not be here. What cannot be read names none: to prove the entries tells of it."""
    rows = connection.execute(
        "select cast(body as blob) from entry where bench = ? and number > ? and kind = 'PhotoKept' order by number",
        [bench, after],
    )
    found: dict[str, str] = {}
    for (body,) in rows:
        with suppress(Damage):
            entry = readback.entry(body)
            if isinstance(entry.fact, PhotoKept):
                found.setdefault(entry.fact.digest, entry.id)
    return found


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
                yield altered(path)
        progress(done, len(every))
    for digest, entry in named.items():
        if digest not in every:
            yield gone(entry)


def gone(entry: str) -> str:
    """What to do where the file of the photo that this entry names is not there."""
    return f"The picture that {entry} names is gone: bring it back from a backup."


def altered(path: Path) -> str:
    """Of a file whose content is not what its name says."""
    return f"The picture {path.name} is not what was kept: it was altered or is damaged."


def _files(photos: Path) -> Iterator[Path]:
    try:
        yield from (path for path in photos.iterdir() if DIGEST.fullmatch(path.stem) and path.suffix in _KEPT_AS)
    except FileNotFoundError:
        return  # no photo was kept yet
    except OSError as error:
        raise of_file(error, photos) from error
