"""How far a fastener set is tightened: its stages, and which positions of each are done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.entries import StageTightened

if TYPE_CHECKING:
    from collections.abc import Iterable

    from reassembly.job.entries import Entry, FastenersRemoved, StageKind, TorqueSpecified
    from reassembly.job.job import Job, Part


WITH_A_TORQUE = frozenset({"torque", "check pass"})


class StageAsked(NamedTuple):
    """One stage of a specification: its number from 1, what to do, and at how many positions (0: not known)."""

    number: int
    of: int
    kind: StageKind
    value: str
    positions: int

    @property
    def told(self) -> str:
        match self.kind:
            case "torque":
                what = self.value
            case "angle":
                what = f"turn {self.value} further"
            case "by hand":
                what = "all by hand"
            case "back off":
                what = f"back off {self.value}".strip()
            case _:
                what = f"check pass {self.value}".strip()
        return f"stage {self.number} of {self.of}: {what}" if self.of > 1 else what


class Tightened(NamedTuple):
    """What is done of one stage since the part came off last: by position, or the whole stage at once."""

    positions: dict[int, Entry[StageTightened]]
    whole: Entry[StageTightened] | None
    complete: bool

    @property
    def entries(self) -> tuple[Entry[StageTightened], ...]:
        """What was said of it, position by position and at once."""
        return (*self.positions.values(), *([self.whole] if self.whole else []))

    @property
    def last(self) -> Entry[StageTightened] | None:
        return max(self.entries, key=lambda e: e.order, default=None)


def fits(specified: TorqueSpecified, fasteners: FastenersRemoved, part: Part) -> bool:
    """Whether the specification is for this fastener set."""
    return part.fasteners(specified.fasteners) is fasteners


def stages_of(specified: TorqueSpecified, part: Part) -> tuple[StageAsked, ...]:
    """The stages of a specification, in order, over as many positions as the set has."""
    fasteners = part.fasteners(specified.fasteners)
    count = (fasteners.count if fasteners else specified.count) or 0
    of = len(specified.stages)
    return tuple(StageAsked(n, of, stage.kind, stage.value, count) for n, stage in enumerate(specified.stages, 1))


def tightened(job: Job, specified: Entry[TorqueSpecified], stage: StageAsked, since: tuple[int, str, int]) -> Tightened:
    """What was tightened of one stage after `since`: the specification, or the part's last removal if later."""
    return done_of(job.said(StageTightened), specified, stage, since)


def stage_number(key: str) -> int:
    """Which stage, from 1, a check asks for, by the check's key: 2 of `KD.12.stage2`."""
    return int(key.rpartition(".stage")[2])


def counts_after(asked: Entry[Any], part: Part) -> tuple[int, str, int]:
    """After what an answer counts: what asked for it, or the part's last removal where that is later."""
    return max(asked.order, part.since) if part.removed else asked.order


def set_to(fact: StageTightened, stage: StageAsked) -> str:
    """The torque a wrench was used at, as typed: its setting, else what was measured or asked; empty for an angle."""
    return (fact.setting or fact.value or stage.value) if stage.kind in WITH_A_TORQUE else ""


def done_of(
    said: Iterable[Entry[StageTightened]],
    specified: Entry[TorqueSpecified],
    stage: StageAsked,
    since: tuple[int, str, int],
) -> Tightened:
    """The same, from what was said of tightening, oldest first."""
    positions: dict[int, Entry[StageTightened]] = {}
    whole: Entry[StageTightened] | None = None
    for entry in said:
        fact = entry.fact
        if fact.specification != specified.id or fact.stage != stage.number or entry.order <= since:
            continue
        if fact.position is None:
            whole = entry
        elif not stage.positions or fact.position <= stage.positions:
            positions[fact.position] = entry
    return Tightened(positions, whole, whole is not None or (stage.positions > 0 and len(positions) == stage.positions))
