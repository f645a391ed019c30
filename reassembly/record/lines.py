"""The journal as lines of JSON: out just as it is kept, in whole or not at all.

A line is one of three: an entry as it was dumped; a customer's words, `{"details_of": "KD.3", "salt": "...", "details":
{"name": "..."}}`; or a fact written by hand, `{"fact": {"kind": "..."}}`, to which the rest of the entry is added.
"""

from __future__ import annotations

import codecs
from typing import TYPE_CHECKING, Any, NamedTuple

import msgspec

from reassembly.job.entries import CustomerNamed, Entry, JobOpened, SignedOff
from reassembly.job.people import People
from reassembly.job.wording import many
from reassembly.record import readback
from reassembly.record.anew import renamed, strangers, tellable
from reassembly.record.customer import Detail
from reassembly.record.handwritten import Dumped, LineError, Said, Words, read_line
from reassembly.record.trouble import Refused
from reassembly.record.writing import is_bench

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from reassembly.record.handwritten import Refuse
    from reassembly.record.journal import Journal
    from reassembly.record.writing import Writing


class LinesRefused(Refused):
    """Nothing of the file was kept; `errors` has the reason for each line."""

    def __init__(self, errors: list[LineError]) -> None:
        super().__init__(f"Nothing was kept: {many(len(errors), 'error')}, the first in line {errors[0].line}.")
        self.errors = errors


class Appended(NamedTuple):
    """What came of a file: the new entries in its order, how many lines were kept here already, and how many could not
    be told anew."""

    entries: list[Entry[Any]]
    already: int
    left_out: int = 0


def dump(journal: Journal, job: str | None = None, *, details: bool = False) -> Iterator[bytes]:
    """Every entry (of one job), byte for byte as it is kept; with `details` the customers' words after theirs."""
    for bench, number, body in journal.bodies(job):
        yield body
        if details and (detail := journal.detail(bench, number)):
            yield msgspec.json.encode(
                {"details_of": f"{bench}.{number}", "salt": detail.salt, "details": msgspec.Raw(detail.body)}
            )


def append(
    journal: Journal,
    lines: Iterable[bytes],
    *,
    who: str = "",
    job: str = "",
    anew: bool = False,
    refuse: Refuse = lambda _: (),
) -> Appended:
    """Keep every line or none. `who` and `job` stand for those that a line written by hand leaves out.

    Entries as they were dumped are kept as they are, under their own numbers; with `anew` they are told again at this
    bench, so that one job can come without the rest of its journal.

    A JobOpened without a job opens a new one, and the lines after it belong to that. `refuse` says why a fact of a line
    written by hand should not be said. Raises LinesRefused.
    """
    errors: list[LineError] = []
    read_lines = [(n, read_line(n, line, refuse, errors)) for n, line in _numbered(lines) if line.strip()]
    if errors:
        raise LinesRefused(errors)
    if anew:
        _people_known(journal, read_lines)
    with journal.writing() as writing:
        taking = _Taking(journal, writing, who, job, anew)
        for number, what in read_lines:
            if what is not None:
                taking.take(number, what)
        if taking.errors:
            raise LinesRefused(taking.errors)
    return Appended(taking.entries, taking.already, taking.left_out)


def _people_known(journal: Journal, read_lines: Sequence[tuple[int, Dumped | Said | Words | None]]) -> None:
    """A signed job whose people nobody here knows would stand open again, though all was answered."""
    dumped = [(number, what.entry) for number, what in read_lines if isinstance(what, Dumped)]
    if unknown := strangers([entry for _, entry in dumped], People.of(journal.people())):
        line = next(number for number, entry in dumped if isinstance(entry.fact, SignedOff))
        named = " and ".join(filter(None, (", ".join(unknown[:-1]), unknown[-1])))
        are = "are" if len(unknown) > 1 else "is"
        raise LinesRefused([LineError(line, "", f"{named} {are} not known here: add them, then append.")])


def _numbered(lines: Iterable[bytes]) -> Iterator[tuple[int, bytes]]:
    """The lines from 1, without the mark that some editors put before UTF-8."""
    for number, line in enumerate(lines, 1):
        if number == 1 and line.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            raise LinesRefused([LineError(1, "", "the file is UTF-16: save it as UTF-8")])
        yield number, line.removeprefix(codecs.BOM_UTF8) if number == 1 else line


