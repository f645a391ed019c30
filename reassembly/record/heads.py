"""Heads kept elsewhere show what a chain alone cannot: an end cut off, a chain rewritten, an old copy in its place."""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Self

import msgspec

from reassembly.job.wording import many
from reassembly.record.journal import digest
from reassembly.record.trouble import Refused, of_file
from reassembly.record.writing import NO_HEAD, Head, heads

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Callable, Iterable, Iterator, Mapping
    from pathlib import Path

_DIGEST = re.compile(r"[A-Z2-7]{16}")
_NUMBER = re.compile(r"([A-Za-z0-9]{1,16})\.([1-9][0-9]{0,17})")
_MISREAD = str.maketrans("018", "OIB")  # base32 has no such digits, so that nobody has to tell them from letters
_STEP = 5000


class KeptHead(msgspec.Struct, frozen=True):
    """The last entry of one bench, as paper and backup name it."""

    number: Annotated[int, msgspec.Meta(ge=1, le=(1 << 63) - 1)]
    hash: str


class KeptHeads(msgspec.Struct, frozen=True, kw_only=True):
    """How the journal stood at one moment, kept outside of it."""

    made: str = ""
    """ISO 8601, by the clock of that moment."""
    bench: str = ""
    heads: dict[str, KeptHead]
    found: tuple[str, ...] = ()
    """What verify found wrong then."""
    source: str = ""
    """What kept them, in words: the copy of 2026-03-14 16:55."""

    @classmethod
    def of(cls, now: Mapping[str, Head], *, made: str, bench: str, source: str, found: Iterable[str] = ()) -> Self:
        kept = {name: KeptHead(head.number, head.hash) for name, head in sorted(now.items())}
        return cls(made=made, bench=bench, heads=kept, source=source, found=tuple(found))

    @property
    def digest(self) -> str:
        return digest(self.as_heads)

    @property
    def as_heads(self) -> dict[str, Head]:
        return {bench: Head(head.number, 0, head.hash) for bench, head in self.heads.items()}

    @property
    def entries(self) -> int:
        return sum(head.number for head in self.heads.values())

    def is_no_later_than(self, other: KeptHeads) -> bool:
        """By the clock; False where one was kept without a time."""
        try:
            return datetime.fromisoformat(self.made) <= datetime.fromisoformat(other.made)
        except (ValueError, TypeError):
            return False


