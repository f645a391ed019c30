"""Refit: one check at a time, scans answered, wrong order refused, two terminals."""

from __future__ import annotations

from contextlib import asynccontextmanager
from typing import TYPE_CHECKING

import pytest
from textual import events
from textual.geometry import Size

from reassembly.job import entries as said
from reassembly.job.answer import Answer
from reassembly.job.plan import plan
from reassembly.screens.app import ReassemblyApp
from reassembly.screens.banner import Banner
from reassembly.screens.figures import block, fitted
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.refit import RefitScreen
from reassembly.screens.tighten import TightenScreen
from reassembly.screens.touch import Touch
from tests.screens.hands import (
    FLANGE,
    FLUID,
    ORDER,
    PAN,
    SIZES,
    SMALL,
    WIDE,
    Story,
    app_of,
    bench,
    check,
    confirm,
    opened,
    painted,
    press,
    shows,
    told,
    until,
)

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from textual.pilot import Pilot

    from reassembly.record.desk import Desk


@asynccontextmanager
async def at_refit(desk: Desk, job: str, key: str = "", size: tuple[int, int] = WIDE) -> AsyncIterator[Pilot[None]]:
    """The refit screen of a job, at the check with this key or at the first that can be confirmed."""
    async with ReassemblyApp(desk).run_test(size=size) as pilot:
        await opened(pilot, RefitScreen(key), job)
        yield pilot


async def ann_comes(pilot: Pilot[None]) -> None:
    await press(pilot, "p")
    await shows(pilot, "WHO IS AT THE BENCH?")
    await press(pilot, "enter")
    await shows(pilot, "at the bench: ann")


@SIZES
async def test_it_opens_at_the_first_ready_step_with_its_check_in_capitals(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job, size=size) as pilot:
            app = app_of(pilot)
            screen = await shows(pilot, "REFIT 0 of 2", FLANGE.upper(), "shelf C4", "> BAG", "CONFIRM", "NOT NOW")
            assert "4TN 881" in screen
            for touch in app.screen.query(Touch):
                assert touch.size.width + 2 >= 7
                assert size != SMALL or touch.outer_size.height >= 4


async def test_space_confirms_the_check_on_display_and_goes_to_the_next(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job) as pilot:
            await press(pilot, "space")
            await shows(pilot, "> MARKS IN LINE", "kept: confirmed: bag", "white paint, to pinion flange")
            bag = check(desk, "bag", FLANGE)
            assert bag.answer is not None
            assert bag.answer.fact == said.CheckConfirmed(check=bag.key, note="not scanned")
            assert check(desk, "marks in line").open


async def test_a_check_out_of_order_is_refused_with_what_must_come_first(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job, check(desk, "all 4", FLANGE).key) as pilot:
            await shows(pilot, "> ALL 4 BOLTS STARTED BY HAND", "first: bag", "marks in line")
            before = desk.heads()
            await press(pilot, "space")
            await shows(pilot, "NOT YET. First: bag")
            await press(pilot, "right")
            await shows(pilot, PAN.upper(), f"WAITS FOR {FLANGE}")
            await press(pilot, "space")
            await shows(pilot, f"NOT YET. First: {FLANGE}; o, if it need not wait")
            assert desk.heads() == before
            await press(pilot, "o")
            await shows(pilot, "independent")


