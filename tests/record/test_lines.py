"""The journal as lines: out byte for byte, in whole or not at all."""

import codecs
import tempfile
from collections.abc import Sequence
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reassembly.job.entries import (
    BenchNamed,
    CheckConfirmed,
    CustomerNamed,
    DetailsErased,
    Fact,
    FastenersRemoved,
    JobOpened,
    PartRemoved,
    PersonAdded,
    Unknown,
)
from reassembly.record import finding, lines
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from reassembly.record.lines import LinesRefused
from reassembly.record.trouble import Refused
from tests.record.bench import START, Wall, desk_in, with_job


def told(desk: Desk) -> str:
    """A small history with a customer and the shop in it."""
    desk.say(PersonAdded(person="ann"))
    job = with_job(desk)
    desk.say(CustomerNamed(digest=""), details=Customer(name="Jo Müller", phone="01632 960001"))
    desk.say(PartRemoved(part="pan", name="gearbox pan"))
    desk.say(FastenersRemoved(part="pan", count=13, lengths=("20", "25")))
    return job


def refused(desk: Desk, *texts: str | bytes, who: str = "ann", job: str = "") -> list[str]:
    before = desk.heads()
    raw = [text.encode() if isinstance(text, str) else text for text in texts]
    with pytest.raises(LinesRefused) as caught:
        lines.append(desk.journal, raw, who=who, job=job)
    assert desk.heads() == before
    return [str(error) for error in caught.value.errors]


