"""What every test may count on."""

from collections.abc import Iterator, Sequence
from itertools import count

import pytest

from reassembly.job import checks
from reassembly.record import writing


@pytest.fixture(scope="session", autouse=True)
def no_two_benches_of_a_test_choose_one_name() -> Iterator[None]:
    """256 names and chance would let one run in 256 of a test with two benches fail."""
    turn = count()

    class InTurn:
        @staticmethod
        def choice(free: Sequence[str]) -> str:
            return free[next(turn) % len(free)]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(writing, "secrets", InTurn)
        yield


@pytest.fixture
def answers_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """For stories that sign off without all their answers: as if what they lack had been asked only since."""

    class EverySlug(frozenset[str]):
        def __contains__(self, _slug: object) -> bool:
            return True

    monkeypatch.setattr(checks, "ADDED_LATER", EverySlug())
