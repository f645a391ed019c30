"""What a job is found by, and that the search tables say no more and no less than the journal."""

import tempfile
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reassembly.job.entries import (
    BagPacked,
    CheckConfirmed,
    CustomerNamed,
    EntryStruck,
    Fact,
    JobOpened,
    JobReopened,
    LabelPrinted,
    PartRemoved,
    PersonAdded,
    SignedOff,
    WrenchAdded,
)
from reassembly.job.signoff import signoff
from reassembly.record import finding
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from tests.record.bench import START, Wall, desk_in, with_job


def shop(desk: Desk) -> dict[str, str]:
    """Three invented vehicles, and their jobs."""
    jobs = {}
    for vehicle, fields, customer in (
        (
            "Kestrel van",
            {
                "registration": "4TN 881",
                "vin": "ZZ9KV24B1CD123456",
                "complaint": "Drones at 80 km/h, worse uphill",
                "order": "R-2214",
            },
            Customer(name="Jo Müller", phone="+44 7700 900123", email="jo@lark.example"),
        ),
        (
            "Heron pick-up",
            {"registration": "MÜ-OK 107", "complaint": "oil under the gearbox"},
            Customer(name="Ng Ai", phone="(01632) 960 001"),
        ),
        ("Wren", {"registration": "0I-77", "complaint": "Clunk, first to second"}, None),
    ):
        job = desk.open_new(JobOpened(vehicle=vehicle, **fields))
        if customer:
            desk.say(CustomerNamed(digest=""), details=customer)
        jobs[vehicle.split()[0]] = job
    return jobs


FOUND = {
    "4TN 881": "Kestrel",
    "4tn881": "Kestrel",
    "4-T-N-8-8-1": "Kestrel",
    "tn8": "Kestrel",
    "n 88": "Kestrel",
    "4t": "Kestrel",
    "MUOK": "Heron",
    "mü ok 107": "Heron",
    "OI77": "Wren",
    "o1 77": "Wren",
    "zz9kv24b1": "Kestrel",
    "123456": "Kestrel",
    "R-2214": "Kestrel",
    "r2214": "Kestrel",
    "muller": "Kestrel",
    "MÜLLER jo": "Kestrel",
    "Ng": "Heron",
    "ai ng": "Heron",
    "lark.example": "Kestrel",
    "07700 900123": "Kestrel",
    "+44 (0)7700 900-123": "Kestrel",
    "900123": "Kestrel",
    "01632 960001": "Heron",
    "00 44 1632 960001": "Heron",
    "uphill drones": "Kestrel",
    "80 km/h": "Kestrel",
    "kestrel 4tn": "Kestrel",
    "gearbox heron": "Heron",
    "clunk": "Wren",
}
NOT_FOUND = [
    "4TN 882",
    "5tn",
    "nobody",
    "07700 900124",
    "uphill clunk",
    '"',
    "' or 1=1",
    "keys:",
    "*",
    "a AND",
    "\x00",
]


