"""What a kind of fact is made of: the title, explanation and type of each of its fields, read from entries.py."""

from __future__ import annotations

from functools import cache
from typing import Any, NamedTuple

import msgspec.inspect as inspect


class Field(NamedTuple):
    """One field of a fact. `type` is in words; `default` is None where the field has to be given."""

    name: str
    title: str
    description: str
    type: str
    required: bool
    default: object


@cache
def fields(kind: type) -> tuple[Field, ...]:
    """The fields of one kind, in the order of the file format."""
    found = inspect.type_info(kind)
    assert isinstance(found, inspect.StructType)
    return tuple(_field(each) for each in found.fields)


def field(kind: type, name: str) -> Field:
    """One field by its name. Raises KeyError for another name."""
    return {each.name: each for each in fields(kind)}[name]


def _field(found: inspect.Field) -> Field:
    told = _told(found.type)
    default = None if found.required else found.default
    return Field(
        found.name,
        told.get("title", found.name.replace("_", " ")),
        told.get("description", ""),
        _words(found.type),
        found.required,
        default,
    )


def _told(of: inspect.Type) -> dict[str, Any]:
    """Title and description, which stand inside the union where a field may be left out."""
    if isinstance(of, inspect.Metadata):
        return of.extra_json_schema or {}
    if isinstance(of, inspect.UnionType):
        return next((told for each in of.types if (told := _told(each))), {})
    return {}


def _words(of: inspect.Type) -> str:
    match of:
        case inspect.Metadata(type=inner):
            return _words(inner)
        case inspect.UnionType(types=several):
            return " or ".join("nothing" if isinstance(each, inspect.NoneType) else _words(each) for each in several)
        case inspect.LiteralType(values=values):
            return ", ".join(f'"{value}"' for value in values)
        case inspect.IntType(ge=low, le=high):
            return (
                f"a whole number{f' from {low}' if low is not None else ''}{f' to {high}' if high is not None else ''}"
            )
        case inspect.StrType():
            return "text"
        case inspect.BoolType():
            return "true or false"
        case inspect.VarTupleType(item_type=inspect.StructType(cls=cls)):
            return f"list of {cls.__name__}"
        case inspect.VarTupleType(item_type=item):
            return f"list of {_words(item).removeprefix('a ')}"
        case inspect.DictType(key_type=key, value_type=value):
            return f"object, {_words(key)} to {_words(value)}"
    raise TypeError(f"no words for {of}")
