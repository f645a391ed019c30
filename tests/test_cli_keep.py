"""Copies, restoring, verifying and evidence on the command line."""

import json
import os
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from sqlite3 import connect

import pytest
from click.testing import CliRunner, Result

from reassembly.cli import main
from reassembly.cli_progress import Progress
from reassembly.record import copies
from reassembly.record.demo.build import Jobs, build
from reassembly.record.desk import Desk

NOW = datetime(2026, 6, 10, 16, 55, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _no_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("REASSEMBLY_DATA", raising=False)
    monkeypatch.delenv("REASSEMBLY_WHO", raising=False)


@pytest.fixture
def workshop(tmp_path: Path) -> tuple[Path, Jobs]:
    return tmp_path / "shop", build(tmp_path / "shop", NOW)


def run(*arguments: object) -> Result:
    result = CliRunner().invoke(main, [str(a) for a in arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


def edit(folder: Path, statement: str) -> None:
    with closing(connect(folder / "shop.db", isolation_level=None)) as connection:
        for (trigger,) in connection.execute("select name from sqlite_master where type = 'trigger'").fetchall():
            connection.execute(f"drop trigger {trigger}")
        connection.execute(statement)


def test_backup_restore_verify_and_evidence_from_end_to_end(workshop: tuple[Path, Jobs], tmp_path: Path) -> None:
    folder, jobs = workshop
    made = run("backup", tmp_path / "stick", "--data", folder)
    assert made.exit_code == 0
    copy = Path(made.stdout.partition(": ")[0])
    assert copy.exists()
    assert "read back, as it was said" in made.stdout
    assert "on the disk of the record itself" in made.stderr

    verified = run("verify", "--data", folder)
    assert verified.exit_code == 0
    assert "entries read, digest" in verified.stdout
    assert "all as they were said" in verified.stdout
    assert run("verify", "--data", folder).stdout.startswith("0 new of ")
    assert run("verify", "--data", folder, "--all").stdout.startswith("all ")

    with Desk.open(folder) as desk:
        printed, bench = desk.digest(), desk.bench
    restored = run("restore", copy, "--data", tmp_path / "new")
    assert restored.exit_code == 0
    assert f", which was {bench}: {tmp_path / 'new'}" in restored.stdout
    assert run("jobs", "--data", tmp_path / "new").stdout == run("jobs", "--data", folder).stdout
    against_paper = run("verify", "--data", tmp_path / "new", "--heads", printed)
    assert against_paper.exit_code == 0
    assert "was printed when the journal stood as it does now" in against_paper.stdout

    evidence = run("evidence", jobs.signed_off, "--out", tmp_path / "e.zip", "--data", tmp_path / "new")
    assert evidence.exit_code == 0
    seal = evidence.stdout.splitlines()[1].partition(":")[0].removeprefix("seal ")
    subprocess.run([sys.executable, "-m", "zipfile", "-e", tmp_path / "e.zip", tmp_path / "out"], check=True)
    script = [sys.executable, "-I", "-S", str(tmp_path / "out" / "verify.py"), "--seal", seal]
    checked = subprocess.run(script, env={}, capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout


def test_data_instead_of_words(workshop: tuple[Path, Jobs], tmp_path: Path) -> None:
    folder, jobs = workshop
    made = json.loads(run("backup", tmp_path / "stick", "--data", folder, "--json").stdout)
    verified = json.loads(run("verify", "--data", folder, "--json").stdout)
    restored = json.loads(run("restore", made["path"], "--data", tmp_path / "new", "--json").stdout)
    evidence = json.loads(run("evidence", jobs.signed_off, "--out", tmp_path / "e", "--data", folder, "--json").stdout)
    assert made["digest"] == verified["digest"] == restored["digest"] == evidence["digest"]
    assert made["entries"] == verified["entries"] == restored["entries"] > evidence["entries"]
    assert (made["found"], verified["found"], restored["lacks"]) == ([], [], [])


def test_exit_code_1_says_that_something_was_found(workshop: tuple[Path, Jobs], tmp_path: Path) -> None:
    folder, _ = workshop
    run("backup", tmp_path / "stick", "--data", folder)
    (file,) = (tmp_path / "stick").glob("*.json")
    with Desk.open(folder) as desk:
        printed, bench = desk.digest(), desk.bench
    edit(folder, "delete from entry where number = (select max(number) from entry)")
    for against in (file, printed, f"{printed} {bench}.99999"):
        cut = run("verify", "--data", folder, "--heads", against)
        assert cut.exit_code == 1
        assert "cut off" in cut.stdout
    edit(folder, "update entry set body = body || ' ' where number = 9")
    edited = run("backup", tmp_path / "stick", "--data", folder)
    assert edited.exit_code == 1
    assert "found wrong, no good copy" in edited.stdout
    wrong = edited.stdout.partition(": ")[0]
    refused = run("restore", wrong, "--data", tmp_path / "new")
    assert refused.exit_code == 2
    assert "take another copy" in refused.stderr
    assert run("restore", wrong, "--data", tmp_path / "new", "--all-the-same").exit_code == 0


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("backup",), 2),
        (("backup", "{tmp}/no/such"), 3),
        (("verify", "--heads", "ABCD"), 2),
        (("verify", "--heads", "\x1b[2J"), 2),
        (("verify", "--heads", "{tmp}/shop/shop.db"), 2),
        (("verify", "--heads", "{tmp}"), 3),
        (("restore", "{tmp}/nothing.db"), 2),
        (("evidence", "nobody's", "--out", "{tmp}/e.zip"), 2),
        (("evidence", "412"), 2),
        (("evidence", "412", "--out", "{tmp}/shop/shop.db/e.zip"), 3),
        (("evidence", "412", "--out", "{tmp}"), 3),
    ],
    ids=str,
)
def test_what_cannot_be_done_is_one_sentence(
    workshop: tuple[Path, Jobs], tmp_path: Path, arguments: tuple[str, ...], code: int
) -> None:
    typed = [each.replace("{tmp}", str(tmp_path)) for each in arguments]
    result = run("--data", workshop[0], *typed)
    assert result.exit_code == code
    assert result.stdout == ""
    told = [line for line in result.stderr.splitlines() if not line.endswith(" %")]  # how far it came
    assert len(told) == 1 or "Usage:" in told[0]
    assert all(line.isprintable() for line in told)


def test_nothing_is_begun_where_there_is_no_record(tmp_path: Path) -> None:
    for command in (("backup", tmp_path / "stick"), ("verify",), ("evidence", "412", "--out", tmp_path / "e.zip")):
        assert run("--data", tmp_path / "none", *command).exit_code == 3
    assert list(tmp_path.iterdir()) == []


def test_progress_is_told_only_once_it_takes_long(capsys: pytest.CaptureFixture[str]) -> None:
    now = [0.0]
    progress = Progress(lambda: now[0])
    for at, done in ((0.1, 1), (0.4, 2), (0.6, 3), (0.7, 4), (9.0, 5), (10.7, 6)):
        now[0] = at
        progress("copying", done, 10)
    progress.end()
    assert capsys.readouterr().err.splitlines() == ["copying: 30 %", "copying: 60 %"]


def test_on_a_terminal_progress_is_one_line_that_changes() -> None:
    code = """
from reassembly.cli_progress import Progress
now = 0.0
progress = Progress(lambda: now)
for done in range(10):
    now += 0.6
    progress("copying", done, 10)
progress.end()
"""
    master, slave = os.openpty()
    subprocess.run([sys.executable, "-c", code], stderr=slave, check=True)
    os.close(slave)
    shown = os.read(master, 65536)
    os.close(master)
    assert shown.count(b"\r\x1b") == 0
    assert shown.count(b"\n") == 1
    assert shown.split(b"\r")[1:3] == [b"copying: 0 %   ", b"copying: 10 %   "]


@pytest.mark.parametrize("command", ["verify", "backup", "restore"])
def test_they_load_nothing_heavy(workshop: tuple[Path, Jobs], tmp_path: Path, command: str) -> None:
    folder, _ = workshop
    copy = run("backup", tmp_path / "stick", "--data", folder).stdout.partition(": ")[0]
    arguments = {
        "verify": ["verify", "--data", str(folder)],
        "backup": ["backup", str(tmp_path / "stick"), "--data", str(folder)],
        "restore": ["restore", copy, "--data", str(tmp_path / "new")],
    }[command]
    code = (
        "import sys\nfrom reassembly.cli import main\n"
        f"try:\n    main({arguments!r})\nexcept SystemExit as ended:\n    assert not ended.code, ended.code\n"
        "print({'textual', 'rich', 'fpdf', 'pint', 'PIL', 'qrcode'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == "set()"


def test_without_a_directory_the_copy_goes_to_the_second_device(
    workshop: tuple[Path, Jobs], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(copies, "MOUNTS", (tmp_path / "media",))
    monkeypatch.setattr(copies, "disk_of", lambda path: "stick" if "media" in path.parts else "card")
    data = ("--data", workshop[0])
    none = run(*data, "backup")
    assert none.exit_code == 2
    assert "No second device is here" in none.stderr
    assert run(*data, "backup", "--due").stdout == "No second device is here.\n"
    stick = tmp_path / "media" / "stick" / "reassembly"
    stick.mkdir(parents=True)
    assert run(*data, "backup", "--due").exit_code == 0
    assert len(copies.in_directory(stick)) == 1
    assert run(*data, "backup", "--due").stdout.startswith("Nothing is due: last copy just now")
    assert run(*data, "backup").exit_code == 0
    assert len(copies.in_directory(stick)) == 2
