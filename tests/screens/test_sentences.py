"""Every refusal says what happened and what to do."""

from __future__ import annotations

import ast
import re
from importlib.resources import files
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator


def refusals() -> Iterator[tuple[str, str]]:
    """(file and line, sentence) of whatever is answered as a warning, what is put in as `...`."""
    for path in sorted(files("reassembly.screens").iterdir(), key=lambda each: each.name):
        if not path.name.endswith(".py"):
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not (isinstance(node, ast.Call) and getattr(node.func, "attr", "") in {"answer", "_tell"}):
                continue
            words, manner = [*node.args, None, None][:2]
            if not (isinstance(manner, ast.Constant) and manner.value == "warn"):
                continue
            several = [words.body, words.orelse] if isinstance(words, ast.IfExp) else [words]
            for each in several:
                if isinstance(each, ast.Constant | ast.JoinedStr):
                    parts = each.values if isinstance(each, ast.JoinedStr) else [each]
                    told = "".join(str(part.value) if isinstance(part, ast.Constant) else "..." for part in parts)
                    yield f"{path.name} {node.lineno}", told


FOUND = list(refusals())


def test_there_are_sentences_to_look_at() -> None:
    assert len(FOUND) > 40


@pytest.mark.parametrize(("where", "told"), FOUND, ids=[where for where, _ in FOUND])
def test_a_refusal_goes_on_after_what_is_wrong(where: str, told: str) -> None:
    """What happened, then a colon, a semicolon or a full stop, and what to do; or words made elsewhere."""
    assert "..." in told or re.search(r"[:;.] ", told), f"{where}: {told}"
