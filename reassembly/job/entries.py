"""The file format: what a person can say. Fields are added with a default, never changed or removed.

A field's title is what a form calls it, its description what a form explains; the table in DEVELOPERS.md is made of
both. Decimals stay text with their unit as typed. A part is named by its id within the job; another fact by its
entry id, `bench.number`.

No annotation is postponed here: as text each is compiled again at every start, which doubles what this file costs.
"""

from typing import Annotated, Any, Generic, Literal, TypeVar, Union

import msgspec
from msgspec import Meta

BEFORE_OR_AFTER = Literal["before", "after"]
StageKind = Literal["by hand", "torque", "angle", "back off", "check pass"]


class Fact(msgspec.Struct, frozen=True, kw_only=True, tag=True, tag_field="kind", omit_defaults=True):
    """Something that happened, in the past tense. Carries no time and no author: Entry does."""


Part = Annotated[str, Meta(title="part", description="the part's id in this job")]
Note = Annotated[str, Meta(title="note", description="anything else, in your own words")]
SetName = Annotated[
    str, Meta(title="which fasteners", description="only where one part has several sets, such as 'long bolts'")
]
EntryId = Annotated[str, Meta(title="entry", description="bench.number of the entry meant")]
CheckKey = Annotated[str, Meta(title="check", description="key of the check meant")]
Person = Annotated[str, Meta(title="person", description="short name, as said at the bench")]
Named = Annotated[
    Literal["", "badge", "typed"],
    Meta(title="named by", description="a scanned badge, or typed at the bench; empty: nobody kept it"),
]
PositionNumber = Annotated[int, Meta(ge=1, le=200)]
EntryNumber = Annotated[int, Meta(ge=0, le=(1 << 63) - 1)]
When = Annotated[BEFORE_OR_AFTER, Meta(title="before or after", description="before or after the work")]

# check-in


class JobOpened(Fact, frozen=True):
    """A vehicle came in."""

    vehicle: Annotated[str, Meta(title="vehicle", description="model, as the shop says it")]
    registration: Annotated[str, Meta(title="registration", description="as on the plate")] = ""
    vin: Annotated[str, Meta(title="VIN", description="17 characters")] = ""
    odometer: Annotated[str, Meta(title="odometer", description="with its unit, 184 300 km")] = ""
    complaint: Annotated[str, Meta(title="complaint", description="in the customer's words")] = ""
    order: Annotated[str, Meta(title="order number", description="the shop's own, if it has one")] = ""
    earlier: Annotated[str, Meta(title="earlier job", description="a come-back: the job it comes back from")] = ""
    torque_unit: Annotated[str, Meta(title="torque unit", description="meant where a torque is typed bare")] = "N.m"


class CustomerNamed(Fact, frozen=True):
    """Who brought the vehicle. The words stand beside the journal and can be erased; here is their salted SHA-256."""

    digest: Annotated[str, Meta(title="digest", description="SHA-256 of salt and details, in hex")]


class CodeRead(Fact, frozen=True):
    """A fault code was read, or that none is stored. Before the work an empty code says so too; after it, nothing."""

    when: When = "before"
    code: Annotated[str, Meta(title="code", description="P0735; where there is none, say none stored")] = ""
    none_stored: Annotated[bool, Meta(title="none stored", description="it was read, and no code is stored")] = False
    module: Annotated[str, Meta(title="module", description="which control unit")] = ""
    status: Annotated[str, Meta(title="status", description="stored, pending, permanent")] = ""
    note: Note = ""


class RoadTested(Fact, frozen=True):
    """The vehicle was driven to feel the fault, or that it has gone. After the work: how it went."""

    when: When = "before"
    felt: Annotated[str, Meta(title="felt", description="what was felt or heard, at which speed and gear")] = ""
    outcome: Annotated[
        Literal["", "gone", "still there"], Meta(title="complaint", description="gone or still there")
    ] = ""
    distance: Annotated[str, Meta(title="distance", description="with its unit, 12 km")] = ""
    speed: Annotated[str, Meta(title="at road speed", description="at which it was felt, 80 km/h")] = ""
    frequency: Annotated[str, Meta(title="frequency", description="measured or counted, 42 Hz or 2520 cpm")] = ""
    engine_speed: Annotated[str, Meta(title="engine speed", description="on the rev counter, 2400 rpm")] = ""
    gear_ratio: Annotated[str, Meta(title="gear ratio", description="of the gear it was felt in, 1.00")] = ""
    as_before: Annotated[
        bool, Meta(title="driven as before", description="same road, speed and gear as the test before the work")
    ] = False


