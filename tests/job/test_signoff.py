"""What stands between a job and its sign-off, and what whoever signs should know."""

from typing import Literal

import pytest

from reassembly.job import checks
from reassembly.job import entries as said
from reassembly.job.job import Job
from reassembly.job.shop import Shop
from reassembly.job.signoff import Signoff, accepted, signoff
from reassembly.job.wrenches import unsuitable
from tests.job.histories import History

SHOP = History()
for fact in (
    said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m"),
    said.WrenchCalibrated(wrench="T3", on="2026-01-10", until="2026-12-31"),
    said.WrenchAdded(wrench="OLD", low="10 N.m", high="60 N.m"),
    said.WrenchCalibrated(wrench="OLD", on="2024-01-10", until="2024-12-31"),
    said.WrenchAdded(wrench="NEW", low="10 N.m", high="60 N.m"),
    said.WrenchAdded(wrench="BARE", low="40", high="200"),
    said.WrenchCalibrated(wrench="BARE", on="2026-01-10", until="2026-12-31"),
    said.WrenchAdded(wrench="WIDE", low="10 N.m", high="200 N.m"),
    said.WrenchCalibrated(wrench="WIDE", on="2026-01-10", until="2026-12-31"),
    said.WrenchAdded(wrench="ODD", low="small", high="60 N.m"),
    said.WrenchCalibrated(wrench="ODD", on="2026-01-10", until="2026-12-31"),
):
    SHOP.say(fact)


def closing(*facts: object) -> Signoff:
    history = History()
    for fact in facts:
        history.say(fact)
    return signoff(Job.of(history.entries), Shop.of(SHOP.entries))


Stage = said.Stage
OFF = said.PartRemoved(part="pan", name="gearbox pan")


def torque(*stages: Stage, source: str = "manual, page 3", fasteners: str = "") -> said.TorqueSpecified:
    return said.TorqueSpecified(part="pan", stages=stages, source=source, fasteners=fasteners)


def turned(wrench: str = "T3", stage: int = 1, value: str = "", setting: str = "") -> said.StageTightened:
    return said.StageTightened(specification="A.2", stage=stage, wrench=wrench, value=value, setting=setting)


SIXTY = torque(Stage("torque", "60 N.m"))
WARNINGS: dict[str, tuple[list[object], list[str]]] = {
    "none": ([SIXTY, turned()], []),
    "no source": ([torque(Stage("torque", "60 N.m"), source=" ")], ["a torque without a source: gearbox pan"]),
    "no source for one set": (
        [torque(source="", fasteners="long bolts")], ["a torque without a source: gearbox pan, long bolts"],
    ),
    "no wrench named": ([SIXTY, turned(wrench="")], ["tightened without naming the wrench: gearbox pan"]),
    "an angle needs no wrench": ([torque(Stage("angle", "90 deg")), turned(wrench="")], []),
    "not in the rack": ([SIXTY, turned("T9")], ["wrench T9 is not in the rack: gearbox pan"]),
    "never calibrated": ([SIXTY, turned("NEW")], ["wrench NEW was not calibrated: gearbox pan"]),
    "out of calibration": ([SIXTY, turned("OLD")], ["wrench OLD was out of calibration since 2024-12-31: gearbox pan"]),
    "out of calibration for an angle too": (
        [torque(Stage("angle", "90 deg")), turned("OLD")],
        ["wrench OLD was out of calibration since 2024-12-31: gearbox pan"],
    ),
    "below its range": (
        [torque(Stage("torque", "30 N.m")), turned()],
        ["wrench T3 works from 40 N.m to 200 N.m, used at 30 N.m: gearbox pan"],
    ),
    "above its range": (
        [SIXTY, turned(value="210 N.m")], ["wrench T3 works from 40 N.m to 200 N.m, used at 210 N.m: gearbox pan"],
    ),
    "in the lowest fifth of its scale": (
        [torque(Stage("torque", "30 N.m")), turned("WIDE")],
        ["wrench WIDE used at 30 N.m, below a fifth of its full scale, 40 N.m: gearbox pan"],
    ),
    "at a fifth of its scale": ([torque(Stage("torque", "40 N.m")), turned("WIDE")], []),
    "at the end of its range": ([torque(Stage("torque", "200 N.m")), turned()], []),
    "what it was set to counts": (
        [SIXTY, turned(setting="38 N.m")], ["wrench T3 works from 40 N.m to 200 N.m, used at 38 N.m: gearbox pan"],
    ),
    "a bare number is in the job's unit": ([torque(Stage("torque", "60")), turned()], []),
    "another unit": (
        [torque(Stage("torque", "20 lbf.ft")), turned()],  # 27 N.m
        ["wrench T3 works from 40 N.m to 200 N.m, used at 20 lbf.ft: gearbox pan"],
    ),
    "said once for many positions": (
        [SIXTY, turned("T9"), turned("T9"), turned("T9")], ["wrench T9 is not in the rack: gearbox pan"],
    ),
    "a stage that is not there": ([SIXTY, turned("T9", stage=2), turned("T9", stage=7)], []),
    "in another case": ([SIXTY, turned("t3")], []),
    "struck": ([SIXTY, turned("T9"), said.EntryStruck(entry="A.3", why="it was T3")], []),
}  # fmt: skip


