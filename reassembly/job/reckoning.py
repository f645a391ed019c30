"""Every number that can be computed of a fact, a check, a part or a job, with its workings; and what a slip does."""

# ruff: noqa: ARG001 - one signature for every kind of fact
from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job import reckoning_of_bolts, reckoning_of_driveline, reckoning_of_places
from reassembly.job.doubt import Seen, said_now, unit_of
from reassembly.job.job import Job, fold, parts
from reassembly.job.reckon import Around, Reckoned, reckon
from reassembly.job.reckoning_of_bolts import band, of_wrench, torque
from reassembly.job.reckoning_of_driveline import about_vibration, level_consequence
from reassembly.job.reckoning_of_places import circle, weight_consequence
from reassembly.job.shop import Shop
from reassembly.job.tightening import stage_number
from reassembly.trade.quantity import plain

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from reassembly.job.checks import Check
    from reassembly.job.entries import Fact

RULES = (reckoning_of_bolts, reckoning_of_places, reckoning_of_driveline)
"""The modules whose rules are registered by being imported."""


@reckon.register(said.CustomerNamed)
@reckon.register(said.FindingNoted)
@reckon.register(said.PhotoKept)
@reckon.register(said.PartRemoved)
@reckon.register(said.AidFitted)
@reckon.register(said.BagPacked)
@reckon.register(said.OrderSaid)
@reckon.register(said.PartStuck)
@reckon.register(said.CareNoted)
@reckon.register(said.RenewalNeeded)
@reckon.register(said.RenewalReceived)
@reckon.register(said.LabelPrinted)
@reckon.register(said.LabelSeen)
@reckon.register(said.BagShelved)
@reckon.register(said.CheckPutOff)
@reckon.register(said.CheckConfirmed)
@reckon.register(said.AidRemoved)
@reckon.register(said.SecondCheckMade)
@reckon.register(said.ExceptionAccepted)
@reckon.register(said.CodesCleared)
@reckon.register(said.SignedOff)
@reckon.register(said.JobReopened)
@reckon.register(said.EntryStruck)
@reckon.register(said.DetailsErased)
@reckon.register(said.PersonAdded)
@reckon.register(said.WrenchFailed)
@reckon.register(said.ShelfAdded)
@reckon.register(said.BenchNamed)
@reckon.register(said.Unknown)
def nothing(fact: object, around: Around) -> Iterable[Reckoned]:
    """There is no number in it to reckon with."""
    return ()


def of_fact(fact: Fact | said.Unknown, job: Job, shop: Shop) -> list[Reckoned]:
    """What can be computed from one fact, kept or about to be said. Never raises, whatever was typed."""
    return distinct(reckon(fact, Around(job, shop, parts(job))))


def of_fact_to_be_said(fact: Fact, job: Job, shop: Shop) -> list[Reckoned]:
    """The same of a fact that a form holds and nobody has said yet."""
    entry = said_now(fact, Seen(job, shop, parts(job)))
    return of_fact(fact, Job((*job.entries, entry), job.struck), shop)


def of_check(check: Check, job: Job, shop: Shop, wrench: str = "") -> list[Reckoned]:
    """What can be computed of a check: of the fact that asked it, of what answered it, of the wrench in hand."""
    around = Around(job, shop, parts(job))
    return distinct(_of_check(check, around, wrench))


def _of_check(check: Check, around: Around, wrench: str) -> Iterator[Reckoned]:
    if check.way == "tighten":
        yield from _stage(check, around, wrench)
    yield from reckon(check.asked_by.fact, around)
    if check.way == "tighten":
        found = around.part(check.part).fasteners(check.asked_by.fact.fasteners)
        yield from reckon(found, around) if found else ()
    if check.answer is not None:
        yield from reckon(check.answer.fact, around)
    if check.key.endswith(".complaint"):
        yield from _vibration(around)
    match check.way:
        case "drive":
            yield from _vibration(around)
        case "fill" | "level":
            same = fold(check.asked_by.fact.fluid)
            for entry in around.job.entries:
                if isinstance(entry.fact, said.FluidDrained | said.LevelSpecified) and fold(entry.fact.fluid) == same:
                    yield from reckon(entry.fact, around)


