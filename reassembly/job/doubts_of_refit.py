"""What is doubtful about what is said at refit, kind by kind."""

# ruff: noqa: ARG001 - one signature for every kind of fact
from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.asks import Turn
from reassembly.job.checks import level_counts, one_check
from reassembly.job.doubt import Doubt, Seen, advise, doubtful, measured, refuse, said_now
from reassembly.job.fluids import short_of
from reassembly.job.job import fold
from reassembly.job.newcomer import newcomers
from reassembly.job.plan import first, plan
from reassembly.job.road import last_drive
from reassembly.trade.facing import clock_doubt, facing_doubt, read_clock, read_facing
from reassembly.trade.fluid import within_window

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from reassembly.job.checks import Check


@doubtful.register(said.CodesCleared)
def nothing(fact: said.CodesCleared, seen: Seen) -> Iterable[Doubt]:
    """Nothing to doubt beyond what holds for every kind."""
    return ()


def _check(key: str, seen: Seen) -> Check | None:
    return one_check(seen.job, seen.parts, key)


def _no_check(key: str) -> Doubt:
    return refuse("check", f"no check {key} in this job: what asked for it may have been struck out")


def _after(fact: said.Fact, key: str, seen: Seen) -> Check | None:
    """The check as it would stand."""
    return one_check(seen.job, seen.parts, key, said_now(fact, seen))


@doubtful.register(said.CheckConfirmed)
def confirmation(fact: said.CheckConfirmed, seen: Seen) -> Iterator[Doubt]:
    check = _check(fact.check, seen)
    after = _after(fact, fact.check, seen)
    if check is None:
        yield _no_check(fact.check)
    elif after and after.state != "confirmed":
        field = {"deal": "note", "tighten": "value"}.get(check.way, "check")
        yield refuse(field, f"{check.wording}: {_OTHERWISE.get(check.way) or after.against}")
    elif check.answer and check.state == "confirmed":
        yield advise("check", f"{check.wording}: {check.answer.who} confirmed it already")
    elif check.turn == Turn.COMPLAINT and (still := first(check, plan(seen.job))):
        yield refuse("check", f"{check.wording}: first {', '.join(still)}, then you know")
    elif check.turn == Turn.COMPLAINT and last_drive(seen.job).outcome == "still there":
        yield refuse("check", "the last road test says it is still there: drive again, or say why it may stay so")
    elif check.way == "fill" and (short := short_of(check, after.answer if after else None, seen.job)):
        yield advise("check", short)
    elif isinstance(check.asked_by.fact, said.OrientationNoted) and fact.value.strip():
        yield from _not_as_noted(check.asked_by.fact, fact.value)


def _not_as_noted(noted: said.OrientationNoted, found: str) -> Iterator[Doubt]:
    """Where somebody says how it stands now, "8 seen from the rear": whether that is the place that was noted."""
    with suppress(ValueError):
        if noted.clock.strip():
            told = clock_doubt(read_clock(noted.clock, noted.seen_from), read_clock(found))
        else:
            told = facing_doubt(read_facing(noted.faces), read_facing(found))
        if told:
            yield advise("value", told)


_OTHERWISE = {
    "drive": "say how the road test went once it is driven, or make it an exception with a reason and a name",
    "settle": "strike out one of the entries that contradict, or accept it with a reason and a name",
    "second": "a person who did not do the work says this one, as a second check",
    "level": "say the level with its temperature, it counts only in its window",
    "deal": "say what was done about it, or why it may stand",
    "read": "read the codes after they were cleared, and say what was read",
}


@doubtful.register(said.SecondCheckMade)
def second_check(fact: said.SecondCheckMade, seen: Seen) -> Iterator[Doubt]:
    check = _check(fact.check, seen)
    after = _after(fact, fact.check, seen)
    if check is None:
        yield _no_check(fact.check)
    elif check.way != "second":
        yield refuse("check", f"{check.wording}: no second person is asked for here, confirm it")
    elif seen.who and after and after.state != "confirmed":
        undone = "nothing is tightened here yet: the second check looks at work that is done"
        yield refuse("check", after.against or undone)
    elif after:
        as_said = seen.job._replace(entries=(*seen.job.entries, said_now(fact, seen)))
        yield from (advise("check", sentence) for sentence in newcomers(as_said, [after]).values())


