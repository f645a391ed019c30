"""One part and everything said of it; a letter adds each kind of fact."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.widgets import Static

from reassembly.job import entries as said
from reassembly.job.asks import two_groups
from reassembly.job.cautions import cautions
from reassembly.job.job import part_in, parts
from reassembly.job.plan import plan
from reassembly.screens.facts import FactsScreen, Kind, bindings_of
from reassembly.screens.form import FormScreen
from reassembly.screens.packing import choose_bag, print_label_again, say_packed, take_label
from reassembly.screens.removal import RemovalScreen
from reassembly.screens.strike import ask_instead, say_instead
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from reassembly.job.entries import Entry, Fact
    from reassembly.job.job import Job
    from reassembly.job.reckon import Reckoned
    from reassembly.job.shop import Shop


class PartScreen(FactsScreen):
    """What was said of one part. Every fact added here comes back as a check at refit."""

    KINDS = (
        Kind("b", "Bolts", said.FastenersRemoved),
        Kind("t", "Torque", said.TorqueSpecified),
        Kind("m", "Mark", said.MarkMade),
        Kind("o", "Way round", said.OrientationNoted),
        Kind("w", "Weight", said.WeightFound),
        Kind("a", "Aid", said.AidFitted),
        Kind("n", "Renew", said.RenewalNeeded),
        Kind("s", "Stuck", said.PartStuck),
        Kind("i", "To do", said.CareNoted),
        Kind("f", "Finding", said.FindingNoted),
        Kind("d", "Order", said.OrderSaid),
        Kind("r", "Off again", said.PartRemoved),
    )
    BINDINGS = [*bindings_of(KINDS), Binding("g", "pack", "Bag"), Binding("p", "label", "Label again")]
    HEADING = "PART"

    def __init__(self, part: str) -> None:
        super().__init__()
        self._part = part

    def part_on_display(self) -> str:
        return self._part

    def subject(self) -> str:
        part = parts(self.job).get(self._part)
        return f"{super().subject()}  {part.name if part else self._part}"

    def entries(self) -> Sequence[Entry[Any]]:
        part = parts(self.job).get(self._part)
        return part.about if part else ()

    def show(self) -> None:
        super().show()
        step = plan(self.job).step(self._part)
        asked = len(step.checks) if step else 0
        told = f"{asked} check{'' if asked == 1 else 's'} at refit"
        warned = cautions(self.job, self._part)
        self.query_one("#above", Static).update(shown("\n".join([told, *warned[:2]])))

    def fixed(self, kind: type[Fact]) -> Mapping[str, Any]:
        return {"part": self._part}

    def suggest(self, kind: type[Fact]) -> Mapping[str, tuple[str, ...]]:
        if kind is said.TorqueSpecified:
            specs = self.desk.shop().specs
            return {"source": tuple(dict.fromkeys(e.fact.source for e in reversed(specs)))}
        return {}

    def add(self, kind: type[Fact], start: Fact | None = None, strike: said.EntryStruck | None = None) -> None:
        if kind is said.PartRemoved and start is None:
            part = parts(self.job).get(self._part)
            start = part.removed.fact if part and part.removed else said.PartRemoved(part=self._part, name=self._part)
        super().add(kind, start, strike)

    def form_of(self, kind: type[Fact], fixed: Mapping[str, Any], start: Fact | None) -> FormScreen[Any]:
        if isinstance(start, said.PartRemoved):
            return RemovalScreen(start, self.heading_of(kind))
        return super().form_of(kind, fixed, start)

    def again(self, fact: Fact | said.Unknown) -> Callable[[said.EntryStruck], None] | None:
        if isinstance(fact, said.BagPacked):
            return lambda strike: self._ask_bag(fact, strike)
        return super().again(fact)

    def action_pack(self) -> None:
        from reassembly.record.printing import new_code

        part = part_in(parts(self.job), self._part)
        new = said.BagPacked(bag=new_code(self.desk), parts=(self._part,))
        choose_bag(self, part, lambda: self._ask_bag(new))

    def _ask_bag(self, bag: said.BagPacked, strike: said.EntryStruck | None = None) -> None:
        fixed = {"bag": bag.bag, "parts": bag.parts}
        form = FormScreen(said.BagPacked, f"BAG {two_groups(bag.bag)}", fixed, bag)

        def say(fact: said.BagPacked) -> None:
            holds = parts(self.job)[self._part].name
            if not (say_instead(self, strike, fact) if strike else say_packed(self, fact, holds)):
                self._ask_bag(fact, strike)

        ask_instead(self, form, say, strike)

    def action_label(self) -> None:
        print_label_again(self, parts(self.job).get(self._part))

    def reckoned_of_all(self, job: Job, shop: Shop) -> list[Reckoned]:
        from reassembly.job.reckoning import of_part

        return of_part(self._part, job, shop)

    def scanned(self, code: str) -> bool:
        return take_label(self, parts(self.job).get(self._part), code)