class DrivelineNoted(Fact, frozen=True):
    """What turns how fast and at which angles, as far as it was read off or measured: numbers to reckon with."""

    tyre: Annotated[str, Meta(title="tyre", description="size as 235/60R18, or measured roll-out as 2.24 m")] = ""
    axle_ratio: Annotated[
        str, Meta(title="axle ratio", description="turns of the shaft for one of the wheel, 3.73")
    ] = ""
    cylinders: Annotated[int, Meta(title="cylinders", description="of the engine", ge=1, le=200)] | None = None
    joint_angles: Annotated[
        tuple[str, ...],
        Meta(title="joint angles", description="working angle of each joint, front to rear, 3 deg, 2.5 deg"),
    ] = ()
    shaft_mass: Annotated[str, Meta(title="shaft mass", description="of the propeller shaft, 9 kg")] = ""
    shaft_length: Annotated[str, Meta(title="shaft length", description="joint to joint, 1500 mm")] = ""
    tube: Annotated[str, Meta(title="tube", description="outside diameter, 76 mm")] = ""
    wall: Annotated[str, Meta(title="tube wall", description="thickness, 1.65 mm")] = ""
    source: Annotated[str, Meta(title="source", description="sidewall, plate, manual, measured")] = ""


class FindingNoted(Fact, frozen=True):
    """Something was seen: a leak, wear, damage, an earlier repair."""

    what: Annotated[str, Meta(title="finding", description="leak, wear, play, damage")]
    where: Annotated[str, Meta(title="where", description="the place, as precisely as a lamp shows it")] = ""
    when: When = "before"
    part: Part = ""


class PhotoKept(Fact, frozen=True):
    """A picture was kept, by its content."""

    digest: Annotated[str, Meta(title="digest", description="SHA-256 of the kept file, in hex")]
    caption: Annotated[str, Meta(title="caption", description="what it shows")] = ""
    part: Part = ""
    source: Annotated[str, Meta(title="source", description="SHA-256 of the picture it was made from, in hex")] = ""
    taken: Annotated[str, Meta(title="taken", description="when, by the camera's own clock, 2026-03-14T16:50")] = ""


# strip-down


class PartRemoved(Fact, frozen=True):
    """A part was taken off, loosened, disconnected or swung aside."""

    part: Part
    name: Annotated[str, Meta(title="name", description="what it is called at the bench")]
    how: Annotated[
        Literal["off", "loosened", "disconnected", "aside"], Meta(title="how", description="how it came off")
    ] = "off"
    parent: Annotated[
        str, Meta(title="of sub-assembly", description="the removed part it was taken off, on the bench")
    ] = ""
    side: Annotated[str, Meta(title="side", description="left, right, front, rear, upper, lower")] = ""
    note: Note = ""


class OrientationNoted(Fact, frozen=True):
    """Which feature faces which way, or stands at which clock position."""

    part: Part
    feature: Annotated[str, Meta(title="feature", description="lug, slots, grease nipple, lettering")]
    faces: Annotated[str, Meta(title="faces", description="front, rear, up, outboard")] = ""
    clock: Annotated[str, Meta(title="clock position", description="4 or 4:30")] = ""
    seen_from: Annotated[str, Meta(title="seen from", description="the side the clock is looked at from")] = ""
    note: Note = ""


class MarkMade(Fact, frozen=True):
    """Two parts were marked before parting: paint, scribe or punch; on splines the tooth."""

    part: Part
    mark: Annotated[str, Meta(title="mark", description="white paint, two punch dots")]
    to: Annotated[str, Meta(title="in line with", description="what the mark lines up with")] = ""
    spline_teeth: Annotated[int, Meta(title="teeth on the spline", description="counted", ge=2, le=400)] | None = None
    marked_tooth: (
        Annotated[
            int, Meta(title="marked tooth", description="from the missing or marked reference tooth", ge=1, le=400)
        ]
        | None
    ) = None
    seen_from: Annotated[
        str, Meta(title="seen from", description="the side the tooth or hole is counted from, clockwise")
    ] = ""
    note: Note = ""


