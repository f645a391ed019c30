"""What is doubtful about closing a job, about taking back what was said, and about the shop."""

# ruff: noqa: ARG001 - one signature for every kind of fact
from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.checks import closed
from reassembly.job.doubt import Doubt, Seen, advise, doubtful, reading_of, refuse, unit_of
from reassembly.job.job import bag_code
from reassembly.job.signoff import signoff
from reassembly.job.wording import stand
from reassembly.trade.quantity import value
from reassembly.trade.wrench import day_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date


@doubtful.register(said.BenchNamed)
def nothing(fact: said.BenchNamed, seen: Seen) -> Iterable[Doubt]:
    """Nothing to doubt beyond what holds for every kind."""
    return ()


@doubtful.register(said.SignedOff)
def signing(fact: said.SignedOff, seen: Seen) -> Iterator[Doubt]:
    stands = signoff(seen.job, seen.shop)
    if stands.closed:
        yield refuse("", "this job is signed off already")
    elif stands.open:
        yield refuse("", f"{stand(len(stands.open), 'check')} open: confirm or except each one first")
    named = {check.key for check in stands.excepted}
    if not stands.closed and named != set(fact.exceptions):
        yield refuse("exceptions", "the exceptions named are not those of the job: look at the list again")
    if seen.who and seen.shop.people and seen.shop.who(seen.who) is None:
        yield refuse("", f"{seen.who} is not known in this workshop: somebody who is has to sign")
    for sentence in stands.warnings:
        yield advise("", sentence)


@doubtful.register(said.JobReopened)
def reopening(fact: said.JobReopened, seen: Seen) -> Iterator[Doubt]:
    if closed(seen.job) is None:
        yield refuse("", "this job is open: nothing has to be reopened")


@doubtful.register(said.EntryStruck)
def strike(fact: said.EntryStruck, seen: Seen) -> Iterator[Doubt]:
    if any(e.id == fact.entry for e in seen.job.struck):
        yield refuse("entry", "this is struck out already")
    elif seen.job.entries and seen.job.entry(fact.entry) is None:
        yield refuse("entry", f"no entry {fact.entry} in this job: choose one from what was said")


@doubtful.register(said.DetailsErased)
def erasure(fact: said.DetailsErased, seen: Seen) -> Iterator[Doubt]:
    named = seen.job.entry(fact.entry)
    if named is None or not isinstance(named.fact, said.CustomerNamed):
        yield refuse("entry", f"{fact.entry} holds no customer's details in this job")
    elif any(e.fact.entry == fact.entry for e in seen.job.said(said.DetailsErased)):
        yield advise("entry", "these details are erased already")


@doubtful.register(said.PersonAdded)
def person(fact: said.PersonAdded, seen: Seen) -> Iterator[Doubt]:
    known = seen.shop.who(fact.person)
    if known:
        yield advise("person", f"{known} works here already: is this somebody else?")


@doubtful.register(said.ShelfAdded)
def shelf(fact: said.ShelfAdded, seen: Seen) -> Iterator[Doubt]:
    other = next(
        (s.shelf for s in seen.shop.shelves.values() if fact.label and bag_code(s.label) == bag_code(fact.label)), ""
    )
    if other and other != fact.shelf:
        yield refuse("label", f"this label is on shelf {other} already: take another, or give that shelf a new one")


@doubtful.register(said.WrenchAdded)
def wrench(fact: said.WrenchAdded, seen: Seen) -> Iterator[Doubt]:
    if seen.shop.wrench(fact.wrench):
        yield advise("wrench", f"{fact.wrench} is in the rack already: what is said now takes its place")
    unit = unit_of("torque", seen.job)
    low, no_low = reading_of("low", fact.low, "torque", unit)
    high, no_high = reading_of("high", fact.high, "torque", unit)
    yield from filter(None, (no_low, no_high))
    for field, end in (("low", low), ("high", high)):
        if end and end.assumed:
            yield refuse(field, f"{end.typed}: of what? Type the unit that stands on the scale, as {end.shown}")
    if low and high and value(low.quantity, "N.m") >= value(high.quantity, "N.m"):
        yield refuse("high", f"a scale from {low.shown} to {high.shown} is upside down: type the lower end first")


@doubtful.register(said.WrenchCalibrated)
def calibration(fact: said.WrenchCalibrated, seen: Seen) -> Iterator[Doubt]:
    yield from _in_rack(fact.wrench, seen)
    on, until = day_of(fact.on), day_of(fact.until)
    yield from _no_date("on", fact.on)
    if fact.until.strip():
        yield from _no_date("until", fact.until)
    else:
        yield advise("until", "good until when? Without a date the wrench counts as not calibrated")
    if on and until and until < on:
        yield refuse("until", f"good until {until} is before it was calibrated, {on}: look at the two dates")
    yield from _ahead(on, seen)


@doubtful.register(said.WrenchFailed)
def failure(fact: said.WrenchFailed, seen: Seen) -> Iterator[Doubt]:
    yield from _in_rack(fact.wrench, seen)
    yield from _no_date("on", fact.on)
    yield from _ahead(day_of(fact.on), seen)


def _in_rack(name: str, seen: Seen) -> Iterator[Doubt]:
    if seen.shop.wrench(name) is None:
        rack = ", ".join(seen.shop.rack) or "none yet"
        yield refuse("wrench", f"no wrench {name} in the rack ({rack}): add it first, or look at its tag")


def _no_date(field: str, text: str) -> Iterator[Doubt]:
    if day_of(text) is None:
        yield refuse(field, f"{text} is no date: type year-month-day, 2026-03-14")


def _ahead(on: date | None, seen: Seen) -> Iterator[Doubt]:
    today = day_of(seen.today)
    if on and today and on > today:
        yield advise("on", f"{on} has not come yet: look at the date")
