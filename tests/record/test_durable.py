"""Files that are whole or not there."""

import os
import stat
from pathlib import Path

import pytest

from reassembly.record.durable import OWNER, PART, give_out
from reassembly.record.trouble import Trouble


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