@SIZES
@pytest.mark.parametrize(
    ("which", "large", "words"),
    [
        ("flange_bag", "FIT NOW", ["FIT NOW   scanned", "MARKS IN LINE"]),
        ("pan_bag", "TOO EARLY", ["TOO EARLY   scanned", f"{PAN} waits; first {FLANGE}"]),
        ("other_bag", "ANOTHER VEHICLE", ["ANOTHER VEHICLE'S PART   scanned", "Tallis van  7KD 204"]),
    ],
)
async def test_a_scan_is_answered_in_large_letters_and_in_words(
    tmp_path: Path, size: tuple[int, int], which: str, large: str, words: list[str]
) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job, size=size) as pilot:
            before = len(desk.job().entries)
            pilot.app.scans.take(getattr(story, which))  # type: ignore[attr-defined]
            await shows(pilot, *words, *fitted(large, size[0] - 2, 6))
            kept = [e.fact for e in desk.job().entries[before:]]
            bag = check(desk, "bag", FLANGE)
            assert (
                kept
                == {
                    "flange_bag": [said.CheckConfirmed(check=bag.key, note="scanned")],
                    "pan_bag": [said.LabelSeen(code=story.pan_bag, scanned=True)],
                    "other_bag": [],
                }[which]
            )


@SIZES
async def test_a_part_that_is_done_is_already_fitted_and_nonsense_is_not_one_of_ours(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.PartRemoved(part="plug", name="drain plug"))
        confirm(desk, "back in place", part="plug")
        confirm(desk, "back in place", part="plug")
        bag = said.BagPacked(bag=story.other_bag, parts=("plug",))
        desk.say(bag)
        confirm(desk, "bag", part="plug")
        async with at_refit(desk, story.job, size=size) as pilot:
            pilot.app.scans.take(story.other_bag)  # type: ignore[attr-defined]
            large = fitted("ALREADY FITTED", size[0] - 2, 6)
            await shows(pilot, "ALREADY FITTED   scanned", "drain plug: every check is", *large)
            pilot.app.scans.take("BBBBBBBBBB")  # type: ignore[attr-defined]
            await shows(pilot, "NOT ONE OF OUR LABELS", "check letters", *fitted("NOT OURS", size[0] - 2, 6))


async def test_a_scanner_in_a_hurry_presses_nothing(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job) as pilot:
            before = len(desk.job().entries)
            for letter in story.pan_bag.lower():
                pilot.app.post_message(events.Key(letter, letter))
            pilot.app.post_message(events.Key("enter", "\r"))
            await shows(pilot, "TOO EARLY")
            await until(pilot, lambda: pilot.app.wedge.due is None)  # type: ignore[attr-defined]
            assert [type(e.fact) for e in desk.job().entries[before:]] == [said.LabelSeen]


async def test_space_under_a_refusal_takes_it_away_and_confirms_nothing(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job, size=SMALL) as pilot:
            before = len(desk.job().entries)
            pilot.app.scans.take(story.pan_bag)  # type: ignore[attr-defined]
            assert "> BAG" not in await shows(pilot, *block("TOO EARLY"))
            await press(pilot, "space")
            assert "TOO EARLY" not in await shows(pilot, "> BAG")
            assert [type(e.fact) for e in desk.job().entries[before:]] == [said.LabelSeen]


@pytest.mark.parametrize(("which", "words"), [("flange_bag", "Space: marks in line"), ("pan_bag", "Space takes this")])
async def test_the_answer_says_what_space_does_and_space_does_that(tmp_path: Path, which: str, words: str) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job) as pilot:
            app_of(pilot).scans.take(getattr(story, which))
            await shows(pilot, words)
            await press(pilot, "space")
            assert words not in painted(app_of(pilot))
            assert check(desk, "marks in line").open is (which == "pan_bag")


