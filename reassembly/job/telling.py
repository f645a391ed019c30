"""Each fact as one line of plain words: for the last line said, the record and the strike list."""

from __future__ import annotations

from functools import singledispatch
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job import entries as said
from reassembly.job.asks import two_groups, words
from reassembly.job.checks import checks
from reassembly.job.job import Job, parts
from reassembly.job.notation import USUAL, Notation
from reassembly.job.places import clock_place, seen_from, weight, weight_place
from reassembly.job.wording import many, plural, size, verb

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from reassembly.job.entries import Entry, Fact


class Names(NamedTuple):
    """What ids are called: parts, checks, aids and specifications of one job."""

    parts: dict[str, str]
    checks: dict[str, str]
    entries: dict[str, str]
    jobs: Mapping[str, str] = {}
    """Other jobs, which only the record knows by more than their id."""
    written: Notation = USUAL
    """How dates that no person typed freely are written."""

    @classmethod
    def of(cls, job: Job) -> Names:
        """Struck facts are still told by their names."""
        whole = Job(tuple(sorted((*job.entries, *job.struck), key=lambda e: e.order)))
        called = {part.id: part.name for part in parts(whole).values()}
        return cls(
            parts=called,
            checks={c.key: words(c.wording, called.get(c.part, "")) for c in checks(whole)},
            entries={e.id: _short(e, called) for e in whole.entries},
        )

    def part(self, part: str) -> str:
        return self.parts.get(part, part)

    def check(self, key: str) -> str:
        return self.checks.get(key) or f"a check that nothing asks for here ({key})"

    def entry(self, key: str) -> str:
        return self.entries.get(key) or f"an entry not heard of here ({key})"


def tell(entry: Entry[Fact] | Entry[said.Unknown], names: Names) -> str:
    """One entry in one line, without its time and author."""
    return " ".join(told(entry.fact, names).split())


def fasteners(fact: said.FastenersRemoved) -> str:
    """A fastener set as it is written on a bag: `4 x M10x1.25x35 10.9, renew`."""
    thread = size(fact.thread, fact.lengths)
    kind = plural(fact.what, fact.count) if fact.what != "bolt" or not words(thread, fact.strength) else ""
    return words(
        words(f"{fact.count} x", thread, fact.strength, kind, between=" "),
        fact.fasteners,
        fact.drive,
        (fact.reuse == "renew" and "RENEW") or "",
    )


def stages(several: Iterable[said.Stage]) -> str:
    """Stages as they are said: `by hand, 30 N.m, 90 deg`."""
    return ", ".join(s.value if s.kind in {"torque", "angle"} else words(s.kind, s.value, between=" ") for s in several)


def _short(entry: Entry[Fact], called: dict[str, str]) -> str:
    fact = entry.fact
    match fact:
        case said.AidFitted(aid=aid):
            return aid
        case said.TorqueSpecified(part=part):
            return called.get(part, part)
        case said.RenewalNeeded(what=what):
            return what
        case said.FastenersRemoved(what=what, part=part):
            return f"{what}s of {called.get(part, part)}"
    part = getattr(fact, "part", "")
    return words(title_of(type(fact)), called.get(part, part), between=" of ")


def title_of(kind: type) -> str:
    """What a kind of fact is called on a form, a list and in a sentence."""
    return TITLES.get(kind, "entry of a newer program")


