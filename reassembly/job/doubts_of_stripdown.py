"""What is doubtful about the facts of check-in and strip-down, kind by kind."""

# ruff: noqa: ARG001 - one signature for every kind of fact
from __future__ import annotations

import re
from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.bag import bags
from reassembly.job.checks import says_outcome
from reassembly.job.doubt import (
    INCH_UNIT,
    METRE_UNIT,
    Doubt,
    Seen,
    advise,
    ask,
    doubtful,
    is_torque_unit,
    measured,
    reading_of,
    refuse,
    said_now,
)
from reassembly.job.job import bag_code, fold
from reassembly.job.places import HOLE, counted_from
from reassembly.job.reckoning_of_places import circle_of
from reassembly.job.refit_order import clash_if_said
from reassembly.job.road import not_driven, not_the_same
from reassembly.job.wording import several
from reassembly.trade.facing import read_clock, read_facing
from reassembly.trade.fluid import within_window
from reassembly.trade.identity import code_before_words, has_form_of_code, read_code, read_vin
from reassembly.trade.spline import read_place
from reassembly.trade.thread import Thread, read_thread
from reassembly.trade.vibration import orders

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

_THREADLESS = {"clip", "hose clip", "rivet", "split pin", "pin", "clamp", "hose clamp", "strap"}
_BARE = re.compile(r"[\d.,' ]*\d[\d.,' ]*", re.ASCII)
_NOT_DRIVEN = (
    "not driven: the check stays open. Drive and say how it went, or make it an exception with reason and name"
)
_MILES = re.compile(r"\d\s*mi(?:les?)?\b", re.IGNORECASE)


@doubtful.register(said.CustomerNamed)
@doubtful.register(said.FindingNoted)
@doubtful.register(said.PhotoKept)
@doubtful.register(said.AidFitted)
@doubtful.register(said.PartStuck)
@doubtful.register(said.CareNoted)
@doubtful.register(said.RenewalNeeded)
@doubtful.register(said.LabelPrinted)
def nothing(fact: object, seen: Seen) -> Iterable[Doubt]:
    """Words in the technician's own way: nothing to doubt beyond what holds for every kind."""
    return ()


@doubtful.register(said.JobOpened)
def vehicle(fact: said.JobOpened, seen: Seen) -> Iterator[Doubt]:
    if fact.vin.strip():
        for sentence in read_vin(fact.vin).doubts:
            yield advise("vin", sentence)
    if _bare(fact.odometer):
        yield advise("odometer", f"{fact.odometer}: kilometres or miles? Type {fact.odometer.strip()} km")
    if not is_torque_unit(fact.torque_unit):
        yield refuse("torque_unit", f"{fact.torque_unit} is not a unit of torque: type N.m, lbf.ft, lbf.in or kgf.m")


def _bare(text: str) -> bool:
    """Whether it is a number and nothing else."""
    return _BARE.fullmatch(text) is not None


def fluid_named(fluid: str) -> Iterator[Doubt]:
    """A number in the place of a name is an amount one line too high."""
    if _bare(fluid):
        yield advise("fluid", f"{fluid} is the name of a fluid? Type what it is called; how much it is comes after")


@doubtful.register(said.RoadTested)
def road_test(fact: said.RoadTested, seen: Seen) -> Iterator[Doubt]:
    if not says_outcome(fact):
        if fact.when == "after":
            yield refuse("felt", "how did it go? Say what was felt, or whether the complaint is gone or still there")
        elif fact == said.RoadTested():
            yield refuse("felt", "what was felt? Say that nothing was, where nothing was")
    if fact.when == "after" and not_driven(fact):
        yield advise("felt", _NOT_DRIVEN)
        return
    for before in seen.job.said(said.RoadTested) if fact.when == "after" else ():
        if before.fact.when == "before" and (conditions := not_the_same(before.fact, fact)):
            same = "; or say driven as before: yes"
            yield advise("speed", f"at what speed, how far? before: {conditions}{same}")
    if _bare(fact.distance):
        yield refuse("distance", f"{fact.distance}: kilometres or miles? Type {fact.distance.strip()} km")
    if _bare(fact.speed) and _MILES.search(seen.job.opened.odometer):
        yield refuse("speed", f"{fact.speed}: this vehicle counts miles. Type {fact.speed.strip()} mph, or km/h")
    else:
        yield from measured("speed", fact.speed, "speed", seen)
    yield from readable("frequency", fact.frequency, "turning", "Hz")
    yield from readable("engine_speed", fact.engine_speed, "turning", "rpm")
    yield from readable("gear_ratio", fact.gear_ratio, "ratio")


