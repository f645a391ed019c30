"""`journal append` fed with anything: whole file or nothing, a reason for each line, and a journal that stays whole."""

import json
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from reassembly.job.doubts import doubts
from reassembly.job.entries import CustomerNamed, Unknown
from reassembly.job.plan import plan
from reassembly.job.signoff import signoff
from reassembly.job.telling import Names, tell
from reassembly.record import finding, lines
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from reassembly.record.lines import Appended, LinesRefused
from tests.record.bench import START, Wall, desk_in
from tests.record.test_lines import STRANGER, told

BY_HAND = [
    b'{"who": "ben", "fact": {"kind": "PersonAdded", "person": "ben"}}',
    b'{"fact": {"kind": "JobOpened", "vehicle": "Kestrel van", "registration": "4TN 881"}}',
    b'{"fact": {"kind": "CustomerNamed"}, "details": {"name": "Jo Lark", "phone": "01632 960001"}}',
    b'{"fact": {"kind": "PartRemoved", "part": "pan", "name": "pan"}, "time": "2025-03-01T09:00:00+01:00"}',
    b'{"fact": {"kind": "FastenersRemoved", "part": "pan", "count": 13, "lengths": ["20", "25"]}}',
    b'{"fact": {"kind": "TorqueSpecified", "part": "pan", "stages": [{"kind": "torque", "value": "12 N.m"}]}}',
    b'{"fact": {"kind": "SignedOff", "covers": {"ZZ": 3}}}',
]


@pytest.fixture(scope="module")
def dumped(tmp_path_factory: pytest.TempPathFactory) -> list[bytes]:
    """A small journal of another bench, with a customer's words, some of them erased."""
    with desk_in(tmp_path_factory.mktemp("other")) as desk:
        job = told(desk)
        file = list(lines.dump(desk.journal, details=True))
        desk.erase(job, "asked")
        desk.say(CustomerNamed(digest=""), details=Customer(name="Ng Ai"))
        return [*file, *list(lines.dump(desk.journal, details=True))[len(file) - 1 :]]


@contextmanager
def fresh(*kept: bytes) -> Iterator[Desk]:
    with tempfile.TemporaryDirectory() as folder, desk_in(Path(folder), Wall(START + 60_000)) as desk:
        if kept:
            lines.append(desk.journal, kept)
        yield desk


def rows(desk: Desk) -> list[Any]:
    with desk.journal.folder.reading() as connection:
        return [connection.execute(f"select * from {t}").fetchall() for t in ("entry", "detail", "allotted")] + [
            finding.contents(connection)
        ]


def feed(desk: Desk, file: list[bytes], *, anew: bool = False, job: str = "") -> Appended | None:
    """Append, and hold it to what is promised of any file at all. None where it was refused."""
    before, kept, errors = rows(desk), None, None
    try:
        kept = lines.append(desk.journal, file, who="ann", job=job, anew=anew)
    except LinesRefused as refused:
        errors = refused.errors
    if kept is None:
        assert errors
        assert all(1 <= error.line <= len(file) and error.words for error in errors)
        assert rows(desk) == before
        assert desk.verify() == []
        return None
    assert len(before[0]) + len(kept.entries) == len(rows(desk)[0])
    said = [line for line in file if line.strip()]
    words = sum(b'"details_of"' in line for line in said)  # counted only where they are here already
    assert len(said) - words <= len(kept.entries) + kept.already + kept.left_out <= len(said)
    assert desk.verify() == []
    with desk.journal.folder.writing() as connection:
        now = finding.contents(connection)
        finding.rebuild(connection)
        assert finding.contents(connection) == now
    read_back(desk, kept)
    return kept


def read_back(desk: Desk, kept: Appended) -> None:
    """Whatever was taken can be asked about and carried on to another bench."""
    shop = desk.shop()
    desk.jobs()
    for name in {entry.job for entry in kept.entries}:
        job = desk.job(name)
        plan(job)
        signoff(job, shop)
        for entry in job.entries:
            assert tell(entry, Names.of(job))
            if not isinstance(entry.fact, Unknown):
                list(doubts(entry.fact, job, shop, who=entry.who))
    with fresh() as other:
        out = list(lines.dump(desk.journal, details=True))
        lines.append(other.journal, out)
        assert list(lines.dump(other.journal, details=True)) == out


