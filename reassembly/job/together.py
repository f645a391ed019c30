"""The checks of one step that one key may answer in one breath, while all of them are in view."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.asks import Turn
from reassembly.job.entries import AidRemoved, CheckConfirmed, RenewalReceived
from reassembly.job.plan import first

if TYPE_CHECKING:
    from collections.abc import Collection

    from reassembly.job.checks import Check
    from reassembly.job.entries import Fact
    from reassembly.job.plan import Plan

_BY_SAYING_SO = frozenset({"confirm", "receive", "aid"})


def together(refit: Plan, part: str, but: Collection[str] = (), said: Collection[str] = ()) -> tuple[Check, ...]:
    """What is open of a step and needs no scan, tool, value or second person, in working order.

    It ends before the first that waits for anything else: nothing after a joint is said before the joint is tight, and
    nothing after a balance weight or a spline tooth before somebody looked at that one alone.
    `but` are keys of checks that were put off, `said` of those that the same key answers before these. None of a step
    that is blocked, and none of what is asked of the whole job, which is looked at one by one.
    """
    step = refit.step(part)
    if step is None or step.blocked_by:
        return ()
    found: list[Check] = []
    for check in step.checks:
        before = {*said, *(each.key for each in found)}
        plain = (
            check.state == "open" and check.way in _BY_SAYING_SO and check.key not in but and not looked_at_alone(check)
        )
        if plain and not first(check, refit, before):
            found.append(check)
    return tuple(found)


def looked_at_alone(check: Check) -> bool:
    """A balance weight and a spline tooth: a place off by one looks right among other things, and shakes the car. That
    safety-critical fasteners are tight, with no torque recorded, takes a tool and is said alone as well."""
    by_tool = check.safety and check.turn == Turn.STAGE and check.way == "confirm"
    return by_tool or check.turn == Turn.WEIGHT or check.key == f"{check.asked_by.id}.tooth"


def saying(check: Check) -> Fact:
    """The fact that answers a check which needs no more than saying so."""
    match check.way:
        case "aid":
            return AidRemoved(aid=check.asked_by.id)
        case "receive":
            return RenewalReceived(needed=check.asked_by.id)  # nobody read a number on the packet
    return CheckConfirmed(check=check.key)