async def test_where_the_scan_itself_ended_the_step_space_says_nothing_of_the_next_one(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = await flange_but_for_one(desk)
        for each in [c for c in plan(desk.job()).open if c.part == FLANGE]:
            desk.say(said.ExceptionAccepted(check=each.key, reason="told", accepted_by="ann"))
        for each in [c for c in plan(desk.job()).open if c.part == PAN and "bag" not in c.wording]:
            desk.say(said.ExceptionAccepted(check=each.key, reason="told", accepted_by="ann"))
        async with at_refit(desk, story.job) as pilot:
            app_of(pilot).scans.take(story.pan_bag)
            await shows(pilot, "FIT NOW", "Space takes this away", "BEFORE IT LEAVES")
            before = desk.heads()
            await press(pilot, "space", "space")
            await shows(pilot, "NOW BEFORE IT LEAVES")
            assert desk.heads() == before


async def test_a_second_check_takes_another_person(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        _tight(desk, FLANGE)
        async with at_refit(desk, story.job, check(desk, "second check", FLANGE).key) as pilot:
            await press(pilot, "space")
            await shows(pilot, "ben did this work: a second check is made by another person; scan a badge or")
            assert check(desk, "second check").open
            await ann_comes(pilot)
            await press(pilot, "space")
            await shows(pilot, "kept: second check")
            answer = check(desk, "second check").answer
            assert answer is not None
            assert answer.who == "ann"
            await shows(pilot, "kept: second check by ann; ben is at the bench")
            assert answer.fact.named == "typed"
            assert desk.who == "ben"


async def test_whoever_came_for_a_second_check_and_did_other_work_first_stays(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        _tight(desk, FLANGE)
        second, other = check(desk, "second check", FLANGE), check(desk, "stripe", FLANGE)
        async with at_refit(desk, story.job, second.key) as pilot:
            screen = pilot.app.screen
            assert isinstance(screen, RefitScreen)
            await ann_comes(pilot)
            for each in (other, second):
                screen.show_check(each.key)
                await press(pilot, "space")
            await shows(pilot, "kept: second check")
            assert [e.who for e in desk.job().entries[-2:]] == ["ann", "ann"]
            assert desk.who == "ann"


async def test_whoever_comes_to_the_bench_at_any_other_check_stays(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job) as pilot:
            await ann_comes(pilot)
            await press(pilot, "space")
            await until(pilot, lambda: desk.job().entries[-1].who == "ann")
            assert desk.who == "ann"


async def test_a_second_check_by_somebody_whom_the_fitter_added_now_is_kept_and_says_so(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        _tight(desk, FLANGE)
        async with at_refit(desk, story.job, check(desk, "second check", FLANGE).key) as pilot:
            await press(pilot, "p")
            await shows(pilot, "WHO IS AT THE BENCH?")
            await press(pilot, "up", *"benn", "enter")
            await shows(pilot, "benn is not known here. Did you mean ben?")
            await press(pilot, "end", "enter")
            await shows(pilot, "at the bench: benn")
            await press(pilot, "space")
            await shows(pilot, "kept: second check, but benn was added")
            assert not check(desk, "second check").open
            assert desk.who == "ben"


async def test_undo_strikes_the_last_word_of_the_step_and_shows_its_check_again(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job) as pilot:
            await press(pilot, "space")
            await shows(pilot, "> MARKS IN LINE")
            await press(pilot, "space")
            await shows(pilot, "> IN PLACE, FACES TOGETHER")
            await press(pilot, "u")
            await shows(pilot, "> MARKS IN LINE", "kept: undone: confirmed: marks in line")
            assert check(desk, "marks in line").open
            assert not check(desk, "bag", FLANGE).open
            strike = next(desk.job().said(said.EntryStruck))
            assert strike.fact.why == "undone at the bench"


async def test_not_now_goes_on_and_leaves_the_check_open(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job) as pilot:
            await press(pilot, "n")
            await shows(pilot, "> MARKS IN LINE", "put off: bag")
            assert check(desk, "bag", FLANGE).open
            assert not list(desk.job().said(said.CheckConfirmed))


@SIZES
async def test_what_was_put_off_is_named_before_the_vehicle_leaves_and_the_list_leads_there(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job, size=size) as pilot:
            await press(pilot, "n")
            while "BEFORE IT LEAVES" not in painted(app_of(pilot)):
                assert FLANGE.upper() in painted(app_of(pilot))
                await press(pilot, "n")
            screen = " ".join((await shows(pilot, "1 part put off waits")).split())
            assert f"1 part put off waits: {FLANGE}: l leads there first" in screen
            await press(pilot, "l")
            await shows(pilot, "Which one?", "PUT OFF")
            await press(pilot, "enter")
            await shows(pilot, FLANGE.upper(), "> BAG")
            assert check(desk, "bag", FLANGE).open


@pytest.mark.parametrize(
    ("size", "named"), [(WIDE, f"{FLANGE}; {PAN}"), (SMALL, f"{FLANGE} and 1 more")], ids=["80x24", "50x15"]
)
async def test_before_it_leaves_the_caution_has_room_below_the_names(
    tmp_path: Path, size: tuple[int, int], named: str
) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.AidFitted(aid="axle stand", where="holds it up"))
        for part in (FLANGE, PAN):
            desk.say(said.CheckPutOff(check=check(desk, "bag", part).key, reason="waits for a part"))
        async with at_refit(desk, story.job, check(desk, "nothing left over").key, size) as pilot:
            screen = " ".join((await shows(pilot, "BEFORE IT LEAVES")).split())
            assert f"2 parts put off wait: {named}: l leads there first" in screen
            assert "shaken before anyone goes under it." in screen


async def test_what_another_terminal_confirms_never_moves_the_check_under_the_finger(tmp_path: Path) -> None:
    with bench(tmp_path) as desk, bench(tmp_path, "ann") as other:
        story = told(desk)
        other.open_job = story.job
        async with at_refit(desk, story.job) as pilot:
            await shows(pilot, "> BAG")
            confirm(other, "bag", part=FLANGE)
            await shows(pilot, "confirmed: ann", "Space goes on")
            await press(pilot, "space")
            await shows(pilot, "> MARKS IN LINE")
            assert check(desk, "marks in line").open
            assert len(list(desk.job().said(said.CheckConfirmed))) == 1


async def test_two_terminals_see_each_other(tmp_path: Path) -> None:
    with bench(tmp_path) as one, bench(tmp_path, "ann") as two:
        story = told(one)
        async with at_refit(one, story.job) as here:
            async with at_refit(two, story.job, check(one, "marks in line").key) as there:
                await shows(there, "[ ] bag")
                await press(here, "space")
                await shows(here, "> MARKS IN LINE")
                await shows(there, "[x] bag")
                await press(there, "space")
                await shows(there, "> IN PLACE, FACES TOGETHER")
            await shows(here, "[x] MARKS IN LINE", "confirmed: ann")


async def test_an_exception_asks_for_the_reason_and_the_person(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job, check(desk, "marks in line").key) as pilot:
            await press(pilot, "e")
            await shows(pilot, "Why is it not met?")
            await press(pilot, *"rust", "enter")
            await shows(pilot, "Who accepts it")
            await press(pilot, "enter")
            await until(pilot, lambda: check(desk, "marks in line").state == "excepted")
            await shows(pilot, "[!] marks in line", "rust (ben)")


def all_back(desk: Desk) -> None:
    for each in plan(desk.job()).checks:
        if each.part:
            desk.say(said.ExceptionAccepted(check=each.key, reason="test", accepted_by="ann"))


async def test_before_fluid_goes_in_with_a_part_off_it_is_asked(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.FluidDrained(fluid=FLUID, amount="5.8 l"))
        async with at_refit(desk, story.job, check(desk, f"{FLUID} filled").key) as pilot:
            before = desk.heads()
            for key in ("space", "t", "m"):
                await press(pilot, key)
                await shows(pilot, f"NOT BACK YET: {FLANGE}; {PAN} (2 parts)")
                await press(pilot, "enter")
                await shows(pilot, "ALL STEPS", FLANGE)
                await press(pilot, "escape")
            assert desk.heads() == before
            await press(pilot, "space", "down", "enter")
            await shows(pilot, "amount *")


async def test_fluid_is_added_up_and_the_sum_confirmed(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        all_back(desk)
        desk.say(said.FluidDrained(fluid=FLUID, amount="5.8 l"))
        async with at_refit(desk, story.job, check(desk, f"{FLUID} filled").key) as pilot:
            await shows(pilot, "BEFORE IT LEAVES", "Space says how much went in")
            for key, amount in (("space", "2.5 l"), ("t", "1.5 l")):
                await press(pilot, key)
                await shows(pilot, "amount *")
                await press(pilot, *(" " if c == " " else c for c in amount.replace(".", ",")))
                await press(pilot, "enter")
                await shows(pilot, f"kept: filled: {amount.replace('.', ',')}")
            await shows(pilot, "2,5 l + 1,5 l = 4.0 l of 5.8 l drained, 1.8 l missing", "Space confirms it")
            await press(pilot, "space")
            await shows(pilot, "1.8 l missing", "add more", "this is all that goes in: the level will tell")
            assert check(desk, f"{FLUID} filled").open
            await press(pilot, "enter")
            await shows(pilot, "amount *")
            await press(pilot, "escape", "space", "down", "enter")
            await until(pilot, lambda: not check(desk, f"{FLUID} filled").open)
            answer = check(desk, f"{FLUID} filled").answer
            assert answer is not None
            assert answer.fact.value == "2,5 l + 1,5 l = 4.0 l of 5.8 l drained, 1.8 l missing"
            await shows(pilot, f"kept, but {FLUID}: 1.8 l missing of what was drained; u takes it back")


async def test_a_road_test_at_no_speed_is_kept_and_the_check_stays_open(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.RoadTested(felt="hums", distance="12 km", speed="80 km/h"))
        async with at_refit(desk, story.job, check(desk, "same road test").key) as pilot:
            await press(pilot, "space")
            await shows(pilot, "felt")
            await press(pilot, *"quiet", "enter")
            await shows(pilot, "kept, but still open: at what speed, how far? before: 12 km at 80 km/h")
            assert check(desk, "same road test").open


async def test_a_road_test_that_was_not_driven_leaves_its_check_open_and_leads_to_the_exception(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job, check(desk, "road test after").key) as pilot:
            await press(pilot, "space")
            await shows(pilot, "felt")
            await press(pilot, *"not driven, out of time", "enter")
            await shows(pilot, "kept, but still open: not driven")
            await shows(pilot, "make it an exception with reason and name")
            assert check(desk, "road test after").open


async def test_a_complaint_waits_for_the_road_test_and_is_asked_about_in_its_own_words(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        told(desk)
        job = desk.open_new(said.JobOpened(vehicle="Kestrel van", complaint="hums at 80", order=ORDER))
        complaint = check(desk, "complaint").key
        async with at_refit(desk, job, complaint) as pilot:
            await press(pilot, "space")
            await shows(pilot, "first: road test after the work")
            assert check(desk, "complaint").open
        desk.say(said.RoadTested(when="after", felt="still hums at 80"))
        async with at_refit(desk, job, complaint) as pilot:
            await press(pilot, "space")
            await shows(pilot, "The road test after the work says: still hums at 80")
            await press(pilot, "enter")
            assert check(desk, "complaint").open
            await press(pilot, "space")
            await shows(pilot, "yes, it is gone")
            await press(pilot, "down", "enter")
            await until(pilot, lambda: not check(desk, "complaint").open)


async def test_a_code_that_came_back_takes_a_word_of_what_was_done(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.CodeRead(when="after", code="P0735"))
        async with at_refit(desk, story.job, check(desk, "P0735").key) as pilot:
            await shows(pilot, "Space asks what was done, or why it may stand")
            await press(pilot, "space")
            await shows(pilot, "note")
            await press(pilot, "enter")
            await shows(pilot, "say what was done about it, or why it")
            assert check(desk, "P0735").open
            await press(pilot, *"rinsed", "enter")
            await until(pilot, lambda: not check(desk, "P0735").open)


async def test_a_level_outside_its_window_is_kept_and_stays_open(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.LevelSpecified(fluid=FLUID, low="35 degC", high="45 degC", engine="running"))
        async with at_refit(desk, story.job, check(desk, f"{FLUID} level").key) as pilot:
            for temperature, words in (("20 degC", "kept, but still open: 20 degC is 15"), ("40 degC", "kept: level")):
                await press(pilot, "space")
                await shows(pilot, "temperature", "engine running: as recorded", "[-]  right")
                await press(pilot, *temperature, "enter")
                await shows(pilot, "level is needed")  # no form says for anybody that it is right
                await press(pilot, "right", "enter")
                await shows(pilot, words)
            assert not check(desk, f"{FLUID} level").open


async def test_renewals_aids_codes_and_road_test_are_answered_in_their_own_way(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        new = desk.say(said.RenewalNeeded(part=FLANGE, what="lock plate", part_number="LP-1"))
        aid = desk.say(said.AidFitted(part=FLANGE, aid="plug"))
        desk.say(said.CodeRead(code="P0732"))
        async with at_refit(desk, story.job, check(desk, "new lock plate on hand").key) as pilot:
            app = app_of(pilot)
            await press(pilot, "space")
            await shows(pilot, "batch")
            await press(pilot, "enter")
            await shows(pilot, "kept: on hand")
            assert next(desk.job().said(said.RenewalReceived)).fact == said.RenewalReceived(
                needed=new.id, part_number="LP-1"
            )
            await shows(pilot, "> PLUG OUT AGAIN")
            await press(pilot, "space")
            await until(pilot, lambda: any(e.fact.aid == aid.id for e in desk.job().said(said.AidRemoved)))
            for wording in ("codes cleared", "road test", "codes read again"):
                screen = RefitScreen(check(desk, wording).key)
                await opened(pilot, screen, story.job)
                await press(pilot, "space")
                if wording != "codes cleared":
                    await until(pilot, lambda screen=screen: app.screen is not screen)  # type: ignore[misc]
                    await pilot.pause()
                    await press(pilot, "enter")
                    await shows(pilot, "how did it go?" if wording == "road test" else "what was read?")
                    assert check(desk, wording).open  # an empty form is no proof
                    await press(pilot, *("quiet" if wording == "road test" else ("tab", "right")), "enter")
                await until(pilot, lambda wording=wording: not check(desk, wording).open)  # type: ignore[misc]


async def test_orders_that_contradict_are_settled_by_striking_one_out(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.OrderSaid(part=PAN, goes="before", other=FLANGE))
        desk.say(said.OrderSaid(part=PAN, goes="after", other=FLANGE))
        async with at_refit(desk, story.job, check(desk, "orders say opposite").key) as pilot:
            await press(pilot, "space")
            await shows(pilot, "SETTLE", "goes back before", "goes back after")
            await press(pilot, "x")
            await shows(pilot, "What is wrong with it?")
            await press(pilot, *"slip", "enter")
            await shows(pilot, "settled: Esc goes back")
            assert not [c for c in plan(desk.job()).checks if c.way == "settle"]
            await press(pilot, "escape")
            await shows(pilot, "REFIT")


async def test_the_third_touch_says_and_does_what_the_check_on_display_can_use(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.FluidDrained(fluid=FLUID, amount="5.8 l"))
        async with at_refit(desk, story.job, size=SMALL) as pilot:
            app = app_of(pilot)
            await shows(pilot, "> BAG", "EXCEPTION")
            await pilot.click("#other")
            await until(pilot, lambda: isinstance(app.screen, PromptScreen))
            await press(pilot, "escape")
            confirm(desk, "bag", "marks", "in place", "all 4", part=FLANGE)
            await shows(pilot, "UNDO LAST")
            await press(pilot, "space")
            await shows(pilot, "STAGE 1", "TIGHTEN")
            await opened(pilot, RefitScreen(check(desk, f"{FLUID} filled").key), story.job)
            assert "EXCEPTION" not in await shows(pilot, "ADD FLUID")
            await opened(pilot, RefitScreen(check(desk, "bag", FLANGE).key), story.job)
            await shows(pilot, "UNDO LAST")
            assert "NO TORQUE" not in painted(app)
            await pilot.click("#other")
            await until(pilot, lambda: check(desk, "all 4", FLANGE).open)
            assert not check(desk, "bag", FLANGE).open


@SIZES
async def test_t_does_what_the_third_touch_does_where_nothing_is_tightened(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.LevelSpecified(fluid=FLUID, low="35 degC", high="45 degC", engine="off"))
        desk.say(said.TorqueSpecified(part=FLANGE, stages=(said.Stage("torque", "9 N.m"),), retorque="after 50 km"))
        for wording in (f"{FLUID} level", "retorque after 50 km"):
            async with at_refit(desk, story.job, check(desk, wording).key, size) as pilot:
                await shows(pilot, "EXCEPTION")
                await press(pilot, "t")
                await shows(pilot, "Why is it not met?")


async def test_space_on_a_stage_opens_the_joint_and_escape_comes_back(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        confirm(desk, "bag", "marks", "in place", "all 4", part=FLANGE)
        async with at_refit(desk, story.job, size=SMALL) as pilot:
            app = app_of(pilot)
            await shows(pilot, "> STAGE 1 OF 2: 30 N.m")
            await pilot.click("#other")
            await until(pilot, lambda: isinstance(app.screen, TightenScreen))
            await press(pilot, "escape")
            await shows(pilot, "> STAGE 1 OF 2: 30 N.m")


async def test_the_list_leads_to_any_step_and_a_code_can_be_typed(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        async with at_refit(desk, story.job) as pilot:
            await press(pilot, "l")
            await shows(pilot, "Which one?", "BEFORE IT LEAVES")
            await press(pilot, "down", "down", "enter")
            await shows(pilot, "> NOTHING LEFT OVER")
            await press(pilot, "slash")
            await shows(pilot, "TYPE A CODE")
            code = story.flange_bag.lower()
            for letter in code:
                await press(pilot, letter)
                await pilot.pause(0.04)  # as fingers type: a quicker burst is a scanner's
            await press(pilot, "enter")
            await shows(pilot, "FIT NOW", FLANGE.upper())


async def test_when_nothing_is_open_it_says_so(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        for each in plan(desk.job()).checks:
            desk.say(said.ExceptionAccepted(check=each.key, reason="scrapped", accepted_by="ann"))
        async with at_refit(desk, story.job, size=SMALL) as pilot:
            await shows(pilot, "REFIT 2 of 2", "excepted: scrapped (ann)")
            await press(pilot, "space")
            await shows(pilot, "REFIT 2 of 2")


HOSTILE = "pan [b]x[/b] [/x] \x1b[2J\x9b31m \u202etxet \U0001f527" + "long " * 60


@SIZES
async def test_hostile_words_are_shown_and_never_obeyed(tmp_path: Path, size: tuple[int, int]) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.say(said.PartRemoved(part=HOSTILE, name=HOSTILE, side=HOSTILE, note=HOSTILE))
        desk.say(said.MarkMade(part=HOSTILE, mark=HOSTILE, to=HOSTILE))
        desk.say(said.BagPacked(bag=HOSTILE, parts=(HOSTILE,), shelf=HOSTILE, holds=HOSTILE))
        async with at_refit(desk, story.job, size=size) as pilot:
            app = app_of(pilot)
            screen = await shows(pilot, "PAN [B]X[/B]")
            assert not {"\x1b", "\x9b", "\u202e"} & set(screen)
            for _ in range(3):
                await press(pilot, "space")
                assert not {"\x1b", "\x9b", "\u202e"} & set(painted(app))
            await press(pilot, "l")
            assert not {"\x1b", "\x9b", "\u202e"} & set(await shows(pilot, "Which one?"))


def _tight(desk: Desk, part: str) -> None:
    """All of a part's work by ben, up to its second check."""
    confirm(desk, "bag", "marks", "in place", "all 4", part=part)
    specified = next(e for e in desk.job().said(said.TorqueSpecified) if e.fact.part == part)
    for stage in (1, 2):
        desk.say(said.StageTightened(specification=specified.id, stage=stage))


@pytest.mark.parametrize("width", range(6))
def test_the_answer_to_a_scan_is_drawn_however_narrow_the_window(width: int) -> None:
    banner = Banner()
    banner.answer = Answer("too early", "TOO EARLY", "gearbox pan waits; first propshaft, rear flange and two more")
    assert banner.get_content_height(Size(width, 9), Size(width, 9), width) >= 1


async def flange_but_for_one(desk: Desk) -> Story:
    """Nothing is left of the flange but the stripe: the next key moves on to the pan."""
    story = told(desk)
    _tight(desk, FLANGE)
    desk.who = "ann"
    desk.say(said.SecondCheckMade(check=check(desk, "second check", FLANGE).key))
    desk.who = "ben"
    return story


@pytest.mark.parametrize("key", ["space", "y"])
async def test_where_the_screen_moved_on_by_itself_the_first_key_only_says_where(tmp_path: Path, key: str) -> None:
    with bench(tmp_path) as desk:
        story = await flange_but_for_one(desk)
        async with at_refit(desk, story.job) as pilot:
            await shows(pilot, FLANGE.upper(), "> STRIPE PAINTED")
            await press(pilot, "space")
            await shows(pilot, PAN.upper(), "kept: confirmed: stripe painted")
            before = desk.heads()
            await press(pilot, key)
            await shows(pilot, f"NOW {PAN.upper()}: bag")
            assert desk.heads() == before
            await press(pilot, "space")
            await until(pilot, lambda: not check(desk, "bag", PAN).open)


@pytest.mark.parametrize("way", ["scan", "list", "arrows"])
async def test_a_step_that_was_chosen_takes_the_first_key(tmp_path: Path, way: str) -> None:
    with bench(tmp_path) as desk:
        story = await flange_but_for_one(desk)
        async with at_refit(desk, story.job) as pilot:
            await press(pilot, "space")
            await shows(pilot, PAN.upper())
            if way == "scan":
                pilot.app.scans.take(story.pan_bag)  # type: ignore[attr-defined]
                await shows(pilot, "FIT NOW")
            await press(pilot, *{"scan": (), "list": ("l", "enter"), "arrows": ("left", "right")}[way])
            before = len(list(desk.job().said(said.CheckConfirmed)))
            await press(pilot, "space")
            await until(pilot, lambda: len(list(desk.job().said(said.CheckConfirmed))) == before + 1)


async def test_a_stage_tightened_with_a_wrench_out_of_range_says_so_beside_it(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        confirm(desk, "bag", "marks", "in place", "all 4", part=FLANGE)
        specified = next(e for e in desk.job().said(said.TorqueSpecified) if e.fact.part == FLANGE)
        desk.say(said.StageTightened(specification=specified.id, stage=1, wrench="T1"))
        desk.say(said.StageTightened(specification=specified.id, stage=2, wrench="T3"))
        async with at_refit(desk, story.job, check(desk, "second", FLANGE).key) as pilot:
            screen = await shows(pilot, "with T1, above its range")
            assert "[x] stage 1 of 2: 30 N.m" in screen
            assert "with T3" not in screen


async def test_t_where_no_torque_is_recorded_says_so_and_opens_no_exception(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        told(desk)
        job = desk.open_new(said.JobOpened(vehicle="Kestrel van", order=ORDER))
        desk.say(said.PartRemoved(part="pan", name="pan"))
        desk.say(said.FastenersRemoved(part="pan", count=1))
        async with at_refit(desk, job, check(desk, "1 bolt tight").key) as pilot:
            await press(pilot, "t")
            await shows(pilot, "no torque is recorded here, nothing to set a wrench to: Space says it is tight")
            assert "Why is it not met?" not in painted(app_of(pilot))
