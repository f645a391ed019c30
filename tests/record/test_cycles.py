"""How often a wrench was used since its calibration is counted from the journal, and told where it is too often."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from msgspec import structs

from reassembly.job import entries as said
from reassembly.job.entries import Stage
from reassembly.job.plan import plan
from reassembly.job.signoff import signoff
from reassembly.job.wrenches import distrusted, unsuitable
from tests.record.bench import Wall, desk_in, with_job

if TYPE_CHECKING:
    from pathlib import Path

    from reassembly.record.desk import Desk

DAY = 86_400_000


def furnish(desk: Desk) -> str:
    """A wrench calibrated today and a flange with eight bolts; returns the id of its torque."""
    desk.say(said.WrenchAdded(wrench="T3", low="20 N.m", high="200 N.m"))
    desk.say(said.WrenchCalibrated(wrench="T3", on=desk.today, until="2099-01-01"))
    with_job(desk)
    desk.say(said.PartRemoved(part="flange", name="flange"))
    desk.say(said.FastenersRemoved(part="flange", count=8, thread="M10x1.25", strength="10.9"))
    return desk.say(said.TorqueSpecified(part="flange", stages=(Stage("torque", "60 N.m"),), source="invented")).id


def tighten(desk: Desk, torque: str, position: int | None, wrench: str = "T3") -> str:
    return desk.say(said.StageTightened(specification=torque, stage=1, position=position, wrench=wrench)).id


def test_each_position_is_a_cycle_and_a_whole_stage_as_many_as_it_has_fasteners(tmp_path: Path) -> None:
    wall = Wall()
    with desk_in(tmp_path, wall) as desk:
        torque = furnish(desk)
        assert desk.shop().cycles_done("T3", desk.today) == 0
        tighten(desk, torque, 1)
        slip = tighten(desk, torque, 2)
        tighten(desk, torque, 3, wrench="T5")
        tighten(desk, torque, None, wrench="t3")
        assert desk.shop().cycles_done("T3", desk.today) == 10
        desk.say(said.EntryStruck(entry=slip, why="slip"))
        assert desk.shop().cycles_done("T3", desk.today) == 9
        wall.milliseconds += 2 * DAY
        tighten(desk, torque, 2)
        assert desk.shop().cycles_done("T3", desk.today) == 10
        desk.say(said.WrenchCalibrated(wrench="T3", on=desk.today, until="2099-01-01"))
        assert desk.shop().cycles_done("T3", desk.today) == 1  # of the day of the calibration all are counted
        assert desk.shop().cycles_done("T3", "1999-01-01") == 0


def test_a_whole_stage_counts_the_fasteners_said_last_of_its_own_part_in_its_own_job(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        flange = furnish(desk)
        cover = desk.say(said.TorqueSpecified(part="cover", stages=(Stage("torque", "20 N.m"),), source="invented")).id
        tighten(desk, flange, None)  # 8
        tighten(desk, cover, None)  # no fasteners are recorded: 1
        desk.say(said.FastenersRemoved(part="flange", count=6))
        assert desk.shop().cycles_done("T3", desk.today) == 6 + 1
        with_job(desk)
        other = desk.say(said.TorqueSpecified(part="flange", stages=(Stage("torque", "60 N.m"),), source="invented")).id
        desk.say(said.FastenersRemoved(part="flange", count=4))
        tighten(desk, other, None)
        tighten(desk, other, 1)
        assert desk.shop().cycles_done("T3", desk.today) == 6 + 1 + 4 + 1


@pytest.mark.parametrize(("cycles", "told"), [(4999, False), (5000, True)])
def test_a_worn_wrench_is_said_at_once_and_again_at_sign_off(tmp_path: Path, cycles: int, told: bool) -> None:
    """5000 cycles or 12 months, whichever is first: a wrench maker on ISO 6789."""
    sentence = f"wrench T3 has done {cycles} cycles since its calibration, 5000 are allowed"
    with desk_in(tmp_path) as desk:
        tighten(desk, furnish(desk), 1)
        worn = desk.shop()._replace(cycles=lambda _wrench, _since, _until: cycles)
        assert (sentence in unsuitable("T3", "60 N.m", desk.today, worn)) is told
        warned = signoff(desk.job(), worn).warnings
        assert any(sentence in each for each in warned) is told


@pytest.mark.parametrize(("cycles", "told"), [(2999, False), (3000, True)])
def test_a_limit_said_of_one_wrench_goes_before_the_usual_one(tmp_path: Path, cycles: int, told: bool) -> None:
    with desk_in(tmp_path) as desk:
        furnish(desk)
        found = desk.shop()._replace(cycles=lambda _wrench, _since, _until: cycles)
        limited = structs.replace(found.rack["T3"].added, cycles=3000)
        shop = found._replace(rack={"T3": found.rack["T3"]._replace(added=limited)})
        sentence = f"wrench T3 has done {cycles} cycles since its calibration, 3000 are allowed"
        assert (sentence in unsuitable("T3", "60 N.m", desk.today, shop)) is told


def test_the_whole_journal_is_counted_once_a_wrench_and_day_at_sign_off_and_never_for_a_tightened_step(
    tmp_path: Path,
) -> None:
    asked: list[str] = []

    def count(wrench: str, _since: str, _until: str) -> int:
        asked.append(wrench)
        return 0

    with desk_in(tmp_path) as desk:
        torque = furnish(desk)
        for position in range(1, 9):
            tighten(desk, torque, position)
        shop = desk.shop()._replace(cycles=count)
        (stage,) = (check for check in plan(desk.job()).checks if check.way == "tighten")
        assert not stage.open
        assert distrusted(stage, desk.job(), shop) == ""
        assert asked == []
        signoff(desk.job(), shop)
        assert asked == ["T3"]
