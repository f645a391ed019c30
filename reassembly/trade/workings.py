"""A computed number with its formula, inputs and source: one shape for every screen, the paper and the command line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from reassembly.trade.quantity import plain, show, symbol

if TYPE_CHECKING:
    from collections.abc import Mapping

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Workings(Generic[T]):
    """A computed number that a second person can check with a pencil.

    `result` and `inputs` (named as in the formula) are quantities, plain numbers, words, or tuples of these."""

    result: T
    formula: str
    inputs: Mapping[str, object]
    source: str
    note: str = ""

    def lines(self, decimal: str = ".") -> list[str]:
        """What a screen or the printed record shows, line by line, its numbers with this decimal sign."""
        result: Any = self.result
        shown = [f"{words(result, decimal)} = {self.formula}"]
        if isinstance(result, tuple) and any(isinstance(each, str) for each in result):
            shown = [*(words(each, decimal) for each in result), f"= {self.formula}"]
        shown += [f"{name} = {words(value, decimal)}" for name, value in self.inputs.items()]
        shown += [f"source: {self.source}"]
        return [*shown, f"note: {self.note}"] if self.note else shown

    def as_json(self) -> dict[str, Any]:
        """Plain lists, dicts, numbers and text, exact where `lines` rounds."""
        return {
            "result": _exact(self.result),
            "formula": self.formula,
            "inputs": {name: _exact(value) for name, value in self.inputs.items()},
            "source": self.source,
            "note": self.note,
        }


def words(value: Any, decimal: str = ".") -> str:
    """A quantity or number to four figures, with its unit and this decimal sign; a word as it is: 10.9 is a class."""
    if isinstance(value, str | int):
        return str(value)
    if isinstance(value, float):
        return plain(value).replace(".", decimal)
    if isinstance(value, tuple | list):
        return ", ".join(words(each, decimal) for each in value)
    number, _, unit = show(value).partition(" ")
    return f"{number.replace('.', decimal)} {unit}".rstrip()


def _exact(value: Any) -> Any:
    if isinstance(value, str | int | float):
        return value
    if isinstance(value, tuple | list):
        return [_exact(each) for each in value]
    return {"value": float(value.m), "unit": symbol(value)}
