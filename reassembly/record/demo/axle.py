"""A van whose pinion seal was renewed a year ago, and which comes back with a complaint."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.entries import (
    AidFitted,
    CareNoted,
    CodeRead,
    FastenersRemoved,
    FindingNoted,
    FluidDrained,
    FluidFilled,
    JobOpened,
    LevelChecked,
    LevelSpecified,
    MarkMade,
    OrientationNoted,
    RenewalNeeded,
    RoadTested,
    Stage,
    TorqueSpecified,
    WeightFound,
)
from reassembly.record.customer import Customer
from reassembly.record.demo.refit import Answers
from reassembly.record.demo.workshop import SOURCE

if TYPE_CHECKING:
    from reassembly.record.demo.person import Person

VAN = JobOpened(
    vehicle="Tallis van",
    registration="7KD 204",
    vin="EZZTV2B14T0007204",
    odometer="96 120 km",
    complaint="oil spots under the rear axle, rear wheel rim dirty inside",
    order="287",
)
CUSTOMER = Customer(name="Orla Fenwhistle", phone="555 0177", email="orla@fenwhistle.example")
GEAR_OIL = "axle gear oil"


def back_again(earlier: str) -> JobOpened:
    """The come-back: the same van, a year on."""
    return JobOpened(
        vehicle=VAN.vehicle,
        registration=VAN.registration,
        vin=VAN.vin,
        odometer="121 480 km",
        complaint="shudder from the rear when pulling away, since a week; was that not repaired last year?",
        order="418",
        earlier=earlier,
    )


def seal_job(ben: Person) -> None:
    """The earlier job, as it was taken apart."""
    ben.says(
        CodeRead(none_stored=True),
        RoadTested(felt="nothing felt or heard up to 90 km/h", distance="6 km"),
        FindingNoted(what="gear oil leak, drips", where="pinion seal of the rear axle"),
    )
    flange = ben.takes("propshaft, rear flange", how="disconnected", note="seated all round, no gap")
    ben.says(
        MarkMade(part=flange, mark="two punch dots", to="pinion flange"),
        WeightFound(
            part=flange, what="riveted weight", position="90 deg from the dots", radius="52 mm",
            seen_from="front",
        ),
        FastenersRemoved(
            part=flange, count=4, thread="M10x1.25", lengths=("32",), strength="10.9", drive="hex 15",
            safety_critical=True,
        ),
        TorqueSpecified(
            part=flange, stages=(Stage("torque", "65 N.m"),), layout="circle", seen_from="front", order=(1, 3, 2, 4),
            source=f"{SOURCE}, page 63", retorque="after 500 km",
        ),
        AidFitted(part=flange, aid="strap round the shaft", where="from the shaft to the chassis, left"),
    )  # fmt: skip
    ben.bags(flange, shelf="A2")
    ben.says(
        FluidDrained(fluid=GEAR_OIL, amount="1.4 l", where="rear axle", condition="clear, fine paste on the plug"),
        LevelSpecified(fluid=GEAR_OIL, how="to the lower edge of the filler hole, vehicle level", engine="off"),
    )
    nut = ben.takes("pinion flange", note="never driven on with a hammer")
    ben.says(
        MarkMade(
            part=nut, mark="white paint on tooth and shaft", to="pinion", spline_teeth=26, marked_tooth=1,
            seen_from="front",
        ),
        FastenersRemoved(part=nut, count=1, what="nut", thread="M20x1.5", strength="10", drive="hex 30", reuse="renew"),
        TorqueSpecified(
            part=nut, stages=(Stage("torque", "120 N.m"), Stage("angle", "60 deg")), source=f"{SOURCE}, page 64"
        ),
        CareNoted(part=nut, care="inspect", what="running face for the seal, no groove a nail can feel"),
    )  # fmt: skip
    seal = ben.takes("pinion seal")
    ben.says(
        RenewalNeeded(part=seal, what="pinion seal", part_number="PS-64", why="leaked"),
        OrientationNoted(part=seal, feature="lip with the spring", faces="into the axle"),
        CareNoted(part=seal, care="grease", what="lip, with gear oil"),
    )


def seal_answers(ben: Person, ann: Person) -> Answers:
    """How that job was put back, with wrenches of that time; a stripe was left out and joss answers for it."""
    return Answers(
        worker=ben,
        second=ann,
        wrenches={"pinion flange": "T4", "propshaft, rear flange": "T3"},
        one_by_one=frozenset({"propshaft, rear flange"}),
        batches={"PS-64": "2041"},
        excepts={
            "retorque after 500 km: done, or told to the customer": (
                "customer lives far off, will have it done there",
                "joss",
            )
        },
        fills=(FluidFilled(fluid=GEAR_OIL, amount="1.4 l", phase="standing", batch="G-118"),),
        levels=(LevelChecked(fluid=GEAR_OIL, engine="off", temperature="24 degC"),),
        drive=RoadTested(when="after", felt="quiet up to 90 km/h, seal dry after it", distance="9 km"),
        read=CodeRead(when="after", none_stored=True),
    )


def come_back(ann: Person) -> None:
    """The van again, half taken apart: where the bench was left in the evening."""
    ann.says(
        CodeRead(none_stored=True),
        RoadTested(felt="shudder from 0 to 15 km/h, worse uphill, gone when coasting", distance="5 km"),
        FindingNoted(what="pinion seal dry", where="rear axle: last year's repair holds"),
        FindingNoted(what="play, 2 mm at the rim", where="centre bearing, rubber torn on the right"),
    )
    shield = ann.takes("exhaust shield")
    ann.says(FastenersRemoved(part=shield, count=3, what="nut", thread="M6x1", drive="hex 10"))
    bracket = ann.takes("handbrake cable bracket", how="aside", note="cable stays in it")
    ann.says(FastenersRemoved(part=bracket, count=2, thread="M8x1.25", lengths=("20",), strength="8.8", drive="hex 13"))
    ann.bags(shield, bracket, shelf="A1")
    flange = ann.takes("propshaft, rear flange", how="disconnected", note="seated all round, no gap")
    ann.says(
        MarkMade(part=flange, mark="green paint beside last year's dots", to="pinion flange"),
        FastenersRemoved(
            part=flange, count=4, thread="M10x1.25", lengths=("32",), strength="10.9", drive="hex 15",
            safety_critical=True,
        ),
        AidFitted(part=flange, aid="strap round the shaft", where="from the shaft to the chassis, left"),
    )  # fmt: skip
