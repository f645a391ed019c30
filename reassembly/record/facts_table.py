"""The JSON of every fact, as the Markdown in DEVELOPERS.md: `python -m reassembly.record.facts_table DEVELOPERS.md`."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from reassembly.job.entries import CustomerNamed, Entry, Fact, MarkMade, Stage, kinds, write
from reassembly.job.fields import fields

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.job.fields import Field

BEGIN, END = "<!-- facts -->", "<!-- /facts -->"
_BLOCK = re.compile(rf"{BEGIN}.*?{END}", re.DOTALL)

ENVELOPE = {
    "version": "of the format, 1",
    "bench": "the bench it was said at",
    "number": "from 1 at each bench, with no gap",
    "hlc": "hybrid logical clock: milliseconds since 1970 times 65,536, plus a counter; never goes back",
    "time": "the clock on the wall, ISO 8601 with its offset",
    "clock_trusted": "whether something kept that clock right",
    "who": "short name of the person who said it",
    "job": "id of the job; empty for the shop",
    "previous": "SHA-256 of the entry before it at this bench, in hex; empty for the first",
    "fact": "what was said, one of the kinds below",
}

EXAMPLE = Entry(
    bench="KD",
    number=7,
    hlc=116228338679808000,
    time="2026-03-14T16:55:03+01:00",
    clock_trusted=True,
    who="ann",
    job="KD-1",
    previous="9f" * 32,
    fact=MarkMade(
        part="sliding yoke",
        mark="white paint",
        to="output shaft",
        spline_teeth=27,
        marked_tooth=7,
        seen_from="rear",
    ),
)


def markdown() -> str:
    """The whole of it, without the marks around it."""
    return "\n".join(_lines())


def renewed(text: str) -> str:
    """A document with its block made new; the block is put at the end where there is none."""
    block = f"{BEGIN}\n\n{markdown()}\n{END}"
    if _BLOCK.search(text):
        return _BLOCK.sub(lambda _: block, text, count=1)
    return f"{text.rstrip()}\n\n{block}\n".lstrip()


def _lines() -> Iterator[str]:
    yield "Generated from `reassembly/job/entries.py`; do not edit by hand."
    yield ""
    yield "An entry as it is kept, one line, its fields in this order; a field of a fact at its default is left out:"
    yield ""
    yield "```json"
    yield write(EXAMPLE).decode()
    yield "```"
    yield ""
    yield "| entry | what |"
    yield "|---|---|"
    for name, what in ENVELOPE.items():
        yield f"| `{name}` | {what} |"
    yield ""
    yield "Every fact is an object whose `kind` is the heading. *needed*: it has no default and has to be there."
    described: tuple[type, ...] = (*kinds(), Stage)
    for kind in described:
        yield ""
        yield f"#### {kind.__name__}"
        yield ""
        yield f"{(kind.__doc__ or '').strip()}"
        yield ""
        yield "| field | JSON | default | what |"
        yield "|---|---|---|---|"
        for each in fields(kind):
            yield f"| `{each.name}` | {_cell(each.type)} | {_default(each)} | {_cell(_meaning(each))} |"
    yield ""


def says(kind: type) -> str:
    """What a kind of fact says, in a sentence."""
    return " ".join((kind.__doc__ or "").split())


def described(kind: type) -> list[dict[str, Any]]:
    """The fields of a kind, each with its JSON in words."""
    return [
        {
            "name": each.name,
            "json": each.type,
            "needed": each.required,
            "default": msgspec.to_builtins(each.default),
            "what": _meaning(each),
        }
        for each in fields(kind)
    ]


def example(kind: type[Fact]) -> str:
    """A line written by hand that can be appended: the fields that are needed, and nothing else."""
    fact = {"kind": kind.__name__, **{each.name: _given(each.type) for each in fields(kind) if each.required}}
    if kind is CustomerNamed:  # its digest is made of the words beside it
        return _line({"fact": {"kind": kind.__name__}, "details": {"name": "..."}})
    return _line({"fact": fact})


def _line(data: object) -> str:
    return msgspec.json.format(msgspec.json.encode(data), indent=0).decode()


def _given(of: str) -> object:
    """Something of the type that these words say."""
    if of.startswith('"'):
        return of.split('"')[1]
    beginnings = {"a whole number": 1, "list of text": ["..."], "list of Stage": [{"kind": "by hand"}], "object": {}}
    return next((given for words, given in beginnings.items() if of.startswith(words)), "...")


def _default(of: Field) -> str:
    return "*needed*" if of.required else f"`{msgspec.json.encode(of.default).decode()}`"


def _meaning(of: Field) -> str:
    return f"{of.title}: {of.description}" if of.description else of.title


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("<", "&lt;")


def main() -> None:
    path = Path(sys.argv[1])
    path.write_text(renewed(path.read_text("utf-8") if path.exists() else ""), "utf-8")


if __name__ == "__main__":
    main()