@pytest.mark.parametrize(("facts", "warnings"), WARNINGS.values(), ids=WARNINGS.keys())
def test_signoff_warns(facts: list[object], warnings: list[str]) -> None:
    assert list(closing(OFF, *facts).warnings) == warnings


def test_the_gravest_warning_stands_first() -> None:
    history, shop = History(), History()
    for person in ("ann", "ben"):
        shop.say(said.PersonAdded(person=person))
    for each in (
        OFF,
        torque(Stage("torque", "30 N.m")),
        torque(Stage("torque", "30 N.m"), source="", fasteners="long"),
        said.FastenersRemoved(part="pan", count=2, thread="M8", safety_critical=True),
        said.BagPacked(bag="BCDFGHJKLN", parts=("pan",)),
        turned(wrench=""),
        turned("WIDE"),
        turned("OLD"),
        turned("T3"),
        said.ExceptionAccepted(check="A.4.second", reason="nobody else here", accepted_by="ben"),
    ):
        history.say(each, later=9)
    found = signoff(Job.of(history.entries, shop.entries), Shop.of(SHOP.entries))
    assert [check.key for check in found.excepted] == ["A.4.second"]
    assert list(found.warnings) == [
        "no second check, ben accepted it: gearbox pan, nobody else here",
        "safety-critical, said tight at once: gearbox pan, all 2, 30 N.m",
        "wrench OLD was out of calibration since 2024-12-31: gearbox pan",
        "wrench T3 works from 40 N.m to 200 N.m, used at 30 N.m: gearbox pan",
        "tightened without naming the wrench: gearbox pan",
        "wrench WIDE used at 30 N.m, below a fifth of its full scale, 40 N.m: gearbox pan",
        "a torque without a source: gearbox pan, long",
        "bag BCDFG HJKLN not seen since it was packed, gearbox pan",
    ]


def test_a_safety_critical_joint_is_warned_of_before_any_other() -> None:
    found = closing(
        OFF,
        SIXTY,
        said.PartRemoved(part="shaft", name="propshaft"),
        said.FastenersRemoved(part="shaft", count=4, safety_critical=True),
        said.TorqueSpecified(part="shaft", stages=(Stage("torque", "60 N.m"),)),
        turned("OLD"),
        said.StageTightened(specification="A.5", stage=1, wrench="NEW", reason="no other here"),
    )
    assert list(found.warnings) == [
        "safety-critical, said tight at once: propshaft, all 4, 60 N.m",
        "wrench NEW was not calibrated: propshaft, no other here",
        "a torque without a source: propshaft",
        "wrench OLD was out of calibration since 2024-12-31: gearbox pan",
    ]


@pytest.mark.parametrize(("safety", "position"), [(True, None), (True, 1), (False, None)])
def test_a_safety_critical_stage_that_one_key_said_is_warned_of(safety: bool, position: int | None) -> None:
    found = closing(
        said.PartRemoved(part="pan", name="propshaft"),
        torque(Stage("torque", "60 N.m"), Stage("angle", "90 deg")),
        said.FastenersRemoved(part="pan", count=4, safety_critical=safety),
        *(said.StageTightened(specification="A.2", stage=1, wrench="T3", position=n) for n in (1, 2, 3, 4)),
        said.StageTightened(specification="A.2", stage=2, position=position),
    )
    told = ["safety-critical, said tight at once: propshaft, all 4, stage 2 of 2: turn 90 deg further"]
    assert list(found.warnings) == (told if safety and position is None else [])


def test_a_range_without_a_unit_is_in_newton_metres_whatever_the_job_is_in() -> None:
    shop = Shop.of(SHOP.entries)
    assert unsuitable("BARE", "30", "2026-03-14", shop, "lbf.ft") == []  # 41 N.m
    assert unsuitable("BARE", "160", "2026-03-14", shop, "lbf.ft") == [  # 217 N.m
        "wrench BARE works from 40 N.m to 200 N.m, used at 160 lbf.ft"
    ]


