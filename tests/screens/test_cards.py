"""A refit with nothing but the scanner: cards for keys, badges for people, tags for wrenches, values from tools."""

from __future__ import annotations

from contextlib import asynccontextmanager
from itertools import count
from typing import TYPE_CHECKING

import msgspec
import pytest

from labels.code import Kind, make
from labels.keyboard import KEYS
from reassembly.job import entries as said
from reassembly.job.plan import plan
from reassembly.record.cards import CARDS, TEST
from reassembly.record.printing import new_code
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.refit import RefitScreen
from reassembly.screens.tighten import TightenScreen
from reassembly.screens.wedge import Wedge
from tests.screens.bench import Bench, at_bench
from tests.screens.scanning import ANSWERS, CARD, badges, strip_fifteen, tools

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from reassembly.record.desk import Desk


def unhurried(bench: Bench) -> Bench:
    """A technician who takes his time: no two scans within a second."""
    bench.app.clock = count(0.0, 2.0).__next__
    return bench


async def cards(bench: Bench, *names: str) -> None:
    for name in names:
        await bench.scan(CARD[name])


async def answer_with_cards(bench: Bench, badge: str) -> None:
    """What a technician scans for the check that stands on the screen."""
    screen = bench.screen
    assert isinstance(screen, RefitScreen), bench.painted()
    check, _ = screen._shown()
    assert check is not None, bench.painted()
    match check.way:
        case "scan":
            await bench.scan(check.asked_by.fact.bag)
        case "second":
            await cards(bench, "second")
            await bench.scan(badge)
        case "tighten":
            await cards(bench, "tighten")
            while isinstance(bench.screen, TightenScreen):
                await cards(bench, "tight")
        case way:
            if not screen.on.arrived:
                await cards(bench, "confirm")
                assert bench.answer().startswith("NOW ")
            await cards(bench, *ANSWERS.get(way, ("confirm",)))


async def test_fifteen_parts_go_back_by_scanner_alone(desk: Desk) -> None:
    badge, tag, job = badges(desk), tools(desk), strip_fifteen(desk)
    desk.who = desk.open_job = ""
    async with at_bench(desk) as bench:
        unhurried(bench)
        assert bench.on() == "WhoScreen"
        await bench.scan(badge["ben"])
        refit = plan(desk.job(job))
        await bench.scan(refit.steps[0].bags[0].fact.bag)
        assert bench.on() == "RefitScreen"
        await bench.scan(tag)
        for _ in range(400):
            still = plan(desk.job(job)).open
            if not still:
                break
            await answer_with_cards(bench, badge["ann"])
            assert plan(desk.job(job)).open != still, bench.painted()
        assert plan(desk.job(job)).open == ()
        assert desk.who == "ben"
        assert "REFIT 15 of 15" in bench.painted()
    kept = desk.job(job)
    assert {e.fact.wrench for e in kept.said(said.StageTightened) if e.fact.stage == 1} == {"T3"}
    assert [e.who for e in kept.said(said.SecondCheckMade)] == ["ann"]
    assert {e.fact.note for e in kept.said(said.CheckConfirmed) if ".bag:" in e.fact.check} == {"scanned"}
    assert [e.fact.amount for e in kept.said(said.FluidFilled)] == ["1.5"]


@pytest.fixture
def pan(desk: Desk) -> str:
    """One part with two bolts of 60 N.m, in a bag that was scanned."""
    desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    desk.say(said.PartRemoved(part="pan", name="pan"))
    desk.say(said.FastenersRemoved(part="pan", count=2, safety_critical=True))
    spec = said.TorqueSpecified(part="pan", stages=(said.Stage("torque", "60 N.m"),), source="invented manual")
    return desk.say(spec).id


def confirm(desk: Desk, *wordings: str) -> None:
    for check in plan(desk.job()).checks:
        if check.wording.startswith(wordings):
            desk.say(said.CheckConfirmed(check=check.key))


@asynccontextmanager
async def at_the_second_check(desk: Desk, specification: str) -> AsyncIterator[Bench]:
    """Refit, where nothing of the joint is left to ask but the check by another person."""
    confirm(desk, "back", "all 2")
    desk.say(said.StageTightened(specification=specification, stage=1))
    async with at_bench(desk) as bench:
        unhurried(bench)
        await bench.press("enter", "r")
        await cards(bench, "second")
        yield bench


