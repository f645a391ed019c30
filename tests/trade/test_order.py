from math import atan2

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.layout import Layout, positions
from reassembly.trade.order import centroid, circle_order, generic_order, read_order, unevenness

# REFERENCES section 6, ASME PCC-1, holes numbered clockwise; figures read through their text layer, and memory.
# Five: the star of wheel hubs. Makers publish other orders, so the rest of this file asks for properties instead.
PUBLISHED = {
    4: "1 3 2 4",
    5: "1 3 5 2 4",
    6: "1 4 2 5 3 6",
    8: "1 5 3 7 2 6 4 8",
    12: "1 7 4 10 2 8 5 11 3 9 6 12",
    16: "1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16",
    20: "1 11 6 16 3 13 8 18 5 15 10 20 2 12 7 17 4 14 9 19",
    24: "1 13 7 19 4 16 10 22 2 14 8 20 5 17 11 23 3 15 9 21 6 18 12 24",
}


@pytest.mark.parametrize(("count", "order"), PUBLISHED.items())
def test_a_circle_is_tightened_in_the_published_order(count: int, order: str) -> None:
    assert " ".join(str(hole) for hole in circle_order(count)) == order


def between(one: int, other: int, count: int) -> int:
    """Holes from one to the other, the shorter way round."""
    apart = abs(one - other) % count
    return min(apart, count - apart)


@pytest.mark.parametrize("count", range(3, 65))
def test_each_pair_of_a_circle_is_opposite_to_the_nearest_hole(count: int) -> None:
    order = circle_order(count)
    assert sorted(order) == list(range(1, count + 1))
    pairs = zip(order[::2], order[1::2], strict=False)
    if count not in (3, 5):  # three and five have their own star
        assert all(between(one, other, count) == count // 2 for one, other in pairs)


@pytest.mark.parametrize("count", [n for n in range(4, 65) if n not in (5, 6)])
def test_the_second_pair_of_a_four_is_square_to_the_first_to_the_nearest_hole(count: int) -> None:
    order = circle_order(count)
    for first in range(0, count - 3, 4):
        off = between(order[first], order[first + 2], count) - count / 4
        assert abs(off) < 1, order


def clockwise(layout: Layout) -> list[int]:
    """The order of someone who goes round with the wrench, or along a row."""
    if layout.kind == "row":
        return list(range(1, layout.count + 1))
    middle = centroid(layout.points)
    angles = [atan2(x - middle[0], y - middle[1]) for x, y in layout.points]
    return sorted(range(1, layout.count + 1), key=lambda position: angles[position - 1])


coordinate = st.integers(0, 100)
layouts = st.one_of(
    st.integers(3, 64).map("circle {}".format),
    st.integers(1, 40).map("row {}".format),
    st.tuples(st.integers(2, 9), st.integers(2, 12)).map(lambda size: "rectangle {}x{}".format(*size)),
    st.tuples(st.integers(3, 60), st.integers(1, 900), st.integers(1, 900)).map(
        lambda size: "perimeter {} {}x{}".format(*size)
    ),
    st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=24, unique=True).map(
        lambda pairs: "points " + " ".join(f"{x},{y}" for x, y in pairs)
    ),
).map(positions)


@given(layouts)
def test_every_position_is_tightened_exactly_once(layout: Layout) -> None:
    assert sorted(generic_order(layout)) == list(range(1, layout.count + 1))


@given(layouts)
def test_what_is_tight_stays_nearer_the_middle_than_going_round(layout: Layout) -> None:
    crossing, round_it = (unevenness(layout.points, order) for order in (generic_order(layout), clockwise(layout)))
    assert crossing <= round_it + 1e-9


@given(st.integers(3, 32))
def test_on_an_even_circle_it_is_less_than_half_as_far_off(half: int) -> None:
    layout = positions(f"circle {2 * half}")
    assert unevenness(layout.points, generic_order(layout)) < unevenness(layout.points, clockwise(layout)) / 2


centred = st.one_of(
    st.integers(1, 40).map("row {}".format),
    st.tuples(st.integers(2, 9), st.integers(2, 12)).map(lambda size: "rectangle {}x{}".format(*size)),
    st.integers(4, 60).map("perimeter {}".format),
).map(positions)


@given(centred)
def test_rectangle_perimeter_and_row_go_from_the_centre_outwards(layout: Layout) -> None:
    middle = centroid(layout.points)
    reached = -1.0
    for position in generic_order(layout)[::2]:
        x, y = layout.points[position - 1]
        from_middle = ((x - middle[0]) ** 2 + (y - middle[1]) ** 2) ** 0.5
        assert from_middle >= reached - 0.25  # a pair may be a little uneven, a step back may not
        reached = max(reached, from_middle)


@pytest.mark.parametrize(
    ("typed", "order"),
    [
        ("rectangle 2x5", "3 8 2 7 4 9 1 6 5 10"),
        ("row 5", "3 2 4 1 5"),
        ("row 4", "2 3 1 4"),
        ("row 1", "1"),
    ],
)
def test_sides_alternate(typed: str, order: str) -> None:
    assert " ".join(str(position) for position in generic_order(positions(typed))) == order


@pytest.mark.parametrize("typed", ["1 3 2 4", "1,3,2,4", "1-3-2-4", "1 > 3 > 2 > 4", "1→3→2→4", " 1; 3; 2; 4 "])
def test_a_manuals_own_order_is_read(typed: str) -> None:
    assert read_order(typed, 4) == (1, 3, 2, 4)


@given(st.permutations(list(range(1, 25))))
def test_any_manuals_order_is_taken_as_it_is(order: list[int]) -> None:
    assert read_order(" ".join(map(str, order)), 24) == tuple(order)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("1 3 2", "^4 is missing: type each of the 4 positions once$"),
        ("1 3 3 4", "^3 is there more than once; 2 is missing: "),
        ("1 2 3 4 5", "^5 is not among the 4 positions: "),
        ("0 1 2 3", "^0 is not among the 4 positions; 4 is missing: "),
        ("1", "^2, 3, 4 are missing: "),
        ("1 3 two 4", "^two is not a position"),
        ("1 3 2.0 4", "^2.0 is not a position"),
        ("", "^no order typed"),
        ("1 3 \u0662 4", "is not a position"),
        ("1 3 \x1b 4", "^a sign that cannot be seen is not a position"),
        ("1 " * 600, "^no order typed"),
    ],
)
def test_an_order_with_a_slip_is_refused_by_naming_it(typed: str, why: str) -> None:
    with pytest.raises(ValueError, match=why) as refusal:
        read_order(typed, 4)
    assert str(refusal.value).isprintable()


@given(st.lists(st.integers(0, 8), max_size=10))
def test_an_order_is_taken_only_when_it_names_each_position_once(typed: list[int]) -> None:
    try:
        read_order(" ".join(map(str, typed)), 6)
    except ValueError:
        assert sorted(typed) != [1, 2, 3, 4, 5, 6]
    else:
        assert sorted(typed) == [1, 2, 3, 4, 5, 6]
