"""The copies in one directory: their names, the heads kept beside them, how old the last good one is, which may go."""

from __future__ import annotations

import os
import re
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job import wording
from reassembly.job.wording import many
from reassembly.record import heads, notes
from reassembly.record.clock import told
from reassembly.record.trouble import Trouble, of_file

if TYPE_CHECKING:
    from reassembly.record.heads import KeptHeads

MOUNTS = (Path("/media"), Path("/run/media"), Path("/mnt"))
"""Below which sticks are mounted (common practice on Linux)."""

_LONG_AGO = 7  # days
_NIGHT = 2  # hours past midnight: who works late still works on the day before

KEEP = 7
"""Good copies of one bench that a directory holds; an older one goes once a newer one is proved."""

FOUND_WRONG = "-found-wrong"

_NAME = re.compile(r"([A-Za-z0-9]{1,16})-([0-9]{4,})-[0-9]{4}-[0-9]{2}-[0-9]{2}-[0-9]{4}-([A-Z2-7]{16})")
_MINUTE, _HOUR, _DAY = 60, 3600, 86400


class InDirectory(NamedTuple):
    """One copy of a bench's journal."""

    path: Path
    serial: int
    good: bool
    """Verify found nothing wrong in it when it was made."""


def name_of(bench: str, serial: int, made: str, digest: str, *, good: bool) -> str:
    """KD-0007-2026-03-14-1655-ABCDEFGHIJKLMNOP.db. The serial number tells the newest, whatever the clock did."""
    minute = made[:16].replace("T", "-").replace(":", "")
    return f"{bench}-{serial:04}-{minute}-{digest}{'' if good else FOUND_WRONG}.db"


def heads_beside(copy: Path) -> Path:
    return copy.with_suffix(".json")


def digest_of(copy: Path) -> str:
    """The heads' digest in a copy's name; `` where the name was changed."""
    name = _NAME.fullmatch(copy.stem.removesuffix(FOUND_WRONG))
    return name[3] if name else ""


def in_directory(directory: Path, bench: str = "") -> list[InDirectory]:
    """The copies of one bench, or of all, the oldest first. Raises Trouble when the directory cannot be read."""
    found = []
    try:
        for path in directory.iterdir():
            stem = path.stem.removesuffix(FOUND_WRONG)
            name = _NAME.fullmatch(stem)
            if path.suffix == ".db" and name and bench in ("", name[1]):
                found.append(InDirectory(path, int(name[2]), path.stem == stem))
    except OSError as error:
        raise of_file(error, directory) from error
    return sorted(found, key=lambda copy: (copy.serial, copy.path.name))


def heads_in(directory: Path, bench: str = "") -> list[KeptHeads]:
    """The heads kept with the good copies there, as far as they can be read now."""
    kept = []
    with suppress(Trouble):  # the stick is not plugged in
        for copy in in_directory(directory, bench):
            with suppress(Trouble):  # a file that nobody can read says nothing
                kept += [heads.read(heads_beside(copy.path))] if copy.good else []
    return kept


class LastGood(NamedTuple):
    """The newest copy that was proved by reading it back."""

    path: Path
    age: str
    """In words: 2 days ago, on the stick."""
    days: float
    """Below 0 where the clock went back since."""


def last_good(folder: Path, now: int) -> LastGood | None:
    """Of the journal in the data folder; `now` is the wall clock in nanoseconds since 1970. None: there is none.

    A copy on the disk of the journal itself counts only where there is no other: it goes when the disk does. One on a
    stick that is not plugged in now counts, one that somebody deleted does not.
    """
    several = [copy for copy in notes.copies(folder).values() if not _is_gone(Path(copy.path))]
    if not several:
        return None
    last = max(several, key=lambda copy: (not copy.same_disk, datetime.fromisoformat(copy.heads.made)))
    seconds = now / 1e9 - datetime.fromisoformat(last.heads.made).timestamp()
    return LastGood(Path(last.path), f"{ago(seconds, last.heads.made)}, {last.where}", seconds / _DAY)


def age(folder: Path, now: int) -> str:
    """For the bench: last copy 2 days ago, on the stick."""
    last = last_good(folder, now)
    if last is None:
        return "no copy of the record yet: plug in a stick with a folder named reassembly"
    return f"last copy {last.age}{': plug it in' if last.days > _LONG_AGO else ''}"


def due(folder: Path, now: int, digest: str) -> bool:
    """Whether a copy should be made: once a night, or when the bench is next on, and only where something was said.

    `digest` is of the heads as they are now.
    """
    elsewhere = [copy.heads for copy in notes.copies(folder).values() if not copy.same_disk]
    made = [kept.made[:10] for kept in elsewhere]
    night_before = told(now - _NIGHT * 3_600_000_000_000)[:10]
    return all(kept.digest != digest for kept in elsewhere) and night_before not in made


def second_device(folder: Path) -> Path | None:
    """Where copies go by themselves: a directory on another disk that one went to before, the last one first; else a
    directory named reassembly on a stick. None while no such disk is there."""
    known = notes.copies(folder)
    before = sorted(known, key=lambda name: known[name].heads.made, reverse=True)
    sticks = [path for root in MOUNTS for pattern in ("*/reassembly", "*/*/reassembly") for path in root.glob(pattern)]
    for directory in [*map(Path, before), *sorted(sticks)]:
        with suppress(OSError):  # a stick that does not answer
            if directory.is_dir() and os.access(directory, os.W_OK) and disk_of(directory) != disk_of(folder):
                return directory
    return None


def disk_of(path: Path) -> str:
    """The disk a path is on, whichever partition of it; where the kernel does not tell, the file system."""
    device = path.stat().st_dev
    told_by = Path(f"/sys/dev/block/{os.major(device)}:{os.minor(device)}")
    if not told_by.exists():
        return f"{device}"
    found = told_by.resolve()
    return str(found.parent if (found / "partition").exists() else found)


def _is_gone(path: Path) -> bool:
    try:
        return path.parent.is_dir() and not path.exists()
    except OSError:  # a stick that does not answer may still have it
        return False


def ago(seconds: float, made: str) -> str:
    """2 days ago"""
    if seconds < -_MINUTE:
        return f"dated {made[:10]}, later than this clock"
    for size, noun in ((_DAY, "day"), (_HOUR, "hour"), (_MINUTE, "minute")):
        if seconds >= size:
            return f"{many(int(seconds // size), noun)} ago"
    return "just now"


def where(directory: Path, *, same_disk: bool) -> str:
    """In words. Removable disks are mounted below /media or /run/media (common practice on Linux desktops)."""
    if same_disk:
        return "on the disk of the record itself"
    if directory.is_relative_to("/media") or directory.is_relative_to("/run/media"):
        return "on the stick"
    return f"in {directory}"


def minute(now: int) -> str:
    """2026-03-14 16:55"""
    return wording.minute(told(now))
