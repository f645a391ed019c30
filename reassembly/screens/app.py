"""The screen stack, and keys told from scans before any screen has them."""

from __future__ import annotations

from asyncio import TimerHandle, get_running_loop
from math import inf
from select import select
from time import monotonic
from typing import TYPE_CHECKING, Any, NamedTuple

from textual import events
from textual.actions import ActionError, parse
from textual.app import App
from textual.binding import Binding
from textual.filter import ANSIToTruecolor

from reassembly.job.notation import USUAL
from reassembly.record.cards import BENCH as CARDS_BENCH
from reassembly.record.tool_line import ToolLine
from reassembly.record.trouble import Trouble
from reassembly.screens.copying import Copying
from reassembly.screens.frame import Frame, Way
from reassembly.screens.jobs import JobsScreen
from reassembly.screens.keeping import Keeping
from reassembly.screens.key_queue import Handled, KeyQueue
from reassembly.screens.locked import PATIENCE, Locked
from reassembly.screens.place import Returning
from reassembly.screens.scans import Scans
from reassembly.screens.sending import Sending
from reassembly.screens.themes import LOOKS, NIGHT
from reassembly.screens.wedge import Unsaid, Wedge
from reassembly.screens.writing import Writing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from textual.actions import ActionParseResult
    from textual.await_complete import AwaitComplete
    from textual.dom import DOMNode
    from textual.driver import Driver
    from textual.filter import LineFilter

    from reassembly.record.beside import Beside
    from reassembly.record.desk import Desk
    from reassembly.screens.key_queue import Going

POLL = 0.5
EARLY = 0.001  # a timer may fire so much too early
LATE = 0.005  # seconds in which what has come goes all the way


class Answered(NamedTuple):
    """The last thing the program said: the words, and how they are meant."""

    words: str
    manner: str = "told"