@doubtful.register(said.DrivelineNoted)
def driveline(fact: said.DrivelineNoted, seen: Seen) -> Iterator[Doubt]:
    if fact == said.DrivelineNoted(source=fact.source):
        yield refuse("tyre", "nothing was noted: type the tyre size, the axle ratio, or what was measured")
    yield from readable("tyre", fact.tyre, "rollout")
    yield from readable("axle_ratio", fact.axle_ratio, "ratio")
    if fact.cylinders:
        try:
            orders({}, fact.cylinders)
        except ValueError as error:
            yield refuse("cylinders", str(error))
    for angle in fact.joint_angles:
        yield from readable("joint_angles", angle, "joint angle")
    yield from measured("shaft_mass", fact.shaft_mass, "mass", seen, "kg")
    for name in ("shaft_length", "tube", "wall"):
        yield from measured(name, getattr(fact, name), "length", seen)


def readable(field: str, text: str, kind: str, unit: str = "") -> Iterator[Doubt]:
    """Refused where a text is none of its kind; what was assumed in reading it is said. Nothing typed is no doubt."""
    if not text.strip():
        return
    from reassembly.trade.inputs import understand

    try:
        remark = understand(text, kind, unit).remark
    except ValueError as error:
        yield refuse(field, str(error))
    else:
        if remark:
            yield advise(field, remark)


@doubtful.register(said.CodeRead)
def trouble_code(fact: said.CodeRead, seen: Seen) -> Iterator[Doubt]:
    if not fact.code.strip():
        if not fact.none_stored:
            yield refuse("code", "what was read? Type the code, or say none stored: yes")
        return
    if fact.none_stored:
        yield refuse("none_stored", f"{fact.code}, or none stored? Leave one of the two out")
    elif fold(fact.code) in {"none", "no", "no code", "no codes", "none stored"}:
        yield refuse("code", f"{fact.code} is no code: leave the code empty and say none stored: yes")
    elif code := code_before_words(fact.code):
        yield refuse("code", f"{fact.code.strip()} is {code} and more: type one code here, the words as a note")
        return
    if not has_form_of_code(fact.code):
        own = "its own words, and says nothing of another code"
        yield ask("code", f"{fact.code}: not the form of a fault code (P0740), it is kept as {own}")
        return
    try:
        for sentence in read_code(fact.code).doubts:
            yield advise("code", sentence)
    except ValueError as error:
        yield advise("code", str(error))


@doubtful.register(said.PartRemoved)
def removal(fact: said.PartRemoved, seen: Seen) -> Iterator[Doubt]:
    if fact.parent == fact.part:
        yield refuse("parent", f"{fact.name} cannot be taken off itself: name the sub-assembly, or leave it out")
    else:
        yield from _circle(fact, "parent", seen)
    part = seen.parts.get(fact.part)
    if part and part.removed and part.removed.fact.how == fact.how and not _went_back(part.removed, seen):
        yield advise("part", f"{part.name} is {_HOW[fact.how]} already: is this another one?")


_HOW = {"off": "off", "loosened": "loosened", "disconnected": "disconnected", "aside": "swung aside"}


def _went_back(removed: said.Entry[said.PartRemoved], seen: Seen) -> bool:
    return any(e.fact.check == f"{removed.id}.back" for e in seen.job.said(said.CheckConfirmed))


def _circle(fact: said.Fact, name: str, seen: Seen) -> Iterator[Doubt]:
    clash = clash_if_said(seen.job, said_now(fact, seen))
    if clash:
        circle = ", ".join(seen.name(part) for part in clash.parts)
        yield refuse(name, f"these would wait for one another for ever: {circle}; strike out an order said before")