class WeightFound(Fact, frozen=True):
    """A balance weight, or a small piece that also balances, was found at its place."""

    part: Part
    position: Annotated[str, Meta(title="position", description="hole 2, or 140 deg")]
    mass: Annotated[str, Meta(title="mass", description="if known, 14 g")] = ""
    radius: Annotated[str, Meta(title="radius", description="if known, 45 mm")] = ""
    what: Annotated[str, Meta(title="kind", description="riveted, clip, locking plate")] = ""
    seen_from: Annotated[
        str, Meta(title="seen from", description="the side the hole or angle is counted from, clockwise")
    ] = ""


class FastenersRemoved(Fact, frozen=True):
    """One set of bolts, nuts, screws or clips of a part."""

    part: Part
    count: Annotated[int, Meta(title="count", description="how many", ge=1, le=200)]
    what: Annotated[str, Meta(title="kind", description="bolt, nut, screw, stud, clip")] = "bolt"
    fasteners: SetName = ""
    thread: Annotated[str, Meta(title="thread", description="M10x1.25, 3/8-24 UNF")] = ""
    lengths: Annotated[
        tuple[str, ...], Meta(title="lengths", description="one for all, or one for each position, clockwise")
    ] = ()
    strength: Annotated[str, Meta(title="class", description="property class or grade: 8.8, 10.9, SAE 5")] = ""
    drive: Annotated[str, Meta(title="drive", description="hex 13, internal hex 6, splined 10")] = ""
    reuse: Annotated[Literal["reuse", "renew"], Meta(title="reuse or renew", description="may they go back?")] = "reuse"
    safety_critical: Annotated[
        bool,
        Meta(title="safety-critical", description="a second person confirms: propshaft, axle, wheel, brake, steering"),
    ] = False
    note: Note = ""


class Stage(msgspec.Struct, frozen=True, omit_defaults=True):
    """One pass over a fastener set."""

    kind: StageKind
    value: str = ""


class TorqueSpecified(Fact, frozen=True):
    """How a fastener set is tightened, as the technician took it from a named source."""

    part: Part
    stages: Annotated[
        tuple[Stage, ...], Meta(title="stages", description="30 N.m, 60 N.m, 90 deg; by hand; back off; check pass")
    ]
    fasteners: SetName = ""
    count: (
        Annotated[int, Meta(title="count", description="only where no fastener set is recorded", ge=1, le=200)] | None
    ) = None
    layout: Annotated[
        str, Meta(title="layout", description="circle, rectangle 2x5, perimeter, row, points 0,0 10,5")
    ] = ""
    seen_from: Annotated[str, Meta(title="seen from", description="the side the positions are counted from")] = ""
    order: Annotated[
        tuple[PositionNumber, ...],
        Meta(title="order", description="the manual's order of positions; empty: a generic one"),
    ] = ()
    source: Annotated[str, Meta(title="source", description="manual and page the values were taken from")] = ""
    retorque: Annotated[str, Meta(title="retorque", description="if the source asks for it: after 50 km")] = ""


class AidFitted(Fact, frozen=True):
    """Something was fitted only for the work and must come out again."""

    aid: Annotated[str, Meta(title="aid", description="wire, plug, stand, rag, locking pin")]
    where: Annotated[str, Meta(title="where", description="where to look for it")] = ""
    part: Part = ""


class FluidDrained(Fact, frozen=True):
    """Fluid was let out."""

    fluid: Annotated[str, Meta(title="fluid", description="automatic fluid, gear oil, coolant")]
    amount: Annotated[str, Meta(title="amount", description="measured, 5.8 l")] = ""
    condition: Annotated[str, Meta(title="condition", description="colour, smell, chips on the magnet")] = ""
    where: Annotated[str, Meta(title="where from", description="gearbox, axle")] = ""


class LevelSpecified(Fact, frozen=True):
    """How the fluid level is taken, from a named source."""

    fluid: Annotated[str, Meta(title="fluid", description="automatic fluid, gear oil")]
    low: Annotated[str, Meta(title="from temperature", description="lower end of the window, 35 degC")] = ""
    high: Annotated[str, Meta(title="to temperature", description="upper end of the window, 45 degC")] = ""
    how: Annotated[str, Meta(title="how", description="overflow plug, dipstick, through which positions")] = ""
    engine: Annotated[Literal["running", "off", ""], Meta(title="engine", description="running or off")] = ""
    source: Annotated[str, Meta(title="source", description="manual and page")] = ""
    volume: Annotated[str, Meta(title="volume", description="all the fluid in the unit, 9 l")] = ""