def test_a_range_that_cannot_be_read_is_said() -> None:
    (trouble,) = unsuitable("ODD", "30 N.m", "2026-03-14", Shop.of(SHOP.entries))
    assert trouble.startswith("wrench ODD: its range cannot be compared: small")


def test_a_job_may_close_once_nothing_is_open_and_only_once() -> None:
    back = said.CheckConfirmed(check="A.1.back")
    signed = said.SignedOff(covers={"A": 2})
    may = [closing(*facts).may_close for facts in ([OFF], [OFF, back], [OFF, back, signed])]
    assert may == [False, True, False]
    assert closing(OFF, back, signed, said.JobReopened(why="a noise")).may_close


def test_a_signoff_said_while_a_check_was_open_closes_nothing_and_stands_open_itself() -> None:
    back, signed = said.CheckConfirmed(check="A.1.back"), said.SignedOff(covers={"A": 1})
    found = closing(OFF, signed)
    assert (found.closed, [check.key for check in found.open]) == (None, ["A.1.back", "A.2.signed"])
    told = found.open[1]
    assert (told.state, told.wording) == (
        "contradiction", "signed off by ann while 1 check stood open: does not count",
    )  # fmt: skip
    assert closing(OFF, signed, back).closed is None  # answered too late: sign again
    struck = said.EntryStruck(entry="A.2", why="too soon")
    assert closing(OFF, signed, back, struck).may_close
    assert closing(OFF, signed, back, struck, signed).closed
    assert [check.key for check in closing(OFF, back, signed, said.EntryStruck(entry="A.2", why="no")).open] == [
        "A.1.back"
    ]


def test_a_signoff_that_covers_nothing_closes_nothing() -> None:
    history = History()
    history.say(OFF)
    history.say(said.SignedOff(covers={}), bench="B", later=9)
    assert signoff(Job.of(history.entries), Shop.of(())).closed is None


def test_a_signoff_holds_by_who_was_known_when_it_was_said() -> None:
    history, shop = History(), History()
    shop.say(said.PersonAdded(person="ann"))
    for fact in (OFF, said.ExceptionAccepted(check="A.1.back", reason="kept", accepted_by="milo")):
        history.say(fact, later=9)
    history.say(said.SignedOff(covers={"A": 2}), later=9)
    assert signoff(Job.of(history.entries, shop.entries), Shop.of(())).closed is None
    shop.say(said.PersonAdded(person="milo"), later=90)
    now = signoff(Job.of(history.entries, shop.entries), Shop.of(()))
    assert (now.closed, [check.key for check in now.open]) == (None, ["A.3.signed"])


def test_what_a_later_version_asks_does_not_open_a_job_again(monkeypatch: pytest.MonkeyPatch) -> None:
    kept = said.SignedOff(covers={"A": 1}, checks=("A.1.old",))
    monkeypatch.setattr(checks, "ADDED_LATER", frozenset({"back"}))
    assert closing(OFF, kept).closed
    assert closing(OFF, said.SignedOff(covers={"A": 1}, checks=("A.1.back",))).closed is None
    assert closing(OFF, said.SignedOff(covers={"A": 1})).closed is None


@pytest.mark.parametrize("listed", [("nothing",), ("A.1.old",), ("A.1.back",), ()])
def test_a_list_of_checks_hides_none_that_was_asked_then(listed: tuple[str, ...]) -> None:
    found = closing(OFF, said.SignedOff(covers={"A": 1}, checks=listed))
    assert found.closed is None
    assert [check.key for check in found.open] == ["A.1.back", "A.2.signed"]


@pytest.mark.parametrize("covers", [{}, {"A": 2}, {"A": 2**63 - 1, "B": 2**63 - 1}])
def test_what_is_said_later_is_since_whatever_the_signoff_says_it_covers(covers: dict[str, int]) -> None:
    history = History()
    for fact in (OFF, said.CheckConfirmed(check="A.1.back"), said.SignedOff(covers=covers)):
        history.say(fact)
    late = history.say(said.FindingNoted(what="a noise"))
    elsewhere = history.say(said.FindingNoted(what="a leak"), bench="B", later=9)
    found = signoff(Job.of(history.entries), Shop.of(()))
    assert [e.id for e in found.since] == [late.id, elsewhere.id]


