"""What an aid does while it is fitted, told from its words: it decides when the aid comes out again."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from reassembly.job.entries import AidFitted

Purpose = Literal["holds", "in the way", "not told"]

# Words of the trade: common practice, no source. Where an aid is fitted names other things, so only verbs count there.
_HOLDING = "hold(?:s|ing)?|held|ties?|tied|tying|hang(?:s|ing)?|hung|support(?:s|ed|ing)|carr(?:y|ies|ied|ying)"
_CLOSING = "clos(?:e|es|ed|ing)|plug(?:s|ged|ging)|cover(?:s|ed|ing)|stuff(?:s|ed|ing)"
_HOLDS = re.compile(
    rf"\b(?:{_HOLDING}|\w*jacks?|\w*stands?|strap\w*|wire[sd]?|rope[sd]?|cords?|string|chain(?:s|ed)?|props?|propped|support|hook\w*"
    r"|\w*clamp(?:s|ed)?|holders?|hangers?|pins?|pinned|lock(?:s|ed|ing)?|slings?|hoists?|cranes?|beams?|braces?|bungees?"
    r"|blocks?|chocks?|trestles?|doll(?:y|ies)|lifts?|lifted|carriers?|cradles?)\b"
)
_IN_THE_WAY = re.compile(
    rf"\b(?:{_CLOSING}|plug|cover|caps?|capped|rags?|cloths?|towels?|bungs?|stoppers?|lids?|wads?|paper|film|foil|gloves?"
    r"|tissues?|blanks?|blanking|bags?)\b"
)
_BEARS = re.compile(r"\b(?:\w*jacks?|\w*stands?|props?|supports?|trestles?|hoists?|cranes?)\b")
_TIES = re.compile(r"\b(?:wire[sd]?|strap\w*|ties?|ropes?|cords?|string|chains?|slings?|hook\w*|bungees?|pins?)\b")
_IT_HOLDS, _IT_CLOSES = re.compile(rf"\b(?:{_HOLDING})\b"), re.compile(rf"\b(?:{_CLOSING})\b")


def purpose(fact: AidFitted) -> Purpose:
    """Whether an aid holds something (it comes out last) or stands in the way (it comes out first).

    What it is called decides; where that says neither or both, where it is fitted. Else it is not told, and both are
    asked: a thing that falls and a plug left inside are each dangerous.
    """
    called = _either(fact.aid, _HOLDS, _IN_THE_WAY)
    return called if called != "not told" else _either(fact.where, _IT_HOLDS, _IT_CLOSES)


def bears_weight(fact: AidFitted) -> bool:
    """Whether an aid holds up the vehicle or something heavy: a jack, a stand, a prop, a support; not what is tied."""
    words = fact.aid.casefold()
    return purpose(fact) == "holds" and bool(_BEARS.search(words)) and not _TIES.search(words)


def _either(text: str, holds: re.Pattern[str], in_the_way: re.Pattern[str]) -> Purpose:
    words = text.casefold()
    one, other = bool(holds.search(words)), bool(in_the_way.search(words))
    return "not told" if one == other else "holds" if one else "in the way"