class BagPacked(Fact, frozen=True):
    """Small parts went into a bag, or a tag was tied to a part."""

    bag: Annotated[str, Meta(title="code", description="the ten letters on the label")]
    parts: Annotated[tuple[str, ...], Meta(title="parts", description="ids of the parts it belongs to")]
    holds: Annotated[str, Meta(title="holds", description="what is in it, where not simply the part's fasteners")] = ""
    shelf: Annotated[str, Meta(title="shelf", description="where it waits")] = ""


class OrderSaid(Fact, frozen=True):
    """At refit, one part goes before or after another, or need not wait for its turn."""

    part: Part
    goes: Annotated[
        Literal["before", "after", "independent"], Meta(title="goes", description="before, after, or independent")
    ]
    other: Annotated[str, Meta(title="of part", description="the other part's id; empty for independent")] = ""


class PartStuck(Fact, frozen=True):
    """A part would not come; how it was freed, and what must be done so that it comes off next time."""

    part: Part
    freed: Annotated[str, Meta(title="freed by", description="heat, penetrating oil, puller")]
    grease: Annotated[str, Meta(title="greased with", description="what goes on at refit, and where")] = ""


class CareNoted(Fact, frozen=True):
    """Something to do or look at when the part goes back; without a part, before the vehicle leaves."""

    care: Annotated[
        Literal["clean", "inspect", "grease", "seal", "fit", "connect", "look"],
        Meta(title="do what", description="clean, inspect, grease or oil, seal, fit, connect, look at"),
    ]
    what: Annotated[str, Meta(title="what", description="sealing faces; gasket holes; click felt")]
    part: Part = ""


class RenewalNeeded(Fact, frozen=True):
    """Something has to be new: gasket, seal, O-ring, bolt, worn part."""

    what: Annotated[str, Meta(title="what", description="gasket, O-ring, joint")]
    part: Part = ""
    count: Annotated[int, Meta(title="count", description="how many", ge=1, le=200)] = 1
    part_number: Annotated[str, Meta(title="part number", description="to order by")] = ""
    why: Annotated[str, Meta(title="why", description="worn, once-only, damaged")] = ""


class RenewalReceived(Fact, frozen=True):
    """The new part is on hand."""

    needed: Annotated[
        str, Meta(title="for", description="entry id of what asked for it: a renewal, or fasteners to renew")
    ]
    part_number: Annotated[str, Meta(title="part number", description="as on the packet")] = ""
    batch: Annotated[str, Meta(title="batch", description="as on the packet")] = ""
    note: Note = ""


class LabelPrinted(Fact, frozen=True):
    """A label was sent to a printer or a file. Sent is not yet on the bag."""

    code: Annotated[str, Meta(title="code", description="the ten letters")]
    copy_number: Annotated[int, Meta(title="copy", description="1 for the first", ge=1, le=1000)] = 1
    printer: Annotated[str, Meta(title="printer", description="where it went")] = ""


class LabelSeen(Fact, frozen=True):
    """A label is on its bag: it was scanned back, or the person who looked says so."""

    code: Annotated[str, Meta(title="code", description="the ten letters")]
    scanned: Annotated[bool, Meta(title="scanned", description="read by a scanner, not by eye")] = False


class BagShelved(Fact, frozen=True):
    """A bag or tagged part was put on a shelf; said last counts."""

    bag: Annotated[str, Meta(title="code", description="the ten letters on the label")]
    shelf: Annotated[str, Meta(title="shelf", description="where it waits: C4")]


# refit


class CheckConfirmed(Fact, frozen=True):
    """One check was confirmed by the person who did it."""

    check: CheckKey
    value: Annotated[str, Meta(title="measured", description="a measured value, if any, with its unit")] = ""
    note: Note = ""


