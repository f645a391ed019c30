"""What every screen has in the same place: job and person on the first line, the last answer above the keys."""

from __future__ import annotations

import asyncio
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple, cast

from textual.await_complete import AwaitComplete
from textual.binding import Binding
from textual.containers import Horizontal
from textual.screen import Screen
from textual.widgets import Input

from reassembly.job.job import title
from reassembly.job.telling import Names, tell
from reassembly.record.trouble import Trouble
from reassembly.screens.keyline import KeyLine
from reassembly.screens.text import cut, in_rows, shown
from reassembly.screens.told import Told

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from textual import events
    from textual.app import ComposeResult
    from textual.geometry import Size
    from textual.message import Message

    from reassembly.job.entries import Entry, Fact
    from reassembly.job.job import Job
    from reassembly.job.notation import Notation
    from reassembly.job.reckon import Reckoned
    from reassembly.record.customer import Customer
    from reassembly.record.desk import Desk
    from reassembly.screens.app import ReassemblyApp


class Way(NamedTuple):
    """How a screen was opened from the one below: an action of that one with its arguments, and what was answered to
    the questions it asks first. So it can be opened again after a power cut."""

    action: tuple[Any, ...]
    answers: tuple[str | int, ...] = ()


TALL = 20
"""Rows, below which a screen keeps to what is needed most: no list of checks, one line where there are several."""


