"""What is said when the disk, the folder or the file will not: one sentence, what is wrong and what to do."""

import errno
import os
import sqlite3
import sys
from pathlib import Path


class Trouble(Exception):
    """The journal cannot be read or written now, for a reason outside the program.

    Nothing acknowledged is lost and nothing half said is kept. Once the cause is gone the same call works again.
    """


class Refused(Trouble):
    """What was said does not fit the journal: saying it again unchanged will not help."""


class Held(Trouble):
    """Another program writes just now: it works again once that is done."""


class Damage(sqlite3.DatabaseError):
    """What SQLite gave out and could not have been kept so. Told like damage that SQLite itself finds."""

    sqlite_errorcode = sqlite3.SQLITE_CORRUPT


_NO_TEXT = "Could not decode to UTF-8"
"""How Python's sqlite3 says, without a code, that what was kept as text is none."""

_FILES = {
    errno.ENOSPC: "The disk with {path} is full: make room on it, then say it again.",
    errno.EDQUOT: "The disk with {path} is full for this user: make room, then say it again.",
    errno.EROFS: "{path} is on a disk that can only be read: make it writable, then say it again.",
    errno.EACCES: "There is no permission to write in {path}: give this user the folder, then say it again.",
    errno.EPERM: "There is no permission to write in {path}: give this user the folder, then say it again.",
    errno.ENOTDIR: "{path} is not a folder: name another one.",
    errno.EEXIST: "{path} is not a folder: name another one.",
}

HELD = "Another program holds {path}: close it or wait, then say it again."
_HELD_BY_ANOTHER = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_PROTOCOL)

_CODES = {
    sqlite3.SQLITE_FULL: _FILES[errno.ENOSPC],
    sqlite3.SQLITE_IOERR_SHMSIZE: _FILES[errno.ENOSPC],
    sqlite3.SQLITE_IOERR_WRITE: "{path} cannot grow, the disk is full or will not be written: make room on it or look "
    "at the card, then say it again.",
    sqlite3.SQLITE_READONLY: "{path} can only be read: make it, the files beside it and the folder writable, then say "
    "it again.",
    sqlite3.SQLITE_CANTOPEN: "{path} cannot be opened: look at the permissions of the file and of its folder.",
    sqlite3.SQLITE_PERM: _FILES[errno.EACCES],
    sqlite3.SQLITE_AUTH: _FILES[errno.EACCES],
    **dict.fromkeys(_HELD_BY_ANOTHER, HELD),
    sqlite3.SQLITE_NOTADB: "{path} is not a journal of this program: move it away, or name another data folder.",
    sqlite3.SQLITE_CORRUPT: "{path} is damaged: leave it as it is and bring back the last backup.",
    sqlite3.SQLITE_ERROR: "{path} is damaged, or not as this program made it ({error}): leave it as it is and bring "
    "back the last backup.",
    sqlite3.SQLITE_CONSTRAINT: "{path} is damaged or was altered ({error}): run reassembly verify --all, and bring "
    "back the last backup.",
    sqlite3.SQLITE_NOLFS: "{path} has reached the largest size the disk allows: move the data folder to another disk.",
    sqlite3.SQLITE_IOERR: "The disk does not answer for {path} ({error}): look at the card, its plug and its power.",
}


def of_file(error: OSError, path: Path) -> Trouble:
    """The sentence for an error of the file system."""
    words = _FILES.get(error.errno or 0, "{path} cannot be used ({error}): look at the disk and the folder.")
    return Trouble(words.format(path=path, error=error.strerror or error))


def of_database(error: sqlite3.Error, path: Path) -> Trouble | None:
    """The sentence for an error of SQLite; None for one that is a fault of the program."""
    damaged = str(error).startswith(_NO_TEXT)
    code: int = sqlite3.SQLITE_CORRUPT if damaged else getattr(error, "sqlite_errorcode", 0)
    if code & 0xFF == sqlite3.SQLITE_CORRUPT and (silent := _silent(path)):
        return Trouble(_CODES[sqlite3.SQLITE_IOERR].format(path=path, error=silent))
    words = _CODES.get(code) or _CODES.get(code & 0xFF)
    kind = Held if code & 0xFF in _HELD_BY_ANOTHER else Trouble
    return None if words is None else kind(words.format(path=path, error=error))


def _silent(path: Path) -> str:
    """Why the disk gives nothing out, `` where it does: SQLite calls a card that was pulled a damaged file."""
    try:
        with path.open("rb", buffering=0) as file:
            end = os.fstat(file.fileno()).st_size
            if sys.platform == "linux":  # what memory still has proves nothing
                os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
            for at in (0, end // 2, max(end - 1, 0)):
                os.pread(file.fileno(), 1, at)
    except OSError as error:
        return error.strerror or str(error)
    return ""
