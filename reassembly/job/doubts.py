"""Why a fact about to be said deserves a second look. Advice to a screen: it guards nothing behind it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import msgspec

from reassembly.job import doubts_of_closing, doubts_of_refit, doubts_of_stripdown, doubts_of_tightening
from reassembly.job.doubt import Doubt, Seen, doubtful, refuse
from reassembly.job.entries import BagPacked, Fact, PartRemoved, Stage
from reassembly.job.fields import field, fields
from reassembly.job.job import parts

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from reassembly.job.job import Job, Part
    from reassembly.job.shop import Shop

RULES = (doubts_of_stripdown, doubts_of_tightening, doubts_of_refit, doubts_of_closing)
"""The modules whose rules are registered by being imported."""

LONGEST = 2000
_PARTS = ("part", "parent", "other")


def doubts(
    fact: Fact, job: Job, shop: Shop, *, who: str = "", today: str = "", every: Mapping[str, Part] | None = None
) -> list[Doubt]:
    """Everything doubtful about a fact, what refuses it first.

    `who` is speaking and `today` (ISO date) is the day; rules that need them are silent without. `every` are the parts
    of the job, where they are known already. Never raises, whatever the job or the fact holds.
    """
    seen = Seen(job, shop, parts(job) if every is None else every, who, today)
    plain = [*_beyond_the_format(fact), *_blank(fact), *too_long_in(fact), *_unknown_parts(fact, seen)]
    # Rules of a kind may count on what the format promises.
    found = plain if any(d.refuses for d in plain) else [*plain, *doubtful(fact, seen)]
    return sorted(dict.fromkeys(found), key=lambda doubt: not doubt.refuses)


def _beyond_the_format(fact: Fact) -> Iterator[Doubt]:
    """What would be unreadable once kept: a count beyond its range, a word outside its list."""
    try:
        msgspec.convert(msgspec.to_builtins(fact), type(fact))
    except msgspec.ValidationError as error:
        named = re.search(r"\$\.(\w+)", str(error))
        known = {each.name for each in fields(type(fact))}
        if named and named[1] in known:
            meant = field(type(fact), named[1])
            yield refuse(meant.name, f"{meant.title} has to be {meant.type}")
        else:
            yield refuse("", str(error))


def _blank(fact: Fact) -> Iterator[Doubt]:
    for each in fields(type(fact)):
        text = getattr(fact, each.name)
        if each.required and isinstance(text, str) and not _seen(text):
            example = f": {each.description}" if each.description else ""
            yield refuse(each.name, f"{each.title} is empty{example}")


def _seen(text: str) -> str:
    return "".join(sign for sign in text if sign.isprintable()).strip()


def too_long_in(fact: Fact) -> Iterator[Doubt]:
    """Refused for each field in which something is longer than anybody reads."""
    for each in fields(type(fact)):
        yield from too_long(each.name, each.title, _texts(getattr(fact, each.name)))


def too_long(field: str, title: str, texts: Iterable[str]) -> Iterator[Doubt]:
    """Refused where one of what is said in a field is longer than anybody reads."""
    longest = max(map(len, texts), default=0)
    if longest > LONGEST:
        yield refuse(field, f"{title} has {longest:,} characters, at most {LONGEST:,} are kept: say it shorter")


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Stage):
        yield value.value
    elif isinstance(value, tuple | dict):
        for each in value:
            yield from _texts(each)


def _unknown_parts(fact: Fact, seen: Seen) -> Iterator[Doubt]:
    named = [(name, part) for name in _PARTS if isinstance(part := getattr(fact, name, ""), str) and part]
    if isinstance(fact, BagPacked):
        named += [("parts", part) for part in fact.parts]
    for name, part in named:
        new = isinstance(fact, PartRemoved) and name == "part"
        if not new and part not in seen.parts:
            yield refuse(name, f"no part called {part} in this job: record the part first, or look at the spelling")
