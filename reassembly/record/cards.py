"""Cards that stand for keys, badges, and the tags of wrenches and shelves: what they say, and on which paper."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from labels.code import Code, Kind, make, read
from labels.label import Label
from reassembly.job.job import bag_code
from reassembly.record.durable import give_out
from reassembly.record.trouble import Refused

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from reassembly.job.shop import Shop

BENCH = "BB"
"""The bench letters of every card: a card printed anywhere works everywhere."""


class Card(NamedTuple):
    """What a card does. `serial` is on paper in the field: never changed, never used again for another `name`."""

    serial: int
    name: str
    word: str


REFIT = (
    Card(0, "confirm", "CONFIRM"),
    Card(4, "not now", "NOT NOW"),
    Card(5, "because", "NOT NOW, BECAUSE"),
    Card(1, "next", "NEXT"),
    Card(2, "back", "BACK"),
    Card(3, "undo", "UNDO"),
    Card(7, "tighten", "TIGHTEN"),
    Card(8, "tight", "TIGHT"),
    Card(9, "whole stage", "WHOLE STAGE"),
    Card(6, "second", "SECOND CHECK"),
    Card(10, "exception", "EXCEPTION"),
    Card(14, "measured", "MEASURED"),
    Card(12, "next step", "NEXT STEP"),
    Card(13, "all steps", "ALL STEPS"),
    Card(11, "leave", "LEAVE"),
)
NUMBERS = (*(Card(16 + n, str(n), str(n)) for n in (*range(1, 10), 0)), Card(26, "point", "POINT"))
TEST = Card(99, "test", "TEST LABEL")
CARDS = {card.serial: card for card in (*REFIT, *NUMBERS, TEST)}


def code_of(card: Card) -> str:
    """The ten letters on a card."""
    return make(Kind.ACTION, BENCH, card.serial)


def card_of(code: str) -> Card | None:
    """The card with these letters; None for one of a newer version, or of another kind."""
    found = read(code)
    if not isinstance(found, Code) or found.kind is not Kind.ACTION or found.bench != BENCH:
        return None
    return CARDS.get(found.serial)


def strip() -> list[Label]:
    """Every card as a label, to be stuck where hands are."""
    return [Label(code_of(card), card.word, heading="scan it instead of the key") for card in (*REFIT, *NUMBERS)]


def test_label(day: str) -> Label:
    """A label for looking at a new roll with; scanning it answers."""
    lines = ("Words sharp? White all round?", "Rub it with oil, wipe it, scan it again.")
    return Label(code_of(TEST), TEST.word, heading=f"printed {day}", lines=lines)


def badges(shop: Shop) -> list[Label]:
    """A label for each person, wrench and shelf that has a code of ours."""
    people = [(p.badge, p.person, p.name, "badge") for p in shop.people.values()]
    rack = [(w.added.tag, w.added.wrench, f"{w.added.low} to {w.added.high}", "wrench") for w in shop.rack.values()]
    shelves = [(s.label, s.shelf, "", "shelf") for s in shop.shelves.values()]
    return [badge(*each) for each in (*people, *rack, *shelves) if isinstance(read(each[0]), Code)]


def badge(code: str, name: str, told: str, what: str) -> Label:
    """One of them."""
    return Label(bag_code(code), name, heading=what, lines=(told,) if told else ())


def write_cards(path: Path, when: datetime) -> None:
    """A6 pages: one card for refit, one for numbers. Raises Trouble."""
    from labels.card import Card as Page
    from labels.card import cards

    pages = [
        Page(title, [(code_of(card), card.word) for card in several])
        for title, several in (("Refit and tightening", REFIT), ("Numbers", NUMBERS))
    ]
    give_out(path, cards(pages, when))


def write_sheet_of(labels: list[Label], path: Path, size: str, when: datetime) -> None:
    """Any labels on A4 pages for an office printer. Raises Trouble."""
    from labels.picture import SIZES
    from labels.sheet import sheet

    if not labels:
        raise Refused("Nobody has a badge and no wrench a tag: l on the workshop screen makes one.")
    give_out(path, sheet(labels, SIZES[size], "cards and badges", when))
