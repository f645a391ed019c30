"""Where each bag is, and whether its label was ever seen on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.entries import BagPacked, BagShelved, CheckConfirmed, LabelPrinted, LabelSeen
from reassembly.job.job import asked_again, bag_code

if TYPE_CHECKING:
    from collections.abc import Mapping

    from reassembly.job.entries import Entry
    from reassembly.job.job import Job


class Bag(NamedTuple):
    """One bag or tag as it was packed last. `copies` counts its labels: printed for it, or there before and scanned."""

    code: str
    packed: Entry[BagPacked]
    shelf: str
    copies: int
    seen: Entry[Any] | None


@asked_again
def bags(job: Job) -> Mapping[str, Bag]:
    """Every bag and tag of a job by its letters, in the order they were packed; a code packed twice is as said last.

    It was seen when its label was scanned back or looked at after it was packed and printed last, or when a check that
    asks for the bag was confirmed.
    """
    found: dict[str, Bag] = {}
    asked: dict[str, str] = {}
    for entry in job.entries:
        match entry.fact:
            case BagPacked(bag=letters, shelf=shelf):
                code = bag_code(letters)
                asked[entry.id] = code
                before = found.get(code)
                waits = shelf or (before.shelf if before else "")
                found[code] = Bag(code, entry, waits, before.copies if before else 0, None)
            case BagShelved(bag=letters, shelf=shelf) if bag_code(letters) in found:
                code = bag_code(letters)
                found[code] = found[code]._replace(shelf=shelf)
            case LabelPrinted(code=letters, copy_number=number) if bag_code(letters) in found:
                code = bag_code(letters)
                found[code] = found[code]._replace(copies=max(number, found[code].copies), seen=None)
            case LabelSeen(code=letters, scanned=scanned) if bag_code(letters) in found:
                code = bag_code(letters)
                found[code] = found[code]._replace(seen=entry, copies=max(found[code].copies, int(scanned)))
            case CheckConfirmed(check=key) if of := _asked_of(key, asked):
                found[of] = found[of]._replace(seen=entry)
    return found


def _asked_of(key: str, asked: Mapping[str, str]) -> str:
    """The letters of the bag that a check asks for, "" where it asks for none."""
    entry, dot, slug = key.partition(".bag")
    return asked.get(entry, "") if dot and slug[:1] in {"", ":"} else ""


def shelf_of(letters: str, job: Job) -> str:
    """The shelf a bag was put on last; empty where nobody said."""
    bag = bags(job).get(bag_code(letters))
    return bag.shelf if bag else ""


def never_seen(job: Job) -> tuple[Bag, ...]:
    """Bags that nobody has had in hand since they were packed or labelled, by scanner or by word."""
    return tuple(bag for bag in bags(job).values() if bag.seen is None)
