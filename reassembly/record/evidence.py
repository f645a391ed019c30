"""Evidence of one job for a stranger: one archive with all that was said, and the means to check it without us."""

from __future__ import annotations

import hashlib
import json
import zipfile
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import msgspec

from reassembly.job.entries import CustomerNamed, PhotoKept
from reassembly.job.job import title
from reassembly.record import check_archive, clock, durable, photos
from reassembly.record.evidence_page import page
from reassembly.record.gathering import gather
from reassembly.record.heads import KeptHeads
from reassembly.record.paper import as_data
from reassembly.record.progress import Progress, nothing
from reassembly.record.proof import one_moment
from reassembly.record.trouble import Refused, of_file

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterable, Iterator

    from reassembly.record.desk import Desk
    from reassembly.record.gathering import Gathered

_STEP = 5000


class Evidence(NamedTuple):
    """An archive that was written."""

    path: Path
    seal: str
    """16 letters and digits to be written down elsewhere: they stand for every file in the archive."""
    digest: str
    entries: int
    missing: list[str]
    """Pictures that entries name and that are no longer there, by SHA-256."""
    altered: list[str]
    """Pictures that are in it, and are not what was kept, in sentences."""


def evidence(desk: Desk, job: str, out: Path, *, customer: bool = False, progress: Progress = nothing) -> Evidence:
    """Write the archive of one job as it stands now; what stood at `out` before stays until the new one is whole.

    With `customer` the customer's details are in it, where they were not erased. Raises Trouble, Refused.
    """
    with desk.journal.folder.reading() as connection, one_moment(connection):
        gathered = gather(desk, job)
        bodies = [body for _, _, body in desk.journal.bodies(job)]
        if not bodies:
            raise Refused(f"There is no job {job}.")
        if not customer:
            gathered = gathered._replace(customer=None)
        with (
            durable.giving_out(out, durable.OWNER) as file,
            zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive,
        ):
            packing = _Packing(archive, clock.told(desk.journal.now()))
            missing = _pack(packing, desk, connection, gathered, bodies, customer, progress)
            seal = packing.seal()
        try:
            altered = [photos.altered(path) for name, path in gathered.photos.items() if durable.sha256(path) != name]
        except OSError as error:
            raise of_file(error, out) from error
    return Evidence(out, seal, gathered.digest, len(bodies), missing, altered)


class _Packing:
    """The archive, and the list of what went in."""

    def __init__(self, archive: zipfile.ZipFile, made: str) -> None:
        self.made = made
        self._archive = archive
        self._sums: list[str] = []

    def put(self, name: str, pieces: Iterable[bytes]) -> None:
        digest = hashlib.sha256()
        with self._archive.open(self._info(name), "w", force_zip64=True) as file:
            for piece in pieces:
                digest.update(piece)
                file.write(piece)
        self._sums.append(f"{digest.hexdigest()}  {name}\n")

    def seal(self) -> str:
        """Add the list; nothing comes after it."""
        sums = "".join(sorted(self._sums, key=lambda line: line[66:])).encode()
        with self._archive.open(self._info(check_archive.SUMS), "w") as file:
            file.write(sums)
        return check_archive.letters(hashlib.sha256(sums).digest())

    def _info(self, name: str) -> zipfile.ZipInfo:
        moment = datetime.fromisoformat(self.made)
        year = min(max(moment.year, 1980), 2107)  # what the format can say, whatever the clock does
        info = zipfile.ZipInfo(name, (year, moment.month, moment.day, moment.hour, moment.minute, moment.second))
        info.compress_type = zipfile.ZIP_DEFLATED
        info.external_attr = 0o644 << 16
        return info


def _pack(
    packing: _Packing,
    desk: Desk,
    connection: sqlite3.Connection,
    gathered: Gathered,
    bodies: list[bytes],
    customer: bool,
    progress: Progress,
) -> list[str]:
    from reassembly.record.pages import document

    job, entries = gathered.job, [*gathered.job.entries, *gathered.job.struck]
    named = list(dict.fromkeys(e.fact.digest for e in entries if isinstance(e.fact, PhotoKept)))
    missing = [digest for digest in named if digest not in gathered.photos]
    details = list(_details(desk, gathered)) if customer else []
    kept = KeptHeads.of(
        gathered.heads, made=packing.made, bench=desk.bench, source=f"the evidence of {packing.made[:10]}"
    )
    about = {**msgspec.to_builtins(kept), "job": job.id, "title": title(job), "photos_missing": missing}

    data = as_data(gathered, gathered.notation, progress)
    packing.put("README.txt", [page(gathered, packing.made, _customer_is(customer, details), len(missing)).encode()])
    packing.put("verify.py", [Path(check_archive.__file__).read_bytes()])
    packing.put("record.pdf", [document(data, gathered.photos, gathered.notation, progress)])
    packing.put(check_archive.ENTRIES, (body + b"\n" for body in bodies))
    if details:
        packing.put(check_archive.DETAILS, details)
    packing.put(check_archive.HEADS, [json.dumps(about, indent=2).encode() + b"\n"])
    done, total = 0, kept.entries
    for bench in sorted(gathered.heads):
        packing.put(f"chain/{bench}.txt", _told(_chain(connection, bench, job.id), progress, done, total))
        done += gathered.heads[bench].number
    for count, digest in enumerate(named, 1):
        if path := gathered.photos.get(digest):
            packing.put(f"photos/{path.name}", [path.read_bytes()])
        progress("photos packed", count, len(named))
    return missing


def _chain(connection: sqlite3.Connection, bench: str, job: str) -> Iterator[bytes]:
    before = "-"
    rows = connection.execute("select number, hlc, hash, job from entry where bench = ? order by number", [bench])
    for number, hlc, kept_hash, of in rows:
        yield f"{number} {hlc} {kept_hash} {before} {'*' if of == job else '.'}\n".encode()
        before = kept_hash


def _told(lines: Iterator[bytes], progress: Progress, done: int, total: int) -> Iterator[bytes]:
    for count, line in enumerate(lines, done + 1):
        yield line
        if count % _STEP == 0:
            progress("entries listed", count, total)


def _details(desk: Desk, gathered: Gathered) -> Iterator[bytes]:
    for entry in (*gathered.job.entries, *gathered.job.struck):
        if isinstance(entry.fact, CustomerNamed) and (detail := desk.journal.detail(entry.bench, entry.number)):
            given = {"details_of": entry.id, "salt": detail.salt, "body": detail.body.decode()}
            yield json.dumps(given).encode() + b"\n"


def _customer_is(wanted: bool, details: list[bytes]) -> str:
    if details:
        return "given"
    return "erased or never said" if wanted else "left out"
