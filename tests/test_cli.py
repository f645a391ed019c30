"""The command line: what it prints, how it ends, and what it never does."""

import contextlib
import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click
import pytest
from click import Context
from click.testing import CliRunner, Result

from labels.picture import DOTS_A_MODULE
from labels.picture import SIZES as STOCK
from reassembly.cli import main
from reassembly.cli_base import EXIT_CODES, called_as
from reassembly.job.entries import FastenersRemoved, JobOpened, PartRemoved, kinds
from reassembly.job.plan import plan
from reassembly.record import settings
from reassembly.record.demo.build import Jobs, build
from reassembly.record.desk import Desk

NOW = datetime(2026, 6, 10, 16, 55, tzinfo=UTC)
HOSTILE = "\x1b]0;owned\x07\x1b[2J\u202egnp.exe [/red] \x9b31m \U0001f697"


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Jobs]:
    """The demo workshop: read by many tests, written by none."""
    folder = tmp_path_factory.mktemp("workshop")
    return folder, build(folder, NOW)


@pytest.fixture(autouse=True)
def _no_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("REASSEMBLY_DATA", raising=False)
    monkeypatch.delenv("REASSEMBLY_WHO", raising=False)


def run(*arguments: object, stdin: str | None = None) -> Result:
    result = CliRunner().invoke(main, [str(a) for a in arguments], input=stdin)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


def run_for_real(*arguments: object, stdin: str = "", **settings: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "reassembly", *map(str, arguments)],
        input=stdin,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, **settings},
    )


