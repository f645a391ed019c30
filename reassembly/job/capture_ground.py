"""What the job and the shop know already that a typed line may speak of: parts, their fasteners, the spec book."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job import job as standing
from reassembly.job.doubt import unit_of
from reassembly.job.entries import (
    BagPacked,
    Entry,
    Fact,
    FastenersRemoved,
    JobOpened,
    PartRemoved,
    SpecNoted,
    TorqueSpecified,
)
from reassembly.job.job import Job, fold

if TYPE_CHECKING:
    from reassembly.job.shop import Shop


class Part(NamedTuple):
    """A part by its id, as it is called, with the facts said of it."""

    id: str
    name: str
    facts: tuple[Fact, ...]

    @property
    def sets(self) -> tuple[FastenersRemoved, ...]:
        """Each fastener set as it was said last."""
        return tuple({fold(f.fasteners): f for f in self.facts if isinstance(f, FastenersRemoved)}.values())

    @property
    def specifications(self) -> tuple[TorqueSpecified, ...]:
        return tuple({fold(f.fasteners): f for f in self.facts if isinstance(f, TorqueSpecified)}.values())


class Ground(NamedTuple):
    """Read once for a line, in one pass over the job."""

    vehicle: str
    torque_unit: str
    about: dict[str, list[Entry[Any]]]  # entries of each part, by its id
    off: dict[str, Entry[PartRemoved]]  # how each part came off last, by its id, the last one at the end
    one_of_each: tuple[Entry[Any], ...]
    specs: tuple[SpecNoted, ...]

    @classmethod
    def of(cls, job: Job, shop: Shop) -> Ground:
        about: dict[str, list[Entry[Any]]] = {}
        off: dict[str, Entry[PartRemoved]] = {}
        bags: list[Entry[Any]] = []
        opened: list[Entry[Any]] = []
        for entry in job.entries:
            part = getattr(entry.fact, "part", "")
            if part:
                about.setdefault(part, []).append(entry)
            match entry.fact:
                case PartRemoved() if part:
                    off.pop(part, None)
                    off[part] = entry
                case BagPacked():
                    bags.append(entry)
                case JobOpened():
                    opened.append(entry)
        vehicle = Job(tuple(opened))
        return cls(
            vehicle=vehicle.opened.vehicle,
            torque_unit=unit_of("torque", vehicle),
            about=about,
            off=off,
            one_of_each=(*(entries[0] for entries in about.values()), *bags),
            specs=tuple(entry.fact for entry in shop.specs),
        )

    def part(self, part: str) -> Part:
        return Part(part, self._name(part), tuple(entry.fact for entry in self.about[part]))

    def _name(self, part: str) -> str:
        return standing.Part(part, (self.off[part],), ()).name

    def names(self) -> list[str]:
        """What every part that is off is called, the latest first."""
        return [self._name(part) for part in reversed(self.off)]

    @property
    def latest(self) -> Part | None:
        return self.part(next(reversed(self.off))) if self.off else None

    def removal(self, part: str) -> tuple[PartRemoved, ...]:
        return (self.off[part].fact,) if part in self.off else ()

    def in_list(self, name: str) -> bool:
        """Whether a part is off that is called exactly so, its side included."""
        plain = fold(name)
        begins = plain[:1]
        return any(
            fold(self._name(part)) == plain
            for part, entry in self.off.items()
            if entry.fact.name[:1].casefold() == begins and len(entry.fact.name) <= len(name)
        )

    def called(self, name: str) -> list[Part]:
        """The parts that are off and are called so; where none is, those with all of its words in their name."""
        names = {part: fold(self._name(part)) for part in self.off}
        plain = fold(name)
        exact = [part for part, called in names.items() if plain in {called, fold(part)}]
        words = _words(plain)
        found = exact or [part for part, called in names.items() if words and words <= _words(called)]
        return [self.part(part) for part in found]

    def meant(self, name: str) -> tuple[list[Part], bool]:
        """The parts that are off and may be meant by a name on which the order of refit hangs, and whether it is their
        whole name: so many words in any order, a side before or after. Otherwise those whose names begin so."""
        names = {part: fold(self._name(part)) for part in self.off}
        plain = fold(name)
        exact = [part for part, called in names.items() if plain in {called, fold(part)}]
        whole = exact or [part for part, called in names.items() if sorted(_split(plain)) == sorted(_split(called))]
        found = whole or [part for part, called in names.items() if plain and called.startswith(plain)]
        return [self.part(part) for part in found], bool(whole)

    def last_with(self, kind: type[Fact]) -> Part | None:
        """The part for which such a fact was said last."""
        latest: dict[str, tuple[int, str, int]] = {
            part: entry.order for part in self.off for entry in self.about[part] if isinstance(entry.fact, kind)
        }
        return self.part(max(latest, key=lambda part: latest[part])) if latest else None

    def in_spec_book(self, name: str) -> list[SpecNoted]:
        """What the spec book has for this vehicle and joint: by its name, else by all words of one in the other."""
        here = [spec for spec in self.specs if fold(spec.vehicle) == fold(self.vehicle)]
        exact = [spec for spec in here if fold(spec.joint) == fold(name)]
        words = _words(name)
        return exact or [s for s in here if words <= _words(s.joint) or _words(s.joint) <= words]


def _words(name: str) -> set[str]:
    return set(_split(name))


def _split(name: str) -> list[str]:
    return fold(name).replace(",", " ").split()
