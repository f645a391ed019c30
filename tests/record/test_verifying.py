"""An edited entry, a cut tail, a rewritten chain and an old copy: each shown in one sentence."""

import hashlib
import json
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.job.entries import CustomerNamed, PartRemoved
from reassembly.record import heads, notes, verifying, witness
from reassembly.record.backup import backup
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from reassembly.record.heads import KeptHead, KeptHeads, grouped, paper
from reassembly.record.journal import digest
from reassembly.record.trouble import Refused
from tests.record.bench import Wall, desk_in, with_job
from tests.record.test_journal import damaged, rows

DAY = 86_400_000


def take_off(desk: Desk, *parts: str) -> None:
    for part in parts:
        desk.say(PartRemoved(part=part, name=part))


def begun(folder: Path, wall: Wall | None = None) -> tuple[str, str]:
    """A record of four entries, found whole; its bench and what was printed then."""
    with desk_in(folder, wall) as desk:
        with_job(desk)
        take_off(desk, "pan", "lid", "nut")
        assert verifying.verify(desk.journal).found == []
        return desk.bench, desk.digest()


def rewritten(folder: Path, bench: str, first: int, old: str, new: str) -> None:
    """A chain written anew from an entry on: every hash fits, as whoever holds the card can make it."""
    bodies = [str(body) for (body,) in rows(folder, "select body from entry order by number")]
    before, statements = str(rows(folder, f"select hash from entry where number = {first - 1}")[0][0]), []
    for number, body in enumerate(bodies[first - 1 :], first):
        entry = msgspec.json.decode(body)
        changed = body.replace(old, new).replace(entry["previous"], before)
        before = hashlib.sha256(changed.encode()).hexdigest()
        statements.append(f"update entry set body = '{changed}', hash = '{before}' where number = {number}")
    damaged(folder, *statements)


# as a habit


def test_only_what_is_new_is_read_and_all_of_it_once_a_week(tmp_path: Path) -> None:
    wall = Wall()
    begun(tmp_path, wall)
    with desk_in(tmp_path, wall) as desk:
        desk.open_job = f"{desk.bench}-1"
        read = []
        for part in ("a", "b", "", ""):
            if part:
                take_off(desk, part)
            done = verifying.verify(desk.journal)
            read.append((done.read, done.whole, done.entries))
            wall.milliseconds += 3 * DAY
        assert read == [(1, False, 5), (1, False, 6), (0, False, 6), (6, True, 6)]
        assert not verifying.due(desk.journal)
        wall.milliseconds -= 9 * DAY
        assert verifying.due(desk.journal)  # the clock went back: nobody knows how long ago it was
        assert verifying.verify(desk.journal, whole=True).whole


def test_a_note_that_nobody_can_read_means_that_all_is_read(tmp_path: Path) -> None:
    begun(tmp_path)
    (tmp_path / notes.VERIFIED).write_text('{"up_to')
    with desk_in(tmp_path) as desk:
        assert verifying.verify(desk.journal).read == 4


def test_what_is_wrong_among_the_new_is_found_and_told_again_until_it_is_gone(tmp_path: Path) -> None:
    bench, _ = begun(tmp_path)
    with desk_in(tmp_path) as desk:
        with_job(desk)
        desk.say(CustomerNamed(digest=""), details=Customer(name="Jo Lark"))
        take_off(desk, "cap")
    damaged(tmp_path, "update entry set body = replace(body, 'cap', 'cup') where number = 7", "delete from detail")
    with desk_in(tmp_path) as desk:
        for _ in range(2):
            done = verifying.verify(desk.journal)
            assert not done.whole
            assert done.found == [
                f"{bench}.7 was altered: its words and its hash do not agree.",
                f"The customer's details beside {bench}.6 are gone, and nobody asked for it.",
            ]


def test_an_edit_in_what_was_read_before_waits_for_the_week(tmp_path: Path) -> None:
    wall = Wall()
    bench, _ = begun(tmp_path, wall)
    damaged(tmp_path, "update entry set body = replace(body, 'pan', 'pin') where number = 2")
    with desk_in(tmp_path, wall) as desk:
        assert verifying.verify(desk.journal).found == []
        wall.milliseconds += 7 * DAY
        assert verifying.verify(desk.journal).found == [f"{bench}.2 was altered: its words and its hash do not agree."]


# against heads kept elsewhere


