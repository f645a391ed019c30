"""Random keys, scans, pastes, touches and resizes: no traceback, no sign-off by chance, a way back from everywhere."""

from pathlib import Path

import pytest

from tests.screens import hostile


@pytest.mark.parametrize("seed", [1, 2])
def test_nothing_a_bench_can_send_ends_the_program(seed: int, tmp_path: Path) -> None:
    tally = hostile.run(tmp_path / "shop", 1_500, seed, every=500)
    assert tally.starts == 3
