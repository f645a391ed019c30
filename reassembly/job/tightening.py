"""How far a fastener set is tightened: its stages, and which positions of each are done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.doubt import unit_of
from reassembly.job.entries import FastenersRemoved, StageTightened
from reassembly.job.job import asked_again, fold
from reassembly.job.measured import does_not_confirm

if TYPE_CHECKING:
    from collections.abc import Iterable

    from reassembly.job.entries import Entry, StageKind, TorqueSpecified
    from reassembly.job.job import Job, Part


WITH_A_TORQUE = frozenset({"torque", "check pass"})


class StageAsked(NamedTuple):
    """One stage of a specification: its number from 1, what to do, and at how many positions (0: not known).

    Since `counted` the set has as many; who said earlier that the whole stage is done spoke of another number."""

    number: int
    of: int
    kind: StageKind
    value: str
    positions: int
    counted: tuple[int, str, int] = (0, "", 0)

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
    wrong: tuple[Entry[StageTightened], ...] = ()
    """What was said with a value that confirms nothing."""

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


def is_critical(specified: TorqueSpecified, part: Part) -> bool:
    """Whether it is of a safety-critical set."""
    fasteners = part.fasteners(specified.fasteners)
    return fasteners is not None and fasteners.safety_critical


def stages_of(specified: TorqueSpecified, part: Part) -> tuple[StageAsked, ...]:
    """The stages of a specification, in order, over as many positions as the set has."""
    fasteners = part.fasteners(specified.fasteners)
    count = (fasteners.count if fasteners else specified.count) or 0
    of = len(specified.stages)
    since = _counted(specified, fasteners, part)
    return tuple(
        StageAsked(n, of, stage.kind, stage.value, count, since) for n, stage in enumerate(specified.stages, 1)
    )


def _counted(specified: TorqueSpecified, fasteners: FastenersRemoved | None, part: Part) -> tuple[int, str, int]:
    """When the set was told with as many as it has now; before that, where the specification has the same number."""
    since = (0, "", 0)
    if fasteners is None or specified.count == fasteners.count:
        return since
    before: FastenersRemoved | None = None
    for entry in part.said(FastenersRemoved):
        if fold(entry.fact.fasteners) == fold(fasteners.fasteners):
            if before is None or before.count != entry.fact.count:
                since = entry.order
            before = entry.fact
            if before is fasteners:
                break
    return since


def tightened(job: Job, specified: Entry[TorqueSpecified], stage: StageAsked, since: tuple[int, str, int]) -> Tightened:
    """What was tightened of one stage after `since`: the specification, or the part's last removal if later."""
    return done_of(_of_each(job).get(specified.id, ()), specified, stage, since, unit_of("torque", job))


@asked_again
def _of_each(job: Job) -> dict[str, list[Entry[StageTightened]]]:
    """What was said of tightening, by the specification it was tightened to."""
    found: dict[str, list[Entry[StageTightened]]] = {}
    for entry in job.said(StageTightened):
        found.setdefault(entry.fact.specification, []).append(entry)
    return found


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
    torque_unit: str,
) -> Tightened:
    """The same, from what was said of tightening, oldest first. A value that does not confirm takes back what was said
    of its position, and of the whole stage, before."""
    positions: dict[int, Entry[StageTightened]] = {}
    whole: Entry[StageTightened] | None = None
    wrong: list[Entry[StageTightened]] = []
    for entry in said:
        fact, at = entry.fact, entry.fact.position
        if fact.specification != specified.id or fact.stage != stage.number or entry.order <= since:
            continue
        if at is not None and 0 < stage.positions < at:
            continue
        if does_not_confirm(stage, fact, torque_unit):
            wrong.append(entry)
            positions = {n: e for n, e in positions.items() if at not in {None, n}}
            whole = None
        elif at is not None:
            positions[at] = entry
        elif entry.order > stage.counted:
            whole = entry
    complete = whole is not None or (stage.positions > 0 and len(positions) == stage.positions)
    return Tightened(positions, whole, complete, tuple(wrong))
