"""Refit: what goes back, one check at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.containers import Horizontal

from reassembly.job.asks import Turn
from reassembly.job.at_hand import at_hand
from reassembly.job.drawn import drawing
from reassembly.job.entries import CheckPutOff, OrderSaid
from reassembly.job.on_display import OnDisplay
from reassembly.job.plan import Plan, first, plan
from reassembly.job.walk import said_of, steps_in_turn
from reassembly.record.trouble import Trouble
from reassembly.screens.banner import Banner
from reassembly.screens.exception import except_check
from reassembly.screens.form import FormScreen
from reassembly.screens.hands import HandsScreen
from reassembly.screens.pick import PickScreen
from reassembly.screens.reasons import REASONS, numbered
from reassembly.screens.scan_answer import answer_misread, answer_scan
from reassembly.screens.second_check import is_other, made_by_badge, next_second_check, steps_in
from reassembly.screens.step import SMALL, first_in_words, is_put_off, step_line, where_it_waits
from reassembly.screens.step_view import StepView
from reassembly.screens.together import say_of_step
from reassembly.screens.touch import Touch
from reassembly.screens.ways import add_fluid, answer_check, measured, other_way, stage_in_turn

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from textual.app import ComposeResult
    from textual.widgets import OptionList

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.reckon import Reckoned
    from reassembly.record.customer import Customer


class RefitScreen(HandsScreen):
    """One check at a time. Space confirms the one that is shown, though where the screen moved on to another step by
    itself the first one only says which; y all that are in view and need no tool, value or other person, and opens the
    joint that comes then. A balance weight and a spline tooth are left to Space, each alone. Scanning a bag finds its
    part and says whether it may go back now; the answer's last line says what Space does. Wrong order is refused with
    what must come first. r says what a check waits for, c goes to the second check, which another person makes by
    scanning a badge. Cards do all of it without a key."""

    CSS_PATH = "refit.tcss"
    BINDINGS = [
        Binding("space", "confirm", "Confirm"),
        Binding("n", "not_now", "Not now"),
        Binding("y", "together", "All of these"),
        Binding("t", "other_way", "Tighten"),
        Binding("r", "because", "Not now, because", show=False),
        Binding("c", "second", "Second check", show=False),
        Binding("e", "exception", "Exception"),
        Binding("m", "measured", "Measured"),
        Binding("u", "undo", "Undo"),
        Binding("l", "list", "All steps"),
        Binding("right", "step(1)", "Next step", show=False),
        Binding("left,b", "step(-1)", "Step before", show=False),
        Binding("down", "check(1)", "Next check", show=False),
        Binding("up", "check(-1)", "Check before", show=False),
        Binding("h", "at_hand", "What to have ready", show=False),
        Binding("s", "other_side", "Seen from the other side", show=False),
        Binding("o", "order", "Before or after another part", show=False),
        Binding("v", "photos", "Photos of this job", show=False),
        Binding("escape", "leave", "Back"),
    ]

    CARDS = {
        "confirm": "confirm",
        "not now": "not_now",
        "because": "because",
        "next": "check(1)",
        "back": "check(-1)",
        "next step": "step(1)",
        "step before": "step(-1)",
        "all steps": "list",
        "undo": "undo",
        "tighten": "other_way",
        "second": "second",
        "exception": "exception",
        "other side": "other_side",
        "have ready": "at_hand",
        "together": "together",
        "order": "order",
        "workings": "workings",
        "measured": "measured",
        "leave": "leave",
    }

    def __init__(self, check: str = "") -> None:
        """Opens at a check, or at the first that can be confirmed."""
        super().__init__()
        self.on = OnDisplay(check)
        self._done = (0, 0)

    def body(self) -> ComposeResult:
        yield StepView(id="step-view")
        with Horizontal(id="touch"):
            yield Touch("CONFIRM", "confirm", id="confirm")
            yield Touch("NOT NOW", "not_now", id="not-now")
            yield Touch("TIGHTEN", "other_way", id="other")

    def keeps(self) -> dict[str, Any]:
        return {"key": self.on.key, "part": self.on.chosen_part, "put_off": sorted(self.on.put_off)}

    def take_up(self, kept: Mapping[str, Any]) -> None:
        self.on.key, self.on.put_off = str(kept["key"]), {str(key) for key in kept["put_off"]}
        self.on.chosen_part = None if kept["part"] is None else str(kept["part"])
        self.on.arrived = False

    def part_on_display(self) -> str:
        return self.on.part

    def heading(self) -> str:
        return f"REFIT {self._done[0]} of {self._done[1]}"

    def show(self) -> None:
        job = self.job
        refit = plan(job)
        self._done = sum(step.done for step in refit.steps), len(refit.steps)
        self.on.settle(refit, said_here=self._own)
        self.query_one(StepView).show(self.on, refit, job, self.desk.shop(), self.desk.who, self.notation)
        self.query_one("#other", Touch).becomes(*other_way(self.on.check(refit), refit))

    def _go_to(self, part: str) -> None:
        self.on.go_to(part, plan(self.job))
        self._clear()

    def reckoned(self) -> list[Reckoned]:
        """Of the check on display first, then of its part."""
        from reassembly.job.reckoning import distinct, of_check, of_part

        check, _ = self._shown()
        job, shop = self.job, self.desk.shop()
        of_this = of_check(check, job, shop, self.bench.wrench) if check else []
        return distinct([*of_this, *of_part(self.on.part, job, shop)])

    def _clear(self) -> bool:
        """Take the answer to a scan away; whether it was one that refused."""
        banner = self.query_one(Banner)
        refused = banner.refuses
        banner.show(None)
        self.refresh_all()
        return refused

    def _took_away(self) -> bool:
        """Whether an answer stood there that is not about the check on display: that one was not in mind, and nothing
        is said of it."""
        banner = self.query_one(Banner)
        stood = banner.answer is not None and not banner.confirms
        if stood:
            self._clear()
            self.answer("")
        return stood

    def _only_says_where(self, check: Check | None, refit: Plan) -> bool:
        """Whether the step on display came by itself: the first key there says its name and confirms nothing."""
        arrived, self.on.arrived = self.on.arrived, True
        if not arrived and check is not None:
            step = self.on.step(refit)
            self.answer(f"NOW {step.part.name.upper() if step else 'BEFORE IT LEAVES'}: {check.wording}", "warn")
        return not arrived and check is not None

    def _shown(self) -> tuple[Check | None, Plan]:
        """The check on display as it stands now."""
        refit = plan(self.job)
        return refit.check(self.on.key), refit

    def say_all(self, facts: Sequence[Any], kept: str, details: Customer | None = None) -> bool:
        self.query_one(Banner).show(None)
        return super().say_all(facts, kept, details)

    def say(self, fact: Any, kept: str = "") -> Entry[Any] | None:
        self.query_one(Banner).show(None)
        return super().say(fact, kept)

    def action_confirm(self) -> None:
        if self._took_away():
            return
        check, refit = self._shown()
        if check is None or not check.open:
            self.on.go_on(refit)
            self.refresh_all()
        elif not self._only_says_where(check, refit) and self._may(check, refit):
            answer_check(self, check)

    def action_together(self) -> None:
        """Say of this step whatever needs no more than saying so, then show the joint to be tightened."""
        if self._took_away():
            return
        check, refit = self._shown()
        if self._only_says_where(check, refit):
            return
        step = self.on.step(refit)
        if step is None:
            self.answer("what is asked of the whole vehicle is looked at one by one: Space confirms it", "warn")
        else:
            say_of_step(self, step, refit)

    def show_check(self, key: str) -> None:
        self.on.key, self.on.arrived = key, True
        self._clear()

    def _may(self, check: Check, refit: Plan) -> bool:
        before = first(check, refit)
        if before:
            step = self.on.step(refit)
            self.answer(first_in_words(before, parts=bool(step and step.blocked_by)), "warn")
        return not before

    def action_not_now(self) -> None:
        check, refit = self._shown()
        if check is not None:
            self.on.put_off.add(check.key)
        self.on.go_on(refit)
        self._clear()
        if check is not None and check.open:
            comes_back = "" if self.on.put_off else "; nothing else can be done now, so what was put off comes again"
            self.answer(f"put off: {check.wording}{comes_back}")

    def action_because(self) -> None:
        """Not now, and why: whoever comes next sees it."""
        check, _ = self._shown()
        if check is None or not check.open:
            self.answer("this one is not open: the arrows go to one that is", "warn")
            return

        def waits(n: int) -> None:
            if self.say_unless_refused(CheckPutOff(check=check.key, reason=REASONS[n])):
                self.on.put_off.add(check.key)
                self.on.go_on(plan(self.job))
                self.refresh_all()

        self.ask(PickScreen("NOT NOW, BECAUSE", check.wording, numbered(REASONS)), waits)

    def action_second(self) -> None:
        """To the next second check that somebody can make now: this step's, else any."""
        refit = plan(self.job)
        found = next_second_check(refit, self.on.part)
        if found is None:
            self.answer("no second check is asked for now: safety-critical work asks for it when it is tight", "warn")
            return
        self.on.go_to_check(found, refit)
        self._clear()
        self.answer("SECOND CHECK: somebody who did not do the work looks at it and scans a badge")

    def badge(self, person: str) -> bool:
        """Another person's badge makes the second check on display, in that person's name; who works here stays. On a
        display that came by itself it only says who came: that may be the first badge of the morning."""
        check, refit = self._shown()
        if check is None or not is_other(self, check, person):
            return False
        if self._only_says_where(check, refit):
            self.desk.who = person
            self.answer(f"at the bench: {person}. {self.bench.answered.words}, not made by this badge", "warn")
            self.refresh_all()
        elif self._may(check, refit):
            made_by_badge(self, check, person)
        return True

    def came_to_the_bench(self, person: str) -> None:
        check, _ = self._shown()
        steps_in(self, check)
        super().came_to_the_bench(person)

    def action_other_way(self) -> None:
        """Tighten the next stage of this part, or what the third touch does."""
        check, refit = self._shown()
        stage = check if check and check.way == "tighten" else stage_in_turn(refit, self.on.part)
        if check and check.open and check.way == "fill":
            add_fluid(self, check)
        elif stage is None and check and check.open and check.turn == Turn.STAGE:
            self.answer("no torque is recorded here, nothing to set a wrench to: Space says it is tight", "warn")
        elif stage is None:
            getattr(self, f"action_{other_way(check, refit)[1]}")()
        elif self._may(stage, refit):
            answer_check(self, stage)

    def action_at_hand(self) -> None:
        """Bag, tools, new parts and what goes on, for the step on display."""
        step = self.on.step(plan(self.job))
        lines = [line for line in (where_it_waits(step, 2 * SMALL), *at_hand(step).told) if line] if step else []
        if step and lines:
            self.ask(PickScreen("HAVE READY", step.part.name, lines, picks=False), lambda _: None)
        else:
            self.answer("nothing that was recorded has to be laid out for this step")

    def action_other_side(self) -> None:
        """Walk round to the other side of what is drawn, and back."""
        check, _ = self._shown()
        turned = "" if self.on.turned == self.on.key else self.on.key
        if check and drawing(check, self.job, bool(turned)):
            self.on.turned = turned
            self.refresh_all()
        else:
            self.answer("no place is drawn here that has another side: s turns a mark, weight or clock", "warn")

    def action_exception(self) -> None:
        check, _ = self._shown()
        if check is None or not check.open:
            self.answer("this one is not open: no exception is needed", "warn")
        else:
            except_check(self, check)

    def action_measured(self) -> None:
        check, refit = self._shown()
        if check is None or not check.open or not self._may(check, refit):
            return
        if check.way in {"confirm", "scan", "fill", "receive", "drive", "clear"}:
            measured(self, check)
        else:
            answer_check(self, check)

    def action_undo(self) -> None:
        """Strike out the last word said of this step, and show the check it answered."""
        refit, job = plan(self.job), self.job
        entries = said_of(refit, self.on.part, job)
        last = max(entries, key=lambda e: e.order, default=None)
        answered = next((c for c in self.on.checks(refit) if last and c.answer == last), None)
        if answered:
            self.on.key = answered.key
        self.undo(entries)

    def action_step(self, by: int) -> None:
        self.on.next_step(by, plan(self.job))
        self._clear()

    def action_check(self, by: int) -> None:
        self.on.next_check(by, plan(self.job))
        self._clear()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        checks = self.on.checks(plan(self.job))
        if event.option_index < len(checks):
            self.show_check(checks[event.option_index].key)

    def action_list(self) -> None:
        """At the step on display; before the vehicle leaves, at the first that was put off."""
        job = self.job
        refit, later = plan(job), self.on.waiting(job)
        turn = steps_in_turn(refit)
        lines = [step_line(n, refit, part, later) for n, part in enumerate(turn, 1)]
        first_put_off = next((n for n, step in enumerate(refit.steps) if is_put_off(step, later)), None)
        at = self.on.at(refit) if self.on.step(refit) or first_put_off is None else first_put_off
        self.ask(PickScreen("ALL STEPS", "Which one?", lines, at), lambda n: self._go_to(turn[n]))

    def action_order(self) -> None:
        step = self.on.step(plan(self.job))
        if step is None:
            self.answer("only parts have an order: go to the step of a part first, with the arrows", "warn")
        else:
            form = FormScreen(OrderSaid, step.part.name.upper()[:30], {"part": step.part.id})
            self.ask(form, self.say_unless_refused)

    def action_leave(self) -> None:
        if not self._clear():
            self.dismiss(None)

    def misread(self, why: str) -> bool:
        answer_misread(self, why)
        return True

    def scanned(self, code: str) -> bool:
        """A wrench's tag puts the wrench in hand; anything else is answered by one of the five answers."""
        try:
            if not self.took_wrench(code):
                answer_scan(self, code)
        except Trouble as trouble:
            self.answer(str(trouble), "trouble")
        return True
