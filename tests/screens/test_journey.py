"""A vehicle's whole visit by keyboard and scanner, on a real journal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labels.code import Kind, make
from reassembly.job import entries as said
from reassembly.job.checks import closed
from reassembly.job.entries import BagPacked, FastenersRemoved, PartRemoved, SignedOff
from reassembly.job.job import parts
from reassembly.job.plan import plan
from reassembly.record.desk import Desk
from reassembly.screens.line import Line
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from pathlib import Path


async def check_in(bench: Bench, registration: str = "4TN 881", vehicle: str = "Kestrel van", **rest: str) -> None:
    """From the bench's list to the job."""
    await bench.press("n")
    await bench.type(registration)
    await bench.press("tab")
    await bench.type(vehicle)
    await bench.press("tab")
    for name in ("complaint", "name", "phone"):
        await bench.type(rest.get(name, ""))
        await bench.press("tab")
    await bench.press("enter")
    assert bench.on() == "JobScreen", bench.painted()


async def test_first_start_asks_who_is_at_the_bench(tmp_path: Path) -> None:
    with Desk.open(tmp_path) as desk:
        async with at_bench(desk) as bench:
            assert bench.on() == "WhoScreen"
            assert "Nobody is known here yet" in bench.painted()
            await bench.type("ann")
            await bench.press("enter")
            assert bench.on() == "JobsScreen"
            assert desk.who == "ann"
            assert list(desk.shop().people) == ["ann"]
            assert "n checks a vehicle in" in bench.painted()


async def test_a_name_in_another_case_is_the_same_person(desk: Desk) -> None:
    desk.who = ""
    async with at_bench(desk) as bench:
        assert bench.on() == "WhoScreen"
        await bench.press("shift+tab")
        await bench.type("ANN")
        await bench.press("enter")
        assert desk.who == "ann"
        assert list(desk.shop().people) == ["ann", "ben"]


async def test_a_vehicle_is_checked_in_with_its_customer(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench, complaint="whine at 80", name="Rosa Lind", phone="0555 0142")
        job = desk.job()
        assert (job.opened.registration, job.opened.vehicle) == ("4TN 881", "Kestrel van")
        assert job.opened.complaint == "whine at 80"
        customer = desk.customer()
        assert customer is not None
        assert (customer.name, customer.phone) == ("Rosa Lind", "0555 0142")
        assert "Rosa Lind" in bench.painted()
        assert bench.answer().startswith("kept")
        await bench.press("escape")
        assert "Kestrel van" in bench.painted()


