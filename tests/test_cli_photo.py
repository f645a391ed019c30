"""Photos of a job from the command line."""

from __future__ import annotations

import hashlib
import json
import os
import sys
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner, Result

from reassembly.cli import main
from reassembly.job.entries import EntryStruck, JobOpened, PartRemoved, PhotoKept
from reassembly.record.desk import Desk
from reassembly.record.photos import keep
from tests.record.camera import take

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(autouse=True)
def _no_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DATA", "WHO", "PHOTOS"):
        monkeypatch.delenv(f"REASSEMBLY_{name}", raising=False)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A job with two photos that stand, of a part and of the vehicle, and one struck out."""
    with Desk.open(tmp_path / "shop", who="ann") as desk:
        desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881", order="412"))
        desk.say(PartRemoved(part="pan", name="gearbox pan"))
        for n, part in enumerate(("pan", "", "pan")):
            kept = keep(desk.path, take(tmp_path / "card" / f"{n}.jpg", shade=30 * n, width=96, height=64))
            entry = desk.say(PhotoKept(digest=kept.digest, source=kept.source, part=part, taken="2026-03-14T16:50"))
        desk.say(EntryStruck(entry=entry.id, why="blurred"))
    return tmp_path / "shop"


def run(shop: Path, *words: object) -> Result:
    done = CliRunner().invoke(main, ["--data", str(shop), *map(str, words)])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exc_info
    return done


def test_the_photos_that_stand_are_listed_with_what_they_show(shop: Path) -> None:
    done = run(shop, "photo", "412")
    assert done.exit_code == 0
    lines = done.stdout.splitlines()
    assert lines[1].startswith("  1  ")
    assert "ann  photo, gearbox pan, taken 2026-03-14 16:50" in lines[1]
    assert lines[2].strip().startswith(str(shop / "photos"))
    assert len(lines) == 5
    data = json.loads(run(shop, "photo", "412", "--json").stdout)
    assert [each["number"] for each in data] == [1, 2]
    assert [each["part"] for each in data] == ["pan", ""]


def test_copies_are_given_out_byte_for_byte(shop: Path, tmp_path: Path) -> None:
    run(shop, "photo", "412", "--out", tmp_path / "out")
    copies = sorted((tmp_path / "out").iterdir())
    assert [copy.suffix for copy in copies] == [".jpg", ".jpg"]
    assert all((shop / "photos" / f"{hashlib.sha256(c.read_bytes()).hexdigest()}.jpg").exists() for c in copies)
    run(shop, "photo", "412", "2", "--out", tmp_path / "second")
    (only,) = (tmp_path / "second").iterdir()
    assert only.read_bytes() == copies[1].read_bytes()
    assert only.name == copies[1].name


def test_a_photo_that_is_gone_or_altered_is_told(shop: Path, tmp_path: Path) -> None:
    first, second = (each["path"] for each in json.loads(run(shop, "photo", "412", "--json").stdout))
    with open(second, "ab") as file:  # noqa: PTH123 - its name is text here
        file.write(b"x")
    refused = run(shop, "photo", "412", "2", "--out", tmp_path / "out")
    assert refused.exit_code == 2
    assert "altered or is damaged" in refused.stderr
    os.unlink(first)  # noqa: PTH108
    done = run(shop, "photo", "412")
    assert done.exit_code == 1
    assert "is gone: bring it back from a backup." in done.stdout
    assert run(shop, "verify", "--all").stdout.count("The picture") == 2


@pytest.mark.parametrize(
    "words", [("412", "9"), ("412", "0"), ("--open",), ("nosuch",), ("--watch", "/no/such/folder")]
)
def test_what_cannot_be_meant_is_refused_in_a_sentence(shop: Path, words: tuple[str, ...]) -> None:
    done = run(shop, "photo", *words)
    assert done.exit_code == 2
    assert done.stderr.strip()


def test_the_systems_viewer_opens_it_where_there_is_one_and_a_screen(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    told = run(shop, "photo", "412", "1", "--open").stdout
    path = json.loads(run(shop, "photo", "412", "1", "--json").stdout)[0]["path"]
    assert told == f"there is no viewer at this terminal; the photo is {path}\n"

    opened = tmp_path / "opened"
    os.mkfifo(opened)
    viewer = tmp_path / "bin" / "xdg-open"
    viewer.parent.mkdir()
    viewer.write_text(f"#!{sys.executable}\nimport sys\nopen({str(opened)!r}, 'w').write(sys.argv[1])\n")
    viewer.chmod(0o755)
    assert "no viewer" in run(shop, "photo", "412", "1", "--open").stdout  # on a bare console it would take the screen
    monkeypatch.setenv("DISPLAY", ":0")
    assert run(shop, "photo", "412", "1", "--open").stdout == f"opened: {path}\n"
    assert opened.read_text() == path  # waits until the viewer has written


def test_new_pictures_wait_where_somebody_said_once(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    take(tmp_path / "card" / "4.jpg", shade=120)
    assert "0 new pictures" in run(shop, "photo").stdout
    assert (shop / "photos-in").is_dir()
    done = run(shop, "photo", "--watch", tmp_path / "card")
    assert f"looked into {tmp_path / 'card'}" in done.stdout
    assert "2 new pictures:" in done.stdout  # one of them was struck out
    assert "4.jpg, 20" in run(shop, "photo").stdout
    take(tmp_path / "other" / "5.jpg", shade=140)
    assert "1 new picture:\n  5.jpg, 20" in run(shop, "photo", "--photos", tmp_path / "other").stdout
    monkeypatch.setenv("REASSEMBLY_PHOTOS", str(tmp_path / "other"))
    assert [each["path"] for each in json.loads(run(shop, "photo", "--json").stdout)] == [
        str(tmp_path / "other" / "5.jpg")
    ]
    monkeypatch.delenv("REASSEMBLY_PHOTOS")
    run(shop, "photo", "--watch", "")
    assert "0 new pictures" in run(shop, "photo").stdout
