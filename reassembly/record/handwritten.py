"""One line of a file of entries, read: what it says, or in which field it goes wrong."""

from __future__ import annotations

import difflib
import json
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from datetime import datetime
from typing import TYPE_CHECKING, Any, NamedTuple

import msgspec

from reassembly.job.doubts import too_long, too_long_in
from reassembly.job.entries import (
    CustomerNamed,
    DetailsErased,
    Entry,
    EntryStruck,
    Fact,
    Stage,
    Unknown,
    kinds,
    read,
    read_fact,
)
from reassembly.record.customer import Customer, Detail
from reassembly.record.customer import read as read_customer
from reassembly.record.desk import SHOP_FACTS
from reassembly.record.writing import kind_of

if TYPE_CHECKING:
    from reassembly.job.doubt import Doubt

Refuse = Callable[[Fact], Sequence[str]]
"""Why a fact should not be said, in words; nothing when it may."""

Raws = dict[str, msgspec.Raw]

_VERSION: int = Entry.__struct_defaults__[0]
_KINDS = {kind.__name__: kind for kind in kinds()}
_ENVELOPE = frozenset(Entry.__struct_fields__)
_BY_HAND = _ENVELOPE - {"hlc", "previous"} | {"details"}
_BENCH = re.compile(r"[A-Za-z0-9]{1,16}", re.ASCII)
_ID = re.compile(r"([A-Za-z0-9]{1,16})\.([1-9][0-9]{0,17})", re.ASCII)
_AT = re.compile(r"(.*?)(?: - at `\$\.?(.*)`)?", re.DOTALL)
_MISSING = re.compile(r"Object missing required field `(\w+)`")
_BRACKETS = re.compile(rb'"[^"\\]*(?:\\.[^"\\]*)*"|[\[\]{}]', re.DOTALL)
_HALF_A_CHARACTER = re.compile(
    rb"\\u[dD][89abAB][0-9a-fA-F]{2}(?!\\u[dD][c-fC-F])|(?<!\\u[dD][89abAB][0-9a-fA-F]{2})\\u[dD][c-fC-F][0-9a-fA-F]{2}"
)
_DEEPEST = 30
_LONGEST_JOB = 64
_YEARS = range(1970, 2200)
_WORDS = {
    "int": "a whole number",
    "str": "text",
    "bool": "true or false",
    "array": "a list",
    "object": "an object",
    "null": "nothing",
    "float": "a number",
}


class LineError(NamedTuple):
    """What is wrong in a line. `field` is as `fact.count`; `` for the line as a whole. Lines count from 1."""

    line: int
    field: str
    words: str

    def __str__(self) -> str:
        return f"line {self.line}: {f'{self.field}: ' if self.field else ''}{self.words}"


class Dumped(NamedTuple):
    """An entry as it was dumped."""

    body: bytes
    entry: Entry[Any]

    @property
    def bench(self) -> str:
        return self.entry.bench


class Words(NamedTuple):
    """A customer's words, to stand beside the entry that names them."""

    bench: str
    number: int
    detail: Detail


class Said(NamedTuple):
    """A fact written by hand. What the line left out is empty, a job or a number None."""

    fact: Fact
    bench: str = ""
    number: int | None = None
    time: str = ""
    milliseconds: int | None = None
    who: str = ""
    job: str | None = None
    details: Customer | None = None

    @property
    def of_shop(self) -> bool:
        return isinstance(self.fact, SHOP_FACTS)


class _Envelope(msgspec.Struct):
    version: int = 1
    bench: str | None = None
    number: int | None = None
    time: str | None = None
    clock_trusted: bool | None = None
    who: str | None = None
    job: str | None = None


class _Slip(Exception):
    def __init__(self, field: str, words: str) -> None:
        super().__init__(words)
        self.field = field
        self.words = words


def read_line(number: int, line: bytes, refuse: Refuse, errors: list[LineError]) -> Dumped | Said | Words | None:
    """What a line says. What is wrong with it goes to `errors`, and then there is nothing to say."""
    line = line.strip()
    before = len(errors)
    try:
        if _depth(line) > _DEEPEST:
            raise _Slip("", f"has more than {_DEEPEST} brackets in each other: no entry is like that")
        raws = msgspec.json.decode(line, type=Raws)
        if name := _repeated(line):
            raise _Slip("", f"{name!r} stands twice in one place: leave one of the two out")
        found: Dumped | Said | Words
        if "details_of" in raws:
            found = _words(raws)
        elif raws.keys() >= _ENVELOPE - {"clock_trusted"}:
            found = _dumped(line)
        else:
            errors += (LineError(number, slip.field, slip.words) for slip in _strangers(raws))
            found = _said(raws)
            errors += (LineError(number, "fact", words) for words in refuse(found.fact))
    except _Slip as slip:
        errors.append(LineError(number, slip.field, slip.words))
    except msgspec.ValidationError:
        errors.append(LineError(number, "", 'should be one entry in braces, {"fact": {...}}'))
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        half = _HALF_A_CHARACTER.search(line)
        if half:
            errors.append(LineError(number, "", f"{half[0].decode()} is half of a character: write that word again"))
            return None
        errors.append(LineError(number, "", f"is no JSON: {error}"))
    return found if len(errors) == before else None


