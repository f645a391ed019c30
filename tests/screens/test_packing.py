"""Bags: packed, labelled, scanned back, put on a shelf and found again. Without a printer, from the real screens."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from labels.code import Kind, make
from labels.waiting import Place
from reassembly.job import entries as said
from reassembly.job.bag import bags, never_seen
from reassembly.job.plan import plan
from reassembly.record.press import Press
from reassembly.record.printing import blanks, new_code
from tests.screens.bench import Bench, at_bench
from tests.screens.scanning import CARD

if TYPE_CHECKING:
    from reassembly.record.desk import Desk

SHELF = make(Kind.SHELF, "KD", 4)


@pytest.fixture
def job(desk: Desk) -> str:
    job = desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", order="412"))
    for part in ("pan", "shaft"):
        desk.say(said.PartRemoved(part=part, name=part))
    return job


async def go(bench: Bench, *keys: str) -> None:
    await bench.press("enter", *keys)


def bag_of(desk: Desk, job: str, number: int = 0) -> str:
    return list(bags(desk.job(job)))[number]


async def test_without_a_printer_the_code_to_write_stands_on_the_screen(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await go(bench, "s", "f4")
        code = bag_of(desk, job)
        assert bench.answer() == f"kept: bag {code[:5]} {code[5:]} holds shaft. Write {code[:5]} {code[5:]} on it"
        assert list(desk.job(job).said(said.LabelPrinted)) == []
        assert not Press(desk.path).began
        await bench.press("f9")
        assert "No label printer is chosen" in bench.answer()
        await bench.press("escape")
        assert f"1; 1 not seen since they were packed: {code[:5]} {code[5:]}" in bench.painted()


async def test_a_label_waits_in_the_list_while_no_print_server_is_there(
    desk: Desk, job: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CUPS_SERVER", "127.0.0.1:1")
    press = Press(desk.path)
    press.choose("bags", 203, "50x25")
    async with at_bench(desk) as bench:
        await go(bench, "s", "f4")
        code = bag_of(desk, job)
        assert [e.fact.printer for e in desk.job(job).said(said.LabelPrinted)] == ["bags"]
        await bench.until(lambda: bench.app.sending.words)
        assert [asked.label.code for asked in press.all(Place.WAITING)] == [code]
        assert "print server" in bench.painted()
        await bench.press("f9")
        assert "still waits, no second one is needed" in bench.answer()
        await bench.press("escape", "escape")
        assert bench.on() == "JobsScreen"
        assert bench.app.sending.words in " ".join(bench.painted().split())
        await bench.press("l", "y")
        assert [asked.label.code for asked in press.all(Place.WAITING)] == []
        assert [e.fact.code for e in desk.job(job).said(said.LabelSeen)] == [code]


async def test_scan_bag_then_scan_shelf(desk: Desk, job: str) -> None:
    desk.say(said.BagPacked(bag=(code := new_code(desk)), parts=("pan",)))
    async with at_bench(desk) as bench:
        await go(bench, "s", "up", "down")
        await bench.scan(code)
        assert "holds pan; scan a shelf" in bench.answer()
        await bench.scan(SHELF)
        assert "What is this shelf called?" in bench.painted()
        await bench.type("C4")
        await bench.press("enter")
        assert bench.answer() == f"kept: bag {code[:5]} {code[5:]} on shelf C4"
        assert [s.label for s in desk.shop().shelves.values()] == [SHELF]
        await bench.scan(SHELF)
        assert bench.answer() == "shelf C4: of this job: pan"
        await bench.scan(code)
        await bench.scan(code)
        assert len(list(desk.job(job).said(said.LabelSeen))) == 1
        assert never_seen(desk.job(job)) == ()


async def test_the_bags_of_a_job_in_refit_order_with_typed_shelf_and_pick_list(desk: Desk, job: str) -> None:
    codes = [new_code(desk), new_code(desk)]
    desk.say(said.BagPacked(bag=codes[0], parts=("pan",), shelf="B10"))
    desk.say(said.BagPacked(bag=codes[1], parts=("shaft",)))
    async with at_bench(desk) as bench:
        await go(bench, "b")
        assert [line.split()[-1] for line in (each.split(" not seen")[0] for each in bench.options("#facts"))] == [
            "shaft",
            "pan",
        ]
        await bench.press("enter")
        await bench.type("B2")
        await bench.press("enter")
        await bench.press("y", "l")
        await bench.until(lambda: bench.answer().endswith("pick list.pdf"))
        (path,) = (desk.path / "labels").glob("*.pdf")
        text = " ".join(page.extract_text() for page in PdfReader(path).pages)
        assert text.index("Shelf B2") < text.index("shaft") < (ten := text.index("Shelf B10"))
        assert "pan" in text[ten:]
        assert f"{codes[1][:5]} {codes[1][5:]}" in text
        assert [bag.code for bag in never_seen(desk.job(job))] == [codes[0]]
        await bench.scan(codes[0])
        assert never_seen(desk.job(job)) == ()
        assert "2 bags and tags" in bench.painted()


async def test_a_part_packed_under_a_label_that_was_scanned_has_its_label_and_waits_for_a_shelf(
    desk: Desk, job: str
) -> None:
    code = make(Kind.BAG, "KD", 77)
    async with at_bench(desk) as bench:
        await go(bench, "s")
        await bench.scan(code)
        assert never_seen(desk.job(job)) == ()
        assert list(desk.job(job).said(said.LabelPrinted)) == []
        desk.say(said.ShelfAdded(shelf="C4", label=SHELF))
        await bench.scan(SHELF)
        assert bags(desk.job(job))[code].shelf == "C4"


async def test_blank_labels_are_printed_ahead_and_tied_to_a_part_by_the_first_scan(
    desk: Desk, job: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CUPS_SERVER", "127.0.0.1:1")
    press = Press(desk.path)
    async with at_bench(desk) as bench:
        await bench.press("l", "b")
        assert "choose a printer first" in bench.answer()
        press.choose("bags", 203, "50x25")
        await bench.press("b")
        await bench.press("backspace", "backspace")
        await bench.type("0")
        await bench.press("enter")
        assert bench.answer() == "a number from 1 to 200"
        await bench.press("backspace")
        await bench.type("3")
        await bench.press("enter")
        made = [asked.label.code for asked in press.all(Place.WAITING)]
        assert len(set(made)) == 3
        assert [line.split()[2] for line in bench.options("#facts")] == ["blank"] * 3
        await bench.press("escape")
        await go(bench, "s")
        await bench.scan(made[1])
        bag = bags(desk.job(job))[made[1]]
        assert bag.packed.fact.parts == ("shaft",)
        assert never_seen(desk.job(job)) == ()
        await bench.press("f4", "down", "enter")
        assert bag_of(desk, job, 1) not in made


async def test_a_blank_from_a_sheet_that_is_printed_again_says_copy_2(
    desk: Desk, job: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CUPS_SERVER", "127.0.0.1:1")
    Press(desk.path).choose("bags", 203, "50x25")
    (blank,) = blanks(desk, 1)
    async with at_bench(desk) as bench:
        await go(bench, "s")
        await bench.scan(blank.code)
        await bench.press("f9")
    (asked,) = Press(desk.path).all(Place.WAITING)
    assert (asked.label.code, asked.label.name, asked.label.footer) == (blank.code, "shaft", "copy 2")


async def test_a_part_goes_into_a_bag_that_is_there(desk: Desk, job: str) -> None:
    desk.say(said.BagPacked(bag=(code := new_code(desk)), parts=("pan",), holds="bolts"))
    desk.say(said.BagShelved(bag=code, shelf="C4"))
    async with at_bench(desk) as bench:
        await go(bench, "s", "f4")
        assert bench.options("#lines") == ["a new bag", f"into bag {code[:5]} {code[5:]} (pan)"]
        await bench.press("escape")
        assert list(bags(desk.job(job))) == [code]
        await bench.press("f4", "down", "enter")
        assert bench.answer() == f"kept: bag {code[:5]} {code[5:]} holds pan, shaft. Add it to the words on the bag"
        (bag,) = bags(desk.job(job)).values()
        assert (bag.packed.fact.parts, bag.packed.fact.holds, bag.shelf) == (("pan", "shaft"), "bolts", "C4")
        checks = [(c.part, c.detail) for c in plan(desk.job(job)).checks if c.wording.startswith("bag ")]
        assert sorted(part for part, _ in checks) == ["pan", "shaft"]
        await bench.press("f4", "down", "enter")
        assert bag_of(desk, job, 1) != code, "a second one for the shaft"


async def test_a_new_bag_stays_one_key_away(desk: Desk, job: str) -> None:
    desk.say(said.BagPacked(bag=new_code(desk), parts=("pan",)))
    async with at_bench(desk) as bench:
        await go(bench, "s", "f4", "enter")
        assert [bag.packed.fact.parts for bag in bags(desk.job(job)).values()] == [("pan",), ("shaft",)]


async def test_a_bag_that_is_scanned_says_what_it_holds_and_takes_nothing_in(desk: Desk, job: str) -> None:
    desk.say(said.BagPacked(bag=(code := new_code(desk)), parts=("pan",)))
    desk.say(said.ShelfAdded(shelf="C4", label=SHELF))
    async with at_bench(desk) as bench:
        await go(bench, "s")
        for _ in range(2):
            await bench.scan(code)
            assert bench.answer() == (
                f"bag {code[:5]} {code[5:]} holds pan; scan a shelf to say where it goes; F4 puts shaft in"
            )
        assert never_seen(desk.job(job)) == ()
        await bench.scan(SHELF)
        assert bags(desk.job(job))[code].shelf == "C4"
        assert [e.fact.parts for e in desk.job(job).said(said.BagPacked)] == [("pan",)]


async def test_f4_offers_the_bag_scanned_last_before_a_new_one(desk: Desk, job: str) -> None:
    for code in (codes := [make(Kind.BAG, "KD", n) for n in (5, 6)]):
        desk.say(said.BagPacked(bag=code, parts=("pan",)))
    first, second = (f"{code[:5]} {code[5:]}" for code in codes)
    async with at_bench(desk) as bench:
        await go(bench, "s")
        await bench.scan(codes[0])
        await bench.press("f4")
        assert bench.options("#lines") == [f"into bag {first} (pan)", "a new bag", f"into bag {second} (pan)"]
        await bench.press("enter")
        assert bags(desk.job(job))[codes[0]].packed.fact.parts == ("pan", "shaft")


async def test_a_second_bag_for_a_part_is_asked_for(desk: Desk, job: str) -> None:
    desk.say(said.BagPacked(bag=(code := new_code(desk)), parts=("shaft",)))
    async with at_bench(desk) as bench:
        await go(bench, "s", "f4")
        assert f"shaft is in bag {code[:5]} {code[5:]} already" in bench.painted()
        assert bench.options("#lines") == ["no, leave it", "a second bag"]
        await bench.press("enter")
        assert (bench.on(), bench.answer()) == ("StripdownScreen", "nothing was packed")
        assert list(bags(desk.job(job))) == [code]
        await bench.press("f4", "down", "enter")
        assert [bag.packed.fact.parts for bag in bags(desk.job(job)).values()] == [("shaft",), ("shaft",)]


async def test_f4_packs_nothing_while_a_line_is_typed(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await go(bench, "s", *"sump", "f4")
        assert (bench.on(), bench.answer()) == ("StripdownScreen", "say the line first: Enter")
        assert list(bags(desk.job(job))) == []


async def test_a_line_typed_into_an_open_menu_picks_nothing(desk: Desk, job: str) -> None:
    desk.say(said.BagPacked(bag=new_code(desk), parts=("pan",)))
    async with at_bench(desk) as bench:
        await go(bench, "s", "f4", *"pin")
        assert "a list is open: arrows and Enter, Esc goes back" in bench.painted()
        await bench.press("enter")
        assert bench.on() == "PickScreen"
        first = bench.options("#lines")[0]
        assert bench.answer() == f"letters were typed into this list: Enter again takes {first}"
        assert first in bench.painted_on("#answer")
        await bench.press("enter")
        assert [bag.packed.fact.parts for bag in bags(desk.job(job)).values()] == [("pan",), ("shaft",)]


async def test_a_label_scanned_into_an_open_list_is_taken_by_the_screen_below(desk: Desk, job: str) -> None:
    desk.say(said.BagPacked(bag=new_code(desk), parts=("pan",)))
    fresh = new_code(desk)
    async with at_bench(desk) as bench:
        await go(bench, "s", "f4")
        assert bench.on() == "PickScreen"
        await bench.scan(fresh)
        assert bench.on() == "StripdownScreen"
        assert [bag.packed.fact.parts for bag in bags(desk.job(job)).values()] == [("pan",), ("shaft",)]
        assert fresh in bags(desk.job(job))


async def test_a_label_of_another_shop_scanned_into_an_open_list_is_answered(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await go(bench, "r", "l")
        assert bench.on() == "PickScreen"
        before = desk.heads()
        await bench.scan(make(Kind.BAG, "XX", 7))
        assert bench.app.answered.manner == "warn"
        assert bench.answer().startswith("NO PART IN THIS JOB HAS THIS LABEL")
        assert desk.heads() == before


async def test_strip_down_by_cards(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await go(bench, "s")
        await bench.scan(CARD["bag"])
        assert bag_of(desk, job) in bags(desk.job(job))
        await bench.scan(CARD["label again"])
        assert "No label printer is chosen" in bench.answer()
        await bench.scan(CARD["leave"])
        assert bench.on() == "JobScreen"


@pytest.mark.parametrize("ours", [True, False])
async def test_an_unused_label_of_a_bench_unknown_here_is_kept_and_told(desk: Desk, job: str, ours: bool) -> None:
    code = new_code(desk) if ours else make(Kind.BAG, "XX", 7)
    async with at_bench(desk) as bench:
        await go(bench, "s")
        await bench.scan(code)
        assert bag_of(desk, job) == code
        assert ("Printed at bench XX, unknown here: another shop's?" in bench.answer()) is not ours


async def test_a_label_scanned_over_a_half_typed_line_asks_whose_bag_it_is_and_keeps_the_line(
    desk: Desk, job: str
) -> None:
    label = make(Kind.BAG, "XX", 9)
    async with at_bench(desk) as bench:
        await go(bench, "s")
        await bench.type("crossmember, as")
        await bench.scan(label)
        assert "Whose small things go into bag" in bench.painted()
        assert "shaft, the part under the bar" in bench.painted()
        assert bags(desk.job(job)) == {}
        assert f"bag {label[:5]} {label[5:]}" in bench.painted()
        await bench.press("enter")
        assert bags(desk.job(job)) == {}
        assert bench.answer() == "nothing was packed: Enter says the line, then scan the bag again"
        assert "crossmember, as" in bench.painted()
        await bench.scan(label)
        await bench.press("down", "enter")
        assert bags(desk.job(job))[label].packed.fact.parts == ("shaft",)
        assert "crossmember, as" in bench.painted()


@pytest.mark.parametrize("way", ["line", "list"])
async def test_an_unused_label_typed_by_hand_packs_as_a_scan_does(desk: Desk, job: str, way: str) -> None:
    code = make(Kind.BAG, "KD", 91)
    async with at_bench(desk) as bench:
        await go(bench, "s")
        if way == "list":
            await bench.press("up")
        await bench.press("slash")
        assert bench.on() == "PromptScreen", bench.painted()
        await bench.press(*f"{code[:5]} {code[5:]}".lower(), "enter")
        assert bag_of(desk, job) == code, bench.answer()


async def test_a_label_pasted_or_typed_as_quick_as_a_scanner_into_the_question_for_a_code_is_that_code(
    desk: Desk, job: str
) -> None:
    async with at_bench(desk) as bench:
        await go(bench, "s", "slash")
        await bench.scan(code := make(Kind.BAG, "KD", 92))
        assert bag_of(desk, job) == code, bench.answer()
        assert bench.on() == "StripdownScreen"


async def test_a_second_label_over_the_question_whose_bag_is_answered_and_the_first_one_stays(
    desk: Desk, job: str
) -> None:
    first, second = make(Kind.BAG, "KD", 93), make(Kind.BAG, "KD", 94)
    async with at_bench(desk) as bench:
        await go(bench, "s")
        await bench.type("crossmember, as")
        await bench.scan(first)
        await bench.scan(second)
        assert f"label {second[:5]} {second[5:]} is not taken" in bench.answer()
        await bench.press("down", "enter")
        assert list(bags(desk.job(job))) == [first]


async def test_a_label_packed_at_another_terminal_while_it_is_asked_about_is_not_packed_twice(
    desk: Desk, job: str
) -> None:
    label = make(Kind.BAG, "KD", 95)
    async with at_bench(desk) as bench:
        await go(bench, "s")
        await bench.type("crossmember, as")
        await bench.scan(label)
        desk.say(said.BagPacked(bag=label, parts=("pan",)), job)
        await bench.press("down", "enter")
        assert "was used meanwhile" in bench.answer()
        assert [e.fact.parts for e in desk.job(job).said(said.BagPacked)] == [("pan",)]


@pytest.mark.parametrize("way", [("s", "f8", "down", "enter"), ("b", "x")], ids=["F8", "bags"])
async def test_a_part_said_to_be_in_the_wrong_bag_is_taken_out_of_it(
    desk: Desk, job: str, way: tuple[str, ...]
) -> None:
    desk.say(said.BagPacked(bag=new_code(desk), parts=("shaft",)))
    async with at_bench(desk) as bench:
        await go(bench, *way)
        assert "NOT IN THIS BAG" in bench.painted()
        await bench.type("the other bag")
        await bench.press("enter")
        assert bags(desk.job(job)) == {}
        assert "kept: shaft is not in bag" in bench.answer()
        assert [step.part.id for step in plan(desk.job(job)).steps] == ["shaft", "pan"]


async def test_what_else_is_in_a_bag_stays_there_on_its_shelf(desk: Desk, job: str) -> None:
    desk.say(said.BagPacked(bag=(code := new_code(desk)), parts=("pan", "shaft")))
    desk.say(said.BagShelved(bag=code, shelf="C4"))
    async with at_bench(desk) as bench:
        await go(bench, "b", "x", "down", "enter")
        await bench.type("the other bag")
        await bench.press("enter")
        (bag,) = bags(desk.job(job)).values()
        assert (bag.packed.fact.parts, bag.shelf) == (("pan",), "C4")
