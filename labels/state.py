"""What a printer queue says of itself, as one sentence for the bench with what to do.

Judged by its reasons and by how long it has been at one label. Never by its message: CUPS leaves the last one standing.
"""

from collections.abc import Mapping, Sequence
from enum import Enum
from typing import Any, NamedTuple

PATIENCE = 20
"""Seconds a printer may take over one label. A printer that is off says nothing; its queue only takes long."""

STOPPED = 5  # printer-state, RFC 8011 section 5.4.11


class State(NamedTuple):
    """A queue now, in a whole sentence. `fine`: a label sent now comes out without anybody doing anything."""

    words: str
    fine: bool
    queued: int = 0
    dpi: int | None = None


class Fate(Enum):
    """What became of a job, as far as the server knows: a printer can lose what was PASSED_ON."""

    COMING = "handed over in part"
    QUEUED = "in the queue"
    PASSED_ON = "passed on to the printer"
    CANCELLED = "cancelled"
    FAILED = "given up by the print server"


class Job(NamedTuple):
    """A label in the hands of the server."""

    id: str
    name: str
    fate: Fate


# printer-state-reasons (RFC 8011 section 5.4.12, PWG 5100.9), the most pressing first.
FAULTS = {
    "cover-open": "is open: close it",
    "door-open": "is open: close it",
    "interlock-open": "is open: close it",
    "media-jam": "has a label stuck in it: open it and pull the label out",
    "media-empty": "is out of labels: put in a new roll",
    "media-needed": "is out of labels: put in a new roll",
    "input-tray-missing": "is out of labels: put in a new roll",
    "marker-supply-empty": "is out of ribbon: put in a new one",
    "marker-supply-missing": "is out of ribbon: put in a new one",
    "offline": "does not answer: switch it on and look at its cable",
    "shutdown": "does not answer: switch it on and look at its cable",
    "timed-out": "does not answer: switch it on and look at its cable",
    "cups-missing-filter": "has a driver that is not installed whole: install it, then set the printer up again",
    "cups-insecure-filter": "has a driver that the print server does not trust: install it again",
}
WARNINGS = {
    "media-low": "the roll is nearly used up",
    "marker-supply-low": "the ribbon is nearly used up",
}


def told(queue: str, printer: Mapping[str, Any], jobs: Sequence[Mapping[str, Any]]) -> State:
    """The state of a queue from its IPP attributes and those of its jobs, ended ones among them or not."""
    waiting = [job for job in jobs if fate(job) is Fate.QUEUED]
    resolution = printer.get("printer-resolution-default")
    dpi = resolution["xres"] if resolution and resolution["units"] == "dpi" else None
    trouble = _trouble(queue, printer, _at_one_label(waiting, printer["printer-up-time"]))
    labels = f"{len(waiting)} label{'s' if len(waiting) > 1 else ''}"
    if trouble:
        words = f"{queue} {trouble}{f' ({labels} in its queue)' if waiting else ''}."
    else:
        warnings = [words for reason, words in WARNINGS.items() if reason in _reasons(printer)]
        words = f"{'; '.join([f'{queue} is printing {labels}' if waiting else f'{queue} is ready', *warnings])}."
    return State(words, not trouble, len(waiting), dpi)


def _trouble(queue: str, printer: Mapping[str, Any], seconds: int) -> str:
    """What is wrong and what to do, as the rest of a sentence that begins with the printer; "" for nothing."""
    if not printer["printer-is-accepting-jobs"]:
        return f"turns labels away: run 'cupsaccept {queue}' to let them in"
    reasons = _reasons(printer)
    fault = next((words for reason, words in FAULTS.items() if reason in reasons), "")
    if not fault and (unknown := sorted(reason for reason, how in reasons.items() if how == "error")):
        fault = f"reports {' and '.join(unknown)}: look at the printer"
    if printer["printer-state"] == STOPPED:
        return f"{fault or 'is stopped: look at the printer'}, then run 'cupsenable {queue}' to start it again"
    if not fault and seconds > PATIENCE:
        return f"has been at one label for {_time(seconds)}: look at its switch, its cable, its cover and its roll"
    return fault


def fate(job: Mapping[str, Any]) -> Fate:
    """What became of a job, from its IPP attributes."""
    match job["job-state"]:
        case 7:
            return Fate.CANCELLED
        case 8:
            return Fate.FAILED
        case 9:
            return Fate.PASSED_ON
        case _ if "job-incoming" in _list(job["job-state-reasons"]):
            return Fate.COMING
        case _:
            return Fate.QUEUED


def _at_one_label(jobs: Sequence[Mapping[str, Any]], now: int) -> int:
    """Seconds since anything moved: since the label being printed was begun, else since the oldest was sent."""
    begun = [job["time-at-processing"] for job in jobs if job["job-state"] == 5]
    sent = [job["time-at-creation"] for job in jobs]
    return now - min(begun or sent, default=now)


def _reasons(printer: Mapping[str, Any]) -> dict[str, str]:
    """Each reason with how grave it is: error, warning or report. RFC 8011 puts that at the end of its name."""
    found = {}
    for reason in _list(printer["printer-state-reasons"]):
        name, _, grave = reason.rpartition("-")
        known = grave in ("error", "warning", "report")
        found[name if known else reason] = grave if known else ""
    return found


def _list(value: Any) -> list[str]:
    """IPP has one value or many; ipptool shows a single one bare."""
    return [value] if isinstance(value, str) else list(value)


def _time(seconds: int) -> str:
    return f"{seconds} s" if seconds < 120 else f"{seconds // 60} min"
