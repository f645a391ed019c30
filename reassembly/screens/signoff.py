"""Sign-off: every check not confirmed, every exception, what was struck out, and what to know before signing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from reassembly.job.asks import words
from reassembly.job.checks import SHAPE
from reassembly.job.entries import JobReopened
from reassembly.job.job import parts, title
from reassembly.job.plan import plan
from reassembly.job.signoff import Signoff, accepted, signoff
from reassembly.job.struck import struck_out
from reassembly.job.telling import tell
from reassembly.job.wording import many, stand
from reassembly.record.trouble import Trouble
from reassembly.screens.exception import except_check
from reassembly.screens.frame import Frame
from reassembly.screens.lists import Lines
from reassembly.screens.person import not_who_is_here
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.text import column, cut, shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.app import ComposeResult

    from reassembly.job.checks import Check
    from reassembly.job.notation import Notation


class SignoffScreen(Frame):
    """A job is closed when every check is confirmed, or excepted by a named person. F9 signs; it asks for your name."""

    CSS_PATH = "signoff.tcss"
    HEADING = "SIGN-OFF"
    BINDINGS = [
        Binding("enter", "go", "Go to it"),
        Binding("e", "exception", "Exception"),
        Binding("pagedown", "read(1)", "Read on", key_display="PgDn", priority=True),
        Binding("pageup", "read(-1)", "Read back", key_display="PgUp", priority=True),
        Binding("d", "record", "Record so far"),
        Binding("z", "struck", "Struck out"),
        Binding("j", "reopen", "Reopen"),
        Binding("f9", "sign", "Sign off"),
        Binding("escape", "app.pop_screen", "Back"),
    ]

    _any_open = _any_struck = _is_signed = False
    _is_long = False
    """Whether what stands under the open checks may not all be in view."""

    def body(self) -> ComposeResult:
        yield Static(id="verdict", markup=False)
        yield Lines(id="open", markup=False)
        with VerticalScroll(id="rest", can_focus=False):
            yield Static(id="told", markup=False)

    def show(self) -> None:
        found = self._signoff()
        self._any_open, self._is_signed = bool(found.open), found.closed is not None
        self._any_struck = bool(struck_out(self.job))
        listed = self.query_one("#open", OptionList)
        kept, at = listed.highlighted_option, listed.highlighted or 0
        listed.set_options(Option(shown(self._line(check)), id=check.key) for check in found.open)
        listed.display = bool(found.open)
        if found.open:
            keys = [check.key for check in found.open]
            listed.highlighted = keys.index(kept.id) if kept is not None and kept.id in keys else min(at, len(keys) - 1)
            if not self.focused:
                listed.focus()
        self.query_one("#verdict", Static).update(shown(_verdict(found, self.notation)))
        rest = list(self._rest(found))
        self._is_long = len(rest) >= self.app.size.height // 3 - 2
        self.query_one("#told", Static).update(shown("\n".join(rest)))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Only what can be done now: a signed job is reopened before anything else is."""
        match action:
            case "go" | "exception":
                return self._any_open
            case "read":
                return self._is_long
            case "sign":
                return not self._is_signed
            case "reopen":
                return self._is_signed
            case "struck":
                return self._any_struck
        return super().check_action(action, parameters)

    def _signoff(self) -> Signoff:
        return signoff(self.job, self.desk.shop())

    def _line(self, check: Check) -> str:
        part = parts(self.job).get(check.part)
        called = part.name if part else "whole job"
        wide = self.app.size.width - 8
        asked = words(check.wording, check.against, between=": ")
        if wide < 58:
            return f"{SHAPE[check.state]} {cut(f'{asked}  {called}', wide)}"
        return f"{SHAPE[check.state]} {column(asked, wide - 26)} {cut(called, 24)}"

    def _rest(self, found: Signoff) -> Iterator[str]:
        job, shop = self.job, self.desk.shop()
        names, every = self.names(), parts(job)
        yield f"excepted {len(found.excepted)}"
        for check in found.excepted:
            reason, person = accepted(check)
            what = words(check.wording, every[check.part].name if check.part in every else "")
            yield f"  [!] {what}: {reason}   accepted by {shop.called(person)}"
        yield f"warnings {len(found.warnings)}"
        yield from (f"  {warning}" for warning in found.warnings)
        struck = struck_out(job)
        yield f"struck out {len(struck)}{': z lists them, and brings back what was right after all' if struck else ''}"
        for entry, strikes in struck:
            yield f"  {tell(entry, names)}   {strikes[-1].fact.why}, {strikes[-1].who}"
        if found.since:
            yield f"said after this sign-off {len(found.since)}"
            yield from (f"  {self.notation.minute(e.time)} {e.who}  {tell(e, names)}" for e in found.since)

    def _check(self) -> Check | None:
        """The check under the bar, as it was shown."""
        option = self.query_one("#open", OptionList).highlighted_option
        return next((c for c in self._signoff().open if option and c.key == option.id), None)

    def action_read(self, by: int) -> None:
        """Through what stands under the open checks, with one row of the page before."""
        below = self.query_one("#rest")
        below.scroll_relative(y=by * max(1, below.size.height - 1), animate=False)

    def on_option_list_option_selected(self) -> None:
        self.do("go")

    def action_go(self) -> None:
        from reassembly.screens.refit import RefitScreen

        check = self._check()
        if check is not None:
            self.app.push_screen(RefitScreen(check.key))

    def action_exception(self) -> None:
        check = self._check()
        if check is None:
            self.answer("nothing is open: no exception is needed", "warn")
        else:
            except_check(self, check)

    def action_record(self) -> None:
        from reassembly.screens.record import RecordScreen

        self.app.push_screen(RecordScreen())

    def action_struck(self) -> None:
        from reassembly.screens.struck import StruckScreen

        self.app.push_screen(StruckScreen())

    def action_sign(self) -> None:
        found = self._signoff()
        if found.closed:
            self.answer("this job is signed off already: j opens it again", "warn")
        elif found.open:
            still = f"{stand(len(found.open), 'check')} open"
            self.answer(f"{still}: confirm what is open, or say why not with e", "warn")
        else:
            asked = many(len(plan(self.job).checks), "check")
            question = (
                f"You sign off {title(self.job)}:\n"
                f"{asked}, none open, {many(len(found.excepted), 'exception')}, "
                f"{many(len(found.warnings), 'warning')}.\n"
                f"To close this job type your short name, {self.desk.who}."
            )
            self.ask(
                PromptScreen(
                    "SIGN OFF", question, refuse=lambda typed: not_who_is_here(self.desk, typed), asks="person"
                ),
                self._signed,
            )

    def _signed(self, _: str) -> None:
        """The desk judges again as it writes: another terminal may have said something since."""
        try:
            signed = self.desk.sign_off()
        except Trouble as trouble:
            self.bench.answer(str(trouble), "trouble")
        else:
            if signed:
                self.bench.copying.signed_off()
                self.bench.answer(f"kept: {tell(signed, self.names())}", "kept")
            else:
                self.bench.answer("something was said meanwhile: look at the list again", "warn")
        self.refresh_all()

    def action_reopen(self) -> None:
        if self._signoff().closed is None:
            self.answer("this job is open already: nothing to open again", "warn")
        else:
            self.ask(PromptScreen("REOPEN", "Why does this job go on?"), lambda why: self.say(JobReopened(why=why)))


def _verdict(found: Signoff, notation: Notation) -> str:
    if found.closed:
        later = f"\n{many(len(found.since), 'entry')} said after it: see below" if found.since else ""
        still = f"\nNOT CONFIRMED NOW: {len(found.open)}" if found.open else ""
        return f"SIGNED OFF by {found.closed.who}, {notation.minute(found.closed.time)}{still}{later}"
    if found.open:
        return (
            f"NOT CONFIRMED: {len(found.open)}\n"
            "This job cannot be closed while a check is open. Go to it, or say why not."
        )
    return "EVERY CHECK IS CONFIRMED OR EXCEPTED\nF9 signs this job off."