def test_what_is_dumped_is_the_body_as_it_is_kept(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        job = told(desk)
        assert list(lines.dump(desk.journal)) == desk.journal.after(desk.bench, 0)
        assert list(lines.dump(desk.journal, job)) == desk.journal.after(desk.bench, 1)


def test_a_dump_makes_the_same_journal_elsewhere(tmp_path: Path) -> None:
    with desk_in(tmp_path / "here") as here, desk_in(tmp_path / "there", Wall(START + 5), who="") as there:
        job = told(here)
        file = [line + b"\r\n" for line in lines.dump(here.journal, details=True)]
        kept = lines.append(there.journal, file)
        assert kept.already == 0
        assert [entry.id for entry in kept.entries] == [f"{here.bench}.{n}" for n in range(1, 6)]
        assert list(lines.dump(there.journal, details=True)) == list(lines.dump(here.journal, details=True))
        assert there.customer(job) == Customer(name="Jo Müller", phone="01632 960001")
        assert [line.id for line in there.jobs("muller")] == [job]
        assert there.digest() == here.digest()
        assert there.verify() == []
        again = lines.append(there.journal, file)
        assert (again.entries, again.already) == ([], 6)


def test_words_that_were_erased_do_not_come_back(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        job = told(desk)
        file = list(lines.dump(desk.journal, details=True))
        desk.erase(job, "asked")
        assert lines.append(desk.journal, file).entries == []
        assert desk.customer(job) is None
        assert desk.verify() == []


@pytest.mark.parametrize("said_of", ["", "J9"])
def test_words_erased_in_whatever_job_do_not_come_back(said_of: str, tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        job = told(desk)
        file = list(lines.dump(desk.journal, details=True))
        (named,) = desk.job().said(CustomerNamed)
        desk.say(DetailsErased(entry=named.id, why="asked"), said_of)
        assert lines.append(desk.journal, file).entries == []
        assert desk.customer(job) is None
        assert desk.verify() == []


texts = st.text(st.characters(codec="utf-8"), max_size=12)
facts: st.SearchStrategy[Fact] = st.one_of(
    st.builds(PartRemoved, part=texts, name=texts, note=texts),
    st.builds(JobOpened, vehicle=texts, registration=texts, complaint=texts),
    st.builds(FastenersRemoved, part=texts, count=st.integers(1, 200), lengths=st.lists(texts, max_size=3).map(tuple)),
    st.builds(CheckConfirmed, check=texts, value=texts),
)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(facts, st.sampled_from(["A-1", "A-2", "Ü"])), max_size=8))
def test_dump_append_dump_gives_equal_bytes(story: list[tuple[Fact, str]]) -> None:
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as two:  # noqa: SIM117
        with desk_in(Path(one)) as desk, desk_in(Path(two), Wall(START + 1)) as other:
            for fact, job in story:
                desk.say(fact, job=job)
            dumped = list(lines.dump(desk.journal))
            assert all(b"\n" not in line for line in dumped)
            lines.append(other.journal, dumped)
            assert list(lines.dump(other.journal)) == dumped
            with desk.journal.folder.reading() as here, other.journal.folder.reading() as there:
                assert finding.contents(here) == finding.contents(there)


def test_a_fact_alone_is_enough_where_the_options_say_who_and_which_job(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        kept = lines.append(
            desk.journal,
            [b'{"fact": {"kind": "PartRemoved", "part": "pan", "name": "gearbox pan"}}', b"", b"  \n"],
            who="ben",
            job="X-1",
        )
        (entry,) = kept.entries
        assert (entry.id, entry.who, entry.job) == (f"{desk.bench}.1", "ben", "X-1")
        assert desk.verify() == []


def test_a_story_that_opens_a_job_stays_at_it(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        kept = lines.append(
            desk.journal,
            [
                b'{"who": "ben", "fact": {"kind": "PersonAdded", "person": "ben"}}',
                b'{"fact": {"kind": "JobOpened", "vehicle": "Kestrel van"}}',
                b'{"fact": {"kind": "CustomerNamed"}, "details": {"name": "Jo Lark", "phone": "01632 960001"}}',
                b'{"fact": {"kind": "PartRemoved", "part": "pan", "name": "pan"}, "time": "2025-03-01T09:00:00+01:00"}',
            ],
            who="ann",
        )
        job = f"{desk.bench}-1"
        assert [(entry.who, entry.job) for entry in kept.entries] == [
            ("ben", ""),
            ("ann", job),
            ("ann", job),
            ("ann", job),
        ]
        assert desk.customer(job) == Customer(name="Jo Lark", phone="01632 960001")
        assert kept.entries[-1].time == "2025-03-01T09:00:00+01:00"
        assert not kept.entries[-1].clock_trusted
        assert list(desk.job(job).entries) == list(kept.entries[1:])
        assert desk.new_job() == f"{desk.bench}-2"
        assert desk.verify() == []


STRANGER = [
    (
        b'{"bench":"ZZ","number":1,"who":"pat","job":"J7","time":"2025-03-01T09:00:00Z","fact":{"kind":"JobOpened",'
        b'"vehicle":"Kestrel van","registration":"4TN 881"}}'
    ),
    b'{"bench":"ZZ","number":2,"who":"pat","job":"J7","fact":{"kind":"CustomerNamed"},"details":{"name":"Jo Lark"}}',
    b'{"bench":"ZZ","number":3,"who":"pat","job":"J7","fact":{"kind":"PartRemoved","part":"pan","name":"pan"}}',
    b'{"bench":"ZZ","number":4,"who":"pat","job":"J7","fact":{"kind":"EntryStruck","entry":"ZZ.3","why":"a slip"}}',
]


def test_a_stranger_numbers_the_entries_so_that_they_can_point_at_each_other(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        kept = lines.append(desk.journal, STRANGER)
        assert [entry.id for entry in kept.entries] == ["ZZ.1", "ZZ.2", "ZZ.3", "ZZ.4"]
        assert [entry.id for entry in desk.job("J7").struck] == ["ZZ.3"]
        assert desk.jobs("lark")[0].opened == "2025-03-01T09:00:00Z"
        assert desk.verify() == []
        again = lines.append(desk.journal, STRANGER)
        assert (again.entries, again.already) == ([], 4)
        more = lines.append(
            desk.journal, [b'{"bench":"ZZ","who":"pat","job":"J7","fact":{"kind":"CodesCleared"}}', *STRANGER]
        )
        assert [entry.id for entry in more.entries] == ["ZZ.5"]
        assert refused(desk, STRANGER[2].replace(b'"name":"pan"', b'"name":"lid"')) == [
            "line 1: ZZ.3 is kept here already and says something else."
        ]
        assert refused(desk, STRANGER[1].replace(b"Lark", b"Bark"))[0].startswith("line 1: ZZ.2 is kept here already")
        dumped = list(lines.dump(desk.journal))
    with desk_in(tmp_path / "other") as other:
        lines.append(other.journal, dumped)
        assert list(lines.dump(other.journal)) == dumped


def test_a_moment_yet_to_come_does_not_drag_the_clock(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        line = b'{"time": "2099-01-01T00:00:00Z", "fact": {"kind": "BenchNamed", "name": "far"}}'
        (entry,) = lines.append(desk.journal, [line], who="ann").entries
        assert entry.hlc >> 16 == START
        assert desk.say(BenchNamed(name="near")).hlc >> 16 == START


LONG = " has 2,001 characters, at most 2,000 are kept: say it shorter"
TWICE = " stands twice in one place: leave one of the two out"
SLIPS = {
    '{"fact": {"kind": "PartRemoved", "part": "p", "name": "n"}, "hwo": "ann"}': "hwo: is unknown: did you mean 'who'?",
    '{"fcat": {"kind": "PartRemoved"}}': "fcat: is unknown: did you mean 'fact'?",
    '{"fact": {"kind": "PartRemove", "part": "p"}}': "fact.kind: 'PartRemove' is unknown: did you mean 'PartRemoved'?",
    '{"fact": {"knid": "PartRemoved"}}': "fact.kind: is missing: did you mean 'knid'?",
    '{"fact": {"kind": 7}}': "fact.kind: 7 is unknown",
    '{"fact": {"kind": "PartRemoved", "part": "p"}}': "fact.name: is missing",
    '{"fact": {"kind": "PartRemoved", "part": "p", "name": "n", "sied": "left"}}': (
        "fact.sied: is unknown in a PartRemoved: did you mean 'side'?"
    ),
    '{"fact": {"kind": "PartRemoved", "part": 5, "name": "n"}}': "fact.part: Expected text, got a whole number",
    '{"fact": {"kind": "PartRemoved", "part": "p", "name": "n", "how": "gone"}}': (
        "fact.how: Invalid enum value 'gone': one of 'aside', 'disconnected', 'loosened', 'off'"
    ),
    '{"fact": {"kind": "FastenersRemoved", "part": "p", "count": 0}}': "fact.count: Expected a whole number >= 1",
    '{"fact": {"kind": "TorqueSpecified", "part": "p", "stages": [{"kind": "torque", "vlaue": "5 N.m"}]}}': (
        "fact.stages[0].vlaue: is unknown in a TorqueSpecified: did you mean 'value'?"
    ),
    '{"fact": {"kind": "TorqueSpecified", "part": "p", "stages": [{"value": "5 N.m"}]}}': (
        "fact.stages[0].kind: is missing"
    ),
    '{"fact": {"kind": "CustomerNamed"}}': "fact.digest: is missing",
    '{"fact": {"kind": "CustomerNamed", "digest": "abc"}}': (
        'fact.digest: should be 64 hex digits; or give "details" beside the fact'
    ),
    '{"fact": {"kind": "CustomerNamed"}, "details": {"nmae": "Jo"}}': "details: Object contains unknown field nmae",
    '{"fact": {"kind": "CodesCleared"}, "details": {"name": "Jo"}}': "details: belong to a CustomerNamed",
    '{"fact": {"kind": "PersonAdded", "person": "jo"}, "job": "A-1"}': (
        "job: PersonAdded is said of the shop: leave the job out"
    ),
    '{"fact": {"kind": "CodesCleared"}, "job": ""}': "job: CodesCleared belongs to a job: name it",
    '{"fact": {"kind": "CodesCleared"}, "who": 5}': "who: Expected text or nothing, got a whole number",
    '{"fact": {"kind": "CodesCleared"}, "time": "yesterday"}': (
        "time: 'yesterday' should be a date and time, as 2026-03-14T16:55:03+01:00"
    ),
    '{"fact": {"kind": "CodesCleared"}, "number": 3}': (
        "number: counts from 1, has at most 18 digits, and stands beside a bench"
    ),
    f'{{"fact": {{"kind": "CodesCleared"}}, "bench": "ZZ", "number": {1 << 64}}}': (
        "number: counts from 1, has at most 18 digits, and stands beside a bench"
    ),
    f'{{"fact": {{"kind": "StageTightened", "specification": "KD.1", "stage": {1 << 64}}}}}': (
        "fact.stage: Expected a whole number <= 200"
    ),
    f'{{"fact": {{"kind": "StageTightened", "specification": "KD.1", "stage": 1, "position": {1 << 64}}}}}': (
        "fact.position: Expected a whole number <= 200"
    ),
    f'{{"fact": {{"kind": "TorqueSpecified", "part": "p", "stages": [], "order": [{1 << 64}]}}}}': (
        "fact.order[0]: Expected a whole number <= 200"
    ),
    f'{{"fact": {{"kind": "SignedOff", "covers": {{"KD": {1 << 64}}}}}}}': (
        "fact.covers[...]: Expected a whole number <= 9223372036854775807"
    ),
    '{"fact": {"kind": "CodesCleared", "note": "\\ud800"}}': "\\ud800 is half of a character: write that word again",
    '{"fact": {"kind": "CodesCleared"}, "who": "\\uDC00"}': "\\uDC00 is half of a character: write that word again",
    '{"fact": {"kind": "CodesCleared"}, "time": "9999-12-31T23:59:59"}': (
        "time: '9999-12-31T23:59:59' should be between 1970 and 2199"
    ),
    '{"fact": {"kind": "CodesCleared"}, "time": "0001-01-01T00:00:00"}': (
        "time: '0001-01-01T00:00:00' should be between 1970 and 2199"
    ),
    '{"fact": {"kind": "CodesCleared"}, "time": "-0001-01-01T00:00:00"}': (
        "time: '-0001-01-01T00:00:00' should be a date and time, as 2026-03-14T16:55:03+01:00"
    ),
    '{"fact": {"kind": "CodesCleared"}, "job": "J\\n7"}': (
        "job: 'J\\n7' is no job's id: one line of at most 64 letters, digits and signs, and no /"
    ),
    '{"fact": {"kind": "CodesCleared"}, "job": "J\\u001b[2J"}': (
        "job: 'J\\x1b[2J' is no job's id: one line of at most 64 letters, digits and signs, and no /"
    ),
    '{"fact": {"kind": "CodesCleared"}, "job": "../7"}': (
        "job: '../7' is no job's id: one line of at most 64 letters, digits and signs, and no /"
    ),
    '{"version": 1, "bench": "ZZ", "number": 1, "hlc": 9, "time": "", "who": "a", "job": "J\\n7", "previous": "", '
    '"fact": {"kind": "CodesCleared"}}': (
        "job: 'J\\n7' is no job's id: one line of at most 64 letters, digits and signs, and no /"
    ),
    '{"fact": {"kind": "CodesCleared"}, "bench": "Z.Z"}': "bench: should be 1 to 16 letters and digits",
    '{"fact": {"kind": "CodesCleared"}, "version": 9}': "version: should be 1, or left out",
    '{"fact": {"kind": "CodesCleared"}, "hlc": 9}': (
        "hlc: is made here: leave it out, or bring the entry whole, as it was dumped"
    ),
    '{"details_of": "KD.0", "salt": "s", "details": {}}': "details_of: should be an entry, as KD.3",
    '{"details_of": "KD.3", "details": {}}': "salt: Expected text, got nothing",
    '{"details_of": "KD.3", "salt": "s", "details": {"name": "Jo"}}': "There is no entry KD.3 for these details.",
    "[1]": 'should be one entry in braces, {"fact": {...}}',
    f'{{"fact": {{"kind": "FindingNoted", "what": "{"x" * 2001}"}}}}': (f"fact.what: finding{LONG}"),
    f'{{"fact": {{"kind": "BagPacked", "bag": "B", "parts": ["{"x" * 2001}"]}}}}': f"fact.parts: parts{LONG}",
    f'{{"fact": {{"kind": "CodesCleared"}}, "who": "{"x" * 2001}"}}': f"who: who{LONG}",
    f'{{"fact": {{"kind": "CustomerNamed"}}, "details": {{"phone": "{"1" * 2001}"}}}}': f"details.phone: phone{LONG}",
    '{"fact": {"kind": "CodesCleared"}, "who": "ann", "who": "ben"}': f"'who'{TWICE}",
    '{"fact": {"kind": "CodesCleared", "module": "a", "module": "b"}}': f"'module'{TWICE}",
    '{"version": 1, "bench": "ZZ", "number": 1, "hlc": 9, "time": "", "who": "a", "job": "J", "previous": "", '
    '"fact": {"kind": "CodesCleared", "note": "1", "\\u006eote": "2"}}': f"'note'{TWICE}",
    '{"fact": ': "is no JSON: Input data was truncated",
    "pan off": "is no JSON: JSON is malformed: invalid character (byte 0)",
}


@pytest.mark.parametrize(("line", "words"), SLIPS.items(), ids=range(len(SLIPS)))
def test_a_slip_is_named_with_its_field(line: str, words: str, tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        assert f"line 1: {words}" in refused(desk, line, job="A-1")


def test_the_mark_that_some_editors_put_before_a_file_is_no_part_of_it(tmp_path: Path) -> None:
    line = '{"fact": {"kind": "RoadTested", "felt": "\\ud83d\\ude00"}}'
    with desk_in(tmp_path) as desk:
        kept = lines.append(desk.journal, [codecs.BOM_UTF8 + line.encode(), line.encode()], who="ann", job="A-1")
        assert [entry.fact.felt for entry in kept.entries] == ["\N{GRINNING FACE}"] * 2
        wide = [each + b"\n" for each in f"{line}\n{line}".encode("utf-16").split(b"\n")]
        assert refused(desk, *wide, job="A-1") == ["line 1: the file is UTF-16: save it as UTF-8"]


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        for line in (b'\xff\xfe{"fact"', b'{"fact": {"kind": "BenchNamed", "name": "\xff"}}', b"\x00"):
            assert refused(desk, line)[0].startswith("line 1: ")


def test_every_wrong_line_is_told_and_nothing_is_kept(tmp_path: Path) -> None:
    right = '{"fact": {"kind": "BenchNamed", "name": "by the door"}}'
    with desk_in(tmp_path) as desk:
        errors = refused(desk, right, '{"fact": {}}', right, "", '{"fact": {"kind": "BenchNamed"}, "wo": 1}')
        assert [error.split(": ")[0] for error in errors] == ["line 2", "line 5", "line 5"]
        assert desk.shop().benches == {}


def test_nobody_and_no_job_are_told_where_they_are_missing(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        assert refused(desk, '{"fact": {"kind": "BenchNamed", "name": "n"}}', who="") == [
            'line 1: Nobody said it: add "who".'
        ]
        assert refused(desk, '{"fact": {"kind": "CodesCleared"}}') == ['line 1: It belongs to no job: add "job".']


def test_the_caller_can_refuse_a_fact(tmp_path: Path) -> None:
    def too_many(fact: Fact) -> Sequence[str]:
        return ["too many bolts"] if isinstance(fact, FastenersRemoved) and fact.count > 20 else ()

    line = b'{"fact": {"kind": "FastenersRemoved", "part": "pan", "count": %d}}'
    with desk_in(tmp_path) as desk:
        with pytest.raises(LinesRefused) as caught:
            lines.append(desk.journal, [line % 4, line % 21], who="ann", job="A-1", refuse=too_many)
        assert [str(error) for error in caught.value.errors] == ["line 2: fact: too many bolts"]
        assert desk.jobs() == []
        lines.append(desk.journal, [line % 4], who="ann", job="A-1", refuse=too_many)
        assert len(desk.jobs()) == 1


def test_altered_dumps_are_refused_by_line(tmp_path: Path) -> None:
    with desk_in(tmp_path / "here") as here, desk_in(tmp_path / "there") as there:
        told(here)
        file = list(lines.dump(here.journal))
        bench = here.bench
        altered = [line.replace(b"gearbox pan", b"gearbox lid") for line in file]
        assert refused(there, *altered) == [
            f"line 5: {bench}.5 does not follow the entry before it: one of the two was altered."
        ]
        assert refused(there, *file[:2], *file[3:])[0].startswith(f"line 3: {bench}.3 is missing before {bench}.4")
        wrong = file[-1].replace(b'"count":13', b'"count":"many"')
        assert refused(there, *file[:-1], wrong) == ["line 5: fact.count: Expected a whole number, got text"]
        words = [line.replace(b"Jo M", b"Bo M") for line in lines.dump(here.journal, details=True)]
        assert refused(there, *words)[0].startswith("line 4: These are not the details")


@pytest.mark.parametrize("fact", ["[1,2]", '"str"', "null", "5", '{"kind":["x"]}', '{"kind":null}'])
def test_what_the_proof_would_not_read_is_refused_by_line(fact: str, tmp_path: Path) -> None:
    body = (
        f'{{"bench":"ZZ","clock_trusted":true,"fact":{fact},"hlc":{START << 16},"job":"J7","number":1,"previous":"",'
        '"time":"","version":2,"who":"pat"}'
    )
    with desk_in(tmp_path) as desk:
        assert refused(desk, body)[0].startswith("line 1: fact")
        with pytest.raises(Refused, match="says nothing"), desk.journal.writing() as writing:
            writing.take(body.encode())


@pytest.mark.parametrize(
    "fact", ["{}", '{"kind":"BeltTensioned","entry":["x"],"digest":5}', '{"kind":"DetailsErased","entry":7}']
)
def test_whatever_is_taken_can_be_proved(fact: str, tmp_path: Path) -> None:
    body = (
        f'{{"bench":"ZZ","clock_trusted":true,"fact":{fact},"hlc":{START << 16},"job":"J7","number":1,"previous":"",'
        '"time":"","version":2,"who":"pat"}'
    )
    with desk_in(tmp_path) as desk:
        lines.append(desk.journal, [body.encode()])
        assert desk.verify() == []


def test_a_line_by_hand_does_not_number_the_entries_of_another_bench(tmp_path: Path) -> None:
    with desk_in(tmp_path / "here") as here, desk_in(tmp_path / "there") as there:
        job = told(here)
        lines.append(there.journal, lines.dump(here.journal))
        line = f'{{"fact": {{"kind": "CodesCleared"}}, "bench": "{here.bench}"}}'
        assert refused(there, line, job=job) == [
            f"line 1: Bench {here.bench} keeps its own numbers: say it here without a bench."
        ]
        (own,) = lines.append(here.journal, [line.encode()], who="ann", job=job).entries
        assert own.bench == here.bench


def test_a_fact_of_a_newer_version_is_kept_as_it_came_and_one_by_hand_is_not(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        body = msgspec.json.encode(
            {
                "version": 2, "bench": "ZZ", "number": 1, "hlc": START << 16, "time": "2026-03-14T16:00:00+01:00",
                "clock_trusted": True, "who": "pat", "job": "J7", "previous": "", "mood": "good",
                "fact": {"kind": "BeltTensioned", "part": "belt"},
            }
        )  # fmt: skip
        (entry,) = lines.append(desk.journal, [body]).entries
        assert isinstance(entry.fact, Unknown)
        assert list(lines.dump(desk.journal)) == [body]
        assert desk.verify() == []
        (kept,) = desk.job("J7").entries
        assert kept.fact == entry.fact
        assert "unknown" in refused(desk, '{"fact": {"kind": "BeltTensioned", "part": "belt"}}', job="J7")[0]


def test_what_is_no_text_in_a_fact_of_a_newer_version_is_refused_and_no_damage_of_the_journal(tmp_path: Path) -> None:
    body = (
        b'{"bench":"ZZ","clock_trusted":true,"fact":{"kind":"BeltTensioned","belt":"\x80"},"hlc":%d,"job":"J7",'
        b'"number":1,"previous":"","time":"","version":2,"who":"pat"}' % (START << 16)
    )
    with desk_in(tmp_path) as desk:
        assert refused(desk, body) == ["line 1: ZZ.1 is not in UTF-8: bring the file as it was dumped."]
        assert desk.heads() == {}
