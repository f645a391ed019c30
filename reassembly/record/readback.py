"""What stands in the tables, read back. What could not have been kept so is damage, and raised as such."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import msgspec

from reassembly.job.entries import read
from reassembly.record.customer import read as read_customer
from reassembly.record.trouble import Damage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reassembly.job.entries import Entry
    from reassembly.record.customer import Customer


def text(value: object) -> str:
    """Raises Damage."""
    if not isinstance(value, str):
        raise Damage(f"{type(value).__name__} where text was kept")
    return value


def entry(body: object) -> Entry[Any]:
    """From the body that was kept. Raises Damage."""
    try:
        return read(body if isinstance(body, bytes) else text(body).encode())
    except (msgspec.MsgspecError, UnicodeDecodeError) as error:
        raise Damage(str(error)) from error


def customer(body: object) -> Customer:
    """The words that stand beside an entry. Raises Damage."""
    try:
        return read_customer(text(body).encode())
    except (msgspec.MsgspecError, UnicodeDecodeError) as error:
        raise Damage(str(error)) from error


def row(values: Sequence[object], *types: type) -> list[Any]:
    """A row whose columns are of these types. Raises Damage."""
    for value, expected in zip(values, types, strict=True):
        if not isinstance(value, expected):
            raise Damage(f"{type(value).__name__} where {expected.__name__} was kept")
    return list(values)
