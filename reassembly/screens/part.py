"""One part and everything said of it; a letter adds each kind of fact."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.widgets import Static

from labels.code import Code
from labels.code import Kind as Label
from labels.code import read as read_code
from reassembly.job import entries as said
from reassembly.job.asks import two_groups
from reassembly.job.cautions import cautions
from reassembly.job.job import bag_code, parts
from reassembly.job.plan import plan
from reassembly.screens.facts import FactsScreen, Kind, bindings_of
from reassembly.screens.form import FormScreen
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from reassembly.job.entries import Entry, Fact
    from reassembly.job.job import Job, Part
    from reassembly.job.reckon import Reckoned
    from reassembly.job.shop import Shop
    from reassembly.screens.frame import Frame


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
    BINDINGS = [*bindings_of(KINDS), Binding("g", "pack", "Bag")]
    HEADING = "PART"

    def __init__(self, part: str) -> None:
        super().__init__()
        self._part = part

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

    def add(self, kind: type[Fact], start: Fact | None = None) -> None:
        if kind is said.PartRemoved and start is None:
            part = parts(self.job).get(self._part)
            start = part.removed.fact if part and part.removed else said.PartRemoved(part=self._part, name=self._part)
        super().add(kind, start)

    def again(self, fact: Fact | said.Unknown) -> Callable[[], None] | None:
        if isinstance(fact, said.BagPacked):
            return lambda: self._ask_bag(fact)
        return super().again(fact)

    def action_pack(self) -> None:
        from reassembly.record.printing import new_code

        self._ask_bag(said.BagPacked(bag=new_code(self.desk), parts=(self._part,)))

    def _ask_bag(self, bag: said.BagPacked) -> None:
        fixed = {"bag": bag.bag, "parts": bag.parts}
        form = FormScreen(said.BagPacked, f"BAG {two_groups(bag.bag)}", fixed, bag)

        def say(fact: said.BagPacked) -> None:
            if self.say(fact) is None:
                self._ask_bag(fact)

        self.ask(form, say)

    def reckoned_of_all(self, job: Job, shop: Shop) -> list[Reckoned]:
        from reassembly.job.reckoning import of_part

        return of_part(self._part, job, shop)

    def scanned(self, code: str) -> bool:
        return take_label(self, parts(self.job).get(self._part), code)


def take_label(screen: Frame, part: Part | None, code: str) -> bool:
    """A label not used yet packs the part; one of this job says what is in it. Others are left to the bench."""
    read = read_code(code)
    if not (isinstance(read, Code) and read.kind in {Label.BAG, Label.TAG}):
        return False
    owner = screen.desk.owner_of(code)
    if owner is None or (owner.what == "label" and owner.job == screen.job.id):
        if part is None:
            screen.answer("an unused label: name a part first, then scan it", "warn")
        else:
            pack(screen, part, code)
        return True
    packed = next((e.fact for e in screen.job.said(said.BagPacked) if bag_code(e.fact.bag) == code), None)
    if packed is None:
        return False
    every = parts(screen.job)
    names = ", ".join(every[p].name if p in every else p for p in packed.parts)
    screen.answer(f"bag {two_groups(code)} holds {names or packed.holds}", "fit")
    return True


def pack(screen: Frame, part: Part, code: str = "") -> None:
    """Put a part's small things into a bag under a new code, or under one scanned from a label not yet used."""
    from reassembly.record.printing import new_code

    bag = code or new_code(screen.desk)
    screen.say(said.BagPacked(bag=bag, parts=(part.id,)), f"bag {two_groups(bag)} holds {part.name}")