async def test_a_card_read_twice_in_a_second_is_taken_once(desk: Desk, pan: str) -> None:
    async with at_bench(desk) as bench:
        now = [10.0]
        bench.app.clock = lambda: now[0]
        await bench.press("enter", "r")
        await cards(bench, "confirm", "confirm")
        assert bench.answer() == "CONFIRM read twice in a second: taken once"
        assert len(list(desk.job().said(said.CheckConfirmed))) == 1
        now[0] += 1.1
        await cards(bench, "confirm")
        assert len(list(desk.job().said(said.CheckConfirmed))) == 2


async def test_the_same_bag_twice_in_a_second_is_confirmed_once(desk: Desk, pan: str) -> None:
    desk.say(said.BagPacked(bag=(code := new_code(desk)), parts=("pan",)))
    async with at_bench(desk) as bench:
        await bench.press("enter", "r")
        bench.burst(code)
        bench._send("enter", "\r")
        bench.burst(code)
        bench._send("enter", "\r")
        await bench.settled()
        assert len(list(desk.job().said(said.CheckConfirmed))) == 1
        assert bench.answer().startswith("FIT NOW")


@pytest.mark.parametrize(
    "code",
    [
        make(Kind.BAG, "XX", 7), make(Kind.WRENCH, "XX", 7), make(Kind.PERSON, "XX", 7), make(Kind.ACTION, "XX", 0),
        make(Kind.ACTION, "BB", 4000), make(Kind.JOB, "XX", 1), "4006381333931", "https://example.org/confirm",
        "BKDTR", "DBBBBBBBGK", "confirm now", "rm -rf *",
    ],
)  # fmt: skip
async def test_codes_of_another_shop_and_of_no_shop_are_answered_and_do_nothing(
    desk: Desk, pan: str, code: str
) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "r")
        before = desk.heads()
        await bench.scan(code)
        assert desk.heads() == before
        assert desk.who == "ann"
        assert bench.on() == "RefitScreen"
        assert bench.answer() != ""
        assert bench.app.answered.manner == "warn"


async def test_not_now_because_keeps_the_check_open_and_says_why_to_whoever_comes_next(desk: Desk, pan: str) -> None:
    async with at_bench(desk) as bench:
        unhurried(bench)
        await bench.press("enter", "r")
        first = bench.screen._shown()[0]  # type: ignore[attr-defined]
        await cards(bench, "because")
        assert "1  waits for a part" in bench.painted()
        await cards(bench, "2")
        (entry,) = desk.job().said(said.CheckPutOff)
        assert (entry.fact.check, entry.fact.reason) == (first.key, "waits for a tool or material")
        assert plan(desk.job()).check(first.key).open  # type: ignore[union-attr]
        bench.app.push_screen(RefitScreen(first.key))
        await bench.settled()
        assert "not now: waits for a tool or material, ann" in bench.painted()
        await bench.press("escape")
        await bench.press("escape")
        assert f"not now: {first.wording} (waits for a tool or material)" in bench.painted()


async def test_an_exception_by_cards_and_the_badge_of_whoever_accepts_it(desk: Desk, pan: str) -> None:
    badge = badges(desk)
    async with at_bench(desk) as bench:
        unhurried(bench)
        await bench.press("enter", "r")
        await cards(bench, "exception", "5", "confirm")
        await bench.scan(badge["ben"])
        await cards(bench, "confirm")
        (entry,) = desk.job().said(said.ExceptionAccepted)
        assert (entry.fact.reason, entry.fact.accepted_by, entry.who) == ("not on this vehicle", "ben", "ann")
        assert entry.fact.named == "badge"
        assert desk.who == "ann"


async def test_a_second_check_is_made_by_the_badge_of_somebody_who_did_not_do_the_work(desk: Desk, pan: str) -> None:
    badge = badges(desk)
    async with at_the_second_check(desk, pan) as bench:
        await bench.scan(badge["ann"])
        assert list(desk.job().said(said.SecondCheckMade)) == []
        desk.who = "ben"
        await bench.scan(badge["ann"])
        assert "ann did this work: a second check is made by another person" in bench.answer()
        assert desk.who == "ben"
        desk.who = "ann"
        await bench.scan(badge["ben"])
        (made,) = desk.job().said(said.SecondCheckMade)
        assert (made.who, made.fact.note, made.fact.named) == ("ben", "by badge", "badge")
        assert bench.answer() == "kept: second check by ben; ann is at the bench"


async def test_the_first_badge_on_a_second_check_that_came_by_itself_only_says_who_came(desk: Desk, pan: str) -> None:
    badge = badges(desk)
    async with at_the_second_check(desk, pan) as bench:
        screen = bench.screen
        assert isinstance(screen, RefitScreen)
        screen.take_up(screen.keeps())  # as after a start
        await bench.scan(badge["ben"])
        assert list(desk.job().said(said.SecondCheckMade)) == []
        assert desk.who == "ben"
        assert bench.answer().startswith("at the bench: ben. NOW ")
        await bench.press("space")
        assert [made.who for made in desk.job().said(said.SecondCheckMade)] == ["ben"]


