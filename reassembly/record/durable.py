"""Files that are whole or not there: written beside, on the disk, then renamed into place."""

from __future__ import annotations

import fcntl
import hashlib
import os
import re
from contextlib import contextmanager
from pathlib import Path
from typing import IO, TYPE_CHECKING

from reassembly.record.trouble import Refused, of_file

if TYPE_CHECKING:
    from collections.abc import Iterator

PART = ".part"
"""How the name of a file ends that is not yet whole."""

OWNER, ANYONE = 0o600, 0o666
"""Who may read a file, as far as the user's own mask lets them."""

_PIECE = 1 << 20


def put(path: Path, data: bytes, mode: int = OWNER) -> None:
    """Write a file, for its owner only unless told; what stood there before stays until the new one is on the disk."""
    beside = path.with_name(path.name + PART)
    with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, mode), "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    into_place(beside, path)


def give_out(path: Path, data: bytes, mode: int = ANYONE) -> None:
    """Write a file that somebody asked for, as `giving_out` does."""
    with giving_out(path, mode) as file:
        file.write(data)


@contextmanager
def giving_out(path: Path, mode: int = ANYONE) -> Iterator[IO[bytes]]:
    """A file that somebody asked for, to be written, its folder made where there is none. Raises Trouble.

    What stood there before stays until the new one is whole; a link stays one; a pipe or a device is written to as it
    is. Raises Refused for a file that the record is kept in.
    """
    try:
        if path.exists() and not path.is_file():
            with path.open("wb") as stream:
                yield stream
            return
        real = Path(os.path.realpath(path))
        if _of_the_record(real):
            raise Refused(f"{path} is one of the files that the record is kept in: name another one.")
        real.parent.mkdir(parents=True, exist_ok=True)
        beside = real.with_name(real.name + PART)
        try:
            with os.fdopen(os.open(beside, os.O_RDWR | os.O_CREAT | os.O_TRUNC, mode), "w+b") as file:
                yield file
                file.flush()
                os.fsync(file.fileno())
            into_place(beside, real)
        finally:
            beside.unlink(missing_ok=True)
    except OSError as error:
        raise of_file(error, path) from error


_KEPT_IN = re.compile(
    r"shop\.[^/]*|(?:photos|terminals)(?:[/.].*)?|labels(?:/labels\..*)?"
    r"|(?:machine|verified|copies|photos-looked-at)\.json(?:\..*)?"
)
"""The names in a data folder, and in the folders there, that are the program's own."""

_DATABASE = b"SQLite format 3\0"


def _of_the_record(path: Path) -> bool:
    """Whether a file is the program's own: in a data folder under one of its names, or a copy of the journal."""
    for folder in path.parents:
        if (folder / "shop.db").exists() or (folder / "shop.head").exists():
            return _KEPT_IN.fullmatch(path.relative_to(folder).as_posix()) is not None
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return file.read(len(_DATABASE)) == _DATABASE


def into_place(part: Path, path: Path) -> None:
    """Give a file that is on the disk its name."""
    part.replace(path)
    sync(path.parent)


def make(folder: Path, *, parents: bool = True) -> None:
    """Make a folder, for its owner only, where there is none. A power cut can no longer take it with all in it."""
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    folder.mkdir(mode=0o700, parents=parents, exist_ok=True)
    for made in missing:
        sync(made.parent)


def sync(folder: Path) -> None:
    """The names in a folder are on the disk when this returns."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def settle(path: Path) -> None:
    """A file is on the disk when this returns, and whoever reads it next gets what the disk kept."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
        os.posix_fadvise(handle, 0, 0, os.POSIX_FADV_DONTNEED)
    finally:
        os.close(handle)


def copy(source: Path, path: Path) -> str:
    """Copy a file into place. Returns the SHA-256, in hex, of what was read."""
    digest = hashlib.sha256()
    part = path.with_name(path.name + PART)
    with source.open("rb") as old, os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as new:
        while piece := old.read(_PIECE):
            digest.update(piece)
            new.write(piece)
    settle(part)
    into_place(part, path)
    return digest.hexdigest()


def sha256(path: Path) -> str:
    """Of a file, in hex."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


@contextmanager
def alone(path: Path) -> Iterator[None]:
    """One program at a time; BlockingIOError while another holds the lock file."""
    lock = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        yield
    finally:
        os.close(lock)
