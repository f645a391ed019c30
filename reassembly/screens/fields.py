"""The fields of a fact, from the file format itself: what to ask, and how to read what was typed."""

from __future__ import annotations

import re
import types
from typing import TYPE_CHECKING, Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin, get_type_hints

import msgspec
from msgspec import Meta

from reassembly.job.entries import LevelChecked, Stage
from reassembly.job.job import parts

if TYPE_CHECKING:
    from reassembly.job.entries import Fact
    from reassembly.job.job import Job

Shape = Literal["text", "number", "choice", "yes or no", "list", "stages", "order", "part", "parts"]

# An answer that proves something is never made by a form: it begins empty and has to be chosen.
_TO_BE_SAID = frozenset({(LevelChecked, "found")})
_PART_FIELDS = frozenset({"part", "parent", "other"})


class Field(NamedTuple):
    """One thing a form asks. `start` is what stands in it at first, as a person would type it."""

    name: str
    title: str
    hint: str
    shape: Shape
    choices: tuple[str, ...]
    needed: bool
    start: str


class Misfit(ValueError):
    """What was typed cannot be read; says in which field, and what to type."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


def fields_of(kind: type[Fact], hidden: frozenset[str] = frozenset(), start: Fact | None = None) -> tuple[Field, ...]:
    """The fields of a kind in the order of the file format, those hidden left out; `start` fills them in."""
    hints = get_type_hints(kind, include_extras=True)
    found = []
    for field in msgspec.structs.fields(kind):
        if field.name in hidden:
            continue
        meta, inner = _unwrapped(hints[field.name])
        shape, choices = _shape(field.name, inner)
        value = getattr(start, field.name) if start is not None else None if field.required else field.default
        to_be_said = (kind, field.name) in _TO_BE_SAID
        if to_be_said:
            choices, value = ("", *choices), getattr(start, field.name, "")
        found.append(
            Field(
                field.name,
                (meta.title if meta else None) or field.name,
                (meta.description if meta else None) or "",
                shape,
                choices,
                field.required or to_be_said,
                "; ".join(value) if shape == "parts" and value else typed(value),
            )
        )
    return tuple(found)


def typed(value: Any) -> str:
    """A field's value as a person would have typed it: the inverse of `read`."""
    if value is None or value is msgspec.NODEFAULT:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        if any(isinstance(v, Stage) for v in value):
            return ", ".join(_stage_typed(stage) for stage in value)
        return _listed([str(v) for v in value])
    return str(value)


def read(field: Field, text: str, job: Job) -> Any:
    """What was typed as the field's value. Raises Misfit."""
    text = text.strip()
    if field.needed and not text:
        raise Misfit(field.name, f"{field.title} is needed: {field.hint}")
    match field.shape:
        case "text":
            return text
        case "yes or no":
            return text == "yes"
        case "choice":
            return text
        case "part":
            return read_part(field, text, job)
        case "number":
            return _number(field, text)
        case "parts":
            return tuple(read_part(field, one.strip(), job) for one in text.split(";") if one.strip())
        case "list":
            return _several(text)
        case "stages":
            return _stages(field, text, job.opened.torque_unit)
        case "order":
            return tuple(_number(field, one) for one in text.replace(",", " ").replace("-", " ").split())


def read_part(field: Field, text: str, job: Job) -> str:
    """A part by its id or name, as far as it tells it from the others. Raises Misfit naming what it could be."""
    wanted = " ".join(text.casefold().split())
    every = parts(job)
    if not wanted:
        return ""
    exact = [part for part in (text, wanted) if part in every]
    if exact:
        return exact[0]
    named = [p.id for p in every.values() if p.name.casefold() == wanted]
    alike = named or [p.id for p in every.values() if wanted in p.name.casefold()]
    if len(alike) == 1:
        return alike[0]
    if alike:
        raise Misfit(field.name, f"{field.title}: {text} could be {', '.join(alike[:4])}: say which")
    raise Misfit(field.name, f"{field.title}: no part of this job is called {text}")


def _several(text: str) -> tuple[str, ...]:
    """`20 20 25`; `20 mm 25 mm`; `20,5, 25`; `20; 25`. A comma inside a number is a decimal one."""
    if ";" in text:
        pieces = text.split(";")
    elif re.search(r",(\s|$)", text) or text.count(",") > 1:
        pieces = re.split(r",\s+|,$" if re.search(r",(\s|$)", text) else ",", text)
    else:
        pieces = re.split(r"\s+(?=[\d.])", text)
    return tuple(one.strip() for one in pieces if one.strip())


def _listed(several: list[str]) -> str:
    """As `_several` reads them back."""
    for text in (" ".join(several), ", ".join(several)):
        if list(_several(text)) == several:
            return text
    return "; ".join(several) + ";" * (len(several) == 1)


def _number(field: Field, text: str) -> int | None:
    if not text:
        return None
    if not (text.isascii() and text.isdigit()) or len(text) > 6:
        raise Misfit(field.name, f"{field.title}: {text[:20]} is not a whole number: type figures only")
    return int(text)


def _stages(field: Field, text: str, unit: str) -> tuple[Stage, ...]:
    from reassembly.trade.stages import read_stages

    if not text:
        return ()
    try:
        return tuple(Stage(stage.kind, stage.value) for stage in read_stages(text, unit or None))
    except ValueError as error:
        raise Misfit(field.name, f"{field.title}: {error}") from error


def _stage_typed(stage: Stage) -> str:
    if stage.kind in {"torque", "angle"}:
        return stage.value
    return f"{stage.kind} {stage.value}".strip()


def _unwrapped(hint: Any) -> tuple[Meta | None, Any]:
    """The description and the bare type, whether it may be left out or not."""
    if get_origin(hint) is Annotated:
        bare, *extras = get_args(hint)
        return next((e for e in extras if isinstance(e, Meta)), None), bare
    if get_origin(hint) in {Union, types.UnionType}:
        return _unwrapped(next(a for a in get_args(hint) if a is not type(None)))
    return None, hint


def _shape(name: str, hint: Any) -> tuple[Shape, tuple[str, ...]]:
    if name in _PART_FIELDS:
        return "part", ()
    if name == "parts":
        return "parts", ()
    if get_origin(hint) is Literal:
        return "choice", tuple(get_args(hint))
    if get_origin(hint) is tuple:
        _, inner = _unwrapped(get_args(hint)[0])
        return ("stages" if inner is Stage else "order" if inner is int else "list"), ()
    if hint is bool:
        return "yes or no", ("no", "yes")
    return ("number" if hint is int else "text"), ()
