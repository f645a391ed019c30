"""What only a record can answer, from the command line: recalls and come-backs."""

from __future__ import annotations

import csv
import json
from io import BytesIO
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from reassembly.cli import main
from reassembly.job import entries as said
from reassembly.job.entries import Stage
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from reassembly.record.recall_paper import write_csv

if TYPE_CHECKING:
    from pathlib import Path

HOSTILE = "=cmd|'\x1b[31m\u202e[/red];=cmd"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """T3 failed after it had tightened a flange on two vehicles; the second customer asked to be forgotten."""
    folder = tmp_path_factory.mktemp("shop")
    with Desk.open(folder, who="ann") as desk:
        desk.say(said.PersonAdded(person="ann", name="Ann Thistlewood"))
        desk.say(said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m"))
        desk.say(said.WrenchCalibrated(wrench="T3", on="2026-01-05"))
        for registration, name, vehicle in (("4TN 881", "Jo Lark", "Kestrel van"), ("9XX 10", "Mo Finch", HOSTILE)):
            job = desk.open_new(said.JobOpened(vehicle=vehicle, registration=registration, order=registration[:3]))
            desk.say(said.CustomerNamed(digest=""), details=Customer(name=name, phone="0555 1"))
            desk.say(said.PartRemoved(part="flange", name="rear flange"))
            spec = desk.say(said.TorqueSpecified(part="flange", stages=(Stage("torque", "60 N.m"),)))
            bolts = desk.say(said.FastenersRemoved(part="flange", count=4, thread="M10x1.25", reuse="renew"))
            desk.say(said.RenewalReceived(needed=bolts.id, batch="7731", part_number="B-10"))
            for position in (1, 2, 3, 4):
                desk.say(said.StageTightened(specification=spec.id, stage=1, position=position, wrench="T3"))
            slip = desk.say(said.StageTightened(specification=spec.id, stage=1, position=5, wrench="T3"))
            desk.say(said.EntryStruck(entry=slip.id, why="there are four"))
            desk.say(said.FluidFilled(fluid="gear oil", amount="1.2 l", batch="L4410"))
        desk.erase(job, "asked by letter")
        desk.say(said.WrenchFailed(wrench="T3", on="2099-01-01", why="read 12 % low"))
    return folder


def run(folder: Path, *arguments: object) -> Result:
    result = CliRunner().invoke(main, ["--data", str(folder), *map(str, arguments)])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


def test_a_failed_wrench_gives_every_joint_with_vehicle_and_customer(shop: Path) -> None:
    told = run(shop, "recall", "wrench", "t3").stdout
    assert told.startswith("8 entries of 2 jobs about wrench t3\n")
    assert "failed 2099-01-01, read 12 % low: what it did since its last good calibration 2026-01-05" in told
    assert "Entries struck out are not counted." in told
    assert told.count("tightened: rear flange, 60 N.m, positions 1 to 4, wrench T3") == 2
    assert "4TN 881  Kestrel van  Jo Lark, 0555 1" in told
    assert "details erased on request" in told
    assert "Finch" not in told
    assert "\x1b" not in told
    assert "\u202e" not in told


@pytest.mark.parametrize(
    ("arguments", "did", "count"),
    [
        (("wrench", "T3"), "tightened", 8),
        (("batch", "77-31"), "on hand", 2),
        (("part-number", "b10"), "on hand", 2),
        (("fluid-batch", "L4410"), "filled", 2),
        (("person", "Ann"), "tightened", 8),
        (("wrench", "T3", "--since", "2098-01-01"), "", 0),
    ],
)
def test_each_recall_as_data(shop: Path, arguments: tuple[str, ...], did: str, count: int) -> None:
    told = json.loads(run(shop, "recall", *arguments, "--json").stdout)
    assert [use["did"] for use in told["uses"]] == [did] * count
    assert told["jobs"] == (2 if count else 0)
    if count:
        assert {use["registration"] for use in told["uses"]} == {"4TN 881", "9XX 10"}
        assert {use["customer"] for use in told["uses"]} == {"Jo Lark", ""}
        assert {use["customer_erased"] for use in told["uses"]} == {False, True}


def test_the_table_holds_every_entry_and_no_formula(shop: Path, tmp_path: Path) -> None:
    file = tmp_path / "t3.csv"
    assert run(shop, "recall", "wrench", "T3", "--csv", file).stdout == f"{file}\n"
    table = list(csv.DictReader(file.read_text("utf-8-sig").splitlines()))
    assert [row["position"] for row in table] == ["4", "3", "2", "1"] * 2
    assert table[0]["vehicle"] == "'" + HOSTILE.replace(";", ";'")
    assert table[-1]["customer"] == "Jo Lark"
    assert not [cell for row in table for cell in row.values() if cell.startswith(("=", "+", "-", "@"))]
    where_a_semicolon_parts = csv.reader(file.read_text("utf-8-sig").splitlines(), delimiter=";")
    assert not [cell for row in where_a_semicolon_parts for cell in row if cell.startswith(("=", "+", "-", "@"))]


@pytest.mark.parametrize(
    "name", ["=1", "+1", "-1", "@a", "\t=1", "\r=1", "\n=1", "\uff1d1", "\uff0b1", "\uff0d1", "\uff201"]
)
def test_no_sign_that_begins_a_formula_begins_a_cell(name: str, tmp_path: Path) -> None:
    with Desk.open(tmp_path, who="ann") as desk:
        desk.open_new(said.JobOpened(vehicle="Kestrel van"))
        desk.say(said.FluidFilled(fluid=name, amount="1 l", batch="L1"))
        write_csv(tmp_path / "l1.csv", desk.recall("fluid batch", "L1"))
    with (tmp_path / "l1.csv").open(encoding="utf-8-sig", newline="") as file:
        assert f"{name[:-2]}'{name[-2:]}" in next(csv.DictReader(file)).values()


def test_the_pages_name_the_vehicles_and_whom_to_call(shop: Path, tmp_path: Path) -> None:
    file = tmp_path / "t3.pdf"
    assert run(shop, "recall", "wrench", "T3", "--pdf", file).exit_code == 0
    text = "\n".join(page.extract_text() for page in PdfReader(BytesIO(file.read_bytes())).pages)
    for words in ("wrench T3", "4TN 881", "Jo Lark, 0555 1", "positions 1 to 4", "details erased on request"):
        assert words in text
    assert "struck out are not counted" in text
    assert "Finch" not in text


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (("wrench", "T3", "--since", "last week"), "should be a date"),
        (("wrench", " "), "Name the wrench"),
        (("batch",), "Missing argument"),
    ],
)
def test_what_cannot_be_looked_up_is_said(shop: Path, arguments: tuple[str, ...], why: str) -> None:
    result = run(shop, "recall", *arguments)
    assert result.exit_code == 2
    assert why in result.stderr


