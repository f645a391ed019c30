from math import atan2, dist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.layout import Layout, Point, positions


def clockwise_angle(point: Point) -> float:
    """Turns from straight up, clockwise, seen from the middle of the box."""
    return atan2(point[0] - 0.5, point[1] - 0.5) % 6.283185307179586


@pytest.mark.parametrize("count", range(3, 65))
def test_a_circle_begins_at_the_top_and_runs_clockwise(count: int) -> None:
    points = positions(f"circle {count}").points
    angles = [clockwise_angle(point) for point in points[1:]]
    assert points[0][0] == pytest.approx(0.5, abs=0.02)  # an odd circle is a hair narrower than its box
    assert points[0][1] == max(y for _, y in points)
    assert angles == sorted(angles)
    gaps = [dist(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True)]
    assert max(gaps) == pytest.approx(min(gaps))


def grid(layout: Layout) -> list[tuple[int, int]]:
    """Row and column of each position, both from 0 at the top left."""
    xs, ys = ({round(point[axis], 6) for point in layout.points} for axis in (0, 1))
    rows, columns = sorted(ys, reverse=True), sorted(xs)
    return [(rows.index(round(y, 6)), columns.index(round(x, 6))) for x, y in layout.points]


def test_a_rectangle_is_numbered_clockwise_from_the_top_left() -> None:
    assert grid(positions("rectangle 2x5")) == [*((0, c) for c in range(5)), *((1, c) for c in range(4, -1, -1))]
    # the ring first, then what is inside it
    assert grid(positions("rectangle 3x4"))[-2:] == [(1, 1), (1, 2)]
    assert grid(positions("rectangle 3 x 3"))[-1] == (1, 1)


@given(st.integers(2, 12), st.integers(2, 12))
def test_a_rectangle_has_each_place_once(rows: int, columns: int) -> None:
    assert sorted(grid(positions(f"rectangle {rows}x{columns}"))) == [
        (r, c) for r in range(rows) for c in range(columns)
    ]


@given(st.integers(4, 60), st.integers(1, 900), st.integers(1, 900))
def test_a_perimeter_runs_clockwise_along_the_edge_with_a_bolt_at_each_corner(count: int, wide: int, high: int) -> None:
    points = positions(f"perimeter {count} {wide}x{high}").points
    assert len(points) == len(set(points)) == count
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    bottom, top = min(y for _, y in points), max(y for _, y in points)
    assert (right - left) * high == pytest.approx((top - bottom) * wide)
    near = [min(x - left, right - x, y - bottom, top - y) for x, y in points]
    assert max(near) == pytest.approx(0, abs=1e-9)
    assert points[0] == (left, top)
    angles = [clockwise_angle(point) for point in points]
    turned = [(angle - angles[0]) % 6.283185307179586 for angle in angles]
    assert turned == sorted(turned)


def test_a_perimeter_is_shared_out_by_the_length_of_its_sides() -> None:
    points = positions("perimeter 14 400x300").points
    gaps = [dist(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True)]
    assert gaps == pytest.approx([0.25] * 14)


def test_a_row_is_numbered_from_the_left() -> None:
    xs = [x for x, _ in positions("row 4").points]
    assert xs == sorted(xs)
    assert positions("row", 1).points == ((0.5, 0.5),)


def test_points_keep_their_shape_and_the_order_typed() -> None:
    assert positions("points 0,0 10,5 20,0").points == ((0.0, 0.375), (0.5, 0.625), (1.0, 0.375))
    assert positions("points (0,0); (-10,20)").count == 2
    assert positions("points 0.5,1.25 3,4").count == 2


READ = {
    "circle": ("circle", 6), "Circle 6": ("circle", 6), "circle of 6": ("circle", 6), "bolt circle 6": ("circle", 6),
    "flange 6": ("circle", 6), "rectangle": ("rectangle", 6), "rectangle 2×3": ("rectangle", 6),
    "rectangle 3 x 2": ("rectangle", 6), "perimeter": ("perimeter", 6), "pan": ("perimeter", 6),
    "sump 6 400x300 mm": ("perimeter", 6), "perimeter 400x300": ("perimeter", 6), "row": ("row", 6),
    "row 6": ("row", 6),
    "points 0,0 1,0 2,0 0,1 1,1 2,1": ("points", 6),
}  # fmt: skip


@pytest.mark.parametrize(("typed", "kind_and_count"), READ.items())
def test_a_layout_is_read_as_people_write_it(typed: str, kind_and_count: tuple[str, int]) -> None:
    layout = positions(typed, 6)
    assert (layout.kind, layout.count, layout.side) == (*kind_and_count, "")


@pytest.mark.parametrize(
    ("typed", "side"),
    [("circle 8 seen from the rear", "rear"), ("circle 8, from front", "front"), ("row 4 from the left hand side",
     "left hand side"), ("circle 8", "")],
)  # fmt: skip
def test_the_side_it_is_seen_from_is_kept(typed: str, side: str) -> None:
    assert positions(typed).side == side


@pytest.mark.parametrize(
    ("typed", "count", "why"),
    [
        ("", 8, "no layout"),
        ("star 8", 8, "star 8 is no layout that is known"),
        ("circle", None, "circle of how many"),
        ("circle 2", None, "3 to 64 positions"),
        ("circle 65", None, "3 to 64 positions"),
        ("circle", 2, "3 to 64 positions"),
        ("circle 8", 6, "has 8 positions and the set has 6 fasteners"),
        ("circle eight", None, "goes the number of positions"),
        ("rectangle 2x5", 8, "has 10 positions and the set has 8"),
        ("rectangle 1x5", None, "type row 5 for a single row"),
        ("rectangle", 7, "type rows x columns"),
        ("rectangle 99x99", None, "3 to 200"),
        ("perimeter", None, "perimeter of how many"),
        ("perimeter 2", None, "3 to 200"),
        ("perimeter 14 0x300", None, "neither side is nothing"),
        ("perimeter 14 round", None, "type the number"),
        ("points 0,0 10", None, "type x,y for each"),
        ("points 0,0 0,0", None, "point 2 is where another one is"),
        ("points", None, "type x,y for each"),
        ("points 0,0 1,1", 3, "has 2 positions and the set has 3"),
        ("circle \u0668", None, "no layout"),
        ("circle 8\x1b", None, "no layout"),
    ],
)
def test_what_is_no_layout_is_refused_in_one_sentence(typed: str, count: int | None, why: str) -> None:
    with pytest.raises(ValueError, match=why) as refusal:
        positions(typed, count)
    assert str(refusal.value).isprintable()


@given(
    st.text(max_size=40) | st.from_regex(r"(circle|row|pan|points|grid) ?([0-9]{1,3}[x, .]?){0,6}", fullmatch=True),
    st.none() | st.integers(-3, 300),
)
def test_any_text_is_a_layout_in_the_box_or_refused_in_words(typed: str, count: int | None) -> None:
    try:
        layout = positions(typed, count)
    except ValueError as refusal:
        assert str(refusal).isprintable()  # noqa: PT017  either outcome is right
    else:
        assert all(-1e-9 <= number <= 1 + 1e-9 for point in layout.points for number in point)
        assert len(set(layout.points)) == layout.count
