"""Every command over a record in which every field of every kind holds what a terminal or a reader would obey."""

from __future__ import annotations

import io
import zipfile
from typing import TYPE_CHECKING, Any

import click
import pytest
from click.testing import CliRunner

from reassembly.cli import main
from reassembly.job import entries as said
from reassembly.record.customer import Customer
from reassembly.record.desk import SHOP_FACTS, Desk
from tests.record.test_paper import filled

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

HOSTILE = "\x1b]0;owned\x07\x1b[2J\x9b31m\u202egnp.exe\u2066\u200b\u2028\x00\x7f [/red] =cmd"
JOB, OUT = "the job", "the file"
"""What stands for them in the arguments below."""
COMMANDS: dict[tuple[str, ...], list[list[str]]] = {
    ("jobs",): [[], ["--json"], ["--find", HOSTILE]],
    ("checks",): [[JOB], [JOB, "--json"], [JOB, "--open"], [HOSTILE]],
    ("record",): [[JOB, "--pdf", OUT + ".pdf"], [JOB, "--json"]],
    ("journal", "kinds"): [[], ["--json"], [HOSTILE]],
    ("journal", "verify"): [[], ["--json"]],
    ("labels",): [
        [JOB, "--sheet", OUT + ".pdf"],
        [JOB, "--out", OUT],
        [JOB, "--pick-list", OUT + ".pdf"],
        [HOSTILE, "--out", OUT],
    ],
    ("cards",): [["--badges", OUT + ".pdf"]],
    ("backup",): [[OUT], [OUT, "--json"]],
    ("verify",): [[], ["--all"], ["--json"], ["--paper", HOSTILE]],
    ("evidence",): [[JOB, "--out", OUT + ".zip", "--customer"], [JOB, "--out", OUT + ".zip", "--json"]],
    ("recall", "wrench"): [
        [HOSTILE],
        [HOSTILE, "--json"],
        [HOSTILE, "--csv", OUT + ".csv"],
        [HOSTILE, "--pdf", OUT + ".pdf"],
    ],
    ("recall", "batch"): [[HOSTILE], [HOSTILE, "--pdf", OUT + ".pdf"]],
    ("recall", "part-number"): [[HOSTILE], [HOSTILE, "--pdf", OUT + ".pdf"]],
    ("recall", "fluid-batch"): [[HOSTILE], [HOSTILE, "--pdf", OUT + ".pdf"]],
    ("recall", "person"): [[HOSTILE], [HOSTILE, "--json"], ["ann", "--pdf", OUT + ".pdf"]],
    ("comeback",): [[JOB, "--complaint", HOSTILE], [JOB, "--complaint", "whine", "--json"], [HOSTILE]],
    ("workings",): [[HOSTILE], ["torque", HOSTILE]],
    ("photo",): [[JOB], [JOB, "--json"], [HOSTILE], [JOB, "1", "--out", OUT + ".jpg"]],
}
ELSEWHERE = {("demo",), ("journal", "dump"), ("journal", "append"), ("journal", "new-bench"), ("restore",), ("erase",)}
"""What plays a story of its own, gives the entries byte for byte where no terminal reads them, is fuzzed beside, or
changes the record."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    folder = tmp_path_factory.mktemp("shop")
    with Desk.open(folder, who="ann") as desk:
        job = desk.open_new(said.JobOpened(vehicle=HOSTILE, registration=HOSTILE, complaint=HOSTILE))
        details = Customer(name=HOSTILE, phone=HOSTILE, address=HOSTILE, email=HOSTILE)
        desk.say(said.CustomerNamed(digest=""), details=details)
        for kind in said.kinds():
            fact = filled(kind, HOSTILE)
            if not isinstance(fact, said.CustomerNamed):
                desk.say(fact, "" if isinstance(fact, SHOP_FACTS) else job)
        desk.say(said.PersonAdded(person="ann", name=HOSTILE, badge="PTRBBBGTPX"))
        desk.who = HOSTILE
        part = said.PartRemoved(part="pan", name=HOSTILE)
        desk.say_all([part, said.BagPacked(bag="BKDBBBBBCG", parts=("pan",), holds=HOSTILE, shelf=HOSTILE)], job)
    return folder, job


def commands(of: click.Command, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    if isinstance(of, click.Group):
        for name, command in of.commands.items():
            yield from commands(command, (*path, name))
    else:
        yield path


def test_no_command_is_left_out() -> None:
    assert set(commands(main)) == set(COMMANDS) | ELSEWHERE


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_what_people_said_is_told_and_never_obeyed(
    command: tuple[str, ...], shop: tuple[Path, str], tmp_path: Path
) -> None:
    folder, job = shop
    for n, more in enumerate(COMMANDS[command]):
        given = [each.replace(OUT, str(tmp_path / str(n))).replace(JOB, job) for each in more]
        result: Any = CliRunner().invoke(main, [*command, *given], env={"REASSEMBLY_DATA": str(folder)})
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
        assert result.exit_code < 2 or HOSTILE in given or "1" in given, result.stderr  # there is no such picture
        printed = result.stdout + result.stderr
        assert all(c.isprintable() or c == "\n" for c in printed), (given, printed)
    for file in tmp_path.rglob("*.pdf"):
        assert file.read_bytes().startswith(b"%PDF")


def test_the_page_in_an_archive_of_evidence_has_nothing_hidden_in_it(shop: tuple[Path, str], tmp_path: Path) -> None:
    out = tmp_path / "evidence.zip"
    assert CliRunner().invoke(main, ["evidence", shop[1], "--out", str(out), "--data", str(shop[0])]).exit_code == 0
    with zipfile.ZipFile(io.BytesIO(out.read_bytes())) as archive:
        page = next(name for name in archive.namelist() if name.endswith("README.txt"))
        text = archive.read(page).decode()
    assert "gnp.exe" in text
    assert all(c.isprintable() or c == "\n" for c in text)