async def test_a_value_from_a_tool_is_kept_within_limits_and_refused_out_of_them(desk: Desk, pan: str) -> None:
    tools(desk)
    confirm(desk, "back", "all 2")
    async with at_bench(desk) as bench:
        unhurried(bench)
        bench.app.wrench = "T3"
        await bench.press("enter")
        bench.app.push_screen(TightenScreen(pan))
        await bench.settled()
        await bench.scan("66.0 N.m OK")
        assert bench.answer() == (
            "NOT CONFIRMED: 66.0 N.m is above 57.6 to 62.4 N.m (60 N.m, 4 % either way, as ISO 6789)"
        )
        await bench.scan("45 kg")
        assert bench.answer().startswith("NOT CONFIRMED: 45 kg: ")
        assert list(desk.job().said(said.StageTightened)) == []
        await bench.scan("60.0")
        await bench.scan("T9 61.2 Nm NG")
        assert "the tool itself says NG" in bench.answer()
        kept = [e.fact for e in desk.job().said(said.StageTightened)]
        assert [(f.position, f.value, f.wrench) for f in kept] == [(1, "60.0 N.m", "T3"), (2, "61.2 Nm", "T3")]


async def test_a_value_that_nobody_asked_for_is_answered_and_presses_nothing(desk: Desk, pan: str) -> None:
    async with at_bench(desk) as bench:
        unhurried(bench)
        await bench.press("enter", "r")
        before = desk.heads()
        for value in ("44.4", "55", "45.2 N.m", "12.34mm"):
            await bench.scan(value)
            assert bench.answer() == f"A MEASURED VALUE, {value}: none is asked for here"
        assert desk.heads() == before
        assert bench.on() == "RefitScreen"


async def test_a_measured_value_typed_with_number_cards(desk: Desk, pan: str) -> None:
    confirm(desk, "back", "all 2")
    async with at_bench(desk) as bench:
        unhurried(bench)
        await bench.press("enter")
        bench.app.push_screen(TightenScreen(pan))
        await bench.settled()
        await cards(bench, "measured", "7", "0", "confirm")
        assert "70 N.m is above 57.6 to 62.4 N.m" in bench.answer()
        await cards(bench, "undo", "undo", "6", "1", "confirm")
        assert [e.fact.value for e in desk.job().said(said.StageTightened)] == ["61 N.m"]


FRENCH = dict(zip("QWERTYUIOPASDFGHJKLZXCVBNM1234567890-.", "AZERTYUIOPQSDFGHJKLWXCVBN,&é\"'(-è_çà):", strict=True))
"""What comes where a scanner types for a US keyboard on a French one (its shifted row left out)."""


async def test_the_scanner_label_teaches_the_layout_and_it_is_remembered(desk: Desk, pan: str) -> None:
    def types(text: str) -> str:
        return "".join(FRENCH[letter] for letter in text)

    async with at_bench(desk) as bench:
        unhurried(bench)
        await bench.press("enter", "r")
        await bench.scan(types("60.5"))
        assert bench.answer().startswith("NOT ONE OF OUR LABELS")
        await bench.scan(types(KEYS))
        moved = sum(was != came for was, came in FRENCH.items())
        assert bench.answer() == f"SCANNER LABEL READ: {moved} keys are put right from now on"
    async with at_bench(desk) as bench:
        await bench.press("enter", "r")
        await bench.scan(types("60.5"))
        assert bench.answer() == "A MEASURED VALUE, 60.5: none is asked for here"
        await bench.scan(CARD["test"])
        assert bench.answer() == f"{TEST.word} READ: label and scanner are good"
        await bench.scan(KEYS)
        assert bench.answer() == "SCANNER LABEL READ: every key is where it belongs"
        assert bench.app.wedge.learnt == {}


async def test_the_scanner_label_is_never_typed_into_a_field(desk: Desk, pan: str) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "s")
        await bench.scan(KEYS)
        assert "SCANNER LABEL READ" in bench.answer()
        assert bench.screen.query_one("#name").value == ""  # type: ignore[attr-defined]


@pytest.mark.parametrize("keys", [("v",), ("o",), ("d",), ("b",), ("r",), ()])
async def test_a_code_can_be_typed_on_every_screen_without_a_line(desk: Desk, pan: str, keys: tuple[str, ...]) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", *keys)
        on = bench.on()
        await bench.press("slash")
        code = CARD["test"].lower()
        await bench.press(*f"{code[:5]} {code[5:]}", "enter")
        assert bench.on() == on
        assert bench.answer() == "TEST LABEL READ: label and scanner are good"


