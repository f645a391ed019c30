"""What the invented 24-part job is meant to keep: the words on its bags, read into facts by a person."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job import entries as said

if TYPE_CHECKING:
    from reassembly.job.entries import Fact

FACTS: list[Fact] = [
    said.PartRemoved(part="undertray, front", name="undertray", side="front"),
    said.FastenersRemoved(part="undertray, front", count=7, what="screw", thread="M6", lengths=("16",), drive="hex 8"),
    said.PartRemoved(part="undertray, rear", name="undertray", side="rear"),
    said.FastenersRemoved(part="undertray, rear", count=5, what="screw", thread="M6", lengths=("16",), drive="hex 8"),
    said.PartRemoved(part="heat shield", name="heat shield"),
    said.FastenersRemoved(part="heat shield", count=4, what="nut", thread="M6", drive="hex 10"),
    said.PartRemoved(part="exhaust hanger, rear", name="exhaust hanger", side="rear"),
    said.FastenersRemoved(part="exhaust hanger, rear", count=2, thread="M8", lengths=("25",), strength="8.8"),
    said.PartStuck(part="exhaust hanger, rear", freed="penetrating oil", grease="soap water"),
    said.PartRemoved(part="heater pump connector", name="heater pump connector", how="disconnected"),
    said.CareNoted(care="connect", what="lock pushed in", part="heater pump connector"),
    said.PartRemoved(part="propshaft, rear flange", name="propshaft, rear flange"),
    said.FastenersRemoved(
        part="propshaft, rear flange",
        count=4,
        thread="M10x1.25",
        lengths=("35",),
        strength="10.9",
        drive="hex 15",
        reuse="renew",
        safety_critical=True,
    ),
    said.TorqueSpecified(
        part="propshaft, rear flange",
        stages=(said.Stage(kind="torque", value="40 Nm"), said.Stage(kind="torque", value="70 Nm")),
        layout="circle",
        seen_from="rear",
        order=(1, 3, 2, 4),
        source="manual p 212",
    ),
    said.MarkMade(part="propshaft, rear flange", mark="white paint", to="pinion flange"),
    said.WeightFound(part="propshaft, rear flange", position="hole 1", mass="14 g", what="locking plate"),
    said.WeightFound(part="propshaft, rear flange", position="hole 3", mass="6 g", what="locking plate"),
    said.PartRemoved(part="crossmember", name="crossmember", how="aside"),
    said.FastenersRemoved(
        part="crossmember", count=4, thread="M12", lengths=("60", "60", "90", "90"), strength="10.9", drive="hex 18"
    ),
    said.TorqueSpecified(part="crossmember", stages=(said.Stage(kind="torque", value="95 Nm"),), source="manual p 209"),
    said.OrientationNoted(part="crossmember", feature="arrow", faces="front"),
    said.AidFitted(aid="stand", where="under gearbox", part="crossmember"),
    said.PartRemoved(part="centre bearing bracket", name="centre bearing bracket"),
    said.FastenersRemoved(
        part="centre bearing bracket", count=2, thread="M10", lengths=("40",), strength="8.8", drive="hex 16"
    ),
    said.TorqueSpecified(
        part="centre bearing bracket", stages=(said.Stage(kind="torque", value="45 Nm"),), source="manual p 213"
    ),
    said.MarkMade(part="centre bearing bracket", mark="scribe line", to="floor"),
    said.PartRemoved(part="propshaft, front joint", name="propshaft, front joint", how="disconnected"),
    said.FastenersRemoved(
        part="propshaft, front joint",
        count=6,
        thread="M8",
        lengths=("50",),
        strength="10.9",
        drive="splined 8",
        reuse="renew",
        safety_critical=True,
    ),
    said.TorqueSpecified(
        part="propshaft, front joint",
        stages=(said.Stage(kind="torque", value="20 Nm"), said.Stage(kind="angle", value="90 deg")),
        layout="circle",
        seen_from="rear",
        source="manual p 211",
    ),
    said.MarkMade(part="propshaft, front joint", mark="punch dots", to="output flange"),
    said.AidFitted(aid="wire", where="round joint", part="propshaft, front joint"),
    said.PartRemoved(part="propshaft", name="propshaft"),
    said.PartRemoved(part="universal joint, rear", name="universal joint", parent="propshaft", side="rear"),
    said.OrientationNoted(part="universal joint, rear", feature="grease nipple", clock="4:30", seen_from="rear"),
    said.RenewalNeeded(what="joint", part="universal joint, rear", part_number="UJ-2711"),
    said.RenewalNeeded(what="snap rings", part="universal joint, rear", count=4),
    said.PartRemoved(part="sliding yoke", name="sliding yoke", parent="propshaft"),
    said.MarkMade(part="sliding yoke", mark="yellow paint", to="tube", spline_teeth=28, marked_tooth=7),
    said.CareNoted(care="grease", what="splines", part="sliding yoke"),
    said.PartRemoved(part="centre bearing", name="centre bearing", parent="propshaft"),
    said.OrientationNoted(part="centre bearing", feature="slots", faces="front"),
    said.RenewalNeeded(what="bearing", part="centre bearing", part_number="CB-0450"),
    said.PartStuck(part="centre bearing", freed="puller", grease="assembly paste"),
    said.PartRemoved(part="selector cable", name="selector cable", how="disconnected"),
    said.AidFitted(aid="tape loop", where="round pan", part="selector cable"),
    said.PartRemoved(part="gearbox plug", name="gearbox plug", how="disconnected"),
    said.CareNoted(care="inspect", what="pins dry", part="gearbox plug"),
    said.PartRemoved(part="drain plug", name="drain plug"),
    said.TorqueSpecified(part="drain plug", stages=(said.Stage(kind="torque", value="22 Nm"),), source="manual p 120"),
    said.RenewalNeeded(what="ring", part="drain plug"),
    said.PartRemoved(part="gearbox pan", name="gearbox pan"),
    said.FastenersRemoved(
        part="gearbox pan", count=13, thread="M6", lengths=("20",), strength="8.8", drive="hex 10", reuse="renew"
    ),
    said.TorqueSpecified(
        part="gearbox pan",
        stages=(
            said.Stage(kind="by hand"),
            said.Stage(kind="torque", value="4 Nm"),
            said.Stage(kind="torque", value="8 Nm"),
        ),
        layout="perimeter",
        seen_from="below",
        source="manual p 118",
    ),
    said.RenewalNeeded(what="gasket", part="gearbox pan"),
    said.CareNoted(care="clean", what="sealing faces", part="gearbox pan"),
    said.CareNoted(care="inspect", what="gasket holes", part="gearbox pan"),
    said.PartRemoved(part="pan magnets 1", name="pan magnets 1", parent="gearbox pan"),
    said.CareNoted(care="clean", what="magnets", part="pan magnets 1"),
    said.PartRemoved(part="pan magnets 2", name="pan magnets 2", parent="gearbox pan"),
    said.CareNoted(care="clean", what="magnets", part="pan magnets 2"),
    said.PartRemoved(part="oil filter", name="oil filter"),
    said.FastenersRemoved(
        part="oil filter", count=3, what="screw", thread="M6", lengths=("45", "45", "60"), drive="splined 5"
    ),
    said.TorqueSpecified(part="oil filter", stages=(said.Stage(kind="torque", value="6 Nm"),), source="manual p 117"),
    said.RenewalNeeded(what="filter", part="oil filter"),
    said.RenewalNeeded(what="O-ring", part="oil filter"),
    said.CareNoted(care="fit", what="both locating pins", part="oil filter"),
    said.PartRemoved(part="connector sleeve", name="connector sleeve"),
    said.OrientationNoted(part="connector sleeve", feature="lug", clock="4", seen_from="rear"),
    said.AidFitted(aid="rag", where="in bore", part="connector sleeve"),
    said.RenewalNeeded(what="sleeve", part="connector sleeve"),
    said.RenewalNeeded(what="seals", part="connector sleeve"),
    said.CareNoted(care="connect", what="click felt", part="connector sleeve"),
    said.PartRemoved(part="input speed sensor", name="input speed sensor"),
    said.FastenersRemoved(part="input speed sensor", count=1, thread="M6", lengths=("16",), drive="hex 10"),
    said.TorqueSpecified(
        part="input speed sensor", stages=(said.Stage(kind="torque", value="10 Nm"),), source="manual p 130"
    ),
    said.RenewalNeeded(what="O-ring", part="input speed sensor"),
    said.PartRemoved(part="output speed sensor", name="output speed sensor"),
    said.FastenersRemoved(part="output speed sensor", count=1, thread="M6", lengths=("16",), drive="hex 10"),
    said.TorqueSpecified(
        part="output speed sensor", stages=(said.Stage(kind="torque", value="10 Nm"),), source="manual p 130"
    ),
    said.RenewalNeeded(what="O-ring", part="output speed sensor"),
    said.PartRemoved(part="temperature sensor", name="temperature sensor", how="disconnected"),
    said.CareNoted(care="connect", what="clip closed", part="temperature sensor"),
    said.PartRemoved(part="handbrake cable bracket, left", name="handbrake cable bracket", how="loosened", side="left"),
    said.FastenersRemoved(
        part="handbrake cable bracket, left", count=2, thread="M8", lengths=("20",), strength="8.8", drive="hex 13"
    ),
    said.PartRemoved(
        part="handbrake cable bracket, right", name="handbrake cable bracket", how="loosened", side="right"
    ),
    said.FastenersRemoved(
        part="handbrake cable bracket, right", count=2, thread="M8", lengths=("20",), strength="8.8", drive="hex 13"
    ),
]
