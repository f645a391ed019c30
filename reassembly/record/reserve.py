"""Room held back on the disk, let go when it is full, so that the last words can still be kept."""

import os
import time
from pathlib import Path

SIZE = 256 << 10
"""Bytes: some ten entries, each with the pages it touches."""

_LAST = 2 * SIZE  # free besides: more than one thing said needs, so that it is not the one that fails
_ENOUGH = 4 * SIZE
_PLENTY = 1 << 30
_SOON = 1.0  # seconds: no other program fills plenty meanwhile, and after trouble it is looked at once


def look(folder: Path) -> float:
    """Let go or hold back, as there is room. Returns until when, by the monotonic clock, it need not be asked again."""
    free = _free(folder)
    if free < _LAST:
        _file(folder).unlink(missing_ok=True)
    elif free >= _ENOUGH and not _file(folder).exists():
        _hold_back(folder)
    return time.monotonic() + _SOON if free >= _PLENTY else 0.0


def let_go(folder: Path) -> None:
    """Where the disk is full. Before the journal is opened: that takes room too."""
    if _free(folder) < _LAST:
        _file(folder).unlink(missing_ok=True)


def warning(folder: Path) -> str:
    """What to tell while the reserve is in use; nothing as long as there is room."""
    if _file(folder).exists() or _free(folder) >= _ENOUGH:
        return ""
    return (
        f"The disk with {folder} is full. All that was said is kept, in room that was held back for the last words: "
        "make room on it now."
    )


def _free(folder: Path) -> int:
    """Bytes that this user may still write."""
    disk = os.statvfs(folder)
    return disk.f_bavail * disk.f_frsize


def _hold_back(folder: Path) -> None:
    handle = os.open(_file(folder), os.O_WRONLY | os.O_CREAT, 0o600)
    try:
        os.posix_fallocate(handle, 0, SIZE)
    finally:
        os.close(handle)


def _file(folder: Path) -> Path:
    return folder / "shop.reserve"
