"""What contradicts, or has no word in this program: one side is struck out, or it may stand for a reason."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.widgets import Static

from reassembly.job.entries import OrderSaid, PartRemoved
from reassembly.job.plan import plan
from reassembly.job.refit_order import refit_order
from reassembly.screens.exception import except_check
from reassembly.screens.facts import FactsScreen
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.job import Job


class SettleScreen(FactsScreen):
    """What was said on both sides. x strikes out the one that is wrong; e lets it stand, with a reason and a name."""

    HEADING = "SETTLE"
    BINDINGS = [Binding("e", "exception", "It may stand")]

    def __init__(self, check: str) -> None:
        super().__init__()
        self._check = check

    def entries(self) -> Sequence[Entry[Any]]:
        check = plan(self.job).check(self._check)
        return sorted(contradicting(check, self.job), key=lambda e: e.order) if check else ()

    def show(self) -> None:
        super().show()
        check = plan(self.job).check(self._check)
        told = f"[?] {check.wording}\n{check.detail}" if check and check.open else "[x] settled: Esc goes back"
        self.query_one("#above", Static).update(shown(told))

    def action_exception(self) -> None:
        check = plan(self.job).check(self._check)
        if check and check.open:
            except_check(self, check)
        else:
            self.answer("this is settled already")


def contradicting(check: Check, job: Job) -> Iterator[Entry[Any]]:
    """The entries that cannot all stand."""
    clash = next((c for c in refit_order(job).clashes if check.key == f"{c.entry.id}.clash"), None)
    if clash is None:
        yield check.asked_by
        if check.key.endswith(".twice"):
            later = check.asked_by
            yield from (e for e in job.said(PartRemoved) if e.fact.part == later.fact.part and e.order < later.order)
        return
    named = set(clash.parts)
    for entry in job.entries:
        match entry.fact:
            case OrderSaid(part=part, other=other) if {part, other} <= named:
                yield entry
            case PartRemoved(part=part, parent=parent) if {part, parent} <= named:
                yield entry
