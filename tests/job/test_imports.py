"""What a job is made of is light: nothing that makes the first screen wait."""

import subprocess
import sys

HEAVY = ("textual", "pint", "sqlite3", "sqlite_utils", "PIL", "fpdf", "qrcode", "click", "labels")


def test_importing_every_module_of_the_job_imports_nothing_heavy() -> None:
    program = (
        "import importlib, pkgutil, sys, reassembly.job as job\n"
        "found = [m.name for m in pkgutil.iter_modules(job.__path__)]\n"
        "assert 'plan' in found\n"
        "for name in found: importlib.import_module('reassembly.job.' + name)\n"
        f"print(*(m for m in {HEAVY!r} if m in sys.modules))"
    )
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == ""
