"""What is loaded when: only the screens load Textual, and nothing heavy is loaded before it is needed."""

import ast
import json
import pkgutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import pytest

import labels
import reassembly

HEAVY = {"pint", "fpdf", "PIL", "qrcode", "fontpkg_noto_sans", "sqlite_utils", "platformdirs"}
MODULES = sorted(
    module.name
    for package in (reassembly, labels)
    for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}.")
    if module.name != "reassembly.__main__"  # importing it runs the command
)
# The pages of a record are a kind of FPDF: whoever writes one imports these where it does.
PAGES = {"reassembly.record.typeset", "reassembly.record.pages", "reassembly.record.first_page"}
WITHOUT_SCREEN = [name for name in MODULES if not name.startswith("reassembly.screens.")]


def loaded_after(code: str) -> set[str]:
    """Top names of every module that a clean interpreter has loaded after running `code`."""
    told = f"{code}\nimport json, sys\nprint(json.dumps(sorted({{m.partition('.')[0] for m in sys.modules}})))"
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return set(json.loads(done.stdout.splitlines()[-1]))


def test_every_layer_is_walked() -> None:
    assert {"reassembly.trade.thread", "reassembly.job.plan", "reassembly.record.desk", "labels.code"} <= set(MODULES)
    assert {"reassembly.cli", "reassembly.record.demo.build"} <= set(WITHOUT_SCREEN)


def test_nothing_but_the_screens_loads_textual_and_nothing_heavy_is_loaded() -> None:
    loaded = loaded_after("\n".join(f"import {name}" for name in WITHOUT_SCREEN if name not in PAGES))
    assert "reassembly" in loaded
    assert loaded & {"textual", "rich", *HEAVY} == set()


def test_the_pages_of_a_record_load_no_textual() -> None:
    assert "textual" not in loaded_after("\n".join(f"import {name}" for name in sorted(PAGES)))


def test_the_command_line_loads_only_click_until_a_command_is_chosen() -> None:
    assert loaded_after("import reassembly.cli") & {"msgspec", "sqlite3", "textual", *HEAVY} == set()


def test_the_screens_load_nothing_heavy_before_the_first_paint() -> None:
    loaded = loaded_after("import reassembly.screens.app")
    assert "textual" in loaded
    assert loaded & {"pint", "fpdf", "PIL", "qrcode"} == set()


@pytest.mark.parametrize("name", [name for name in MODULES if name not in PAGES])
def test_heavy_libraries_are_imported_inside_the_function_that_needs_them(name: str) -> None:
    spec = find_spec(name)
    assert spec is not None
    assert spec.origin is not None
    assert heavy_at_the_top(ast.parse(Path(spec.origin).read_text("utf-8"))) == []


def heavy_at_the_top(tree: ast.AST) -> list[str]:
    """Heavy names imported when the module is: anywhere but in functions and under TYPE_CHECKING."""
    found: list[str] = []
    for node in ast.iter_child_nodes(tree):
        match node:
            case ast.FunctionDef() | ast.AsyncFunctionDef() | ast.Lambda() | ast.If(test=ast.Name(id="TYPE_CHECKING")):
                continue
            case ast.Import(names=names):
                found += [n.name for n in names if n.name.partition(".")[0] in HEAVY]
            case ast.ImportFrom(module=str(module)) if module.partition(".")[0] in HEAVY:
                found.append(module)
            case _:
                found += heavy_at_the_top(node)
    return found


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ("import pint", ["pint"]),
        ("from PIL.Image import Image", ["PIL.Image"]),
        ("try:\n    import qrcode\nexcept ImportError:\n    qrcode = None", ["qrcode"]),
        ("class A:\n    import fpdf", ["fpdf"]),
        ("def f():\n    import pint", []),
        ("if TYPE_CHECKING:\n    from pint import Quantity", []),
        ("import pintle", []),
    ],
)
def test_the_look_at_the_top_sees_what_it_should(code: str, found: list[str]) -> None:
    assert heavy_at_the_top(ast.parse(code)) == found
