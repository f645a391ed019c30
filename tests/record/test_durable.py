"""Files that are whole or not there."""

import os
import stat
from pathlib import Path

import pytest

from reassembly.record.durable import OWNER, PART, give_out
from reassembly.record.trouble import Refused, Trouble


def test_a_file_given_out_is_whole_with_its_folder_and_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "new" / "labels.pdf"
    give_out(path, b"one")
    give_out(path, b"two")
    assert [each.name for each in path.parent.iterdir()] == ["labels.pdf"]
    assert path.read_bytes() == b"two"


def test_what_stood_there_stays_when_the_disk_will_not(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "labels.pdf"
    give_out(path, b"old")

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Trouble, match="is full: make room"):
        give_out(path, b"new")
    assert path.read_bytes() == b"old"
    assert not path.with_name(path.name + PART).exists()


def test_who_may_read_it_is_the_users_own_choice_but_for_customers_words(tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        give_out(tmp_path / "labels.pdf", b"")
        give_out(tmp_path / "recall.csv", b"", OWNER)
    finally:
        os.umask(before)
    modes = [stat.S_IMODE((tmp_path / name).stat().st_mode) for name in ("labels.pdf", "recall.csv")]
    assert modes == [0o644, 0o600]


def test_a_pipe_is_written_to_as_it_is(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    try:
        give_out(pipe, b"words")
        assert os.read(reader, 10) == b"words"
    finally:
        os.close(reader)
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_a_link_stays_one_and_what_it_names_is_written(tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    link, target = tmp_path / "labels.pdf", tmp_path / "there" / "target.pdf"
    link.symlink_to(target)
    for data in (b"one", b"two"):
        give_out(link, data)
        assert (link.is_symlink(), target.read_bytes()) == (True, data)
    assert [each.name for each in target.parent.iterdir()] == ["target.pdf"]


def data_folder(tmp_path: Path) -> Path:
    folder = tmp_path / "data"
    for name in ("photos", "labels", "terminals"):
        (folder / name).mkdir(parents=True)
    (folder / "shop.db").write_bytes(b"SQLite format 3\0...")
    return folder


OWN = (
    "shop.db", "shop.db-wal", "shop.db-shm", "shop.head", "shop.lock", "shop.reserve", "machine.json", "verified.json",
    "copies.json", "photos-looked-at.json", "photos.lock", "photos/1f.jpg", "labels/labels.db", "labels/labels.lock",
    "terminals/tty1", "photos/../shop.db",
)  # fmt: skip


@pytest.mark.parametrize("name", OWN)
@pytest.mark.parametrize("by", ["its name", "a link", "a link to the folder"])
def test_no_file_that_the_record_is_kept_in_is_written_over(tmp_path: Path, name: str, by: str) -> None:
    folder = data_folder(tmp_path)
    own = folder / name
    before = own.read_bytes() if own.exists() else None
    path = own
    if by == "a link":
        path = tmp_path / "record.pdf"
        path.symlink_to(own)
    elif by == "a link to the folder":
        (tmp_path / "elsewhere").symlink_to(folder)
        path = tmp_path / "elsewhere" / name
    with pytest.raises(Refused, match="the record is kept in"):
        give_out(path, b"%PDF")
    assert (own.read_bytes() if own.exists() else None) == before


def test_a_copy_of_the_journal_is_not_written_over_either_wherever_it_lies(tmp_path: Path) -> None:
    copy = tmp_path / "KD-0007.db"
    copy.write_bytes(b"SQLite format 3\0...")
    with pytest.raises(Refused):
        give_out(copy, b"%PDF")


@pytest.mark.parametrize("name", ["record.pdf", "labels/1.png", "papers/record.pdf", "labels.pdf", "shop-record.pdf"])
def test_other_files_in_the_data_folder_may_be_written(tmp_path: Path, name: str) -> None:
    path = data_folder(tmp_path) / name
    give_out(path, b"one")
    give_out(path, b"two")
    assert path.read_bytes() == b"two"
