"""The facts of one part written as the line that gives them: to type a struck slip again, to edit what is offered."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.asks import words
from reassembly.job.job import fold
from reassembly.job.wording import many

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from reassembly.job.entries import Fact


def written(facts: Iterable[Fact]) -> str:
    """A line for capture. Without a removal it begins with +, to add to the last part.

    What the line has no form for (a mark in words it does not know, say) is written in plain words all the same;
    reading the line again shows what was lost.
    """
    every = tuple(facts)
    removal = [piece for fact in every if isinstance(fact, said.PartRemoved) for piece in _removal(fact)]
    rest = pieces(every)
    return ", ".join(filter(None, [*removal, *rest])) if removal else f"+ {', '.join(rest)}"


def pieces(facts: Iterable[Fact]) -> list[str]:
    """What a line would say of these facts besides how a part came off, piece by piece."""
    every = tuple(facts)
    return [piece for fact in every for piece in _pieces(fact, every) if piece]


def _removal(fact: said.PartRemoved) -> Iterator[str]:
    yield fact.name
    yield fact.side
    yield fact.how if fact.how != "off" else ""
    yield f"of {_whole(fact.parent)}" if fact.parent else ""
    yield f"({fact.note})" if fact.note else ""


def _pieces(fact: Fact, every: tuple[Fact, ...]) -> Iterator[str]:
    match fact:
        case said.FastenersRemoved():
            yield _fasteners(fact)
            yield from (piece for spec in _torques(every, fact.fasteners) for piece in _torque(spec))
        case said.TorqueSpecified():
            sets = (each for each in every if isinstance(each, said.FastenersRemoved))
            if not any(fold(each.fasteners) == fold(fact.fasteners) for each in sets):
                yield from _torque(fact)
        case said.MarkMade():
            yield _mark(fact)
        case said.OrientationNoted():
            clock = f"{fact.clock} o'clock" if fact.clock else ""
            side = f"from {fact.seen_from}" if fact.seen_from else ""
            yield words(fact.feature, fact.faces and f"faces {fact.faces}", clock, side, between=" ")
        case said.WeightFound():
            radius = f"r {fact.radius}" if fact.radius else ""
            what = fact.what or ("" if fact.mass else "weight")
            side = f"from {fact.seen_from}" if fact.seen_from else ""
            yield words(what, fact.mass, "at", fact.position, radius, side, between=" ")
        case said.AidFitted():
            yield f"aid {_whole(words(fact.aid, fact.where, between=' '))}"
        case said.RenewalNeeded():
            count = str(fact.count) if fact.count > 1 else ""
            number = f"pn {fact.part_number}" if fact.part_number else ""
            yield words("renew", count, fact.what, number, fact.why and f"({fact.why})", between=" ")
        case said.PartStuck():
            yield words("stuck", _whole(fact.freed), fact.grease and f"grease {_whole(fact.grease)}", between=" ")
        case said.CareNoted():
            verb = {"look": "look at"}.get(fact.care, fact.care)
            yield f"{verb} {_whole(fact.what)}"


def _torques(every: tuple[Fact, ...], name: str) -> Iterator[said.TorqueSpecified]:
    return (f for f in every if isinstance(f, said.TorqueSpecified) and fold(f.fasteners) == fold(name))


def _fasteners(fact: said.FastenersRemoved) -> str:
    lengths = "/".join(fact.lengths)
    size = re.sub(r" LH$", "", fact.thread)
    left = " LH" if size != fact.thread else ""
    size = f"{words(size, lengths, between='x')}{left}"
    bolt = fact.what == "bolt" and size
    strength = f"class {fact.strength}" if fact.strength.isdigit() else fact.strength
    renew = "renew" if fact.reuse == "renew" else ""
    safety = "safety" if fact.safety_critical else ""
    count = f"{fact.count}x{size}" if bolt else words(many(fact.count, fact.what), size, between=" ")
    return words(count, strength, fact.drive, renew, safety, between=" ")


def _torque(spec: said.TorqueSpecified) -> Iterator[str]:
    stages = [s.value if s.kind in {"torque", "angle"} else words(s.kind, s.value, between=" ") for s in spec.stages]
    order = f"order {' '.join(map(str, spec.order))}" if spec.order else ""
    side = f"from {spec.seen_from}" if spec.seen_from else ""
    yield words(*stages, spec.layout, side, order, between=" ")
    yield f"source {_whole(spec.source)}" if spec.source else ""
    yield f"retorque {spec.retorque}" if spec.retorque else ""


def _mark(fact: said.MarkMade) -> str:
    tooth = ""
    if fact.marked_tooth:
        tooth = f"tooth {fact.marked_tooth}{f' of {fact.spline_teeth}' if fact.spline_teeth else ''}"
    elif fact.spline_teeth:
        tooth = f"{fact.spline_teeth} teeth"
    side = f"from {fact.seen_from}" if fact.seen_from else ""
    mark = "" if fact.mark in {"tooth marked", "teeth counted"} and not fact.to else fact.mark
    return words(mark, fact.to and f"to {fact.to}", tooth, side, between=" ")


def _whole(text: str) -> str:
    """In brackets where a comma would part it."""
    return f"({text})" if re.search(r"[,;]|\s-\s", text) else text
