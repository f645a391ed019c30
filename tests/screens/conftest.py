"""A desk in a folder of the test's own."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.screens.bench import new_desk

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from reassembly.record.desk import Desk


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with new_desk(tmp_path / "shop") as desk:
        yield desk