def commands(group: click.Group, before: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    yield before
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            yield from commands(command, (*before, name))
        else:
            yield (*before, name)


def facts(*several: dict[str, Any]) -> str:
    return "".join(json.dumps({"fact": fact}) + "\n" for fact in several)


CAR = {"kind": "JobOpened", "vehicle": "Tallis van", "registration": "1AB 23", "order": "7"}
SHIELD = {"kind": "PartRemoved", "part": "shield", "name": "heat shield"}


# help and usage


@pytest.mark.parametrize("command", commands(main), ids=" ".join)
def test_every_command_has_help_with_an_example(command: tuple[str, ...]) -> None:
    result = run(*command, "--help")
    assert result.exit_code == 0
    _, _, example = result.stdout.partition("Example:\n")
    assert example.strip().startswith(" ".join(["reassembly", *command]))


@pytest.mark.parametrize("command", commands(main), ids=" ".join)
def test_every_help_ends_with_the_exit_codes(command: tuple[str, ...]) -> None:
    assert " ".join(run(*command, "--help").stdout.split()).endswith(" ".join(EXIT_CODES.split()))


@pytest.mark.parametrize(
    ("arguments", "words"),
    {
        ("jobz",): "There is no command jobz: did you mean jobs? See ",
        ("journal", "dumb"): "There is no command dumb: did you mean dump? See ",
        ("journal", "kinds", "PartRemove"): "There is no kind PartRemove: did you mean PartRemoved?",
        ("checks", "4122"): "No job is called 4122: did you mean 412?",
        ("checks", "4TM 881"): "No job is called 4TM 881: did you mean 4TN 881?",
        ("recall", "person", "anne"): "anne: nobody here is called so",
    }.items(),
    ids=lambda words: "" if isinstance(words, str) else " ".join(words),
)
def test_a_name_that_nobody_knows_ends_with_2_and_the_nearest(
    workshop: tuple[Path, Jobs], arguments: tuple[str, ...], words: str
) -> None:
    result = run(*arguments, "--data", workshop[0]) if arguments[0] in ("checks", "recall") else run(*arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr


def test_the_kinds_of_fact_and_their_fields_are_told() -> None:
    told = run("journal", "kinds").stdout
    assert all(kind.__name__ in told for kind in kinds())
    assert json.loads(run("journal", "kinds", "--json").stdout)[0] == {
        "kind": "JobOpened",
        "says": "A vehicle came in.",
    }
    one = run("journal", "kinds", "fastenersremoved").stdout
    assert one.startswith("FastenersRemoved: ")
    assert "count           a whole number from 1 to 200; needed" in one
    data = json.loads(run("journal", "kinds", "FastenersRemoved", "--json").stdout)
    assert [field["name"] for field in data["fields"]] == list(FastenersRemoved.__struct_fields__)


def test_of_two_jobs_of_one_vehicle_the_open_one_is_meant_and_that_is_said(workshop: tuple[Path, Jobs]) -> None:
    folder, jobs = workshop
    result = run("checks", "7kd 204", "--data", folder, "--json")
    assert result.exit_code == 1
    assert f"7kd 204 fits 2 jobs: {jobs.half_stripped} is meant, which is open" in result.stderr
    assert f"signed off: {jobs.signed_off}" in result.stderr
    assert json.loads(result.stdout) == json.loads(run("checks", jobs.half_stripped, "--data", folder, "--json").stdout)


def test_a_text_too_long_to_look_for_is_cut_and_that_is_said(workshop: tuple[Path, Jobs]) -> None:
    result = run("--data", workshop[0], "jobs", "--find", "4TN 881" + " " * 300 + "x" * 100_000)
    assert result.exit_code == 0
    assert "The first 200 characters were looked for." in result.stderr
    assert "4TN 881" in result.stdout


@pytest.mark.parametrize(
    "arguments",
    [
        ("labels", "412"),
        ("labels", "412", "--out", "a", "--sheet", "b"),
        ("labels", "412", "--sheet", "b", "--size", "9x9"),
        ("record", "412"),
        ("record", "412", "--pdf", "a", "--json"),
        ("checks",),
        ("nothing",),
        ("journal", "append", "not-there.jsonl"),
        ("checks", "nobody's"),
        ("checks", ""),
        ("checks", " "),
        ("checks", "4"),
        ("jobz",),
        ("journal", "dumb"),
        (),
    ],
    ids=" ".join,
)
def test_wrong_usage_ends_with_2_and_says_why(workshop: tuple[Path, Jobs], arguments: tuple[str, ...]) -> None:
    result = run("--data", workshop[0], *arguments)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "Error: " in result.stderr or "Usage: " in result.stderr


def test_label_sizes_and_resolutions_are_those_there_are() -> None:
    choices = {p.name: list(p.type.choices) for p in main.commands["labels"].params if isinstance(p.type, click.Choice)}
    assert choices == {"size": list(STOCK), "dpi": [str(dpi) for dpi in DOTS_A_MODULE]}


# naming a job


@pytest.mark.parametrize("name", ["412", "4TN 881", "4tn881", "4-tn-8", "n88"])
def test_a_job_is_named_by_order_number_or_part_of_the_plate(workshop: tuple[Path, Jobs], name: str) -> None:
    folder, jobs = workshop
    found = json.loads(run("checks", name, "--data", folder, "--json").stdout)
    expected = json.loads(run("checks", jobs.half_refitted, "--data", folder, "--json").stdout)
    assert found == expected != []


def test_a_job_is_named_by_its_id_in_any_case(workshop: tuple[Path, Jobs]) -> None:
    folder, jobs = workshop
    assert run("checks", jobs.signed_off.lower(), "--data", folder).exit_code == 0


def test_a_part_of_two_plates_is_refused_with_both_ids(workshop: tuple[Path, Jobs]) -> None:
    folder, jobs = workshop
    result = run("checks", "4", "--data", folder)
    assert result.exit_code == 2
    assert jobs.signed_off in result.stderr
    assert jobs.half_stripped in result.stderr


def test_data_and_who_may_stand_before_or_after_the_command_or_in_the_environment(workshop: tuple[Path, Jobs]) -> None:
    folder, _ = workshop
    told = {
        run("--data", folder, "jobs").stdout,
        run("jobs", "--data", folder).stdout,
        CliRunner().invoke(main, ["jobs"], env={"REASSEMBLY_DATA": str(folder)}).stdout,
        CliRunner().invoke(main, ["jobs", "--data", str(folder)], env={"REASSEMBLY_DATA": "elsewhere"}).stdout,
    }
    assert len(told) == 1
    assert "4TN 881" in told.pop()


# jobs and checks


def test_jobs_are_found_by_words_of_the_complaint_and_by_name(workshop: tuple[Path, Jobs]) -> None:
    folder, jobs = workshop
    assert jobs.half_stripped in run("jobs", "--data", folder, "--find", "shudder pulling").stdout
    by_name = json.loads(run("jobs", "--data", folder, "--find", "fenwhistle", "--json").stdout)
    assert {line["id"] for line in by_name} == {jobs.half_stripped, jobs.signed_off}


def test_a_come_back_is_listed_by_what_people_call_the_earlier_job(workshop: tuple[Path, Jobs]) -> None:
    folder, jobs = workshop
    row = next(line for line in run("jobs", "--data", folder).stdout.splitlines() if jobs.half_stripped in line)
    with Desk.open(folder) as desk:
        first = desk.line(jobs.signed_off)
    assert first is not None
    assert f"come-back from order {first.order}, {first.opened[:10]}" in row
    assert jobs.signed_off not in row


def test_no_job_found_is_no_error_and_no_output(workshop: tuple[Path, Jobs]) -> None:
    result = run("jobs", "--data", workshop[0], "--find", "zzzzz")
    assert (result.exit_code, result.stdout) == (0, "")
    assert "zzzzz" in result.stderr
    assert json.loads(run("jobs", "--data", workshop[0], "--find", "zzzzz", "--json").stdout) == []


def test_checks_end_with_1_while_one_is_open_and_with_0_after(workshop: tuple[Path, Jobs]) -> None:
    folder, jobs = workshop
    assert run("checks", jobs.half_refitted, "--data", folder).exit_code == 1
    assert run("checks", jobs.half_refitted, "--data", folder, "--json").exit_code == 1
    assert run("checks", jobs.signed_off, "--data", folder, "--open").exit_code == 0


def test_checks_are_those_of_the_plan_in_its_order(workshop: tuple[Path, Jobs]) -> None:
    folder, jobs = workshop
    with Desk.open(folder) as desk:
        refit = plan(desk.job(jobs.half_refitted))
    told = json.loads(run("checks", jobs.half_refitted, "--data", folder, "--json").stdout)
    assert [c["key"] for c in told] == [c.key for c in refit.checks]
    told = json.loads(run("checks", jobs.half_refitted, "--data", folder, "--json", "--open").stdout)
    assert [c["key"] for c in told] == [c.key for c in refit.open]
    words = run("checks", jobs.half_refitted, "--data", folder).stdout
    assert words.count("[ ]") == len(refit.open)
    assert words.count("[x]") == len(refit.checks) - len(refit.open)
    assert f"{len(refit.open)} of {len(refit.checks)} checks are open" in words


def test_an_exception_is_told_with_reason_and_person(workshop: tuple[Path, Jobs]) -> None:
    folder, jobs = workshop
    assert "[!] retorque" in run("checks", jobs.signed_off, "--data", folder).stdout
    told = json.loads(run("checks", jobs.signed_off, "--data", folder, "--json").stdout)
    (excepted,) = [c for c in told if c["state"] == "excepted"]
    assert (excepted["accepted_by"], excepted["reason"]) == ("joss", "customer lives far off, will have it done there")


# labels and record


def test_labels_are_written_as_pictures_and_as_a_sheet(workshop: tuple[Path, Jobs], tmp_path: Path) -> None:
    folder, jobs = workshop
    pictures = run("labels", jobs.half_refitted, "--data", folder, "--out", tmp_path / "new" / "labels")
    written = [Path(line) for line in pictures.stdout.splitlines()]
    assert len(written) == 8
    assert all(path.read_bytes().startswith(b"\x89PNG") for path in written)
    sheet = run("labels", jobs.half_refitted, "--data", folder, "--sheet", tmp_path / "sheet.pdf", "--size", "tag")
    assert Path(sheet.stdout.strip()).read_bytes().startswith(b"%PDF")


def test_record_as_data_and_as_pdf(workshop: tuple[Path, Jobs], tmp_path: Path) -> None:
    folder, jobs = workshop
    told = json.loads(run("record", jobs.signed_off, "--data", folder, "--json").stdout)
    assert told["customer"]["name"] == "Orla Fenwhistle"
    assert told["job"]["registration"] == "7KD 204"
    assert run("record", jobs.signed_off, "--data", folder, "--pdf", tmp_path / "r.pdf").exit_code == 0
    assert (tmp_path / "r.pdf").read_bytes().startswith(b"%PDF")


def test_a_file_that_cannot_be_written_ends_with_3_and_one_sentence(
    workshop: tuple[Path, Jobs], tmp_path: Path
) -> None:
    (tmp_path / "file").touch()
    for command in (("labels", "412", "--sheet"), ("record", "412", "--pdf"), ("labels", "412", "--out")):
        result = run(*command, tmp_path / "file" / "x", "--data", workshop[0])
        assert result.exit_code == 3, command
        said = [line for line in result.stderr.splitlines() if not line.endswith(" %")]  # how far it came
        assert len(said) == 1
        assert str(tmp_path) in said[0]


# journal


def test_what_was_dumped_is_taken_in_elsewhere_as_it_was(workshop: tuple[Path, Jobs], tmp_path: Path) -> None:
    folder, _ = workshop
    dumped = run("journal", "dump", "--data", folder, "--details").stdout
    first = run("journal", "append", "-", "--data", tmp_path, stdin=dumped)
    assert first.exit_code == 0
    assert run("journal", "dump", "--data", tmp_path, "--details").stdout == dumped
    assert run("jobs", "--data", tmp_path).stdout == run("jobs", "--data", folder).stdout
    again = json.loads(run("journal", "append", "--data", tmp_path, "--json", stdin=dumped).stdout)
    assert (again["kept"], again["already"]) == ([], len(dumped.splitlines()))


def test_dump_of_one_job_has_its_entries_only(workshop: tuple[Path, Jobs]) -> None:
    folder, jobs = workshop
    lines = [json.loads(line) for line in run("journal", "dump", jobs.signed_off, "--data", folder).stdout.splitlines()]
    assert {line["job"] for line in lines} == {jobs.signed_off}
    assert lines[0]["fact"]["kind"] == "JobOpened"


def test_facts_written_by_hand_open_a_job_and_belong_to_it(tmp_path: Path) -> None:
    told = json.loads(
        run("--who", "ann", "journal", "append", "--data", tmp_path, "--json", stdin=facts(CAR, SHIELD)).stdout
    )
    assert len(told["kept"]) == 2
    with Desk.open(tmp_path) as desk:
        (job,) = told["jobs"]
        assert [type(e.fact) for e in desk.job(job).entries] == [JobOpened, PartRemoved]
        assert {e.who for e in desk.job(job).entries} == {"ann"}
    later = run(
        "journal", "append", "--data", tmp_path, "--who", "ben", "--job", "1ab", stdin=facts({**SHIELD, "part": "b"})
    )
    assert later.exit_code == 0
    assert "back in place" in run("checks", "7", "--data", tmp_path).stdout


def test_a_file_with_one_bad_line_is_refused_whole_and_by_line(tmp_path: Path) -> None:
    stdin = facts(CAR, {"kind": "PartRemoved", "part": "x"}, {"kind": "PartRemofed"}) + "not json\n"
    result = run("--who", "ann", "journal", "append", "--data", tmp_path, stdin=stdin)
    assert result.exit_code == 2
    assert [line.partition(":")[0] for line in result.stderr.splitlines()[:3]] == ["line 2", "line 3", "line 4"]
    assert run("jobs", "--data", tmp_path, "--json").stdout.strip() == "[]"


def test_what_a_screen_would_refuse_is_kept_and_said(tmp_path: Path) -> None:
    """Another bench may have been right: an appended sign-off with open checks stays visible as one."""
    stdin = facts(CAR, SHIELD, {"kind": "SignedOff", "covers": {}})
    result = run("--who", "ann", "journal", "append", "--data", tmp_path, stdin=stdin)
    assert "SignedOff" in result.stderr
    assert "checks are open" in result.stderr
    told = run("checks", "7", "--data", tmp_path)
    assert told.exit_code == 1
    assert "[?] signed off by ann while 3 checks stood open: does not count" in told.stdout
    assert "open since" in run("jobs", "--data", tmp_path).stdout
    record = json.loads(run("record", "7", "--json", "--data", tmp_path).stdout)
    assert record["signed_off"] is None
    assert any("does not count" in str(check) for check in record["open"])


def test_what_was_said_out_of_its_time_is_doubtful(tmp_path: Path) -> None:
    check = {"fact": {"kind": "CheckConfirmed", "check": "@"}, "who": "ann", "time": "2001-03-04T10:00:00+00:00"}
    opened = run("--who", "ann", "journal", "append", "--data", tmp_path, "--json", stdin=facts(CAR, SHIELD))
    assert "look at the time" not in opened.stdout
    (job,) = json.loads(opened.stdout)["jobs"]
    before = run("journal", "append", "--data", tmp_path, "--job", job, stdin=json.dumps(check))
    assert "2001-03-04 is before the job was opened, 20" in before.stderr
    ahead = json.dumps({"fact": {**CAR, "order": "8"}, "who": "ann", "time": "2199-03-04T10:00:00+00:00"})
    later = run("journal", "append", "--data", tmp_path, stdin=ahead)
    assert "2199-03-04 has not come yet: look at the time" in later.stderr


def test_one_label_on_bags_of_two_jobs_is_doubtful(tmp_path: Path) -> None:
    bag = {"kind": "BagPacked", "bag": "BCDFGHJKLN", "parts": ["shield"]}
    first = facts(CAR, SHIELD, bag)
    other = facts({**CAR, "order": "8"}, SHIELD, {**bag, "bag": "bcdfg hjkln"})
    one = run("--who", "ann", "journal", "append", "--data", tmp_path, "--json", stdin=first)
    two = run("--who", "ann", "journal", "append", "--data", tmp_path, "--json", stdin=other)
    (job,) = json.loads(one.stdout)["jobs"]
    assert not any("as well" in doubt for doubt in json.loads(one.stdout)["doubts"])
    assert any(f"is on a bag of job {job} as well" in doubt for doubt in json.loads(two.stdout)["doubts"])


def test_a_file_is_not_written_into_a_folder_that_is_not_there(workshop: tuple[Path, Jobs], tmp_path: Path) -> None:
    folder, jobs = workshop
    missing = tmp_path / "nowhere"
    commands = (
        ("record", jobs.half_stripped, "--pdf"),
        ("labels", jobs.half_stripped, "--sheet"),
        ("evidence", jobs.half_stripped, "--out"),
    )
    for command in commands:
        refused = run(*command, missing / "x.pdf", "--data", folder)
        assert (refused.exit_code, missing.exists()) == (3, False), command
        assert f"There is no folder {missing}: make it, or name another." in refused.stderr


def test_who_is_at_the_bench_is_somebody_of_this_workshop(workshop: tuple[Path, Jobs], tmp_path: Path) -> None:
    folder, jobs = workshop
    line = '{"fact": {"kind": "CodesCleared"}}'
    refused = run("--who", "milo", "journal", "append", "--data", folder, "--job", jobs.half_stripped, stdin=line)
    assert refused.exit_code == 2
    assert "Nobody in this workshop is called milo (known: ann, ben, joss)" in refused.stderr
    assert run("--who", "Ann Thistlewood", "journal", "append", "--data", folder, stdin="").exit_code == 0
    assert run("--who", "milo", "journal", "append", "--data", tmp_path, stdin=facts(CAR)).exit_code == 0  # first day


def test_a_name_that_nobody_here_has_is_in_nobodys_way_but_of_saying(
    workshop: tuple[Path, Jobs], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, jobs = workshop
    monkeypatch.setenv("REASSEMBLY_WHO", "zoe")
    for command in (("jobs",), ("checks", jobs.half_stripped), ("record", jobs.half_stripped, "--json")):
        assert run(*command, "--data", folder).exit_code in (0, 1), command
    run("--who", "ann", "journal", "append", "--data", tmp_path, stdin=facts({"kind": "PersonAdded", "person": "ann"}))
    erased = run("erase", "1", "--data", tmp_path, "--yes")
    assert erased.exit_code == 2
    assert "Nobody in this workshop is called zoe (known: ann): look at the spelling" in erased.stderr
    joins = {"who": "zoe", "fact": {"kind": "PersonAdded", "person": "zoe"}}
    assert run("journal", "append", "--data", tmp_path, stdin=json.dumps(joins)).exit_code == 0
    assert run("journal", "append", "--data", tmp_path, stdin=facts(CAR)).exit_code == 0


def test_a_second_check_in_a_name_that_nobody_here_has_leaves_it_open_and_says_why(tmp_path: Path) -> None:
    work = facts(
        CAR, SHIELD, {"kind": "FastenersRemoved", "part": "shield", "count": 2, "safety_critical": True},
    )  # fmt: skip
    assert run("--who", "ann", "journal", "append", "--data", tmp_path, stdin=work).exit_code == 0
    with Desk.open(tmp_path) as desk:
        (line,) = desk.jobs()
        second = next(check for check in plan(desk.job(line.id)).checks if check.way == "second")
    answers = {"kind": "CheckConfirmed", "check": second.key.replace("second", "tight")}, {
        "kind": "SecondCheckMade", "check": second.key,
    }  # fmt: skip
    for who, fact in zip(("ann", "milo"), answers, strict=True):
        run("journal", "append", "--data", tmp_path, "--who", who, "--job", "7", stdin=facts(fact))
    told = run("checks", "7", "--data", tmp_path).stdout
    assert "second check by milo, who is not known in this workshop" in told
    people = "".join(
        json.dumps({"who": "ann", "fact": {"kind": "PersonAdded", "person": who}}) + "\n" for who in ("ann", "milo")
    )
    assert run("journal", "append", "--data", tmp_path, stdin=people).exit_code == 0
    assert "[x] second check" in run("checks", "7", "--data", tmp_path).stdout


def test_verify_tells_a_whole_journal_from_an_altered_one(workshop: tuple[Path, Jobs], tmp_path: Path) -> None:
    dumped = run("journal", "dump", "--data", workshop[0]).stdout
    run("journal", "append", "--data", tmp_path, stdin=dumped)
    assert run("journal", "verify", "--data", tmp_path).exit_code == 0
    with sqlite3.connect(tmp_path / "shop.db") as connection:
        connection.execute("drop trigger entry_is_never_changed")
        connection.execute("update entry set body = replace(body, '14 g', '41 g') where body like '%14 g%'")
    connection.close()
    result = run("journal", "verify", "--data", tmp_path, "--json")
    assert result.exit_code == 1
    assert "was altered" in " ".join(json.loads(result.stdout)["found"])


# trouble


def test_an_old_copy_in_the_place_of_the_record_is_told_and_goes_on_only_under_a_new_name(tmp_path: Path) -> None:
    run("--data", tmp_path, "--who", "ann", "journal", "append", "-", stdin=facts(CAR))
    old = (tmp_path / "shop.db").read_bytes()
    run("--data", tmp_path, "--who", "ann", "journal", "append", "--job", "7", "-", stdin=facts(SHIELD))
    (tmp_path / "shop.db").write_bytes(old)
    told = run("--data", tmp_path, "jobs")
    assert told.exit_code == 0
    assert "is not the one that was last written there" in told.stderr
    assert run("--data", tmp_path, "journal", "verify").exit_code == 1
    refused = run("--data", tmp_path, "--who", "ann", "journal", "append", "--job", "7", "-", stdin=facts(SHIELD))
    assert refused.exit_code == 3
    assert "Nothing was changed" in refused.stderr
    assert run("--data", tmp_path, "journal", "new-bench", stdin="n\n").exit_code == 2
    assert (tmp_path / "shop.db").read_bytes() == old
    assert json.loads(run("--data", tmp_path, "journal", "new-bench", "--yes", "--json").stdout)["bench"]
    went_on = run("--data", tmp_path, "--who", "ann", "journal", "append", "--job", "7", "-", stdin=facts(SHIELD))
    assert (went_on.exit_code, "last written" in went_on.stderr) == (0, False)


def test_a_record_that_is_gone_is_told_and_none_is_begun_in_its_place(tmp_path: Path) -> None:
    run("--data", tmp_path, "--who", "ann", "journal", "append", "-", stdin=facts(CAR))
    (tmp_path / "shop.db").unlink()
    for command in (["jobs"], ["journal", "append", "-"], ["verify"]):
        gone = run("--data", tmp_path, "--who", "ann", *command, stdin=facts(CAR))
        assert gone.exit_code == 3
        assert ".1 is missing. Nothing was changed." in gone.stderr
    assert not (tmp_path / "shop.db").exists()


def test_no_record_ends_with_3_and_begins_none(tmp_path: Path) -> None:
    for command in (
        ("jobs",),
        ("checks", "412"),
        ("journal", "dump"),
        ("journal", "verify"),
        ("record", "1", "--json"),
    ):
        result = run(*command, "--data", tmp_path / "nowhere")
        assert (result.exit_code, result.stdout) == (3, "")
        assert "no record" in result.stderr
    assert not (tmp_path / "nowhere").exists()


def test_a_file_that_is_no_record_ends_with_3(tmp_path: Path) -> None:
    (tmp_path / "shop.db").write_bytes(b"this is no database" * 100)
    result = run("jobs", "--data", tmp_path)
    assert result.exit_code == 3
    assert result.stderr.count("\n") == 1


def test_what_people_typed_is_printed_and_never_obeyed(tmp_path: Path) -> None:
    car = {**CAR, "vehicle": HOSTILE, "complaint": HOSTILE}
    part = {**SHIELD, "name": HOSTILE, "note": HOSTILE + "x" * 1900}
    kept = run("--who", HOSTILE, "journal", "append", "--data", tmp_path, stdin=facts(car, part))
    assert "2 entries kept" in kept.stdout
    for command in (("jobs",), ("jobs", "--json"), ("jobs", "--find", HOSTILE), ("checks", "7"), ("checks", HOSTILE)):
        result = run(*command, "--data", tmp_path)
        printed = result.stdout + result.stderr
        assert printed
        assert all(c.isprintable() or c == "\n" for c in printed), command
    assert "[/red]" in run("jobs", "--data", tmp_path).stdout


# real processes


def test_demo_without_a_terminal_plays_the_whole_job(tmp_path: Path) -> None:
    done = run_for_real("demo", "--dir", tmp_path / "played")
    assert (done.returncode, done.stderr) == (0, "")
    checklist, _, rest = done.stdout.partition("SIGN-OFF")
    warning, _, end = rest.partition("SIGNED OFF")
    assert checklist.startswith("REFIT CHECKLIST")
    assert checklist.count("[ ]") > 100
    assert "NOT CONFIRMED: 2" in warning
    assert warning.count("[ ]") == 2
    assert "AUXILIARY HEATER PUMP CONNECTOR" in warning
    paths = dict(line.split(": ") for line in end.splitlines() if ": /" in line)
    for paper in ("labels", "record", "cards", "badges"):
        assert Path(paths[paper]).read_bytes().startswith(b"%PDF")
    assert run("checks", "412", "--data", tmp_path / "played").exit_code == 0


def test_demo_leaves_a_folder_alone_that_holds_something(tmp_path: Path) -> None:
    (tmp_path / "mine").touch()
    result = run("demo", "--dir", tmp_path)
    assert result.exit_code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["mine"]


def test_exit_codes_of_real_processes(workshop: tuple[Path, Jobs], tmp_path: Path) -> None:
    data = {"REASSEMBLY_DATA": str(workshop[0])}
    assert run_for_real("jobs", **data).returncode == 0
    assert run_for_real("checks", "412", **data).returncode == 1
    assert run_for_real("checks", "4", **data).returncode == 2
    assert run_for_real("jobs", REASSEMBLY_DATA=str(tmp_path / "no")).returncode == 3


def test_a_reader_that_leaves_early_gets_no_traceback(workshop: tuple[Path, Jobs]) -> None:
    command = [sys.executable, "-m", "reassembly", "--data", str(workshop[0]), "journal", "dump"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        assert process.stderr.read() == ""


@pytest.mark.parametrize("command", [["jobs", "--find", b"\xff\xfe"], ["checks", b"\xff"]])
def test_bytes_that_are_no_text_are_no_trouble(workshop: tuple[Path, Jobs], command: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "reassembly", "--data", str(workshop[0]), *command], capture_output=True, check=False
    )
    assert b"Traceback" not in done.stderr
    assert done.stderr.count(b"\n") == 1


def test_a_terminal_of_few_letters_shows_what_it_can(tmp_path: Path) -> None:
    run("--who", "ann", "journal", "append", "--data", tmp_path, stdin=facts({**CAR, "vehicle": "Kärn Ω van"}))
    done = subprocess.run(
        [sys.executable, "-m", "reassembly", "--data", str(tmp_path), "jobs"],
        capture_output=True,
        check=True,
        env={**os.environ, "PYTHONIOENCODING": "latin-1"},
    )
    assert "Kärn ? van" in done.stdout.decode("latin-1")


def test_entries_dumped_to_a_terminal_are_shown_and_not_obeyed(tmp_path: Path) -> None:
    run("--who", "ann", "journal", "append", "--data", tmp_path, stdin=facts({**CAR, "vehicle": HOSTILE}))
    master, slave = os.openpty()
    command = [sys.executable, "-m", "reassembly", "--data", str(tmp_path), "journal", "dump"]
    subprocess.run(command, stdout=slave, check=True)
    os.close(slave)
    shown = b""
    with contextlib.suppress(OSError):  # how Linux says that the other end is closed
        while piece := os.read(master, 65536):
            shown += piece
    os.close(master)
    assert all(c.isprintable() or c in "\r\n" for c in shown.decode())
    assert json.loads(shown)["fact"]["vehicle"] == HOSTILE


@pytest.mark.parametrize("command", [("jobs",), ("checks", "412"), ("journal", "verify"), ("record", "412", "--json")])
def test_a_command_without_a_screen_never_loads_textual(workshop: tuple[Path, Jobs], command: tuple[str, ...]) -> None:
    code = (
        "import sys\nfrom reassembly.cli import main\n"
        f"try:\n    main({['--data', str(workshop[0]), *command]!r})\n"
        "except SystemExit:\n    print({'textual', 'rich'} & set(sys.modules), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.splitlines()[-1] == "set()"


def test_what_to_type_again_is_a_name_only_where_the_shell_finds_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    installed = tmp_path / "my env" / "bin" / "reassembly"
    installed.parent.mkdir(parents=True)
    installed.write_text("#!/bin/sh\n")
    installed.chmod(0o755)
    monkeypatch.setattr(sys, "argv", [str(installed), "demo"])
    monkeypatch.setenv("PATH", str(tmp_path))
    assert called_as() == f"'{installed}'"
    monkeypatch.setenv("PATH", str(installed.parent))
    assert called_as() == "reassembly"
    monkeypatch.setattr(sys, "argv", [str(tmp_path / "reassembly" / "__main__.py")])
    monkeypatch.setattr(sys, "executable", "/somewhere/python")
    assert called_as() == "/somewhere/python -m reassembly"


def test_a_crash_of_the_screens_does_not_end_with_0(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from textual.app import App

    from reassembly.cli import open_screens
    from reassembly.screens.app import ReassemblyApp

    def crash(self: ReassemblyApp) -> None:
        raise ValueError("as if a widget could not be drawn")

    def headless(self: App[None]) -> None:
        App.run(self, headless=True)

    monkeypatch.setattr(ReassemblyApp, "on_mount", crash)
    monkeypatch.setattr(ReassemblyApp, "run", headless)
    with Context(main), Desk.open(tmp_path / "shop") as desk, pytest.raises(SystemExit) as left:
        open_screens(desk)
    assert left.value.code == 1


# what a shop writes for people, and data


def test_dates_and_decimals_are_written_as_the_shop_does_and_data_are_not(tmp_path: Path) -> None:
    run("--who", "ann", "journal", "append", "--data", tmp_path, stdin=facts(CAR, SHIELD))
    today = json.loads(run("jobs", "--data", tmp_path, "--json").stdout)[0]["opened"][:10]
    settings.write(tmp_path, settings.Settings(dates="14.03.2026", decimal=","))
    year, month, day = today.split("-")
    assert f"open since {day}.{month}.{year}" in run("jobs", "--data", tmp_path).stdout
    assert json.loads(run("jobs", "--data", tmp_path, "--json").stdout)[0]["opened"][:10] == today
    asked = ("workings", "convert", "value=62 ft lbs", "to=N.m")
    assert "84,06 N.m" in run(*asked, "--data", tmp_path).stdout
    assert "84.06" in run(*asked, "--data", tmp_path, "--json").stdout
