"""The model of the disk: what a power cut may take and what it may not."""

from collections.abc import Callable
from random import Random

import pytest

from tests.powercut.disk import FILLINGS, SECTOR, WAYS, Change, Disk, Filling
from tests.powercut.recording import Call, Grow, Make, MakeFolder, Remove, Rename, Resize, Sync, Tree, Write

OLD, NEW = b"o" * 1300, b"n" * 1300
FILE: list[Call] = [Make("f"), Write("f", 0, OLD), Sync("f", 2), Sync(".", 3)]


def states(calls: list[Call], before: Tree | None = None) -> list[Tree]:
    """Many of the states after the last call."""
    disk = Disk(before or {})
    for call in calls:
        disk.take(call)
    chance = Random(7)
    return [disk.cut(chance) for _ in range(3000)]


def contents(calls: list[Call], path: str = "f") -> set[bytes | None]:
    return {state.get(path, b"not there") for state in states(calls)}


def test_what_was_synced_with_its_name_stays() -> None:
    assert contents(FILE) == {OLD}


def test_a_file_whose_name_was_not_synced_may_be_gone_though_it_was_synced() -> None:
    assert contents(FILE[:3]) == {OLD, b"not there"}


def test_a_name_may_be_there_without_its_data() -> None:
    found = contents([Make("f"), Write("f", 0, OLD), Sync(".", 2)])
    assert {b"", OLD} <= found
    assert bytes(1300) in found  # its length only
    assert any(data and len(data) == 1300 and set(data) - {0, ord("o")} for data in found)  # somebody else's bytes


def test_a_write_that_was_not_synced_is_there_in_any_part_and_beside_it_all_stays() -> None:
    found = contents([*FILE, Write("f", 100, b"n" * 1000)])
    assert {OLD, OLD[:100] + NEW[:1000] + OLD[:200]} <= found
    torn = OLD[:100] + NEW[:412] + OLD[512:]
    assert torn in found  # one sector of it
    assert any(data and data.count(b"n") % SECTOR not in (0, 412, 76) for data in found)  # a sector by half
    assert all(data and data[:100] == OLD[:100] and data[1100:] == OLD[1100:] for data in found)


def test_of_two_writes_the_later_may_be_there_without_the_earlier_in_one_file_and_across_files() -> None:
    found = contents([*FILE, Write("f", 0, b"1" * 600), Write("f", 600, b"2" * 600)])
    assert OLD[:600] + b"2" * 600 + OLD[1200:] in found
    both: list[Call] = [Make("g"), Sync(".", 5), Write("f", 0, b"1"), Write("g", 0, b"2")]
    assert any(s["f"] == OLD and s["g"] == b"2" for s in states([*FILE, *both]))


def test_a_sync_speaks_for_the_writes_that_had_come_back_when_it_began() -> None:
    calls: list[Call] = [*FILE, Write("f", 0, b"1"), Write("f", 1, b"2"), Sync("f", 5)]
    assert {data[:2] for data in contents(calls) if data} == {b"1o", b"12"}


def test_a_sync_of_another_file_keeps_nothing_of_this_one() -> None:
    assert OLD in contents([*FILE, Make("g"), Write("f", 0, NEW), Sync("g", 6)])


def test_a_rename_is_there_or_not_and_never_half() -> None:
    calls: list[Call] = [*FILE, Make("g"), Write("g", 0, NEW), Sync("g", 6), Sync(".", 7), Rename("g", "f")]
    assert {(s["f"], "g" in s) for s in states(calls)} == {(OLD, True), (NEW, False)}
    assert {s["f"] for s in states([*calls, Sync(".", 9)])} == {NEW}


def test_a_rename_from_folder_to_folder_is_there_or_not() -> None:
    calls: list[Call] = [*FILE, MakeFolder("d"), Sync(".", 5), Rename("f", "d/f")]
    assert {("f" in s, s.get("d/f")) for s in states(calls)} == {(True, None), (False, OLD)}
    assert {tuple(s) for s in states([*calls, Sync("d", 7)])} == {("d", "d/f")}


def test_a_file_named_before_it_was_synced_may_be_empty_under_its_name() -> None:
    calls: list[Call] = [*FILE, Make("g"), Sync(".", 5), Write("g", 0, NEW), Rename("g", "f"), Sync(".", 8)]
    assert b"" in contents(calls)


def test_a_removed_file_may_be_there_again_until_its_folder_is_synced() -> None:
    assert contents([*FILE, Remove("f")]) == {OLD, b"not there"}
    assert contents([*FILE, Remove("f"), Sync(".", 5)]) == {b"not there"}


def test_a_new_file_under_the_name_of_a_removed_one_never_mixes_with_it() -> None:
    calls: list[Call] = [*FILE, Remove("f"), Make("f"), Write("f", 0, NEW), Sync("f", 7)]
    assert contents(calls) == {OLD, NEW, b"not there"}


def test_a_change_of_length_waits_for_the_sync_of_its_file() -> None:
    assert contents([*FILE, Resize("f", 7)]) == {OLD, OLD[:7]}
    assert contents([*FILE, Resize("f", 7), Sync("f", 5)]) == {OLD[:7]}
    assert contents([*FILE, Grow("f", 2000), Grow("f", 9), Sync("f", 6)]) == {OLD + bytes(700)}


def test_a_folder_that_lost_its_name_is_lost_with_all_that_was_synced_in_it() -> None:
    calls: list[Call] = [MakeFolder("d"), Make("d/f"), Write("d/f", 0, OLD), Sync("d/f", 3), Sync("d", 4)]
    assert {tuple(state) for state in states(calls)} == {(), ("d", "d/f")}
    assert {state.get("d/f") for state in states([*calls, Sync(".", 5)])} == {OLD}


def test_what_stood_there_before_is_on_the_disk() -> None:
    assert states([Write("d/f", None, b"2")], {"d": None, "d/f": b"1"})[0].keys() == {"d", "d/f"}
    disk = Disk({"d": None, "d/f": b"1"})
    disk.take(Write("d/f", None, b"2"))
    assert disk.live() == {"d": None, "d/f": b"12"}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("filling", FILLINGS)
def test_every_way_works_with_nothing_waiting(
    way: Callable[[list[Change], Random], list[Change]], filling: Callable[[Random], Filling | None]
) -> None:
    disk = Disk({"f": b"1"})
    assert disk.with_only([*way([], Random(1))], filling(Random(1))) == {"f": b"1"}