class StageTightened(Fact, frozen=True):
    """One position of one stage was tightened, or (without a position) the whole stage at once."""

    specification: Annotated[str, Meta(title="specification", description="entry id of the TorqueSpecified")]
    stage: Annotated[int, Meta(title="stage", description="1 for the first", ge=1, le=200)]
    position: Annotated[int, Meta(title="position", description="empty: the whole stage", ge=1, le=200)] | None = None
    value: Annotated[str, Meta(title="measured", description="if the tool told it, with its unit")] = ""
    wrench: Annotated[str, Meta(title="wrench", description="id of the wrench used")] = ""
    setting: Annotated[str, Meta(title="setting", description="what the wrench was set to, if not the value")] = ""
    reason: Annotated[
        str, Meta(title="reason", description="why with a wrench in doubt, where the joint is safety-critical")
    ] = ""


class CheckPutOff(Fact, frozen=True):
    """A check waits for something: it stays open, and whoever comes next sees why."""

    check: CheckKey
    reason: Annotated[str, Meta(title="reason", description="what it waits for")]


class AidRemoved(Fact, frozen=True):
    """An aid came out again."""

    aid: Annotated[str, Meta(title="aid", description="entry id of the AidFitted")]


class SecondCheckMade(Fact, frozen=True):
    """A different person looked at safety-critical work and confirms it."""

    check: CheckKey
    note: Note = ""
    named: Named = ""


class ExceptionAccepted(Fact, frozen=True):
    """A check is knowingly not met, for a reason, and a named person answers for it."""

    check: CheckKey
    reason: Annotated[str, Meta(title="reason", description="why it is not met")]
    accepted_by: Person
    named: Named = ""


class FluidFilled(Fact, frozen=True):
    """Fluid went in; amounts of several fills are added up."""

    fluid: Annotated[str, Meta(title="fluid", description="as drained")]
    amount: Annotated[str, Meta(title="amount", description="2.5 l")]
    phase: Annotated[
        Literal["standing", "engine started", "through the positions", "running", ""],
        Meta(title="when", description="standing, engine started, through the positions, running"),
    ] = ""
    batch: Annotated[str, Meta(title="batch", description="as on the can")] = ""


class LevelChecked(Fact, frozen=True):
    """The level was taken, at a temperature."""

    fluid: Annotated[str, Meta(title="fluid", description="as drained")]
    temperature: Annotated[str, Meta(title="temperature", description="read at the fluid, 40 degC")] = ""
    engine: Annotated[Literal["running", "off", ""], Meta(title="engine", description="running or off")] = ""
    found: Annotated[Literal["right", "low", "high"], Meta(title="level", description="right, low or high")] = "right"
    note: Note = ""


class CodesCleared(Fact, frozen=True):
    """Fault codes were cleared."""

    module: Annotated[str, Meta(title="module", description="empty: all")] = ""


# close


class SignedOff(Fact, frozen=True):
    """The job was closed, every check confirmed or excepted."""

    covers: Annotated[
        dict[str, EntryNumber], Meta(title="covers", description="last entry number of each bench it covers")
    ]
    exceptions: Annotated[tuple[str, ...], Meta(title="exceptions", description="keys of the excepted checks")] = ()
    note: Note = ""
    checks: Annotated[
        tuple[str, ...],
        Meta(
            title="checks",
            description="keys of all checks asked then, so that a later version asks no more; empty: all",
        ),
    ] = ()


class JobReopened(Fact, frozen=True):
    """A closed job goes on."""

    why: Annotated[str, Meta(title="why", description="what was left or came up")]


class EntryStruck(Fact, frozen=True):
    """An entry was a slip. It stays readable."""

    entry: EntryId
    why: Annotated[str, Meta(title="why", description="what was wrong with it")]


class DetailsErased(Fact, frozen=True):
    """A customer's details were erased on request."""

    entry: EntryId
    why: Annotated[str, Meta(title="why", description="who asked")] = ""


# shop: said with no job


class PersonAdded(Fact, frozen=True):
    """Somebody works here."""

    person: Person
    name: Annotated[str, Meta(title="full name", description="as it stands on the record")] = ""
    badge: Annotated[str, Meta(title="badge", description="ten letters, if the person has one")] = ""


class WrenchAdded(Fact, frozen=True):
    """A torque tool came into the wrench rack."""

    wrench: Annotated[str, Meta(title="wrench", description="short id on its tag, T3")]
    low: Annotated[str, Meta(title="lowest", description="end of its scale, 40 N.m")]
    high: Annotated[str, Meta(title="highest", description="end of its scale, 200 N.m")]
    name: Annotated[str, Meta(title="name", description="click wrench, 1/2 inch")] = ""
    tag: Annotated[str, Meta(title="tag", description="ten letters, if it has one")] = ""
    cycles: (
        Annotated[
            int,
            Meta(
                title="cycles allowed",
                description="from one calibration to the next, by its maker or the shop's rule; empty: 5000",
                ge=1,
                le=1_000_000,
            ),
        ]
        | None
    ) = None


