"""The gearbox and propeller shaft job: all that a driveline technician may have to remember, in one vehicle."""

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
    OrderSaid,
    OrientationNoted,
    PartStuck,
    RenewalNeeded,
    RoadTested,
    Stage,
    StageTightened,
    TorqueSpecified,
    WeightFound,
)
from reassembly.job.job import parts
from reassembly.record.customer import Customer
from reassembly.record.demo.refit import Answers
from reassembly.record.demo.workshop import SOURCE

if TYPE_CHECKING:
    from reassembly.record.demo.person import Person

VEHICLE = JobOpened(
    vehicle="Wexmoor 4x4 estate",
    registration="4TN 881",
    vin="EZZWX4E13X0004881",
    odometer="184 300 km",
    complaint="drones at 60 to 80 km/h, goes late into second when cold, drips where it is parked",
    order="412",
)
CUSTOMER = Customer(name="Mabel Quillfeather", phone="555 0142", address="3 Millrace Lane, Wexmoor")

FLUID = "automatic fluid"
JOINT_TIE = "wire round the joint"
SUPPORT = "stand under the gearbox"
FORGOTTEN = "auxiliary heater pump connector"


def check_in(ann: Person) -> None:
    """What was wrong before anything was touched."""
    ann.says(
        CodeRead(code="P0732", module="gearbox control", status="stored", note="gear 2 ratio, 3 times since cleared"),
        CodeRead(code="P0741", module="gearbox control", status="pending"),
        RoadTested(felt="drone from 60 km/h in 4th and 5th, follows road speed; late into second", distance="12 km"),
        FindingNoted(what="automatic fluid leak, runs", where="at the connector sleeve, right rear of the pan"),
        FindingNoted(what="gear oil leak, damp", where="rear axle, below the pinion flange, not dripping"),
    )  # fmt: skip


def strip_down(ann: Person, ben: Person) -> None:
    """From below, front to rear, until the gearbox is open and the propeller shaft is on the bench."""
    _clear_the_way(ann)
    _open_the_driveline(ann)
    _propshaft_on_the_bench(ben)
    _open_the_gearbox(ann)


def _clear_the_way(ann: Person) -> None:
    tray = ann.takes("undertray", "front")
    ann.says(FastenersRemoved(part=tray, count=7, what="screw", thread="M6x1", lengths=("16",), drive="hex 8"))
    rear_tray = ann.takes("undertray", "rear", note="tongue goes above the front one")
    ann.says(FastenersRemoved(part=rear_tray, count=5, what="screw", thread="M6x1", lengths=("16",), drive="hex 8"))
    ann.bags(tray, rear_tray, holds="12 screws", shelf="C2")

    shield = ann.takes("heat shield")
    ann.says(FastenersRemoved(part=shield, count=4, what="nut", thread="M6x1", drive="hex 10"))
    hanger = ann.takes("exhaust hanger", "rear")
    ann.says(
        FastenersRemoved(part=hanger, count=2, thread="M8x1.25", lengths=("25",), strength="8.8", drive="hex 13"),
        PartStuck(part=hanger, freed="penetrating oil and patience", grease="soap water on the rubber, no grease"),
    )
    ann.bags(shield, hanger, shelf="C2")

    connector = ann.takes(FORGOTTEN, how="disconnected", note="grey plug, hidden above the crossmember")
    ann.says(
        OrderSaid(part=connector, goes="independent"),
        CareNoted(part=connector, care="connect", what="its lock pushed in, lead back in the clip"),
    )


