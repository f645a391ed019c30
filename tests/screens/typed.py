"""`python -m tests.screens.typed FOLDER`: every screen with a line to type in, one after another at Ctrl+N."""

from __future__ import annotations

import inspect
import pkgutil
import re
import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from msgspec.structs import fields
from textual.binding import Binding

import reassembly.screens
from reassembly.job import entries as said
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from reassembly.screens import app
from reassembly.screens.checkin import AdditionScreen, CheckinScreen, CustomerScreen, LevelHowScreen, VehicleScreen
from reassembly.screens.computation import ComputationScreen
from reassembly.screens.fields import fields_of
from reassembly.screens.form import FormScreen
from reassembly.screens.frame import Frame
from reassembly.screens.jobs import JobsScreen
from reassembly.screens.keys import FindKeyScreen
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.removal import RemovalScreen
from reassembly.screens.strike import StrikeScreen
from reassembly.screens.stripdown import StripdownScreen
from reassembly.screens.who import WhoScreen
from reassembly.trade.catalogue import EVERY

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


class Typed(NamedTuple):
    """A screen to type in, what its first line calls it, and how it is made."""

    type: type[Frame]
    told: str
    make: Callable[[], Frame]
    fields: int = 1
    """How often Tab goes on to another one."""


def every() -> Iterator[Typed]:
    """All forms, questions and numbers. Two of what is one class only where their fields differ."""
    for kind in said.kinds():
        if any(not field.choices for field in fields_of(kind)):
            form = lambda kind=kind: FormScreen(kind, kind.__name__)  # noqa: E731
            yield Typed(FormScreen, kind.__name__, form, len(fields_of(kind)))
    yield Typed(CheckinScreen, "CHECK-IN", CheckinScreen, len(fields_of(said.JobOpened)) + len(fields(Customer)))
    yield Typed(VehicleScreen, "CHECK-IN", lambda: VehicleScreen(None, {}), len(fields_of(said.JobOpened)))
    yield Typed(AdditionScreen, "ADD TO CHECK-IN", lambda: AdditionScreen(None, {}), 5)
    yield Typed(
        LevelHowScreen,
        "LEVEL HOW",
        lambda: LevelHowScreen("LEVEL HOW", {}, None),
        len(fields_of(said.LevelSpecified)),
    )
    yield Typed(CustomerScreen, "CUSTOMER", CustomerScreen, len(fields(Customer)))
    yield Typed(
        RemovalScreen,
        "WHAT CAME OFF",
        lambda: RemovalScreen(said.PartRemoved(part="", name="")),
        len(fields_of(said.PartRemoved)),
    )
    yield Typed(PromptScreen, "A QUESTION", lambda: PromptScreen("A QUESTION", "Why?"))
    yield Typed(StrikeScreen, "STRIKE OUT", _strike)
    yield Typed(WhoScreen, "WHO IS AT THE BENCH", WhoScreen)
    yield Typed(StripdownScreen, "STRIP-DOWN", StripdownScreen)
    yield Typed(FindKeyScreen, "FIND A KEY", lambda: FindKeyScreen(StripdownScreen()))
    for computation in EVERY:
        number = lambda each=computation: ComputationScreen(each)  # noqa: E731
        yield Typed(ComputationScreen, computation.name, number, len(computation.inputs))


def _strike() -> StrikeScreen:
    return StrikeScreen("pan taken off", "", again=True, withdraw=True, of_the_shop=False)


def with_a_line() -> set[type[Frame]]:
    """Every class of screens that has a line to type in, as the code says."""
    for module in pkgutil.iter_modules(reassembly.screens.__path__, "reassembly.screens."):
        import_module(module.name)
    return {screen for screen in _below(Frame) if any(map(_has_a_line, _makers(screen)))}


def _below(above: type[Frame]) -> Iterator[type[Frame]]:
    for each in above.__subclasses__():
        yield each
        yield from _below(each)


def _makers(screen: type[Frame]) -> Iterator[Any]:
    """The methods that make what stands on a screen."""
    yield screen.body
    yield from filter(None, [getattr(screen, "_widget", None)])


def _has_a_line(maker: Any) -> bool:
    return re.search(r"\b(Line|Input|TextArea)\(", inspect.getsource(maker)) is not None


class EveryLineApp(app.ReassemblyApp):
    """The program, which goes from one screen to type in to the next."""

    CSS_PATH = str(Path(app.__file__).with_name("frame.tcss"))
    BINDINGS = [Binding("ctrl+n", "following", priority=True)]

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._every = every()

    def action_following(self) -> None:
        while not isinstance(self.screen, JobsScreen):
            self.pop_screen()
        self.desk.open_job = self.desk.jobs()[0].id
        following = next(self._every, None)
        if following:
            self.push_screen(following.make())


if __name__ == "__main__":
    with Desk.open(Path(sys.argv[1]), who="ann") as opened:
        EveryLineApp(opened).run()