class WrenchCalibrated(Fact, frozen=True):
    """A torque tool was calibrated."""

    wrench: Annotated[str, Meta(title="wrench", description="its id")]
    on: Annotated[str, Meta(title="on", description="date, 2026-03-14")]
    until: Annotated[str, Meta(title="good until", description="date, 2027-03-14")] = ""
    certificate: Annotated[str, Meta(title="certificate", description="number and laboratory")] = ""


class WrenchFailed(Fact, frozen=True):
    """A torque tool failed its calibration, was dropped or overloaded."""

    wrench: Annotated[str, Meta(title="wrench", description="its id")]
    on: Annotated[str, Meta(title="on", description="date, 2026-03-14")]
    why: Annotated[str, Meta(title="why", description="read 12 % low at 100 N.m; dropped")] = ""


class SpecNoted(Fact, frozen=True):
    """A torque value the shop has taken from a manual, with its source."""

    vehicle: Annotated[str, Meta(title="vehicle", description="model it is for")]
    joint: Annotated[str, Meta(title="joint", description="propshaft to pinion flange")]
    stages: Annotated[tuple[Stage, ...], Meta(title="stages", description="30 N.m, 60 N.m, 90 deg")]
    source: Annotated[str, Meta(title="source", description="manual and page")]
    thread: Annotated[str, Meta(title="thread", description="M10x1.25")] = ""
    strength: Annotated[str, Meta(title="class", description="10.9")] = ""


class ShelfAdded(Fact, frozen=True):
    """A place in the shop where bags wait."""

    shelf: Annotated[str, Meta(title="shelf", description="what it is called: C4")]
    label: Annotated[str, Meta(title="label", description="ten letters, if it has one")] = ""


class BenchNamed(Fact, frozen=True):
    """What people call this bench."""

    name: Annotated[str, Meta(title="bench name", description="the bench by the window")]


class Unknown(msgspec.Struct, frozen=True):
    """A fact this program has no word for: kept as it came, and open at sign-off."""

    raw: bytes
    trouble: str


F = TypeVar("F")
K = TypeVar("K", bound=Fact)


class Entry(msgspec.Struct, Generic[F], frozen=True, kw_only=True):
    """One fact as it is kept: who said it, when, at which bench, and what was said there just before."""

    version: int = 1
    bench: str
    number: int
    hlc: int
    time: str
    clock_trusted: bool = False
    who: str
    job: str
    previous: str
    fact: F

    @property
    def id(self) -> str:
        return f"{self.bench}.{self.number}"

    @property
    def order(self) -> tuple[int, str, int]:
        """The order in which facts are read, the same at every bench."""
        return self.hlc, self.bench, self.number


def kinds() -> tuple[type[Fact], ...]:
    """Every kind of fact, in the order of this file."""
    return tuple(Fact.__subclasses__())


_envelope: msgspec.json.Decoder[Entry[Any]] = msgspec.json.Decoder(Entry[msgspec.Raw])
_fact: msgspec.json.Decoder[Any] = msgspec.json.Decoder(Union[kinds()])  # noqa: UP007 - made at run time
_encode = msgspec.json.Encoder(order="deterministic").encode


def write(entry: Entry[Any]) -> bytes:
    """The bytes that are kept and hashed."""
    if isinstance(entry.fact, Unknown):
        entry = msgspec.structs.replace(entry, fact=msgspec.Raw(entry.fact.raw))
    return _encode(entry)


def read(body: bytes) -> Entry[Fact | Unknown]:
    """An entry from its bytes. Raises msgspec.ValidationError or DecodeError when there is no envelope."""
    entry = _envelope.decode(body)
    try:
        fact: Fact | Unknown = _fact.decode(entry.fact)
    except msgspec.MsgspecError as error:
        fact = Unknown(bytes(entry.fact), str(error))
    return msgspec.structs.replace(entry, fact=fact)


def read_fact(raw: bytes) -> Fact:
    """A fact from its bytes. Raises msgspec.ValidationError with the field that is wrong."""
    fact: Fact = _fact.decode(raw)
    return fact
