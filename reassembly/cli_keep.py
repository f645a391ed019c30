"""What makes the record outlive its card: copies, bringing one back, proving all of it, and evidence for a stranger."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reassembly.cli_base import (
    OPEN,
    OUT,
    Wrong,
    at_desk,
    data_folder,
    find_job,
    in_words,
    named_job,
    notation,
    safe,
    tell,
    tell_data,
    with_data,
    with_json,
)
from reassembly.cli_progress import Progress
from reassembly.job.wording import many

if TYPE_CHECKING:
    from collections.abc import Iterable

    from reassembly.record.heads import KeptHeads


@click.command()
@click.argument("directory", type=click.Path(path_type=Path), metavar="[DIR]", required=False)
@with_data
@click.option("--due", is_flag=True, help="Only where something was said since the copy of the day; for a timer.")
@with_json
def backup(directory: Path | None, due: bool, as_json: bool) -> None:
    """Copy the record into DIR while work goes on, and read the copy back. Exit code 1 when something is wrong.

    DIR should be on another disk. The copy gets its name when it is proved, the seven newest stay; nothing older goes
    before the new one is good. Without DIR it goes where the last one went, or into a folder named reassembly on a
    stick; the screens do the same after each sign-off and once a night.

    \b
    Example:
      reassembly backup /media/stick/reassembly
      reassembly backup --due
    """
    from reassembly.record import copies
    from reassembly.record.backup import backup as make

    progress = Progress()
    with at_desk() as desk:
        directory = directory or copies.second_device(desk.path)
        if due and (directory is None or not desk.copy_due):
            tell("No second device is here." if directory is None else f"Nothing is due: {desk.copied}.")
            return
        if directory is None:
            raise Wrong("No second device is here: plug in a stick with a folder reassembly on it, or name one.")
        made = make(desk.journal, directory, progress)
    progress.end()
    if as_json:
        data = {"path": str(made.path), "made": made.when, "entries": made.entries, "digest": made.digest}
        tell_data({**data, "found": made.found, "missing": made.missing, "remarks": made.remarks})
    else:
        state = "found wrong, no good copy" if made.found else "read back, as it was said"
        tell(f"{made.path}: {many(made.entries, 'entry')}, {_digest(made.digest)}, {state}")
        _tell_all(made.found)
        _tell_all(made.missing)
    _warn_all(made.remarks)
    click.get_current_context().exit(OPEN if made.found or made.missing else 0)


@click.command()
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE")
@with_data
@click.option("--heads", "against", metavar="FILE", help="Heads kept elsewhere: say what the copy lacks of those too.")
@click.option("--all-the-same", is_flag=True, help="Restore a copy in which something is found wrong.")
@with_json
def restore(file: Path, against: str | None, all_the_same: bool, as_json: bool) -> None:
    """Bring the copy FILE back into the new folder named by --data, under a new bench name.

    Says what the copy lacks, as far as heads tell that were kept with other copies or are named by --heads. The labels
    of the old bench go on to work.

    \b
    Example:
      reassembly restore /media/stick/reassembly/KD-0007-2026-03-14-1655-ABCDEFGHIJKLMNOP.db --data /srv/shop
    """
    from reassembly.record import heads
    from reassembly.record.restore import FoundWrong
    from reassembly.record.restore import restore as bring_back

    progress = Progress()
    with in_words():
        kept = [heads.read(Path(against))] if against else []
        try:
            restored = bring_back(file, data_folder(), against=kept, all_the_same=all_the_same, progress=progress)
        except FoundWrong as wrong:
            _warn_all(wrong.found)
            raise
    progress.end()
    if as_json:
        tell_data(restored._asdict())
        return
    last = notation().minute(restored.last)
    tell(f"{many(restored.entries, 'entry')}, {_digest(restored.digest)}, the last said {last}")
    _tell_all(restored.found)
    _tell_all(restored.lacks)
    if not restored.lacks:
        tell("No heads kept elsewhere name anything the copy lacks; what was said after its last entry is not in it.")
    tell(f"bench {restored.bench}, which was {restored.was}: {data_folder()}")


@click.command()
@with_data
@click.option("--all", "whole", is_flag=True, help="Read all of it; otherwise what is new, and all once a week.")
@click.option(
    "--heads", "against", metavar="DIGEST|FILE", help="What a record ends with, or a file of heads kept with a backup."
)
@with_json
def verify(whole: bool, against: str | None, as_json: bool) -> None:
    """Prove that every entry and photo is as it was kept. Exit code 1 when one is not, or when one is missing.

    An end cut off, a chain rewritten and an old copy show only against heads kept elsewhere: those kept with the copies
    are always looked at; --heads takes the 16 letters and digits at the end of a printed record, with the numbers of
    the benches where there are several, or a file.

    \b
    Example:
      reassembly verify
      reassembly verify --all --heads "ABCD EFGH IJKL MNOP"
      reassembly verify --heads "ABCD EFGH IJKL MNOP KD.40 NP.12"
      reassembly verify --heads /media/stick/reassembly/KD-0007-2026-03-14-1655-ABCDEFGHIJKLMNOP.json
    """
    from reassembly.record import heads, verifying
    from reassembly.record.trouble import Trouble

    progress = Progress()
    kept: list[KeptHeads] = []
    papers: list[tuple[bool, str]] = []
    with at_desk() as desk:
        if against is not None and _is_file(against):
            kept.append(heads.read(Path(against)))
        elif against is not None:
            papers.append(verifying.paper(desk.journal, safe(against), progress.of("reading")))
        done = verifying.verify(
            desk.journal,
            whole=whole,
            against=kept,
            progress=progress.of("reading"),
            of_photos=progress.of("looking at the photos"),
        )
        if done.whole and not done.found:
            with suppress(Trouble):  # it only makes finding quicker, and a card that cannot be written can be proved
                desk.journal.tidy()
    progress.end()
    found = [*done.found, *(sentence for agrees, sentence in papers if not agrees)]
    if as_json:
        tell_data({**done._asdict(), "found": found, "agrees": [words for agrees, words in papers if agrees]})
    else:
        _tell_all(done.found)
        _tell_all(sentence for _, sentence in papers)
        what = (
            f"all {many(done.entries, 'entry')} read"
            if done.whole
            else f"{done.read} new of {many(done.entries, 'entry')} read"
        )
        tell(f"{what}, {_digest(done.digest)}: {f'{len(found)} found wrong' if found else 'all as they were said'}")
    click.get_current_context().exit(OPEN if found else 0)


@click.command()
@named_job
@with_data
@click.option("--out", required=True, type=OUT, metavar="FILE", help="The archive, a .zip.")
@click.option("--customer", is_flag=True, help="With the customer's details, where they were not erased.")
@with_json
def evidence(name: str, out: Path, customer: bool, as_json: bool) -> None:
    """Write one archive about a JOB that a stranger can check with a plain Python 3 and without this program.

    Write down the seal that is shown, away from the archive: it stands for every file in it.

    \b
    Example:
      reassembly evidence 412 --out evidence-412.zip
      reassembly evidence 412 --out evidence-412.zip --customer
    """
    from reassembly.record.evidence import evidence as write
    from reassembly.record.heads import grouped

    with at_desk() as desk, Progress() as progress:
        made = write(desk, find_job(desk, name), out, customer=customer, progress=progress)
    if as_json:
        tell_data({**made._asdict(), "path": str(made.path)})
    else:
        tell(f"{made.path}: {many(made.entries, 'entry')}, {_digest(made.digest)}")
        tell(f"seal {grouped(made.seal)}: write it down away from the archive")
    if made.missing:
        _warn_all([f"{len(made.missing)} pictures that entries name are no longer there."])
    _warn_all(made.altered)


def _is_file(name: str) -> bool:
    try:
        return "\0" not in name and Path(name).exists()
    except OSError:
        return False


def _digest(digest: str) -> str:
    from reassembly.record.heads import grouped

    return f"digest {grouped(digest)}"


def _tell_all(sentences: Iterable[str]) -> None:
    for sentence in sentences:
        tell(sentence)


def _warn_all(sentences: Iterable[str]) -> None:
    for sentence in sentences:
        click.echo(safe(sentence), err=True)
