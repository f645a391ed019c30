"""The notes for the bench quote the program, and the tests set their printer up as the notes say."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NOTES = (ROOT / "hardware_notes/labels.md").read_text("utf-8")
SOURCES = "".join((ROOT / "labels" / f"{name}.py").read_text("utf-8") for name in ("state", "printer", "waiting"))
SAID = [words.strip() for row in re.findall(r"\| the bench says .*?\n\n", NOTES, re.DOTALL) for words in
        re.findall(r"^\| (?!-|the bench)([^|]+) \|", row, re.MULTILINE)]  # fmt: skip


def test_the_table_of_what_the_bench_says_is_found() -> None:
    assert len(SAID) == 7


@pytest.mark.parametrize("words", [part for row in SAID for part in re.sub(r" \d+ s$", "", row).split(", ")])
def test_the_notes_quote_what_the_program_says(words: str) -> None:
    assert words in SOURCES


@pytest.mark.parametrize("option", ["-E", "-v", "-m", "printer-error-policy=retry-job", "dpi"])
def test_the_notes_set_a_printer_up_as_the_tests_do(option: str) -> None:
    (command,) = re.findall(r"^    lpadmin .*$", NOTES, re.MULTILINE)
    assert option in command
    assert option in (ROOT / "tests/parts/printserver.py").read_text("utf-8")
