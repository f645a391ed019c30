"""What was last proved and last copied: small files beside the journal that outlive the program's run.

They say nothing that could not be found out again; without them everything is proved anew.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

import msgspec

from reassembly.record import durable
from reassembly.record.heads import KeptHeads  # noqa: TC001 - msgspec reads the types
from reassembly.record.trouble import of_file

if TYPE_CHECKING:
    from pathlib import Path

T = TypeVar("T")
VERIFIED, COPIES = "verified.json", "copies.json"


class Verified(msgspec.Struct, frozen=True, kw_only=True):
    """Up to which heads the journal was found whole, and when all of it was last read for that."""

    up_to: KeptHeads
    all_of_it: str
    """ISO 8601."""


class Copy(msgspec.Struct, frozen=True, kw_only=True):
    """The last good copy in one directory."""

    path: str
    heads: KeptHeads
    where: str
    """In words, as it was when the copy was made: on the stick."""
    same_disk: bool


def verified(folder: Path) -> Verified | None:
    return _read(folder / VERIFIED, Verified)


def note_verified(folder: Path, note: Verified) -> None:
    _write(folder / VERIFIED, note)


def copies(folder: Path) -> dict[str, Copy]:
    """By directory."""
    return _read(folder / COPIES, dict[str, Copy]) or {}


def note_copy(folder: Path, directory: Path, note: Copy) -> None:
    _write(folder / COPIES, {**copies(folder), str(directory): note})


def _read(path: Path, kind: type[T]) -> T | None:
    """None where there is no note, or one that nobody can read: it is then as if nothing was noted."""
    try:
        return msgspec.json.decode(path.read_bytes(), type=kind)
    except (FileNotFoundError, msgspec.MsgspecError):
        return None
    except OSError as error:
        raise of_file(error, path) from error


def _write(path: Path, note: object) -> None:
    try:
        durable.put(path, msgspec.json.format(msgspec.json.encode(note)))
    except OSError as error:
        raise of_file(error, path) from error
