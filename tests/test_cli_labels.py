"""Cards, badges, pick list and test page from the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import zxingcpp
from click.testing import CliRunner, Result
from pypdf import PdfReader

from labels.code import Kind
from labels.keyboard import KEYS
from labels.waiting import Place
from reassembly.cli import main
from reassembly.job import entries as said
from reassembly.record.cards import CARDS, TEST
from reassembly.record.desk import Desk
from reassembly.record.press import Press
from reassembly.record.printing import code_of, new_code
from tests.labels.test_sheet import rendered

if TYPE_CHECKING:
    from pathlib import Path


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def read(path: Path, folder: Path) -> set[str]:
    return {found.text for page in rendered(path.read_bytes(), folder, 300) for found in zxingcpp.read_barcodes(page)}


@pytest.mark.parametrize("way", ["--sheet", "--strip"])
def test_every_card_is_on_paper_once(way: str, tmp_path: Path) -> None:
    done = run("cards", way, tmp_path / "cards.pdf")
    assert done.exit_code == 0, done.output
    assert read(tmp_path / "cards.pdf", tmp_path) == {code_of(card) for card in CARDS.values() if card is not TEST}


def test_badges_tags_and_shelves_of_the_shop(tmp_path: Path) -> None:
    with Desk.open(tmp_path / "shop", who="ann") as desk:
        codes = {kind: new_code(desk, kind) for kind in (Kind.PERSON, Kind.WRENCH, Kind.SHELF)}
        desk.say(said.PersonAdded(person="ann"))
    refused = run("cards", "--badges", tmp_path / "b.pdf", "--data", tmp_path / "shop")
    assert refused.exit_code == 2
    assert "l on the workshop screen makes one" in refused.output
    with Desk.open(tmp_path / "shop", who="ann") as desk:
        desk.say(said.PersonAdded(person="ann", badge=codes[Kind.PERSON]))
        desk.say(said.WrenchAdded(wrench="T3", low="5 N.m", high="9 N.m", tag=codes[Kind.WRENCH].lower()))
        desk.say(said.ShelfAdded(shelf="C4", label=codes[Kind.SHELF]))
    done = run("cards", "--badges", tmp_path / "b.pdf", "--data", tmp_path / "shop")
    assert done.exit_code == 0, done.output
    assert read(tmp_path / "b.pdf", tmp_path) == set(codes.values())


def test_the_test_page_has_a_test_label_and_the_scanner_label(tmp_path: Path) -> None:
    done = run("labels", "--test-page", "--sheet", tmp_path / "test.pdf")
    assert done.exit_code == 0, done.output
    assert read(tmp_path / "test.pdf", tmp_path) == {code_of(TEST), KEYS}


def test_a_test_page_without_a_printer_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CUPS_SERVER", "127.0.0.1:1")
    none = run("labels", "--test-page", "--data", tmp_path)
    assert none.exit_code == 2
    assert "name one with --printer, or a PDF with --sheet" in none.output
    away = run("labels", "--test-page", "--printer", "bags")
    assert away.exit_code == 3
    assert away.output.startswith("Error: ")
    assert len(away.output.strip().splitlines()) == 1


def test_a_pick_list_names_shelf_bag_and_part(tmp_path: Path) -> None:
    with Desk.open(tmp_path / "shop", who="ann") as desk:
        desk.open_new(said.JobOpened(vehicle="Kestrel van", order="412"))
        desk.say(said.PartRemoved(part="pan", name="gearbox pan"))
        none = run("labels", "412", "--pick-list", tmp_path / "p.pdf", "--data", tmp_path / "shop")
        assert (none.exit_code, none.stdout[:25]) == (0, "Nothing is left to fetch:")
        assert not (tmp_path / "p.pdf").exists()
        desk.say(said.BagPacked(bag=(code := new_code(desk)), parts=("pan",), shelf="C4"))
    done = run("labels", "412", "--pick-list", tmp_path / "p.pdf", "--data", tmp_path / "shop")
    assert done.exit_code == 0, done.output
    text = "".join(page.extract_text() for page in PdfReader(tmp_path / "p.pdf").pages)
    assert all(words in text for words in ("Shelf C4", f"{code[:5]} {code[5:]}", "gearbox pan"))


@pytest.mark.parametrize("words", [("labels",), ("labels", "412"), ("cards",)])
def test_a_command_that_names_no_file_is_wrong_usage(words: tuple[str, ...]) -> None:
    assert run(*words).exit_code == 2


def test_blank_labels_are_never_the_same_again_in_any_run_or_at_any_bench(tmp_path: Path) -> None:
    seen: set[str] = set()
    for n, shop in enumerate(("one", "one", "two")):
        done = run("labels", "--blank", 30, "--sheet", tmp_path / f"{n}.pdf", "--data", tmp_path / shop)
        assert done.exit_code == 0, done.output
        codes = read(tmp_path / f"{n}.pdf", tmp_path)
        assert len(codes) == 30
        assert not codes & seen
        seen |= codes
    with Desk.open(tmp_path / "one", who="ann") as desk:
        assert new_code(desk) not in seen


def test_blank_labels_without_a_printer_or_without_end_are_refused_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    none = run("labels", "--blank", 3, "--data", tmp_path)
    assert none.exit_code == 2
    assert "l on the bench screen chooses one, --sheet makes a PDF" in none.output
    for many in (0, 201):
        refused = run("labels", "--blank", many, "--sheet", tmp_path / "b.pdf", "--data", tmp_path)
        assert refused.exit_code == 2
        assert f"{many} blank labels: from 1 to 200" in refused.output
    monkeypatch.setenv("CUPS_SERVER", "127.0.0.1:1")
    press = Press(tmp_path)
    press.choose("bags")
    waits = run("labels", "--blank", 3, "--data", tmp_path)
    assert waits.exit_code == 0
    assert "print server" in waits.output
    assert len(press.all(Place.WAITING)) == 3