def _depth(line: bytes) -> int:
    """How many brackets are open at once, at most. JSON readers go as deep as the stack, and then fail."""
    deepest = depth = 0
    if line.count(b"[") + line.count(b"{") > _DEEPEST:
        for bracket in _BRACKETS.findall(line):
            depth += bracket in b"[{" or -(bracket in b"]}")
            deepest = max(deepest, depth)
    return deepest


def _dumped(line: bytes) -> Dumped:
    with _Field(""):
        entry = read(line)
    with _Field("fact"):
        kind = kind_of(entry.fact)
    if isinstance(entry.fact, Unknown) and entry.version <= _VERSION and kind in _KINDS:
        with _Field("fact"):
            read_fact(entry.fact.raw)
    _job_can_be_named(entry.job)
    return Dumped(line, entry)


def _job_can_be_named(job: str) -> None:
    """A job is named on labels, on the command line and by the files made of it."""
    if job != job.strip() or not job.isprintable() or len(job) > _LONGEST_JOB or job.startswith(".") or "/" in job:
        shown = f"{job[:_LONGEST_JOB]!r}{'...' if len(job) > _LONGEST_JOB else ''}"
        raise _Slip(
            "job", f"{shown} is no job's id: one line of at most {_LONGEST_JOB} letters, digits and signs, and no /"
        )


def _words(raws: Raws) -> Words:
    for name in raws.keys() - {"details_of", "salt", "details"}:
        raise _Slip(name, f"is unknown{_likely(name, ('details_of', 'salt', 'details'))}")
    with _Field("details_of"):
        which = _ID.fullmatch(msgspec.json.decode(raws["details_of"], type=str))
    if which is None:
        raise _Slip("details_of", "should be an entry, as KD.3")
    with _Field("salt"):
        salt = msgspec.json.decode(raws.get("salt", msgspec.Raw(b"null")), type=str)
    with _Field("details"):
        customer = read_customer(raws.get("details", msgspec.Raw(b"null")))
    return Words(which[1], int(which[2]), Detail.of(customer, salt))


def _said(raws: Raws) -> Said:
    if "fact" not in raws:
        raise _Slip("fact", f"is missing{_likely('fact', raws)}")
    with _Field(""):
        envelope = msgspec.convert({k: msgspec.json.decode(v) for k, v in raws.items() if k != "fact"}, _Envelope)
    if envelope.version != _VERSION:
        raise _Slip("version", f"should be {_VERSION}, or left out")
    if envelope.bench is not None and not _BENCH.fullmatch(envelope.bench):
        raise _Slip("bench", "should be 1 to 16 letters and digits")
    if envelope.number is not None and (envelope.bench is None or not 0 < envelope.number < 10**18):
        raise _Slip("number", "counts from 1, has at most 18 digits, and stands beside a bench")
    _job_can_be_named(envelope.job or "")
    details = None
    if "details" in raws:
        with _Field("details"):
            details = read_customer(raws["details"])
    said = Said(
        fact=_fact(raws["fact"], named=details is not None),
        bench=envelope.bench or "",
        number=envelope.number,
        time=envelope.time or "",
        milliseconds=_milliseconds(envelope.time) if envelope.time else None,
        who=envelope.who or "",
        job=envelope.job,
        details=details,
    )
    for doubt in _too_long(said):
        raise _Slip(doubt.field, doubt.sentence)
    if details is not None and not isinstance(said.fact, CustomerNamed):
        raise _Slip("details", "belong to a CustomerNamed")
    if said.of_shop and said.job:
        raise _Slip("job", f"{kind_of(said.fact)} is said of the shop: leave the job out")
    if said.job == "" and not said.of_shop and not isinstance(said.fact, EntryStruck | DetailsErased):
        raise _Slip("job", f"{kind_of(said.fact)} belongs to a job: name it")
    return said


def _too_long(said: Said) -> Iterator[Doubt]:
    """What is kept from a line is no longer than what a screen takes."""
    yield from too_long("who", "who", [said.who])
    yield from (doubt._replace(field=f"fact.{doubt.field}") for doubt in too_long_in(said.fact))
    for name in Customer.__struct_fields__ if said.details else ():
        yield from too_long(f"details.{name}", name, [getattr(said.details, name)])