@doubtful.register(said.OrderSaid)
def order_of_parts(fact: said.OrderSaid, seen: Seen) -> Iterator[Doubt]:
    if fact.goes == "independent":
        if fact.other:
            yield refuse("other", "independent means of every part: leave the other part out, or say before or after")
    elif not fact.other:
        yield refuse("other", f"{seen.name(fact.part)} goes {fact.goes} which part?")
    elif fact.other == fact.part:
        yield refuse("other", f"{seen.name(fact.part)} cannot go {fact.goes} itself: name the other part")
    else:
        yield from _circle(fact, "other", seen)


@doubtful.register(said.OrientationNoted)
def orientation(fact: said.OrientationNoted, seen: Seen) -> Iterator[Doubt]:
    if fact.faces.strip():
        try:
            read_facing(fact.faces)
        except ValueError as error:
            yield refuse("faces", str(error))
    if fact.clock.strip():
        try:
            clock = read_clock(fact.clock, fact.seen_from)
        except ValueError as error:
            yield refuse("clock", str(error))
        else:
            if clock.side is None:
                yield advise("seen_from", f"{clock} seen from which side? From the other side it is another place")
    elif not fact.faces.strip() and not fact.note.strip():
        do = "do" if several(fact.feature) else "does"
        yield advise("faces", f"which way {do} the {fact.feature} face? A side, or a clock position and from where")


@doubtful.register(said.MarkMade)
def mark(fact: said.MarkMade, seen: Seen) -> Iterator[Doubt]:
    if fact.marked_tooth and not fact.spline_teeth:
        yield advise("spline_teeth", f"tooth {fact.marked_tooth} of how many? Count them once, it is asked at refit")
    elif fact.marked_tooth and fact.spline_teeth and fact.marked_tooth > fact.spline_teeth:
        yield refuse(
            "marked_tooth",
            f"there is no tooth {fact.marked_tooth} of {fact.spline_teeth}: count from 1 to {fact.spline_teeth}",
        )
    elif fact.marked_tooth:
        yield from _counted_from_a_side(fact, f"tooth {fact.marked_tooth}")
    elif found := HOLE.search(f"{fact.mark}, {fact.to}, {fact.note}"):
        yield from _counted_from_a_side(fact, f"hole {found[1]}", circle_of(seen.parts[fact.part])[1])


def _counted_from_a_side(
    fact: said.MarkMade | said.WeightFound, place: str, side_of_circle: str = ""
) -> Iterator[Doubt]:
    """The first is the first from either side; any other is another one from behind."""
    if not place.endswith(" 1") and not (counted_from(fact) or side_of_circle):
        yield advise("seen_from", f"{place} counted from which side? From the other side it is another one")


@doubtful.register(said.WeightFound)
def balance_weight(fact: said.WeightFound, seen: Seen) -> Iterator[Doubt]:
    yield from measured("mass", fact.mass, "mass", seen)
    yield from measured("radius", fact.radius, "length", seen)
    if found := HOLE.search(fact.position):
        yield from _counted_from_a_side(fact, f"hole {found[1]}", circle_of(seen.parts[fact.part])[1])
    hole = HOLE.fullmatch(fact.position.strip())
    if hole is None:
        return
    counts = {e.fact.count for e in seen.parts[fact.part].said(said.FastenersRemoved)}
    if hole[2]:
        try:
            read_place(fact.position, "hole")
        except ValueError as error:
            yield refuse("position", str(error))
    elif int(hole[1]) == 0:
        yield refuse("position", "there is no hole 0: count from 1")
    elif counts and int(hole[1]) > max(counts):
        yield advise("position", f"hole {hole[1]}, but {seen.name(fact.part)} has {max(counts)} fasteners: count again")


@doubtful.register(said.FastenersRemoved)
def fastener_set(fact: said.FastenersRemoved, seen: Seen) -> Iterator[Doubt]:
    thread: Thread | None = None
    if fact.thread.strip() and fact.what.casefold() not in _THREADLESS:
        try:
            thread = read_thread(fact.thread)
        except ValueError as error:
            yield advise("thread", str(error))
        else:
            yield from thread_doubts(thread)
    yield from _lengths(fact, thread)
    yield from _class(fact, thread)
    for entry in seen.parts[fact.part].said(said.TorqueSpecified):
        spec = entry.fact
        if spec.fasteners == fact.fasteners and max(spec.order, default=0) > fact.count:
            yield refuse(
                "count",
                f"{fact.count} here, but its tightening order goes to {max(spec.order)}: strike out one of the two",
            )


