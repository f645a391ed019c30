"""Histories of jobs for the properties: plausible strip-downs, and the odd ones that two benches can make.

A history is drawn as a list of numbers, one for each entry, so that it is fast to make and shrinks by losing
entries; what an entry says follows from its number and from the entries before it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from typing import Any

import msgspec
from hypothesis import strategies as st
from msgspec import inspect

from reassembly.job import entries as said
from reassembly.job.entries import Entry

STRIPDOWN = (
    said.PartRemoved,
    said.OrientationNoted,
    said.MarkMade,
    said.WeightFound,
    said.FastenersRemoved,
    said.TorqueSpecified,
    said.AidFitted,
    said.FluidDrained,
    said.LevelSpecified,
    said.BagPacked,
    said.PartStuck,
    said.CareNoted,
    said.RenewalNeeded,
    said.FindingNoted,
)
OFTEN = (
    *([said.PartRemoved] * 4),
    *([said.FastenersRemoved] * 4),
    *([said.TorqueSpecified] * 4),
    *([said.StageTightened] * 8),
    *([said.CheckConfirmed] * 9),
    *([said.SecondCheckMade] * 9),
    *([said.ExceptionAccepted] * 6),
    *([said.OrderSaid] * 5),
    *([said.EntryStruck] * 3),
    *([said.AidFitted, said.AidRemoved] * 2),
    *([said.FluidDrained, said.LevelSpecified, said.LevelChecked, said.CodeRead, said.RoadTested] * 2),
)
SLUGS: dict[str, tuple[str, ...]] = {
    "JobOpened": ("left", "road", "complaint"),
    "CodeRead": ("cleared", "again", "dealt"),
    "RoadTested": ("again",),
    "FindingNoted": ("again", "shut"),
    "PartRemoved": ("back", "back", "twice", "clash"),
    "OrientationNoted": ("way",),
    "MarkMade": ("mark", "tooth"),
    "WeightFound": ("weight",),
    "FastenersRemoved": ("hand", "started", "started", "started", "tight", "second"),
    "TorqueSpecified": ("stage1", "stage2", "stripe", "tight", "retorque"),
    "AidFitted": ("out", "out", "clear"),
    "FluidDrained": ("fill", "dry", "level"),
    "LevelSpecified": ("level",),
    "BagPacked": ("bag:pan", "bag:yoke", "bag:shaft", "bag"),
    "OrderSaid": ("clash",),
    "PartStuck": ("cleaned", "greased"),
    "CareNoted": ("care",),
    "RenewalNeeded": ("hand", "fitted"),
    "Unknown": ("unknown",),
}
POOLS: dict[str, tuple[Any, ...]] = {
    "aid": ("wire", "Plug", "clean rag", "gearbox jack", "gadget", "plug on a wire"),
    "where": ("", "", "holds it up", "closes the bore", "in the middle"),
    "part": ("pan", "pan", "yoke", "shaft", "filter"),
    "parts": (("pan",), ("yoke", "shaft"), ("pan", "pan"), ()),
    "parent": ("", "", "pan", "yoke", "shaft", "filter", "a part nobody took off"),
    "other": ("", "pan", "yoke", "shaft", "filter", "a part nobody took off"),
    "fluid": ("gear oil", "Gear  oil", "coolant"),
    "module": ("", "engine", "Engine "),
    "temperature": ("", "40 degC", "40 degC", "20 degC", "warm"),
    "low": ("", "35 degC", "35 degC", "50 degC"),
    "high": ("", "45 degC", "45 degC"),
    "engine": ("", "running", "running", "off"),
    "found": ("right", "right", "right", "low", "high"),
    "bag": ("BCDFGHJKLN", "PRSTVXBCDF", "bcdfg hjkln"),
    "code": ("", "P0735", "BCDFGHJKLN", "km", "4E2A0"),
    "fasteners": ("", "", "long bolts", "Long  bolts"),
    "speed": ("", "80 km/h", "60 mph", "fast", "0"),
    "distance": ("", "", "12 km", "0 km"),
    "felt": ("", "white", "two words", "not driven"),
    "frequency": ("", "42 Hz", "2520 cpm", "a hum"),
    "engine_speed": ("", "2400 rpm"),
    "gear_ratio": ("", "1.00", "0"),
    "tyre": ("", "235/60R18", "2.24 m", "winter"),
    "axle_ratio": ("", "3.73", "-1"),
    "joint_angles": ((), ("3 deg", "5"), ("95",)),
    "shaft_mass": ("", "9 kg"),
    "shaft_length": ("", "1500 mm"),
    "tube": ("", "76 mm"),
    "wall": ("", "1.65 mm", "90 mm"),
    "volume": ("", "9 l"),
    "mass": ("", "14 g"),
    "radius": ("", "45 mm"),
    "source": ("", "manual, page 3"),
    "retorque": ("", "", "after 50 km"),
    "reason": ("pen dry", "pen dry", "pen dry", " "),
    "accepted_by": ("ann", "ben", "Ben ", "carl", "Ann Baker", "milo", ""),
    "complaint": ("", "hums at 80"),
    "when": ("before", "after"),
    "safety_critical": (True, True, False),
    "count": (1, 2, 2, 3),
    "position": (None, None, 1, 2, 3),
    "stage": (1, 1, 2),
    "wrench": ("", "T3", "T9"),
    "stages": tuple(
        tuple(said.Stage(kind, value) for kind, value in several)  # type: ignore[arg-type]
        for several in (
            [("torque", "60 N.m")],
            [("torque", "60 N.m")],
            [("torque", "8 N.m"), ("angle", "90 deg")],
            [],
            [("by hand", ""), ("torque", "60 N.m")],
            [("back off", "90 deg"), ("check pass", "")],
            [("torque", "white")],
        )
    ),
    "value": ("", "", "60 N.m", "60 N.m", "62 N.m", "600 N.m", "-60 N.m", "90 deg", "94 deg", "inf N.m", "two words"),
    "setting": ("", "", "", "55 N.m", "600 N.m", "white"),
    "layout": ("", "circle"),
}
WORDS = ("", "", "white", "two words")
HOSTILE = (
    "",
    " ",
    "one\nline\x0bmore",
    "\x1b[31mred\x1b[0m",
    "[bold]",
    "{}",
    "‮left",
    "é" * 300,
    "A.1.back",
    "😀",
    "\x00",
)
CREW = (
    said.PersonAdded(person="ann", name="Ann Baker"),
    said.PersonAdded(person="ben"),
    said.PersonAdded(person="carl", name="Carl Ogden"),
)
_FIELDS = {kind: inspect.type_info(kind).fields for kind in said.kinds()}  # type: ignore[attr-defined]
numbers = st.integers(0, 2**40)


@dataclass
class History:
    """Entries as they were said at the benches, in the order in which they were said."""

    entries: list[Entry[Any]] = field(default_factory=list)

    def say(self, fact: object, who: str = "ann", bench: str = "A", later: int = 1, time: str = "") -> Entry[Any]:
        """One more entry, at least as late as the bench's last; returns it."""
        own = [e for e in self.entries if e.bench == bench]
        hlc = (own[-1].hlc if own else 0) + later
        entry = Entry(
            bench=bench, number=len(own) + 1, hlc=hlc, time=time or "2026-03-14T10:00:00+00:00", who=who, job="J",
            previous="", fact=fact,
        )  # fmt: skip
        self.entries.append(entry)
        return entry