def read(path: Path) -> KeptHeads:
    """From a file kept with a backup, an archive of evidence or a record as data. Raises Trouble, Refused."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise of_file(error, path) from error
    try:
        kept = msgspec.json.decode(data, type=KeptHeads)
    except msgspec.MsgspecError:
        raise Refused(
            f"{path} has no heads in it: name the .json beside a backup, or type what the paper says."
        ) from None
    return msgspec.structs.replace(kept, source=kept.source or str(path))


def paper(typed: str) -> tuple[str, dict[str, int]]:
    """What a record says at its end: the digest, and the numbers of the last entries where they were typed (KD.40)."""
    words = typed.replace(",", " ").split()
    numbers = {m[1]: int(m[2]) for word in words if (m := _NUMBER.fullmatch(word))}
    text = "".join(word for word in words if not _NUMBER.fullmatch(word)).replace("-", "").upper().translate(_MISREAD)
    if not _DIGEST.fullmatch(text):
        raise Refused("A record ends with 16 letters and digits, such as ABCD EFGH IJKL MNOP: type those.")
    return text, numbers


def grouped(text: str) -> str:
    """As it is printed."""
    return " ".join(text[at : at + 4] for at in range(0, len(text), 4))


def lacking(now: Mapping[str, Head], kept: KeptHeads) -> list[tuple[str, int, int]]:
    """Bench, first and last number of what was there then and is not there now."""
    ends = {bench: now.get(bench, NO_HEAD).number for bench in kept.heads}
    return [(b, ends[b] + 1, head.number) for b, head in sorted(kept.heads.items()) if head.number > ends[b]]


def span(bench: str, first: int, last: int) -> str:
    """KD.36 to KD.40 are"""
    return f"{bench}.{first} is" if first == last else f"{bench}.{first} to {bench}.{last} are"


def compare(connection: sqlite3.Connection, several: Iterable[KeptHeads]) -> list[str]:
    """What heads kept at several moments have against the journal as it is now, one sentence a bench."""
    by_age = sorted(several, key=lambda kept: kept.entries)
    now = heads(connection)
    at_now = digest(now)
    as_it_was = [kept for kept in by_age if kept.digest == at_now]
    found: list[str] = []
    for bench in sorted({bench for kept in by_age for bench in kept.heads}):
        known = sorted(((k.heads[bench], k) for k in by_age if bench in k.heads), key=lambda pair: pair[0].number)
        found += _of_bench(connection, bench, now.get(bench, NO_HEAD), known, as_it_was)
    return found


def _of_bench(
    connection: sqlite3.Connection,
    bench: str,
    now: Head,
    known: list[tuple[KeptHead, KeptHeads]],
    as_it_was: list[KeptHeads],
) -> Iterator[str]:
    agreed = 0
    for head, kept in known:
        if head.number > now.number:
            break
        if hash_of(connection, bench, head.number) != head.hash:
            yield (
                f"{bench} was rewritten after {bench}.{agreed}: {bench}.{head.number} is not the entry that "
                f"{kept.source} had."
                if agreed
                else f"{bench} was rewritten: {bench}.{head.number} is not the entry that {kept.source} had."
            )
            return
        agreed = head.number
    head, kept = known[-1]
    if head.number > now.number:
        missing = f"{span(bench, now.number + 1, head.number)} missing, which {kept.source} had"
        before = [older for older in as_it_was if older.is_no_later_than(kept)]
        if before:
            yield f"This is an old copy, as {before[0].source} was: {missing}."
        else:
            yield f"The end of {bench} was cut off, or an older copy was put in its place: {missing}."


def hash_of(connection: sqlite3.Connection, bench: str, number: int) -> str:
    row = connection.execute("select hash from entry where bench = ? and number = ?", [bench, number]).fetchone()
    return row[0] if row else ""


def on_paper(
    connection: sqlite3.Connection,
    typed: str,
    several: Iterable[KeptHeads] = (),
    progress: Callable[[int, int], None] = lambda _done, _all: None,
) -> tuple[bool, str]:
    """Whether the journal ever stood as a paper says, and what follows in one sentence.

    A digest alone is looked for in the order of reading, which is the order of keeping where one bench says things at a
    time; where benches exchanged entries, the numbers printed above it say which entries it stands for. `several` are
    kept heads that may tell the same moment. Raises Refused for what is no digest.
    """
    text, numbers = paper(typed)
    now = heads(connection)
    if text == digest(now):
        return True, f"The paper with {grouped(text)} was printed when the journal stood as it does now."
    if numbers:
        return _at(connection, text, numbers, now)
    for kept in several:
        if kept.digest == text:
            found = compare(connection, [kept])
            return not found, " ".join(found) or _whole(text, sum(h.number for h in now.values()) - kept.entries)
    after = _search(connection, text, progress)
    if after is not None:
        return True, _whole(text, after)
    several_benches = len(now) > 1
    more = " If it has several benches, type their numbers too, as KD.40." if several_benches else ""
    return False, (
        f"The journal never stood as the paper with {grouped(text)} says: its end was cut off, it was rewritten, or it "
        f"is an old copy, unless a letter was mistyped.{more}"
    )


def _whole(text: str, after: int) -> str:
    came = f"{many(after, 'entry')} came after it"
    return f"All that the paper with {grouped(text)} stands for is here unchanged; {came}."


def _at(connection: sqlite3.Connection, text: str, numbers: dict[str, int], now: dict[str, Head]) -> tuple[bool, str]:
    short = lacking(now, KeptHeads(heads={bench: KeptHead(number, "") for bench, number in numbers.items()}))
    if short:
        missing = " and ".join(span(*each) for each in short)
        return False, (
            f"The end was cut off, or this is an old copy: {missing} missing, which the paper with {grouped(text)} has."
        )
    then = {bench: Head(number, 0, hash_of(connection, bench, number)) for bench, number in numbers.items()}
    if digest(then) == text:
        return True, _whole(text, sum(h.number for h in now.values()) - sum(numbers.values()))
    named = " and ".join(f"{bench}.{number}" for bench, number in sorted(numbers.items()))
    return False, (
        f"The journal was rewritten at or before {named}: it does not give the {grouped(text)} of the paper, unless a "
        "letter or number was mistyped."
    )


def _search(connection: sqlite3.Connection, text: str, progress: Callable[[int, int], None]) -> int | None:
    """How many entries came after the moment the digest stands for."""
    (total,) = connection.execute("select count(*) from entry").fetchone()
    then: dict[str, Head] = {}
    rows = connection.execute("select bench, number, hash from entry order by hlc, bench, number")
    for done, (bench, number, kept_hash) in enumerate(rows, 1):
        then[bench] = Head(number, 0, kept_hash)
        if digest(then) == text:
            return int(total) - done
        if done % _STEP == 0:
            progress(done, total)
    return None