def _stage(check: Check, around: Around, wrench: str) -> Iterator[Reckoned]:
    """The stage on display and the wrench in hand come first."""
    value = torque(check.asked_by.fact.stages[stage_number(check.key) - 1].value, unit_of("torque", around.job))
    if value is not None:
        yield from band(value)
    if found := around.shop.wrench(wrench):
        yield from of_wrench(found.added)


def on_record(
    job: Job, shop: Shop, progress: Callable[[int, int], None] = lambda _done, _all: None
) -> list[tuple[str, Reckoned]]:
    """What the printed record shows, each with the part it is about (empty: the vehicle). Thread tables stay out.
    `progress` hears of how many parts it was computed."""
    around = Around(job, shop, parts(job))
    found = [("", each) for each in of_job(job, shop)]
    for done, part in enumerate(around.parts.values(), 1):
        told = [e.fact for e in part.about if not isinstance(e.fact, said.FastenersRemoved)]
        found += [(part.name, each) for each in distinct(each for fact in told for each in reckon(fact, around))]
        progress(done, len(around.parts))
    return [(about, each) for about, each in found if each.workings is not None]


def of_part(part: str, job: Job, shop: Shop) -> list[Reckoned]:
    """What can be computed of everything said of a part."""
    around = Around(job, shop, parts(job))
    return distinct(found for e in around.part(part).about for found in reckon(e.fact, around))


def of_job(job: Job, shop: Shop) -> list[Reckoned]:
    """What can be computed of the vehicle as a whole: of what was said of no one part. Suspects come first."""
    around = Around(job, shop, parts(job))
    whole = [e for e in job.entries if not getattr(e.fact, "part", "") and not isinstance(e.fact, said.StageTightened)]
    return distinct((*_vibration(around), *(found for e in whole for found in reckon(e.fact, around))))


def _vibration(around: Around) -> Iterator[Reckoned]:
    """Suspects of every road test, the newest first; what has to be known where only the complaint tells of one."""
    tests = list(around.job.said(said.RoadTested))
    for entry in reversed(tests):
        yield from reckon(entry.fact, around)
    told = any(e.fact.speed or e.fact.frequency or e.fact.engine_speed or about_vibration(e.fact.felt) for e in tests)
    if about_vibration(around.job.opened.complaint) and not told:
        yield Reckoned(
            "suspects for the vibration", None, "a road test with the road speed, and the frequency if it can be"
        )
    for noted in around.job.said(said.DrivelineNoted):
        yield from reckon(noted.fact, around)
        break


def distinct(several: Iterable[Reckoned]) -> list[Reckoned]:
    """Each number once, those that can be computed before those that cannot."""
    found: dict[tuple[str, str], Reckoned] = {}
    for each in several:
        found.setdefault((each.title, str(each.workings.lines()) if each.workings else each.missing), each)
    return sorted(found.values(), key=lambda each: each.workings is None)


def consequence(check: Check, job: Job) -> str:
    """What the likely slip at this check would do, in one line; empty where that cannot be told."""
    around = Around(job, Shop.of(()), parts(job))
    fact, slug = check.asked_by.fact, check.key.rpartition(".")[2]
    match fact:
        case said.WeightFound():
            return weight_consequence(fact, around)
        case said.MarkMade(spline_teeth=int(teeth)) if slug == "tooth" and teeth > 1:
            return f"one tooth out turns it {plain(360 / teeth, 1)} deg"
        case said.MarkMade(part=part) if slug == "mark" and (holes := circle(part, around)):
            return f"one hole out turns it {plain(360 / holes, 1)} deg"
        case said.LevelSpecified():
            return level_consequence(fact, around)
    return ""
