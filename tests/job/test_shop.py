"""The shop: people, wrench rack, spec book."""

import pytest
from msgspec import structs

from reassembly.job import entries as said
from reassembly.job.shop import Shop
from tests.job.histories import History


def shop_of(*facts: object) -> Shop:
    history = History()
    for fact in facts:
        history.say(fact)
    return Shop.of(history.entries)


T3 = said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m")


def calibrated(on: str, until: str = "") -> said.WrenchCalibrated:
    return said.WrenchCalibrated(wrench="T3", on=on, until=until)


def failed(on: str, wrench: str = "T3") -> said.WrenchFailed:
    return said.WrenchFailed(wrench=wrench, on=on, why="dropped")


IN_2026 = calibrated("2026-01-10", "2026-12-31")
DOUBTS: dict[str, tuple[list[object], str, str]] = {
    "never calibrated": ([], "2026-03-14", "was not calibrated"),
    "calibrated": ([IN_2026], "2026-03-14", ""),
    "its first day": ([IN_2026], "2026-01-10", ""),
    "its last day": ([IN_2026], "2026-12-31", ""),
    "a day late": ([IN_2026], "2027-01-01", "was out of calibration since 2026-12-31"),
    "used before it was ever calibrated": ([IN_2026], "2026-01-09", "was not calibrated"),
    "out then, calibrated since": (
        [IN_2026, calibrated("2027-02-01", "2028-02-01")], "2027-01-15", "was out of calibration since 2026-12-31",
    ),
    "calibrated again": ([IN_2026, calibrated("2027-02-01", "2028-02-01")], "2027-03-01", ""),
    "no date given": ([calibrated("2026-01-10")], "2026-03-14", "has no date to which its calibration holds"),
    "failed before": (
        [IN_2026, failed("2026-02-01")], "2026-03-14", "failed on 2026-02-01 and was not calibrated since",
    ),
    "failed that day": (
        [IN_2026, failed("2026-03-14")], "2026-03-14", "failed on 2026-03-14 and was not calibrated since",
    ),
    "failed later": ([IN_2026, failed("2026-06-01")], "2026-03-14", "failed later, on 2026-06-01"),
    "failed, then calibrated": (
        [IN_2026, failed("2026-02-01"), calibrated("2026-02-20", "2027-02-20")], "2026-03-14", "",
    ),
    "calibrated, later calibrated, then failed": (
        [IN_2026, calibrated("2026-06-01", "2027-06-01"), failed("2026-07-01")], "2026-03-14", "",
    ),
    "failed and calibrated after it on one day": (
        [IN_2026, failed("2026-03-14"), calibrated("2026-03-14", "2027-03-14")], "2026-03-20", "",
    ),
    "failed and calibrated after it on the day of the work": (
        [IN_2026, failed("2026-03-14"), calibrated("2026-03-14", "2027-03-14")], "2026-03-14", "",
    ),
    "calibrated and dropped after it on one day": (
        [IN_2026, calibrated("2026-03-14", "2027-03-14"), failed("2026-03-14")], "2026-03-20",
        "failed on 2026-03-14 and was not calibrated since",
    ),
    "before a day on which it failed and was calibrated": (
        [IN_2026, failed("2026-03-14"), calibrated("2026-03-14", "2027-03-14")], "2026-03-01",
        "failed later, on 2026-03-14",
    ),
    "another failed": ([IN_2026, failed("2026-02-01", "T9")], "2026-03-14", ""),
}  # fmt: skip


@pytest.mark.parametrize(("facts", "day", "doubt"), DOUBTS.values(), ids=DOUBTS.keys())
def test_a_wrench_is_judged_by_the_day_it_was_used(facts: list[object], day: str, doubt: str) -> None:
    assert shop_of(T3, *facts).rack["T3"].doubt(day) == doubt


@pytest.mark.parametrize(
    ("on", "until", "typed"),
    [
        ("14.3.26", "2027-03-14", "14.3.26"),
        ("", "2027-03-14", "no date"),
        ("2026-1-10", "2026-12-31", "2026-1-10"),
        ("20260110", "2026-12-31", "20260110"),
        ("2026-01-10", "31.12.2026", "31.12.2026"),
        ("2026-01-10", "next May", "next May"),
        ("2026-01-10", "2026-02-30", "2026-02-30"),
    ],
)
def test_a_date_that_nobody_can_read_proves_no_calibration(on: str, until: str, typed: str) -> None:
    wrench = shop_of(T3, calibrated(on, until)).rack["T3"]
    assert wrench.doubt("2026-03-20") == f"has calibration not known: {typed}"
    assert wrench.good_until == ""
    assert shop_of(T3, IN_2026, calibrated("soon", "later")).rack["T3"].doubt("2026-03-20") == ""