def _repeated(line: bytes) -> str:
    """A field that stands twice in one object: readers of JSON differ in which of the two they take."""
    twice: list[str] = []

    def look(pairs: list[tuple[str, Any]]) -> None:
        if len(dict(pairs)) < len(pairs):
            names = [name for name, _ in pairs]
            twice.extend(name for name in names if names.count(name) > 1)

    with suppress(ValueError):  # what is no JSON inside is told where it is read
        json.loads(line, object_pairs_hook=look, parse_int=str, parse_float=str, strict=False)
    return twice[0] if twice else ""


def _fact(raw: msgspec.Raw, *, named: bool) -> Fact:
    with _Field("fact"):
        fields = msgspec.json.decode(raw, type=dict[str, Any])
    name = fields.get("kind")
    kind = _KINDS.get(name) if isinstance(name, str) else None
    if kind is None:
        if name is None:
            raise _Slip("fact.kind", f"is missing{_likely('kind', fields)}")
        raise _Slip("fact.kind", f"{name!r} is unknown{_likely(str(name), _KINDS)}")
    for path, found, known in _levels(kind, fields):
        for field in found:
            if field not in known:
                raise _Slip(f"{path}.{field}", f"is unknown in a {name}{_likely(field, known)}")
    if named and kind is CustomerNamed:
        fields.setdefault("digest", "")
    with _Field("fact", kind):
        fact = read_fact(msgspec.json.encode(fields))
    if isinstance(fact, CustomerNamed) and not named and not re.fullmatch("[0-9a-f]{64}", fact.digest):
        raise _Slip("fact.digest", 'should be 64 hex digits; or give "details" beside the fact')
    return fact


def _levels(kind: type[Fact], fields: dict[str, Any]) -> Iterator[tuple[str, Iterable[str], Sequence[str]]]:
    """Path, fields found and fields known, of a fact and of each stage in it."""
    yield "fact", fields, ("kind", *kind.__struct_fields__)
    stages = fields.get("stages")
    for place, stage in enumerate(stages if isinstance(stages, list) else ()):
        if isinstance(stage, dict):
            yield f"fact.stages[{place}]", stage, Stage.__struct_fields__


def _strangers(raws: Raws) -> Iterator[_Slip]:
    for name in raws:
        if name in ("hlc", "previous"):
            yield _Slip(name, "is made here: leave it out, or bring the entry whole, as it was dumped")
        elif name not in _BY_HAND:
            yield _Slip(name, f"is unknown{_likely(name, _BY_HAND)}")


def _milliseconds(text: str) -> int:
    try:
        read = datetime.fromisoformat(text)
        if read.year in _YEARS:
            return max(int(read.astimezone().timestamp() * 1000), 0)
    except (ValueError, OverflowError):
        raise _Slip("time", f"{text!r} should be a date and time, as 2026-03-14T16:55:03+01:00") from None
    raise _Slip("time", f"{text!r} should be between {_YEARS[0]} and {_YEARS[-1]}")


def _likely(slip: str, known: Iterable[str]) -> str:
    """The word that was meant, if one is near."""
    by_lower = {word.lower(): word for word in known}
    near = difflib.get_close_matches(slip.lower(), by_lower, 1)
    return f": did you mean {by_lower[near[0]]!r}?" if near else ""


class _Field:
    """Around the reading of a field: its error as a slip, in plain words."""

    def __init__(self, path: str, kind: type[Fact] | None = None) -> None:
        self._path = path
        self._kind = kind

    def __enter__(self) -> None:
        pass

    def __exit__(self, _type: object, error: BaseException | None, _trace: object) -> None:
        if not isinstance(error, msgspec.ValidationError):
            return
        parts = _AT.fullmatch(str(error))
        assert parts is not None
        words, inner = parts[1], parts[2] or ""
        missing = _MISSING.fullmatch(words)
        if missing:
            inner = f"{inner}.{missing[1]}" if inner else missing[1]
            words = "is missing"
        words = re.sub(r"`([\w| ]+)`", lambda m: " or ".join(_WORDS.get(w, w) for w in m[1].split(" | ")), words)
        choices = self._choices(inner) if words.startswith("Invalid enum value") else ""
        path = ".".join(filter(None, (self._path, inner)))
        raise _Slip(path, f"{words}{choices}") from None

    def _choices(self, field: str) -> str:
        if self._kind is None:
            return ""
        for known in msgspec.structs.fields(self._kind):
            if known.name == field:
                info = msgspec.inspect.type_info(known.type)
                while isinstance(info, msgspec.inspect.Metadata):
                    info = info.type
                if isinstance(info, msgspec.inspect.LiteralType):
                    return f": one of {', '.join(repr(v) for v in info.values)}"
        return ""
