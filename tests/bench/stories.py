"""Believable jobs of an invented workshop: what is said from check-in to sign-off.

Jobs of one pattern say the same number of words in the same order, so that a job of a long record can be compared with
one of a record that has no other.
"""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from reassembly.job.entries import (
    AidFitted,
    AidRemoved,
    BagPacked,
    CareNoted,
    CheckConfirmed,
    CodeRead,
    CodesCleared,
    FastenersRemoved,
    FindingNoted,
    FluidDrained,
    FluidFilled,
    JobOpened,
    LevelChecked,
    LevelSpecified,
    MarkMade,
    OrientationNoted,
    PartRemoved,
    PersonAdded,
    RenewalNeeded,
    RenewalReceived,
    RoadTested,
    SecondCheckMade,
    Stage,
    StageTightened,
    TorqueSpecified,
    WeightFound,
    WrenchAdded,
    WrenchCalibrated,
)
from reassembly.job.plan import plan
from reassembly.record.customer import Customer

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from reassembly.job.checks import Check
    from reassembly.job.entries import Fact
    from reassembly.job.job import Job

PATTERNS = 40
"""How many shapes of jobs there are: job n has shape n % PATTERNS."""

COME_BACK = 10
"""Every so many jobs one is a come-back, from five jobs earlier."""

WORKER, SECOND = "ann", "ben"

_FLUID = "gear oil, blue can"
_MAKERS = ("Wexmoor", "Tallis", "Orrin", "Kestwick", "Palmeray", "Dunlow", "Harrowby", "Mistral Vale")
_MODELS = ("4x4 estate", "van", "pickup", "saloon", "light truck", "minibus")
_FELT = ("drone at 70 km/h", "knock when pulling away", "whine on the overrun", "shudder at 40 km/h", "slips when hot")
_WHERE = (
    "after a long hill",
    "when cold",
    "in the third gear",
    "with a trailer",
    "on the motorway",
    "when turning left",
)
_FIRST = ("Alda", "Bram", "Corin", "Della", "Edric", "Fenna", "Garran", "Hilde", "Ivo", "Jessamy")
_LAST = ("Thistlewood", "Marrowby", "Penderwick", "Oakshaw", "Quillfeather", "Brindlecombe", "Sallowfield", "Tarrant")
_PARTS = (
    "heat shield", "exhaust bracket", "propshaft", "centre bearing", "crossmember", "gear linkage", "speed sensor",
    "cooler pipe", "gearbox pan", "filter", "connector sleeve", "valve body", "starter motor", "inspection cover",
    "transfer case", "sliding yoke", "pinion flange", "gearbox mount", "drive shaft", "axle cover", "breather hose",
    "output seal", "selector shaft", "dust cap",
)  # fmt: skip


def shop() -> Iterator[Fact]:
    """People and wrenches."""
    yield PersonAdded(person=WORKER, name="Ann Thistlewood")
    yield PersonAdded(person=SECOND, name="Ben Marrowby")
    for number in range(1, 9):
        yield WrenchAdded(wrench=f"T{number}", low="10 N.m", high="200 N.m", name="click wrench")
        yield WrenchCalibrated(
            wrench=f"T{number}", on="2016-01-04", certificate=f"C-{400 + number}, invented laboratory"
        )


def registration(number: int) -> str:
    """The plate of the vehicle of a job; no two jobs share one but a come-back and its earlier job."""
    vehicle = number - 5 if is_come_back(number) else number
    scattered = vehicle * 7919 % 100_000  # a prime: neighbours look nothing alike, and none is given twice
    letters = "BCDFGHJKLMNPRSTVWXYZ"
    return f"{letters[vehicle % 20]}{letters[vehicle // 20 % 20]} {scattered:05} {letters[vehicle // 400 % 20]}"


def is_come_back(number: int) -> bool:
    return number % COME_BACK == COME_BACK - 1


def check_in(number: int, earlier: str) -> JobOpened:
    """The vehicle of a job; `earlier` is the job it comes back from."""
    chance = Random(number)
    return JobOpened(
        vehicle=f"{chance.choice(_MAKERS)} {chance.choice(_MODELS)}",
        registration=registration(number),
        odometer=f"{chance.randrange(20_000, 400_000)} km",
        complaint=f"{chance.choice(_FELT)}, {chance.choice(_WHERE)}",
        order=f"W{10_000 + number}",
        earlier=earlier,
    )


def customer(number: int) -> Customer:
    chance = Random(number)
    first, last = chance.choice(_FIRST), chance.choice(_LAST)
    return Customer(
        name=f"{first} {last}",
        phone=f"0555 {chance.randrange(1_000_000):06}",
        email=f"{first}.{last}@example.org".lower(),
    )


