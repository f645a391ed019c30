"""One hand-written job through strip-down, refit and sign-off, as a table of what is said and what is asked."""

from reassembly.job import entries as said
from reassembly.job.answer import answer
from reassembly.job.job import Job
from reassembly.job.plan import Plan, first, plan
from reassembly.job.shop import Shop
from reassembly.job.signoff import Signoff, accepted, signoff
from tests.job.histories import CREW, History, crew

SHAFT_BAG, PAN_BAG = "BCDFGHJKLN", "PRSTVXBCDF"
Stage = said.Stage

STRIPDOWN: tuple[object, ...] = (
    said.JobOpened(vehicle="Kestrel van", registration="4TN 881", complaint="hums at 80"),  # A.1
    said.CodeRead(code="P0735", module="gearbox"),  # A.2
    said.PartRemoved(part="shaft", name="propshaft"),  # A.3
    said.MarkMade(part="shaft", mark="white paint", to="pinion flange"),  # A.4
    said.FastenersRemoved(part="shaft", count=2, thread="M10x1.25", reuse="renew", safety_critical=True),  # A.5
    said.TorqueSpecified(part="shaft", stages=(Stage("by hand"), Stage("torque", "60 N.m")), source="manual, p. 3"),
    said.BagPacked(bag=SHAFT_BAG, parts=("shaft",), shelf="C4"),  # A.7
    said.AidFitted(aid="wire", where="round the joint", part="shaft"),  # A.8
    said.PartRemoved(part="pan", name="gearbox pan"),  # A.9
    said.PartRemoved(part="magnet", name="magnet", parent="pan"),  # A.10
    said.FluidDrained(fluid="gear oil", amount="5.8 l"),  # A.11
    said.LevelSpecified(fluid="gear oil", low="35 degC", high="45 degC", engine="running"),  # A.12
    said.BagPacked(bag=PAN_BAG, parts=("pan",)),  # A.13
)

# what is confirmed, in the order of the plan; each was the first open check when it was said
REFIT: tuple[tuple[str, object, str], ...] = (
    ("A.10.back", said.CheckConfirmed(check="A.10.back"), "ann"),
    ("A.13.bag:pan", said.CheckConfirmed(check="A.13.bag:pan"), "ann"),
    ("A.9.back", said.CheckConfirmed(check="A.9.back"), "ann"),
    ("A.5.hand", said.RenewalReceived(needed="A.5", batch="7731"), "ann"),
    ("A.7.bag:shaft", said.CheckConfirmed(check="A.7.bag:shaft"), "ann"),
    ("A.4.mark", said.CheckConfirmed(check="A.4.mark"), "ann"),
    ("A.3.back", said.CheckConfirmed(check="A.3.back"), "ann"),
    ("A.5.started", said.CheckConfirmed(check="A.5.started"), "ann"),
    ("A.6.stage2", said.StageTightened(specification="A.6", stage=2, position=1, wrench="T3"), "ann"),
    ("A.6.stage2", said.StageTightened(specification="A.6", stage=2, position=2, wrench="T3"), "ann"),
    ("A.5.second", said.SecondCheckMade(check="A.5.second"), "ann"),  # the same person: stays open
    ("A.5.second", said.SecondCheckMade(check="A.5.second"), "ben"),
    ("A.6.stripe", said.ExceptionAccepted(check="A.6.stripe", reason="pen dry", accepted_by="ann"), "ann"),
    ("A.8.out", said.AidRemoved(aid="A.8"), "ann"),
    ("A.11.fill", said.FluidFilled(fluid="gear oil", amount="5.6 l"), "ann"),
    ("A.11.fill", said.CheckConfirmed(check="A.11.fill"), "ann"),
    ("A.12.started", said.CheckConfirmed(check="A.12.started"), "ann"),
    ("A.12.positions", said.CheckConfirmed(check="A.12.positions"), "ann"),
    ("A.12.level", said.LevelChecked(fluid="gear oil", temperature="28 degC", engine="running"), "ann"),  # too cold
    ("A.12.level", said.LevelChecked(fluid="gear oil", temperature="40 degC", engine="running"), "ann"),
    ("A.11.dry", said.CheckConfirmed(check="A.11.dry"), "ann"),
    ("A.1.left", said.CheckConfirmed(check="A.1.left"), "ann"),
    ("A.2.cleared", said.CodesCleared(), "ann"),
    ("A.1.road", said.RoadTested(when="after", felt="smooth"), "ann"),
    ("A.2.again", said.CodeRead(when="after", none_stored=True), "ann"),
    ("A.1.complaint", said.CheckConfirmed(check="A.1.complaint"), "ann"),
)

