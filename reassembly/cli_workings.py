"""`reassembly workings`: every computation of the trade from the command line."""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING, Any

import click

from reassembly.cli_base import Wrong, notation, tell, tell_data, warn, with_data, with_json

if TYPE_CHECKING:
    from reassembly.trade.computation import Computation, Result


@click.command()
@click.argument("words", metavar="[NAME] [INPUT=TEXT]...", nargs=-1)
@with_data
@with_json
def workings(words: tuple[str, ...], as_json: bool) -> None:
    """Compute a number of the trade and show how: formula, inputs, source.

    Without a NAME all computations are listed, each with an example; with a NAME alone, what it takes. A value is
    typed with its unit, as at the bench; a bare number is taken in the unit that is shown beside its input.

    \b
    Example:
      reassembly workings
      reassembly workings stress-area
      reassembly workings stress-area thread=M10x1.25
      reassembly workings convert value="62 ft lbs" to=N.m --json
    """
    from reassembly.trade.catalogue import named

    name, typed = _read(words)
    if not name:
        if typed:
            raise Wrong("Name the computation before its inputs: reassembly workings lists them.")
        _list(as_json)
        return
    try:
        computation = named(name)
        if not typed:
            _describe(computation, as_json)
            return
        result = computation.of_text(typed)
    except ValueError as why:
        raise Wrong(f"{why}".rstrip(".?") + ("?" if f"{why}".endswith("?") else ".")) from why
    if as_json:
        tell_data(_data(result))
    else:
        _tell(result)


def _read(words: tuple[str, ...]) -> tuple[str, dict[str, str]]:
    """The name, which may be several words, and the inputs by name."""
    name = " ".join(word for word in words if "=" not in word)
    typed: dict[str, str] = {}
    for word in words:
        key, equals, text = word.partition("=")
        if equals and key in typed:
            raise Wrong(f"{key} was given twice: once is enough.")
        if equals:
            typed[key] = text
    return name, typed


def example(computation: Computation) -> str:
    """A command that can be typed as it stands."""
    inputs = " ".join(shlex.quote(f"{name.replace(' ', '-')}={text}") for name, text in computation.example.items())
    return f"reassembly workings {computation.name.replace(' ', '-')} {inputs}"


def _list(as_json: bool) -> None:
    from reassembly.trade.catalogue import CATALOGUE, EVERY

    if as_json:
        tell_data([_about(each) for each in EVERY])
        return
    for heading, rows in CATALOGUE.items():
        tell(heading.upper())
        for each in rows:
            tell(f"  {each.name:<24}{each.says}")
            tell(f"      {example(each)}")
        tell()
    tell("A name alone tells what else it takes: reassembly workings stress-area")


def _describe(computation: Computation, as_json: bool) -> None:
    from reassembly.trade.inputs import in_words

    if as_json:
        tell_data(_about(computation))
        return
    tell(f"{computation.name}: {computation.says}")
    for each in computation.inputs:
        left_out = {None: "", "": "; may be left out"}.get(each.default, f"; {each.default} if left out")
        told = "; ".join(filter(None, [in_words(each.kind, each.unit), each.says]))
        tell(f"  {each.name + '=' + each.example:<28}{told}{left_out}")
    tell("Example:")
    tell(f"  {example(computation)}")


def _about(computation: Computation) -> dict[str, Any]:
    from reassembly.trade.inputs import in_words

    return {
        "name": computation.name,
        "also_called": computation.also,
        "says": computation.says,
        "inputs": [
            {
                "name": each.name,
                "also_called": each.also,
                "takes": in_words(each.kind, each.unit),
                "needed": each.default is None,
                "default": each.default,
                "example": each.example,
                "says": each.says,
            }
            for each in computation.inputs
        ],
        "example": example(computation),
    }


def _data(result: Result) -> dict[str, Any]:
    return {
        "name": result.computation.name,
        **result.workings.as_json(),
        "assumed": result.remarks,
        "also": [{"title": title, **each.as_json()} for title, each in result.also],
    }


def _tell(result: Result) -> None:
    tell(result.computation.name)
    decimal = notation().decimal
    for line in result.workings.lines(decimal):
        tell(f"  {line}")
    for remark in result.remarks:
        warn(remark)
    for title, each in result.also:
        tell()
        tell(title)
        for line in each.lines(decimal):
            tell(f"  {line}")
