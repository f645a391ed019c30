"""An invented workshop in which everything has a code, and fifteen parts to be put back by scanner alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labels.code import Kind
from reassembly.job import entries as said
from reassembly.record.cards import CARDS
from reassembly.record.printing import code_of, new_code

if TYPE_CHECKING:
    from reassembly.record.desk import Desk

CARD = {card.name: code_of(card) for card in CARDS.values()}
ANSWERS = {  # the cards that answer a check of this kind; any other is answered by one
    "fill": ("confirm", "1", "point", "5", "confirm", "confirm"),
    "level": ("confirm", "4", "0", "next", "next", "2", "confirm"),  # right
    "receive": ("confirm", "confirm"),
    "drive": ("confirm", "next", "2", "confirm"),  # the complaint is gone
    "deal": ("confirm", "1", "confirm"),
    "read": ("confirm", "next", "2", "confirm"),  # none stored
}


def badges(desk: Desk) -> dict[str, str]:
    found = {person: new_code(desk, Kind.PERSON) for person in ("ann", "ben")}
    for person, code in found.items():
        desk.say(said.PersonAdded(person=person, badge=code))
    return found


def tools(desk: Desk) -> str:
    desk.say(said.WrenchAdded(wrench="T3", low="5 N.m", high="200 N.m", tag=(tag := new_code(desk, Kind.WRENCH))))
    desk.say(said.WrenchCalibrated(wrench="T3", on="2020-01-01", until="2999-01-01"))
    return tag


def strip_fifteen(desk: Desk) -> str:
    """Ann takes fifteen parts off, each with what a part can ask."""
    job = desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", complaint="hums at 80"))
    desk.say(said.CodeRead(code="P0735"))
    desk.say(said.RoadTested(felt="hum"))
    for n in range(15):
        part = f"part {n}"
        desk.say(said.PartRemoved(part=part, name=part, how="disconnected" if n % 5 == 4 else "off"))
        desk.say(said.FastenersRemoved(part=part, count=2, thread="M8", safety_critical=n == 7))
        if n % 3 == 0:
            stages = (said.Stage("torque", "20 N.m"), said.Stage("angle", "90 deg"))
            desk.say(said.TorqueSpecified(part=part, stages=stages, source="invented manual"))
        desk.say(said.BagPacked(bag=new_code(desk), parts=(part,), shelf=f"C{n}"))
    desk.say(said.MarkMade(part="part 3", mark="white paint", to="flange"))
    desk.say(said.RenewalNeeded(what="gasket", part="part 2"))
    desk.say(said.AidFitted(aid="wire", part="part 9"))
    desk.say(said.FluidDrained(fluid="gear oil", amount="1.5 l"))
    desk.say(said.LevelSpecified(fluid="gear oil", low="20 degC", high="60 degC", engine="off"))
    return job
