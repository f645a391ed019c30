"""What this machine was told once, and the printer's list, without any print server."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from labels.code import Kind, make
from labels.label import Label
from labels.printer import Spooler
from labels.waiting import Place
from reassembly.record import settings
from reassembly.record.press import Press
from reassembly.record.settings import Settings
from reassembly.record.trouble import Refused, Trouble

if TYPE_CHECKING:
    from pathlib import Path

LABEL = Label(make(Kind.BAG, "KD", 1), "gearbox pan")


def test_settings_are_remembered_and_the_usual_until_then(tmp_path: Path) -> None:
    assert settings.read(tmp_path) == Settings()
    settings.write(tmp_path, Settings(keys={"q": "A"}))
    Press(tmp_path).choose("bags", 300, "tag")
    assert settings.read(tmp_path) == Settings(printer="bags", dpi=300, size="tag", keys={"q": "A"})


def test_damaged_settings_are_told_and_choosing_again_mends_them(tmp_path: Path) -> None:
    (tmp_path / settings.FILE).write_bytes(b"\x00")
    with pytest.raises(Trouble, match="choose the printer again"):
        settings.read(tmp_path)
    Press(tmp_path).choose("bags")
    assert settings.read(tmp_path).printer == "bags"


def test_an_office_printer_is_refused_with_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="laser prints 600 dots an inch, a label printer 203 or 300: print a sheet"):
        Press(tmp_path).choose("laser", 600)
    assert settings.read(tmp_path).printer == ""


def test_nothing_is_made_before_the_first_label(tmp_path: Path) -> None:
    press = Press(tmp_path, Spooler("127.0.0.1:1"))
    assert press.run() == ("", False)
    assert (press.all(Place.WAITING), press.next_copy(LABEL.code)) == ([], 1)
    assert list(tmp_path.iterdir()) == []


def test_labels_without_a_printer_wait_and_say_so(tmp_path: Path) -> None:
    press = Press(tmp_path, Spooler("127.0.0.1:1"))
    press.ask(LABEL, 1)
    told = press.run()
    assert told.words == "1 label waits and no printer is chosen: l chooses one, or write the codes on."
    assert not told.busy
    press.drop(LABEL.code)
    assert press.run() == ("", False)


def test_a_list_that_cannot_be_read_is_told_in_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "labels").mkdir()
    (tmp_path / "labels" / "labels.db").write_bytes(b"not a database at all, and long enough to be looked at")
    press = Press(tmp_path, Spooler("127.0.0.1:1"))
    assert "is not a journal of this program" in press.run().words
    with pytest.raises(Trouble):
        press.ask(LABEL, 1)
