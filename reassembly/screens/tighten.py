"""Tightening one fastener set: position by position, or a stage at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import structs
from textual.binding import Binding
from textual.containers import Horizontal
from textual.widgets import Static

from reassembly.job.at_position import AtPosition
from reassembly.job.entries import StageTightened
from reassembly.job.joint import Joint, joint
from reassembly.job.measured import MEASURED, WITH_A_WRENCH, as_kept, out_of_limits, reading
from reassembly.job.plan import Plan, first, plan
from reassembly.screens.all_at_once import all_at_once_asked, ask_all_at_once
from reassembly.screens.bignumbers import BigNumbers, position_of
from reassembly.screens.hands import HandsScreen
from reassembly.screens.joint import JointView, legend, marks
from reassembly.screens.last_one import ask_last_one, is_last, rest_of, told_beside
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.rack import in_hand
from reassembly.screens.step import SMALL, first_in_words
from reassembly.screens.text import cut, shown
from reassembly.screens.together import say_together
from reassembly.screens.touch import Touch
from reassembly.screens.wrench import ask_setting, choose_wrench, unless_doubted
from reassembly.screens.wrench_setting import WrenchSetting

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from textual.app import ComposeResult

    from reassembly.job.checks import Check
    from reassembly.job.reckon import Reckoned
    from reassembly.job.shop import Shop


class TightenScreen(HandsScreen):
    """Space says that the position between > and < is tight; y says it of the last one, and with it what is left of
    the step. Figures and arrows choose another position; that is kept too, and shown with [!] as out of order. The
    drawing is seen from the side that is named under it."""

    CSS_PATH = "tighten.tcss"
    BINDINGS = [
        Binding("space", "tight", "Tight"),
        Binding("a", "all", "Whole stage"),
        Binding("y", "last_and_rest", "Last one, and the rest"),
        Binding("m", "measured", "Measured"),
        Binding("k", "wrench", "Wrench"),
        Binding("s", "setting", "Setting"),
        Binding("u", "undo", "Undo"),
        Binding("right,down", "other(1)", "Other position", show=False),
        Binding("left,up", "other(-1)", "Other position", show=False),
        *(Binding(str(n), f"digit({n})", "Position by number", show=False) for n in range(10)),
        Binding("escape", "dismiss(None)", "Back"),
    ]

    CARDS = {
        "confirm": "tight",
        "tight": "tight",
        "whole stage": "all",
        "together": "last_and_rest",
        "measured": "measured",
        "wrench": "wrench",
        "setting": "setting",
        "workings": "workings",
        "undo": "undo",
        "next": "other(1)",
        "back": "other(-1)",
        "tighten": "stage",
        **{str(n): f"digit({n})" for n in range(10)},
    }

    def __init__(self, specification: str) -> None:
        """`specification` is the entry id of the TorqueSpecified."""
        super().__init__()
        self._specification = specification
        self._here = AtPosition()
        self._setting = WrenchSetting()
        self._called = ""

    def body(self) -> ComposeResult:
        yield Static(id="stage", markup=False)
        yield Static(id="wrench", markup=False)
        yield Static(id="doubt", markup=False)
        with Horizontal(id="joint-and-numbers"):
            yield JointView(id="joint")
            yield BigNumbers(id="numbers")
        yield Static(id="legend", markup=False)
        with Horizontal(id="touch"):
            yield Touch("TIGHT", "tight", id="tight")
            yield Touch("UNDO", "undo", id="undo")
            yield Touch("WHOLE STAGE", "all", id="all")

    def keeps(self) -> dict[str, Any]:
        return {"set_by": self._setting.typed, "at": self._here.at, "picked": self._here.picked}

    def take_up(self, kept: Mapping[str, Any]) -> None:
        stage, position = kept["at"] or (None, None)
        if isinstance(stage, int) and isinstance(position, int | None):
            self._here.at, self._here.picked = (stage, position), bool(kept["picked"])
        self._setting.typed = str(kept["set_by"])

    def heading(self) -> str:
        small = self.app.size.width < SMALL
        return "TIGHTEN" if small else f"TIGHTEN {cut(self._called, 28)}"

    def subject(self) -> str:
        return self._called if self.app.size.width < SMALL else super().subject()

    def show(self) -> None:
        job, shop = self.job, self.desk.shop()
        refit = plan(job)
        found = joint(job, refit, self._specification)
        if found is None:
            self.query_one("#stage", Static).update("this torque does not stand any more: Esc goes back")
            return
        self._called = found.part.name
        if self._own or self._here.at is None:
            self._move(found)
        width, unit = self.app.size.width - 2, job.opened.torque_unit
        self.query_one("#stage", Static).update(shown(cut(f"{found.stage.told}, {found.order_from}", width)))
        wrench = in_hand(self.bench.wrench, shop) if found.stage.kind in WITH_A_WRENCH else "no torque in this stage"
        self.query_one("#wrench", Static).update(shown(cut(wrench, width)))
        told = self._warned(found, refit, shop) or told_beside(rest_of(found, refit, job), self.app.size)
        self.query_one("#doubt", Static).update(shown("\n".join(cut(line, width) for line in told[:3])))
        self.query_one("#doubt", Static).display = bool(told)
        at = None if self._here.passed(found) else self._here.position
        self.query_one("#joint", JointView).show(found.layout, tuple(marks(found, at)))
        self.query_one("#numbers", BigNumbers).show(
            [*position_of(found, at), self._setting.number(found.stage, unit)], self.notation
        )
        self.query_one("#legend", Static).update(shown(legend(found, at, width)))

    def _move(self, found: Joint) -> None:
        if self._here.move(found):
            self._setting.to_another_stage()

    def reckoned(self) -> list[Reckoned]:
        """Of the stage on display, with the wrench in hand."""
        from reassembly.job.reckoning import of_check

        job = self.job
        found = joint(job, plan(job), self._specification)
        if found is None or found.check is None:
            return []
        to_the_setting = self._setting.reckoned(found.stage, job.opened.torque_unit)
        return [*to_the_setting, *of_check(found.check, job, self.desk.shop(), self.bench.wrench)]

    def _doubts(self, found: Joint, refit: Plan) -> Iterator[str]:
        if found.trouble:
            yield found.trouble
        if found.finished:
            yield "EVERY STAGE IS TIGHT: Esc goes back"
        elif self._here.passed(found):
            yield "tightened at another terminal meanwhile: Space goes on"
        elif found.check and (before := first(found.check, refit)):
            yield first_in_words(before)

    def _warned(self, found: Joint, refit: Plan, shop: Shop) -> list[str]:
        """Why nothing can be said now, and what speaks against the wrench in hand."""
        unit = self.job.opened.torque_unit
        against = self._setting.speaks_against(self.bench.wrench, found.stage, unit, shop, self.desk.today)
        return [*self._doubts(found, refit), *against]

    def _ready(self) -> Joint | None:
        """The joint, where what is on display may be said of it now; otherwise the answer line says why not."""
        job = self.job
        refit = plan(job)
        found = joint(job, refit, self._specification)
        if found is None or found.finished:
            self.answer("nothing is left to tighten here: Esc goes back", "warn")
        elif self._here.passed(found):
            self._move(found)
            self.refresh_all()
        elif found.check and (before := first(found.check, refit)):
            self.answer(first_in_words(before), "warn")
        else:
            return found
        return None

    def _fact(self, found: Joint, position: int | None, value: str = "") -> StageTightened:
        torque = found.stage.kind in WITH_A_WRENCH
        return StageTightened(
            specification=self._specification,
            stage=found.stage.number,
            position=position,
            value=value,
            wrench=self.bench.wrench if torque else "",
            setting=self._setting.at(found.stage, self.job.opened.torque_unit),
        )

    def _tell(self, fact: StageTightened, before: Joint, rest: tuple[Check, ...] = ()) -> None:
        if self.say_unless_refused(fact) is None:
            return
        if rest and not say_together(self, rest):
            return
        job = self.job
        after = joint(job, plan(job), self._specification)
        if after is None:
            return
        if after.finished:
            more = f", and {'; '.join(check.wording for check in rest)}" if rest else ""
            self.bench.answer(f"every stage is tight: {after.part.name}{more}", "kept")
            self.dismiss(None)
        elif after.stage.number != before.stage.number:
            how = "" if fact.position else " at once"
            self.answer(f"stage {before.stage.number} done{how}. Now {after.stage.told}", "kept")
        elif fact.position and before.left and fact.position != before.left[0]:
            self.answer(f"kept, OUT OF ORDER: position {fact.position} before {before.left[0]}", "warn")

    def action_tight(self) -> None:
        found = self._ready()
        if found is None:
            return
        if self._here.position is None:
            self.answer("how many there are is not recorded: a says the whole stage", "warn")
        else:
            self._unless_doubted(found, self._fact(found, self._here.position))

    def _unless_doubted(
        self, found: Joint, fact: StageTightened, say: Callable[[StageTightened], None] | None = None
    ) -> None:
        say = say or (lambda told: self._tell(told, found))
        unless_doubted(self, found, fact, say, lambda: self._ready() is not None)

    def action_last_and_rest(self) -> None:
        found = self._ready()
        if found is None:
            return
        job = self.job
        refit = plan(job)
        rest, position = rest_of(found, refit, job), self._here.position
        if not rest:
            last = is_last(found)
            why = "nothing is left to say with it: Space says it is tight" if last else "y is for the last position"
            self.answer(why, "warn")
            return

        fact = self._fact(found, position)

        def say() -> None:
            self._unless_doubted(found, fact, lambda told: self._tell(told, found, rest))

        def say_if_still() -> None:
            """After a question: the position may be tight by then, said at another terminal."""
            if self._ready() is not None:
                say()

        if told_beside(rest, self.app.size) and not self._warned(found, refit, self.desk.shop()):
            say()
        else:
            ask_last_one(self, position, rest, say_if_still)

    def action_stage(self) -> None:
        """Which stage is under way, for whoever scans the card again."""
        found = self._ready()
        if found is not None:
            self.answer(f"{found.stage.told}, {len(found.left)} positions left")

    def action_all(self) -> None:
        found = self._ready()
        if found is None:
            return

        def say() -> None:
            if now := self._ready():
                self._unless_doubted(now, self._fact(now, None))

        if all_at_once_asked(found, self.job):
            ask_all_at_once(self, found, say)
        else:
            self._unless_doubted(found, self._fact(found, None))

    def action_measured(self) -> None:
        found = self._ready()
        if found is None:
            return
        position, unit = self._here.position, self.job.opened.torque_unit

        def refuse(typed: str) -> str:
            out = out_of_limits(found.stage, typed, self._setting.at(found.stage, unit), unit)
            doubted = (d.sentence for d in self.doubts(self._fact(found, position, typed)) if d.refuses)
            return out or next(doubted, "")

        where = f"position {position}" if position else "the whole stage"
        question = f"{found.stage.told}, {where}.\n\nWhat did the tool show? With its unit."
        self.ask(
            PromptScreen("MEASURED", question, refuse=refuse),
            lambda typed: self._unless_doubted(found, self._fact(found, position, as_kept(found.stage, typed, unit))),
        )

    def measured(self, line: str) -> bool:
        """A value from a tool is of the position on display: within limits it is kept with the tool, out of them it
        is said and nothing is confirmed."""
        found = self._ready()
        if found is None:
            return True
        if found.stage.kind not in MEASURED or not found.stage.value:
            return False
        if self._here.position is None:
            self.answer("how many there are is not recorded: m says it of the whole stage", "warn")
            return True
        unit = self.job.opened.torque_unit
        if out := out_of_limits(found.stage, line, self._setting.at(found.stage, unit), unit):
            self.answer(f"NOT CONFIRMED: {out}", "warn")
            return True
        got = reading(found.stage, line, unit)
        fact = self._fact(found, self._here.position, got.reading.shown)
        if self.desk.shop().wrench(got.label):
            fact = structs.replace(fact, wrench=got.label)

        def say(told: StageTightened) -> None:
            self._tell(told, found)
            if got.verdict == "NG":
                self.bench.answer(f"{self.bench.answered.words}; the tool itself says NG: look at its limits", "warn")

        self._unless_doubted(found, fact, say)
        return True

    def action_wrench(self) -> None:
        found = joint(self.job, plan(self.job), self._specification)
        torque = found.stage.value if found and found.stage.kind in WITH_A_WRENCH else ""
        choose_wrench(self, torque)

    def action_setting(self) -> None:
        found = joint(self.job, plan(self.job), self._specification)
        if found is None or found.stage.kind not in WITH_A_WRENCH:
            self.answer("no torque in this stage: nothing to set", "warn")
            return

        def set_by(typed: str) -> None:
            self._setting.typed = typed
            self.refresh_all()

        ask_setting(self, found.stage, self._setting.typed, set_by)

    def action_undo(self) -> None:
        """Strike out the last position; where none is tight, what the key said that opened the joint."""
        job = self.job
        since = joint(job, refit := plan(job), self._specification)
        after = max(since.specified.order, since.part.since) if since and since.part.removed else (0, "", 0)
        several = [e for e in job.said(StageTightened) if e.fact.specification == self._specification]
        step = refit.step(since.part.id) if since else None
        answers = (check.answer for check in step.checks if check.answer) if step else ()
        opened_by = [answer for answer in answers if answer.id in self.bench.breath]
        self.undo([*(e for e in several if e.order > after), *opened_by])

    def action_other(self, by: int) -> None:
        """Along the order, over what is not yet tight."""
        found = joint(self.job, plan(self.job), self._specification)
        if found:
            self._here.go_along(by, found)
            self.refresh_all()

    def action_digit(self, digit: int) -> None:
        found = joint(self.job, plan(self.job), self._specification)
        if found is None:
            return
        if self._here.go_by_digit(digit, found):
            self.refresh_all()
        else:
            self.answer(f"there is no position {digit}: the set has {found.stage.positions}", "warn")

    def scanned(self, code: str) -> bool:
        """A wrench's tag puts the wrench in hand; a bag goes back to refit, which answers it."""
        if self.took_wrench(code):
            self.refresh_all()
        else:
            self.dismiss(code)
        return True
