"""What a queue says, as one sentence with what to do; judged by reasons and age, never by its message."""

from typing import Any

import pytest

from labels.state import FAULTS, PATIENCE, Fate, State, fate, told

NOW = 1_800_000_000
IDLE, PRINTING, STOPPED = 3, 4, 5
LOOK = "look at its switch, its cable, its cover and its roll"
REASONS_OF_RFC_8011 = {  # section 5.4.12, those of a printer that cannot print
    "cover-open", "door-open", "interlock-open", "media-jam", "media-empty", "media-needed", "input-tray-missing",
    "marker-supply-empty", "shutdown", "timed-out",
}  # fmt: skip


def printer(
    state: int = IDLE, reasons: str | list[str] = "none", accepting: bool = True, **more: Any
) -> dict[str, Any]:
    return {
        "printer-state": state,
        "printer-state-reasons": reasons,
        "printer-state-message": "The printer is on fire.",
        "printer-is-accepting-jobs": accepting,
        "printer-up-time": NOW,
    }


def job(state: int, sent: int = 0, begun: int | None = None, reasons: str | list[str] = "none") -> dict[str, Any]:
    """`sent` and `begun` in seconds ago."""
    processing = {} if begun is None else {"time-at-processing": NOW - begun}
    return {"job-state": state, "job-state-reasons": reasons, "time-at-creation": NOW - sent, **processing}


SAID = {
    "idle": (printer(), [], "L1 is ready."),
    "printing": (printer(PRINTING), [job(5, 3, 1), job(3, 2)], "L1 is printing 2 labels."),
    "ended jobs do not count": (printer(), [job(9, 900), job(7, 900), job(8, 900)], "L1 is ready."),
    "out of labels": (
        printer(PRINTING, ["media-empty-error", "media-low-warning"]),
        [job(5, 5, 5)],
        "L1 is out of labels: put in a new roll (1 label in its queue).",
    ),
    "out of labels, and its queue stopped over it": (
        printer(STOPPED, ["media-empty-error", "paused"]),
        [job(3, 5)],
        "L1 is out of labels: put in a new roll, then run 'cupsenable L1' to start it again (1 label in its queue).",
    ),
    "open before empty": (printer(PRINTING, ["media-empty", "cover-open"]), [], "L1 is open: close it."),
    "stopped": (
        printer(STOPPED, "paused"),
        [],
        "L1 is stopped: look at the printer, then run 'cupsenable L1' to start it again.",
    ),
    "turning away": (
        printer(STOPPED, ["media-empty-error"], accepting=False),
        [],
        "L1 turns labels away: run 'cupsaccept L1' to let them in.",
    ),
    "a reason nobody foresaw": (
        printer(PRINTING, ["spring-broken-error", "developer-low-warning"]),
        [],
        "L1 reports spring-broken: look at the printer.",
    ),
    "little left": (printer(reasons="media-low-warning"), [], "L1 is ready; the roll is nearly used up."),
    "silent": (
        printer(PRINTING),
        [job(3, 300), job(5, 300, 31)],
        f"L1 has been at one label for 31 s: {LOOK} (2 labels in its queue).",
    ),
    "silent for long, between two tries": (
        printer(),
        [job(3, 700)],
        f"L1 has been at one label for 11 min: {LOOK} (1 label in its queue).",
    ),
    "long queue that moves": (printer(PRINTING), [job(5, 300, 2), job(3, 300)], "L1 is printing 2 labels."),
}


@pytest.mark.parametrize(("attributes", "jobs", "words"), SAID.values(), ids=SAID)
def test_a_queue_is_one_sentence(attributes: dict[str, Any], jobs: list[dict[str, Any]], words: str) -> None:
    state = told("L1", attributes, jobs)
    assert state.words == words
    assert state.fine == words.startswith(("L1 is ready", "L1 is printing"))
    assert state.queued == sum(one["job-state"] < 7 for one in jobs)


@pytest.mark.parametrize("grave", ["", "-error", "-warning", "-report"])
@pytest.mark.parametrize("reason", FAULTS)
def test_every_fault_is_told_however_grave_the_printer_calls_it(reason: str, grave: str) -> None:
    state = told("L1", printer(PRINTING, ["none-of-ours", reason + grave]), [])
    assert (state.words, state.fine) == (f"L1 {FAULTS[reason]}.", False)


def test_every_reason_of_the_standard_that_stops_a_label_has_words() -> None:
    assert FAULTS.keys() >= REASONS_OF_RFC_8011


@pytest.mark.parametrize(("seconds", "fine"), [(PATIENCE, True), (PATIENCE + 1, False)])
def test_a_printer_that_says_nothing_is_given_so_long(seconds: int, fine: bool) -> None:
    assert told("L1", printer(PRINTING), [job(5, 500, seconds)]).fine is fine


def test_the_resolution_is_that_of_the_queue() -> None:
    per_inch = {"xres": 300, "yres": 300, "units": "dpi"}
    assert told("L1", printer() | {"printer-resolution-default": per_inch}, []) == State("L1 is ready.", True, 0, 300)
    per_cm = {"xres": 118, "yres": 118, "units": "dpcm"}
    assert told("L1", printer() | {"printer-resolution-default": per_cm}, []).dpi is None


@pytest.mark.parametrize(
    ("state", "reasons", "expected"),  # job-state: RFC 8011 section 5.3.7
    [
        (3, "none", Fate.QUEUED),
        (3, "job-incoming", Fate.COMING),
        (4, ["job-incoming", "job-held"], Fate.COMING),
        (4, "job-hold-until-specified", Fate.QUEUED),
        (5, "job-printing", Fate.QUEUED),
        (6, "job-stopped", Fate.QUEUED),
        (7, "job-canceled-by-user", Fate.CANCELLED),
        (8, "aborted-by-system", Fate.FAILED),
        (9, "job-completed-successfully", Fate.PASSED_ON),
    ],
)
def test_what_became_of_a_job(state: int, reasons: str | list[str], expected: Fate) -> None:
    assert fate(job(state, reasons=reasons)) is expected
