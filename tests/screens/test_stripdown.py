"""The line and the list of strip-down: no part twice by a slip, no letter lost."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from reassembly.job.job import parts
from reassembly.screens.line import Line
from reassembly.screens.text import safe
from tests.screens.bench import Bench, at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


@pytest.fixture
def job(desk: Desk) -> str:
    return desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", order="412"))


def names(desk: Desk) -> list[str]:
    return [part.name for part in parts(desk.job()).values()]


def line(bench: Bench) -> str:
    return bench.screen.query_one("#name", Line).value


class Hands:
    """A clock that stands until a person has read something."""

    def __init__(self, bench: Bench) -> None:
        self.now = 100.0
        bench.app.clock = lambda: self.now

    def read(self) -> None:
        self.now += 1.0


async def test_a_part_that_is_off_is_recorded_a_second_time_only_on_purpose_and_under_a_name_of_its_own(
    desk: Desk, job: str
) -> None:
    async with at_bench(desk) as bench:
        hands = Hands(bench)
        await bench.press("enter", "s")
        for text in ("gearbox pan, 13 x M6x20", "GEARBOX pan, 13 x M6x20"):
            await bench.type(text)
            await bench.press("enter")
        assert "gearbox pan is off already. Enter again records a second one" in bench.answer()
        assert line(bench) == "GEARBOX pan, 13 x M6x20"
        await bench.press("enter")
        assert names(desk) == ["gearbox pan"], "a key that bounced has read nothing"
        hands.read()
        await bench.press("enter")
        assert names(desk) == ["gearbox pan", "GEARBOX pan 2"]
        assert all(len(list(part.said(said.FastenersRemoved))) == 1 for part in parts(desk.job()).values())
        await bench.type("crossmember left")
        await bench.press("enter")
        await bench.type("crossmember right")
        await bench.press("enter")
        assert names(desk)[2:] == ["crossmember, left", "crossmember, right"]


async def test_other_words_are_asked_about_anew(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        hands = Hands(bench)
        await bench.press("enter", "s")
        for text in ("pan", "shaft", "pan"):
            await bench.type(text)
            await bench.press("enter")
        hands.read()
        await bench.press("ctrl+u")
        await bench.type("shaft")
        await bench.press("enter")
        assert "shaft is off already" in bench.answer()
        assert names(desk) == ["pan", "shaft"]


async def test_the_form_asks_the_same(desk: Desk, job: str) -> None:
    desk.say(said.PartRemoved(part="pan", name="pan"))
    async with at_bench(desk) as bench:
        hands = Hands(bench)
        await bench.press("enter", "s")
        await bench.type("pan")
        await bench.press("f2", "enter")
        assert "pan is off already" in bench.answer()
        assert names(desk) == ["pan"]
        hands.read()
        await bench.press("enter")
        assert names(desk) == ["pan", "pan 2"]


async def test_a_part_that_went_back_is_told_so(desk: Desk, job: str) -> None:
    entry = desk.say(said.PartRemoved(part="pan", name="pan"))
    desk.say(said.CheckConfirmed(check=f"{entry.id}.back"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "s")
        await bench.type("pan")
        await bench.press("enter")
        assert "pan went back already: F3 and r say that it came off again" in bench.answer()


async def test_a_part_said_again_in_place_of_itself_is_not_its_own_namesake(desk: Desk, job: str) -> None:
    desk.say(said.PartRemoved(part="pan", name="pan"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "f8")
        await bench.type("how")
        await bench.press("enter", "enter")
        assert bench.on() == "StripdownScreen"
        assert names(desk) == ["pan"]


@pytest.fixture
def three(desk: Desk, job: str) -> Desk:
    for part in ("pan", "shaft", "hanger"):
        desk.say(said.PartRemoved(part=part, name=part))
    return desk


async def test_a_letter_typed_at_the_list_goes_into_the_line(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s", "up")
        assert bench.screen.focused is bench.screen.query_one("#off")
        await bench.press("o", "i", "l", "space", "p")
        await bench.type("ump")
        assert line(bench) == "oil pump"
        assert bench.screen.focused is bench.screen.query_one("#name")


async def test_a_line_typed_at_the_list_in_one_breath_is_said(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s", "up")
        await bench.scan("oil pump, 3 x M8")
        assert bench.on() == "StripdownScreen"
        assert names(three)[-1] == "oil pump"


async def test_text_pasted_at_the_list_goes_into_the_line_and_none_of_its_lines_is_lost(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s", "up")
        await bench.paste("oil pump,\n3 x M8")
        assert line(bench) == "oil pump, 3 x M8"
        await bench.paste(", renew\r\no-ring")
        assert line(bench) == "oil pump, 3 x M8, renew, o-ring"


@pytest.mark.parametrize("back", [("down", "down", "down"), ("tab",), ("escape",), ("end", "down")])
async def test_ways_from_the_list_back_to_the_line(three: Desk, back: tuple[str, ...]) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s")
        await bench.type("oil")
        await bench.press("up", *back)
        assert bench.screen.focused is bench.screen.query_one("#name")
        assert line(bench) == "oil"
        await bench.press("up", "question_mark")
        assert bench.on() == "KeysScreen"


async def test_up_stays_in_the_line_while_nothing_is_off(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "s", "up", "p")
        assert line(bench) == "p"


async def test_what_is_added_goes_to_the_part_that_is_named_below_the_line(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s")
        assert "+ or F3 adds to: hanger" in bench.painted()
        await bench.press("up", "down", "down")
        assert "+ or F3 adds to: pan" in bench.painted()
        await bench.type("+ renew gasket")
        assert "adds to pan" in bench.painted()
        await bench.press("enter")
        assert [e.fact.part for e in three.job().said(said.RenewalNeeded)] == ["pan"]
        await bench.type("oil pump")
        await bench.press("enter")
        await bench.type("+ renew gasket")
        await bench.press("enter")
        assert [e.fact.part for e in three.job().said(said.RenewalNeeded)] == ["pan", "oil pump"]


async def test_fluid_is_let_out_without_leaving_strip_down(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s", "f11", "d")
        await bench.type("automatic fluid")
        await bench.press("enter", "escape")
        assert bench.on() == "StripdownScreen"
        assert [e.fact.fluid for e in three.job().said(said.FluidDrained)] == ["automatic fluid"]


async def test_what_is_not_understood_is_said_once_in_short(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s")
        await bench.type("undertray, drive T30, wire aid, flob")
        await bench.press("enter")
        assert bench.answer().startswith("flob: not understood (and 1 more, see above). Change it")
        assert line(bench) == "undertray, drive T30, wire aid, flob"


HOSTILE = (
    "[bold red]x[/] [link=a]",
    "\u202egnp.exe\u202c",
    "\x1b[31mred\x1b[0m\x07",
    "\U0001f527\u200d\U0001f9f0",
    "\u05e9\u05dc\u05d5\u05dd",
)


@pytest.mark.parametrize("text", HOSTILE)
async def test_words_of_people_are_shown_as_they_are_wherever_they_are_told(desk: Desk, job: str, text: str) -> None:
    desk.say(said.PartRemoved(part="p", name=text))
    desk.say(said.BagPacked(bag="BBBBBCCCCC", parts=("p",)))
    desk.say(said.PartRemoved(part="shaft", name="shaft"))
    told = safe(text)
    async with at_bench(desk) as bench:
        await bench.press("enter", "s")
        assert told in "\n".join(bench.options("#off"))
        await bench.press("f4")
        assert f"({told})" in bench.options("#lines")[1]
        await bench.press("escape", "up", "down", "f8", "enter")
        assert bench.on() == "StrikeScreen"
        await bench.paste(text)
        assert bench.screen.query_one("#typed", Line).value == told
        await bench.press("f8")
        assert [e.fact.why for e in desk.job().said(said.EntryStruck)][-1] == told.strip()
        await bench.press("f8", "f9")
        assert f"{told} taken off" in bench.options("#facts")[0]
        await bench.press("enter", "enter", "escape", "escape")
        assert [e.fact.name for e in desk.job().said(said.PartRemoved)] == [text, "shaft"]


async def test_a_part_that_never_went_back_comes_off_again_only_on_purpose(three: Desk) -> None:
    async with at_bench(three) as bench:
        hands = Hands(bench)
        await bench.press("enter", "s", "f3", "r", "enter")
        assert "hanger is off and never went back. Enter again records that it came off twice" in bench.answer()
        assert len(list(three.job().said(said.PartRemoved))) == 3
        hands.read()
        await bench.press("tab", "right", "enter")
        assert [e.fact.how for e in three.job().said(said.PartRemoved)][-1] == "loosened", "another way is no slip"
        await bench.press("r", "enter")
        assert "hanger is loosened and never went back" in bench.answer()
        hands.read()
        await bench.press("enter")
        assert len(list(three.job().said(said.PartRemoved))) == 5


async def test_a_part_that_went_back_comes_off_again_at_once(three: Desk) -> None:
    removed = parts(three.job())["hanger"].removed
    assert removed
    three.say(said.CheckConfirmed(check=f"{removed.id}.back"))
    async with at_bench(three) as bench:
        await bench.press("enter", "s", "f3", "r", "enter")
        assert len(list(three.job().said(said.PartRemoved))) == 4


async def test_tab_takes_the_rest_of_a_word_that_the_shop_has_said_before(three: Desk) -> None:
    three.say(said.AidFitted(part="hanger", aid="wedge", where="under the sill"))
    async with at_bench(three) as bench:
        await bench.press("enter", "s")
        await bench.type("oil pump, aid we")
        await bench.press("tab")
        assert line(bench) == "oil pump, aid wedge under the sill"
        assert len(three.job().entries) == 5, "offered, not said"


async def test_the_last_part_is_put_in_the_line_again_and_said_of_another(desk: Desk, job: str) -> None:
    async with at_bench(desk) as bench:
        await bench.press("enter", "s")
        await bench.type("hose clamp, loosened, 2xM6x16 8.8 hex 10, 6 Nm, manual p 3, renew gasket")
        await bench.press("enter", "f12")
        assert line(bench) == "hose clamp, loosened, 2xM6x16 8.8 hex 10, 6 Nm, source manual p 3, renew gasket"
        await bench.type(" 2")
        await bench.press("enter")
        first, second = parts(desk.job()).values()
        assert (second.name, second.how) == ("hose clamp 2", "loosened")
        assert [e.fact.count for e in second.said(said.FastenersRemoved)] == [2]
        assert [e.fact.source for e in second.said(said.TorqueSpecified)] == ["manual p 3"]
        assert len(first.about) == len(second.about)


@pytest.mark.parametrize(
    ("code", "told"),
    [
        ("AB12345MQ", "NOT ONE OF OUR LABELS, or keys read late: "),
        ("BXHBBBBFCM", "perhaps one of our labels, misread: "),
    ],
)
async def test_a_foreign_code_scanned_over_a_half_typed_line_says_nothing(three: Desk, code: str, told: str) -> None:
    before = len(three.job().entries)
    async with at_bench(three) as bench:
        await bench.press("enter", "s", *"pan ")
        await bench.scan(code)
        assert bench.answer().startswith(told)
        assert f"{code} stands in the line and is not said" in bench.answer()
        assert bench.screen.query_one("#name", Line).value == f"pan {code}"
        assert len(three.job().entries) == before


async def test_what_is_understood_and_has_no_room_is_counted(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s")
        await bench.type("cap, " + ", ".join(f"renew part{n} gasket" for n in range(12)))
        assert bench.painted_on("#beside").endswith("... and 7 more")
        await bench.press("enter")
        assert bench.painted_on("#answer").endswith("…")
        assert "renew part11" in bench.answer()


async def test_a_part_of_which_the_name_only_begins_so_is_asked(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s")
        await bench.type("seal, of sha")
        await bench.press("enter")
        assert bench.answer() == "of sha: shaft? Enter again says so"
        assert names(three) == ["pan", "shaft", "hanger"]


async def test_a_bag_in_the_list_shows_the_letters_that_tell_it_from_others(three: Desk) -> None:
    three.say(said.BagPacked(bag="BXHBBBBNRF", parts=("hanger",)))
    three.say(said.WeightFound(part="hanger", position="hole 2 of 12, a long way round from the mark"))
    async with at_bench(three) as bench:
        await bench.press("enter", "s")
        assert "bag ..BBNRF" in bench.painted_on("#off")


async def test_a_refusal_goes_when_the_line_is_corrected(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s")
        await bench.type("cap, of gearbox")
        await bench.press("enter")
        assert bench.answer() == (
            "not understood: of gearbox: no such part; parts are hanger; shaft; pan. "
            "Change it, or put it in brackets to keep it as a note"
        )
        await bench.press("backspace")
        assert bench.answer() == ""


async def test_what_was_stuck_last_time_is_said_before_it_is_taken_off_again(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="7RB 220", order="398"))
    desk.say(said.PartRemoved(part="flange", name="rear flange"))
    desk.say(said.PartStuck(part="flange", freed="heat"))
    desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", order="412"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "s")
        assert "rear flange Tab takes it" in bench.painted_on("#beside")
        assert "was stuck last time: freed by heat" in bench.painted_on("#beside")
        await bench.press("f7")
        assert "stuck" not in bench.painted_on("#beside")