class _Taking:
    """A file on its way into the journal."""

    def __init__(self, journal: Journal, writing: Writing, who: str, job: str, anew: bool) -> None:
        self.entries: list[Entry[Any]] = []
        self.already = 0
        self.left_out = 0
        self._anew = anew
        self._told: dict[str, str] = {}
        self._jobs: set[str] = set()
        self.errors: list[LineError] = []
        self._journal = journal
        self._writing = writing
        self._who = who
        self._job = job
        self._broken: set[str] = set()

    def take(self, line: int, what: Dumped | Said | Words) -> None:
        """One line. After an error of one bench its later lines would only repeat it."""
        bench = what.bench or self._writing.bench
        if bench in self._broken:
            return
        try:
            match what:
                case Dumped() if self._anew:
                    self._tell_again(what.entry)
                case Words() if self._anew:
                    self.left_out += 1
                case Dumped():
                    self._count(what.entry if self._writing.take(what.body) else None)
                case Said():
                    self._say(what, bench)
                case Words():
                    self._keep(what)
        except Refused as error:
            self.errors.append(LineError(line, "", str(error)))
            self._broken.add(bench)

    def _count(self, entry: Entry[Any] | None) -> None:
        if entry is None:
            self.already += 1
        else:
            self.entries.append(entry)

    def _tell_again(self, entry: Entry[Any]) -> None:
        if not tellable(entry):
            self.left_out += 1
            return
        if entry.job not in self._jobs:
            # told into itself it would ask again for all that was confirmed
            if entry.job and self._journal.read(entry.job):
                raise Refused(f"Job {entry.job} is here already: it can be told anew only where it is not.")
            self._jobs.add(entry.job)
        heads = {bench: head.number for bench, head in self._writing.heads.items()}
        said = self._writing.say(renamed(entry.fact, self._told, heads), who=entry.who, job=entry.job, time=entry.time)
        self._told[entry.id] = said.id
        self.entries.append(said)

    def _say(self, said: Said, bench: str) -> None:
        if said.number is not None and (body := self._writing.kept(bench, said.number)) is not None:
            self._same(said, readback.entry(body))
            self.already += 1
            return
        if bench != self._writing.bench and is_bench(bench):
            raise Refused(f"Bench {bench} keeps its own numbers: say it here without a bench.")
        expected = self._writing.next_number(bench)
        if said.number not in (None, expected):
            raise Refused(f"The next entry of {bench} is number {expected}, not {said.number}.")
        who = said.who or self._who
        if not who:
            raise Refused('Nobody said it: add "who".')
        detail = Detail.of(said.details) if said.details is not None else None
        self.entries.append(
            self._writing.say(
                CustomerNamed(digest=detail.digest) if detail else said.fact,
                who=who,
                job=self._job_of(said),
                detail=detail,
                bench=bench,
                milliseconds=said.milliseconds,
                time=said.time,
            )
        )

    def _job_of(self, said: Said) -> str:
        if said.of_shop:
            return ""
        if said.job is not None:
            return said.job
        if isinstance(said.fact, JobOpened) and not self._job:
            self._job = self._writing.new_job()
        if not self._job:
            raise Refused('It belongs to no job: add "job".')
        return self._job

    def _same(self, said: Said, kept: Entry[Any]) -> None:
        """The line says nothing else than what is kept under its number."""
        fact = said.fact
        if said.details is not None and isinstance(kept.fact, CustomerNamed):
            detail = self._journal.detail(kept.bench, kept.number)
            if detail is None or detail.customer == said.details:
                fact = kept.fact
        given = (said.who or kept.who, kept.job if said.job is None else said.job, said.time or kept.time, fact)
        if given != (kept.who, kept.job, kept.time, kept.fact):
            raise Refused(f"{kept.id} is kept here already and says something else.")

    def _keep(self, words: Words) -> None:
        body = self._writing.kept(words.bench, words.number)
        if body is None:
            raise Refused(f"There is no entry {words.bench}.{words.number} for these details.")
        if not self._writing.keep_detail(readback.entry(body), words.detail):
            self.already += 1