PEOPLE = crew(*CREW)
SHOP = History()
SHOP.say(said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m"))
SHOP.say(said.WrenchCalibrated(wrench="T3", on="2026-01-10", until="2026-12-31"))


def stripped() -> History:
    history = History()
    for fact in STRIPDOWN:
        history.say(fact)
    return history


def refit_of(history: History) -> Plan:
    return plan(Job.of(history.entries, PEOPLE))


def closing(history: History) -> Signoff:
    return signoff(Job.of(history.entries, PEOPLE), Shop.of(SHOP.entries))


def scan(history: History, code: str) -> str:
    job = Job.of(history.entries)
    return answer(code, job, plan(job)).headline


def test_the_plan_after_stripdown() -> None:
    refit = refit_of(stripped())
    assert [(step.part.name, step.state, step.blocked_by) for step in refit.steps] == [
        ("magnet", "ready", ()),
        ("gearbox pan", "blocked", ("magnet",)),
        ("propshaft", "blocked", ("magnet", "pan")),
    ]
    assert [check.wording for check in refit.checks] == [
        "back in place",
        "bag PRSTV XBCDF",
        "back in place",
        "2 new bolts on hand",
        "bag BCDFG HJKLN",
        "marks in line",
        "back in place",
        "all 2 new bolts started by hand",
        "stage 2 of 2: 60 N.m",
        "second check by another person",
        "stripe painted across every head",
        "wire out again",
        "gear oil filled",
        "engine started, filled on at once",
        "selector through every position, engine running",
        "gear oil level right",
        "no gear oil leak, engine run",
        "nothing left over",
        "codes cleared in gearbox",
        "road test after the work",
        "codes read again in gearbox",
        "complaint gone",
    ]


def test_refit_in_the_order_of_the_plan_to_signoff() -> None:
    history = stripped()
    assert scan(history, SHAFT_BAG) == "TOO EARLY"
    for key, fact, who in REFIT:
        refit = refit_of(history)
        assert refit.open[0].key == key
        assert first(refit.open[0], refit) == ()
        assert not closing(history).may_close
        history.say(fact, who)
        if key == "A.9.back":
            assert (scan(history, PAN_BAG), scan(history, SHAFT_BAG)) == ("ALREADY FITTED", "FIT NOW")
    found = closing(history)
    assert (found.open, found.warnings, found.struck) == ((), (), ())
    assert [(check.key, accepted(check)) for check in found.excepted] == [("A.6.stripe", ("pen dry", "ann"))]
    assert found.may_close


def test_what_was_forgotten_is_what_signoff_warns_of() -> None:
    history = stripped()
    for key, fact, who in REFIT:
        if key not in {"A.8.out", "A.5.second"}:
            history.say(fact, who)
    found = closing(history)
    assert [(check.key, check.wording, check.detail) for check in found.open] == [
        ("A.5.second", "second check by another person", "2 bolts M10x1.25"),
        ("A.8.out", "wire out again", "round the joint"),
    ]
    assert not found.may_close


def test_after_signoff_a_part_that_comes_off_again_is_asked_again_and_shown_against_it() -> None:
    history = stripped()
    for _, fact, who in REFIT:
        history.say(fact, who)
    history.say(said.SignedOff(covers={"A": len(history.entries)}, exceptions=("A.6.stripe",)))
    again = history.say(said.PartRemoved(part="pan", name="gearbox pan"))
    found = closing(history)
    whole = ["A.1.left", "A.1.road", "A.1.complaint"]  # looked at again with the vehicle together
    assert [check.key for check in found.open] == ["A.13.bag:pan", f"{again.id}.back", *whole]
    assert found.since == (again,)
    assert scan(history, PAN_BAG) == "FIT NOW"
