"""What this machine was told once: its label printer, the labels in it, how its scanner types, where pictures come,
how its screens look and sound.

A small file in the data folder and not in the journal: it is about the machine on the bench and not about any vehicle,
and another bench has another printer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec

from reassembly.job.notation import USUAL, Notation
from reassembly.record import durable
from reassembly.record.trouble import Trouble, of_file

if TYPE_CHECKING:
    from pathlib import Path

FILE = "machine.json"


class Settings(msgspec.Struct, frozen=True, omit_defaults=True):
    """`printer` is a CUPS queue, empty for none; `keys` is from each character that came to the one that was meant;
    `photos` is the folder watched for new pictures, empty for the usual one; `look` is the name of a theme, `bell`
    whether a refusal is heard, `dates` how 14 March 2026 is written for people, on the screens and on paper, `decimal`
    the sign in a computed number. What was typed is shown as it was typed, and data are ISO 8601 with a point."""

    printer: str = ""
    dpi: int = 203
    size: str = "62x29"
    keys: dict[str, str] = {}
    photos: str = ""
    look: str = "night"
    bell: bool = True
    dates: str = USUAL.dates
    decimal: str = USUAL.decimal

    @property
    def notation(self) -> Notation:
        return Notation(self.dates, self.decimal)


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
        again = "choose the printer again, then the settings, and scan the scanner label"
        raise Trouble(f"{path} cannot be understood: {again}.") from error


def notation(folder: Path) -> Notation:
    """How dates and decimals are written here; the usual way where the file is damaged, which the screens tell."""
    try:
        return read(folder).notation
    except Trouble:
        return USUAL


def write(folder: Path, settings: Settings) -> None:
    """Kept when this returns. Raises Trouble."""
    path = folder / FILE
    try:
        durable.put(path, msgspec.json.encode(settings))
    except OSError as error:
        raise of_file(error, path) from error