class ReassemblyApp(App[None]):
    """The bench. Every key passes the wedge first, so that no scan can press anything."""

    TITLE = "reassembly"
    CSS_PATH = "frame.tcss"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS = [
        Binding("question_mark,f1", "keys", "Keys"),
        Binding("ctrl+p", "find_key", "Find a key by its words", show=False, priority=True),
        Binding("ctrl+q", "quit", "Leave", show=False, priority=True),
    ]

    def __init__(
        self,
        desk: Desk,
        tool: str = "",
        terminal: str = "",
        photos: str = "",
        beside: Beside | None = None,
        stranger: str = "",
    ) -> None:
        """`tool` is the serial port of a measuring tool, if one is there; `terminal` the name under which this one
        finds itself again after a power cut, if it shall; `photos` the folder that pictures come to, empty for the
        usual one; `beside` copies and proves the record while work goes on, if it shall; `stranger` says that nobody
        here has the name it was started with: then it asks who is at the bench."""
        super().__init__()
        self.desk = desk
        self.answered = Answered("")
        self._rings = True
        self.notation = USUAL
        self._said_now = False  # since the last key, scan or touch
        self.breath: frozenset[str] = frozenset()  # ids of the entries that one key said last, taken back by one key
        self.wrench = ""  # in hand at this terminal; said when something is tightened with it
        self.by_badge: set[str] = set()  # names, as compared, of those who came to this bench by badge last
        self.bag = "", ""  # job and letters of the bag scanned here last: the next shelf is its shelf
        self.sending = Sending(self)
        self.writing = Writing(self)
        self._locked = Locked(self)
        self.keeping = Keeping(self, photos)
        self.copying = Copying(self, beside)
        self._tool = ToolLine(tool, self._tool_sent, self._tool_failed) if tool else None
        self.clock = monotonic
        self.scans = Scans(self)
        self.wedge = Wedge({*desk.heads(), desk.bench, CARDS_BENCH})
        self._key_queue = KeyQueue(self, self._judged, self._do)
        self._next_look: TimerHandle | None = None
        self._held_until: TimerHandle | None = None
        self.returning = Returning(self, terminal, stranger)
        self._begin_in_the_look()
        desk.changed()  # what is kept until now is on the first screen without it

    def _begin_in_the_look(self) -> None:
        """Before anything is styled: a look that is set later has every style sheet read again."""
        from reassembly.record.settings import read

        for each in LOOKS:
            self.register_theme(each)
        try:
            look = _look(read(self.desk.path).look)
        except Trouble:  # told when the first screen stands
            look = NIGHT
        self.set_reactive(App.theme, look)
        self.set_class(self.current_theme.dark, "-dark-mode", update=False)
        self.set_class(not self.current_theme.dark, "-light-mode", update=False)
        self.stylesheet.set_variables(self.get_css_variables())

    def get_default_screen(self) -> JobsScreen:
        return JobsScreen()

    def on_mount(self) -> None:
        self._look_for_news()
        self.desk.wait_at_most(PATIENCE, self._locked.begin)
        self.take_settings()
        if self._tool:
            self._tool.start()
        self.call_after_refresh(self.sending.begin)
        self.call_after_refresh(self.keeping.begin)
        self.call_after_refresh(self.copying.begin)
        self.call_after_refresh(self.returning.begin)
        self.call_after_refresh(self.run_worker, warm, thread=True, exit_on_error=False)

    def _look_for_news(self) -> None:
        """Ask the journal twice a second what was said at another terminal of this bench.

        The loop's own timer: one of Textual's would take as much of the processor as the rest of an idle app.
        """
        if self.desk.changed():
            self.call_later(self._show_news)
        self._next_look = get_running_loop().call_later(POLL, self._look_for_news)

    def take_settings(self) -> None:
        """Type, look, sound and write as this machine was told."""
        from reassembly.record.settings import read

        try:
            told = read(self.desk.path)
        except Trouble as trouble:
            self.answer(str(trouble), "trouble")
            return
        self.wedge.learnt = told.keys
        self.theme = _look(told.look)
        self._rings = told.bell
        self.notation = told.notation

    def _show_news(self) -> None:
        if isinstance(self.screen, Frame):
            self.screen.refresh_all()

    def on_unmount(self) -> None:
        self.sending.stop()
        self.writing.stop()
        self._locked.stop()
        self.keeping.stop()
        self.copying.stop()
        if self._tool:
            self._tool.stop()
        for timer in self._next_look, self._held_until:
            if timer:
                timer.cancel()

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Without the one that turns the terminal's own sixteen colours into others: no look has any, and it takes an
        eighth of every paint."""
        return [each for each in super().get_line_filters() if not isinstance(each, ANSIToTruecolor)]

    def answer(self, words: str, manner: str = "told") -> None:
        """Keep the answer that the screen on top shows above its keys. Manners: told, kept, warn, trouble, fit."""
        self.answered, self._said_now = Answered(words, manner), True
        if self._rings and manner in {"warn", "trouble"}:
            self.bell()

    def tell(self, words: str, manner: str = "told") -> None:
        """Answer what no key on the screen asked for, and show it there at once."""
        self.answer(words, manner)
        if isinstance(self.screen, Frame):
            self.screen.show_answer()

    def _forget_answer(self) -> None:
        if self.answered.manner != "trouble":  # nothing was kept: that stands wherever one goes
            self.answered = Answered("")

    async def on_event(self, event: events.Event) -> None:
        """Keys and pastes go through the wedge before any binding or field sees them."""
        if isinstance(event, events.Key | events.Paste | events.MouseUp):
            self.returning.changed()
            self._said_now = False
        if isinstance(event, events.Key | events.Paste) and not event.is_forwarded:
            await self._key_queue.take(event)
        else:
            await super().on_event(event)

    async def on_handled(self, message: Handled) -> None:
        message.stop()
        await self._key_queue.handled(message.number)

    def _judged(self, event: events.Key | events.Paste | float) -> Iterable[Going]:
        if isinstance(event, events.Key):
            yield from self.wedge.key(event, self._typing())
        elif isinstance(event, events.Paste):
            yield from self.wedge.overdue(inf, self._typing())
            scan = self.wedge.paste(event.text, self._typing(), event.time)
            yield event if scan is None else scan
        else:
            yield from self.wedge.overdue(event, self._typing())
        if self._held_until:
            self._held_until.cancel()  # each key holds the ones before it for longer
        if (due := self.wedge.due) is not None:
            self._held_until = get_running_loop().call_later(max(0.0, due - monotonic()) + EARLY, self._due)

    def _due(self) -> None:
        """Judge what is held by the time it is now, but behind every key read until now: while the screen was busy it
        came no further than the loop. What was typed and not read yet, on a starved processor, is waited for."""
        now = 0.0 if _unread(self._driver) else monotonic()
        get_running_loop().call_later(LATE, self.call_later, self._let_go, now)

    async def _let_go(self, now: float) -> None:
        if self.is_running:
            await self._key_queue.take(now)

    async def _do(self, each: Going) -> None:
        if isinstance(each, str):
            self.scans.take(each)
        elif isinstance(each, Unsaid):
            self.scans.unsaid(each.text)
        else:
            await super().on_event(each)

    async def run_action(
        self,
        action: str | ActionParseResult,
        default_namespace: DOMNode | None = None,
        namespaces: Mapping[str, DOMNode] | None = None,
    ) -> bool:
        """Do what a key, a touch or a line found asks for; what the journal cannot do now is told, not raised."""
        frame = self.screen if isinstance(self.screen, Frame) else None
        if frame:
            frame.doing = _way(action)
        try:
            return await super().run_action(action, default_namespace, namespaces)
        except Trouble as trouble:
            self.tell(str(trouble), "trouble")
            return True
        finally:
            if frame:
                frame.doing = None

    def push_screen(self, screen: Any, *rest: Any, **more: Any) -> Any:
        """Every screen is marked with the action that opened it, so that it can be opened again. It shows no answer
        but that to the key that opened it, such as why a form comes again."""
        below = self.screen_stack[-1] if self.screen_stack else None
        if isinstance(screen, Frame) and isinstance(below, Frame) and screen.way is None:
            screen.way = below.doing
        if isinstance(screen, Frame) and not self._said_now:
            self._forget_answer()
        self.returning.changed()
        return super().push_screen(screen, *rest, **more)

    def pop_screen(self) -> AwaitComplete:
        """What was kept is told on the screen below as well, and what the last key was answered; nothing else is."""
        if isinstance(self.screen, Frame) and self.answered.manner != "kept" and not self._said_now:
            self._forget_answer()
        return super().pop_screen()

    def action_find_key(self) -> None:
        """What Textual's own palette is for, which a second Enter or a page key can end in a traceback."""
        from reassembly.screens.keys import FindKeyScreen, KeysScreen

        below = self.screen
        if isinstance(below, Frame) and not isinstance(below, FindKeyScreen | KeysScreen):
            below.ask(FindKeyScreen(below), lambda action: below.call_later(below.run_action, action))

    async def action_quit(self) -> None:
        self.returning.leave()
        await super().action_quit()

    def _typing(self) -> bool:
        return not isinstance(self.screen, Frame) or self.screen.typing()

    def _tool_sent(self, line: str) -> None:
        """From the thread that reads the serial line."""
        self.call_later(self.scans.measured, line)

    def _tool_failed(self, why: str) -> None:
        self.call_later(self.tell, why, "warn")

    def soon(self, what: Callable[[], None]) -> None:
        """The loop's own timer: one of Textual's is never called when the processor is away for as long as it waits."""
        get_running_loop().call_later(LATE, self.call_later, what)

    def action_keys(self) -> None:
        from reassembly.screens.keys import KeysScreen

        if isinstance(self.screen, Frame):
            self.push_screen(KeysScreen(self.screen))


def _look(name: str) -> str:
    return name if name in {look.name for look in LOOKS} else NIGHT


def _unread(driver: Driver | None) -> bool:
    """Whether keys wait to be read from the terminal, where it is one."""
    terminal = getattr(driver, "fileno", None)
    return isinstance(terminal, int) and bool(select([terminal], [], [], 0)[0])


def _way(action: str | ActionParseResult) -> Way | None:
    try:
        _, name, arguments = parse(action) if isinstance(action, str) else action
    except ActionError:
        return None
    return Way((name, *arguments))


def warm() -> None:
    """Load what is slow to load after the first screen stands, so that no key waits for it."""
    from reassembly.screens import checkin, job, record, refit, signoff, stripdown, tighten  # noqa: F401
    from reassembly.trade.quantity import registry

    registry()
