"""The facts of one line in the making: which bolts a class belongs to, which torque goes with which bolts."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

import msgspec

from reassembly.job import capture_meanings as m
from reassembly.job import entries as said
from reassembly.job.capture_bolts import Bolts, fasteners_of, set_names, torque_of
from reassembly.job.job import fold

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.capture_ground import Ground, Part
    from reassembly.job.entries import Fact

MOST_PARTS = 20
MOST_NAMES = 6
_KINDS = (
    said.FastenersRemoved, said.TorqueSpecified, said.MarkMade, said.OrientationNoted, said.WeightFound,
    said.AidFitted, said.RenewalNeeded, said.PartStuck, said.CareNoted,
)  # fmt: skip
_FIELDS: dict[type, str] = {
    m.Layout: "layout", m.SeenFrom: "seen_from", m.Order: "order", m.Source: "source", m.Retorque: "retorque",
}  # fmt: skip


class Draft:
    """Takes the pieces of a line one after another; what does not go with the others is said back."""

    def __init__(self, name: str, adds_to: Part | None, ground: Ground) -> None:
        self.name = name
        self.adds_to = adds_to
        self.ground = ground
        self.not_understood: list[str] = []
        self.asks: list[str] = []
        self.parent = self.note = ""
        self.hows: list[m.HowOff] = []
        self.sides: tuple[str, ...] = ()
        self.times = 0
        self.sets: list[Bolts] = []
        self.ready: list[tuple[Fact, str]] = []
        self.tooth: tuple[m.Tooth, str] | None = None

    @property
    def how(self) -> m.HowOff:
        return self.hows[0] if self.hows else "off"

    def called(self) -> Iterator[tuple[str, str]]:
        """Name and side of every part the line is about."""
        names = [f"{self.name} {number}" for number in range(1, self.times + 1)] if self.times else [self.name]
        return product(names, self.sides or ("",))

    def refuse(self, text: str, why: str = "") -> None:
        self.not_understood.append(f"{text}: {why or 'not understood'}")

    def take(self, item: m.Item) -> None:
        text, means = item
        match means:
            case m.Unread(why):
                self.refuse(text, why)
            case m.How() | m.Sides() | m.Of() | m.Note() if self.adds_to:
                self.refuse(text, "that belongs to the part: strike its line out and type it again")
            case m.How(how):
                if self.hows and how not in self.hows:
                    self.refuse(text, f"{self.hows[0]} or {how}? Say one")
                self.hows.append(how)
            case m.Sides(sides):
                if self.sides and sides != self.sides:
                    self.refuse(text, f"{' and '.join(self.sides)}, or {' and '.join(sides)}? Say one")
                else:
                    self.sides = sides
            case m.Times(count):
                self._times(text, count)
            case m.Of(parent):
                self._of(text, parent)
            case m.Note(note):
                self.note = f"{self.note}; {note}" if self.note else note
            case m.Said(fact):
                self.ready.append((fact, text))
            case m.Tooth():
                if self.tooth:
                    self.refuse(text, "one tooth is marked already")
                else:
                    self.tooth = means, text
            case m.SeenFrom(side) if self.tooth and not self.tooth[0].seen_from and not self._has_layout:
                self.tooth = self.tooth[0]._replace(seen_from=side), f"{self.tooth[1]} {text}"
            case m.Same():
                self._same(text, means)
            case (
                m.Tighten()
                | m.Layout()
                | m.SeenFrom()
                | m.Order()
                | m.Source()
                | m.Page()
                | m.Retorque()
                | m.FromBook()
            ):
                self._torque(text, means)
            case _:
                self._fasteners(text, means)

    @property
    def _has_layout(self) -> bool:
        """Whether a side that is typed now may be the one its positions are counted from."""
        return any(bolts.layout and not bolts.seen_from for bolts in self.sets)

    def _times(self, text: str, count: int) -> None:
        size = self.sets[-1].size if self.sets else None
        if size and size.number is None:
            self.sets[-1].size = size._replace(number=count)
            self.sets[-1].texts.append(text)
        elif self.sets or self.adds_to or self.times:
            self.refuse(text, f"{count} of what? Type 4 x M10 for fasteners, hose clip x3 for several parts")
        elif not 2 <= count <= MOST_PARTS:
            self.refuse(text, f"from 2 to {MOST_PARTS} parts of one kind go into one line")
        else:
            self.times = count

    def _of(self, text: str, parent: str) -> None:
        found, whole = self.ground.meant(parent)
        if self.parent:
            self.refuse(text, "it was taken off one part only: say one")
        elif len(found) == 1:
            self.parent = found[0].id
            if not whole:
                self.asks.append(f"{text}: {found[0].name}? Enter again says so")
        elif found:
            self.refuse(text, f"which one, {', or '.join(part.name for part in found[:4])}?")
        else:
            self.refuse(text, f"no such part; parts are {_some(self.ground.names())}")

    def _bolts(self) -> Bolts:
        if not self.sets:
            self.sets.append(Bolts())
        return self.sets[-1]

    def _fasteners(self, text: str, means: m.Meaning) -> None:
        if isinstance(means, m.Fasteners):
            self._size(text, means)
            return
        bolts = self._bolts()
        match means:
            case m.Strength(strength) if bolts.strength in {"", strength}:
                bolts.strength = strength
            case m.Drive(drive) if bolts.drive in {"", drive}:
                bolts.drive = drive
            case m.Renewed():
                bolts.renew = True
            case m.SafetyCritical():
                bolts.safety = True
            case m.LengthAt():
                bolts.odd.append(means)
            case _:
                self.refuse(text, f"{bolts.strength or bolts.drive}, or {text}? Say one for each kind of fastener")
                return
        bolts.texts.append(text)

    def _size(self, text: str, size: m.Fasteners) -> None:
        bolts = self._bolts()
        before = bolts.size
        if before and not before.thread and size.thread and size.number is None:
            size = size._replace(number=before.number, what=size.what or before.what)
        elif bolts.known:
            bolts = Bolts()
            self.sets.append(bolts)
        bolts.size = size
        bolts.texts.append(text)

    def _torque(self, text: str, means: m.Meaning) -> None:
        bolts = self._bolts()
        match means:
            case m.Tighten(stages):
                bolts.stages.append(stages)
            case m.FromBook():
                if not self._book(bolts, text):
                    return
            case m.Page(page):
                bolts.pages.append(page)
            case m.Layout(value) | m.SeenFrom(value) | m.Order(value) | m.Source(value) | m.Retorque(value):
                name = _FIELDS[type(means)]
                if getattr(bolts, name) not in {value, "", ()}:
                    self.refuse(text, "another one is typed already: say one")
                    return
                setattr(bolts, name, value)
        bolts.torque_texts.append(text)

    def _book(self, bolts: Bolts, text: str) -> bool:
        name = self.adds_to.name if self.adds_to else self.name
        found = self.ground.in_spec_book(name)
        if len(found) == 1:
            bolts.ready = _values(found[0])
            return True
        joints = ", or ".join(spec.joint for spec in found[:4])
        vehicle = self.ground.vehicle or "this vehicle"
        self.refuse(text, f"which one, {joints}?" if found else f"the spec book has nothing for {name} of {vehicle}")
        return False

    def _same(self, text: str, same: m.Same) -> None:
        kind = said.FastenersRemoved if same.bolts else said.TorqueSpecified
        if same.of:
            found = [part for part in self.ground.called(same.of) if any(isinstance(f, kind) for f in part.facts)]
        else:
            last = self.ground.last_with(kind)
            found = [last] if last else []
        if len(found) != 1:
            which = ", or ".join(part.name for part in found[:4])
            self.refuse(text, f"which one, {which}?" if found else "no part has any to take them from")
            return
        specs = {fold(spec.fasteners): spec for spec in found[0].specifications}
        if same.bolts:
            if self.sets and self.sets[-1].known:
                self.refuse(text, "other fasteners are typed already")
                return
            for number, each in enumerate(found[0].sets):
                bolts = self._bolts() if not number else Bolts()
                bolts.copied = each
                bolts.texts.append(text)
                spec = specs.get(fold(each.fasteners)) if same.torque else None
                bolts.ready = _values(spec) if spec else None
                if number:
                    self.sets.append(bolts)
        elif len(specs) == 1:
            bolts = self._bolts()
            bolts.ready = _values(*specs.values())
            bolts.torque_texts.append(text)
        else:
            self.refuse(text, f"{found[0].name} has several: type same bolts and torque")

    def facts(self) -> list[tuple[Fact, str]]:
        """Everything said of the part, each with the pieces it was typed as; the part is still empty."""
        made = [*self.ready]
        recorded = [each.fasteners for each in self.adds_to.sets] if self.adds_to else []
        specified = [each.fasteners for each in self.adds_to.specifications] if self.adds_to else []
        names = iter(set_names([bolts for bolts in self.sets if bolts.known], recorded))
        for bolts in self.sets:
            name = next(names) if bolts.known else self._set_meant()
            fasteners = fasteners_of(bolts, name, self.refuse)
            if fasteners:
                made.append((fasteners, " ".join(dict.fromkeys(bolts.texts))))
            torque = torque_of(bolts, name, self.ground.torque_unit, self.refuse)
            if torque and name in specified:
                self.refuse(
                    " ".join(bolts.torque_texts or bolts.texts), "a torque is recorded already: strike it out first"
                )
            elif torque:
                made.append((torque, " ".join(bolts.torque_texts or bolts.texts)))
        if self.tooth:
            made = self._with_tooth(made, *self.tooth)
        return sorted(made, key=lambda each: _KINDS.index(type(each[0])))

    def _set_meant(self) -> str:
        """Which set of a part that is off already a torque is for: the last one."""
        sets = self.adds_to.sets if self.adds_to else ()
        return sets[-1].fasteners if sets else ""

    @staticmethod
    def _with_tooth(made: list[tuple[Fact, str]], tooth: m.Tooth, text: str) -> list[tuple[Fact, str]]:
        """The tooth belongs to the first mark that is typed; without one it is a mark of its own."""
        marks = [number for number, (fact, _) in enumerate(made) if isinstance(fact, said.MarkMade)]
        if not marks:
            mark = said.MarkMade(part="", mark="tooth marked" if tooth.tooth else "teeth counted")
            made, marks = [*made, (mark, "")], [len(made)]
        fact, typed = made[marks[0]]
        made[marks[0]] = (
            msgspec.structs.replace(
                fact, spline_teeth=tooth.teeth, marked_tooth=tooth.tooth, seen_from=tooth.seen_from
            ),
            f"{typed} {text}".strip(),
        )
        return made


def _values(spec: said.TorqueSpecified | said.SpecNoted) -> said.TorqueSpecified:
    """What is true of another part as well. Positions, their order and the side they are counted from are not."""
    return said.TorqueSpecified(part="", stages=spec.stages, source=spec.source)


def _some(names: list[str]) -> str:
    more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    return f"{'; '.join(names[:MOST_NAMES])}{more}" if names else "still all on: take it off first"
