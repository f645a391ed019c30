"""Refit: what goes back, one check at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.content import Content

from reassembly.job.answer import Answer, answer
from reassembly.job.asks import two_groups
from reassembly.job.at_hand import at_hand
from reassembly.job.cautions import cautions, job_cautions
from reassembly.job.drawn import drawing
from reassembly.job.entries import (
    CheckConfirmed,
    CheckPutOff,
    FluidFilled,
    OrderSaid,
    SecondCheckMade,
    StageTightened,
)
from reassembly.job.job import bag_code, title
from reassembly.job.people import name_key
from reassembly.job.plan import Plan, first, plan
from reassembly.job.reckoning import consequence
from reassembly.job.together import together
from reassembly.job.walk import LAST, checks_of, next_check, next_step, put_off, steps_in_turn
from reassembly.job.wrenches import distrusted
from reassembly.record.trouble import Trouble
from reassembly.screens.banner import LETTERS, Banner
from reassembly.screens.drawing import DrawingView, cells_for
from reassembly.screens.exception import except_check
from reassembly.screens.form import FormScreen
from reassembly.screens.frame import TALL
from reassembly.screens.hands import HandsScreen
from reassembly.screens.lists import Lines
from reassembly.screens.packing import note_seen
from reassembly.screens.pick import PickScreen
from reassembly.screens.reasons import REASONS, numbered
from reassembly.screens.step import (
    SMALL,
    below,
    check_line,
    first_in_words,
    have_ready,
    instead_of_list,
    now_lines,
    step_line,
    under_name,
    where_it_waits,
)
from reassembly.screens.text import computed, cut, shown
from reassembly.screens.together import ask_together, in_view, say_together
from reassembly.screens.told import Told
from reassembly.screens.touch import Touch
from reassembly.screens.ways import BY_BADGE, SCANNED, add_fluid, answer_check, measured

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from textual.app import ComposeResult
    from textual.widgets import OptionList

    from reassembly.job.checks import Check
    from reassembly.job.entries import Entry
    from reassembly.job.plan import Step
    from reassembly.job.reckon import Reckoned
    from reassembly.record.customer import Customer


ROOMY = 24  # rows, from which a consequence has a row of its own
OTHER_ROWS = 13  # those above and below the list and the answer to a scan


class RefitScreen(HandsScreen):
    """One check at a time. Space confirms the one that is shown, though where the screen moved on to another step by
    itself the first one only says which; y all that are in view and need no tool, value or
    other person, and opens the joint that comes then. Scanning a bag finds its part and says whether it
    may go back now. Wrong order is refused with what must come first. r says what a check waits for, c goes to the
    second check, which another person makes by scanning a badge. Cards do all of it without a key."""

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
        "all steps": "list",
        "undo": "undo",
        "tighten": "other_way",
        "second": "second",
        "exception": "exception",
        "other side": "other_side",
        "have ready": "at_hand",
        "measured": "measured",
        "leave": "leave",
    }

    def __init__(self, check: str = "") -> None:
        """Opens at a check, or at the first that can be confirmed."""
        super().__init__()
        self._key = check
        self._part: str | None = None
        self._put_off: set[str] = set()
        self._done = (0, 0)
        self._arrived = True
        """Whether somebody chose the step on display; not where the screen moved on to it by itself."""
        self._turned = ""
        """The check whose drawing is seen from the other side."""

    def body(self) -> ComposeResult:
        with Horizontal(id="step"):
            yield Told(id="name", markup=False)
            yield Told(id="shelf", markup=False)
        yield Told(id="under", markup=False)
        checks = Lines(id="checks", markup=False)
        checks.can_focus = False
        banner = Banner(id="banner")
        banner.display = False
        with Horizontal(id="middle"):
            with Vertical(id="left"):
                yield checks
                yield banner
                yield Told(id="now", markup=False)
            yield DrawingView(id="drawing")
        with Horizontal(id="touch"):
            yield Touch("CONFIRM", "confirm", id="confirm")
            yield Touch("NOT NOW", "not_now", id="not-now")
            yield Touch("TIGHTEN", "other_way", id="other")

    def keeps(self) -> dict[str, Any]:
        return {"key": self._key, "part": self._part, "put_off": sorted(self._put_off)}

    def take_up(self, kept: Mapping[str, Any]) -> None:
        self._key, self._put_off = str(kept["key"]), {str(key) for key in kept["put_off"]}
        self._part = None if kept["part"] is None else str(kept["part"])

    def part_on_display(self) -> str:
        return self._part or ""

    def heading(self) -> str:
        return f"REFIT {self._done[0]} of {self._done[1]}"

    def show(self) -> None:
        job = self.job
        refit = plan(job)
        self._done = sum(step.done for step in refit.steps), len(refit.steps)
        self._stay_or_move(refit)
        part, check = self._part or LAST, refit.check(self._key)
        step, width = refit.step(part), self.app.size.width
        called = step.part.name if step else "BEFORE IT LEAVES"
        where = where_it_waits(step, width) if step else ""
        self.query_one("#name", Told).update(shown(cut(called.upper(), max(10, width - len(where) - 4))))
        self.query_one("#shelf", Told).update(shown(where))
        warned = cautions(job, part) if step else job_cautions(job)
        answered = self.query_one(Banner).answer is not None
        ready = have_ready(step, width - 2) if self.app.size.height >= TALL and not answered else ""
        under = [*under_name(step, refit), *([ready] if ready else []), *(f"! {each}" for each in warned[:1])]
        told = (shown(line, "bold $text-warning" if line.startswith("!") else "") for line in under)
        self.query_one("#under", Told).update(Content("\n").join(told))
        checks = checks_of(refit, part)
        lines = now_lines(check, refit, job, self.desk.who)
        if check and check.open and (slip := consequence(check, job)):
            if check.detail and self.app.size.height < ROOMY:
                lines[1] += f"; {computed(slip)}"  # on a row of its own it could fall off a small panel
            else:
                lines.append(f"  {computed(slip)}")
        if self.app.size.height < TALL:
            lines += instead_of_list(checks, self._key)
        drawn = drawing(check, job, self._turned == self._key) if check else None
        beside = cells_for(drawn, self.app.size, under, lines)
        self.query_one(DrawingView).show(drawn, beside)
        self._show_checks(checks, width - beside)
        self.query_one("#now", Told).update(shown("\n".join(below(lines, width - beside - 2))))
        self.query_one("#other", Touch).becomes(*_other_way(check, refit))

    def _show_checks(self, checks: tuple[Check, ...], width: int) -> None:
        job, shop = self.job, self.desk.shop()
        self.query_one("#checks", Lines).tell(
            [shown(check_line(c, c.key == self._key, width - 3, distrusted(c, job, shop))) for c in checks],
            next((n for n, c in enumerate(checks) if c.key == self._key), None),
        )

    def _stay_or_move(self, refit: Plan) -> None:
        """The check on display changes by what is said here, never under the finger by what is said elsewhere."""
        turn = steps_in_turn(refit)
        check = refit.check(self._key)
        if self._part not in turn:
            found = next((p for p in turn if check and check in checks_of(refit, p)), None)
            self._part = found if found is not None else next_step(refit, LAST) or LAST
            if found is None:
                self._key = self._first_key(refit)
        elif self._own and not (check and check.open):
            self._go_on(refit)

    def _go_on(self, refit: Plan) -> None:
        """To the next check that can be confirmed: in this step, else in the next that is ready."""
        part = self._part or LAST
        if next_check(refit, part, self._put_off) is None:
            following = next_step(refit, part, self._put_off)
            if following is None:
                self._put_off.clear()
                following = next_step(refit, part)
            self._part = part if following is None else following
            self._arrived = self._arrived and self._part == part
        self._key = self._first_key(refit)

    def _go_to(self, part: str) -> None:
        self._part, self._arrived = part, True
        self._key = self._first_key(plan(self.job))
        self._clear()

    def _first_key(self, refit: Plan) -> str:
        part = self._part or LAST
        checks = checks_of(refit, part)
        still = [c for c in checks if c.open] or list(checks)
        found = next_check(refit, part, self._put_off) or next_check(refit, part) or (still[0] if still else None)
        return found.key if found else ""

    def reckoned(self) -> list[Reckoned]:
        """Of the check on display first, then of its part."""
        from reassembly.job.reckoning import distinct, of_check, of_part

        check, _ = self._shown()
        job, shop = self.job, self.desk.shop()
        of_this = of_check(check, job, shop, self.bench.wrench) if check else []
        return distinct([*of_this, *of_part(self._part or LAST, job, shop)])

    def _clear(self) -> bool:
        """Take the answer to a scan away; whether it was one that refused."""
        banner = self.query_one(Banner)
        refused = banner.refuses
        banner.show(None)
        self.refresh_all()
        return refused

    def _clear_refusal(self) -> bool:
        """Whether a refusal stood there: under it the check was not in view, or not in mind, and nothing is said."""
        refused = self.query_one(Banner).refuses
        if refused:
            self._clear()
            self.answer("")
        return refused

    def _only_says_where(self, check: Check | None, refit: Plan) -> bool:
        """Whether the step on display came by itself: the first key there says its name and confirms nothing."""
        arrived, self._arrived = self._arrived, True
        if not arrived and check is not None:
            step = refit.step(self._part or LAST)
            self.answer(f"NOW {step.part.name.upper() if step else 'BEFORE IT LEAVES'}: {check.wording}", "warn")
        return not arrived and check is not None

    def _shown(self) -> tuple[Check | None, Plan]:
        """The check on display as it stands now."""
        refit = plan(self.job)
        return refit.check(self._key), refit

    def say_all(self, facts: Sequence[Any], kept: str, details: Customer | None = None) -> bool:
        self.query_one(Banner).show(None)
        return super().say_all(facts, kept, details)

    def say(self, fact: Any, kept: str = "") -> Entry[Any] | None:
        self.query_one(Banner).show(None)
        return super().say(fact, kept)

    def action_confirm(self) -> None:
        if self._clear_refusal():
            return
        check, refit = self._shown()
        if check is None or not check.open:
            self._go_on(refit)
            self.refresh_all()
        elif not self._only_says_where(check, refit) and self._may(check, refit):
            answer_check(self, check)

    def action_together(self) -> None:
        """Say of this step whatever needs no more than saying so, then show the joint to be tightened."""
        if self._clear_refusal():
            return
        check, refit = self._shown()
        if self._only_says_where(check, refit):
            return
        part = self._part or LAST
        step = refit.step(part)
        if step is None:
            self.answer("what is asked of the whole vehicle is looked at one by one: Space confirms it", "warn")
            return
        several = together(refit, part, {*self._put_off, *put_off(self.job)})
        rows = [step.checks.index(check) for check in several]
        if not several:
            self._to_the_joint(step)
        elif in_view(self.query_one("#checks", Lines), rows):
            self._say_together(several)
        else:
            ask_together(self, several, lambda: self._say_together(several), self._show_check)

    def _say_together(self, several: tuple[Check, ...]) -> None:
        if say_together(self, several) and (step := plan(self.job).step(several[0].part)):
            self._to_the_joint(step, said=True)

    def _to_the_joint(self, step: Step, *, said: bool = False) -> None:
        """Open the joint that is next; where there is none, say what the rest of the step waits for."""
        refit = plan(self.job)
        check = next_check(refit, step.part.id, self._put_off)
        if check and check.way == "tighten":
            answer_check(self, check)
        elif not said and step.blocked_by:
            waiting = [waits.part.name for waits in _steps(refit, step.blocked_by)]
            self.answer(first_in_words(waiting, parts=True), "warn")
        elif not said:
            waits = f": {check.wording}" if check else ""
            self.answer(f"nothing here is confirmed by saying so alone{waits}", "warn")

    def _show_check(self, key: str) -> None:
        self._key, self._arrived = key, True
        self._clear()

    def _may(self, check: Check, refit: Plan) -> bool:
        before = first(check, refit)
        if before:
            step = refit.step(self._part or LAST)
            self.answer(first_in_words(before, parts=bool(step and step.blocked_by)), "warn")
        return not before

    def action_not_now(self) -> None:
        check, refit = self._shown()
        if check is not None:
            self._put_off.add(check.key)
        self._go_on(refit)
        self._clear()

    def action_because(self) -> None:
        """Not now, and why: whoever comes next sees it."""
        check, _ = self._shown()
        if check is None or not check.open:
            self.answer("this one is not open: the arrows go to one that is", "warn")
            return

        def waits(n: int) -> None:
            if self.say_unless_refused(CheckPutOff(check=check.key, reason=REASONS[n])):
                self._put_off.add(check.key)
                self._go_on(plan(self.job))
                self.refresh_all()

        self.ask(PickScreen("NOT NOW, BECAUSE", check.wording, numbered(REASONS)), waits)

    def action_second(self) -> None:
        """To the next second check that somebody can make now: this step's, else any."""
        refit = plan(self.job)
        still = [c for c in refit.checks if c.way == "second" and c.open and not first(c, refit)]
        here = [c for c in still if c.part == self._part]
        if not still:
            self.answer("no second check is asked for now: safety-critical work asks for it when it is tight", "warn")
            return
        found = (here or still)[0]
        self._part, self._key, self._arrived = found.part, found.key, True
        self._clear()
        self.answer("SECOND CHECK: somebody who did not do the work looks at it and scans a badge")

    def badge(self, person: str) -> bool:
        """Another person's badge makes the second check on display, in that person's name; who works here stays."""
        check, refit = self._shown()
        at_work = self.desk.who
        if (
            check is None
            or check.way != "second"
            or not check.open
            or not at_work
            or name_key(person) == name_key(at_work)
        ):
            return False
        if self._may(check, refit):
            with self.desk.in_the_name_of(person):
                made = self.say_unless_refused(SecondCheckMade(check=check.key, note=BY_BADGE))
            if made:
                self.answer(f"kept: second check by {person}; {at_work} is at the bench", "kept")
            self.refresh_all()
        return True

    def came_to_the_bench(self, person: str) -> None:
        check, _ = self._shown()
        if check is not None and check.way == "second" and check.open and self.desk.who:
            key, at_work = self.stepped_in
            self.stepped_in = check.key, at_work if key == check.key else self.desk.who
        super().came_to_the_bench(person)

    def action_other_way(self) -> None:
        """Tighten the next stage of this part, or what the third touch does."""
        check, refit = self._shown()
        stage = check if check and check.way == "tighten" else _stages(refit, self._part or LAST)
        if check and check.open and check.way == "fill":
            add_fluid(self, check)
        elif stage is None:
            getattr(self, f"action_{_other_way(check, refit)[1]}")()
        elif self._may(stage, refit):
            answer_check(self, stage)

    def action_at_hand(self) -> None:
        """Bag, tools, new parts and what goes on, for the step on display."""
        step = plan(self.job).step(self._part or LAST)
        lines = [line for line in (where_it_waits(step, 2 * SMALL), *at_hand(step).told) if line] if step else []
        if step and lines:
            self.ask(PickScreen("HAVE READY", step.part.name, lines), lambda _: None)
        else:
            self.answer("nothing that was recorded has to be laid out for this step")

    def action_other_side(self) -> None:
        """Walk round to the other side of what is drawn, and back."""
        check, _ = self._shown()
        turned = "" if self._turned == self._key else self._key
        if check and drawing(check, self.job, bool(turned)):
            self._turned = turned
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
        _, refit = self._shown()
        part = self._part or LAST
        checks = checks_of(refit, part)
        answers = {c.answer.id: c for c in checks if c.answer}
        entries = [c.answer for c in checks if c.answer]
        specified = {c.asked_by.id for c in checks if c.way == "tighten"}
        entries += [e for e in self.job.said(StageTightened) if e.fact.specification in specified]
        entries += [e for e in self.job.said(FluidFilled) if part == LAST]
        last = max(entries, key=lambda e: e.order, default=None)
        if last and last.id in answers:
            self._key = answers[last.id].key
        self.undo(entries)

    def action_step(self, by: int) -> None:
        turn = steps_in_turn(plan(self.job))
        if turn:
            at = turn.index(self._part or LAST) if (self._part or LAST) in turn else 0
            self._go_to(turn[(at + by) % len(turn)])

    def action_check(self, by: int) -> None:
        checks = checks_of(plan(self.job), self._part or LAST)
        at = next((n for n, c in enumerate(checks) if c.key == self._key), 0)
        if checks:
            self._key, self._arrived = checks[(at + by) % len(checks)].key, True
            self._clear()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        checks = checks_of(plan(self.job), self._part or LAST)
        if event.option_index < len(checks):
            self._show_check(checks[event.option_index].key)

    def action_list(self) -> None:
        refit = plan(self.job)
        turn = steps_in_turn(refit)
        lines = [step_line(n, refit, part) for n, part in enumerate(turn, 1)]
        at = turn.index(self._part or LAST) if (self._part or LAST) in turn else 0
        self.ask(PickScreen("ALL STEPS", "Which one?", lines, at), lambda n: self._go_to(turn[n]))

    def action_order(self) -> None:
        step = plan(self.job).step(self._part or LAST)
        if step is None:
            self.answer("only parts have an order: go to the step of a part first, with the arrows", "warn")
        else:
            form = FormScreen(OrderSaid, step.part.name.upper()[:30], {"part": step.part.id})
            self.ask(form, self.say_unless_refused)

    def action_leave(self) -> None:
        if not self._clear():
            self.dismiss(None)

    def misread(self, why: str) -> bool:
        self._show_answer(answer(None, self.job, plan(self.job))._replace(detail=why))
        return True

    def scanned(self, code: str) -> bool:
        """A wrench's tag puts the wrench in hand; anything else is answered by one of the five answers."""
        try:
            if not self.took_wrench(code):
                self._show_answer(self._answer(code), two_groups(code))
                note_seen(self, code)
        except Trouble as trouble:
            self.answer(str(trouble), "trouble")
        return True

    def _answer(self, code: str) -> Answer:
        job = self.job
        owner = self.desk.owner_of(code)
        other = owner.job if owner and owner.job != job.id else ""
        refit = plan(job)
        found = answer(code, job, refit, title(self.desk.job(other)) if other else "")
        if found.kind == "fit now":
            self._part, self._arrived = found.part, True
            bags = [c for c in _bags(refit, found.part, code) if c.open]
            self._key = bags[0].key if bags else self._first_key(refit)
            for check in bags if found.part else ():
                self.say(CheckConfirmed(check=check.key, note=SCANNED))
        return found

    def _letters(self, found: Answer) -> int:
        """Smaller letters for FIT NOW where the large ones would hide what y says of the step."""
        height, refit = self.app.size.height, plan(self.job)
        step = refit.step(found.part)
        if found.kind != "fit now" or step is None or height < TALL:
            return LETTERS
        rows = [step.checks.index(check) for check in together(refit, found.part, self._put_off)]
        return LETTERS if max(rows, default=0) < height - OTHER_ROWS - LETTERS else LETTERS // 2

    def _show_answer(self, found: Answer, code: str = "") -> None:
        self.query_one(Banner).show(found, self._letters(found))
        if self.bench.answered.manner != "trouble":
            told = f"{found.headline}   scanned {code}" if code else found.headline
            self.answer(told, "fit" if found.kind == "fit now" else "warn")


def _steps(refit: Plan, part_ids: Sequence[str]) -> Iterator[Step]:
    return (step for step in refit.steps if step.part.id in part_ids)


def _bags(refit: Plan, part: str, code: str) -> Iterator[Check]:
    for check in checks_of(refit, part):
        if check.key.partition(".bag")[1] and bag_code(getattr(check.asked_by.fact, "bag", "")) == bag_code(code):
            yield check


def _stages(refit: Plan, part: str) -> Check | None:
    """The stage of a part that is tightened next; the last one where all are tight."""
    stages = [check for check in checks_of(refit, part) if check.way == "tighten"]
    return next((check for check in stages if check.open), stages[-1] if stages else None)


def _other_way(check: Check | None, refit: Plan) -> tuple[str, str]:
    """What can be done about a check besides confirming it: the words of its touch, and its action."""
    if check is None or not check.open:
        return "UNDO LAST", "undo"
    if check.way == "fill":
        return "ADD FLUID", "other_way"
    stage = check if check.way == "tighten" else _stages(refit, LAST if check in refit.last else check.part)
    if stage and stage.open and (stage is check or not first(stage, refit)):
        return "TIGHTEN", "other_way"
    return "EXCEPTION", "exception"
