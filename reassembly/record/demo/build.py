"""The demo's data folders: a workshop with work in hand, and one job played from check-in to sign-off."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING, NamedTuple

from labels.code import Kind, make
from reassembly.job.entries import CustomerNamed, JobOpened
from reassembly.record.demo import axle, gearbox, workshop
from reassembly.record.demo.person import Person, WallClock
from reassembly.record.demo.refit import refit, sign_off
from reassembly.record.desk import Desk

if TYPE_CHECKING:
    from pathlib import Path

    from reassembly.record.customer import Customer

HALF_REFITTED_TO = "propshaft, front joint"


class Jobs(NamedTuple):
    """Ids of the jobs in a demo workshop."""

    half_stripped: str
    half_refitted: str
    signed_off: str


def build(folder: Path, now: datetime) -> Jobs:
    """Keep the demo workshop in an empty folder; `now` has a time zone, everything was said before it.

    Raises Trouble when the folder will not hold it.
    """
    clock = WallClock(_morning(now, 366))
    with Desk.open(folder, now=clock, trusted=lambda: False) as desk:
        workshop.set_up(_person(desk, "ann", ""), clock.moment.date())

        clock.moment = _morning(now, 365)
        seal = _open(desk, axle.VAN, axle.CUSTOMER)
        ben, ann = _person(desk, "ben", seal), _person(desk, "ann", seal)
        axle.seal_job(ben)
        clock.moment = _morning(now, 364)
        refit(axle.seal_answers(ben, ann))
        sign_off(ann)

        clock.moment = _morning(now, 20)
        workshop.calibrate(_person(desk, "joss", ""), clock.moment.date())

        clock.moment = _morning(now, 4)
        box = _open(desk, gearbox.VEHICLE, gearbox.CUSTOMER)
        ben, ann = _person(desk, "ben", box), _person(desk, "ann", box)
        gearbox.check_in(ann)
        gearbox.strip_down(ann, ben)

        clock.moment = _morning(now, 2)
        shudder = _open(desk, axle.back_again(seal), axle.CUSTOMER)
        axle.come_back(_person(desk, "ann", shudder))

        clock.moment = _morning(now, 1)
        refit(gearbox.answers(ben, ann), until=HALF_REFITTED_TO)
    return Jobs(half_stripped=shudder, half_refitted=box, signed_off=seal)


class Played(NamedTuple):
    """The whole gearbox job at its desk: stripped, to be put back by `ben` and looked at by `ann`."""

    job: str
    ann: Person
    ben: Person
    clock: WallClock


def strip(desk: Desk, clock: WallClock) -> Played:
    """Set up the workshop and take the vehicle apart; `finish` puts it back."""
    workshop.set_up(_person(desk, "ann", ""), clock.moment.date() - timedelta(days=330))
    job = _open(desk, gearbox.VEHICLE, gearbox.CUSTOMER)
    ann, ben = _person(desk, "ann", job), _person(desk, "ben", job)
    gearbox.check_in(ann)
    gearbox.strip_down(ann, ben)
    return Played(job, ann, ben, clock)


def _open(desk: Desk, vehicle: JobOpened, customer: Customer) -> str:
    desk.who = "ann"
    job = desk.open_new(vehicle)
    desk.say(CustomerNamed(digest=""), details=customer)
    return job


def _person(desk: Desk, who: str, job: str) -> Person:
    return Person(who, desk, job, lambda: make(Kind.BAG, desk.bench, desk.new_serial(Kind.BAG)))


def _morning(now: datetime, days_ago: int) -> datetime:
    return datetime.combine(now.date() - timedelta(days=days_ago), time(8, 30), now.tzinfo)
