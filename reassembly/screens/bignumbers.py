"""A few numbers as large as their place allows, each under its title and beside its unit."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING, NamedTuple

from textual.content import Content
from textual.widget import Widget

from reassembly.screens.figures import block
from reassembly.screens.text import cut

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from textual.app import RenderResult

    from reassembly.job.joint import Joint
    from reassembly.job.notation import Notation
    from reassembly.job.tightening import StageAsked

PLAIN = 14  # cells for what cannot be drawn in blocks


class Number(NamedTuple):
    """Title, the number or a short word in capitals, and its unit."""

    title: str
    text: str
    unit: str = ""


class BigNumbers(Widget):
    """Below one another where they fit, else beside one another, else in plain letters."""

    def __init__(self, id: str) -> None:  # noqa: A002 - Textual's own word
        super().__init__(id=id)
        self._numbers: tuple[Number, ...] = ()

    def show(self, numbers: Iterable[Number], notation: Notation) -> None:
        self._numbers = tuple(number._replace(text=notation.computed(number.text)) for number in numbers)
        self.refresh()

    def render(self) -> RenderResult:
        return Content.styled("\n".join(arranged(self._numbers, self.size.width, self.size.height)), "bold")


def arranged(numbers: Sequence[Number], width: int, height: int) -> list[str]:
    """The largest arrangement that fits."""
    for scale, across in ((3, False), (2, False), (2, True), (1, False), (1, True)):
        columns = [_drawn(number, scale) for number in numbers]
        rows = _beside(columns) if across else [row for column in columns for row in column]
        if rows and len(rows) <= height and max(map(len, rows)) <= width:
            return rows
    return [cut(f"{n.title} {n.text} {n.unit}".strip(), width) for n in numbers]


def _drawn(number: Number, scale: int) -> list[str]:
    rows = block(number.text, scale) or [cut(number.text, PLAIN)]
    return [number.title, *rows[:-1], f"{rows[-1]} {number.unit}".rstrip()]


def _beside(columns: Sequence[list[str]]) -> list[str]:
    widths = [max(map(len, column)) for column in columns]
    return [
        "   ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in zip_longest(*columns, fillvalue="")
    ]


def value_of(stage: StageAsked, torque_unit: str) -> Number:
    """What a stage asks, as a number to read from afar."""
    from reassembly.trade.quantity import read

    if stage.kind == "by hand":
        return Number("turn in", "BY HAND")
    title = {"angle": "turn further", "back off": "back off", "check pass": "check at"}.get(stage.kind, "torque")
    turned = stage.kind in {"angle", "back off"}
    try:
        reading = read(stage.value, "angle", "deg") if turned else read(stage.value, "torque", torque_unit)
    except ValueError:
        return Number(title, stage.value)
    return Number(title, str(reading.number), reading.unit)


def position_of(found: Joint, at: int | None) -> Iterator[Number]:
    """The position that is next, if one is."""
    if at is not None:
        yield Number(f"position of {found.stage.positions}", str(at))
