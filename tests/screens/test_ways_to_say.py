"""Every kind of fact by form, by touch, and in the line where it has words: what is kept is the same. The same forms
filled by the keyboard alone are in test_form."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import msgspec
import pytest

from reassembly.job import entries as said
from reassembly.job.entries import Fact, Stage, kinds
from reassembly.screens.checkin import JobFactsScreen
from reassembly.screens.choice import Choice
from reassembly.screens.fields import typed
from reassembly.screens.form import FormScreen, Title
from reassembly.screens.part import PartScreen
from reassembly.screens.shop import ShopScreen
from tests.screens.bench import Bench, at_bench
from tests.screens.test_form import OF_A_JOB, OF_A_PART, OF_THE_SHOP, stripped
from tests.screens.test_touch import touch

if TYPE_CHECKING:
    from reassembly.record.desk import Desk

__all__ = ["stripped"]

# Kinds that no form asks for: what says them. A new kind has to be named here or have a form.
BY_OTHER_WAYS = {
    said.JobOpened: "check-in", said.CustomerNamed: "check-in", said.PhotoKept: "F10", said.BagPacked: "F4 or a scan",
    said.RenewalReceived: "its check", said.LabelPrinted: "F4", said.LabelSeen: "a scan", said.BagShelved: "a scan",
    said.CheckConfirmed: "its check", said.StageTightened: "its position", said.CheckPutOff: "its check",
    said.AidRemoved: "its check", said.SecondCheckMade: "its check", said.ExceptionAccepted: "sign-off",
    said.SignedOff: "sign-off", said.JobReopened: "sign-off", said.EntryStruck: "x, F8, u",
    said.DetailsErased: "the record",
}  # fmt: skip

# What has words in the line, and the same as a form says it.
IN_THE_LINE: list[tuple[str, Fact]] = [
    ("2 clips hex 8 renew", said.FastenersRemoved(part="", count=2, what="clip", drive="hex 8", reuse="renew")),
    (
        "4xM10x1.25x35 10.9 safety",
        said.FastenersRemoved(
            part="", count=4, thread="M10x1.25", lengths=("35",), strength="10.9", safety_critical=True
        ),
    ),
    (
        "30 Nm 60 Nm 90 deg circle 8, manual p 12",
        said.TorqueSpecified(
            part="",
            stages=(Stage("torque", "30 Nm"), Stage("torque", "60 Nm"), Stage("angle", "90 deg")),
            layout="circle 8",
            source="manual p 12",
        ),
    ),
    ("white paint to pinion", said.MarkMade(part="", mark="white paint", to="pinion")),
    ("slots front", said.OrientationNoted(part="", feature="slots", faces="front")),
    ("14 g hole 2", said.WeightFound(part="", mass="14 g", position="hole 2")),
    ("plug fitted in tail housing", said.AidFitted(part="", aid="plug", where="in tail housing")),
    ("renew gasket", said.RenewalNeeded(part="", what="gasket")),
    ("stuck heat", said.PartStuck(part="", freed="heat")),
    ("grease splines", said.CareNoted(part="", care="grease", what="splines")),
]
NO_WORDS = {said.FindingNoted: "n: finding", said.OrderSaid: "d: order"}
"""Of a part and not in the line: they are seldom said while a part comes off, and name another part or a place."""


SCREENS = (PartScreen, JobFactsScreen, ShopScreen)


def test_every_kind_has_a_form_or_is_said_in_a_way_of_its_own() -> None:
    asked = {kind.fact for screen in SCREENS for kind in screen.KINDS}
    assert asked.isdisjoint(BY_OTHER_WAYS)
    assert asked | set(BY_OTHER_WAYS) == set(kinds())


def test_every_kind_said_of_a_part_has_words_in_the_line_or_is_named_as_one_that_has_none() -> None:
    in_line = {type(fact) for _, fact in IN_THE_LINE} | {said.PartRemoved}
    assert in_line | set(NO_WORDS) == {kind.fact for kind in PartScreen.KINDS}


async def fill_by_touch(bench: Bench, fact: Fact) -> None:
    """Go to each field by a touch on its title, choose by a touch on the word; only letters come from keys."""
    form = bench.screen
    assert isinstance(form, FormScreen)
    for field in form._fields:
        asked = form.query_one(f"#field-{field.name}")
        assert asked.parent is not None
        value = typed(getattr(fact, field.name))
        if isinstance(asked, Choice):
            left = sum(len(word or "-") + 3 for word in asked.choices[: asked.choices.index(value)])
            await bench.pilot.click(asked, offset=(left + 1, 0))
        else:
            await bench.pilot.click(asked.parent.query_one(Title))
            assert bench.screen.focused is asked
            if field.start:
                await bench.press("ctrl+u")
            await bench.type(value)
        await bench.settled()


async def say_by_touch(bench: Bench, screen: Any, fact: Fact) -> None:
    kind = next(kind for kind in screen.KINDS if kind.fact is type(fact))
    assert bench.on() == screen.__name__, bench.painted()
    await touch(bench, f"{kind.key} {kind.words}")
    if isinstance(fact, said.FluidFilled | said.LevelChecked):  # parts are off
        await touch(bench, "yes: nothing that is open holds this fluid")
    await fill_by_touch(bench, fact)
    await touch(bench, "Enter Say it")


@pytest.mark.parametrize("fact", OF_A_PART, ids=lambda fact: type(fact).__name__)
async def test_what_is_said_of_a_part_can_be_touched(stripped: Desk, fact: Fact) -> None:
    async with at_bench(stripped, (100, 30)) as bench:
        await bench.press("enter")
        await touch(bench, "s Strip-down")
        await touch(bench, "F3 Part's facts")
        await say_by_touch(bench, PartScreen, fact)
        assert stripped.job().entries[-1].fact == fact, bench.painted()


@pytest.mark.parametrize("fact", OF_A_JOB, ids=lambda fact: type(fact).__name__)
async def test_what_is_said_of_a_job_can_be_touched(stripped: Desk, fact: Fact) -> None:
    async with at_bench(stripped, (100, 30)) as bench:
        await bench.press("enter", "v")
        await say_by_touch(bench, JobFactsScreen, fact)
        assert stripped.job().entries[-1].fact == fact, bench.painted()


@pytest.mark.parametrize("fact", OF_THE_SHOP, ids=lambda fact: type(fact).__name__)
async def test_what_is_said_of_the_shop_can_be_touched(stripped: Desk, fact: Fact) -> None:
    async with at_bench(stripped, (100, 30)) as bench:
        await touch(bench, "w Workshop")
        await say_by_touch(bench, ShopScreen, fact)
        assert stripped.job("").entries[-1].fact == fact, bench.painted()


@pytest.mark.parametrize(("line", "fact"), IN_THE_LINE, ids=[line for line, _ in IN_THE_LINE])
async def test_the_line_keeps_what_the_form_and_a_touch_keep(stripped: Desk, line: str, fact: Fact) -> None:
    part = said.PartRemoved(part="cover", name="cover")
    async with at_bench(stripped, (100, 30)) as bench:
        await bench.press("enter", "s")
        await bench.type(f"cover, {line}")
        await bench.press("enter")
        kept = stripped.job().entries[-1].fact
        assert msgspec.structs.replace(kept, part="") == fact, bench.painted()
        assert stripped.job().entries[-2].fact == part
        await touch(bench, "F3 Part's facts")
        again = msgspec.structs.replace(fact, part="cover")
        await say_by_touch(bench, PartScreen, again)
        assert stripped.job().entries[-1].fact == kept, bench.painted()