@doubtful.register(said.ExceptionAccepted)
def exception(fact: said.ExceptionAccepted, seen: Seen) -> Iterator[Doubt]:
    check = _check(fact.check, seen)
    if check is None:
        yield _no_check(fact.check)
        return
    after = _after(fact, fact.check, seen)
    if seen.who and after and after.against:
        yield refuse("accepted_by", after.against)
    elif seen.shop.who(fact.accepted_by) is None:
        yield advise("accepted_by", f"nobody called {fact.accepted_by} works here: look at the spelling, or add them")


@doubtful.register(said.CheckPutOff)
def put_off(fact: said.CheckPutOff, seen: Seen) -> Iterator[Doubt]:
    check = _check(fact.check, seen)
    if check is None:
        yield _no_check(fact.check)
    elif not check.open:
        yield refuse("check", f"{check.wording}: this one is not open any more")


@doubtful.register(said.AidRemoved)
def aid_out(fact: said.AidRemoved, seen: Seen) -> Iterator[Doubt]:
    fitted = seen.job.entry(fact.aid)
    if fitted is None or not isinstance(fitted.fact, said.AidFitted):
        yield refuse("aid", f"{fact.aid} is no aid of this job: choose one from the list")
    elif any(e.fact.aid == fact.aid for e in seen.job.said(said.AidRemoved)):
        yield advise("aid", f"{fitted.fact.aid} is out already")
    elif (check := _check(f"{fact.aid}.out", seen)) and (still := first(check, plan(seen.job))):
        more = f" and {len(still) - 1} more" if len(still) > 1 else ""
        yield advise("aid", f"{fitted.fact.aid} may still hold something, not done yet: {still[0]}{more}")


@doubtful.register(said.FluidFilled)
def filled(fact: said.FluidFilled, seen: Seen) -> Iterator[Doubt]:
    yield from measured("amount", fact.amount, "volume", seen)
    yield from _fluid_known(fact.fluid, seen)


def _fluid_known(fluid: str, seen: Seen) -> Iterator[Doubt]:
    """Checks of a fluid are answered by its name."""
    drained = [e.fact.fluid for e in seen.job.said(said.FluidDrained)]
    known = dict.fromkeys([*drained, *(e.fact.fluid for e in seen.job.said(said.LevelSpecified))])
    if known and fold(fluid) not in set(map(fold, known)):
        yield advise("fluid", f"{fluid} is not what this job calls its fluids ({', '.join(known)}): is it one of them?")


@doubtful.register(said.LevelChecked)
def level(fact: said.LevelChecked, seen: Seen) -> Iterator[Doubt]:
    found = [*measured("temperature", fact.temperature, "temperature", seen)]
    yield from found
    yield from _fluid_known(fact.fluid, seen)
    if any(doubt.refuses for doubt in found):
        return
    if fact.found != "right":
        yield advise("found", f"level {fact.found}: noted, and the check stays open until it is right")
        return
    for entry in seen.job.said(said.LevelSpecified):
        asked = entry.fact
        if fold(asked.fluid) == fold(fact.fluid) and not level_counts(asked, fact):
            yield from _does_not_count(asked, fact)


def _does_not_count(asked: said.LevelSpecified, fact: said.LevelChecked) -> Iterator[Doubt]:
    open_still = "; the check stays open"
    if asked.engine and fact.engine != asked.engine:
        yield advise("engine", f"this level is taken with the engine {asked.engine}{open_still}")
    if not (asked.low.strip() or asked.high.strip()):
        return
    if not fact.temperature.strip():
        yield advise("temperature", f"at which temperature? The level counts only in its window{open_still}")
        return
    try:
        verdict = within_window(fact.temperature, asked.low, asked.high)
    except ValueError as error:
        yield advise("temperature", f"{error}{open_still}")
    else:
        if not verdict.inside:
            yield advise("temperature", f"{verdict.sentence}{open_still}")