def _open_the_driveline(ann: Person) -> None:
    flange = ann.takes("propshaft, rear flange", how="disconnected", note="seated all round, no gap")
    ann.says(
        MarkMade(part=flange, mark="white paint across both", to="pinion flange", note="made before parting"),
        WeightFound(
            part=flange, what="locking plate", mass="14 g", position="hole 1", radius="48 mm", seen_from="rear"
        ),
        WeightFound(
            part=flange, what="locking plate", mass="6 g", position="hole 3", radius="48 mm", seen_from="rear"
        ),
        FastenersRemoved(
            part=flange, count=4, thread="M10x1.25", lengths=("35",), strength="10.9", drive="hex 15", reuse="renew",
            safety_critical=True,
        ),
        TorqueSpecified(
            part=flange, stages=(Stage("torque", "40 N.m"), Stage("torque", "70 N.m")), layout="circle",
            seen_from="rear", order=(1, 3, 2, 4), source=f"{SOURCE}, page 212",
        ),
        CareNoted(part=flange, care="clean", what="both flange faces, no burr, no paint between"),
    )  # fmt: skip
    ann.bags(flange, holds="2 locking plates, each in its own envelope", shelf="C3")

    crossmember = ann.takes("crossmember", how="aside", note="left pair loosened, right pair out, swung to the left")
    ann.says(
        AidFitted(part=crossmember, aid=SUPPORT, where="under the rear of the gearbox, wood between"),
        FastenersRemoved(
            part=crossmember, count=4, thread="M12x1.75", lengths=("60", "60", "90", "90"), strength="10.9",
            drive="hex 18", note="the long pair is on the right",
        ),
        TorqueSpecified(
            part=crossmember, stages=(Stage("torque", "95 N.m"),), layout="rectangle 2x2", seen_from="below",
            order=(1, 3, 2, 4), source=f"{SOURCE}, page 209",
        ),
        OrientationNoted(part=crossmember, feature="arrow on the web", faces="front"),
        CareNoted(care="look", what="the crossmember once more: four bolts striped, rubber not twisted"),
    )  # fmt: skip
    ann.bags(crossmember, shelf="C3")

    bracket = ann.takes("centre bearing bracket")
    ann.says(
        FastenersRemoved(part=bracket, count=2, thread="M10x1.5", lengths=("40",), strength="8.8", drive="hex 16"),
        TorqueSpecified(part=bracket, stages=(Stage("torque", "45 N.m"),), layout="row", source=f"{SOURCE}, page 213"),
        MarkMade(part=bracket, mark="scribe line round the slotted holes", to="floor"),
    )
    ann.bags(bracket, shelf="C3")

    joint = ann.takes("propshaft, front joint", how="disconnected", note="faces together all round, boot not twisted")
    ann.says(
        AidFitted(part=joint, aid=JOINT_TIE, where="twice round, so that the joint cannot come apart"),
        MarkMade(part=joint, mark="one punch dot on each", to="gearbox output flange"),
        FastenersRemoved(
            part=joint, count=6, thread="M8x1.25", lengths=("50",), strength="10.9", drive="splined 8", reuse="renew",
            safety_critical=True,
        ),
        TorqueSpecified(
            part=joint, stages=(Stage("torque", "20 N.m"), Stage("angle", "90 deg")), layout="circle",
            seen_from="rear", source=f"{SOURCE}, page 211",
        ),
    )  # fmt: skip


def _propshaft_on_the_bench(ben: Person) -> None:
    shaft = ben.takes("propshaft", note="two people; never hangs on its joint")
    ben.says(FindingNoted(part=shaft, what="no dent, no weld cracked", where="both tubes"))

    universal = ben.takes("universal joint, rear", parent=shaft)
    ben.says(
        RenewalNeeded(part=universal, what="universal joint", part_number="UJ-2711", why="stiff in one direction, dry"),
        OrientationNoted(
            part=universal, feature="grease nipple", faces="front", clock="4:30", seen_from="rear",
            note="where a grease gun can reach it with the shaft fitted",
        ),
        RenewalNeeded(part=universal, what="snap rings", count=4, part_number="SR-27", why="once only"),
        CareNoted(part=universal, care="fit", what="four snap rings of one thickness, each turned in its groove"),
        CareNoted(part=universal, care="inspect", what="moves freely both ways, no play"),
    )  # fmt: skip
    yoke = ben.takes("sliding yoke", parent=shaft)
    ben.says(
        MarkMade(
            part=yoke, mark="yellow paint on tooth and tube", to="shaft", spline_teeth=28, marked_tooth=7,
            seen_from="rear",
        ),
        CareNoted(part=yoke, care="grease", what="splines, thin, and the seal lip"),
    )  # fmt: skip
    bearing = ben.takes("centre bearing", parent=shaft)
    ben.says(
        PartStuck(part=bearing, freed="puller and a little heat", grease="thin film of assembly paste on the seat"),
        OrientationNoted(part=bearing, feature="slots in the rubber", faces="front"),
        RenewalNeeded(part=bearing, what="centre bearing", part_number="CB-0450", why="rough, rubber torn"),
    )
    ben.bags(shaft, holds="tag on the shaft", shelf="long rack")


