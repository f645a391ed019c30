"""The workshop: people, wrench rack, spec book, and what this bench is called."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.widgets import OptionList, Static

from reassembly.job import entries as said
from reassembly.job.telling import stages
from reassembly.screens.facts import FactsScreen, Kind, bindings_of
from reassembly.screens.packing import label_of_shop
from reassembly.screens.text import shown

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from reassembly.job.entries import Entry, Fact
    from reassembly.job.notation import Notation
    from reassembly.job.shop import Shop


class ShopScreen(FactsScreen):
    """What the shop knows: who works here, which torque tools can be trusted until when, values taken from manuals."""

    OF_THE_SHOP = True
    HEADING = "WORKSHOP"
    CSS_PATH = "shop.tcss"
    KINDS = (
        Kind("p", "Person", said.PersonAdded),
        Kind("w", "Wrench", said.WrenchAdded),
        Kind("c", "Calibrated", said.WrenchCalibrated),
        Kind("f", "Failed", said.WrenchFailed),
        Kind("s", "Spec", said.SpecNoted),
        Kind("h", "Shelf", said.ShelfAdded),
        Kind("b", "Bench name", said.BenchNamed),
    )
    BINDINGS = [
        *bindings_of(KINDS),
        Binding("r", "recall", "Recall"),
        Binding("l", "label", "Badge or tag"),
        Binding("e", "settings", "Settings"),
    ]

    def subject(self) -> str:
        return self.desk.shop().benches.get(self.desk.bench, f"bench {self.desk.bench}: b gives it a name")

    def entries(self) -> Sequence[Entry[Any]]:
        return [e for e in self.job.entries if isinstance(e.fact, tuple(kind.fact for kind in self.KINDS))]

    def suggest(self, kind: type[Fact]) -> Mapping[str, tuple[str, ...]]:
        return {"wrench": tuple(self.desk.shop().rack)} if kind is not said.WrenchAdded else {}

    def show(self) -> None:
        super().show()
        self.query_one("#above", Static).update(
            shown("\n".join(_at_a_glance(self.desk.shop(), self.desk.today, self.notation)))
        )

    def action_label(self) -> None:
        """A badge for the person under the bar, a tag for the wrench, a label for the shelf; printed again if it has
        one."""
        option = self.query_one("#facts", OptionList).highlighted_option
        entry = self.job.entry(option.id or "") if option else None
        fact = entry.fact if entry else None
        if isinstance(fact, said.PersonAdded | said.WrenchAdded | said.ShelfAdded):
            label_of_shop(self, fact)
        else:
            self.answer("choose a person, a wrench or a shelf in the list: its badge or tag is made", "warn")

    def action_settings(self) -> None:
        from reassembly.screens.settings import SettingsScreen

        self.app.push_screen(SettingsScreen())

    def action_recall(self) -> None:
        """All work of the wrench or person under the bar; elsewhere it asks of what."""
        from reassembly.screens.recall import RecallScreen, ask_subject, subject_of

        option = self.query_one("#facts", OptionList).highlighted_option
        entry = self.job.entry(option.id or "") if option else None
        subject = subject_of(entry.fact) if entry else None
        if subject:
            self.app.push_screen(RecallScreen(*subject))
        else:
            ask_subject(self, lambda what, name: self.app.push_screen(RecallScreen(what, name)))


def _at_a_glance(shop: Shop, today: str, notation: Notation) -> Iterator[str]:
    people = ", ".join(shop.people) or "nobody yet: p adds the first"
    yield f"people       {people}"
    for wrench in shop.rack.values():
        doubt = wrench.doubt(today)
        until = notation.dated(f"NOT TO BE TRUSTED: it {doubt}" if doubt else f"good until {wrench.good_until}")
        yield f"wrench {wrench.added.wrench:<6}{wrench.added.low} to {wrench.added.high}  {until}  {wrench.added.name}"
    for entry in shop.specs[-4:]:
        spec = entry.fact
        yield f"spec         {spec.vehicle}, {spec.joint}: {stages(spec.stages)}  ({spec.source})"
