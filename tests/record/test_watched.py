"""New pictures on a card or in a folder: offered until a photo of them stands."""

import os
from pathlib import Path

import pytest

from reassembly.job.entries import EntryStruck, PhotoKept
from reassembly.record import durable
from reassembly.record.photos import keep
from reassembly.record.trouble import Trouble
from reassembly.record.watched import Watch, places
from tests.record.bench import desk_in, with_job
from tests.record.camera import HEIC, take


def watching(folder: Path, place: Path) -> Watch:
    return Watch(folder, str(place), mounted=[])


def aged(path: Path, seconds: int) -> Path:
    os.utime(path, (1_700_000_000 + seconds,) * 2)
    return path


def test_the_newest_picture_is_offered_first_and_each_once(tmp_path: Path) -> None:
    card = tmp_path / "card"
    aged(take(card / "DCIM" / "100" / "IMG_1.JPG", shade=1), 10)
    aged(take(card / "DCIM" / "101" / "IMG_2.jpeg", shade=20), 30)
    aged(take(card / "copy of 1.jpg", shade=1), 5)
    aged(take(card / "screen.png", kind="PNG"), 20)
    (card / "new.heic").write_bytes(HEIC)
    aged(card / "new.heic", 40)
    take(card / ".thumbnails" / "t.jpg", shade=40)
    take(card / ".hidden.jpg", shade=60)
    (card / "words.txt").write_text("no picture")
    os.mkfifo(card / "pipe.jpg")
    (card / "link.jpg").symlink_to("/dev/zero")
    (card / "folder.jpg").mkdir()
    found = watching(tmp_path, card).look(set())
    assert [each.path.name for each in found] == ["new.heic", "IMG_2.jpeg", "screen.png", "IMG_1.JPG"]
    assert found[1].written == 1_700_000_030


def test_a_picture_is_new_until_a_photo_of_it_stands(tmp_path: Path) -> None:
    card = tmp_path / "card"
    for n in range(3):
        aged(take(card / f"{n}.jpg", shade=20 * n), n)
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        watch = watching(desk.path, card)

        def waiting() -> list[str]:
            again = watching(desk.path, card).look(desk.photo_sources())
            assert watch.look(desk.photo_sources()) == again
            return [each.path.name for each in again]

        assert waiting() == ["2.jpg", "1.jpg", "0.jpg"]
        kept = keep(desk.path, card / "1.jpg")
        assert waiting() == ["2.jpg", "1.jpg", "0.jpg"]  # its fact is not said
        entry = desk.say(PhotoKept(digest=kept.digest, source=kept.source, part="pan"))
        assert waiting() == ["2.jpg", "0.jpg"]
        (card / "1.jpg").rename(card / "renamed.jpg")
        assert waiting() == ["2.jpg", "0.jpg"]
        desk.say(EntryStruck(entry=entry.id, why="the wrong part"))
        assert waiting() == ["2.jpg", "renamed.jpg", "0.jpg"]


def test_a_file_is_read_once_even_by_the_next_program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    card = tmp_path / "card"
    take(card / os.fsdecode(b"na\xffme\x1b[2J.jpg"))
    read: list[Path] = []
    sha256 = durable.sha256

    def noted(path: Path) -> str:
        read.append(path)
        return sha256(path)

    monkeypatch.setattr(durable, "sha256", noted)
    for _ in range(3):
        assert len(watching(tmp_path, card).look(set())) == 1
    assert len(read) == 1
    (tmp_path / "photos-looked-at.json").write_text("{damaged")
    assert len(watching(tmp_path, card).look(set())) == 1
    aged(take(next(card.iterdir()), shade=9), 99)
    watching(tmp_path, card).look(set())
    assert len(read) == 3


def test_of_very_many_the_newest_are_looked_at(tmp_path: Path) -> None:
    for n in range(9):
        aged(take(tmp_path / "card" / f"{n}.jpg", shade=10 * n), n)
    told: list[tuple[int, int]] = []
    watch = watching(tmp_path, tmp_path / "card")
    newest = watch.look(set(), lambda done, every: told.append((done, every)), most=3)
    assert [each.path.name for each in newest] == ["8.jpg", "7.jpg", "6.jpg"]
    assert told[-1] == (3, 9)
    older = watch.look({each.source for each in newest}, most=3)  # however many were kept, the next ones come up
    assert [each.path.name for each in older] == ["5.jpg", "4.jpg", "3.jpg"]


def test_where_nobody_named_a_folder_the_inbox_and_every_card_are_looked_at(tmp_path: Path) -> None:
    take(tmp_path / "media" / "ann" / "CARD" / "DCIM" / "1.jpg")
    take(tmp_path / "media" / "PHONE" / "DCIM" / "2.jpg", shade=20)
    take(tmp_path / "media" / "PHONE" / "Music" / "cover.jpg", shade=40)
    watch = Watch(tmp_path / "shop", mounted=[tmp_path / "media"])
    assert [str(p.relative_to(tmp_path)) for p in watch.places] == [
        "shop/photos-in",
        "media/PHONE/DCIM",
        "media/ann/CARD/DCIM",
    ]
    assert sorted(each.path.name for each in watch.look(set())) == ["1.jpg", "2.jpg"]
    assert (tmp_path / "shop" / "photos-in").is_dir()
    assert places(tmp_path, "/some/where", mounted=[]) == [Path("/some/where")]


def test_what_comes_is_noticed_wherever_it_comes_and_nothing_else_is(tmp_path: Path) -> None:
    media = tmp_path / "media"
    take(tmp_path / "sync" / "2026" / "1.jpg")
    watch = Watch(tmp_path / "shop", str(tmp_path / "sync"), mounted=[media])
    assert [watch.changed() for _ in range(3)] == [False, False, False]
    take(tmp_path / "sync" / "2026" / "2.jpg", shade=20)  # in a folder that was there
    assert [watch.changed(), watch.changed()] == [True, False]
    take(media / "CARD" / "DCIM" / "3.jpg", shade=40)  # a card is plugged in
    assert [watch.changed(), watch.changed()] == [True, False]
    watch.look(set())
    watch.changed()
    (media / "CARD").rename(tmp_path / "unplugged")
    assert watch.changed() is False


def test_a_folder_that_is_not_plugged_in_is_told(tmp_path: Path) -> None:
    with pytest.raises(Trouble, match="plug the card or phone in"):
        watching(tmp_path, tmp_path / "gone").look(set())