@pytest.mark.parametrize(
    ("what", "name", "told"),
    [
        ("wrench", "T9", "T9: no such wrench in the rack, and nothing was tightened with it; nearest: T3."),
        ("person", "anne", "anne: nobody here is called so, and nothing was done under that name; nearest: ann"),
        ("batch", "7713", "7713: no such batch in any job; nearest: 7731."),
        ("part-number", "ZZZ", "ZZZ: no such part number in any job."),
        ("fluid-batch", "L441", "L441: no such fluid batch in any job; nearest: L4410."),
    ],
)
def test_what_is_not_known_here_is_told_with_the_nearest(shop: Path, what: str, name: str, told: str) -> None:
    result = run(shop, "recall", what, name, "--json")
    assert (result.exit_code, result.stdout) == (2, "")
    assert told in result.stderr


def test_what_is_known_and_was_not_used_in_these_days_is_no_mistake(shop: Path) -> None:
    for arguments in (("batch", "7731"), ("wrench", "T3"), ("person", "ann")):
        result = run(shop, "recall", *arguments, "--since", "2098-01-01")
        assert (result.exit_code, result.stderr) == (0, "")
        assert result.stdout.startswith("0 entries of 0 jobs")


def test_a_person_is_known_by_the_full_name_and_a_stranger_is_told(shop: Path) -> None:
    result = run(shop, "recall", "person", "ann  THISTLEWOOD")
    assert result.stdout.startswith("8 entries of 2 jobs about person ann\n")
    assert result.stderr == ""
    assert "zed: nobody here is called so" in run(shop, "recall", "person", "zed").stderr


def test_a_file_that_cannot_be_written_is_told(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    result = run(shop, "recall", "batch", "7731", "--csv", tmp_path / "file" / "x.csv")
    assert result.exit_code == 3
    assert "not a folder" in result.stderr


@pytest.fixture(scope="module")
def back(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, str]:
    """A van whose axle was sealed and that came back under another plate."""
    folder = tmp_path_factory.mktemp("back")
    with Desk.open(folder, who="ann") as desk:
        first = desk.open_new(
            said.JobOpened(vehicle="Tallis van", registration="7KD 204", complaint="drips", order="287")
        )
        desk.say(said.PartRemoved(part="seal", name=f"pinion seal {HOSTILE}"))
        desk.say(said.CodeRead(code="P0735"))
        desk.say(said.SignedOff(covers={}))
        second = desk.open_new(
            said.JobOpened(vehicle="Tallis van", registration="8XX 1", complaint="seal leaks", earlier=first)
        )
        desk.say(said.CodeRead(code="P0735"))
    return folder, first, second


def test_a_come_back_is_told_from_either_job(back: tuple[Path, str, str]) -> None:
    folder, first, second = back
    told = run(folder, "comeback", second).stdout
    assert run(folder, "comeback", first).stdout == told
    assert f"7KD 204  Tallis van  job {first}" in told
    assert "come-back from 287 Tallis van 7KD 204" in " ".join(told.split())
    assert "complaint then: drips" in told
    assert "complaint now:  seal leaks" in told
    assert "BACK AGAIN: P0735" in told
    assert "[seal]" in told
    assert "nothing recorded of: leaks" in told
    assert "\x1b" not in told


def test_a_come_back_as_data_and_beside_a_complaint_at_the_counter(back: tuple[Path, str, str]) -> None:
    folder, first, second = back
    data = json.loads(run(folder, "comeback", second, "--json").stdout)
    assert (data["earlier"], data["later"], data["codes"]["back"]) == (first, second, ["P0735"])
    assert [line["near"] for line in data["near"]] == [["seal"]]
    data = json.loads(run(folder, "comeback", "287", "--complaint", "whines", "--json").stdout)
    assert (data["complaint"], data["later"], data["not_mentioned"]) == ("whines", "", ["whines"])


def test_a_job_that_did_not_come_back_is_told_alone(shop: Path) -> None:
    result = run(shop, "comeback", "4TN")
    assert result.exit_code == 0
    assert "did not come back: say what is complained of" in result.stderr
    assert "4TN 881" in result.stdout
    assert "complaint now:  none said" in result.stdout
    assert json.loads(run(shop, "comeback", "4TN", "--json").stdout)["later"] == ""


def test_both_jobs_of_a_come_back_name_each_other_whatever_the_plate(back: tuple[Path, str, str]) -> None:
    folder, first, second = back
    assert [each["job"] for each in json.loads(run(folder, "record", first, "--json").stdout)["later"]] == [second]
    assert json.loads(run(folder, "record", second, "--json").stdout)["earlier"]["job"] == first
