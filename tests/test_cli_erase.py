"""`reassembly erase`: asked once more, told what is left, and whole afterwards."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from reassembly.cli import main
from reassembly.job.entries import CustomerNamed, JobOpened, PersonAdded
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    with Desk.open(tmp_path, who="ann") as desk:
        desk.say(PersonAdded(person="ann"))
        for order in ("412", "418"):
            desk.open_new(JobOpened(vehicle="Kestrel van", registration=f"4TN {order}", order=order))
            desk.say(CustomerNamed(digest=""), details=Customer(name="Mabel Quillfeather", phone="555 0142"))
    return tmp_path


def run(shop: Path, *arguments: str, stdin: str = "") -> Result:
    result = CliRunner().invoke(main, ["--data", str(shop), *arguments], input=stdin)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


def named(shop: Path, order: str) -> bool:
    return "Mabel" in run(shop, "record", order, "--json").stdout


@pytest.mark.parametrize("answer", ["n\n", "\n", ""])
def test_anything_but_yes_erases_nothing(shop: Path, answer: str) -> None:
    asked = run(shop, "--who", "ann", "erase", "412", stdin=answer)
    assert "Erase Mabel Quillfeather  555 0142 of job" in asked.stderr
    assert asked.exit_code != 0
    assert named(shop, "412")


def test_yes_erases_one_job_for_good_and_says_what_is_left(shop: Path) -> None:
    done = run(shop, "--who", "ann", "erase", "412", "--why", "letter of 14 March", stdin="y\n")
    assert done.exit_code == 0
    assert "the customer's details are erased" in done.stdout
    assert "The same name stands with job" in done.stdout
    assert not named(shop, "412")
    assert named(shop, "418")
    assert "letter of 14 March" in run(shop, "record", "412", "--json").stdout
    assert run(shop, "verify").exit_code == 0
    assert b"Mabel" in (shop / "shop.db").read_bytes()
    run(shop, "--who", "ann", "erase", "418", "--yes")
    assert b"Mabel" not in b"".join(path.read_bytes() for path in shop.iterdir() if path.is_file())


def test_where_nothing_is_left_to_erase_it_is_no_error(shop: Path) -> None:
    assert json.loads(run(shop, "--who", "ann", "erase", "412", "--yes", "--json").stdout)["erased"]
    again = json.loads(run(shop, "--who", "ann", "erase", "412", "--yes", "--json").stdout)
    assert (again["erased"], again["left"]) == (False, [])


def test_somebody_has_to_answer_for_it(shop: Path) -> None:
    assert run(shop, "erase", "412", "--yes").exit_code in (2, 3)
    assert run(shop, "--who", "ann", "erase", "412", "--yes", "--why", " ").exit_code == 2
    assert named(shop, "412")