def strip_down(number: int, new_bag: Callable[[], str]) -> Iterator[Fact]:
    """Everything said until the vehicle is apart."""
    shape = Random(number % PATTERNS)
    yield CodeRead(code=f"P07{shape.randrange(10, 99)}", module="gearbox", status="stored")
    yield RoadTested(felt=f"{shape.choice(_FELT)}, {shape.choice(_WHERE)}", distance="12 km")
    yield FindingNoted(what="leak", where="rear of the gearbox pan, left corner")
    yield FluidDrained(fluid=_FLUID, amount="4.2 l", condition="dark, no metal")
    yield LevelSpecified(
        fluid=_FLUID, low="35 degC", high="45 degC", engine="running", source="invented manual, page 31"
    )
    for name in shape.sample(_PARTS, shape.randrange(11, 16)):
        yield from _part(shape, name, new_bag)


def many_parts(count: int, new_bag: Callable[[], str]) -> Iterator[Fact]:
    """As many parts taken off one vehicle."""
    shape = Random(count)
    for number in range(count):
        yield from _part(shape, f"{_PARTS[number % len(_PARTS)]} {number // len(_PARTS) + 1}", new_bag)


def _part(shape: Random, name: str, new_bag: Callable[[], str]) -> Iterator[Fact]:
    yield PartRemoved(part=name, name=name, how=shape.choice(("off", "off", "off", "loosened", "disconnected")))
    yield FastenersRemoved(
        part=name,
        count=shape.choice((2, 4, 4, 6, 8, 12)),
        thread=shape.choice(("M6x1", "M8x1.25", "M10x1.5", "M10x1.25")),
        strength=shape.choice(("8.8", "10.9")),
        drive="hex 13",
        safety_critical=shape.random() < 0.2,
    )
    if shape.random() < 0.8:
        yield TorqueSpecified(
            part=name,
            stages=(Stage("torque", "20 N.m"), Stage("torque", "40 N.m")),
            layout="circle",
            source=f"invented manual, page {shape.randrange(10, 300)}",
        )
    if shape.random() < 0.5:
        yield OrientationNoted(part=name, feature="lettering", faces="rear")
    if shape.random() < 0.4:
        yield MarkMade(part=name, mark="white paint", to="flange", spline_teeth=shape.choice((None, 27, 31)))
    if shape.random() < 0.2:
        yield WeightFound(part=name, position="hole 2", mass="14 g")
    if shape.random() < 0.3:
        yield AidFitted(aid="plug", where=f"opening behind the {name}", part=name)
    if shape.random() < 0.3:
        yield RenewalNeeded(what="gasket", part=name, part_number=f"INV-{shape.randrange(1000, 9999)}")
    if shape.random() < 0.5:
        yield CareNoted(care="clean", what="sealing faces", part=name)
    yield BagPacked(bag=new_bag(), parts=(name,), shelf=f"{shape.choice('ABC')}{shape.randrange(1, 9)}")


def refit(job: Job) -> Iterator[tuple[str, Fact]]:
    """An answer to every check of a job that is apart, in refit order, each with who says it."""
    for check in plan(job).checks:
        for fact in _answers(check):
            yield SECOND if check.way == "second" else WORKER, fact


def _answers(check: Check) -> Iterator[Fact]:
    match check.way:
        case "tighten":
            stage = int(check.key.rpartition(".stage")[2])
            yield StageTightened(
                specification=check.asked_by.id, stage=stage, wrench=f"T{check.asked_by.number % 8 + 1}"
            )
        case "second":
            yield SecondCheckMade(check=check.key)
        case "aid":
            yield AidRemoved(aid=check.asked_by.id)
        case "receive":
            yield RenewalReceived(needed=check.asked_by.id, batch=f"B {_month(check)}")
        case "fill":
            yield FluidFilled(fluid=_FLUID, amount="4.2 l", phase="standing", batch=f"drum {_month(check)}")
            yield CheckConfirmed(check=check.key, value="4.2 l")
        case "level":
            yield LevelChecked(fluid=_FLUID, temperature="40 degC", engine="running")
        case "clear":
            yield CodesCleared()
        case "drive":
            yield RoadTested(when="after", felt="quiet", distance="14 km", speed="80 km/h")
        case "read":
            yield CodeRead(when="after", none_stored=True)
        case _:
            yield CheckConfirmed(check=check.key)


def _month(check: Check) -> str:
    """A packet of new parts and a drum of oil last a month."""
    return check.asked_by.time[:7]
