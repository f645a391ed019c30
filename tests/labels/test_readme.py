"""What the README shows of the package works as it stands there."""

import re
from pathlib import Path

import pytest

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")


def test_the_example_runs_without_a_print_server(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (example,) = re.findall(r"## Labels without the rest.*?```python\n(.*?)```", README, re.DOTALL)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CUPS_SERVER", "127.0.0.1:1")
    exec(compile(example, "README.md", "exec"), {})
    trouble, code = capsys.readouterr().out.splitlines()
    assert trouble != "sent"
    assert code.startswith("Code(text='SKDBB")
    assert (tmp_path / "drawer.png").read_bytes().startswith(b"\x89PNG")