def test_a_cut_tail_shows_against_what_was_last_found_whole(tmp_path: Path) -> None:
    bench, _ = begun(tmp_path)
    damaged(tmp_path, "delete from entry where number > 2")
    with desk_in(tmp_path) as desk:
        (sentence,) = verifying.verify(desk.journal).found
    assert sentence.startswith(
        f"The end of {bench} was cut off, or an older copy was put in its place: {bench}.3 to {bench}.4 are missing, "
        "which verify on 2026-03-14 "
    )


def test_a_cut_tail_over_which_work_went_on_is_a_rewritten_chain(tmp_path: Path) -> None:
    bench, _ = begun(tmp_path)
    damaged(tmp_path, "delete from entry where number > 2")
    (tmp_path / witness.FILE).unlink()  # which would not let it go on
    with desk_in(tmp_path) as desk:
        with_job(desk)
        take_off(desk, "cap", "hub")
        (sentence,) = verifying.verify(desk.journal).found
    assert sentence.startswith(f"{bench} was rewritten: {bench}.4 is not the entry that verify on ")


def test_a_rewritten_chain_shows_against_the_heads_kept_with_copies_and_from_where_on(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        take_off(desk, "pan")
        backup(desk.journal, tmp_path / "stick")
        take_off(desk, "lid", "nut")
        backup(desk.journal, tmp_path / "stick")
        bench = desk.bench
    rewritten(tmp_path / "shop", bench, 3, '"lid"', '"hub"')
    (tmp_path / "shop" / witness.FILE).unlink()  # as whoever rewrites it would
    with desk_in(tmp_path / "shop") as desk:
        assert desk.verify() == []  # the chain alone says nothing
        (sentence,) = verifying.verify(desk.journal, whole=True).found
    assert sentence.startswith(
        f"{bench} was rewritten after {bench}.2: {bench}.4 is not the entry that the copy of 2026"
    )


def test_an_old_copy_passed_off_as_new_is_told_as_one(tmp_path: Path) -> None:
    wall = Wall()
    with desk_in(tmp_path / "shop", wall) as desk:
        with_job(desk)
        take_off(desk, "pan")
        old = backup(desk.journal, tmp_path / "stick")
        wall.milliseconds += DAY
        take_off(desk, "lid", "nut")
        verifying.verify(desk.journal)
        bench = desk.bench
    shutil.copy(old.path, tmp_path / "shop" / "shop.db")
    with desk_in(tmp_path / "shop", wall) as desk:
        (sentence,) = verifying.verify(desk.journal).found
    assert sentence.startswith(
        f"This is an old copy, as {old.heads.source} was: {bench}.3 to {bench}.4 are missing, which verify on 2026-03-"
    )


def test_the_heads_on_the_stick_count_though_the_data_folder_forgot_them(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        take_off(desk, "pan")
        first = backup(desk.journal, tmp_path / "stick")
        take_off(desk, "lid")
        backup(desk.journal, tmp_path / "stick")
        notes.note_copy(
            desk.path,
            tmp_path / "stick",
            notes.Copy(path=str(first.path), heads=first.heads, where="on the stick", same_disk=False),
        )
        bench = desk.bench
    damaged(tmp_path / "shop", "delete from entry where number > 2")
    with desk_in(tmp_path / "shop") as desk:
        assert f"{bench}.3 is missing" in verifying.verify(desk.journal).found[0]


def test_a_file_of_heads_is_compared(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        file = tmp_path / "heads.json"
        file.write_text(json.dumps({"heads": {desk.bench: {"number": 3, "hash": "0" * 64}}, "more": 1}))
        (sentence,) = verifying.verify(desk.journal, against=[heads.read(file)]).found
        assert f"{desk.bench}.2 to {desk.bench}.3 are missing, which {file} had" in sentence
        for text in ("", "[]", '{"heads": {"KD": {"number": 0, "hash": ""}}}', '{"heads": {"KD": 7}}', "{"):
            file.write_text(text)
            with pytest.raises(Refused, match="has no heads in it"):
                heads.read(file)


# against paper

DAMAGE: dict[str, Callable[[Path, str], None]] = {
    "a cut tail": lambda folder, _: damaged(folder, "delete from entry where number > 3"),
    "a rewritten chain": lambda folder, bench: rewritten(folder, bench, 2, '"pan"', '"hub"'),
    "a last entry written anew": lambda folder, bench: rewritten(folder, bench, 4, '"nut"', '"hub"'),
}


@pytest.mark.parametrize("damage", DAMAGE.values(), ids=DAMAGE.keys())
def test_paper_shows_what_the_chain_does_not(damage: Callable[[Path, str], None], tmp_path: Path) -> None:
    bench, printed = begun(tmp_path)
    (tmp_path / notes.VERIFIED).unlink()
    damage(tmp_path, bench)
    (tmp_path / witness.FILE).unlink()
    with desk_in(tmp_path) as desk:
        assert desk.verify() == []
        agrees, sentence = verifying.paper(desk.journal, printed)
        assert not agrees
        assert sentence.startswith(f"The journal never stood as the paper with {grouped(printed)} says")
        agrees, sentence = verifying.paper(desk.journal, f"{grouped(printed)} {bench}.4")
        assert not agrees
        cut = f"The end was cut off, or this is an old copy: {bench}.4 is missing, which the paper"
        anew = f"The journal was rewritten at or before {bench}.4"
        assert sentence.startswith((cut, anew))
        assert sentence.startswith(cut) == (desk.heads()[bench].number == 3)


def test_paper_is_right_about_a_moment_long_ago(tmp_path: Path) -> None:
    bench, printed = begun(tmp_path)
    with desk_in(tmp_path) as desk:
        agrees, now = verifying.paper(desk.journal, printed.lower())
        assert agrees
        assert "stood as it does now" in now
        with_job(desk)
        for typed in (printed, grouped(printed), f" {printed[:8]}-{printed[8:].lower()} ", f"{printed}, {bench}.4"):
            assert verifying.paper(desk.journal, typed) == (
                True,
                f"All that the paper with {grouped(printed)} stands for is here unchanged; 1 entry came after it.",
            )


@given(st.integers(1, 6), st.integers(0, 6), st.data())
def test_every_moment_of_two_benches_is_found_by_its_numbers(here: int, there: int, data: st.DataObject) -> None:

    with tempfile.TemporaryDirectory() as folder, desk_in(Path(folder)) as desk:
        with desk.journal.writing() as writing:
            for bench, count in (("AA", here), ("BB", there)):
                for n in range(count):
                    writing.say(PartRemoved(part=f"{n}", name="x"), who="ann", job="J", bench=bench)
        hashes = {(b, n): str(h) for b, n, h in rows(Path(folder), "select bench, number, hash from entry")}
        numbers = {"AA": data.draw(st.integers(1, here)), "BB": data.draw(st.integers(0, there))}
        then = {b: KeptHead(n, hashes[b, n]) for b, n in numbers.items() if n}
        printed = KeptHeads(heads=then).digest
        named = " ".join(f"{bench}.{head.number}" for bench, head in then.items())
        agrees, sentence = verifying.paper(desk.journal, f"{printed} {named}")
        assert agrees, sentence
        assert not verifying.paper(desk.journal, f"{printed} AA.{numbers['AA'] + 1} BB.{numbers['BB'] + 1}")[0] or (
            printed == digest(desk.heads())
        )


TYPED = {
    "ABCD EFGH IJKL MNOP": ("ABCDEFGHIJKLMNOP", {}),
    "abcd-efgh-ijkl-mnop": ("ABCDEFGHIJKLMNOP", {}),
    "ABCDEFGH1JKLMN0P": ("ABCDEFGHIJKLMNOP", {}),
    "8BCDEFGHIJKLMNOP": ("BBCDEFGHIJKLMNOP", {}),
    "ABCD EFGH IJKL MNOP KD.40, NP.7": ("ABCDEFGHIJKLMNOP", {"KD": 40, "NP": 7}),
}


@pytest.mark.parametrize(("typed", "read"), TYPED.items())
def test_what_a_paper_says_is_read_however_it_is_typed(typed: str, read: tuple[str, dict[str, int]]) -> None:
    assert paper(typed) == read


@pytest.mark.parametrize("typed", ["", "ABCD", "ABCD EFGH IJKL MNOP Q", "ABCD EFGH IJKL MN9P", "heads.json", "KD.40"])
def test_what_is_no_digest_is_refused_in_words(typed: str) -> None:
    with pytest.raises(Refused, match="16 letters and digits, such as ABCD EFGH IJKL MNOP"):
        paper(typed)