def test_a_job_is_found_as_a_stranger_types(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        jobs = shop(desk)
        for text, vehicle in FOUND.items():
            assert [line.id for line in desk.jobs(text)] == [jobs[vehicle]], text
        for text in NOT_FOUND:
            assert desk.jobs(text) == [], text
        for job in jobs.values():
            assert job in [line.id for line in desk.jobs(job)]
            assert job in [line.id for line in desk.jobs(job.lower().replace("-", " "))]
        assert [line.id for line in desk.jobs("  ")] == list(reversed(jobs.values()))


def test_what_cannot_be_seen_is_neither_in_the_way_nor_found(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        job = with_job(desk, complaint="drones\x00then \x1b[31mclunks\u202e", registration="")
        for text in ("clunks", "then", "dro\x1bnes"[:3], "[31mcl"):
            assert [line.id for line in desk.jobs(text)] == [job], text
        for text in ("\u0301", "\x00\x00\x00", "\u202e", "\x1b[32m"):
            assert desk.jobs(text) == [], text


@settings(max_examples=60, deadline=None)
@given(st.lists(st.text(max_size=8), max_size=20))
def test_no_text_is_too_odd_to_look_for(texts: list[str]) -> None:
    with tempfile.TemporaryDirectory() as folder, desk_in(Path(folder)) as desk:
        shop(desk)
        for text in texts:
            assert len(desk.jobs(text)) <= 3


def test_text_that_is_no_text_is_looked_for_and_not_found(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        shop(desk)
        assert desk.jobs("kestrel \udce9") == []


def test_a_line_tells_what_stands(tmp_path: Path) -> None:
    wall = Wall()
    with desk_in(tmp_path, wall) as desk:
        job = with_job(desk, registration="4TN 818", order="R-1", complaint="drones", earlier="KD-1")
        slip = desk.job().entries[0].id
        opened = desk.job().entries[0].time
        wall.milliseconds += 3_600_000
        desk.say(EntryStruck(entry=slip, why="two digits swapped"))
        desk.say(JobOpened(vehicle="Kestrel van", registration="4TN 881"))
        last = desk.say(CustomerNamed(digest=""), details=Customer(name="Jo Lark"))
        (line,) = desk.jobs()
        assert line == finding.JobLine(
            job, "", "Kestrel van", "4TN 881", "", "", "", opened, last.time, signed_off=False, customer="Jo Lark"
        )
        assert desk.jobs("818") == []
        early = desk.say(SignedOff(covers={desk.bench: last.number}))
        assert not desk.jobs()[0].signed_off  # the road test and what is left over stand open
        desk.say(EntryStruck(entry=early.id, why="too soon"))
        for check in signoff(desk.job(), desk.shop()).open:
            desk.say(CheckConfirmed(check=check.key, note="as before"))
        assert desk.sign_off()
        assert desk.jobs()[0].signed_off
        assert desk.jobs(closed=False) == []
        assert desk.jobs("lark", closed=False) == []
        desk.say(JobReopened(why="a clip was left"))
        assert not desk.jobs()[0].signed_off
        assert len(desk.jobs("lark", closed=False)) == 1


def test_a_job_is_called_by_its_order_else_its_vehicle_else_its_id_and_the_day(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        day = desk.today
        ordered = desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881", order="412"))
        plain = desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881"))
        bare = desk.open_new(JobOpened(vehicle=""))
        assert desk.called(ordered) == f"order 412, {day}"
        assert desk.called(plain) == f"Kestrel van 4TN 881, {day}"
        assert desk.called(bare) == f"job {bare}, {day}"
        assert desk.called("ZZ-9") == "job ZZ-9"


def test_a_job_is_listed_whatever_was_said_first(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.say(CheckConfirmed(check="KD.1.back"), job="ZZ-9")
        assert [(line.id, line.vehicle) for line in desk.jobs("zz9")] == [("ZZ-9", "")]


def test_the_newest_come_first_and_only_so_many(tmp_path: Path) -> None:
    wall = Wall()
    with desk_in(tmp_path, wall) as desk:
        jobs = []
        for _ in range(5):
            wall.milliseconds += 1000
            jobs.append(with_job(desk))
        assert [line.id for line in desk.jobs("kestrel", limit=3)] == jobs[:1:-1]
        assert [line.id for line in desk.jobs(limit=2)] == jobs[:2:-1]


def test_a_code_leads_to_what_it_was_given_to(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        job = with_job(desk)
        printed = desk.say(LabelPrinted(code="BKDTRVNVXC"))
        assert desk.owner_of("bkdtr vnvxc") == finding.Owner("label", job, printed.id, "")
        packed = desk.say(BagPacked(bag="bkdtr vnvxc", parts=("pan", "lid")))
        desk.say(LabelPrinted(code="BKDTRVNVXC", copy_number=2))
        assert desk.owner_of("BKDTRVNVXC") == finding.Owner("bag", job, packed.id, "pan, lid")
        badge = desk.say(PersonAdded(person="ben", badge="PKDTRVNVXC"))
        wrench = desk.say(WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m", tag="RKDTRVNVXC"))
        assert desk.owner_of("PKDTRVNVXC") == finding.Owner("person", "", badge.id, "ben")
        assert desk.owner_of("RKDTRVNVXC") == finding.Owner("wrench", "", wrench.id, "T3")
        assert desk.owner_of("SKDTRVNVXC") is None
        desk.say(EntryStruck(entry=packed.id, why="wrong bag"))
        found = desk.owner_of("BKDTRVNVXC")
        assert found is not None
        assert found.what == "label"
        desk.say(EntryStruck(entry=wrench.id, why="not ours"), job="")
        assert desk.owner_of("RKDTRVNVXC") is None


def test_a_bag_used_again_belongs_to_the_job_it_was_packed_for_last(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        desk.say(BagPacked(bag="BKDTRVNVXC", parts=("pan",)))
        second = with_job(desk)
        desk.say(BagPacked(bag="BKDTRVNVXC", parts=("shaft",)))
        found = desk.owner_of("BKDTRVNVXC")
        assert found is not None
        assert found.job == second


def test_parts_said_before_are_offered_the_most_usual_first(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        for names in (["Propshaft", "propeller tube"], ["Propshaft", "pan"]):
            with_job(desk)
            for name in names:
                desk.say(PartRemoved(part=name, name=name))
        assert desk.parts_named("PROP") == ["Propshaft", "propeller tube"]
        assert desk.parts_named("q") == []


def test_a_part_is_offered_in_its_most_usual_spelling_and_no_longer_when_struck_everywhere(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        said = [desk.say(PartRemoved(part=f"{n}", name=name)) for n, name in enumerate(["PAN", "Pan", "pan", "Pan"])]
        assert desk.parts_named("pa") == ["Pan"]
        for slip in said:
            desk.say(EntryStruck(entry=slip.id, why="a slip"))
        assert desk.parts_named("pa") == []


def in_pieces(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """An index in more pieces than are left alone, each step of merging as small as can be."""
    monkeypatch.setattr(finding, "MOST_PIECES", 1)
    monkeypatch.setattr(finding, "PAGES", 1)
    for n in range(40):
        words = "".join(Random(n).choices("abcdefghijklmnopqrstuvwxyz", k=1500))  # pages of three letters
        desk.open_new(JobOpened(vehicle="Kestrel van", registration=f"4TN {n:03}", complaint=words))
    assert pieces(desk) > 2


def pieces(desk: Desk) -> int:
    with desk.journal.folder.reading() as connection:
        return int(connection.execute("select count(distinct segid) from found_text_idx").fetchone()[0])


def found_by_each(desk: Desk) -> list[list[str]]:
    return [[line.id for line in desk.jobs(f"4tn{n:03}")] for n in range(40)]


def test_an_index_in_many_pieces_becomes_one_and_finds_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with desk_in(tmp_path) as desk:
        in_pieces(desk, monkeypatch)
        found = found_by_each(desk)
        desk.journal.tidy()
        assert pieces(desk) == 1
        assert found_by_each(desk) == found
        assert all(len(each) == 1 for each in found)
        with desk.journal.folder.reading() as connection:
            connection.execute("insert into found_text (found_text, rank) values ('integrity-check', 1)")


def test_merging_left_half_done_finds_the_same_and_is_gone_on_with(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with desk_in(tmp_path) as desk:
        in_pieces(desk, monkeypatch)
        found = found_by_each(desk)
        with desk.journal.folder.writing() as connection:
            assert finding.merge(connection, begin=True)
    with desk_in(tmp_path) as desk:
        assert pieces(desk) > 1
        assert found_by_each(desk) == found
        later = desk.open_new(JobOpened(vehicle="Wren", registration="0I-77"))
        desk.journal.tidy()
        assert found_by_each(desk) == found
        assert [line.id for line in desk.jobs("0i77")] == [later]


def test_an_index_in_few_pieces_is_left_as_it_is(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        shop(desk)
        before = desk.journal.version()
        desk.journal.tidy()
        assert desk.journal.version() == before


def everything_in(folder: Path) -> bytes:
    return b"".join(path.read_bytes() for path in sorted(folder.iterdir()) if path.is_file())


def full_text_index(desk: Desk) -> bytes:
    """Its blocks: three letters stand whole in them where no others begin with the same letter."""
    with desk.journal.folder.reading() as connection:
        return b"".join(block for (block,) in connection.execute("select block from found_text_data"))


def test_erased_words_are_gone_from_answers_tables_and_files(tmp_path: Path) -> None:
    customer = Customer(
        name="Xaverius Quobble Ʊlk", phone="01632 960 555", address="7 Zwyx Lane", email="xq@zwyx.example"
    )
    with desk_in(tmp_path) as desk:
        jobs = shop(desk)
        job = with_job(desk, registration="9XX 10")
        slip = desk.say(CustomerNamed(digest=""), details=Customer(name="Xaverius Qobble"))
        desk.say(EntryStruck(entry=slip.id, why="spelling"))
        named = desk.say(CustomerNamed(digest=""), details=customer)
        assert desk.customer() == customer
        assert b"Quobble" in everything_in(tmp_path)
        assert "ʊlk".encode() in full_text_index(desk)

        erased = desk.erase(job, "asked by letter")

        assert [e.fact.entry for e in erased] == [slip.id, named.id]
        assert desk.customer() is None
        assert desk.jobs("quobble") == desk.jobs("960555") == []
        assert [line.customer for line in desk.jobs("9xx10")] == [""]
        assert "ʊlk".encode() not in full_text_index(desk)
        left = everything_in(tmp_path).lower()
        for word in (b"quobble", b"qobble", b"zwyx", b"960 555", b"1632960555"):
            assert word not in left
        assert desk.customer(jobs["Kestrel"]) is not None
        assert [line.id for line in desk.jobs("muller")] == [jobs["Kestrel"]]
        assert desk.verify() == []
        assert desk.erase(job, "again") == []


parts = st.sampled_from(["pan", "shaft", "flange"])
codes = st.sampled_from(["BKDTRVNVXC", "BBBBBCCCCC"])
facts: st.SearchStrategy[Fact | str | int] = st.one_of(
    st.builds(JobOpened, vehicle=st.sampled_from(["Kestrel", "Heron"]), registration=st.sampled_from(["4TN 881", ""])),
    st.builds(PartRemoved, part=parts, name=parts),
    st.builds(BagPacked, bag=codes, parts=st.tuples(parts)),
    st.builds(LabelPrinted, code=codes),
    st.just(SignedOff(covers={})),
    st.just(JobReopened(why="more")),
    st.sampled_from(["Jo Lark", "Ann Müller"]),  # a customer is named
    st.just("erase"),
    st.integers(1, 12),  # an entry is struck out
)


def tell(desk: Desk, what: Fact | str | int, job: str) -> None:
    if what == "erase":
        desk.erase(job, "asked")
    elif isinstance(what, str):
        desk.say(CustomerNamed(digest=""), job=job, details=Customer(name=what, phone="01632 960001"))
    elif isinstance(what, int):
        desk.say(EntryStruck(entry=f"{desk.bench}.{what}", why="a slip"), job=job)
    else:
        desk.say(what, job=job)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(facts, st.sampled_from(["A-1", "A-2"])), max_size=14), st.randoms())
def test_rebuilt_and_merged_search_tables_are_those_kept_along_the_way(
    story: list[tuple[Fact | str | int, str]], chance: Random
) -> None:
    with tempfile.TemporaryDirectory() as here, tempfile.TemporaryDirectory() as there:
        with desk_in(Path(here)) as desk:
            for what, job in story:
                tell(desk, what, job)
            bodies = desk.journal.after(desk.bench, 0)
            with desk.journal.folder.writing() as connection:
                along = finding.contents(connection)
                finding.rebuild(connection)
                assert finding.contents(connection) == along
                connection.execute("insert into found_text (found_text, rank) values ('integrity-check', 1)")
        with desk_in(Path(there), Wall(START + 1)) as other:
            rest = list(bodies)
            while rest:
                with other.journal.writing() as writing:
                    for _ in range(chance.randint(1, len(rest))):
                        writing.take(rest.pop(0))
            with other.journal.folder.reading() as connection:
                merged = finding.contents(connection)
        assert without_customers(merged) == without_customers(along)


def without_customers(contents: dict[str, list[tuple[Any, ...]]]) -> dict[str, Any]:
    """Customers' words do not travel with the entries."""
    return {"job": contents["job"], "part": contents["part"], "code": contents["code"]}


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("Søren Bjørk", "soren"),
        ("Søren Bjørk", "SOREN BJORK"),
        ("Søren Bjørk", "søren"),
        ("Soren Bjork", "søren"),
        ("Anna Müller", "muller"),
        ("Kjær", "kjaer"),
        ("Michał Łódź", "michal lodz"),
        ("Großmann", "grossmann"),
    ],
)
def test_a_name_is_found_without_the_letters_a_keyboard_lacks(tmp_path: Path, name: str, typed: str) -> None:
    with desk_in(tmp_path) as desk:
        job = desk.open_new(JobOpened(vehicle="Kestrel van"))
        desk.say(CustomerNamed(digest=""), details=Customer(name=name))
        assert [line.id for line in desk.jobs(typed)] == [job]
        assert desk.jobs("somebody") == []
