"""Printers as the CUPS server of this machine, or another, has them.

Everything goes through the programs of CUPS, each with a time limit: call from a thread that may wait, not from the one
that draws the screen. `lp` hands a label over; `ipptool` asks, because it tells reasons where `lpstat` tells messages.
"""

import os
import plistlib
import subprocess
import tempfile
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple
from urllib.parse import quote

from labels.state import Job, State, fate, told

PACKAGES = "cups, cups-client and cups-ipp-utils"

ASK = """{{
OPERATION {operation}
GROUP operation-attributes-tag
ATTR charset attributes-charset utf-8
ATTR naturalLanguage attributes-natural-language en
ATTR uri printer-uri $uri
ATTR name requesting-user-name $user
{more}
ATTR keyword requested-attributes {wanted}
}}
"""
OF_PRINTER = (
    "printer-name,printer-state,printer-state-reasons,printer-is-accepting-jobs,printer-up-time,"
    "printer-resolution-default"
)
OF_JOB = "job-id,job-name,job-printer-uri,job-state,job-state-reasons,time-at-creation,time-at-processing"
PRINTERS = ASK.format(operation="CUPS-Get-Printers", more="", wanted=OF_PRINTER)
PRINTER = ASK.format(operation="Get-Printer-Attributes", more="", wanted=OF_PRINTER)
JOBS_LEFT = ASK.format(operation="Get-Jobs", more="ATTR keyword which-jobs not-completed", wanted=OF_JOB)
EVERY_JOB = ASK.format(operation="Get-Jobs", more="ATTR keyword which-jobs all", wanted=OF_JOB)
NOT_FOUND = "client-error-not-found"


class Printer(NamedTuple):
    """A queue that labels can be sent to. `dpi` is None when the server does not know."""

    name: str
    dpi: int | None


class PrintTrouble(Exception):
    """Something did not reach the printer. Its text is a whole sentence for the bench, with what to do."""


@dataclass(frozen=True, slots=True)
class Spooler:
    """A CUPS server: `server` as in CUPS_SERVER, empty for the usual one. `patience` is seconds for one call."""

    server: str = ""
    patience: float = 10

    def printers(self) -> list[Printer]:
        """All queues, by name. Raises PrintTrouble."""
        (found,) = self._ask("/", PRINTERS)
        return sorted(Printer(one["printer-name"], told("", one, ()).dpi) for one in found or ())

    def state(self, queue: str) -> State:
        """The queue now. Never raises for a printer or server that is away: that is a state too."""
        try:
            found, jobs = self._ask(f"/printers/{quote(queue, safe='')}", PRINTER + JOBS_LEFT)
        except PrintTrouble as trouble:
            return State(str(trouble), fine=False)
        if not found:
            return State(_no_printer(queue), fine=False)
        return told(queue, found[0], jobs or ())

    def jobs(self) -> list[Job]:
        """Every job that the server remembers, ended or not, oldest first. Raises PrintTrouble."""
        (found,) = self._ask("/", EVERY_JOB)
        jobs = sorted(found or (), key=lambda job: int(job["job-id"]))
        return [
            Job(f"{job['job-printer-uri'].rpartition('/')[2]}-{job['job-id']}", job.get("job-name", ""), fate(job))
            for job in jobs
        ]

    def send(self, queue: str, name: str, data: bytes, hold: Collection[int] = ()) -> str:
        """Hand over one file of CUPS raster; returns the id of the job, which will be called `name`.

        Files in `hold` stay open until `lp` has ended, even when this program is killed before it.
        Raises PrintTrouble, and then whether the label was handed over is for `jobs` to say.
        """
        with tempfile.NamedTemporaryFile(suffix=".ras") as file:
            file.write(data)
            file.flush()
            said = self._run(["lp", "-d", queue, "-t", name, file.name], hold=hold)
        if said.returncode:
            raise PrintTrouble(self._why_not(queue, said.stderr))
        return said.stdout.removeprefix("request id is ").partition(" (")[0].strip()

    def cancel(self, job: Job) -> None:
        """Take a job out of its queue. One that has ended already is left alone. Raises PrintTrouble."""
        said = self._run(["cancel", job.id])
        if said.returncode and "already" not in said.stderr:
            raise PrintTrouble(f"The print server would not cancel {job.id}: {_one_line(said.stderr)}")

    def _why_not(self, queue: str, complaint: str) -> str:
        """`lp` says that a printer does not exist when its server is down: ask again before sending anyone to look."""
        state = self.state(queue)
        return f"{queue} took no label: {_one_line(complaint)}" if state.fine else state.words

    def _ask(self, path: str, questions: str) -> list[Sequence[dict[str, Any]] | None]:
        """The answer to each question as its groups of attributes; None for one about something that is not there."""
        host = self.server or os.environ.get("CUPS_SERVER", "")
        if not host or host.startswith("/"):  # a socket in the file system: the same server listens here as well
            host = "localhost"
        limit = str(max(1, int(self.patience)))
        said = self._run(["ipptool", "-X", "-T", limit, f"ipp://{host}{path}", "/dev/stdin"], questions)
        document = said.stdout.partition("</plist>")[0] + "</plist>"
        try:
            report = plistlib.loads(document.encode())
        except ValueError as error:
            raise PrintTrouble(f"The print server cannot be asked: {_one_line(said.stderr)}") from error
        answers = report["Tests"]
        if not answers or any("StatusCode" not in answer for answer in answers):
            raise PrintTrouble(self._no_server())
        for answer in answers:
            if not answer["StatusCode"].startswith("successful") and answer["StatusCode"] != NOT_FOUND:
                raise PrintTrouble(f"The print server would not say: {answer['StatusCode']}. Ask again later.")
        return [_groups(answer) for answer in answers]

    def _run(
        self, words: Sequence[str], typed: str | None = None, hold: Collection[int] = ()
    ) -> "subprocess.CompletedProcess[str]":
        ours = {"LC_ALL": "C", "LANGUAGE": ""} | ({"CUPS_SERVER": self.server} if self.server else {})
        try:
            return subprocess.run(  # noqa: S603 - the words are ours, the queue's name is one argument of them
                words,
                input=typed,
                stdin=None if typed is not None else subprocess.DEVNULL,
                capture_output=True,
                text=True,
                errors="replace",
                timeout=self.patience,
                env=os.environ | ours,
                pass_fds=tuple(hold),
                check=False,
            )
        except FileNotFoundError as error:
            raise PrintTrouble(f"{words[0]} is not installed: labels need {PACKAGES}.") from error
        except subprocess.TimeoutExpired as error:
            raise PrintTrouble(
                f"The print server has not answered for {self.patience:g} s: look at the network, or restart it."
            ) from error

    def _no_server(self) -> str:
        if self.server:
            return f"The print server {self.server} does not answer: is it switched on and in the network?"
        return "The print server is not running: start it with: sudo systemctl start cups"


def _groups(answer: dict[str, Any]) -> list[dict[str, Any]] | None:
    return None if answer["StatusCode"] == NOT_FOUND else answer["ResponseAttributes"][1:]


def _no_printer(queue: str) -> str:
    return f"There is no printer {queue}: choose another, or set it up."


def _one_line(text: str) -> str:
    return " ".join(text.split()) or "it does not say why"
