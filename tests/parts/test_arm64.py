"""The program as 64-bit Arm, from the wheels a Pi would get, under emulation."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

PROJECT = Path(__file__).parents[2]
EMULATOR = shutil.which("qemu-aarch64-static")
MADE = os.environ.get("REASSEMBLY_ARM64", "")


@pytest.fixture(scope="module", autouse=True)
def machine() -> None:
    """What `.ci/arm64 DIR` makes. Where it is not there the tests are skipped; in CI that is a failure."""
    if EMULATOR and MADE:
        return
    why = "no emulated Arm machine: install qemu-user-static, run .ci/arm64 DIR, set REASSEMBLY_ARM64=DIR"
    if os.environ.get("CI") == "true":
        pytest.fail(why)
    pytest.skip(why)


def arm(*words: str) -> str:
    made = Path(MADE)
    python = made / f"root/usr/bin/python{(made / 'version').read_text().strip()}"
    environment = {
        "PYTHONPATH": f"{PROJECT}:{made / 'site'}",
        "PYTHONDONTWRITEBYTECODE": "1",
        "PATH": os.environ["PATH"],
        "HOME": os.environ["HOME"],
        "LANG": "C.UTF-8",
    }
    command = [str(EMULATOR), "-L", str(made / "root"), str(python), *words]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=PROJECT, env=environment)
    assert done.returncode == 0, (done.stdout + done.stderr)[-2000:]
    return done.stdout


def test_everything_is_imported_and_a_label_is_read_back() -> None:
    program = """
import platform, tempfile, pathlib
import reassembly.cli, reassembly.screens.app, reassembly.record.paper, fpdf, pint, zxingcpp
from PIL import Image
from labels.code import Kind, make
from labels.label import Label
from labels.picture import SIZES
from labels.sheet import png
code = make(Kind.BAG, "KD", 7)
path = pathlib.Path(tempfile.mkdtemp()) / "bag.png"
path.write_bytes(png(Label(code, "Bolts"), SIZES["62x29"], dpi=300))
assert {found.text for found in zxingcpp.read_barcodes(Image.open(path))} == {code}
print(platform.machine())
"""
    assert arm("-c", program).strip() == "aarch64"


def test_a_job_is_played_on_the_screens() -> None:
    journey = "tests/screens/test_journey.py::test_a_job_is_signed_off_only_when_nothing_is_open"
    assert "1 passed" in arm("-m", "pytest", "-p", "no:cacheprovider", "-o", "addopts=", journey)
