"""What each kind of fact asks of refit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from enum import IntEnum
from functools import singledispatch
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from reassembly.job import entries as said
from reassembly.job.aids import bears_weight, purpose
from reassembly.job.bag import shelf_of
from reassembly.job.job import adds_to_check_in, bag_code, fold, part_in
from reassembly.job.places import clock_place, proof_of_connection, tooth, weight, weight_place
from reassembly.job.tightening import fits, stages_of
from reassembly.job.wording import many, size, verb

if TYPE_CHECKING:
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job, Part

Way = Literal[
    "confirm", "receive", "scan", "tighten", "second", "aid", "fill", "level", "clear", "drive", "read", "deal",
    "settle",
]  # fmt: skip


class Turn(IntEnum):
    """Working order within a step, then (from LOWER) of the whole job."""

    HAND = 1
    CLEAN = 2
    CONSUMABLE = 3
    AID = 4
    BAG = 5
    WAY = 6
    MARK = 7
    WEIGHT = 8
    BACK = 9
    STARTED = 10
    STAGE = 11
    SECOND = 12
    STRIPE = 13
    CONNECT = 14
    LOOK = 15
    LET_GO = 16
    LOWER = 19
    FILL = 20
    LEVEL = 21
    LEAK = 22
    UNTOUCHED = 23
    LEFT_OVER = 24
    CLEARED = 25
    ROAD = 26
    READ = 27
    RETORQUE = 28
    COMPLAINT = 29
    SETTLE = 40


ADDED_LATER = frozenset({"shut"})
"""Slugs that came in after the first version. A sign-off that lists its checks and has none of them was
said before they were asked, and holds; any other check that its list lacks was open."""


class Ask(NamedTuple):
    """One thing a fact asks; `slug` tells it from the others of the same fact, for ever."""

    slug: str
    turn: Turn
    wording: str
    detail: str = ""
    way: Way = "confirm"
    safety: bool = False
    part: str | None = None


class Context(NamedTuple):
    """What a fact may look at when it says what it asks."""

    entry: Entry[Any]
    job: Job
    parts: Mapping[str, Part]

    def part(self, part: str) -> Part:
        return part_in(self.parts, part)


def words(*several: str, between: str = ", ") -> str:
    """The non-empty ones, in one line."""
    return between.join(w for w in several if w)


def two_groups(code: str) -> str:
    """A code as it is printed: two groups of five letters."""
    letters = bag_code(code)
    return f"{letters[:5]} {letters[5:]}".strip()


@singledispatch
def asks(fact: object, seen: Context) -> Iterable[Ask]:
    """What a fact asks of refit. Every kind has to say so: there is no default."""
    raise NotImplementedError(type(fact).__name__)


@asks.register(said.CustomerNamed)
@asks.register(said.DrivelineNoted)
@asks.register(said.PhotoKept)
@asks.register(said.OrderSaid)
@asks.register(said.RenewalReceived)
@asks.register(said.LabelPrinted)
@asks.register(said.LabelSeen)
@asks.register(said.BagShelved)
@asks.register(said.CheckPutOff)
@asks.register(said.CheckConfirmed)
@asks.register(said.StageTightened)
@asks.register(said.AidRemoved)
@asks.register(said.SecondCheckMade)
@asks.register(said.ExceptionAccepted)
@asks.register(said.FluidFilled)
@asks.register(said.LevelChecked)
@asks.register(said.CodesCleared)
@asks.register(said.SignedOff)
@asks.register(said.JobReopened)
@asks.register(said.EntryStruck)
@asks.register(said.DetailsErased)
@asks.register(said.PersonAdded)
@asks.register(said.WrenchAdded)
@asks.register(said.WrenchCalibrated)
@asks.register(said.WrenchFailed)
@asks.register(said.SpecNoted)
@asks.register(said.BenchNamed)
@asks.register(said.ShelfAdded)
def nothing(fact: object, seen: Context) -> Iterable[Ask]:
    """Asks nothing: it answers, orders or closes, or belongs to the shop."""
    return ()


@asks.register
def job_ends_well(fact: said.JobOpened, seen: Context) -> Iterator[Ask]:
    if not adds_to_check_in(seen.entry, seen.job):
        yield Ask("left", Turn.LEFT_OVER, "nothing left over", "every tool, aid and fastener accounted for")
        yield Ask("road", Turn.ROAD, "road test after the work", way="drive")
    if fact.complaint:
        yield Ask("complaint", Turn.COMPLAINT, "complaint gone", fact.complaint)


@asks.register
def code_stays_away(fact: said.CodeRead, seen: Context) -> Iterator[Ask]:
    where = f" in {fact.module}" if fact.module else ""
    if fact.when == "before":
        told = fact.code or "none stored before"
        yield Ask("cleared", Turn.CLEARED, f"codes cleared{where}", told, "clear")
        yield Ask("again", Turn.READ, f"codes read again{where}", told, "read")
    elif fact.code:
        told = words(fact.status, fact.note)
        yield Ask("dealt", Turn.READ, f"{fact.code}{where}, read after the work: dealt with", told, "deal")
    # a clean reading after the work asks nothing more: it answers


@asks.register
def same_road_again(fact: said.RoadTested, seen: Context) -> Iterator[Ask]:
    if fact.when == "before":
        yield Ask("again", Turn.ROAD, "same road test again", words("before", fact.felt, between=": "), "drive")


@asks.register
def finding_looked_at_again(fact: said.FindingNoted, seen: Context) -> Iterator[Ask]:
    turn = Turn.LOOK if fact.part else Turn.LEAK
    hider = "" if fact.part or fact.when == "after" else _came_off_last(seen)
    if hider:
        yield Ask("shut", Turn.CLEAN, f"looked at before this hides it: {fact.what}", words(fact.where), part=hider)
    yield Ask("again", turn, f"looked at again: {fact.what}", words(fact.where))


def _came_off_last(seen: Context) -> str:
    """The part that came off just before this was said, and may have hidden it; "" where none had come off yet."""
    off = [e.fact.part for e in seen.job.said(said.PartRemoved) if e.fact.part and e.order < seen.entry.order]
    return off[-1] if off else ""


@asks.register
def part_goes_back(fact: said.PartRemoved, seen: Context) -> Iterator[Ask]:
    last = seen.part(fact.part).removed
    if last and last is not seen.entry:
        return  # it came off again later: that removal asks
    bolted = _bolted(seen.part(fact.part))
    proof = proof_of_connection(fact.name)
    match fact.how:
        case "off":
            yield Ask("back", Turn.BACK, "back in place", fact.note)
        case "loosened":
            # What is asked before its fasteners cannot be that they are tight.
            where = "where it was, to be tightened" if bolted else "tight again"
            yield Ask("back", Turn.BACK, f"{where}: it was loosened", fact.note)
        case "aside":
            yield Ask("back", Turn.BACK, "swung back in place", fact.note)
        case "disconnected" if bolted and not proof:
            yield Ask("back", Turn.BACK, "in place, faces together", fact.note)
        case "disconnected":
            yield Ask("back", Turn.BACK if bolted else Turn.CONNECT, "connected again", fact.note or proof)


def _bolted(part: Part) -> bool:
    """Whether fasteners hold the part: then it is brought into its place before they are started."""
    return any(part.said(said.FastenersRemoved)) or any(part.said(said.TorqueSpecified))


@asks.register
def right_way_round(fact: said.OrientationNoted, seen: Context) -> Iterator[Ask]:
    faces = f"{verb('face', fact.feature)} {fact.faces}" if fact.faces else ""
    which_way = words(faces, clock_place(fact)) or "right way round"
    yield Ask("way", Turn.WAY, f"{fact.feature} {which_way}", fact.note)


@asks.register
def marks_line_up(fact: said.MarkMade, seen: Context) -> Iterator[Ask]:
    yield Ask(
        "mark", Turn.MARK, "marks in line", words(words(fact.mark, fact.to, between=", to "), fact.note, between="; ")
    )
    if fact.spline_teeth or fact.marked_tooth:
        counted = "" if fact.spline_teeth else "nobody counted the teeth"
        yield Ask("tooth", Turn.MARK, tooth(fact), counted)


@asks.register
def weight_at_its_place(fact: said.WeightFound, seen: Context) -> Iterator[Ask]:
    yield Ask(
        "weight", Turn.WEIGHT, f"{weight(fact)} at {weight_place(fact)}", words(fact.radius and f"radius {fact.radius}")
    )


@asks.register
def fasteners_go_back(fact: said.FastenersRemoved, seen: Context) -> Iterator[Ask]:
    what = many(fact.count, fact.what)
    bolts = words(fact.fasteners, size(fact.thread, fact.lengths), fact.strength, between=" ")
    if fact.reuse == "renew":
        yield Ask("hand", Turn.HAND, f"{many(fact.count, f'new {fact.what}')} on hand", bolts, "receive")
    new = "new " if fact.reuse == "renew" else ""
    all_of = f"all {fact.count} {new}{fact.what}s" if fact.count > 1 else f"the {new}{fact.what}"
    yield Ask(
        "started",
        Turn.STARTED,
        f"{all_of} started by hand",
        words(bolts, fact.drive, fact.note),
        safety=fact.safety_critical,
    )
    part = seen.part(fact.part)
    torqued = any(e.fact.stages and fits(e.fact, fact, part) for e in part.said(said.TorqueSpecified))
    if not torqued:
        yield Ask("tight", Turn.STAGE, f"{what} tight", "no torque recorded", safety=fact.safety_critical)
    if fact.safety_critical:
        yield Ask(
            "second", Turn.SECOND, "second check by another person", f"{what} {bolts}".strip(), "second", safety=True
        )


@asks.register
def stages_in_order(fact: said.TorqueSpecified, seen: Context) -> Iterator[Ask]:
    part = seen.part(fact.part)
    fasteners = part.fasteners(fact.fasteners)
    safety = fasteners is not None and fasteners.safety_critical
    for stage in stages_of(fact, part):
        # A set asks itself that all are started by hand; by hand again after a back-off is a stage like any other.
        if not (fasteners and stage.kind == "by hand" and stage.number == 1):
            detail = words(fact.fasteners, "no source given" if not fact.source else "")
            yield Ask(f"stage{stage.number}", Turn.STAGE, stage.told, detail, "tighten", safety)
    if not fact.stages and fasteners is None:
        yield Ask("tight", Turn.STAGE, f"{fact.fasteners or part.name} tight", "no torque recorded")
    if safety:  # elsewhere it may be no good: in the oil, on a battery nut
        yield Ask("stripe", Turn.STRIPE, "stripe painted across every head", "so that a glance shows it was tightened")
    if fact.retorque:
        yield Ask("retorque", Turn.RETORQUE, f"retorque {fact.retorque}: done, or told to the customer", part.name)


@asks.register
def aid_comes_out(fact: said.AidFitted, seen: Context) -> Iterator[Ask]:
    """What holds comes out when its part is back and tight, what bears weight when every part is; what is in the way
    before. Where neither is told, it is looked at before and comes out last."""
    what_for = purpose(fact)
    if what_for == "not told":
        yield Ask("clear", Turn.AID, f"{fact.aid} not in the way of the part", fact.where)
    held = Turn.LOWER if bears_weight(fact) else Turn.LET_GO
    yield Ask("out", Turn.AID if what_for == "in the way" else held, f"{fact.aid} out again", fact.where, "aid")


@asks.register
def fluid_goes_in(fact: said.FluidDrained, seen: Context) -> Iterator[Ask]:
    drained = words(f"{fact.amount} drained" if fact.amount else "amount drained not measured", fact.where)
    yield Ask("fill", Turn.FILL, f"{fact.fluid} filled", drained, "fill")
    yield Ask("dry", Turn.LEAK, f"no {fact.fluid} leak, engine run", fact.where)
    specified = (fold(e.fact.fluid) for e in seen.job.said(said.LevelSpecified))
    if fold(fact.fluid) not in specified:
        yield Ask("level", Turn.LEVEL, f"{fact.fluid} level right", "no temperature window recorded", "level")


@asks.register
def level_in_its_window(fact: said.LevelSpecified, seen: Context) -> Iterator[Ask]:
    if fact.engine == "running":  # the pump fills what stands empty: the level is right only after it (common practice)
        yield Ask("started", Turn.LEVEL, "engine started, filled on at once", fact.fluid)
        yield Ask("positions", Turn.LEVEL, "selector through every position, engine running", "a few seconds in each")
    window = words(fact.low, fact.high, between=" to ")
    engine = f"engine {fact.engine}" if fact.engine else ""
    yield Ask(
        "level",
        Turn.LEVEL,
        f"{fact.fluid} level right",
        words(f"at {window}" if window else "", engine, fact.how),
        "level",
    )


@asks.register
def bag_is_at_hand(fact: said.BagPacked, seen: Context) -> Iterator[Ask]:
    waits = shelf_of(fact.bag, seen.job)
    shelf = f"shelf {waits}" if waits else ""
    for part in dict.fromkeys(fact.parts):
        others = [seen.part(p).name for p in dict.fromkeys(fact.parts) if p != part]
        shared = words("also holds:", ", ".join(others), between=" ") if others else ""
        yield Ask(
            f"bag:{part}",
            Turn.BAG,
            f"bag {two_groups(fact.bag)}",
            words(shelf, fact.holds, shared),
            "scan",
            part=part,
        )
    if not fact.parts:
        yield Ask("bag", Turn.LEFT_OVER, f"bag {two_groups(fact.bag)} emptied", words(shelf, fact.holds), part="")


@asks.register
def freed_part_comes_off_next_time(fact: said.PartStuck, seen: Context) -> Iterator[Ask]:
    freed = f"freed by {fact.freed}" if fact.freed else ""
    yield Ask("cleaned", Turn.CLEAN, "rust and dirt off: it was stuck", freed)
    yield Ask("greased", Turn.CONSUMABLE, "greased so that it comes off next time", fact.grease)


@asks.register
def care_is_taken(fact: said.CareNoted, seen: Context) -> Iterator[Ask]:
    turn, wording = _CARE[fact.care]
    if not fact.part:
        turn = Turn.UNTOUCHED
    yield Ask("care", turn, wording.format(fact.what))


_CARE: dict[str, tuple[Turn, str]] = {
    "clean": (Turn.CLEAN, "clean: {}"),
    "inspect": (Turn.CLEAN, "inspected: {}"),
    "grease": (Turn.CONSUMABLE, "greased or oiled: {}"),
    "seal": (Turn.CONSUMABLE, "sealed: {}"),
    "fit": (Turn.WAY, "fitted: {}"),
    "connect": (Turn.CONNECT, "{}"),
    "look": (Turn.LOOK, "looked at: {}"),
}


@asks.register
def new_one_fitted(fact: said.RenewalNeeded, seen: Context) -> Iterator[Ask]:
    several = f"{fact.count} " if fact.count > 1 else ""
    detail = words(fact.part_number, fact.why)
    turn = Turn.WAY if fact.part else Turn.UNTOUCHED
    yield Ask("hand", Turn.HAND if fact.part else Turn.FILL, f"{several}new {fact.what} on hand", detail, "receive")
    yield Ask("fitted", turn, f"{several}new {fact.what} fitted, the old thrown away")


@asks.register
def newer_program_is_asked(fact: said.Unknown, seen: Context) -> Iterator[Ask]:
    yield Ask(
        "unknown",
        Turn.SETTLE,
        "an entry this program has no word for",
        f"said at another bench, whose letters are {seen.entry.bench}, with a newer program: read it there",
        "settle",
    )