class Frame(Screen[Any]):
    """A screen shows what the desk's job says and says facts to the desk; it keeps nothing of its own."""

    HEADING = ""
    OF_THE_SHOP = False
    way: Way | None = None
    doing: Way | None = None
    """The action under way here: whatever it opens can be opened again by it."""
    CARDS: Mapping[str, str] = {}
    """The action that each card to be scanned stands for here, by the card's name."""
    BINDINGS = [
        Binding("f6", "workings", "Workings"),
        Binding("f10", "photo", "Photo"),
        Binding("f11", "photos", "Photos of this job", show=False),
        Binding("ctrl+y", "who", "Person", show=False),
        Binding("slash", "type_code", "Type a label's ten letters", key_display="/", show=False),
    ]
    HORIZONTAL_BREAKPOINTS = [(0, "-small"), (66, "-usual")]
    VERTICAL_BREAKPOINTS = [(0, "-low"), (TALL, "-tall")]
    _laid_out_for: Size | None = None

    def compose(self) -> ComposeResult:
        with Horizontal(id="first-line"):
            yield Told(id="which", markup=False)
            yield Told(id="where", markup=False)
            yield Told(id="who", markup=False)
        yield from self.body()
        yield Told(id="answer", markup=False)
        yield KeyLine(id="keys", markup=False)

    def body(self) -> ComposeResult:
        """The widgets between the first line and the answer."""
        raise NotImplementedError

    def show(self) -> None:
        """Draw everything from the desk again. Called after every word said, here or at another terminal."""
        raise NotImplementedError

    def heading(self) -> str:
        return self.HEADING

    def names(self) -> Names:
        """What the ids in this job are called, the job it comes back from as well."""
        names, earlier = Names.of(self.job)._replace(written=self.notation), self.job.opened.earlier
        return names._replace(jobs={earlier: self.desk.called(earlier)}) if earlier else names

    def subject(self) -> str:
        """What the screen is about: the job, unless it says otherwise."""
        return title(self.job) if self.desk.open_job else "workshop"

    @property
    def bench(self) -> ReassemblyApp:
        return cast("ReassemblyApp", self.app)

    @property
    def desk(self) -> Desk:
        return self.bench.desk

    @property
    def notation(self) -> Notation:
        return self.bench.notation

    @property
    def job(self) -> Job:
        return self.desk.job("" if self.OF_THE_SHOP else None)

    @property
    def takes_photos(self) -> bool:
        """Whether a picture can be kept with what is on display."""
        return bool(self.desk.open_job) and not self.OF_THE_SHOP

    def part_on_display(self) -> str:
        """The id of the part that the screen is about; empty where it is about no single one."""
        return ""

    @property
    def on_top(self) -> bool:
        """Whether keys come here. Textual's `is_current` is true of the screen below as well."""
        return self.app.screen is self

    async def _dispatch_message(self, message: Message) -> None:
        """What the journal cannot do now is told on the answer line, whichever handler asked for it."""
        try:
            await super()._dispatch_message(message)
        except Trouble as trouble:
            self.answer(str(trouble), "trouble")

    @cached_property
    def ready(self) -> asyncio.Event:
        """Set once the screen stands."""
        return asyncio.Event()

    def on_mount(self) -> None:
        self.call_after_refresh(self.ready.set)

    def on_screen_resume(self) -> None:
        """Told when the screen comes on top, for the first time as well. A screen with a handler of its own does not
        call this one: Textual does."""
        self.refresh_all()

    def on_resize(self, event: events.Resize) -> None:
        """Lines were cut to the width that was."""
        if self._laid_out_for not in {None, event.size}:
            self.refresh_all()
        self._laid_out_for = event.size

    def refresh_all(self) -> None:
        """First line, body and answer as they stand now."""
        if not (self.is_mounted and self.query_one_optional("#who") and self.query_one_optional("#keys")):
            return  # not yet composed, or going
        try:
            self.show()
            room = max(10, self.app.size.width - len(self.heading()) - len(self.desk.who) - 6)
            self.query_one("#which", Told).update(shown(cut(self.subject(), room)))
        except Trouble as trouble:
            self.bench.answer(str(trouble), "trouble")
        self.query_one("#where", Told).update(shown(self.heading()))
        self.query_one("#who", Told).update(shown(self.desk.who or "nobody"))
        self.show_answer()
        self.query_one(KeyLine).show()

    def on_descendant_focus(self) -> None:
        self.call_after_refresh(self.query_one(KeyLine).show)

    def show_answer(self) -> None:
        """The last answer, by word and by class."""
        line = self.query_one_optional("#answer", Told)
        if line is None:
            return  # the screen comes or goes
        told = in_rows(self.bench.answered.words, 3 if self.app.size.height >= TALL else 2, self.app.size.width - 2)
        if not line.has_class(self.bench.answered.manner):
            line.set_classes(self.bench.answered.manner)
        line.update(shown(told))

    def say(self, fact: Fact, kept: str = "") -> Entry[Any] | None:
        """Keep one fact of the open job, or of the shop, and show what came of it.

        None, with the reason on the answer line, where it could not be kept: what was typed stays where it is.
        """
        try:
            if self._signed_first([fact]):
                return None
            entry = self.desk.say(fact, "" if self.OF_THE_SHOP else None)
        except Trouble as trouble:
            self.bench.answer(str(trouble), "trouble")
            self.show_answer()
            return None
        self.bench.answer(f"kept: {kept or tell(entry, self.names())}", "kept")
        self.refresh_all()
        return entry

    def say_all(self, facts: Sequence[Fact], kept: str, details: Customer | None = None) -> bool:
        """Keep several facts said in one breath, all or none; False, with the reason on the answer line, for none."""
        try:
            if self._signed_first(facts):
                return False
            self.desk.say_all(facts, "" if self.OF_THE_SHOP else None, details)
        except Trouble as trouble:
            self.answer(str(trouble), "trouble")
            return False
        self.bench.answer(f"kept: {kept}", "kept")
        self.refresh_all()
        return True

    def _signed_first(self, facts: Sequence[Fact]) -> bool:
        from reassembly.screens.signed import is_signed

        return is_signed(self, facts)

    def dismiss(self, result: Any = None) -> AwaitComplete:
        """Return to the screen below; once. A second Enter of the same burst finds it gone and does nothing."""
        return super().dismiss(result) if self.on_top else AwaitComplete()

    def answer(self, words: str, manner: str = "told") -> None:
        self.bench.answer(words, manner)
        self.show_answer()

    def took_code(self, code: str) -> bool:
        """Take a code before anything is done with it, as a field does that asks for one; False leaves it."""
        return False

    def reckoned(self) -> list[Reckoned]:
        """The numbers that can be computed of what is on display. A screen that has none leaves this as it is."""
        return []

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Workings are a key only where there can be numbers, photos only where a job is open."""
        if action in {"photo", "photos"}:
            return self.takes_photos
        if action == "say_line":
            return isinstance(self.focused, Input)
        return action != "workings" or type(self).reckoned is not Frame.reckoned

    async def action_say_line(self) -> None:
        """For a touch on the key line: the key itself goes to the line that is typed in."""
        if isinstance(self.focused, Input):
            await self.focused.action_submit()

    def action_workings(self) -> None:
        """Formula, inputs and source of every number on display; where there is none, any number can be asked for."""
        from reassembly.screens.computation import pick_computation
        from reassembly.screens.workings import WorkingsScreen

        found = self.reckoned()
        if found:
            self.app.push_screen(WorkingsScreen(found))
        else:
            pick_computation(self)

    def action_photo(self) -> None:
        """Keep the newest picture with what is on display."""
        self.bench.keeping.newest(self)

    def action_photos(self) -> None:
        from reassembly.screens.photos import look_at_photos

        look_at_photos(self)

    def scanned(self, code: str) -> bool:
        """Take a scan of ours, ten letters; False leaves it to the bench."""
        return False

    def card(self, name: str) -> bool:
        """Do what a card says in a way of this screen's own; False leaves it to the key that it stands for."""
        return False

    @property
    def way_out(self) -> str:
        """The action that Esc is for here."""
        return self._bindings.key_to_bindings["escape"][0].action

    def measured(self, line: str) -> bool:
        """Take a value from a measuring tool; False where none is asked for here."""
        return False

    def action_type_code(self) -> None:
        """For a label that no scanner reads any more."""
        from reassembly.screens.prompt import PromptScreen

        question = "The ten letters under the picture, capitals or not, with or without spaces."
        self.ask(PromptScreen("TYPE A CODE", question, asks="code"), self.bench.scans.take)

    def action_who(self) -> None:
        """Who is at the bench from now on."""
        from reassembly.screens.who import WhoScreen

        self.ask(WhoScreen(), self.came_to_the_bench)

    def came_to_the_bench(self, person: str) -> None:
        """Somebody said by name to be at the bench now."""
        self.desk.who = person
        self.answer(f"at the bench: {person}", "kept")
        self.refresh_all()

    def badge(self, person: str) -> bool:
        """Take a badge for what is asked here; False lets its person come to the bench."""
        return False

    def person_came(self, person: str) -> None:
        """Somebody scanned a badge and is at the bench now."""

    def misread(self, why: str) -> bool:
        """Take a scan that is none of ours, with the reason; False leaves the answer to the bench."""
        return False

    def keeps(self) -> dict[str, Any]:
        """What makes up this screen besides its fields and lists, as JSON has it: `take_up` brings it back."""
        return {}

    def take_up(self, kept: Mapping[str, Any]) -> None:
        """Be as `keeps` said. Raises LookupError, TypeError or ValueError for what it never said."""

    def do(self, action: str, *arguments: Any) -> None:
        """Do what a key would, with this as the way to whatever it opens; nothing where another screen was opened on
        top meanwhile, by the key before."""
        if not self.on_top:
            return
        before, self.doing = self.doing, Way((action, *arguments))
        try:
            getattr(self, f"action_{action}")(*arguments)
        finally:
            self.doing = before

    def ask(
        self, screen: Screen[Any], then: Callable[[Any], object], left: Callable[[], object] = lambda: None
    ) -> None:
        """Put another screen on top and go on with what it returns; with `left` where that is None."""

        def go_on(result: Any) -> None:
            way = screen.way if isinstance(screen, Frame) else None
            before = self.doing
            if way is not None and isinstance(result, str | int):
                self.doing = way._replace(answers=(*way.answers, result))
            else:
                self.doing = way  # asked again, with what was typed still in it
            try:
                left() if result is None else then(result)
            except Trouble as trouble:
                self.answer(str(trouble), "trouble")
            finally:
                self.doing = before

        self.app.push_screen(screen, go_on)

    def typing(self) -> bool:
        """Whether letters go into a text field rather than to keys."""
        return isinstance(self.focused, Input)