def _open_the_gearbox(ann: Person) -> None:
    ann.says(
        FluidDrained(
            fluid=FLUID, amount="5.1 l", where="gearbox",
            condition="dark, burnt smell, grey paste on the magnets, no chips",
        ),
        LevelSpecified(
            fluid=FLUID, low="35 degC", high="45 degC", engine="running", source=f"{SOURCE}, page 121",
            how="vehicle level, through every position, until a drip and not a stream",
        ),
        CareNoted(care="look", what="drain and filler plugs of transfer case and rear axle: nobody touched them, dry"),
    )  # fmt: skip
    cable = ann.takes("selector cable", how="disconnected", note="ball pushed on, clip closed; lever in P")
    ann.says(AidFitted(part=cable, aid="tape loop", where="holds the cable away from the pan"))

    plug = ann.takes("gearbox plug", how="disconnected", note="bayonet ring turned until it clicks")
    ann.says(CareNoted(part=plug, care="inspect", what="no fluid in the plug, pins straight and dry"))

    drain = ann.takes("drain plug")
    ann.says(
        RenewalNeeded(part=drain, what="sealing ring", part_number="SR-14", why="once only"),
        TorqueSpecified(part=drain, count=1, stages=(Stage("torque", "22 N.m"),), source=f"{SOURCE}, page 120"),
    )

    pan = ann.takes("gearbox pan", note="moulded pan, cracked at one corner; replaced by the pressed steel kind")
    ann.says(
        RenewalNeeded(part=pan, what="gearbox pan, pressed steel kind", part_number="GP-118-S", why="old one cracked"),
        RenewalNeeded(part=pan, what="pan gasket", part_number="GK-118", why="once only"),
        CareNoted(part=pan, care="inspect", what="gasket holes all open, none torn, rim flat"),
        CareNoted(part=pan, care="clean", what="sealing face of the gearbox, no old sealer, no thread of a rag"),
        CareNoted(part=pan, care="clean", what="sealing face of the pan, degreased"),
        FastenersRemoved(
            part=pan, count=13, thread="M6x1", lengths=("20",), strength="8.8", drive="hex 10", reuse="renew",
            note="bolts of the steel pan; those of the moulded one are 28 long and touch bottom",
        ),
        TorqueSpecified(
            part=pan, stages=(Stage("by hand"), Stage("torque", "4 N.m"), Stage("torque", "8 N.m")),
            layout="perimeter", seen_from="below", source=f"{SOURCE}, page 118",
        ),
    )  # fmt: skip
    ann.bags(pan, holds="13 bolts of the steel pan", shelf="B1")
    magnets = ann.takes("pan magnets", parent=pan)
    ann.says(
        WeightFound(part=magnets, what="magnet", position="the ridge left of the drain"),
        WeightFound(part=magnets, what="magnet", position="the pocket at the right rear corner"),
        CareNoted(part=magnets, care="clean", what="magnets, wiped until bright"),
    )

    oil_filter = ann.takes("oil filter")
    ann.says(
        RenewalNeeded(part=oil_filter, what="oil filter", part_number="OF-118", why="dark fluid"),
        RenewalNeeded(part=oil_filter, what="filter O-ring", part_number="OR-31", why="once only"),
        CareNoted(part=oil_filter, care="inspect", what="old O-ring is out of the bore, bore smooth"),
        CareNoted(part=oil_filter, care="grease", what="O-ring, with clean automatic fluid"),
        CareNoted(part=oil_filter, care="fit", what="both locating pins in their holes, filter flat"),
        FastenersRemoved(
            part=oil_filter, count=3, what="screw", thread="M6x1", lengths=("45", "45", "60"), drive="splined 5"
        ),
        TorqueSpecified(part=oil_filter, stages=(Stage("torque", "6 N.m"),), source=f"{SOURCE}, page 117"),
    )  # fmt: skip
    ann.bags(oil_filter, shelf="B1")

    sleeve = ann.takes("connector sleeve")
    ann.says(
        RenewalNeeded(part=sleeve, what="connector sleeve with seals", part_number="CS-09", why="leaked"),
        OrientationNoted(part=sleeve, feature="lug", faces="into the slot", clock="4", seen_from="rear"),
        CareNoted(part=sleeve, care="grease", what="both sleeve seals, with clean automatic fluid"),
        CareNoted(part=sleeve, care="connect", what="lock pushed home, click felt"),
        AidFitted(part=sleeve, aid="clean rag", where="in the bore of the sleeve"),
    )


def tighten_again(ben: Person) -> None:
    """What ben does about the warning that T2 was out of calibration."""
    bracket = parts(ben.desk.job(ben.job))["centre bearing bracket"]
    for specified in bracket.said(TorqueSpecified):
        ben.says(StageTightened(specification=specified.id, stage=1, wrench="T3"))


def answers(ben: Person, ann: Person) -> Answers:
    """What ben answers at refit where a plain yes is not enough; ann is the second person."""
    return Answers(
        worker=ben,
        second=ann,
        one_by_one=frozenset({"propshaft, rear flange", "propshaft, front joint", "gearbox pan"}),
        wrenches={
            "drain plug": "T1", "gearbox pan": "T1", "oil filter": "T1", "propshaft, front joint": "T1",
            "centre bearing bracket": "T2",
        },
        batches={
            "UJ-2711": "0907", "SR-27": "0907", "SR-14": "B2", "CB-0450": "22-118", "GP-118-S": "7731",
            "GK-118": "7731", "OF-118": "5520", "OR-31": "A14", "CS-09": "3306",
        },
        fills=(
            FluidFilled(fluid=FLUID, amount="3.2 l", phase="standing", batch="F-2209"),
            FluidFilled(fluid=FLUID, amount="1.1 l", phase="engine started", batch="F-2209"),
            FluidFilled(fluid=FLUID, amount="0.5 l", phase="through the positions", batch="F-2209"),
            FluidFilled(fluid=FLUID, amount="0.3 l", phase="running", batch="F-2210"),
        ),
        levels=(
            LevelChecked(fluid=FLUID, temperature="31 degC", engine="running", found="low", note="too cool yet"),
            LevelChecked(fluid=FLUID, temperature="41 degC", engine="running", note="a drip, not a stream"),
        ),
        drive=RoadTested(
            when="after", felt="no drone up to 110 km/h, second gear at once, warm and cold", distance="18 km"
        ),
        read=CodeRead(when="after", none_stored=True, module="gearbox control"),
        forgets=frozenset({FORGOTTEN}),
    )  # fmt: skip
