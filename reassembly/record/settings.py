"""What this machine was told once: its label printer, the labels in it, how its scanner types, where pictures come.

A small file in the data folder and not in the journal: it is about the machine on the bench and not about any vehicle,
and another bench has another printer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec

from reassembly.record import durable
from reassembly.record.trouble import Trouble, of_file

if TYPE_CHECKING:
    from pathlib import Path

FILE = "machine.json"


class Settings(msgspec.Struct, frozen=True, omit_defaults=True):
    """`printer` is a CUPS queue, empty for none; `keys` is from each character that came to the one that was meant;
    `photos` is the folder watched for new pictures, empty for the usual one."""

    printer: str = ""
    dpi: int = 203
    size: str = "62x29"
    keys: dict[str, str] = {}
    photos: str = ""


def read(folder: Path) -> Settings:
    """What was told, or the usual where nobody has. Raises Trouble for a file that cannot be read."""
    path = folder / FILE
    try:
        return msgspec.json.decode(path.read_bytes(), type=Settings)
    except FileNotFoundError:
        return Settings()
    except OSError as error:
        raise of_file(error, path) from error
    except msgspec.MsgspecError as error:
        raise Trouble(f"{path} cannot be understood: choose the printer again, and scan the scanner label.") from error


def write(folder: Path, settings: Settings) -> None:
    """Kept when this returns. Raises Trouble."""
    path = folder / FILE
    try:
        durable.put(path, msgspec.json.encode(settings))
    except OSError as error:
        raise of_file(error, path) from error
