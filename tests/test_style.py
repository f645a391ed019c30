"""ruff, mypy --strict and lint-imports, so that one command runs them all."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
CHECKERS = {
    "ruff check": ["ruff", "check", "."],
    "ruff format": ["ruff", "format", "--check", "."],
    "mypy --strict": ["mypy"],
    "lint-imports": ["lint-imports"],
}


@pytest.mark.parametrize("command", CHECKERS.values(), ids=CHECKERS.keys())
def test_the_code_is_clean_by(command: list[str]) -> None:
    program = Path(sys.executable).with_name(command[0])
    done = subprocess.run([program, *command[1:]], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
