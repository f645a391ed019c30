"""How a shop writes dates and decimals: a value, handed to whoever writes for people. What was typed stays as typed."""

from __future__ import annotations

import re
from typing import NamedTuple

from reassembly.job.wording import minute

# No form in which a day could be taken for a month.
DATES = {
    "2026-03-14": "{year}-{month}-{day}",
    "14.03.2026": "{day}.{month}.{year}",
    "14 Mar 2026": "{day} {name} {year}",
    "Mar 14 2026": "{name} {day} {year}",
}
DECIMALS = (".", ",")
_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
_DAY = re.compile(r"\b(\d{4})-(0[1-9]|1[0-2])-([0-3]\d)\b", re.ASCII)
_POINT = re.compile(r"(?<=\d)\.(?=\d)", re.ASCII)


class Notation(NamedTuple):
    """`dates` is one of DATES, `decimal` one of DECIMALS; anything else is written the usual way."""

    dates: str = "2026-03-14"
    decimal: str = "."

    def dated(self, text: str) -> str:
        """The text with every ISO date in it as this shop writes it. Not for what asks for a date: that is typed year
        first."""
        form = DATES.get(self.dates, DATES["2026-03-14"])
        return _DAY.sub(
            lambda day: form.format(year=day[1], month=day[2], name=_MONTHS[int(day[2]) - 1], day=day[3]), text
        )

    def minute(self, time: str) -> str:
        """An ISO time as the clock on the wall showed it."""
        return self.dated(minute(time))

    def day(self, time: str) -> str:
        """Of an ISO time the day."""
        return self.dated(time[:10])

    def computed(self, text: str) -> str:
        """A computed number, or words around some, with the decimal sign of this shop. Not for what somebody typed."""
        return _POINT.sub(self.decimal if self.decimal in DECIMALS else ".", text)


USUAL = Notation()
"""ISO 8601 and a point, as in every file that is data."""
