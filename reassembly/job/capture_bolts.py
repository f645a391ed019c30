"""One fastener set and its torque in the making: which pieces of a line are about it, and the facts they come to."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import msgspec

from reassembly.job import capture_meanings as m
from reassembly.job import entries as said
from reassembly.job.job import fold
from reassembly.trade.stages import read_stages

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence

    Refuse = Callable[[str, str], None]


@dataclass
class Bolts:
    """One fastener set and the torque that goes with it, as far as they are typed; `texts` are the pieces."""

    size: m.Fasteners | None = None
    copied: said.FastenersRemoved | None = None
    strength: str = ""
    drive: str = ""
    renew: bool = False
    safety: bool = False
    odd: list[m.LengthAt] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)
    stages: list[str] = field(default_factory=list)
    ready: said.TorqueSpecified | None = None
    layout: str = ""
    seen_from: str = ""
    order: tuple[int, ...] = ()
    source: str = ""
    pages: list[str] = field(default_factory=list)
    retorque: str = ""
    torque_texts: list[str] = field(default_factory=list)

    @property
    def known(self) -> bool:
        return self.size is not None or self.copied is not None


def fasteners_of(bolts: Bolts, name: str, refuse: Refuse) -> said.FastenersRemoved | None:
    text = " ".join(bolts.texts)
    if not bolts.known:
        if text:
            refuse(text, "of which fasteners? Type them first: 4 x M10x35 10.9")
        return None
    if bolts.size and bolts.size.number is None:
        refuse(text, f"how many? Type 4 x {bolts.size.thread}")
        return None
    made = bolts.copied or said.FastenersRemoved(part="", count=1)
    if bolts.size and bolts.size.number is not None:
        size = bolts.size
        made = said.FastenersRemoved(
            part="", count=bolts.size.number, what=size.what or "bolt", thread=size.thread, lengths=size.lengths
        )
    return msgspec.structs.replace(
        made,
        note="",
        fasteners=name,
        lengths=_lengths(made, bolts, refuse),
        strength=bolts.strength or made.strength,
        drive=bolts.drive or made.drive,
        reuse="renew" if bolts.renew else made.reuse,
        safety_critical=bolts.safety or made.safety_critical,
    )


def _lengths(made: said.FastenersRemoved, bolts: Bolts, refuse: Refuse) -> tuple[str, ...]:
    """One for all, or one for each position where some differ."""
    lengths = list(made.lengths)
    for odd in bolts.odd:
        wrong = [position for position in odd.positions if not 1 <= position <= made.count]
        if wrong or len(lengths) not in {1, made.count}:
            why = f"there is no position {wrong[0]} of {made.count}" if wrong else "type the length of the others first"
            refuse(f"{odd.length} at {' '.join(map(str, odd.positions))}", why)
            continue
        lengths = lengths * made.count if len(lengths) == 1 else lengths
        for position in odd.positions:
            lengths[position - 1] = odd.length
    return tuple(lengths)


def torque_of(bolts: Bolts, name: str, torque_unit: str, refuse: Refuse) -> said.TorqueSpecified | None:
    text = " ".join(bolts.torque_texts)
    if not (bolts.ready or text):
        return None
    if not (bolts.ready or bolts.stages):
        refuse(text, "for which torque? Type it too: 60 Nm")
        return None
    if bolts.ready and bolts.stages:
        refuse(", ".join(bolts.stages), "typed, or as elsewhere? Say one")
    made = bolts.ready or said.TorqueSpecified(part="", stages=())
    if not bolts.ready:
        try:
            read = read_stages(", ".join(bolts.stages), torque_unit)
        except ValueError as error:
            refuse(text, str(error))
            return None
        made = said.TorqueSpecified(part="", stages=tuple(said.Stage(stage.kind, stage.value) for stage in read))
    return msgspec.structs.replace(
        made,
        fasteners=name,
        layout=bolts.layout or made.layout,
        seen_from=bolts.seen_from or made.seen_from,
        order=bolts.order or made.order,
        source=", ".join(filter(None, [bolts.source, *bolts.pages])) or made.source,
        retorque=bolts.retorque or made.retorque,
    )


def set_names(sets: Sequence[Bolts], recorded: Collection[str]) -> list[str]:
    """What tells the sets of one part apart, those recorded earlier included; empty for the only one."""
    taken = {fold(name) for name in recorded}
    if len(sets) < 2 and not taken:
        return [""] * len(sets)
    found: list[str] = []
    for bolts in sets:
        size = bolts.copied or bolts.size
        what = (size.what if size else "") or "bolt"
        thread, lengths = (size.thread, size.lengths) if size else ("", ())
        short = re.sub(r"x.*", "", thread)
        names = [f"{short} {what}s".strip(), f"{thread}{''.join(f'x{each}' for each in lengths[:1])} {what}s".strip()]
        name = next((each for each in names if fold(each) not in taken), "")
        number = 2
        while not name:
            numbered = f"{names[-1]} {number}"
            name = numbered if fold(numbered) not in taken else ""
            number += 1
        taken.add(fold(name))
        found.append(name)
    return found
