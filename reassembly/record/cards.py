"""Cards that are scanned instead of pressing keys: which there are, and what each does."""

from typing import NamedTuple

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
NUMBERS = (
    *(Card(16 + n, str(n), str(n)) for n in (*range(1, 10), 0)),
    Card(26, "point", "POINT"),
    Card(15, "other side", "OTHER SIDE"),
    Card(27, "photo", "PHOTO"),
    Card(28, "photos", "SHOW PHOTOS"),
    Card(29, "have ready", "HAVE READY"),
)
"""The second page; the first is full."""
MORE = (
    Card(30, "together", "ALL OF THESE"),
    Card(31, "step before", "STEP BEFORE"),
    Card(32, "wrench", "WRENCH"),
    Card(33, "setting", "SETTING"),
    Card(34, "workings", "WORKINGS"),
    Card(35, "order", "BEFORE OR AFTER"),
    Card(36, "bag", "BAG"),
    Card(37, "label again", "LABEL AGAIN"),
    Card(38, "last time", "LAST TIME"),
    Card(39, "not this time", "NOT THIS TIME"),
)
PAGES = (("Refit and tightening", REFIT), ("Numbers, and drawings", NUMBERS), ("More of refit; strip-down", MORE))
TEST = Card(99, "test", "TEST LABEL")
CARDS = {card.serial: card for card in (*REFIT, *NUMBERS, *MORE, TEST)}
