"""What the screens for dirty hands share: said with one key, undone with one key, a wrench in hand."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from textual.binding import Binding

from reassembly.job.doubts import doubts
from reassembly.job.entries import EntryStruck, WrenchAdded
from reassembly.job.job import bag_code, title
from reassembly.job.people import name_key
from reassembly.job.telling import tell
from reassembly.job.wording import many
from reassembly.record.trouble import Trouble
from reassembly.screens.frame import Frame

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from reassembly.job.doubt import Doubt
    from reassembly.job.entries import Entry, Fact
    from reassembly.record.customer import Customer

UNDONE = "undone at the bench"
ANOTHER = "another wrench: add it"


class HandsScreen(Frame):
    """Keys, touch and scanner alike; everything in view at 50 x 15."""

    BINDINGS = [
        Binding("p", "who", "Person", show=False),
        Binding("w", "workings", "Workings", show=False),
    ]
    _own = False
    """While something said here is being shown: what answers the check on display may then move the display on."""
    stepped_in = "", ""
    """The check for which somebody came to the bench to look at it, and whose work that is; until anything is said."""

    def subject(self) -> str:
        opened = self.job.opened
        small = f"{opened.order or self.job.id}  {opened.registration}".strip()
        return title(self.job) if self.app.size.width >= 66 else small

    def on_screen_resume(self) -> None:
        """The panel may have been resized while another screen was on top."""
        width, height = self.app.size
        for size, breakpoints in ((width, self.HORIZONTAL_BREAKPOINTS), (height, self.VERTICAL_BREAKPOINTS)):
            reached = max((least, name) for least, name in breakpoints if size >= least)
            for least, name in breakpoints:
                self.set_class((least, name) == reached, name)

    @contextmanager
    def _said_here(self) -> Iterator[None]:
        self._own = True
        try:
            yield
        finally:
            self._own, self.stepped_in = False, ("", "")

    def say(self, fact: Fact, kept: str = "") -> Entry[Any] | None:
        with self._said_here():
            return super().say(fact, kept)

    def say_all(self, facts: Sequence[Fact], kept: str, details: Customer | None = None) -> bool:
        with self._said_here():
            return super().say_all(facts, kept, details)

    def came_back(self) -> None:
        """From a screen on which something may have been said of what is on display."""
        with self._said_here():
            self.refresh_all()

    def doubts(self, fact: Fact) -> list[Doubt]:
        return doubts(fact, self.job, self.desk.shop(), who=self.desk.who, today=self.desk.today)

    def refuses(self, facts: Iterable[Fact], hint: str = "") -> bool:
        """Whether there is a reason not to say one of these: it then stands on the answer line, with the hint."""
        try:
            refused = next((doubt for fact in facts for doubt in self.doubts(fact) if doubt.refuses), None)
        except Trouble as trouble:
            self.answer(str(trouble), "trouble")
            return True
        if refused:
            self.answer(f"{refused.sentence}{hint}", "warn")
        return refused is not None

    def say_unless_refused(self, fact: Fact, kept: str = "", hint: str = "") -> Entry[Any] | None:
        """Say it, unless there is a reason not to."""
        return None if self.refuses([fact], hint) else self.say(fact, kept)

    def undo(self, several: Iterable[Entry[Any]]) -> None:
        """Strike out the last of these entries, and with it what the same key said."""
        last = max(several, key=lambda e: e.order, default=None)
        if last is None:
            self.answer("nothing to undo here: nothing was said of this yet", "warn")
            return
        breath = [e for e in self.job.entries if e.id in self.bench.breath]
        if last in breath and len(breath) > 1:
            strikes = [EntryStruck(entry=e.id, why=UNDONE) for e in breath]
            self.say_all(strikes, f"undone: {many(len(breath), 'check')} said with one key")
            return
        whose = f", said by {last.who}" if name_key(last.who) != name_key(self.desk.who) else ""
        self.say(EntryStruck(entry=last.id, why=UNDONE), f"undone: {tell(last, self.names())}{whose}")

    def took_wrench(self, code: str) -> bool:
        """Whether the code is a wrench's tag; it is then in hand."""
        for wrench in self.desk.shop().rack.values():
            if wrench.added.tag and bag_code(wrench.added.tag) == bag_code(code):
                self.take_wrench(wrench.added.wrench)
                return True
        return False

    def take_wrench(self, wrench: str) -> None:
        """In hand from now on; said when something is tightened with it."""
        self.bench.wrench = wrench
        self.answer(f"in hand: wrench {wrench}")

    def add_wrench(self, start: WrenchAdded | None = None) -> None:
        """One that is not in the rack yet is added to it, and is in hand. Its calibration is said at the workshop."""
        from reassembly.screens.form import FormScreen

        def added(fact: WrenchAdded) -> None:
            if self.say(fact) is None:
                self.add_wrench(fact)
            else:
                self.take_wrench(fact.wrench)
                self.refresh_all()

        form: FormScreen[WrenchAdded] = FormScreen(WrenchAdded, "WRENCH", start=start)
        self.ask(form, added)
