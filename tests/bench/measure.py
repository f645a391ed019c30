"""Ratios to a floor: both sides are tried by turns, so that whatever else the machine does slows both."""

from __future__ import annotations

from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence


_LONGEST = 20  # signs: what grows fourfold and more


class Row(NamedTuple):
    """One line of the table. `aim` is the ratio that `ours` may at most have to `floor`; None where none is set."""

    what: str
    floor: float
    ours: float
    unit: str
    aim: float | None
    at_least: bool = False

    @property
    def ratio(self) -> float:
        return self.ours / self.floor

    @property
    def met(self) -> bool | None:
        if self.aim is None:
            return None
        return self.ratio >= self.aim if self.at_least else self.ratio <= self.aim


def table(rows: list[Row]) -> Iterator[str]:
    """The rows as Markdown."""
    yield "| what | floor | ours | ratio | aim | met |"
    yield "|---|---|---|---|---|---|"
    for row in rows:
        aim = "" if row.aim is None else f"{'at least' if row.at_least else 'at most'} {row.aim}"
        met = "" if row.met is None else "yes" if row.met else "**no**"
        floor, ours = (f"{_told(value)} {row.unit}" for value in (row.floor, row.ours))
        yield f"| {row.what} | {floor} | {ours} | {row.ratio:.2f} | {aim} | {met} |"


def chart(years: Sequence[int], measured: Sequence[Sequence[Row]]) -> Iterator[str]:
    """How the ratio of each row to its floor goes with the years; the first year's is five signs long."""
    for rows in zip(*measured, strict=True):
        bars = ["#" * min(_LONGEST, round(5 * row.ratio / rows[0].ratio)) for row in rows]
        drawn = " ".join(f"{year:>2} {bar:<{_LONGEST}}" for year, bar in zip(years, bars, strict=True))
        told = ", ".join(_told(row.ours) for row in rows)
        yield f"{rows[0].what.partition(',')[0]:<30} {drawn} {told} {rows[0].unit}"


def by_turns(times: int, *tries: Callable[[int], float]) -> list[float]:
    """The median of what each try measures, tried by turns; the first turn warms up and does not count."""
    measured = [[each(turn) for each in tries] for turn in range(times + 1)][1:]
    return [median(values) for values in zip(*measured, strict=True)]


def timed(work: Callable[[int], object]) -> Callable[[int], float]:
    """Milliseconds that some work takes."""

    def measure(turn: int) -> float:
        at = perf_counter()
        work(turn)
        return (perf_counter() - at) * 1000

    return measure


def _told(value: float) -> str:
    """Three digits."""
    return f"{value:,.0f}" if value >= 100 else f"{value:.3g}"