def entries_of(*facts: object) -> list[Entry[Any]]:
    """These facts, said one after another by ann at bench KD."""
    history = History()
    for fact in facts:
        history.say(fact, bench="KD", time="2026-03-14T16:55:00+00:00")
    return history.entries


def odd(seeds: list[int], hostile: bool = False) -> list[Entry[Any]]:
    """Any fact about anything, from two benches and several people, with references that may lead nowhere."""
    history = History()
    for seed in seeds:
        chance = Random(seed)
        kind: Any = chance.choice(OFTEN) if chance.random() < 0.7 else chance.choice((*said.kinds(), said.Unknown))
        history.say(
            made(kind, chance, history.entries, hostile),
            who=chance.choice(("ann", "ann", "Ann  baker", "ben", "B en", "carl", "milo", "")),
            bench=chance.choice("AAAB"),
            later=chance.choice((1, 1, 2, 5)),
        )
    return history.entries


def made(kind: Any, chance: Random, before: list[Entry[Any]], hostile: bool = False) -> Any:
    """A fact of this kind, its fields drawn by their type."""
    if kind is said.Unknown:
        return said.Unknown(b'{"kind":"SomethingNewer"}', "no such kind")
    fact = kind(**{f.name: _value(kind, f.name, f.type, chance, before, hostile) for f in _FIELDS[kind]})
    assert said.read_fact(msgspec.json.encode(fact)) == fact  # what cannot be kept cannot be said
    return fact