TITLES: dict[type, str] = {
    said.JobOpened: "check-in",
    said.CustomerNamed: "customer",
    said.CodeRead: "code",
    said.RoadTested: "road test",
    said.DrivelineNoted: "driveline",
    said.FindingNoted: "finding",
    said.PhotoKept: "photo",
    said.PartRemoved: "removal",
    said.OrientationNoted: "orientation",
    said.MarkMade: "mark",
    said.WeightFound: "balance weight",
    said.FastenersRemoved: "fastener set",
    said.TorqueSpecified: "torque",
    said.AidFitted: "aid",
    said.FluidDrained: "fluid drained",
    said.LevelSpecified: "how the level is taken",
    said.BagPacked: "bag",
    said.OrderSaid: "order of parts",
    said.PartStuck: "stuck part",
    said.CareNoted: "care at refit",
    said.RenewalNeeded: "part to renew",
    said.RenewalReceived: "new part on hand",
    said.LabelPrinted: "label sent",
    said.LabelSeen: "label seen",
    said.BagShelved: "shelf of a bag",
    said.CheckConfirmed: "confirmation",
    said.StageTightened: "tightening",
    said.CheckPutOff: "not now",
    said.AidRemoved: "aid out again",
    said.SecondCheckMade: "second check",
    said.ExceptionAccepted: "exception",
    said.FluidFilled: "fluid filled",
    said.LevelChecked: "level taken",
    said.CodesCleared: "codes cleared",
    said.SignedOff: "sign-off",
    said.JobReopened: "reopening",
    said.EntryStruck: "strike",
    said.DetailsErased: "erasure of details",
    said.PersonAdded: "person",
    said.WrenchAdded: "wrench",
    said.WrenchCalibrated: "calibration",
    said.WrenchFailed: "failed wrench",
    said.SpecNoted: "spec book",
    said.ShelfAdded: "shelf",
    said.BenchNamed: "bench name",
}


@singledispatch
def told(fact: object, names: Names) -> str:
    """A fact in plain words. Every kind has its own: there is no default."""
    raise NotImplementedError(type(fact).__name__)


@told.register
def _(fact: said.JobOpened, names: Names) -> str:
    back = f"come-back from {names.jobs.get(fact.earlier, fact.earlier)}" if fact.earlier else ""
    order = f"order {fact.order}" if fact.order else ""
    return words(
        "checked in" if fact.vehicle else "added to the check-in",
        order,
        fact.vehicle,
        fact.registration,
        fact.vin,
        fact.odometer,
        fact.complaint,
        back,
    )


@told.register
def _(fact: said.CustomerNamed, names: Names) -> str:
    return "customer's details noted, kept where they can be erased"


@told.register
def _(fact: said.CodeRead, names: Names) -> str:
    none = "none stored" if fact.none_stored or fact.when == "before" else "nothing said"
    return words(f"code read {fact.when} the work: {fact.code or none}", fact.module, fact.status, fact.note)


@told.register
def _(fact: said.RoadTested, names: Names) -> str:
    return words(
        f"road test {fact.when} the work",
        fact.outcome and f"complaint {fact.outcome}",
        fact.felt,
        fact.speed and f"at {fact.speed}",
        fact.frequency,
        fact.engine_speed and f"engine at {fact.engine_speed}",
        fact.gear_ratio and f"gear ratio {fact.gear_ratio}",
        fact.distance,
        "driven as before" if fact.as_before else "",
    )


@told.register
def _(fact: said.DrivelineNoted, names: Names) -> str:
    return words(
        "driveline",
        fact.tyre and f"tyre {fact.tyre}",
        fact.axle_ratio and f"axle ratio {fact.axle_ratio}",
        f"{fact.cylinders} cylinders" if fact.cylinders else "",
        f"joint angles {', '.join(fact.joint_angles)}" if fact.joint_angles else "",
        fact.shaft_mass and f"shaft {fact.shaft_mass}",
        fact.shaft_length and f"shaft {fact.shaft_length} long",
        words(fact.tube and f"tube {fact.tube}", fact.wall and f"wall {fact.wall}", between=" "),
        fact.source and f"source {fact.source}",
    )


@told.register
def _(fact: said.FindingNoted, names: Names) -> str:
    return words(f"found {fact.when} the work: {fact.what}", fact.where, names.part(fact.part))


@told.register
def _(fact: said.PhotoKept, names: Names) -> str:
    return words(
        "photo", fact.caption, names.part(fact.part), fact.taken and f"taken {names.written.minute(fact.taken)}"
    )


@told.register
def _(fact: said.PartRemoved, names: Names) -> str:
    how = {"off": "taken off", "aside": "swung aside"}.get(fact.how, fact.how)
    parent = f"of {names.part(fact.parent)}" if fact.parent else ""
    return words(f"{names.part(fact.part)} {how}", parent, fact.note)


@told.register
def _(fact: said.OrientationNoted, names: Names) -> str:
    faces = f"{verb('face', fact.feature)} {fact.faces}" if fact.faces else ""
    return words(f"{names.part(fact.part)}: {fact.feature} {words(faces, clock_place(fact))}".strip(), fact.note)


