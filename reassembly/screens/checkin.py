"""Check-in: the vehicle and its customer, then what was read, driven and found before the work."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from textual.binding import Binding
from textual.widgets import OptionList

from reassembly.job import entries as said
from reassembly.job.doubt import refuse
from reassembly.job.doubts import too_long
from reassembly.job.entries import CustomerNamed, JobOpened
from reassembly.job.struck import without
from reassembly.record.customer import Customer
from reassembly.record.trouble import Trouble
from reassembly.screens.facts import FactsScreen, Kind, bindings_of
from reassembly.screens.fields import Field, Misfit
from reassembly.screens.form import FormScreen
from reassembly.screens.keyline import KeyLine
from reassembly.screens.strike import ask_instead, say_instead
from reassembly.screens.twice import Twice

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from reassembly.job.doubt import Doubt
    from reassembly.job.entries import Entry, Fact
    from reassembly.job.job import Job
    from reassembly.job.reckon import Reckoned
    from reassembly.job.shop import Shop
    from reassembly.screens.frame import Frame

_LATER = ("registration", "complaint", "vin", "odometer", "order")
_FIRST = ("registration", "vehicle", "complaint")
_COUNTER = (*_FIRST, "name", "phone")
_CUSTOMER = (
    Field("name", "customer", "name; kept beside the journal, can be erased", "text", (), False, ""),
    Field("phone", "phone", "kept beside the journal, can be erased", "text", (), False, ""),
    Field("email", "e-mail", "kept beside the journal, can be erased", "text", (), False, ""),
    Field("address", "address", "kept beside the journal, can be erased", "text", (), False, ""),
)


class VehicleScreen(FormScreen[JobOpened]):
    """The vehicle and its complaint, said again or added to, in the order in which check-in asks."""

    def __init__(self, start: JobOpened | None, fixed: Mapping[str, Any]) -> None:
        super().__init__(JobOpened, "CHECK-IN", fixed, start)
        self._fields = _in_turn(self._fields)


class AdditionScreen(VehicleScreen):
    """What was left empty at check-in. `fixed` names what was not."""

    def __init__(self, start: JobOpened | None, fixed: Mapping[str, str]) -> None:
        super().__init__(
            start, {"vehicle": "", "earlier": "", "torque_unit": JobOpened(vehicle="").torque_unit, **fixed}
        )
        self.HEADING = "ADD TO CHECK-IN"

    def _doubts(self, fact: JobOpened) -> list[Doubt]:
        if not any(getattr(fact, name) for name in _LATER):
            return [refuse(self._fields[0].name, "nothing is typed yet: type what was left empty, or Esc")]
        return super()._doubts(fact)


def _in_turn(fields: Sequence[Field]) -> tuple[Field, ...]:
    """As it is asked at the counter: the plate first, what is complained of before the figures."""
    return tuple(sorted(fields, key=lambda f: _FIRST.index(f.name) if f.name in _FIRST else len(_FIRST)))


class CheckinScreen(VehicleScreen):
    """A vehicle comes in. Only the vehicle is needed; all else can be added later.

    Enter goes to the next empty line that is asked at the counter; in an empty line, or where none is left below, it
    opens the job. Returns the fact and the customer."""

    BINDINGS = [
        Binding("enter", "next_empty", "Next empty line", priority=True),
        Binding("enter", "say", "Open the job", priority=True),
    ]

    def __init__(
        self, start: JobOpened | None = None, customer: Customer | None = None, *, again: bool = False
    ) -> None:
        """`again` for what was said before and could not be kept: Enter says it from any line."""
        self._again = again
        super().__init__(start, {"earlier": start.earlier if start else ""})
        first, rest = self._fields[: len(_FIRST)], self._fields[len(_FIRST) :]
        self._fields = (*first, *_customer_fields(customer or Customer()), *rest)

    def show(self) -> None:
        super().show()
        self.query_one(KeyLine).show()  # what Enter does depends on what is typed

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        if action in {"next_empty", "say"}:
            return (self._next_empty() is not None) == (action == "next_empty")
        return super().check_action(action, parameters)

    def action_next_empty(self) -> None:
        name = self._next_empty()
        if name is not None:
            self.query_one(f"#field-{name}").focus()

    def _next_empty(self) -> str | None:
        """The empty line that Enter goes to; None where it opens the job."""
        said = {field.name: bool(self.text(field).strip()) for field in self._fields} if self.is_mounted else {}
        here = self.focused.id.removeprefix("field-") if self.focused and self.focused.id else ""
        if self._again or here not in _COUNTER or not said.get(here):
            return None
        return next((name for name in _COUNTER[_COUNTER.index(here) :] if not said[name]), None)

    def values(self) -> dict[str, Any]:
        theirs = {field.name for field in _CUSTOMER}
        return {name: value for name, value in super().values().items() if name not in theirs}

    def _doubts(self, fact: JobOpened) -> list[Doubt]:
        return [*super()._doubts(fact), *_too_long(self)]

    def result(self, fact: JobOpened) -> tuple[JobOpened, Customer]:
        return fact, _customer_of(self)

    def told(self) -> list[str]:
        """What is understood; and whether this vehicle has been here before."""
        registration = self.text(next(f for f in self._fields if f.name == "registration")).strip()[:40]
        before = self.desk.jobs(registration, limit=3) if len(registration) >= 3 else []
        return [
            *(
                f"here before: job {b.order or b.id} {b.vehicle} {b.registration}, {self.notation.day(b.opened)}"
                for b in before
            ),
            *super().told(),
        ]


def check_in(screen: Frame, told: tuple[JobOpened, Customer], then: Callable[[str], None]) -> None:
    """Open the job, keep the customer's details beside it, and go on with the job's id."""
    fact, customer = told
    try:
        job = screen.desk.open_new(fact)
    except Trouble as trouble:
        screen.answer(str(trouble), "trouble")
        screen.ask(CheckinScreen(fact, customer, again=True), lambda again: check_in(screen, again, then))
        return
    screen.answer(f"kept: job {job} opened", "kept")
    then(job)
    if customer != Customer():
        name_customer(screen, customer)


def name_customer(screen: Frame, customer: Customer) -> None:
    """Keep who brought the vehicle; where that fails the form comes back as it was."""
    try:
        screen.desk.say(CustomerNamed(digest=""), details=customer)
    except Trouble as trouble:
        screen.answer(str(trouble), "trouble")
        screen.ask(CustomerScreen(customer), lambda again: name_customer(screen, again))
        return
    screen.answer("kept: the customer's details, beside the journal", "kept")


class CustomerScreen(FormScreen[CustomerNamed]):
    """Who brought the vehicle. Returns the details."""

    def __init__(self, customer: Customer | None = None) -> None:
        super().__init__(CustomerNamed, "CUSTOMER", {"digest": ""})
        self._fields = _customer_fields(customer or Customer())

    def values(self) -> dict[str, Any]:
        return {"digest": ""}

    def _doubts(self, fact: CustomerNamed) -> list[Doubt]:
        return list(_too_long(self))

    def told(self) -> list[str]:
        """Nothing is read out of it, but that it is too long."""
        return [doubt.sentence for doubt in _too_long(self)]

    def result(self, fact: CustomerNamed) -> Customer:
        return _customer_of(self)


def _customer_fields(known: Customer) -> tuple[Field, ...]:
    return tuple(field._replace(start=getattr(known, field.name)) for field in _CUSTOMER)


def _customer_of(form: FormScreen[Any]) -> Customer:
    return Customer(**{field.name: form.text(field).strip() for field in _CUSTOMER})


def _too_long(form: FormScreen[Any]) -> Iterator[Doubt]:
    for field in _CUSTOMER:
        yield from too_long(field.name, field.title, [form.text(field).strip()])


class LevelHowScreen(FormScreen[said.LevelSpecified]):
    """How a level is taken; without a window of temperature only after it was asked for."""

    def __init__(self, heading: str, fixed: Mapping[str, Any], start: said.LevelSpecified | None) -> None:
        super().__init__(said.LevelSpecified, heading, fixed, start)
        self._twice = Twice()

    def action_say(self) -> None:
        try:
            fact = self.fact()
        except Misfit:
            super().action_say()
            return
        if fact.low or fact.high or self._twice.sure(repr(fact), self.bench.clock()):
            super().action_say()
        else:
            self.answer("no temperature window said: Enter again keeps it without", "warn")


class JobFactsScreen(FactsScreen):
    """What belongs to the whole job: codes, road tests, findings, fluids, aids, what to look at before it leaves."""

    KINDS = (
        Kind("c", "Code", said.CodeRead),
        Kind("r", "Road test", said.RoadTested),
        Kind("v", "Driveline", said.DrivelineNoted),
        Kind("f", "Finding", said.FindingNoted),
        Kind("d", "Drained", said.FluidDrained),
        Kind("l", "Level how", said.LevelSpecified),
        Kind("a", "Aid", said.AidFitted),
        Kind("m", "To do", said.CareNoted),
        Kind("g", "Filled", said.FluidFilled),
        Kind("t", "Level taken", said.LevelChecked),
        Kind("k", "Codes cleared", said.CodesCleared),
    )
    BINDINGS = [
        *bindings_of(KINDS),
        Binding("u", "customer", "Customer"),
        Binding("n", "add_to_check_in", "Left empty"),
    ]
    HEADING = "CHECK-IN"

    def entries(self) -> Sequence[Entry[Any]]:
        mine: tuple[type[Fact], ...] = (said.JobOpened, said.CustomerNamed, *(kind.fact for kind in self.KINDS))
        return [e for e in self.job.entries if isinstance(e.fact, mine) and not getattr(e.fact, "part", "")]

    def reckoned_of_all(self, job: Job, shop: Shop) -> list[Reckoned]:
        from reassembly.job.reckoning import of_job

        return of_job(job, shop)

    def action_add(self, number: int) -> None:
        """A fluid is asked about while parts are off, as at refit: once something went in, only its level still is."""
        from reassembly.screens.refit import RefitScreen
        from reassembly.screens.ways import ask_while_open

        kind = self.KINDS[number].fact
        off = max((e.order for e in self.job.said(said.PartRemoved)), default=(0, "", 0))
        begun = any(e.order > off for e in self.job.said(said.FluidFilled))
        if kind is said.LevelChecked or (kind is said.FluidFilled and not begun):
            do = "fill" if kind is said.FluidFilled else "take the level"
            ask_while_open(self, do, lambda: self.add(kind), lambda: self.app.push_screen(RefitScreen()))
        else:
            self.add(kind)

    def heading_of(self, kind: type[Fact]) -> str:
        return self.HEADING if kind is said.JobOpened else super().heading_of(kind)

    def form_of(self, kind: type[Fact], fixed: Mapping[str, Any], start: Fact | None) -> FormScreen[Any]:
        if isinstance(start, JobOpened):
            return VehicleScreen(start, fixed)
        if kind is said.LevelSpecified:
            return LevelHowScreen(self.heading_of(kind), fixed, cast("said.LevelSpecified | None", start))
        return super().form_of(kind, fixed, start)

    def action_customer(self) -> None:
        self.ask(CustomerScreen(self.desk.customer()), lambda told: name_customer(self, told))

    def action_add_to_check_in(self) -> None:
        """What was left empty at check-in is said later as an addition to it: nothing was wrong with what it said."""
        opened = self.job.opened
        if all(getattr(opened, name) for name in _LATER):
            self.answer("nothing was left empty at check-in: x corrects what it says", "warn")
        else:
            self._add_to_check_in(None, None)

    def _add_to_check_in(self, start: JobOpened | None, strike: said.EntryStruck | None) -> None:
        said_there = without(self.job, strike.entry).opened if strike else self.job.opened
        form = AdditionScreen(start, dict.fromkeys((name for name in _LATER if getattr(said_there, name)), ""))

        def say(fact: JobOpened) -> None:
            if self.say_of(fact, strike):
                self.query_one("#facts", OptionList).action_first()
            else:
                self._add_to_check_in(fact, strike)

        ask_instead(self, form, say, strike)

    def again(self, fact: Fact | said.Unknown) -> Callable[[said.EntryStruck], None] | None:
        if isinstance(fact, said.JobOpened) and not fact.vehicle and self.job.opened.vehicle:
            return lambda strike: self._add_to_check_in(fact, strike)
        if isinstance(fact, said.JobOpened):
            return lambda strike: self.add(said.JobOpened, fact, strike)
        if isinstance(fact, CustomerNamed):
            return lambda strike: self._correct_customer(strike, self.desk.customer())
        return super().again(fact)

    def _correct_customer(self, strike: said.EntryStruck, known: Customer | None) -> None:
        def say(told: Customer) -> None:
            if not say_instead(self, strike, CustomerNamed(digest=""), told):
                self._correct_customer(strike, told)

        ask_instead(self, CustomerScreen(known), say, strike)
