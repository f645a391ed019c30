"""What every test may count on."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import chain, count

import pytest
from hypothesis import HealthCheck, settings

from reassembly.job import checks
from reassembly.record import writing

FIGURES = "figures"

# A test of what is right, not of how fast this machine is today. In CI the examples are the same at every run.
settings.register_profile("right", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("right")


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
def figures(record_property: Callable[[str, object], None]) -> Callable[[str], None]:
    """Takes what a test measured, to be printed when all tests are done: several processes run them."""
    return partial(record_property, FIGURES)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    for report in chain.from_iterable(map(terminalreporter.getreports, ("passed", "failed"))):
        for name, measured in report.user_properties:
            if name == FIGURES and report.when == "call":
                terminalreporter.write_line(f"\n{report.nodeid}\n{measured}")


@pytest.fixture
def answers_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """For stories that sign off without all their answers: as if what they lack had been asked only since."""

    class EverySlug(frozenset[str]):
        def __contains__(self, _slug: object) -> bool:
            return True

    monkeypatch.setattr(checks, "ADDED_LATER", EverySlug())
