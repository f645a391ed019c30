"""The wrench that something is tightened with: what speaks against it, before it is used and afterwards."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.asks import words
from reassembly.job.doubt import unit_of
from reassembly.job.entries import StageTightened, TorqueSpecified
from reassembly.job.job import part_in, parts
from reassembly.job.tightening import counts_after, is_critical, set_to, stage_number, stages_of, tightened

if TYPE_CHECKING:
    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job
    from reassembly.job.joint import Joint
    from reassembly.job.shop import Order, Shop
    from reassembly.job.tightening import StageAsked


class Against(NamedTuple):
    """One reason not to trust a wrench with a torque, as a sentence."""

    told: str
    grave: str = ""
    """Why nothing that it tightened can be relied on, after its name: `above its range`; empty for the milder ones."""
    question: str = ""
    """The same, said of this torque: `35 N.m is above its range`."""


def against(
    wrench: str, torque: str, on: str, shop: Shop, torque_unit: str = "N.m", used: Order | None = None
) -> list[Against]:
    """Why this wrench should not be trusted with this torque on that day (ISO date); empty when it may be.

    `torque` as typed, in `torque_unit` where it names none; empty where the work has none, such as an angle. A range
    without a unit is in N.m, whatever the job is in, as the rack said when it was typed. `used` as in `doubt`. How
    often it was used is another question, `worn`: the whole journal is counted for it.
    """
    found = shop.wrench(wrench)
    if found is None:
        return [_of_itself(wrench, "is not in the rack")]
    doubt = found.doubt(on, used)
    several = [_of_itself(wrench, doubt)] if doubt else []
    if torque.strip():
        from reassembly.trade.quantity import read, show
        from reassembly.trade.wrench import LOWEST_SHARE

        try:
            asked = read(torque, "torque", torque_unit)
            low, high = (read(text, "torque", "N.m") for text in (found.added.low, found.added.high))
        except ValueError as trouble:
            told, grave = f"wrench {wrench}: its range cannot be compared: {trouble}", "range cannot be compared"
            return [*several, Against(told, grave, f"its {grave}")]
        if not low.quantity <= asked.quantity <= high.quantity:
            told = f"wrench {wrench} works from {low.shown} to {high.shown}, used at {asked.shown}"
            grave = f"{'above' if asked.quantity > high.quantity else 'below'} its range"
            several.append(Against(told, grave, f"{asked.shown} is {grave}"))
        elif asked.quantity < LOWEST_SHARE * high.quantity:
            fifth = show(LOWEST_SHARE * high.quantity, high.unit)
            told = f"wrench {wrench} used at {asked.shown}, below a fifth of its full scale, {fifth}"
            several.append(Against(told))
    return several


def worn(wrench: str, on: str, shop: Shop) -> list[str]:
    """Whether it has done more than a calibration is good for until that day (ISO date), as a sentence."""
    found, done = shop.wrench(wrench), shop.cycles_done(wrench, on)
    if found is None or done < found.cycles_allowed:
        return []
    return [f"wrench {wrench} has done {done} cycles since its calibration, {found.cycles_allowed} are allowed"]


def _of_itself(wrench: str, doubt: str) -> Against:
    return Against(f"wrench {wrench} {doubt}", doubt, f"it {doubt}")


def unsuitable(
    wrench: str, torque: str, on: str, shop: Shop, torque_unit: str = "N.m", used: Order | None = None
) -> list[str]:
    """The same in sentences, and whether it is worn."""
    return [*(each.told for each in against(wrench, torque, on, shop, torque_unit, used)), *worn(wrench, on, shop)]


def told_of_wrenches(job: Job, shop: Shop) -> tuple[list[str], list[str], list[str]]:
    """What was tightened with a wrench that could not be trusted on that day, safety-critical joints and then others,
    and what is milder: a wrench below a fifth of its scale, worn, or not named. Each once."""
    every = parts(job)
    specified = {e.id: e.fact for e in job.said(TorqueSpecified)}
    critical: dict[str, None] = {}
    grave: dict[str, None] = {}
    mild: dict[str, None] = {}
    used: dict[tuple[str, str, str], None] = {}
    for entry in job.said(StageTightened):
        spec = specified.get(entry.fact.specification)
        if spec is None or not 1 <= entry.fact.stage <= len(spec.stages):
            continue
        part = part_in(every, spec.part)
        stage = stages_of(spec, part)[entry.fact.stage - 1]
        if entry.fact.wrench:
            for each in _against_the_one_used(entry, stage, job, shop):
                found = mild if not each.grave else critical if is_critical(spec, part) else grave
                found[words(f"{each.told}: {part.name}", entry.fact.reason if each.grave else "")] = None
            used[entry.fact.wrench, entry.time[:10], part.name] = None
        elif stage.kind == "torque":
            mild[f"tightened without naming the wrench: {part.name}"] = None
    days = dict.fromkeys((wrench, day) for wrench, day, _ in used)
    told = {(wrench, day): worn(wrench, day, shop) for wrench, day in days}
    mild |= {f"{each}: {name}": None for wrench, day, name in used for each in told[wrench, day]}
    return list(critical), list(grave), list(mild)


def _against_the_one_used(entry: Entry[StageTightened], stage: StageAsked, job: Job, shop: Shop) -> list[Against]:
    """Judged by the date of the day it was used."""
    unit = unit_of("torque", job)
    return against(entry.fact.wrench, set_to(entry.fact, stage), entry.time[:10], shop, unit, entry.order)


def untrusted(entry: Entry[StageTightened], stage: StageAsked, job: Job, shop: Shop) -> str:
    """Why the wrench that this was tightened with could not be trusted: `above its range`; empty otherwise."""
    several = _against_the_one_used(entry, stage, job, shop) if entry.fact.wrench else []
    return ", ".join(each.grave for each in several if each.grave)


def distrusted(check: Check, job: Job, shop: Shop) -> str:
    """What a stage was tightened with that could not be trusted: `with T2, above its range`; empty otherwise."""
    if check.way != "tighten" or not isinstance(check.asked_by.fact, TorqueSpecified):
        return ""
    specified, part = check.asked_by, part_in(parts(job), check.part)
    stage = stages_of(specified.fact, part)[stage_number(check.key) - 1]
    done = tightened(job, specified, stage, counts_after(specified, part))
    told: dict[str, None] = {}
    for entry in done.entries:
        if why := untrusted(entry, stage, job, shop):
            told[f"with {entry.fact.wrench}, {why}"] = None
    return "; ".join(told)


def to_be_asked(found: Joint, fact: StageTightened, job: Job, shop: Shop, today: str) -> str:
    """Why somebody should look at the wrench before this is said; empty where it may be trusted, and where the same
    was said of it at this joint before."""
    after = counts_after(found.specified, found.part)
    stages = stages_of(found.specified.fact, found.part)
    before = [
        (entry, stages[entry.fact.stage - 1])
        for entry in job.said(StageTightened)
        if entry.fact.specification == found.specified.id
        and entry.fact.wrench == fact.wrench
        and entry.order > after
        and 1 <= entry.fact.stage <= len(stages)
    ]
    if not fact.wrench:
        asked = found.stage.kind == "torque" and not fact.value
        return "no wrench in hand" if asked and all(stage.kind != "torque" for _, stage in before) else ""
    known = {each.grave for entry, stage in before for each in _against_the_one_used(entry, stage, job, shop)}
    several = against(fact.wrench, set_to(fact, found.stage), today, shop, unit_of("torque", job))
    new = [each.question for each in several if each.grave and each.grave not in known]
    return f"{fact.wrench} cannot be trusted here: {'; '.join(new)}" if new else ""
