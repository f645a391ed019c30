"""What has to be on the bench for one step: tools, new parts, what goes on, and the aids that come out."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from reassembly.job import entries as said
from reassembly.job.asks import Turn, words
from reassembly.job.tightening import stage_number
from reassembly.job.wording import many, size

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reassembly.job.checks import Check
    from reassembly.job.plan import Step

_GOES_ON = {"grease": "grease or oil", "seal": "sealer"}


class AtHand(NamedTuple):
    """Each thing once, in words, as long as a check that needs it is open."""

    tools: tuple[str, ...]
    new: tuple[str, ...]
    goes_on: tuple[str, ...]
    comes_out: tuple[str, ...]

    @property
    def told(self) -> tuple[str, ...]:
        """A line for each kind that there is."""
        kinds = (("tools", self.tools), ("new", self.new), ("goes on", self.goes_on), ("comes out", self.comes_out))
        return tuple(f"{kind}: {', '.join(several)}" for kind, several in kinds if several)


def at_hand(step: Step) -> AtHand:
    """What the open checks of a step ask for."""
    still = [check for check in step.checks if check.open]
    return AtHand(
        tuple(_tools(still)),
        tuple(dict.fromkeys(part for check in still for part in _new(check))),
        tuple(dict.fromkeys(what for check in still for what in _goes_on(check))),
        tuple(dict.fromkeys(check.asked_by.fact.aid for check in still if check.way == "aid")),
    )


def _tools(still: Sequence[Check]) -> Iterator[str]:
    bolts = (c.asked_by.fact for c in still if c.turn in {Turn.STARTED, Turn.STAGE})
    yield from dict.fromkeys(fact.drive for fact in bolts if isinstance(fact, said.FastenersRemoved) and fact.drive)
    tightened = [c.asked_by.fact.stages[stage_number(c.key) - 1] for c in still if c.way == "tighten"]
    torques = dict.fromkeys(
        stage.value for stage in tightened if stage.kind in {"torque", "check pass"} and stage.value
    )
    if torques:
        yield f"torque wrench for {' and '.join(torques)}"
    if any(stage.kind == "angle" for stage in tightened):
        yield "angle gauge"


def _new(check: Check) -> Iterator[str]:
    fact = check.asked_by.fact
    match fact:
        case said.FastenersRemoved(reuse="renew") if check.turn in {Turn.HAND, Turn.STARTED}:
            yield words(many(fact.count, fact.what), size(fact.thread, fact.lengths), between=" ")
        case said.RenewalNeeded():
            yield f"{fact.count} x {fact.what}" if fact.count > 1 else fact.what


def _goes_on(check: Check) -> Iterator[str]:
    fact = check.asked_by.fact
    match fact:
        case said.CareNoted() if fact.care in _GOES_ON:
            yield f"{_GOES_ON[fact.care]}: {fact.what}"
        case said.PartStuck() if check.turn is Turn.CONSUMABLE:
            yield fact.grease or "what keeps it from sticking again"
        case said.TorqueSpecified() if check.turn is Turn.STRIPE:
            yield "paint for the stripe"
