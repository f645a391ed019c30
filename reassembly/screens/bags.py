"""Where each bag of a job is: its shelf, and whether its label was seen on it. The pick list on screen."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.asks import two_groups
from reassembly.job.bag import Bag, never_seen
from reassembly.job.entries import LabelSeen
from reassembly.job.picklist import Pick, picks
from reassembly.job.plan import plan
from reassembly.job.wording import many
from reassembly.screens.frame import Frame
from reassembly.screens.lists import Lines
from reassembly.screens.packing import print_again, shelve, take_label
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.taken_out import ask_which_is_not_in
from reassembly.screens.text import column, cut, shown

if TYPE_CHECKING:
    from textual.app import ComposeResult


class BagsScreen(Frame):
    """Every bag in refit order. Scan a bag and then a shelf, or press Enter and type the shelf. A label counts as on
    its bag when it was scanned there, or when y says that you see it."""

    CSS_PATH = "facts.tcss"
    HEADING = "BAGS"
    BINDINGS = [
        Binding("enter", "shelf", "Shelf"),
        Binding("y", "seen", "It is on the bag"),
        Binding("r", "label", "Label again"),
        Binding("x", "not_in", "Not in this bag"),
        Binding("l", "pick_list", "Pick list"),
        Binding("escape", "app.pop_screen", "Back"),
    ]

    def body(self) -> ComposeResult:
        yield Static(id="above", markup=False)
        yield Lines(id="facts", markup=False)

    def on_mount(self) -> None:
        self.query_one("#facts").focus()

    def show(self) -> None:
        found, unseen = picks(self.job, plan(self.job)), never_seen(self.job)
        told = [f"{many(len(found), 'bag or tag')}, in the order in which they go back"]
        if unseen:
            told.append(f"{len(unseen)} not seen since: {', '.join(two_groups(bag.code) for bag in unseen[:3])}")
        self.query_one("#above", Static).update(shown("\n".join(told)))
        listed = self.query_one("#facts", OptionList)
        at, width = listed.highlighted or 0, self.app.size.width - 4
        listed.set_options(Option(shown(cut(_line(pick), width)), id=pick.bag.code) for pick in found)
        listed.highlighted = min(at, len(found) - 1) if found else None

    def _current(self) -> Bag | None:
        option = self.query_one("#facts", OptionList).highlighted_option
        found = {pick.bag.code: pick.bag for pick in picks(self.job, plan(self.job))}
        bag = found.get(option.id or "") if option else None
        if bag is None:
            self.answer("no bag here: F4 at strip-down packs one", "warn")
        return bag

    def on_option_list_option_selected(self) -> None:
        self.do("shelf")

    def action_shelf(self) -> None:
        bag = self._current()
        if bag is not None:
            question = f"bag {two_groups(bag.code)}\n\nOn which shelf is it? Type it, or scan its label."
            prompt = PromptScreen("SHELF", question, bag.shelf, asks="shelf")
            self.ask(prompt, lambda shelf: shelve(self, bag.code, shelf))

    def action_seen(self) -> None:
        bag = self._current()
        if bag is not None and self.say(LabelSeen(code=bag.code)):
            self.bench.sending.seen(bag.code)

    def action_label(self) -> None:
        bag = self._current()
        if bag is not None:
            print_again(self, bag.code)

    def action_not_in(self) -> None:
        bag = self._current()
        if bag is not None:
            ask_which_is_not_in(self, bag)

    def action_pick_list(self) -> None:
        from reassembly.record.picklist import write_pick_list

        path = self.desk.path / "labels" / f"{self.desk.open_job} pick list.pdf"
        job = self.job
        now, notation = datetime.now().astimezone(), self.notation
        self.bench.writing.begin(path, lambda _: write_pick_list(job, path, now, notation))

    def scanned(self, code: str) -> bool:
        if not take_label(self, None, code):
            return False
        self.query_one("#facts", OptionList).highlighted = next(
            (n for n, pick in enumerate(picks(self.job, plan(self.job))) if pick.bag.code == code), None
        )
        return True


def _line(pick: Pick) -> str:
    shape = "[x]" if pick.done else "[ ]"
    seen = "" if pick.bag.seen else "label not seen yet" if pick.bag.copies else "not seen yet"
    shelf = column(f"shelf {pick.bag.shelf}" if pick.bag.shelf else "shelf not said", 15)
    return f"{shape} {shelf} {two_groups(pick.bag.code)}  {column(pick.holds, 28)} {seen}"
