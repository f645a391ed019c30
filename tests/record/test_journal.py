"""The journal: appended, chained, never changed; the same history at every bench."""

import hashlib
import re
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from pathlib import Path
from random import Random

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reassembly.job.entries import (
    BenchNamed,
    CheckConfirmed,
    CustomerNamed,
    EntryStruck,
    JobOpened,
    PartRemoved,
    PersonAdded,
    read,
)
from reassembly.record import finding, witness
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from reassembly.record.trouble import Refused
from tests.record.bench import START, Wall, desk_in, with_job

DAY = 86_400_000


def rows(folder: Path, query: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(folder / "shop.db")) as connection:
        return connection.execute(query).fetchall()


def test_the_body_is_the_whole_truth_and_the_columns_are_its_copies(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        job = with_job(desk)
        entry = desk.say(PartRemoved(part="pan", name="gearbox pan"))
    kept = rows(tmp_path, "select bench, number, hlc, job, kind, body, hash from entry where number = 2")[0]
    body = str(kept[5]).encode()
    assert read(body) == entry
    assert kept[:5] == (entry.bench, 2, entry.hlc, job, "PartRemoved")
    assert kept[6] == hashlib.sha256(body).hexdigest()
    assert msgspec.json.decode(body)["previous"] == rows(tmp_path, "select hash from entry where number = 1")[0][0]
    assert entry.who == "ann"
    assert entry.clock_trusted


def test_a_bench_is_two_letters_that_survive_every_keyboard(tmp_path: Path) -> None:
    benches = set()
    for name in range(8):
        with desk_in(tmp_path / str(name)) as desk:
            assert len(desk.bench) == 2
            assert set(desk.bench) <= set("BCDFGHJKLNPRSTVX")
            benches.add(desk.bench)
        with desk_in(tmp_path / str(name)) as again:
            assert again.bench == desk.bench
    assert len(benches) > 1


def test_a_new_name_is_one_that_no_entry_carries(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        before = desk.bench
        with desk.journal.writing() as writing:
            writing.take_new_bench()
        assert desk.bench != before
        assert desk.say(PersonAdded(person="ben")).id == f"{desk.bench}.1"
        assert desk.verify() == []


FORGERIES = {
    "update": ("update entry set body = body", "never changed"),
    "delete": ("delete from entry", "never deleted"),
    "replace": (
        "insert or replace into entry select bench, number, hlc, job, kind, body || ' ', hash from entry",
        "fork",
    ),
    "upsert": (
        "insert into entry select * from entry where true on conflict (bench, number) do update set job = 'x'",
        None,
    ),
    "gap": (
        "insert into entry select bench, number + 9, hlc + 9, job, kind, body, hash from entry where number = 2",
        "gap",
    ),
    "gap at the start": (
        "insert into entry select 'ZZ', 2, hlc, job, kind, body, hash from entry where number = 2",
        "gap",
    ),
    "fork": (
        "insert or ignore into entry select bench, number, hlc, job, kind, body, replace(hash, '1', '2') from entry",
        "fork",
    ),
    "another chain": (
        "insert into entry select bench, number + 1, hlc + 1, job, kind, body, hash from entry where number = 2",
        "fork: the entry before",
    ),
    "a first that follows": (
        "insert into entry select 'ZZ', 1, hlc, job, kind, body, hash from entry where number = 2",
        "fork: the entry before",
    ),
    "the clock went back": (
        """insert into entry select bench, 3, hlc - 1, job, kind, '{"previous":"' || hash || '"}', hash from entry
        where number = 2""",
        "clock",
    ),
    "a serial number again": ("update allotted set last = last", "twice"),
    "a serial number forgotten": ("delete from allotted", "twice"),
}


@pytest.mark.parametrize(("forgery", "words"), FORGERIES.values(), ids=FORGERIES.keys())
def test_triggers_refuse(forgery: str, words: str | None, tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        desk.say(PartRemoved(part="pan", name="gearbox pan"))
        before = rows(tmp_path, "select * from entry")
        with desk.journal.folder.reading() as connection:
            if words is None:
                connection.execute(forgery)
            else:
                with pytest.raises(sqlite3.IntegrityError, match=words):
                    connection.execute(forgery)
    assert rows(tmp_path, "select * from entry") == before
    assert len(before) == 2


def test_the_same_entry_again_is_no_error(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        with desk.journal.folder.reading() as connection:
            connection.execute("insert into entry select * from entry")
        with desk.journal.writing() as writing:
            assert not writing.take(desk.journal.after(desk.bench, 0)[0])
        assert desk.heads()[desk.bench].number == 1


def test_a_refused_entry_takes_the_whole_transaction_with_it(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        job = with_job(desk)
        with pytest.raises(Refused, match="no entry"), desk.journal.writing() as writing:  # noqa: PT012
            writing.say(PartRemoved(part="pan", name="pan"), who="ann", job=job)
            writing.take(b"[]")
        assert [entry.number for entry in desk.job().entries] == [1]
        assert desk.say(PartRemoved(part="pan", name="pan")).number == 2
        assert desk.verify() == []


def chain(folder: Path, story: list[object], wall: Wall) -> tuple[str, list[bytes]]:
    """A bench of its own, and the bodies of what was said there."""
    with desk_in(folder, wall, who="ben") as desk:
        for part in story:
            desk.say(PartRemoved(part=str(part), name=f"part {part}"), job="J-1")
            wall.milliseconds += 7
        return desk.bench, desk.journal.after(desk.bench, 0)


def test_entries_of_several_benches_are_read_in_one_order_whatever_the_order_of_arrival(tmp_path: Path) -> None:
    chains: dict[str, list[bytes]] = {}
    while len(chains) < 3:
        name, bodies = chain(tmp_path / f"bench{len(chains)}", [1, 2, 3, 4], Wall(START + len(chains) * 5))
        chains.setdefault(name, bodies)
    expected = sorted((read(body) for bodies in chains.values() for body in bodies), key=lambda e: e.order)
    for seed in range(12):
        waiting = {name: list(bodies) for name, bodies in chains.items()}
        with desk_in(tmp_path / f"here{seed}") as desk:
            chance = Random(seed)
            while waiting:
                name = chance.choice(sorted(waiting))
                with desk.journal.writing() as writing:
                    writing.take(waiting[name].pop(0))
                waiting = {name: left for name, left in waiting.items() if left}
            assert list(desk.job("J-1").entries) == expected
            assert desk.jobs()[0].opened == expected[0].time
            assert desk.verify() == []


def test_a_strike_that_arrives_before_what_it_strikes_still_strikes_it(tmp_path: Path) -> None:
    name, bodies = chain(tmp_path / "far", ["pan"], Wall())
    with desk_in(tmp_path / "near", Wall(START + DAY // 2)) as desk:
        desk.say(EntryStruck(entry=f"{name}.1", why="wrong part"), job="J-1")
        with desk.journal.writing() as writing:
            writing.take(bodies[0])
        assert desk.parts_named("part") == []
        assert [entry.id for entry in desk.job("J-1").struck] == [f"{name}.1"]


REFUSED = {
    "another entry under the number": (lambda b: [b[0].replace(b"part 1", b"part 9")], "says something else"),
    "one left out": (lambda b: [b[2]], r"\.2 is missing before"),
    "one altered before": (lambda b: [b[1].replace(b'"previous":"', b'"previous":"0')], "altered"),
    "no entry": (lambda b: [b'{"bench":"KD"}'], "no entry"),
    "a bench that is none": (lambda b: [b[0].replace(b'"bench":"', b'"bench":"K.')], "no bench"),
    "two lines": (lambda b: [b[1].replace(b',"number"', b',\n"number"')], "as it was dumped"),
}


@pytest.mark.parametrize(("forged", "words"), REFUSED.values(), ids=REFUSED.keys())
def test_an_entry_from_elsewhere_that_does_not_fit_is_refused_in_words(
    forged: object, words: str, tmp_path: Path
) -> None:
    assert callable(forged)
    _, bodies = chain(tmp_path / "far", [1, 2, 3], Wall())
    with desk_in(tmp_path / "near") as desk:
        with desk.journal.writing() as writing:
            writing.take(bodies[0])
        for body in forged(bodies):
            with pytest.raises(Refused, match=words), desk.journal.writing() as writing:
                writing.take(body)
        assert len(desk.job("J-1").entries) == 1


@pytest.mark.parametrize(
    ("ahead", "trusted", "kept"),
    [(DAY - 1000, True, True), (3 * DAY, True, False), (3 * DAY, False, True)],
)
def test_a_clock_more_than_a_day_ahead_is_not_adopted_by_a_right_one(
    ahead: int, trusted: bool, kept: bool, tmp_path: Path
) -> None:
    _, bodies = chain(tmp_path / "far", [1], Wall(START + ahead))
    with desk_in(tmp_path / "near", Wall(START, trusted)) as desk:
        if kept:
            with desk.journal.writing() as writing:
                assert writing.take(bodies[0])
        else:
            with pytest.raises(Refused, match="3 days ahead of this clock"), desk.journal.writing() as writing:
                writing.take(bodies[0])


def test_what_was_said_here_after_hearing_another_bench_is_read_after_it(tmp_path: Path) -> None:
    name, bodies = chain(tmp_path / "far", [1], Wall(START + 3_600_000))
    with desk_in(tmp_path / "near", Wall(START)) as desk:
        with desk.journal.writing() as writing:
            writing.take(bodies[0])
        here = desk.say(CheckConfirmed(check=f"{name}.1.back"), job="J-1")
        assert [entry.id for entry in desk.job("J-1").entries] == [f"{name}.1", here.id]


def damaged(folder: Path, *statements: str) -> None:
    """As a person with the card in another machine would."""
    with closing(sqlite3.connect(folder / "shop.db", isolation_level=None)) as connection:
        for (trigger,) in connection.execute("select name from sqlite_master where type = 'trigger'").fetchall():
            connection.execute(f"drop trigger {trigger}")
        for statement in statements:
            connection.execute(statement)


DAMAGE = {
    "an edited body": ("update entry set body = replace(body, 'pan', 'lid') where number = 3", r"\.3 was altered"),
    "an edited body that is no text": ("update entry set body = cast(x'ff00' as text) where number = 3", "be read"),
    "a removed entry": ("delete from entry where number = 3", r"\.3 to \w\w\.3 are missing"),
    "a cut middle": ("delete from entry where number in (2, 3, 4)", r"\.2 to \w\w\.4 are missing"),
    "a cut beginning": ("delete from entry where number < 3", r"\.1 to \w\w\.2 are missing"),
    "another job in the copy": ("update entry set job = 'x' where number = 4", r"\.4 is filed under something else"),
    "another hash": ("update entry set hash = printf('%064d', 7) where number = 2", r"\.2 was altered"),
    "other words of a customer": ("update detail set body = replace(body, 'Jo', 'Bo')", r"beside \w\w\.2 were altered"),
    "words gone without a word": ("delete from detail", r"beside \w\w\.2 are gone"),
    "words beside nothing": ("insert into detail select bench, 5, salt, body from detail", r"beside \w\w\.5"),
}


@pytest.mark.parametrize(("statement", "words"), DAMAGE.values(), ids=DAMAGE.keys())
def test_verify_finds(statement: str, words: str, tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        desk.say(CustomerNamed(digest=""), details=Customer(name="Jo Lark"))
        for part in ("pan", "shaft", "pan bolt"):
            desk.say(PartRemoved(part=part, name=part))
        assert desk.verify() == []
    damaged(tmp_path, statement)
    with desk_in(tmp_path) as desk:
        found = desk.verify()
    assert any(re.search(words, line) for line in found), found


def test_an_entry_written_anew_with_its_hash_shows_at_the_next(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        for part in ("pan", "lid"):
            desk.say(PartRemoved(part=part, name=part))
        bench = desk.bench
        forged = desk.journal.after(bench, 1)[0].replace(b'"pan"', b'"cap"')
    digest = hashlib.sha256(forged).hexdigest()
    damaged(tmp_path, f"update entry set body = '{forged.decode()}', hash = '{digest}' where number = 2")
    with desk_in(tmp_path) as desk:
        assert desk.verify() == [
            f"{bench}.3 does not follow the entry before it: one of the two was altered or exchanged."
        ]


def test_a_cut_tail_shows_in_the_digest_of_the_heads_and_only_there(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        desk.say(PartRemoved(part="pan", name="pan"))
        printed = desk.digest()
        assert len(printed) == 16
        assert set(printed) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZ234567")
        assert desk.digest() == printed
    damaged(tmp_path, "delete from entry where number = 2")
    (tmp_path / witness.FILE).unlink()  # as whoever cuts it would
    with desk_in(tmp_path) as desk:
        assert desk.verify() == []
        assert desk.digest() != printed


def test_progress_counts_to_the_end(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        with_job(desk)
        told: list[tuple[int, int]] = []
        desk.verify(lambda done, all_: told.append((done, all_)))
    assert told[-1] == (1, 1)


def test_numbers_given_out_are_never_given_again_said_or_not(tmp_path: Path) -> None:
    with desk_in(tmp_path) as one, desk_in(tmp_path) as two:
        serials = [desk.new_serial(0) for desk in (one, two, one, one, two)]
        assert serials == [0, 1, 2, 3, 4]
        assert one.new_serial(6) == 0
        jobs = [one.new_job(), two.new_job(), with_job(one)]
        assert jobs == [f"{one.bench}-{n}" for n in (1, 2, 3)]
    with desk_in(tmp_path) as again:
        assert again.new_serial(0) == 5


def test_a_job_that_came_under_our_name_is_not_opened_again(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.say(JobOpened(vehicle="Kestrel van"), job=f"{desk.bench}-1")
        assert desk.new_job() == f"{desk.bench}-2"


def test_label_numbers_end_with_a_sentence(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.new_serial(0)
        with desk.journal.folder.writing() as connection:
            connection.execute("update allotted set last = (1 << 20) - 1")
        with pytest.raises(Refused, match="new name"):
            desk.new_serial(0)


def test_two_terminals_see_each_other(tmp_path: Path) -> None:
    with desk_in(tmp_path) as one, desk_in(tmp_path) as two:
        job = with_job(one)
        assert two.changed()
        assert not two.changed()
        one.say(PartRemoved(part="pan", name="pan"))
        assert two.changed()
        assert [e.fact for e in two.job(job).said(PartRemoved)] == [PartRemoved(part="pan", name="pan")]
        assert one.changed()
        assert not one.changed()
        two.say(PartRemoved(part="lid", name="lid"), job=job)
        three = one.say(PartRemoved(part="cap", name="cap"))
        assert three.number == 4
        assert one.verify() == []


def test_the_desk_refuses_in_words_what_nobody_can_answer_for(tmp_path: Path) -> None:
    with desk_in(tmp_path, who="") as desk:
        with pytest.raises(Refused, match="Nobody is at the bench"):
            desk.say(BenchNamed(name="by the window"))
        desk.who = "ann"
        with pytest.raises(Refused, match="No job is open"):
            desk.say(PartRemoved(part="pan", name="pan"))
        with pytest.raises(Refused, match="no text"):
            desk.say(BenchNamed(name="\ud83d"))
        with pytest.raises(ValueError, match="with the customer's details"):
            desk.say(CustomerNamed(digest=""), job="J")
        desk.say(BenchNamed(name="by the window"))
        assert desk.shop().benches == {desk.bench: "by the window"}
        assert desk.heads()[desk.bench].number == 1


@settings(max_examples=25, deadline=None)
@given(st.lists(st.text(max_size=30), min_size=1, max_size=5))
def test_whatever_text_is_said_comes_back_as_it_was(words: list[str]) -> None:
    with tempfile.TemporaryDirectory() as folder, desk_in(Path(folder)) as desk:
        with_job(desk, vehicle=words[0], complaint=words[-1], registration=words[0])
        for word in words:
            desk.say(PartRemoved(part=word, name=word))
        assert [e.fact.name for e in desk.job().said(PartRemoved)] == words
        with desk.journal.folder.writing() as connection:
            before = finding.contents(connection)
            finding.rebuild(connection)
            assert finding.contents(connection) == before
        assert desk.verify() == []


def test_opening_a_desk_imports_nothing_heavy(tmp_path: Path) -> None:
    with Desk.open(tmp_path):
        pass
    heavy = "{'textual', 'pint', 'fpdf', 'PIL', 'qrcode', 'sqlite_utils'}"
    script = f"""
import sys
from pathlib import Path
from reassembly.record.desk import Desk
from reassembly.record import lines
Desk.open(Path(sys.argv[1])).close()
print(sorted({heavy} & set(sys.modules)))
"""
    found = subprocess.run([sys.executable, "-c", script, tmp_path], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
