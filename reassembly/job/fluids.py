"""How much of a fluid went in again, against what was drained."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reassembly.job.asks import words
from reassembly.job.entries import CheckConfirmed, FluidDrained, FluidFilled
from reassembly.job.job import fold
from reassembly.trade.units import USUAL

if TYPE_CHECKING:
    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job
    from reassembly.trade.fluid import FillTotals

ENOUGH = 0.9
"""Of what was drained: common practice, no source. The level in its window is what counts in the end."""

_SAME = 0.001  # litres: a drop


def filled(fluid: str, job: Job) -> str:
    """What went in so far against what came out and what is missing, in words; empty while nothing went in."""
    went_in = _went_in(fluid, job)
    try:
        return words(_totals(fluid, went_in, job).sentence, _missing(fluid, went_in, job)) if went_in else ""
    except ValueError as unread:
        return f"{', '.join(went_in)}: {unread}"


def short_of(check: Check, answer: Entry[Any] | None, job: Job) -> str:
    """Why a fill that was confirmed deserves a warning: too little went in, nobody said how much, or what was said is
    no amount; else empty."""
    fluid = check.asked_by.fact.fluid
    went_in = _went_in(fluid, job)
    if not went_in and answer and isinstance(answer.fact, CheckConfirmed) and answer.fact.value.strip():
        went_in = [answer.fact.value]
    if no_amount := next(filter(None, map(_no_amount, went_in)), ""):
        return f"{fluid}: {no_amount}"
    try:
        told = _missing(fluid, went_in, job, ENOUGH)
    except ValueError:
        return ""  # in words, or what was drained cannot be read: that is told where it is shown
    if not told:
        return ""
    return f"{fluid}: {told} of what was drained" if went_in else f"{fluid}: nobody said how much went in, {told}"


def _no_amount(amount: str) -> str:
    """Why something said in figures is no amount; words are left to whoever reads them."""
    from reassembly.trade.quantity import read

    if not any(sign.isdigit() for sign in amount):
        return ""
    try:
        return "" if read(amount, "volume", USUAL["volume"]).number > 0 else f"{amount} fills nothing"
    except ValueError as unread:
        return str(unread)


def _missing(fluid: str, went_in: list[str], job: Job, enough: float = 1.0) -> str:
    """`2.2 l missing`; empty where enough went in, or where it was not measured how much came out."""
    from reassembly.trade.quantity import show, value

    totals = _totals(fluid, went_in, job)
    if totals.drained is None:
        return ""
    out = value(totals.drained.result, "l")
    into = value(totals.filled.result, "l") if totals.filled else 0.0
    still = totals.still_out or totals.drained
    return f"{show(still.result)} missing" if into < enough * out - _SAME else ""


def _went_in(fluid: str, job: Job) -> list[str]:
    return [e.fact.amount for e in job.said(FluidFilled) if fold(e.fact.fluid) == fold(fluid)]


def _totals(fluid: str, went_in: list[str], job: Job) -> FillTotals:
    """Raises ValueError where an amount cannot be read."""
    from reassembly.trade.fluid import filled_of_drained

    drained = [e.fact.amount for e in job.said(FluidDrained) if fold(e.fact.fluid) == fold(fluid)]
    return filled_of_drained(went_in, drained)
