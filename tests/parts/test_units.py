"""The files a Pi is set up with, checked by the tools of the system they are for."""

import re
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.parts import as_unit
from tests.parts.as_unit import settings

NOTES = Path(__file__).parents[2] / "hardware_notes"
ETC = NOTES / "etc"
UNITS = sorted((ETC / "systemd/system").iterdir())
SERVICES = [unit for unit in UNITS if unit.suffix == ".service"]
RULES = ETC / "udev/rules.d/70-bench.rules"
GUIDE = (NOTES / "pi.md").read_text(encoding="utf-8")

_RULE = re.compile(
    r'(?:ACTION|SUBSYSTEM|KERNEL|GROUP|MODE|SYMLINK|TAG|TEST|ATTR|ENV)(?:\{[\w/]+\})?(?:==|!=|\+=|-=|=)"[^"]*"'
)


@pytest.fixture(scope="module")
def system(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The units as on a machine on which everything they start is installed."""
    folder = tmp_path_factory.mktemp("system")
    there = shutil.which("true")
    for unit in UNITS:
        text = unit.read_text(encoding="utf-8")
        (folder / unit.name).write_text(re.sub(r"^ExecStart=\S+", f"ExecStart={there}", text, flags=re.MULTILINE))
    return folder


def analyze(*words: str, units: Path | None = None) -> subprocess.CompletedProcess[str]:
    assert shutil.which("systemd-analyze"), "systemd-analyze is missing: install the package systemd"
    at = {"SYSTEMD_UNIT_PATH": f"{units}:", "PATH": "/usr/bin:/bin", "LC_ALL": "C"} if units else None
    return subprocess.run(["systemd-analyze", *words], capture_output=True, text=True, check=False, env=at)


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.name)
def test_a_unit_is_one_that_the_system_takes(unit: Path, system: Path) -> None:
    done = analyze("verify", "--man=no", str(system / unit.name), units=system)
    assert (done.returncode, done.stdout + done.stderr) == (0, "")


def test_a_slip_in_a_unit_is_found(tmp_path: Path) -> None:
    slip = tmp_path / "slip.service"
    slip.write_text("[Service]\nExecStart=/bin/true\nProtectSytem=strict\n")
    assert "ProtectSytem" in analyze("verify", "--man=no", str(slip), units=tmp_path).stderr


@pytest.mark.parametrize("service", SERVICES, ids=lambda unit: unit.name)
def test_a_service_may_do_no_more_than_it_needs(service: Path) -> None:
    done = analyze("security", "--offline=true", "--threshold=40", "--no-pager", str(service))
    assert done.returncode == 0, done.stdout[-200:]


@pytest.mark.parametrize("service", SERVICES, ids=lambda unit: unit.name)
def test_a_service_names_its_person_and_what_comes_after_a_failure(service: Path) -> None:
    """Neither is missed by the system's own check: a service without a User= runs as root."""
    said = settings(service)
    assert said["User"] == "bench"
    if after := said.get("OnFailure"):
        assert after in {unit.name for unit in UNITS}


def test_the_copy_says_when_it_failed() -> None:
    assert "OnFailure" in settings(ETC / "systemd/system/reassembly-backup.service")


WORK = """
import sys
from pathlib import Path
from reassembly.job.entries import JobOpened, PersonAdded
from reassembly.record import clock
from reassembly.record.backup import backup
from reassembly.record.desk import Desk
assert clock._largest_error() >= 0, "nobody can tell whether the clock is right"
with Desk.open(Path(sys.argv[1]), who="ann") as desk:
    desk.say(PersonAdded(person="ann"))
    desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    print(backup(desk.journal, Path(sys.argv[2])).entries)
"""


def under(unit: Path, folder: Path) -> list[str]:
    """The command that does this work with no more than a unit lets through."""
    words = (as_unit.__file__, unit, sys.executable, "-c", WORK, folder / "shop", folder / "stick")
    return [sys.executable, *map(str, words)]


OURS = [unit for unit in SERVICES if "/opt/reassembly" in unit.read_text(encoding="utf-8")]


@pytest.mark.parametrize("service", OURS, ids=lambda unit: unit.name)
def test_the_program_works_with_the_system_calls_that_a_service_lets_through(service: Path, tmp_path: Path) -> None:
    command = under(service, tmp_path)
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout.strip()) == (0, "2"), done.stderr


def test_a_service_that_forbids_what_the_program_asks_is_found(tmp_path: Path) -> None:
    strict = tmp_path / "strict.service"
    strict.write_text("[Service]\nSystemCallFilter=@system-service\n")
    command = under(strict, tmp_path)
    assert subprocess.run(command, capture_output=True, check=False).returncode == -signal.SIGSYS


def test_the_screens_and_what_keeps_them_from_starting_come_to_the_console() -> None:
    """Textual paints on standard error, wherever that goes."""
    said = settings(ETC / "systemd/system/reassembly.service")
    assert (said["StandardOutput"], said["StandardError"], said["TTYVTDisallocate"]) == ("tty", "tty", "no")


def test_the_window_on_the_panel_has_a_place_for_its_socket() -> None:
    """Wayland's lies in /run/user: hidden by ProtectHome=, read-only by ProtectSystem=strict (systemd.exec)."""
    said = settings(ETC / "systemd/system/reassembly-touch.service")
    assert "ProtectHome" not in said
    assert "/run/user" in said["ReadWritePaths"].split()


def test_a_mount_is_called_as_its_place() -> None:
    for unit in UNITS:
        if unit.suffix == ".mount":
            assert f"{settings(unit)['Where'].strip('/').replace('/', '-')}.mount" == unit.name


def test_every_rule_is_a_list_of_matches_and_settings() -> None:
    for line in RULES.read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            assert all(_RULE.fullmatch(each) for each in line.split(", ")), line


def test_the_rules_are_ones_that_udev_takes() -> None:
    """Where udev can tell: from version 253 on."""
    assert shutil.which("udevadm"), "udevadm is missing: install the package udev"
    version = int(subprocess.run(["udevadm", "--version"], capture_output=True, text=True, check=True).stdout)
    if version >= 253:
        done = subprocess.run(["udevadm", "verify", str(RULES)], capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr


def test_the_guide_tells_of_every_file_and_of_none_that_is_not_there() -> None:
    named = {Path(path) for path in re.findall(r"`(etc/[\w./-]+)`", GUIDE)} - {Path("etc/")}
    there = {path.relative_to(NOTES) for path in ETC.rglob("*") if path.is_file()}
    assert named == there


def test_commands_by_hand_mean_the_record_of_the_units() -> None:
    (by_hand,) = re.findall(
        r"^export (REASSEMBLY_DATA=\S+)$", (ETC / "profile.d/reassembly.sh").read_text(), re.MULTILINE
    )
    for service in SERVICES:
        assert by_hand in settings(service).get("Environment", by_hand).split() or "failed" in service.name
    assert f"{by_hand.partition('=')[2]} /srv/reassembly/data-begun" in GUIDE


def test_the_guide_calls_the_program_by_commands_it_has() -> None:
    from reassembly.cli import main

    for command in re.findall(r"reassembly (demo|restore|backup|labels|verify)\b", GUIDE):
        assert command in main.commands
    for name in re.findall(r"(?:LABEL=|by-label/)(\w+)", "".join(unit.read_text() for unit in UNITS)):
        assert f"-L {name} " in GUIDE