values: st.SearchStrategy[Any] = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.sampled_from([-1, 0, 2**31, 2**63 - 1, 2**63, 2**64, 10**40])
    | st.floats()
    | st.text(max_size=9)
    | st.sampled_from(
        ["", "\0", "\ud800", "\u202e", "[/x]", "x" * 100_000, "ZZ.1", "KD.99999999999999999999", "a.b.c"]
    ),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=5,
)


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield path
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, each in inner:
        yield from places(each, (*path, key))


@st.composite
def other_values(draw: st.DrawFn, file: list[bytes]) -> list[bytes]:
    """The file with some values of some lines exchanged, taken away or added, still as JSON."""
    out = list(file)
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(out) - 1))
        data = json.loads(out[at])
        inside = [path for path in places(data) if path]
        if not inside:  # emptied by an earlier round
            continue
        *above, last = draw(st.sampled_from(inside))
        holder = data
        for key in above:
            holder = holder[key]
        match draw(st.sampled_from(["exchange", "remove", "add"])):
            case "exchange":
                holder[last] = draw(values)
            case "remove":
                del holder[last]
            case "add" if isinstance(holder, dict):
                holder[draw(st.text(max_size=6) | st.sampled_from(["kind", "hlc", "job", "details"]))] = draw(values)
        out[at] = json.dumps(data, ensure_ascii=draw(st.booleans())).encode("utf-8", "surrogatepass")
    return out


@st.composite
def torn(draw: st.DrawFn, file: list[bytes]) -> list[bytes]:
    """The file with bytes flipped, cut out and put in, and lines doubled, exchanged and left out."""
    chance = Random(draw(st.integers(0, 2**32)))
    out = list(file)
    for _ in range(draw(st.integers(1, 4))):
        at = chance.randrange(len(out))
        line = out[at]
        place = chance.randrange(len(line) + 1)
        match chance.randrange(6):
            case 0:
                out[at] = line[:place] + chance.randbytes(1) + line[place + 1 :]
            case 1:
                out[at] = line[:place] + line[place + chance.randrange(20) :]
            case 2:
                out[at] = line[:place] + draw(st.binary(max_size=5)) + line[place:]
            case 3:
                out.insert(chance.randrange(len(out) + 1), line)
            case 4:
                out.append(out.pop(0))
            case 5 if len(out) > 1:
                out.pop(at)
    return out


often = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


@often
@given(st.lists(st.binary(max_size=200) | st.text(max_size=50).map(str.encode), max_size=4), st.booleans())
@example([b"[" * 100_000], False)
@example([b'{"fact": ' * 100_000], False)
@example([b'{"fact": {"kind": "BenchNamed", "name": ' + b"[" * 100_000 + b"]" * 100_000 + b"}}"], False)
@example([b'{"fact": {"kind": "BenchNamed", "name": "n"}}' * 2], False)
@example([b'{"fact": {"kind": "BenchNamed", "name": "n"}, "number": 1e400, "bench": "ZZ"}'], False)
def test_any_bytes(file: list[bytes], anew: bool) -> None:
    with fresh() as desk:
        feed(desk, file, anew=anew)


@often
@given(st.data(), st.booleans(), st.booleans())
def test_a_dump_with_other_values_in_it(dumped: list[bytes], data: st.DataObject, anew: bool, there: bool) -> None:
    with fresh(*dumped if there else ()) as desk:
        feed(desk, data.draw(other_values(dumped)), anew=anew)


@often
@given(st.data(), st.booleans(), st.booleans())
def test_a_torn_dump(dumped: list[bytes], data: st.DataObject, anew: bool, there: bool) -> None:
    with fresh(*dumped if there else ()) as desk:
        feed(desk, data.draw(torn(dumped)), anew=anew)


@often
@given(st.data(), st.sampled_from([BY_HAND, STRANGER]), st.booleans(), st.sampled_from(["", "J7"]))
def test_lines_by_hand_with_slips_in_them(data: st.DataObject, base: list[bytes], there: bool, job: str) -> None:
    with fresh(*STRANGER if there else ()) as desk:
        feed(desk, data.draw(other_values(base) | torn(base)), job=job)


def test_the_files_that_are_torn_are_taken_whole(dumped: list[bytes]) -> None:
    for file in (dumped, BY_HAND, STRANGER):
        with fresh() as desk:
            kept = feed(desk, file)
            assert kept is not None
            assert kept.entries
