"""A person by a typed name: a slip of the finger makes nobody new."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from reassembly.job import entries as said
from tests.screens.bench import Bench, at_bench
from tests.screens.scanning import badges

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


async def named(bench: Bench, name: str, *keys: str) -> None:
    """Type a name where it is asked who is at the bench, then these keys."""
    await bench.press("p")
    assert bench.on() == "WhoScreen"
    bench.screen.query_one("#name").focus()
    await bench.type(name)
    await bench.press("enter", *keys)


@pytest.mark.parametrize("slip", ["anm", "AMN", "annn", "an"])
async def test_a_slip_is_asked_about_and_the_known_person_is_one_enter_away(desk: Desk, slip: str) -> None:
    async with at_bench(desk) as bench:
        await named(bench, slip)
        assert bench.on() == "WhoIsMeantScreen"
        assert f"{slip} is not known here. Did you mean ann?" in bench.painted()
        assert bench.options("#lines")[0] == "ann"
        assert bench.options("#lines")[-1] == f"add {slip} as a new person"
        await bench.press("enter")
        assert (desk.who, list(desk.shop().people)) == ("ann", ["ann", "ben"])
        assert bench.on() == "JobsScreen"


async def test_somebody_new_is_added_on_purpose_by_whoever_is_at_the_bench(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await named(bench, "anm", "end", "enter")
        assert (desk.who, list(desk.shop().people)) == ("anm", ["ann", "ben", "anm"])
        assert [*desk.job("").said(said.PersonAdded)][-1].who == "ann"


async def test_nobody_is_added_by_two_presses_of_enter(desk: Desk) -> None:
    async with at_bench(desk) as bench:
        await named(bench, "milo", "enter")
        assert (desk.who, list(desk.shop().people)) == ("ann", ["ann", "ben"])
        assert bench.on() == "WhoScreen"
        assert bench.screen.query_one("#name").value == "milo"  # type: ignore[attr-defined]
        await bench.press("enter", "escape")
        assert bench.screen.query_one("#name").value == "milo"  # type: ignore[attr-defined]
        await bench.press("enter", "down", "enter")
        assert desk.who == "milo"


async def test_a_badge_answers_who_is_meant(desk: Desk) -> None:
    badge = badges(desk)
    async with at_bench(desk) as bench:
        await named(bench, "anm")
        await bench.scan(badge["ben"])
        assert (bench.on(), desk.who) == ("JobsScreen", "ben")
        assert "anm" not in desk.shop().people


async def test_whoever_accepts_an_exception_is_asked_about_too(desk: Desk) -> None:
    desk.open_new(said.JobOpened(vehicle="Kestrel van"))
    desk.say(said.PartRemoved(part="pan", name="pan"))
    async with at_bench(desk) as bench:
        await bench.press("enter", "r", "e")
        await bench.type("pen dry")
        await bench.press("enter", "ctrl+u")
        await bench.type("bem")
        await bench.press("enter")
        assert "bem is not known here. Did you mean ben?" in bench.painted()
        assert not [*desk.job().said(said.ExceptionAccepted)]
        await bench.press("escape")
        assert bench.screen.query_one("#typed").value == "bem"  # type: ignore[attr-defined]
        await bench.press("enter", "enter")
        assert [e.fact.accepted_by for e in desk.job().said(said.ExceptionAccepted)] == ["ben"]
    assert list(desk.shop().people) == ["ann", "ben"]