async def test_what_was_read_driven_and_found_before_the_work(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("v", "c")
        await bench.type("P0735")
        await bench.press("enter")
        await bench.press("r")
        await bench.type("whine from the rear at 80 km/h")
        await bench.press("enter")
        await bench.press("f")
        await bench.type("leak")
        await bench.press("tab")
        await bench.type("pan, rear left corner")
        await bench.press("enter")
        job = desk.job()
        assert [e.fact.code for e in job.said(said.CodeRead)] == ["P0735"]
        assert [e.fact.felt for e in job.said(said.RoadTested)] == ["whine from the rear at 80 km/h"]
        assert [(e.fact.what, e.fact.where) for e in job.said(said.FindingNoted)] == [("leak", "pan, rear left corner")]
        assert "P0735" in bench.painted()
        assert "pan, rear left corner" in bench.painted()


async def strip(bench: Bench, *names: str) -> None:
    for name in names:
        await bench.type(name)
        await bench.press("enter")


async def test_parts_come_off_one_line_each(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await strip(bench, "undertray", "propshaft", "gearbox pan")
        assert [p.name for p in parts(desk.job()).values()] == ["undertray", "propshaft", "gearbox pan"]
        assert [line.split()[1] for line in bench.options("#off")] == ["gearbox", "propshaft", "undertray"]
        assert "kept: gearbox pan" in bench.painted()


async def test_a_part_swung_aside_is_said_with_the_form(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await bench.type("crossmember")
        await bench.press("f2", "tab", "right", "right", "right", "tab", "tab")
        await bench.type("left")
        await bench.press("enter")
        (entry,) = desk.job().said(PartRemoved)
        assert (entry.fact.name, entry.fact.how, entry.fact.side) == ("crossmember", "aside", "left")
        assert entry.fact.part == "crossmember, left"
        assert bench.on() == "StripdownScreen"
        assert "crossmember, left" in bench.painted()
        await strip(bench, "pan")
        assert [p.name for p in parts(desk.job()).values()] == ["crossmember, left", "pan"]


async def test_bolts_and_marks_are_added_to_the_part_under_the_bar(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await strip(bench, "propshaft")
        await bench.press("f3", "b")
        await bench.type("4")
        await bench.press("enter")
        await bench.press("m")
        await bench.type("white paint")
        await bench.press("enter")
        about = parts(desk.job())["propshaft"].about
        assert [type(e.fact).__name__ for e in about] == ["PartRemoved", "FastenersRemoved", "MarkMade"]
        await bench.press("escape")
        assert bench.on() == "StripdownScreen"
        assert "marked" in bench.painted()
        await strip(bench, "pan")  # the line has the focus again
        assert "pan" in parts(desk.job())


async def test_scanning_an_unused_label_packs_the_part(desk: Desk) -> None:
    code = make(Kind.BAG, "KD", 7)
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await bench.scan(code)
        assert "name a part first" in bench.answer()
        await strip(bench, "undertray", "gearbox pan")
        await bench.scan(code)
        (packed,) = desk.job().said(BagPacked)
        assert (packed.fact.bag, packed.fact.parts) == (code, ("gearbox pan",))
        await bench.scan(code.lower())
        assert "holds gearbox pan" in bench.answer()
        assert len(list(desk.job().said(BagPacked))) == 1


async def test_a_wrench_tag_packs_nothing(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await strip(bench, "gearbox pan")
        await bench.scan(make(Kind.WRENCH, "KD", 7))
        assert list(desk.job().said(BagPacked)) == []
        assert "NEVER USED HERE" in bench.answer()


async def test_f4_gives_a_bag_a_new_code(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await strip(bench, "gearbox pan")
        await bench.press("f4")
        (packed,) = desk.job().said(BagPacked)
        assert packed.fact.bag[:5] in bench.painted()


async def test_a_bag_is_packed_with_what_it_holds_and_its_shelf(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await strip(bench, "gearbox pan")
        await bench.press("f3", "g")
        await bench.type("bolts and magnets")
        await bench.press("tab")
        await bench.type("C4")
        await bench.press("enter")
        (packed,) = desk.job().said(BagPacked)
        assert (packed.fact.holds, packed.fact.shelf) == ("bolts and magnets", "C4")


async def test_a_slip_is_struck_out_and_said_again_without_retyping(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await strip(bench, "propshaft")
        await bench.press("f3", "b")
        await bench.type("4")
        await bench.press("enter", "x")
        await bench.type("there are 3")
        await bench.press("enter")
        assert bench.on() == "FormScreen"
        await bench.press("backspace")
        await bench.type("3")
        await bench.press("enter")
        assert [e.fact.count for e in desk.job().said(FastenersRemoved)] == [3]
        assert [e.fact.count for e in desk.job().struck] == [4]


async def test_a_removal_is_struck_out_and_said_again_with_its_facts_still_there(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await strip(bench, "propshft")
        await bench.press("f3", "m")
        await bench.type("white paint")
        await bench.press("enter", "escape", "f8")
        await bench.type("spelling")
        await bench.press("enter")
        await bench.press(*["backspace"] * 2)
        await bench.type("aft")
        await bench.press("enter")
        (part,) = parts(desk.job()).values()
        assert part.name == "propshaft"
        assert [e.fact.mark for e in part.said(said.MarkMade)] == ["white paint"]


async def test_customer_struck_out_comes_back_filled_in(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench, name="Rosa Lind")
        await bench.press("v", "x")
        await bench.type("a letter missing")
        await bench.press("enter")
        assert bench.on() == "CustomerScreen"
        await bench.type("e")
        await bench.press("enter")
        customer = desk.customer()
        assert customer is not None
        assert customer.name == "Rosa Linde"


async def settle_everything(bench: Bench) -> None:
    """Accept every open check but the last, one by one, as the list shows them."""
    while len(plan(bench.desk.job()).open) > 1:
        await bench.press("e")
        await bench.type("not done, test")
        await bench.press("enter", "enter")


async def test_a_job_is_signed_off_only_when_nothing_is_open(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await strip(bench, "gearbox pan")
        await bench.press("escape", "o")
        assert "NOT CONFIRMED" in bench.painted()
        await bench.press("f9")
        assert "open" in bench.answer()
        assert bench.on() == "SignoffScreen"
        await settle_everything(bench)
        await bench.press("f9")
        assert bench.on() == "SignoffScreen"
        await bench.press("e")
        await bench.type("pen dry")
        await bench.press("enter", "enter")
        assert plan(desk.job()).open == ()
        assert "EVERY CHECK IS CONFIRMED OR EXCEPTED" in bench.painted()
        assert "pen dry   accepted by ann" in bench.painted()

        await bench.scan(make(Kind.BAG, "KD", 9))
        await bench.press("enter", "space", "y", "s", "f9")
        assert "You sign off" in bench.painted()
        assert "4TN 881" in bench.painted()
        assert "3 checks, none open, 3 exceptions, 0 warnings" in bench.painted()
        await bench.press(*["f9"] * 5, *["enter"] * 5)  # held down
        assert closed(desk.job()) is None
        await bench.scan(make(Kind.BAG, "KD", 9))
        await bench.scan("4006381333931")
        assert closed(desk.job()) is None
        await bench.type("ben")
        await bench.press("enter")
        assert closed(desk.job()) is None
        assert "ann is at the bench" in bench.answer()
        await bench.press(*["backspace"] * 3)
        await bench.type("ann")
        await bench.press("enter")
        assert isinstance(desk.job().entries[-1].fact, SignedOff)
        assert "SIGNED OFF by ann" in bench.painted()

        await bench.press("j")
        await bench.type("drips again")
        await bench.press("enter")
        assert closed(desk.job()) is None
        assert isinstance(desk.job().entries[-1].fact, said.JobReopened)


async def test_the_record_tells_everything_and_what_was_struck(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench, complaint="whine at 80")
        await bench.press("s")
        await strip(bench, "gearbox pan")
        await bench.press("f8")
        await bench.type("wrong vehicle")
        await bench.press("f8", "escape", "d")
        assert "STRUCK OUT (wrong vehicle)" in bench.painted()
        assert "whine at 80" in bench.painted()


async def test_a_job_is_found_by_any_word_of_it(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench, complaint="whine at 80", name="Rosa Lind", phone="0555 0142")
        await bench.press("escape")
        await check_in(bench, registration="ZZ9 XYZ", vehicle="Heron pick-up", complaint="leaks")
        await bench.press("escape")
        for words in ("tn8", "4tn881", "rosa", "0142", "whine", "kestrel"):
            await bench.press("slash")
            await bench.type(words)
            await bench.until(lambda: len(bench.options("#jobs")) == 1, words)
            assert "Kestrel van" in bench.options("#jobs")[0]
            await bench.press("enter")
            assert bench.on() == "JobScreen"
            await bench.press("escape", "escape")
            assert len(bench.options("#jobs")) == 2


async def test_a_come_back_points_at_the_earlier_job_and_both_show_it(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench, complaint="whine at 80", name="Rosa Lind")
        earlier = desk.open_job
        await bench.press("d", "c")
        assert bench.on() == "CheckinScreen"
        assert "4TN 881" in bench.painted()
        await bench.press("tab", "tab")
        await bench.type("whines again")
        await bench.press("enter", "enter")
        later = desk.open_job
        assert later != earlier
        assert desk.job(later).opened.earlier == earlier
        assert bench.on() == "JobScreen"
        day = desk.today
        assert f"from Kestrel van 4TN 881, {day}" in bench.painted()
        await bench.press("v")
        assert any(f"come-back from Kestrel van 4TN 881, {day}" in told for told in bench.options("#facts"))
        await bench.press("escape", "d")
        assert "come-back from " in bench.painted()
        await bench.press("escape", "escape", "down", "enter")  # the bar is on the job just left
        assert desk.open_job == earlier, bench.painted()
        assert f"came back later: Kestrel van 4TN 881, {day}" in bench.painted()
        await bench.press("d")
        assert f"came back: Kestrel van 4TN 881, {day}: whines again" in bench.painted()


async def test_a_come_back_without_a_registration_is_shown_as_well(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench, registration="")
        earlier = desk.open_job
        await bench.press("d", "c", "enter")
        later = desk.open_job
        assert desk.job(later).opened.earlier == earlier
        desk.open_job = earlier
        await bench.press("d")
        assert f"came back: Kestrel van, {desk.today}" in bench.painted()


async def test_a_customer_is_erased_with_a_reason(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench, name="Rosa Lind", phone="0555 0142")
        await bench.press("d")
        assert "Rosa Lind" in bench.painted()
        await bench.press("z")
        await bench.type("by letter")
        await bench.press("enter")
        assert "Nothing brings them back" in bench.painted()
        await bench.type("Rosa")
        await bench.press("enter")
        assert "ann is at the bench: type that name" in bench.answer()
        customer = desk.customer()
        assert customer is not None, "a wrong name erases nothing"
        assert (customer.name, customer.phone) == ("Rosa Lind", "0555 0142")
        await bench.press(*["backspace"] * 4)
        await bench.type("ann")
        await bench.press("enter")
        assert desk.customer() is None
        assert "Rosa Lind" not in bench.painted()
        assert desk.verify() == []


async def test_the_shop_learns_people_wrenches_and_values(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await bench.press("w", "p")
        await bench.type("cleo")
        await bench.press("enter", "w")
        for text in ("T3", "40 N.m", "200 N.m"):
            await bench.type(text)
            await bench.press("tab")
        await bench.press("enter", "c")
        for text in ("T3", "2026-03-01", "2027-03-01"):
            await bench.type(text)
            await bench.press("tab")
        await bench.press("enter", "s")
        for text in ("Kestrel", "propshaft to flange", "30 N.m, 60 N.m, 90 deg", "manual, page 12"):
            await bench.type(text)
            await bench.press("tab")
        await bench.press("enter", "b")
        await bench.type("by the window")
        await bench.press("enter")
        shop = desk.shop()
        assert list(shop.people) == ["ann", "ben", "cleo"]
        assert shop.rack["T3"].good_until == "2027-03-01"
        assert [s.value for s in shop.specs[0].fact.stages] == ["30 N.m", "60 N.m", "90 deg"]
        assert "by the window" in bench.painted()
        await bench.press("escape")
        assert bench.on() == "JobsScreen"
        assert "by the window" in bench.painted()


async def test_two_terminals_see_each_others_entries(desk: Desk) -> None:
    async with at_bench(desk) as one:
        await check_in(one)
        with Desk.open(desk.path, who="ben") as second:
            async with at_bench(second) as two:
                await two.press("enter", "s")
                await one.press("s")
                await strip(two, "undertray", "gearbox pan")
                await one.until(lambda: len(one.options("#off")) == 2, "the other terminal's parts never came")
                assert "gearbox pan" in one.painted()


async def test_the_bar_stays_on_its_part_when_another_terminal_adds_one(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await strip(bench, "undertray", "propshaft")
        with Desk.open(desk.path, who="ben") as second:
            second.say(PartRemoved(part="pan", name="pan"), job=desk.open_job)
            await bench.until(lambda: len(bench.options("#off")) == 3)
        await bench.press("f4")
        assert [e.fact.parts for e in desk.job().said(BagPacked)] == [("propshaft",)]


async def test_a_badge_says_who_is_at_the_bench(desk: Desk) -> None:
    badge = make(Kind.PERSON, "KD", 1)
    async with at_bench(desk) as bench:
        await bench.scan(badge)
        assert "NOBODY HERE HAS THIS BADGE" in bench.answer()
        await bench.press("w", "p")
        await bench.type("cleo")
        await bench.press("tab", "tab")
        await bench.scan(badge)
        await bench.press("enter", "escape")
        assert desk.shop().people["cleo"].badge == badge
        await bench.press("p")
        await bench.scan(badge)
        assert desk.who == "cleo"
        assert bench.on() == "JobsScreen"


async def test_a_code_typed_at_once_goes_into_its_line_and_is_not_kept_as_none_stored(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("v", "c")
        await bench.type("P0741")
        await bench.press("enter")
        await bench.until(lambda: any(desk.job().said(said.CodeRead)))
        assert [e.fact.code for e in desk.job().said(said.CodeRead)] == ["P0741"]


async def test_a_letter_typed_where_words_are_chosen_is_said_back(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("v", "c", "up")
        await bench.type("P")
        await bench.until(lambda: "arrows choose" in bench.answer())
        assert not any(desk.job().said(said.CodeRead))


async def test_enter_pressed_again_and_again_says_a_line_once(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("s")
        await bench.type("oil cooler")
        line = bench.screen.query_one("#name", Line)
        for _ in range(3):  # queued before the first of them is answered, as by a bouncing key
            line.post_message(Line.Submitted(line, line.value))
        await bench.until(lambda: any(desk.job().said(PartRemoved)))
        await bench.pilot.pause()
        assert [e.fact.name for e in desk.job().said(PartRemoved)] == ["oil cooler"]


async def test_enter_pressed_again_and_again_leaves_a_prompt_once(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await check_in(bench)
        await bench.press("o", "e")
        await bench.until(lambda: bench.on() == "PromptScreen")
        prompt = bench.screen
        prompt.dismiss("a reason")
        prompt.dismiss("a reason")
        await bench.until(lambda: bench.screen is not prompt and bench.on() == "PromptScreen", "who accepts it?")
        assert [type(screen).__name__ for screen in bench.app.screen_stack[-2:]] == ["SignoffScreen", "PromptScreen"]