def _value(kind: Any, name: str, type_: Any, chance: Random, before: list[Entry[Any]], hostile: bool) -> Any:
    low, high = 0, 4
    while isinstance(type_, inspect.Metadata):
        type_ = type_.type
    if isinstance(type_, inspect.StrType):
        if hostile and chance.random() < 0.3:
            return chance.choice(HOSTILE)
        if (kind, name) in _REFERS_TO or name in {"check", "entry"}:
            return _reference(kind, name, chance, before)
    pool = POOLS.get(name, ())
    if pool and (not isinstance(type_, inspect.StrType) or isinstance(pool[0], str)):
        return chance.choice(pool)
    match type_:
        case inspect.StrType():
            return chance.choice(WORDS)
        case inspect.IntType(ge=ge, le=le):
            low = low if ge is None else ge
            return chance.randint(low, min(low + high, le or low + high))
        case inspect.BoolType():
            return chance.random() < 0.5
        case inspect.LiteralType(values=values):
            return chance.choice(values)
        case inspect.UnionType(types=types):
            return _value(kind, name, chance.choice(types), chance, before, hostile)
        case inspect.NoneType():
            return None
        case inspect.VarTupleType(item_type=item):
            several = chance.choice((0, 1, 1, 2, 2, 3))
            return tuple(_value(kind, "", item, chance, before, hostile) for _ in range(several))
        case inspect.DictType():
            return {"A": chance.randint(0, 30)}
        case inspect.StructType(cls=cls):
            return cls(**{f.name: _value(kind, "", f.type, chance, before, hostile) for f in type_.fields})
    raise NotImplementedError(f"{kind.__name__}.{name}: {type_}")


_REFERS_TO: dict[tuple[Any, str], tuple[str, ...]] = {
    (said.AidRemoved, "aid"): ("AidFitted",),
    (said.RenewalReceived, "needed"): ("RenewalNeeded", "FastenersRemoved"),
    (said.StageTightened, "specification"): ("TorqueSpecified",),
}


def _reference(kind: Any, name: str, chance: Random, before: list[Entry[Any]]) -> str:
    wanted = _REFERS_TO.get((kind, name))
    if kind is said.SecondCheckMade:
        wanted = ("FastenersRemoved",)
    found = [e for e in before if wanted is None or type(e.fact).__name__ in wanted]
    if not found or chance.random() < 0.05:
        return chance.choice(("", "A.1", "B.7", "A.99", "A.2.back", "nothing.at.all"))
    entry = chance.choice(found)
    if name != "check":
        return entry.id
    if kind is said.SecondCheckMade and chance.random() < 0.9:
        return f"{entry.id}.second"
    return f"{entry.id}.{chance.choice(SLUGS.get(type(entry.fact).__name__, ('back',)))}"


def stripdown(seeds: list[int]) -> list[Entry[Any]]:
    """One bench takes a vehicle apart: every part once, a sub-assembly's parts after it, nothing answered yet."""
    history = History()
    history.say(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", complaint="hums at 80"))
    off: list[str] = []
    for seed in seeds:
        chance = Random(seed)
        if not off or chance.random() < 0.4:
            part = f"part {len(off) + 1}"
            how = chance.choice(("off", "off", "off", "loosened", "disconnected", "aside"))
            parent = chance.choice(off) if off and chance.random() < 0.3 else ""
            history.say(said.PartRemoved(part=part, name=part, how=how, parent=parent))  # type: ignore[arg-type]
            off.append(part)
            continue
        kind = chance.choice(STRIPDOWN[1:])
        fact = made(kind, chance, history.entries)
        if kind is said.BagPacked:
            fact = msgspec.structs.replace(fact, parts=(chance.choice(off),))
        elif hasattr(fact, "part"):
            fact = msgspec.structs.replace(fact, part=chance.choice(off))
        history.say(fact)
    return history.entries


def crew(*people: said.PersonAdded) -> tuple[Entry[Any], ...]:
    """These people as the shop said them, before anything else."""
    history = History()
    for person in people:
        history.say(person, later=0)
    return tuple(history.entries)


odd_histories = st.one_of(st.lists(numbers, max_size=10), st.lists(numbers, min_size=20, max_size=70)).map(odd)
hostile_histories = st.lists(numbers, min_size=1, max_size=50).map(lambda seeds: odd(seeds, hostile=True))
stripdowns = st.lists(numbers, min_size=1, max_size=30).map(stripdown)