@told.register
def _(fact: said.MarkMade, names: Names) -> str:
    teeth = words(
        f"tooth {fact.marked_tooth}" if fact.marked_tooth else "",
        f"{fact.spline_teeth} teeth" if fact.spline_teeth else "",
        between=" of ",
    )
    counted = words(teeth, seen_from(fact.seen_from), between=" ")
    return words(f"{names.part(fact.part)} marked: {fact.mark}", fact.to and f"to {fact.to}", counted, fact.note)


@told.register
def _(fact: said.WeightFound, names: Names) -> str:
    place = f"{weight(fact)} at {weight_place(fact)}"
    return words(f"{names.part(fact.part)}: {place}", fact.radius and f"radius {fact.radius}")


@told.register
def _(fact: said.FastenersRemoved, names: Names) -> str:
    safety = "safety-critical" if fact.safety_critical else ""
    return words(f"{names.part(fact.part)}: {fasteners(fact)}", safety, fact.note)


@told.register
def _(fact: said.TorqueSpecified, names: Names) -> str:
    source = f"source {fact.source}" if fact.source else "no source"
    order = f"order {' '.join(map(str, fact.order))}" if fact.order else ""
    return words(
        words(f"{names.part(fact.part)} torque:", stages(fact.stages) or "no stages", between=" "),
        fact.fasteners,
        f"{fact.count} positions" if fact.count else "",
        words(fact.layout, seen_from(fact.seen_from), between=" "),
        order,
        source,
        fact.retorque and f"retorque {fact.retorque}",
    )


@told.register
def _(fact: said.AidFitted, names: Names) -> str:
    return words(f"aid fitted: {fact.aid}", fact.where, names.part(fact.part))


@told.register
def _(fact: said.FluidDrained, names: Names) -> str:
    return words(f"drained: {fact.fluid}", fact.amount, fact.where, fact.condition)


@told.register
def _(fact: said.LevelSpecified, names: Names) -> str:
    engine = f"engine {fact.engine}" if fact.engine else ""
    source = f"source {fact.source}" if fact.source else "no source"
    window = words(fact.low, fact.high, between=" to ")
    volume = fact.volume and f"{fact.volume} in all"
    return words(f"level of {fact.fluid}", window, engine, fact.how, volume, source)


@told.register
def _(fact: said.BagPacked, names: Names) -> str:
    inside = words(*(names.part(p) for p in dict.fromkeys(fact.parts)), fact.holds)
    return words(words(f"bag {two_groups(fact.bag)}", inside, between=": "), fact.shelf and f"shelf {fact.shelf}")


@told.register
def _(fact: said.OrderSaid, names: Names) -> str:
    if fact.goes == "independent":
        return f"{names.part(fact.part)} need not wait for its turn"
    return f"{names.part(fact.part)} goes back {fact.goes} {names.part(fact.other)}"


@told.register
def _(fact: said.PartStuck, names: Names) -> str:
    return words(
        f"{names.part(fact.part)} was stuck",
        fact.freed and f"freed by {fact.freed}",
        fact.grease and f"at refit: {fact.grease}",
    )


@told.register
def _(fact: said.CareNoted, names: Names) -> str:
    return words(f"mind at refit: {fact.care} {fact.what}", names.part(fact.part))


@told.register
def _(fact: said.RenewalNeeded, names: Names) -> str:
    return words(f"renew: {fact.count} x {fact.what}", names.part(fact.part), fact.part_number, fact.why)


@told.register
def _(fact: said.RenewalReceived, names: Names) -> str:
    batch = f"batch {fact.batch}" if fact.batch else ""
    number = fact.part_number or "no part number said"
    return words(f"on hand: {names.entry(fact.needed)}", number, batch, fact.note)


@told.register
def _(fact: said.LabelPrinted, names: Names) -> str:
    copy = f"copy {fact.copy_number}" if fact.copy_number > 1 else ""
    return words(f"label {two_groups(fact.code)} sent", fact.printer, copy)


@told.register
def _(fact: said.LabelSeen, names: Names) -> str:
    return f"label {two_groups(fact.code)} is on its bag: {'scanned back' if fact.scanned else 'looked at'}"


@told.register
def _(fact: said.BagShelved, names: Names) -> str:
    return f"bag {two_groups(fact.bag)} on shelf {fact.shelf}"


