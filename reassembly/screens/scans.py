"""What a scan, a card, a badge or a measured value does, on whatever screen it comes."""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from msgspec import structs
from textual.actions import parse
from textual.widgets import OptionList

from labels.code import Kind, Misread
from labels.code import read as read_code
from labels.keyboard import learn
from reassembly.job.asks import two_groups
from reassembly.job.job import bag_code
from reassembly.job.people import name_key
from reassembly.job.picklist import in_this_job
from reassembly.job.plan import plan
from reassembly.record.trouble import Trouble
from reassembly.screens.frame import Frame
from reassembly.screens.text import safe
from reassembly.screens.wedge import is_foreign
from reassembly.trade.measured import looks_measured

if TYPE_CHECKING:
    from reassembly.screens.app import ReassemblyApp

_IN_A_LIST = {"confirm": "action_select", "next": "action_cursor_down", "back": "action_cursor_up"}
_NOTHING_PACKED = "label {} is of this job, and nothing is packed under it: F4 at strip-down packs"
TWICE = 1.0  # seconds in which the same card or value is one that was read twice


class Scans:
    """The screen on top may take each of them first."""

    def __init__(self, app: ReassemblyApp) -> None:
        self._app = app
        self._waiting: deque[str] = deque()
        self._last_read, self._read_at = "", 0.0

    def take(self, text: str) -> None:
        """Answer a scan, or a code typed by hand, as soon as its screen stands; scans keep their order."""
        self._waiting.append(text)
        if len(self._waiting) == 1:
            self._next_scan()

    def measured(self, line: str) -> None:
        """A measuring tool typed a value, or sent it on its serial line: it counts only where one is asked for."""
        try:
            if self._twice(line):
                self._app.answer(f"{safe(line)} came twice in a second: taken once", "warn")
            elif not (self._frame and self._frame.measured(line)):
                self._app.answer(f"A MEASURED VALUE, {safe(line)}: none is asked for here", "warn")
        except Trouble as trouble:
            self._app.answer(str(trouble), "trouble")
        if self._frame:
            self._frame.refresh_all()

    def unsaid(self, text: str) -> None:
        """Keys as quick as a scanner's, typed into a line, which may be a label misread."""
        ours = isinstance(read_code(text), Misread)
        what = (
            "perhaps one of our labels, misread: scan it again" if ours else "NOT ONE OF OUR LABELS, or keys read late"
        )
        self._app.tell(f"{what}: {safe(text)} stands in the line and is not said", "warn")

    @property
    def _frame(self) -> Frame | None:
        """The screen on top, where it is one of ours."""
        return self._app.screen if isinstance(self._app.screen, Frame) else None

    def _next_scan(self) -> None:
        if self._app.returning.under_way or (self._frame and not self._frame.is_mounted):
            self._app.soon(self._next_scan)
            return
        try:
            self._answer_scan(self._waiting[0])
        finally:
            self._app.soon(self._scan_answered)  # by then a screen that was left has given its result

    def _scan_answered(self) -> None:
        self._waiting.popleft()
        if self._waiting:
            self._next_scan()

    def _answer_scan(self, text: str) -> None:
        """The screen may take it first."""
        found, keys = read_code(text), learn(text)
        if keys is not None:
            self._teach(keys)
        elif found is None and looks_measured(text) and not is_foreign(text):
            self.measured(text)
        elif found is None or isinstance(found, Misread):
            why = found.why if found else "scan it again, or look whether it is another shop's"
            if not (self._frame and self._frame.misread(why)):
                self._app.answer(f"NOT ONE OF OUR LABELS: {why}", "warn")
        else:
            try:
                self._answer_code(found.kind, found.text)
            except Trouble as trouble:
                self._app.answer(str(trouble), "trouble")
        if self._frame:
            self._frame.refresh_all()
        else:
            self._app.notify(safe(self._app.answered.words), markup=False)

    def _answer_code(self, kind: Kind, code: str) -> None:
        if kind is Kind.ACTION:
            self._card(code)
            return
        if self._frame and self._frame.took_code(code):
            return
        if kind is Kind.PERSON:
            self._badge(code)
        elif kind is Kind.SHELF and self._frame:
            from reassembly.screens.packing import shelf_scanned

            shelf_scanned(self._frame, code)
        elif not (self._frame and self._frame.scanned(code)):
            owner = self._app.desk.owner_of(code)
            if owner is None:
                self._app.answer("THIS LABEL WAS NEVER USED HERE: look at the words on it", "warn")
            elif owner.what == "wrench":
                self._app.wrench = owner.name
                self._app.answer(f"in hand: wrench {owner.name}")
            elif owner.job == self._app.desk.open_job:
                job = self._app.desk.job()
                self._app.answer(in_this_job(code, job, plan(job)) or _NOTHING_PACKED.format(two_groups(code)))
            else:
                self._app.answer(f"this label belongs to {self._other(owner.job)}: open that job to use it", "warn")

    def _other(self, job: str) -> str:
        """Another job, as people call it, its id last."""
        return f"{self._app.notation.dated(self._app.desk.called(job))} (job {job})"

    def _teach(self, keys: dict[str, str]) -> None:
        """Remember how the scanner types, where that is not how this machine reads it."""
        from reassembly.record.settings import read, write

        moved = {came: was for came, was in keys.items() if came != was}
        try:
            write(self._app.desk.path, structs.replace(read(self._app.desk.path), keys=moved))
        except Trouble as trouble:
            self._app.answer(str(trouble), "trouble")
            return
        self._app.wedge.learnt = moved
        how = f"{len(moved)} keys are put right from now on" if moved else "every key is where it belongs"
        self._app.answer(f"SCANNER LABEL READ: {how}", "fit")

    def _twice(self, text: str) -> bool:
        """Whether the same came a moment ago: a scanner held on a card reads it again, a tool's key bounces."""
        now = self._app.clock()
        twice = self._last_read == text and now - self._read_at < TWICE
        self._last_read, self._read_at = text, now
        return twice

    def _card(self, code: str) -> None:
        """Do what a card says."""
        from reassembly.record.cards import TEST
        from reassembly.record.printing import card_of

        card = card_of(code)
        if card is None:
            self._app.answer("A CARD THIS VERSION DOES NOT KNOW: print new ones with reassembly cards", "warn")
        elif self._twice(code):
            self._app.answer(f"{card.word} read twice in a second: taken once", "warn")
        elif card is TEST:
            self._app.answer("TEST LABEL READ: label and scanner are good", "fit")
        elif not (self._frame and (self._frame.card(card.name) or _as_a_key(self._frame, card.name))):
            self._app.answer(f"{card.word} does nothing here", "warn")

    def _badge(self, code: str) -> None:
        for person in self._app.desk.shop().people.values():
            if person.badge and bag_code(person.badge) == code:
                if self._frame and self._frame.badge(person.person):
                    return
                self._app.desk.who = person.person
                self._app.by_badge.add(name_key(person.person))
                self._app.answer(f"at the bench: {person.person}", "kept")
                if self._frame:
                    self._frame.person_came(person.person)
                return
        self._app.answer("NOBODY HERE HAS THIS BADGE: add it to a person at Workshop, w on the bench screen", "warn")


def _as_a_key(screen: Frame, name: str) -> bool:
    """Do what the key of a card does; False where it stands for nothing here."""
    listed = screen.focused if isinstance(screen.focused, OptionList) else None
    if name in screen.CARDS:
        _, action, parameters = parse(screen.CARDS[name])
        screen.do(action, *parameters)
    elif name in {"photo", "photos"} and screen.check_action(name, ()):
        screen.do(name)
    elif name == "leave":
        screen.call_later(screen.run_action, screen.way_out)
    elif listed and name in _IN_A_LIST:
        getattr(listed, _IN_A_LIST[name])()
    else:
        return False
    return True