def thread_doubts(thread: Thread) -> Iterator[Doubt]:
    if thread.doubt:
        yield advise("thread", thread.doubt)
    if thread.coarse_assumed:
        yield advise("thread", f"no pitch typed: coarse assumed, {pitch_in_words(thread)}")


def pitch_in_words(thread: Thread) -> str:
    return f"{thread.pitch_or_tpi} threads an inch" if thread.inch else f"{thread.pitch_or_tpi} mm"


def _lengths(fact: said.FastenersRemoved, thread: Thread | None) -> Iterator[Doubt]:
    if len(fact.lengths) not in {0, 1, fact.count}:
        yield refuse(
            "lengths",
            f"{len(fact.lengths)} lengths for {fact.count} positions: type one for all, or one for each position",
        )
    unit = INCH_UNIT if thread and thread.inch else METRE_UNIT
    for text in dict.fromkeys(fact.lengths):
        reading, doubt = reading_of("lengths", text, "length", unit)
        if doubt:
            yield doubt
        elif reading and reading.number == 0:
            yield refuse("lengths", "a fastener is longer than nothing: type its length or leave it out")


def _class(fact: said.FastenersRemoved, thread: Thread | None) -> Iterator[Doubt]:
    if not fact.strength.strip() or fact.what.casefold() not in {"bolt", "screw", "stud"}:
        return
    from reassembly.trade.grade import read_grade

    try:
        grade = read_grade(fact.strength)
        if thread:
            grade.strength(thread)
    except ValueError as error:
        yield advise("strength", str(error))


@doubtful.register(said.FluidDrained)
def drained(fact: said.FluidDrained, seen: Seen) -> Iterator[Doubt]:
    yield from fluid_named(fact.fluid)
    yield from measured("amount", fact.amount, "volume", seen)


@doubtful.register(said.LevelSpecified)
def level_window(fact: said.LevelSpecified, seen: Seen) -> Iterator[Doubt]:
    yield from fluid_named(fact.fluid)
    found = [*measured("low", fact.low, "temperature", seen), *measured("high", fact.high, "temperature", seen)]
    yield from found
    if fact.low.strip() and fact.high.strip() and not any(doubt.refuses for doubt in found):
        try:
            within_window(fact.low, fact.low, fact.high)
        except ValueError as error:
            yield refuse("high", str(error))
    yield from measured("volume", fact.volume, "volume", seen)
    if not fact.source.strip():
        yield advise("source", "no source given: name the manual and page the window was taken from")


@doubtful.register(said.BagPacked)
def bag(fact: said.BagPacked, seen: Seen) -> Iterator[Doubt]:
    for earlier in seen.job.said(said.BagPacked):
        if bag_code(earlier.fact.bag) == bag_code(fact.bag) and set(earlier.fact.parts) != set(fact.parts):
            holds = ", ".join(seen.name(part) for part in earlier.fact.parts) or earlier.fact.holds
            yield advise("bag", f"this label is on a bag of {holds} already: the words on it will change")
            return


@doubtful.register(said.BagShelved)
def shelved(fact: said.BagShelved, seen: Seen) -> Iterator[Doubt]:
    yield from _bag_known("bag", fact.bag, seen)


@doubtful.register(said.LabelSeen)
def label_seen(fact: said.LabelSeen, seen: Seen) -> Iterator[Doubt]:
    yield from _bag_known("code", fact.code, seen)


def _bag_known(field: str, letters: str, seen: Seen) -> Iterator[Doubt]:
    if bag_code(letters) not in bags(seen.job):
        yield refuse(field, f"no bag of this job has the letters {letters}: pack it first, or look at its label")


@doubtful.register(said.RenewalReceived)
def renewal_received(fact: said.RenewalReceived, seen: Seen) -> Iterator[Doubt]:
    if not fact.part_number.strip():
        yield advise("part_number", "no part number said: kept as on hand, and the record says that no number was")
    asked = seen.job.entry(fact.needed)
    match asked and asked.fact:
        case said.RenewalNeeded() | said.FastenersRemoved(reuse="renew"):
            return
    yield refuse("needed", f"{fact.needed} asks for nothing new in this job: choose what it was ordered for")