async def test_workshop_makes_badges_tags_and_shelf_labels(desk: Desk) -> None:
    tools(desk)
    desk.say(said.ShelfAdded(shelf="C4"))
    async with at_bench(desk) as bench:
        await bench.press("w")
        assert "shelf C4" in bench.options("#facts")[0]
        await bench.press("l")
        shelf = desk.shop().shelves["C4"].label
        assert bench.answer().startswith(f"kept: shelf C4 is {shelf[:5]} {shelf[5:]}. Write it on")
        await bench.press("end", "l")
        assert desk.shop().people["ann"].badge[0] == "P"
        before = desk.heads()
        await bench.press("l")
        assert desk.heads() == before


async def test_what_to_have_ready_is_shown_by_a_card(desk: Desk, pan: str) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "r")
        await cards(bench, "have ready")
        assert bench.on() == "PickScreen"
        assert "HAVE READY" in bench.painted()


def test_serials_of_cards_are_for_ever() -> None:
    """These are on paper in workshops."""
    assert {card.serial: card.name for card in CARDS.values()} == {
        0: "confirm", 1: "next", 2: "back", 3: "undo", 4: "not now", 5: "because", 6: "second", 7: "tighten",
        8: "tight", 9: "whole stage", 10: "exception", 11: "leave", 12: "next step", 13: "all steps", 14: "measured",
        15: "other side", **{16 + n: str(n) for n in range(10)}, 26: "point", 27: "photo", 28: "photos",
        29: "have ready", 30: "together", 31: "step before", 32: "wrench", 33: "setting", 34: "workings",
        35: "order", 36: "bag", 37: "label again", 38: "last time", 39: "not this time", 99: "test",
    }  # fmt: skip
    assert msgspec.json.encode(CARD["confirm"]) == b'"DBBBBBBBGJ"'
    assert Wedge().learnt == {}


async def test_cards_scanned_faster_than_screens_come_up_are_answered_in_order(desk: Desk, pan: str) -> None:
    badge = badges(desk)
    async with at_bench(desk) as bench:
        unhurried(bench)
        await bench.press("enter", "r")
        for code in (CARD["exception"], CARD["5"], CARD["confirm"], badge["ben"], CARD["confirm"]):
            bench.app.scans.take(code)  # all of them before the first screen is composed
        await bench.until(lambda: list(desk.job().said(said.ExceptionAccepted)), "never accepted")
        (entry,) = desk.job().said(said.ExceptionAccepted)
        assert (entry.fact.reason, entry.fact.accepted_by) == ("not on this vehicle", "ben")
        await bench.until(lambda: not bench.app.scans._waiting, "a scan was left")


async def test_the_tag_of_a_wrench_puts_it_in_hand_on_any_screen(desk: Desk, pan: str) -> None:
    tag = tools(desk)
    async with at_bench(desk) as bench:
        await bench.scan(tag)
        assert bench.answer() == "in hand: wrench T3"
        assert bench.app.wrench == "T3"


async def test_a_card_scanned_before_its_screen_stands_waits_for_it(desk: Desk, pan: str) -> None:
    async with at_bench(desk) as bench:
        unhurried(bench)
        typed: list[str | None] = []
        bench.app.push_screen(PromptScreen("COUNT", "How many?"), typed.append)
        for name in ("4", "confirm"):
            bench.app.scans.take(CARD[name])
        await bench.until(lambda: typed, "never said")
        assert typed == ["4"]


async def test_a_bag_scanned_while_a_list_is_open_is_answered_by_the_refit_below(desk: Desk, pan: str) -> None:
    desk.say(said.BagPacked(bag=(code := new_code(desk)), parts=("pan",)))
    async with at_bench(desk) as bench:
        await bench.press("enter", "r", "l")
        assert bench.on() == "PickScreen"
        await bench.scan(code)
        assert bench.on() == "RefitScreen"
        assert bench.answer().startswith("FIT NOW")
        assert [e.fact.note for e in desk.job().said(said.CheckConfirmed)] == ["scanned"]


async def test_all_of_these_by_a_card_says_several_and_undo_takes_all_of_them_back(desk: Desk, pan: str) -> None:
    async with at_bench(desk) as bench:
        unhurried(bench)
        await bench.press("enter", "r")
        await cards(bench, "together")
        assert [e.fact.check.rpartition(".")[2] for e in desk.job().said(said.CheckConfirmed)] == ["back", "started"]
        await cards(bench, "undo")
        assert not list(desk.job().said(said.CheckConfirmed))