def test_a_failure_on_a_day_nobody_knows_throws_doubt_on_all_days() -> None:
    wrench = shop_of(T3, IN_2026, failed("May")).rack["T3"]
    assert wrench.doubt("2026-03-20") == "failed on a day that is not known: May"
    assert wrench.good_until == ""
    assert shop_of(T3, IN_2026).rack["T3"].doubt("") == "cannot be judged, used on a day that is not known: "


@pytest.mark.parametrize(
    ("facts", "until"),
    [
        ([], ""),
        ([IN_2026], "2026-12-31"),
        ([calibrated("2027-02-01", "2028-02-01"), IN_2026], "2028-02-01"),
        ([IN_2026, failed("2026-02-01")], ""),
        ([calibrated("2026-01-10", "31.12.2026")], ""),
        ([calibrated("10.1.2026", "2026-12-31")], ""),
        ([IN_2026, failed("soon")], ""),
        ([IN_2026, failed("2026-02-01"), calibrated("2026-02-20", "2027-02-20")], "2027-02-20"),
        ([IN_2026, failed("2026-02-20"), calibrated("2026-02-20", "2027-02-20")], "2027-02-20"),
        ([IN_2026, calibrated("2026-02-20", "2027-02-20"), failed("2026-02-20")], ""),
    ],
)
def test_a_calibration_is_good_until_its_date_or_a_failure(facts: list[object], until: str) -> None:
    assert shop_of(T3, *facts).rack["T3"].good_until == until


def test_work_of_the_morning_is_in_doubt_where_the_wrench_failed_and_was_mended_later_that_day() -> None:
    history = History()
    for fact in (T3, IN_2026):
        history.say(fact)
    morning = history.say(said.BenchNamed(name="work"))
    history.say(failed("2026-03-14"))
    history.say(calibrated("2026-03-14", "2027-03-14"))
    evening = history.say(said.BenchNamed(name="work"))
    wrench = Shop.of(history.entries).rack["T3"]
    assert wrench.doubt("2026-03-14", morning.order) == "failed later that day, 2026-03-14"
    assert wrench.doubt("2026-03-14", evening.order) == ""


def test_a_wrench_is_one_whatever_the_case_and_the_spaces() -> None:
    shop = shop_of(
        T3,
        said.WrenchCalibrated(wrench="t3", on="2026-01-10", until="2026-12-31"),
        said.WrenchFailed(wrench=" T3 ", on="2026-03-01"),
    )
    found = shop.wrench("t3")
    assert found is shop.rack["T3"]
    assert found.doubt("2026-03-14") == "failed on 2026-03-01 and was not calibrated since"
    assert shop.wrench("T4") is None
    assert list(shop_of(T3, said.WrenchAdded(wrench="t3", low="20 N.m", high="100 N.m")).rack) == ["t3"]


def test_what_was_said_last_of_a_person_a_wrench_and_a_bench_counts() -> None:
    shop = shop_of(
        said.PersonAdded(person="ann"),
        said.PersonAdded(person="ann", name="Ann Arbor"),
        T3,
        said.WrenchAdded(wrench="T3", low="20 N.m", high="100 N.m"),
        said.BenchNamed(name="by the door"),
        said.BenchNamed(name="by the window"),
    )
    assert (shop.called("ann"), shop.called("ben")) == ("Ann Arbor", "ben")
    assert shop.rack["T3"].added.low == "20 N.m"
    assert shop.benches == {"A": "by the window"}


def test_a_struck_line_of_the_spec_book_is_gone() -> None:
    line = said.SpecNoted(vehicle="van", joint="pan", stages=(), source="manual, page 3")
    assert [e.id for e in shop_of(line, line, said.EntryStruck(entry="A.1", why="a slip")).specs] == ["A.2"]


def test_a_wrench_of_which_no_limit_of_cycles_was_said_has_the_usual_one() -> None:
    before = b'{"kind":"WrenchAdded","wrench":"T3","low":"40 N.m","high":"200 N.m"}'  # as older versions kept it
    assert said.read_fact(before) == T3
    assert shop_of(said.read_fact(before)).rack["T3"].cycles_allowed == 5000
    assert shop_of(structs.replace(T3, cycles=3000)).rack["T3"].cycles_allowed == 3000