def test_exceptions_are_listed_with_reason_and_person() -> None:
    excepted = said.ExceptionAccepted(check="A.1.back", reason="customer keeps it", accepted_by="ben")
    found = closing(OFF, excepted)
    (check,) = found.excepted
    assert (check.key, accepted(check)) == ("A.1.back", ("customer keeps it", "ben"))
    assert found.may_close
    assert accepted(closing(OFF).open[0]) == ("", "")


def test_what_was_struck_is_listed() -> None:
    found = closing(OFF, said.AidFitted(aid="wire"), said.EntryStruck(entry="A.2", why="a slip"))
    assert [e.id for e in found.struck] == ["A.2"]


def test_what_is_said_after_signoff_is_shown_against_it() -> None:
    history = History()
    history.say(OFF)
    history.say(said.CheckConfirmed(check="A.1.back"))
    history.say(said.SignedOff(covers={"A": 2}))
    late = history.say(said.FindingNoted(what="a noise"), bench="B", later=1)  # said before, heard of only now
    strike = history.say(said.EntryStruck(entry="A.2", why="it was not back"))
    history.say(said.LabelPrinted(code="BCDFGHJKLN"))
    slip = history.say(said.AidFitted(aid="wire"))
    taken_back = history.say(said.EntryStruck(entry=slip.id, why="a slip"))
    found = signoff(Job.of(history.entries), Shop.of(()))
    assert [e.id for e in found.since] == [late.id, strike.id, slip.id, taken_back.id]
    assert [check.key for check in found.open] == ["B.1.shut", "A.1.back", "B.1.again"]


def test_before_signoff_nothing_is_shown_against_it() -> None:
    assert closing(OFF).since == ()
    assert closing(OFF).closed is None


@pytest.mark.parametrize(
    ("reason", "person", "counts"),
    [("kept by the customer", "ben", True), (" ", "ben", False), ("kept", " ", False), ("kept", "nobody", False)],
)
def test_an_exception_counts_as_one_only_with_a_reason_and_somebody_known(
    reason: str, person: str, counts: bool
) -> None:
    history, shop = History(), History()
    for known in ("ann", "ben"):
        shop.say(said.PersonAdded(person=known))
    for each in (OFF, said.ExceptionAccepted(check="A.1.back", reason=reason, accepted_by=person)):
        history.say(each, later=9)
    found = signoff(Job.of(history.entries, shop.entries), Shop.of(shop.entries))
    assert ([check.key for check in found.excepted] == ["A.1.back"]) is counts
    assert ("A.1.back" in {check.key for check in found.open}) is not counts


def test_a_job_that_was_signed_off_before_the_same_road_test_was_asked_for_stays_signed_off() -> None:
    driven = said.RoadTested(when="after", felt="quiet")
    signed = said.SignedOff(covers={"A": 2}, checks=("A.1.again",))
    found = closing(said.RoadTested(felt="shudder at 60"), driven, signed)
    assert found.closed
    assert [check.key for check in found.open] == ["A.1.again"]
    assert closing(said.RoadTested(felt="shudder at 60"), signed).closed is None


SHAFT = (
    said.PartRemoved(part="shaft", name="propshaft"),
    said.FastenersRemoved(part="shaft", count=4, safety_critical=True),
)
DONE = (said.CheckConfirmed(check="A.2.started"), said.CheckConfirmed(check="A.2.tight"))


@pytest.mark.parametrize(
    ("named", "warned"), [("badge", False), ("", False), ("typed", True)], ids=["badge", "not kept", "typed"]
)
@pytest.mark.parametrize("excepted", [False, True])
def test_signoff_warns_of_a_second_person_who_was_only_typed_and_counts_it_all_the_same(
    named: Literal["", "badge", "typed"], warned: bool, excepted: bool
) -> None:
    history, shop = History(), History()
    for person in ("marta", "bo"):
        shop.say(said.PersonAdded(person=person))
    for fact in (*SHAFT, *DONE):
        history.say(fact, who="marta")
    if excepted:
        history.say(
            said.ExceptionAccepted(check="A.2.second", reason="alone", accepted_by="bo", named=named), who="marta"
        )
    else:
        history.say(said.SecondCheckMade(check="A.2.second", named=named), who="bo")
    found = signoff(Job.of(history.entries, shop.entries), Shop.of(shop.entries))
    assert all(check.key != "A.2.second" for check in found.open)
    what = "exception at propshaft" if excepted else "second check of propshaft"
    assert (f"bo named by typing at marta's bench, no badge: {what}" in found.warnings) is warned
