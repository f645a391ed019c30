"""The demo's data folders: a workshop with work in hand, and one job played from check-in to sign-off."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta
from enum import Enum
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job.entries import CustomerNamed, JobOpened
from reassembly.record.demo import axle, gearbox, workshop
from reassembly.record.demo.person import Person, WallClock
from reassembly.record.demo.refit import refit, sign_off
from reassembly.record.desk import Desk
from reassembly.record.printing import new_code, write_badges, write_cards

if TYPE_CHECKING:
    from collections.abc import Iterator
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


def print_for_scanner(desk: Desk, now: datetime) -> list[Path]:
    """What a scanner needs here, as PDFs in the data folder: the cards; the badges, wrench tags and shelf labels."""
    cards, badges = desk.path / "cards.pdf", desk.path / "badges.pdf"
    write_cards(cards, now)
    write_badges(desk.shop(), badges, now)
    return [cards, badges]


class Scene(Enum):
    """Where the played job stands."""

    STRIPPED = "taken apart"
    FORGOTTEN = "put back, as ben believes"
    SIGNED_OFF = "signed off"


def play(folder: Path, now: datetime) -> Iterator[tuple[Scene, Desk, str]]:
    """Play the gearbox job from check-in to sign-off in an empty folder; the desk and the job's id at each scene.

    Raises Trouble when the folder will not hold it.
    """
    clock = WallClock(_morning(now, 366))
    with Desk.open(folder, now=clock, trusted=lambda: False) as desk:
        workshop.set_up(_person(desk, "ann", ""), clock.moment.date())
        clock.moment = _morning(now, 20)
        workshop.calibrate(_person(desk, "joss", ""), clock.moment.date())

        clock.moment = _morning(now, 4)
        job = _open(desk, gearbox.VEHICLE, gearbox.CUSTOMER)
        ann, ben = _person(desk, "ann", job), _person(desk, "ben", job)
        gearbox.check_in(ann)
        gearbox.strip_down(ann, ben)
        yield Scene.STRIPPED, desk, job

        clock.moment = _morning(now, 1)
        answers = gearbox.answers(ben, ann)
        refit(answers)
        yield Scene.FORGOTTEN, desk, job

        refit(replace(answers, forgets=frozenset()))
        gearbox.tighten_again(ben)
        sign_off(ann, "bracket tightened again with T3; T2 is out of the rack until it is calibrated")
        yield Scene.SIGNED_OFF, desk, job


def _open(desk: Desk, vehicle: JobOpened, customer: Customer) -> str:
    desk.who = "ann"
    job = desk.open_new(vehicle)
    desk.say(CustomerNamed(digest=""), details=customer)
    return job


def _person(desk: Desk, who: str, job: str) -> Person:
    return Person(who, desk, job, lambda: new_code(desk))


def _morning(now: datetime, days_ago: int) -> datetime:
    return datetime.combine(now.date() - timedelta(days=days_ago), time(8, 30), now.tzinfo)
