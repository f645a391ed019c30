"""Entries of another journal, told again at this bench: what they say stays, their numbers and chain are made here."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import msgspec

from reassembly.job.entries import (
    AidFitted,
    CheckConfirmed,
    CustomerNamed,
    Entry,
    ExceptionAccepted,
    Fact,
    SecondCheckMade,
    SignedOff,
    StageTightened,
)
from reassembly.job.people import People, name_key

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

_NAMED = ("entry", "check", "needed", "specification", "aid")
_ENTRY = re.compile(r"([A-Za-z0-9]{1,16}\.[0-9]+)(\..*)?", re.ASCII | re.DOTALL)


def renamed(fact: Fact, told: Mapping[str, str], heads: Mapping[str, int]) -> Fact:
    """The fact with the entries it speaks of under their new ids; a sign-off covers what stands here now.

    `told` maps old entry ids to new ones; an id that is not in it stays as it is.
    """

    def new(key: str) -> str:
        found = _ENTRY.fullmatch(key)
        return told.get(found[1], found[1]) + (found[2] or "") if found else key

    changes: dict[str, Any] = {}
    if not isinstance(fact, AidFitted):  # its aid is a thing, not an entry
        changes = {name: new(getattr(fact, name)) for name in _NAMED if hasattr(fact, name)}
    if isinstance(fact, SignedOff):
        excepted, asked = (tuple(map(new, keys)) for keys in (fact.exceptions, fact.checks))
        changes = {"covers": dict(heads), "exceptions": excepted, "checks": asked}
    return msgspec.structs.replace(fact, **changes) if changes else fact


def strangers(entries: Sequence[Entry[Any]], known: People) -> list[str]:
    """Who made a second check in a signed job, had a hand in its work or accepted an exception, and is not known here:
    told anew, those checks would stand open again."""
    signed = {entry.job for entry in entries if isinstance(entry.fact, SignedOff)}
    looked_at = {entry.job for entry in entries if isinstance(entry.fact, SecondCheckMade)}
    names: dict[str, None] = {}
    for entry in entries:
        match entry.fact:
            case SecondCheckMade() | StageTightened() | CheckConfirmed() if entry.job in signed & looked_at:
                names[entry.who] = None
            case ExceptionAccepted(accepted_by=person) if entry.job in signed and known.known:
                names[person] = None
    coming = People.of(entry for entry in entries if not entry.job)
    return [name for name in names if name_key(name) and not known.find(name) and not coming.find(name)]


def tellable(entry: Entry[Any]) -> bool:
    """Whether it can be told again: a customer's words do not travel with their digest."""
    return isinstance(entry.fact, Fact) and not isinstance(entry.fact, CustomerNamed)
