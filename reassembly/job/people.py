"""Who is known in the workshop, and whether two names are two people."""

from __future__ import annotations

import re
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, NamedTuple
from unicodedata import category, normalize

from reassembly.job.entries import PersonAdded
from reassembly.job.job import unstruck

if TYPE_CHECKING:
    from collections.abc import Iterable

    from reassembly.job.entries import Entry

# Default_Ignorable_Code_Point of Unicode's DerivedCoreProperties.txt beyond the format characters, and blank Braille
_UNSEEN = re.compile(
    "[\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u2065\u2800\u3164\ufe00-\ufe0f\uffa0\ufff0-\ufff8"
    "\U000e0000-\U000e0fff]"
)
_BLANK = frozenset({"Cc", "Cf", "Zs", "Zl", "Zp"})


def name_key(text: str) -> str:
    """A name as names are compared: case, spaces, compatibility letters and what cannot be seen do not matter.

    Empty for a text of which nothing can be seen.
    """
    plain = _UNSEEN.sub("", normalize("NFKC", normalize("NFKC", text).casefold()))
    return normalize("NFKC", "".join(c for c in plain if category(c) not in _BLANK))


class People(NamedTuple):
    """Everybody who was added to the workshop, each as said last."""

    known: tuple[PersonAdded, ...] = ()

    @classmethod
    def of(cls, entries: Iterable[Entry[Any]]) -> People:
        """From entries of the shop; those struck out do not count."""
        added = (e.fact for e in unstruck(entries) if isinstance(e.fact, PersonAdded))
        return cls(tuple({name_key(fact.person): fact for fact in added}.values()))

    def find(self, name: str) -> PersonAdded | None:
        """Whoever has this short name, else this full name; None for a name that nobody here has."""
        wanted = name_key(name)
        if not wanted:
            return None
        short = (p for p in self.known if name_key(p.person) == wanted)
        return next(short, None) or next((p for p in self.known if name_key(p.name) == wanted), None)

    def near(self, name: str) -> list[str]:
        """Short names of those who are called nearly so, the nearest first: a slip may have meant one."""
        called = {key: p.person for p in self.known for key in _names(p)}
        return list(dict.fromkeys(called[key] for key in get_close_matches(name_key(name), called, cutoff=0.5)))

    def another(self, one: str, other: str) -> bool:
        """Whether these are two people, both known here. Two that share a name may be one who was added twice."""
        first, second = self.find(one), self.find(other)
        return first is not None and second is not None and not _names(first) & _names(second)


def _names(person: PersonAdded) -> set[str]:
    return {name_key(person.person), name_key(person.name)} - {""}
