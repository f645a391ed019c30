"""A computation that can be named and run from text: what it takes, an example of each, and what it gives."""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.trade.inputs import Understood, understand
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

NEEDED = None
"""The default of an input that has none."""


class Input(NamedTuple):
    """One thing a computation takes. `kind` is a dimension or one of `inputs.KINDS`, `unit` is meant where none is
    typed, `default` is text as typed: NEEDED where it has to be given, "" where it may be left out. What may be left
    out and is `usual` stands in the example all the same."""

    name: str
    kind: str
    example: str
    default: str | None = NEEDED
    unit: str = ""
    also: tuple[str, ...] = ()
    says: str = ""
    usual: bool = False


class Result(NamedTuple):
    """What a computation gave. `also` are numbers on the way, each with its title; `remarks` what was assumed."""

    computation: Computation
    workings: Workings[Any]
    also: tuple[tuple[str, Workings[Any]], ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Computation:
    """One computation of the trade. `run` takes the inputs in their order and gives workings, or several with titles
    of which the first is the answer."""

    name: str
    says: str
    run: Callable[..., Workings[Any] | Sequence[tuple[str, Workings[Any]]]]
    inputs: tuple[Input, ...]
    also: tuple[str, ...] = ()

    @property
    def example(self) -> dict[str, str]:
        """Every needed and every usual input, with its example."""
        return {each.name: each.example for each in self.inputs if each.usual or each.default is NEEDED}

    def of_text(self, typed: Mapping[str, str]) -> Result:
        """Run it on what was typed, by the inputs' names. Raises ValueError with one sentence."""
        given = self._by_name(typed)
        missing = [each.name for each in self.inputs if each.default is NEEDED and not given.get(each.name)]
        if missing:
            wanted = " ".join(f"{each.name}={each.example}" for each in self.inputs if each.name in missing)
            raise ValueError(f"{self.name} needs {' and '.join(missing)} too: for example {wanted}")
        values, remarks = [], []
        for each in self.inputs:
            read = self._read(each, given.get(each.name) or each.default or "")
            values.append(read.value)
            remarks += [read.remark] if read.remark and each.name in given else []
        found = self.run(*values)
        if isinstance(found, Workings):
            return Result(self, found, (), tuple(remarks))
        (_, answer), *others = found
        return Result(self, answer, tuple(others), tuple(remarks))

    def _read(self, wanted: Input, text: str) -> Understood:
        if not text and wanted.default is not NEEDED:
            return Understood(None)
        try:
            return understand(text, wanted.kind, wanted.unit)
        except ValueError as why:
            raise ValueError(f"{wanted.name}: {why}") from None

    def _by_name(self, typed: Mapping[str, str]) -> dict[str, str]:
        """The texts by the inputs' own names; an unbalance may be given as mass and radius."""
        known = {fold(name): each.name for each in self.inputs for name in (*each.also, each.name)}
        parts = {fold(name): " ".join(text.split()) for name, text in typed.items()}
        whole = next((each for each in self.inputs if each.kind == "unbalance"), None)
        if whole and fold(whole.name) not in parts and "mass" in parts and "radius" in parts and "radius" not in known:
            parts[fold(whole.name)] = f"{parts.pop('mass')} at {parts.pop('radius')}"
        given: dict[str, str] = {}
        for name, text in parts.items():
            if name not in known:
                takes = ", ".join(each.name for each in self.inputs)
                raise ValueError(f"{self.name} has no {name}: it takes {takes}")
            if known[name] in given:
                raise ValueError(f"{known[name]} was given twice: once is enough")
            given[known[name]] = text
        return given


def fold(name: str) -> str:
    """A name as it is compared: case, hyphens and spaces do not matter."""
    return " ".join(re.sub(r"[-_\s]+", " ", name.casefold()).split())


def find(computations: Iterable[Computation], name: str) -> Computation:
    """The computation of this name, or the only one with these words in its name. Raises ValueError that names the
    nearest."""
    every = tuple(computations)
    by_name = {fold(called): each for each in every for called in (*each.also, each.name)}
    wanted = fold(name)
    if wanted in by_name:
        return by_name[wanted]
    words = set(wanted.split())
    with_all = [each for each in every if words and words <= set(fold(each.name).split())]
    if len(with_all) == 1:
        return with_all[0]
    alike = [by_name[n].name for n in get_close_matches(wanted, by_name, 3, 0.6)]
    alike += [each.name for each in every if words & set(fold(each.name).split())]
    near = list(dict.fromkeys(alike))[:6]
    hint = f"is it {', '.join(near)}?" if near else "reassembly workings lists them all"
    raise ValueError(f"no computation is called {name}: {hint}")
