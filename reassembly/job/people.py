"""Who is known in the workshop, and whether two names are two people."""

from __future__ import annotations

import re
from difflib import get_close_matches
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple
from unicodedata import category, normalize

from reassembly.job.entries import PersonAdded
from reassembly.job.job import unstruck

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from reassembly.job.entries import Entry

# Default_Ignorable_Code_Point of Unicode's DerivedCoreProperties.txt beyond the format characters, and blank Braille
_UNSEEN = re.compile(
    "[\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u2065\u2800\u3164\ufe00-\ufe0f\uffa0\ufff0-\ufff8"
    "\U000e0000-\U000e0fff]"
)
_NEAR = 0.5
"""From which likeness, of 0 to 1, one name may be meant for another."""
_BLANK = frozenset({"Cc", "Cf", "Zs", "Zl", "Zp"})


def name_key(text: str) -> str:
    """A name as names are compared: case, spaces, punctuation, compatibility letters and what cannot be seen do not
    matter.

    Empty for a text of which nothing can be seen; one of nothing but punctuation keeps it.
    """
    plain = _UNSEEN.sub("", normalize("NFKC", normalize("NFKC", text).casefold()))
    seen = "".join(c for c in plain if category(c) not in _BLANK)
    return normalize("NFKC", "".join(c for c in seen if not category(c).startswith("P")) or seen)


class People(NamedTuple):
    """Everybody who was added to the workshop, by short name as `name_key` has it."""

    known: Mapping[str, PersonAdded] = MappingProxyType({})
    """As said last."""
    names: Mapping[str, frozenset[str]] = MappingProxyType({})
    """Every name that a short name was ever given: whoever is renamed stays the same person."""

    @classmethod
    def of(cls, entries: Iterable[Entry[Any]]) -> People:
        """From entries of the shop; those struck out do not count."""
        known: dict[str, PersonAdded] = {}
        names: dict[str, frozenset[str]] = {}
        for entry in unstruck(entries):
            if isinstance(fact := entry.fact, PersonAdded):
                short = name_key(fact.person)
                known[short] = fact
                names[short] = names.get(short, frozenset()) | ({short, name_key(fact.name)} - {""})
        return cls(known, names)

    def find(self, name: str) -> PersonAdded | None:
        """Whoever has this short name, else this full name, else had it once; None for a name that nobody here has."""
        wanted = name_key(name)
        if not wanted:
            return None
        if wanted in self.known:
            return self.known[wanted]
        called = (p for p in self.known.values() if name_key(p.name) == wanted)
        once = (self.known[short] for short, names in self.names.items() if wanted in names)
        return next(called, None) or next(once, None)

    def near(self, name: str) -> list[str]:
        """Short names of those who are called nearly so, the nearest first: a slip may have meant one."""
        called = {key: p.person for short, p in self.known.items() for key in self.names[short]}
        return list(dict.fromkeys(called[key] for key in get_close_matches(name_key(name), called, cutoff=_NEAR)))

    def close(self, one: str, other: str) -> bool:
        """Whether two people, or names that nobody here has, are called nearly the same."""
        first, second = ([*self._names(p)] if (p := self.find(n)) else [name_key(n)] for n in (one, other))
        return any(get_close_matches(name, second, cutoff=_NEAR) for name in first)

    def another(self, one: str, other: str) -> bool:
        """Whether these are two people, both known here. Two that ever shared a name may be one who was added twice."""
        first, second = self.find(one), self.find(other)
        return first is not None and second is not None and not self._names(first) & self._names(second)

    def _names(self, person: PersonAdded) -> frozenset[str]:
        return self.names[name_key(person.person)]
