"""The words on a bag or tag."""

import pytest

from reassembly.job import entries as said
from reassembly.job.job import Job
from reassembly.job.tag import Tag, tags
from tests.job.histories import History

BAG, OTHER = "BCDFGHJKLN", "PRSTVXBCDF"


def tags_of(*facts: object) -> tuple[Tag, ...]:
    history = History()
    history.say(said.JobOpened(vehicle="Kestrel van", registration="4TN 881", order="412"))
    for fact in facts:
        history.say(fact)
    return tags(Job.of(history.entries))


PAN = said.PartRemoved(part="pan", name="gearbox pan")
PACKED = said.BagPacked(bag=BAG, parts=("pan",))
LINES: dict[str, tuple[list[object], list[str]]] = {
    "nothing more known": ([], []),
    "bolts": (
        [said.FastenersRemoved(part="pan", count=13, thread="M6x1", lengths=("20",), drive="hex 10")],
        ["13 x M6x1x20, hex 10"],
    ),
    "nuts are called so": ([said.FastenersRemoved(part="pan", count=2, what="nut", thread="M8")], ["2 x M8 nuts"]),
    "nothing of their size": ([said.FastenersRemoved(part="pan", count=2, what="clip")], ["2 x clips"]),
    "to renew": (
        [said.FastenersRemoved(part="pan", count=1, thread="M8", strength="10.9", reuse="renew", fasteners="long")],
        ["1 x M8 10.9, long, RENEW"],
    ),
    "the odd one out by its position": (
        [said.FastenersRemoved(part="pan", count=4, thread="M10", lengths=("35", "35", "60", "35"))],
        ["4 x M10x35/60", "lengths: 35, 60 at 3"],
    ),
    "of as many short as long ones the first goes for usual": (
        [said.FastenersRemoved(part="pan", count=4, thread="M10", lengths=("60", "35", "35", "60"))],
        ["4 x M10x60/35", "lengths: 60, 35 at 2, 35 at 3"],
    ),
    "way round": (
        [said.OrientationNoted(part="pan", feature="lug", clock="4", seen_from="front")], ["lug 4 o'clock from front"],
    ),
    "faces": ([said.OrientationNoted(part="pan", feature="slots", faces="front")], ["slots front"]),
    "mark": (
        [said.MarkMade(part="pan", mark="white paint", to="flange", marked_tooth=5, seen_from="rear")],
        ["mark: white paint, flange, tooth 5 from rear"],
    ),
    "mark, no side": (
        [said.MarkMade(part="pan", mark="white paint", to="flange", marked_tooth=5)],
        ["mark: white paint, flange, tooth 5"],
    ),
    "weight and side": (
        [said.WeightFound(part="pan", position="hole 2", mass="14 g", seen_from="rear")],
        ["14 g weight at hole 2 from rear"],
    ),
    "weight": ([said.WeightFound(part="pan", position="hole 2", mass="14 g")], ["14 g weight at hole 2"]),
    "locking piece": ([said.WeightFound(part="pan", position="hole 1", what="plate")], ["plate at hole 1"]),
    "renewal": ([said.RenewalNeeded(what="gasket", part="pan")], ["RENEW gasket"]),
    "of another part": ([said.RenewalNeeded(what="gasket", part="sump")], []),
}  # fmt: skip


@pytest.mark.parametrize(("facts", "lines"), LINES.values(), ids=LINES.keys())
def test_a_tag_tells_what_somebody_without_a_scanner_needs(facts: list[object], lines: list[str]) -> None:
    assert tags_of(PAN, *facts, PACKED) == (Tag(BAG, "412 Kestrel van  4TN 881", "gearbox pan", tuple(lines), ""),)


def test_a_tag_says_how_a_part_came_off_unless_simply_off() -> None:
    (tag,) = tags_of(said.PartRemoved(part="pan", name="pan", how="aside"), PACKED)
    assert tag.lines == ("aside",)


def test_a_tag_names_every_part_what_else_is_inside_shelf_and_copy() -> None:
    (tag,) = tags_of(
        PAN,
        said.PartRemoved(part="filter", name="filter"),
        said.BagPacked(bag=BAG, parts=("pan", "filter", "pan"), holds="2 magnets", shelf="C4"),
        said.LabelPrinted(code=BAG),
        said.LabelPrinted(code="bcdfg hjkln", copy_number=2),
    )
    assert (tag.name, tag.lines, tag.footer) == ("gearbox pan + filter", ("2 magnets",), "shelf C4, copy 2")


def test_a_bag_of_no_part_is_called_by_what_it_holds() -> None:
    (tag,) = tags_of(said.BagPacked(bag=BAG, parts=(), holds="clips"))
    assert (tag.name, tag.lines) == ("clips", ())


def test_a_bag_packed_again_has_one_tag_as_last_said() -> None:
    found = tags_of(
        PAN, PACKED, said.BagPacked(bag=OTHER, parts=()), said.BagPacked(bag="bcdfg hjkln", parts=(), holds="clips")
    )
    assert [(tag.code, tag.name) for tag in found] == [(BAG, "clips"), (OTHER, "")]