@told.register
def _(fact: said.CheckConfirmed, names: Names) -> str:
    return words(f"confirmed: {names.check(fact.check)}", fact.value, fact.note)


@told.register
def _(fact: said.StageTightened, names: Names) -> str:
    where = f"position {fact.position}" if fact.position else "whole stage at once"
    wrench = words(fact.wrench and f"wrench {fact.wrench}", fact.setting and f"set to {fact.setting}", between=" ")
    return words(
        f"tightened: {names.entry(fact.specification)} stage {fact.stage}", where, fact.value, wrench, fact.reason
    )


@told.register
def _(fact: said.CheckPutOff, names: Names) -> str:
    return f"not now: {names.check(fact.check)}: {fact.reason}"


@told.register
def _(fact: said.AidRemoved, names: Names) -> str:
    return f"out again: {names.entry(fact.aid)}"


@told.register
def _(fact: said.SecondCheckMade, names: Names) -> str:
    return words(f"second check: {names.check(fact.check)}", fact.note, no_badge(fact.named))


@told.register
def _(fact: said.ExceptionAccepted, names: Names) -> str:
    accepted = words(fact.accepted_by, no_badge(fact.named))
    return f"EXCEPTION: {names.check(fact.check)}: {fact.reason} (accepted by {accepted})"


def no_badge(named: str) -> str:
    """How a second person was named, where that was by typing alone."""
    return "name typed, no badge" if named == "typed" else ""


@told.register
def _(fact: said.FluidFilled, names: Names) -> str:
    return words(f"filled: {fact.amount} {fact.fluid}", fact.phase, fact.batch and f"batch {fact.batch}")


@told.register
def _(fact: said.LevelChecked, names: Names) -> str:
    engine = f"engine {fact.engine}" if fact.engine else ""
    return words(
        f"level of {fact.fluid} {fact.found}", fact.temperature and f"at {fact.temperature}", engine, fact.note
    )


@told.register
def _(fact: said.CodesCleared, names: Names) -> str:
    return words("codes cleared", fact.module)


@told.register
def _(fact: said.SignedOff, names: Names) -> str:
    count = len(fact.exceptions)
    return words("SIGNED OFF", many(count, "exception") if count else "", fact.note)


@told.register
def _(fact: said.JobReopened, names: Names) -> str:
    return f"reopened: {fact.why}"


@told.register
def _(fact: said.EntryStruck, names: Names) -> str:
    return f"struck out: {names.entry(fact.entry)}: {fact.why}"


@told.register
def _(fact: said.DetailsErased, names: Names) -> str:
    return words("customer's details erased on request", fact.why)


@told.register
def _(fact: said.PersonAdded, names: Names) -> str:
    return words(f"person {fact.person}", fact.name, fact.badge and f"badge {two_groups(fact.badge)}")


@told.register
def _(fact: said.WrenchAdded, names: Names) -> str:
    tag = fact.tag and f"tag {two_groups(fact.tag)}"
    cycles = f"{fact.cycles} cycles allowed" if fact.cycles is not None else ""
    return words(f"wrench {fact.wrench}", fact.name, words(fact.low, fact.high, between=" to "), cycles, tag)


@told.register
def _(fact: said.WrenchCalibrated, names: Names) -> str:
    until = f"good until {names.written.dated(fact.until)}" if fact.until else ""
    return words(f"wrench {fact.wrench} calibrated {names.written.dated(fact.on)}", until, fact.certificate)


@told.register
def _(fact: said.WrenchFailed, names: Names) -> str:
    return words(f"wrench {fact.wrench} FAILED {names.written.dated(fact.on)}", fact.why)


@told.register
def _(fact: said.SpecNoted, names: Names) -> str:
    bolt = words(fact.thread, fact.strength, between=" ")
    return words(f"spec book: {fact.vehicle}, {fact.joint}", bolt, stages(fact.stages), f"source {fact.source}")


@told.register
def _(fact: said.ShelfAdded, names: Names) -> str:
    return words(f"shelf {fact.shelf}", fact.label and f"label {two_groups(fact.label)}")


@told.register
def _(fact: said.BenchNamed, names: Names) -> str:
    return f"this bench is called {fact.name}"


@told.register
def _(fact: said.Unknown, names: Names) -> str:
    return f"an entry of a newer program: {fact.raw[:60].decode('utf-8', 'replace')}"
