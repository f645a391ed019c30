"""The reverse of removal, changed only by what somebody said."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job import entries as said
from reassembly.job.job import Job, parts
from reassembly.job.refit_order import clash_if_said, refit_order
from tests.job.histories import History, odd_histories, stripdowns


def taken_off(*several: str) -> History:
    """`pan` came off whole, `filter<pan` was taken off the pan on the bench."""
    history = History()
    for one in several:
        part, _, parent = one.partition("<")
        history.say(said.PartRemoved(part=part, name=part, parent=parent))
    return history


def order_of(history: History) -> str:
    return " ".join(refit_order(Job.of(history.entries)).parts)


@given(st.lists(st.sampled_from("abcdefgh"), max_size=20))
def test_refit_is_the_exact_reverse_of_removal_where_nothing_else_was_said(removed: list[str]) -> None:
    last_time = list(dict.fromkeys(reversed(removed)))
    assert list(refit_order(Job.of(taken_off(*removed).entries)).parts) == last_time


@given(stripdowns)
def test_refit_is_the_reverse_of_removal_whatever_else_was_recorded(entries: list[Any]) -> None:
    flat = [e for e in entries if not (isinstance(e.fact, said.PartRemoved) and e.fact.parent)]
    job = Job.of(flat)
    removed = [e.fact.part for e in job.said(said.PartRemoved)]
    assert [p for p in refit_order(job).parts if p in removed] == removed[::-1]


@given(stripdowns)
def test_each_part_waits_for_the_one_that_came_off_just_after_it(entries: list[Any]) -> None:
    job = Job.of(entries)
    siblings: dict[str, list[str]] = {}
    for e in job.said(said.PartRemoved):
        siblings.setdefault(e.fact.parent, []).append(e.fact.part)
    order = refit_order(job)
    for group in siblings.values():
        for earlier, later in pairwise(group):
            assert later in order.first[earlier]


@given(stripdowns)
def test_a_subassembly_is_complete_just_before_it_goes_back(entries: list[Any]) -> None:
    job = Job.of(entries)
    every, order = parts(job), refit_order(job)
    for part in every.values():
        if part.parent:
            assert part.id in order.first[part.parent]
            between = order.parts[order.parts.index(part.id) + 1 : order.parts.index(part.parent)]
            assert all(belongs_to(other, part.parent, every) for other in between)


def belongs_to(part: str, whole: str, every: Any) -> bool:
    while part:
        part = every[part].parent
        if part == whole:
            return True
    return False


@given(odd_histories)
def test_orders_that_do_not_clash_are_obeyed_in_any_history(entries: list[Any]) -> None:
    job = Job.of(entries)
    every, order = parts(job), refit_order(job)
    place = {part: n for n, part in enumerate(order.parts)}
    clashing = {clash.entry.id for clash in order.clashes}
    for e in job.entries:
        pair: tuple[str, str] | None = None
        match e.fact:
            case said.OrderSaid(part=part, goes="before", other=other):
                pair = (part, other)
            case said.OrderSaid(part=part, goes="after", other=other):
                pair = (other, part)
            case said.PartRemoved(part=part, parent=parent) if part in every and every[part].removed is e:
                pair = (part, parent)
        if pair and e.id not in clashing and set(pair) <= set(every):
            assert place[pair[0]] < place[pair[1]]
            assert pair[0] in order.first[pair[1]]


@given(odd_histories)
def test_nothing_waits_for_what_comes_after_it(entries: list[Any]) -> None:
    order = refit_order(Job.of(entries))
    place = {part: n for n, part in enumerate(order.parts)}
    assert all(place[earlier] < place[part] for part in order.parts for earlier in order.first[part])


BEFORE, AFTER, ALONE = "before", "after", "independent"
SAID: dict[str, tuple[list[tuple[str, str, str]], str]] = {
    "nothing": ([], "e d c b a"),
    "one moves up to what it goes before": ([("a", BEFORE, "e")], "a e d c b"),
    "one waits for what it goes after": ([("e", AFTER, "a")], "d c b a e"),
    "one moves up past one": ([("b", BEFORE, "c")], "e d b c a"),
    "one waits for the next": ([("c", AFTER, "b")], "e d b c a"),
    "what it was anyway": ([("d", BEFORE, "b"), ("a", AFTER, "e")], "e d c b a"),
    "two that pull one another": ([("a", BEFORE, "b"), ("b", BEFORE, "d")], "e a b d c"),
    "a part nobody took off": ([("a", BEFORE, "z")], "e d c b a"),
    "independent moves nothing": ([("c", ALONE, "")], "e d c b a"),
}


@pytest.mark.parametrize(("orders", "expected"), SAID.values(), ids=SAID.keys())
def test_the_part_spoken_of_moves_and_the_others_stay(orders: list[tuple[Any, Any, Any]], expected: str) -> None:
    history = taken_off("a", "b", "c", "d", "e")
    for part, goes, other in orders:
        history.say(said.OrderSaid(part=part, goes=goes, other=other))
    assert order_of(history) == expected


def test_a_part_that_moves_up_takes_its_subassembly_along() -> None:
    history = taken_off("a", "x<a", "y<a", "b", "c")
    assert order_of(history) == "c b y x a"
    history.say(said.OrderSaid(part="a", goes="before", other="c"))
    assert order_of(history) == "y x a c b"


def test_an_independent_part_neither_waits_nor_holds_up() -> None:
    history = taken_off("a", "b", "c")
    history.say(said.OrderSaid(part="b", goes="independent"))
    assert refit_order(Job.of(history.entries)).first == {"c": (), "b": (), "a": ("c",)}


def test_parts_of_two_subassemblies_do_not_wait_for_one_another() -> None:
    first = refit_order(Job.of(taken_off("a", "x<a", "b", "y<b").entries)).first
    assert first == {"y": (), "b": ("y",), "x": (), "a": ("b", "x")}


AB, BA = ("a", BEFORE, "b"), ("b", BEFORE, "a")
CIRCLES: dict[str, tuple[tuple[str, ...], list[tuple[str, str, str]], list[tuple[str, set[str]]]]] = {
    "two": (("a", "b"), [AB, BA], [("A.4", {"a", "b"})]),
    "said twice": (("a", "b"), [AB, ("a", AFTER, "b"), BA], [("A.4", {"a", "b"}), ("A.5", {"a", "b"})]),
    "three": (("a", "b", "c"), [AB, ("b", BEFORE, "c"), ("c", BEFORE, "a")], [("A.6", {"a", "b", "c"})]),
    "itself": (("a",), [("a", BEFORE, "a")], [("A.2", {"a"})]),
    "part and its sub-assembly": (("a", "x<a"), [("a", BEFORE, "x")], [("A.3", {"a", "x"})]),
    "parents": (("a<b", "b<a"), [], [("A.2", {"a", "b"})]),
    "its own parent": (("a<a",), [], [("A.1", {"a"})]),
}


@pytest.mark.parametrize(("removed", "orders", "clashes"), CIRCLES.values(), ids=CIRCLES.keys())
def test_who_closes_a_circle_is_named_with_its_parts_and_loses(
    removed: tuple[str, ...], orders: list[tuple[Any, Any, Any]], clashes: list[tuple[str, set[str]]]
) -> None:
    history = taken_off(*removed)
    for part, goes, other in orders[:-1]:
        history.say(said.OrderSaid(part=part, goes=goes, other=other))
    if orders:
        part, goes, other = orders[-1]
        told = len(refit_order(Job.of(history.entries)).clashes)
        job = Job.of(history.entries)
        last = history.say(said.OrderSaid(part=part, goes=goes, other=other))
        asked = clash_if_said(job, last)
        assert asked is not None
        assert (asked.entry.id, set(asked.parts)) == clashes[told]
    found = refit_order(Job.of(history.entries)).clashes
    assert [(clash.entry.id, set(clash.parts)) for clash in found] == clashes


def test_what_closes_no_circle_is_no_clash_though_there_is_one_already() -> None:
    history = taken_off("a<b", "b<a", "c")
    job = Job.of(history.entries)
    assert clash_if_said(job, history.say(said.OrderSaid(part="c", goes="after", other="a"))) is None


def test_no_order_of_all_parts_is_made_for_one_that_closes_no_circle(monkeypatch: pytest.MonkeyPatch) -> None:
    job = Job.of(taken_off("a", "b<a").entries)
    monkeypatch.setattr("reassembly.job.refit_order.refit_order", None)  # for each of 1,500 parts it took a minute
    history = taken_off("a", "b<a", "c<b")
    assert clash_if_said(job, history.entries[-1]) is None
    with pytest.raises(TypeError):
        clash_if_said(job, history.say(said.OrderSaid(part="b", goes="after", other="a")))


def test_a_long_chain_of_subassemblies_is_no_trouble() -> None:
    chain = [f"p{n}<p{n - 1}" if n else "p0" for n in range(1500)]
    assert refit_order(Job.of(taken_off(*chain).entries)).parts == tuple(f"p{n}" for n in reversed(range(1500)))
