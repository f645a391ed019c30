"""Whether a road test after the work was driven, and is the one before again: at the speed or over the distance said
then."""

from __future__ import annotations

import re
from contextlib import suppress
from typing import TYPE_CHECKING

from reassembly.job.entries import CheckConfirmed, RoadTested
from reassembly.job.trade_words import trade_words

if TYPE_CHECKING:
    from reassembly.job.job import Job

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_SPEED = re.compile(
    r"(?<![\d.,])(\d{2,3})(?![\d.,]*\d)\s*(km/h|kmh|kph|mph)?"
    r"(?!\s*(?:rpm|hz|cpm|km\b|miles?\b|mi\b|deg|°|%|min|sec|mm|cm|m\b|l\b|nm|n\.m))",
    re.IGNORECASE,
)
_NOT_DRIVEN = re.compile(
    r"\b(?:(?:not|never|\w+n['’]t|cannot|could\s+not)\s+(?:(?:yet|been|be|taken|out)\s+)*"
    r"(?:driven|drove|road[\s-]*test(?:ed)?|test[\s-]*driven)|(?:no|without\s+an?|skipped\s+the)\s+(?:road\s*test|test\s*drive)"
    r"|undriven)\b(?!\s+(?:over|above|beyond|past|faster|further|farther|hard|uphill|at|in|with|on)\b)",
    re.IGNORECASE,
)
_ZERO = re.compile(r"\s*0+(?:[.,]0*)?(?![\d.,])")
_STILL = re.compile(r"\b(?:still|same|unchanged|came\s+back|comes\s+back|as\s+before)\b", re.IGNORECASE)
_AS_FAST = 0.9
"""Of the speed before: what a driver can hold beside traffic. Common practice, no source."""


def not_driven(told: object) -> bool:
    """Whether what was told of a road test says that there was none: no distance, no speed, or in words."""
    match told:
        case RoadTested():
            stood = any(_ZERO.match(measured) for measured in (told.distance, told.speed))
            return stood or _NOT_DRIVEN.search(told.felt) is not None
        case CheckConfirmed():
            return _NOT_DRIVEN.search(f"{told.value} {told.note}") is not None
    return False


def last_drive(job: Job) -> RoadTested:
    """The last road test after the work; an empty one where there was none."""
    driven = [e.fact for e in job.said(RoadTested) if e.fact.when == "after"]
    return driven[-1] if driven else RoadTested()


def may_be_there_still(complaint: str, driven: RoadTested) -> bool:
    """Whether what was felt after the work speaks of the complaint again and does not say that it is gone."""
    again = trade_words(complaint).keys() & trade_words(driven.felt).keys()
    return driven.outcome != "gone" and bool(again or _STILL.search(driven.felt))


def not_the_same(asked: object, driven: object) -> str:
    """The conditions before, `12 km at 80 km/h` or the words of what was felt, where the road test after the work does
    not say that it met them. Empty where it does, where none were said, and where somebody says it was the same."""
    if not (isinstance(asked, RoadTested) and isinstance(driven, RoadTested)):
        return ""
    at, over = asked.speed.strip(), asked.distance.strip()
    told = " at ".join(filter(None, (over, at))) if at or over else ""
    felt = asked.felt.strip() if _NUMBER.search(asked.felt) else ""
    if driven.as_before or not (told or felt):
        return ""
    before = [at] if at else _speeds(felt)
    after = [*filter(None, (driven.speed.strip(),)), *_speeds(driven.felt)]
    if before:
        met = any(_as_fast(one, other) for one in after for other in before)
    else:
        numbers = set(_NUMBER.findall(felt))
        measured = driven.distance.strip() or after or driven.engine_speed.strip() or driven.gear_ratio.strip()
        met = bool(measured) or bool(numbers and numbers <= set(_NUMBER.findall(driven.felt)))
    return "" if met else told if at or not felt else ", ".join(filter(None, (felt, told)))


def _speeds(words: str) -> list[str]:
    """`60 mph` and `60` in what was felt; not the numbers that stand before another unit."""
    return [" ".join(filter(None, found)) for found in _SPEED.findall(words)]


def _as_fast(driven: str, before: str) -> bool:
    """Whether one speed comes near the other. A bare number is in the unit of the other, two of them in the same; what
    cannot be read passes."""
    from reassembly.trade.quantity import read, value

    with suppress(ValueError):
        told = [read(each, "speed", "km/h") for each in (before, driven)]
        unit = next((each.unit for each in told if not each.assumed), "km/h")
        fast, enough = (value(read(each, "speed", unit).quantity, "km/h") for each in (driven, before))
        return fast >= _AS_FAST * enough
    return True
