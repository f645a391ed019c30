"""A copy is good only once it was proved; the last good one outlives every attempt at a new one."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from reassembly.job.entries import CustomerNamed, PartRemoved, PhotoKept
from reassembly.record import backup as making
from reassembly.record import copies, durable, heads
from reassembly.record.backup import Backup, backup
from reassembly.record.copies import KEEP, ago, in_directory, last_good
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from reassembly.record.restore import FoundWrong, restore
from reassembly.record.trouble import Refused, Trouble
from tests.record.bench import Wall, desk_in, with_job
from tests.record.test_journal import damaged, rows

HOUR, DAY = 3_600_000, 86_400_000


def take_off(desk: Desk, *parts: str) -> None:
    for part in parts:
        desk.say(PartRemoved(part=part, name=part))


def names(directory: Path) -> list[str]:
    return sorted(path.name for path in directory.iterdir())


def keep_picture(folder: Path, content: bytes) -> str:
    (folder / "photos").mkdir(exist_ok=True)
    beside = folder / "photos" / "new"
    beside.write_bytes(content)
    digest = durable.sha256(beside)
    beside.rename(folder / "photos" / f"{digest}.jpg")
    return digest


# the copy


def test_a_copy_holds_everything_and_its_name_and_its_heads_say_what(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        desk.say(CustomerNamed(digest=""), details=Customer(name="Jo Lark"))
        made = backup(desk.journal, tmp_path / "stick")
        assert (made.digest, made.entries, made.found, made.missing) == (desk.digest(), 2, [], [])
        assert made.heads.as_heads == {desk.bench: desk.heads()[desk.bench]._replace(hlc=0)}
        assert heads.read(copies.heads_beside(made.path)) == made.heads
        assert made.path.name == f"{desk.bench}-0001-2026-03-14-{made.when[11:16].replace(':', '')}-{desk.digest()}.db"
    assert made.path.stat().st_mode & 0o077 == 0
    with closing(sqlite3.connect(made.path)) as copy:
        for table in ("entry", "detail", "own_bench", "allotted", "found_job"):
            assert copy.execute(f"select * from {table}").fetchall() == rows(
                tmp_path / "shop", f"select * from {table}"
            )


def test_a_copy_on_the_disk_of_the_record_is_told(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        (remark,) = backup(desk.journal, tmp_path / "beside").remarks
    assert "on the disk of the record itself" in remark


def test_progress_counts_both_ways_to_the_end(tmp_path: Path) -> None:
    told: list[tuple[str, int, int]] = []
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        with desk.journal.writing() as writing:
            for n in range(3000):
                writing.say(PartRemoved(part=f"{n}", name="x" * 300), who="ann", job=desk.open_job)
        backup(desk.journal, tmp_path / "stick", lambda *step: told.append(step))
    assert [what for what, *_ in told] == sorted(what for what, *_ in told)
    assert {what for what, *_ in told} == {"copying", "reading back"}
    assert all(0 <= done <= total for _, done, total in told)
    assert told[-1] == ("reading back", 3001, 3001)


def test_the_newest_stay_and_the_oldest_go(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        made = [backup(desk.journal, tmp_path / "stick") for _ in range(KEEP + 2)]
        kept = in_directory(tmp_path / "stick", desk.bench)
    assert [copy.path for copy in kept] == [each.path for each in made[2:]]
    assert len(names(tmp_path / "stick")) == 2 * KEEP + 1  # each with its heads, and the lock


def test_a_clock_that_went_back_does_not_make_the_newest_the_oldest(tmp_path: Path) -> None:
    wall = Wall()
    with desk_in(tmp_path / "shop", wall) as desk:
        for _ in range(KEEP):
            backup(desk.journal, tmp_path / "stick")
        wall.milliseconds -= 400 * DAY
        newest = backup(desk.journal, tmp_path / "stick")
        assert in_directory(tmp_path / "stick", desk.bench)[-1].path == newest.path


def test_a_copy_with_something_the_journal_lacks_is_told_and_never_goes(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        take_off(desk, "pan", "lid")
        newer = backup(desk.journal, tmp_path / "stick")
        bench = desk.bench
    damaged(tmp_path / "shop", "delete from entry where number > 1")
    with desk_in(tmp_path / "shop") as desk:
        made = [backup(desk.journal, tmp_path / "stick") for _ in range(KEEP + 3)]
    assert newer.path.exists()
    assert all(f"{bench}.2 to {bench}.3 are missing" in each.missing[0] for each in made)


def test_copies_of_another_bench_are_left_alone(tmp_path: Path) -> None:
    with desk_in(tmp_path / "one") as desk:
        other = backup(desk.journal, tmp_path / "stick")
    while True:
        with desk_in(tmp_path / "two") as desk:
            if desk.bench != other.heads.bench:
                break
            with desk.journal.writing() as writing:
                writing.take_new_bench()
    with desk_in(tmp_path / "two") as desk:
        for _ in range(KEEP + 1):
            backup(desk.journal, tmp_path / "stick")
    assert other.path.exists()


# what goes wrong


def test_a_stick_that_does_not_keep_what_is_written_is_found_and_the_last_good_copy_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def settle_badly(path: Path) -> None:
        with closing(sqlite3.connect(path)) as copy:
            for (trigger,) in copy.execute("select name from sqlite_master where type = 'trigger'").fetchall():
                copy.execute(f"drop trigger {trigger}")
            copy.execute("update entry set body = replace(body, 'pan', 'lid')")
            copy.commit()

    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        take_off(desk, "pan")
        good = backup(desk.journal, tmp_path / "stick")
        before = names(tmp_path / "stick")
        monkeypatch.setattr(durable, "settle", settle_badly)
        with pytest.raises(Trouble, match=r"did not keep what was written.* was altered"):
            backup(desk.journal, tmp_path / "stick")
        told = last_good(desk.path, desk.journal.now())
    assert names(tmp_path / "stick") == before
    assert told is not None
    assert told.path == good.path


def test_a_stick_that_keeps_nothing_readable_is_found_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        monkeypatch.setattr(durable, "settle", lambda path: path.write_bytes(b"\x5a" * 9999))
        with pytest.raises(Trouble, match="did not keep what was written: take another stick"):
            backup(desk.journal, tmp_path / "stick")
    assert names(tmp_path / "stick") == ["backup.lock"]


def test_a_journal_found_wrong_is_copied_all_the_same_but_never_as_a_good_copy(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        take_off(desk, "pan")
        good = backup(desk.journal, tmp_path / "stick")
    damaged(tmp_path / "shop", "update entry set body = replace(body, 'pan', 'lid') where number = 2")
    with desk_in(tmp_path / "shop") as desk:
        for _ in range(KEEP + 1):
            doubtful = backup(desk.journal, tmp_path / "stick")
        told = last_good(desk.path, desk.journal.now())
        assert ".2 was altered" in doubtful.found[0]
        assert [copy.path for copy in in_directory(tmp_path / "stick", desk.bench)] == [good.path, doubtful.path]
    assert told is not None
    assert told.path == good.path
    with pytest.raises(FoundWrong, match="take another copy"):
        restore(doubtful.path, tmp_path / "new")
    assert list((tmp_path / "new").iterdir()) == []
    assert ".2 was altered" in restore(doubtful.path, tmp_path / "new", all_the_same=True).found[0]


def test_what_a_killed_backup_left_is_cleared_away_and_never_counted(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        (tmp_path / "stick").mkdir()
        left = tmp_path / "stick" / f"{desk.bench}-0001.db.part"
        left.write_bytes(b"half")
        assert in_directory(tmp_path / "stick") == []
        assert backup(desk.journal, tmp_path / "stick").path.exists()
    assert not left.exists()


def test_a_stick_that_is_not_there_is_told(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with pytest.raises(Trouble, match="plug the stick in"):
            backup(desk.journal, tmp_path / "media" / "stick")
        (tmp_path / "file").touch()
        with pytest.raises(Trouble, match="is not a folder"):
            backup(desk.journal, tmp_path / "file")


def test_two_backups_into_one_directory_do_not_meet(tmp_path: Path) -> None:
    (tmp_path / "stick").mkdir()
    with (
        desk_in(tmp_path / "shop") as desk,
        durable.alone(tmp_path / "stick" / "backup.lock"),
        pytest.raises(Trouble, match="Another backup"),
    ):
        backup(desk.journal, tmp_path / "stick")


def test_without_room_the_oldest_go_first_and_the_last_good_one_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with desk_in(tmp_path / "shop") as desk:
        made = [backup(desk.journal, tmp_path / "stick") for _ in range(3)]

        class Full:
            free = 0

        def full(part: object, *_: object) -> None:
            raise Trouble("full")

        monkeypatch.setattr(shutil, "disk_usage", lambda _: Full)
        monkeypatch.setattr(making, "_copy", full)
        with pytest.raises(Trouble, match="full"):
            backup(desk.journal, tmp_path / "stick")
    assert [copy.path for copy in in_directory(tmp_path / "stick")] == [made[-1].path]


def test_a_copy_whose_heads_nobody_can_read_is_kept_and_hinders_nothing(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        first = backup(desk.journal, tmp_path / "stick")
        copies.heads_beside(first.path).write_text("{")
        for _ in range(KEEP + 1):
            backup(desk.journal, tmp_path / "stick")
    assert first.path.exists()


# pictures


def test_pictures_are_copied_once_and_brought_back(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        desk.say(PhotoKept(digest=keep_picture(desk.path, b"picture"), caption="the flange"))
        backup(desk.journal, tmp_path / "stick")
        (picture,) = (tmp_path / "stick" / "photos").iterdir()
        first = picture.stat().st_ino
        made = backup(desk.journal, tmp_path / "stick")
        assert picture.stat().st_ino == first
    assert restore(made.path, tmp_path / "new").lacks == []
    assert (tmp_path / "new" / "photos" / picture.name).read_bytes() == b"picture"


def test_a_picture_that_is_damaged_or_gone_is_told(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        digests = [keep_picture(desk.path, b"one"), keep_picture(desk.path, b"two"), "0" * 64]
        for digest in digests:
            desk.say(PhotoKept(digest=digest))
        (desk.path / "photos" / f"{digests[0]}.jpg").write_bytes(b"no picture")
        made = backup(desk.journal, tmp_path / "stick")
        assert any(digests[0] in remark and "damaged" in remark for remark in made.remarks)
        assert any("names is gone: bring it back from a backup." in remark for remark in made.remarks)
    lacks = restore(made.path, tmp_path / "new").lacks
    assert any(digests[0] in sentence for sentence in lacks)
    assert "2 of 3 pictures are not with the copy." in lacks


def test_a_damaged_picture_never_goes_over_the_good_one_of_an_earlier_copy(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        digest = keep_picture(desk.path, b"picture")
        desk.say(PhotoKept(digest=digest))
        backup(desk.journal, tmp_path / "stick")
        (desk.path / "photos" / f"{digest}.jpg").write_bytes(b"cut off")
        made = backup(desk.journal, tmp_path / "stick")
        (desk.path / "photos" / f"{digest}.jpg").write_bytes(b"half")
        made = backup(desk.journal, tmp_path / "stick")
    assert made.remarks
    assert restore(made.path, tmp_path / "new").lacks == []
    assert (tmp_path / "new" / "photos" / f"{digest}.jpg").read_bytes() == b"picture"


# how old it is


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0, "just now"),
        (59, "just now"),
        (-30, "just now"),
        (60, "1 minute ago"),
        (3599, "59 minutes ago"),
        (7200, "2 hours ago"),
        (86400, "1 day ago"),
        (2.9 * 86400, "2 days ago"),
        (-3600, "dated 2026-03-14, later than this clock"),
    ],
)
def test_an_age_in_words(seconds: float, words: str) -> None:
    assert ago(seconds, "2026-03-14T16:55:03+01:00") == words


@pytest.mark.parametrize(
    ("directory", "same_disk", "words"),
    [
        ("/media/ann/stick", False, "on the stick"),
        ("/run/media/ann/x/reassembly", False, "on the stick"),
        ("/srv/copies", False, "in /srv/copies"),
        ("/mediation", False, "in /mediation"),
        ("/media/ann/stick", True, "on the disk of the record itself"),
    ],
)
def test_a_place_in_words(directory: str, same_disk: bool, words: str) -> None:
    assert copies.where(Path(directory), same_disk=same_disk) == words


def test_the_last_good_copy_is_told_with_its_age_also_when_the_stick_is_away(tmp_path: Path) -> None:
    wall = Wall()
    with desk_in(tmp_path / "shop", wall) as desk:
        assert last_good(desk.path, wall.now()) is None
        backup(desk.journal, tmp_path / "stick")
        wall.milliseconds += 2 * DAY + HOUR
        told = last_good(desk.path, wall.now())
        assert told is not None
        assert told.age == "2 days ago, on the disk of the record itself"
        assert 2 < told.days < 2.1
        (tmp_path / "stick").rename(tmp_path / "pulled")
        assert last_good(desk.path, wall.now()) == told
        (tmp_path / "pulled").rename(tmp_path / "stick")
        told.path.unlink()
        assert last_good(desk.path, wall.now()) is None


# brought back


def made_of(folder: Path, directory: Path, *parts: str) -> Backup:
    with desk_in(folder) as desk:
        with_job(desk)
        take_off(desk, *parts)
        return backup(desk.journal, directory)


def test_what_is_brought_back_is_the_same_record_under_a_new_name(tmp_path: Path) -> None:
    made = made_of(tmp_path / "shop", tmp_path / "stick", "pan", "lid")
    restored = restore(made.path, tmp_path / "new")
    assert (restored.was, restored.entries, restored.digest) == (made.heads.bench, 3, made.digest)
    assert restored.lacks == restored.found == []
    assert sorted(path.name for path in (tmp_path / "new").iterdir()) == ["shop.db"]
    every = "select * from entry order by bench, number"
    assert rows(tmp_path / "new", every) == rows(tmp_path / "shop", every)
    with desk_in(tmp_path / "new") as desk:
        assert desk.bench == restored.bench != made.heads.bench
        assert desk.say(PartRemoved(part="nut", name="nut"), job=f"{restored.was}-1").id == f"{restored.bench}.1"
        assert desk.verify() == []
        assert len(desk.job(f"{restored.was}-1").entries) == 4


def test_the_new_name_is_none_that_heads_kept_beside_the_copy_carry(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = made_of(tmp_path / "shop", tmp_path / "stick", "pan")
    other = restore(made.path, tmp_path / "second")  # it goes on under a new name, and makes copies of its own
    with desk_in(tmp_path / "second") as desk:
        take_off_job = f"{other.was}-1"
        desk.say(PartRemoved(part="nut", name="nut"), job=take_off_job)
        backup(desk.journal, tmp_path / "stick")
    offered = iter([other.bench, "ZZ", "ZX"])
    from reassembly.record.writing import Writing

    def take(self: Writing) -> str:
        self.bench = next(offered)
        self._connection.execute("insert into own_bench (bench) values (?)", [self.bench])
        return self.bench

    monkeypatch.setattr(Writing, "take_new_bench", take)
    assert restore(made.path, tmp_path / "third").bench == "ZZ"


def test_what_the_copy_lacks_is_told_by_the_heads_of_newer_copies(tmp_path: Path) -> None:
    wall = Wall()
    with desk_in(tmp_path / "shop", wall) as desk:
        with_job(desk)
        old = backup(desk.journal, tmp_path / "stick")
        wall.milliseconds += DAY
        take_off(desk, "pan", "lid")
        backup(desk.journal, tmp_path / "stick")
        bench = desk.bench
    (sentence,) = restore(old.path, tmp_path / "new").lacks
    assert sentence.startswith(f"This is an old copy, as {old.heads.source} was: {bench}.2 to {bench}.3 are missing")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    alone = old.path.rename(elsewhere / "brought.db")
    assert restore(alone, tmp_path / "blind").lacks == []


def test_a_copy_altered_since_it_was_made_is_told(tmp_path: Path) -> None:
    made = made_of(tmp_path / "shop", tmp_path / "stick", "pan", "lid")
    copies.heads_beside(made.path).unlink()
    with closing(sqlite3.connect(made.path, isolation_level=None)) as copy:
        copy.execute("drop trigger entry_is_never_deleted")
        copy.execute("delete from entry where number = 3")
    (sentence,) = restore(made.path, tmp_path / "new").lacks
    assert f"its name says {made.digest}" in sentence


def test_only_an_empty_folder_is_filled(tmp_path: Path) -> None:
    made = made_of(tmp_path / "shop", tmp_path / "stick", "pan")
    before = (tmp_path / "shop" / "shop.db").read_bytes()
    with pytest.raises(Refused, match="is not empty"):
        restore(made.path, tmp_path / "shop")
    assert (tmp_path / "shop" / "shop.db").read_bytes() == before
    (tmp_path / "partition" / "lost+found").mkdir(parents=True)
    (tmp_path / "partition" / "being-restored").mkdir()
    restore(made.path, tmp_path / "partition")
    assert names(tmp_path / "partition") == ["lost+found", "shop.db"]


def test_what_is_no_copy_is_told_and_changes_nothing(tmp_path: Path) -> None:
    made = made_of(tmp_path / "shop", tmp_path / "stick", "pan")
    (tmp_path / "words.db").write_text("no database at all, but long enough to be read as one" * 9)
    with closing(sqlite3.connect(tmp_path / "other.db")) as other:
        other.execute("create table entry (bench)")
    for wrong, words in {
        tmp_path / "words.db": "is not a journal",
        tmp_path / "other.db": "no copy of a journal",
        tmp_path / "nowhere.db": "There is no",
        tmp_path / "stick": f"the newest in .* is .*{made.path.name}",
        tmp_path: "There is no copy in",
    }.items():
        with pytest.raises(Trouble, match=words):
            restore(wrong, tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_a_copy_of_a_newer_program_is_refused(tmp_path: Path) -> None:
    made = made_of(tmp_path / "shop", tmp_path / "stick", "pan")
    with closing(sqlite3.connect(made.path)) as copy:
        copy.execute("update _sqlite_migrations set name = 'later' where name = 'finding'")
        copy.commit()
    with pytest.raises(Trouble, match="newer version"):
        restore(made.path, tmp_path / "new")


def test_a_damaged_copy_is_told_by_its_own_name(tmp_path: Path) -> None:
    made = made_of(tmp_path / "shop", tmp_path / "stick", *(f"part {n}" for n in range(200)))
    data = bytearray(made.path.read_bytes())
    half = len(data) // 2
    data[half:] = b"\x5a" * (len(data) - half)
    made.path.write_bytes(data)
    with pytest.raises(Trouble, match=made.path.name):
        restore(made.path, tmp_path / "new")
    assert names(tmp_path / "new") == []
