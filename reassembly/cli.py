"""The command line. Whatever it prints is computed by `job` and kept by `record`; it opens the screens and knows none.

Imports are made where they are used: a command that prints one line should not wait for a PDF library, and none but the
screens may load Textual.
"""

from __future__ import annotations

import gc
import sys
from datetime import datetime
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Any

import click

from reassembly.cli_base import (
    EXIT_CODES,
    OPEN,
    OUT,
    NotNow,
    Program,
    Wrong,
    at_desk,
    called_as,
    find_job,
    in_words,
    named_job,
    notation,
    photos_named,
    safe,
    stranger,
    tell,
    tell_data,
    warn,
    who_is_here,
    with_data,
    with_json,
    with_photos,
    with_who,
)
from reassembly.cli_erase import erase
from reassembly.cli_journal import journal
from reassembly.cli_keep import backup, evidence, restore, verify
from reassembly.cli_labels import cards, labels
from reassembly.cli_photo import photo
from reassembly.cli_progress import Progress
from reassembly.cli_recall import comeback, recall
from reassembly.cli_workings import workings

if TYPE_CHECKING:
    from collections.abc import Iterable

    from reassembly.job.checks import Check
    from reassembly.job.job import Job
    from reassembly.job.notation import Notation
    from reassembly.record.desk import Desk
    from reassembly.record.finding import JobLine

_LOOKS_AFTER = 20_000  # objects, some megabytes: a key makes and drops thousands, and hardly any in a ring


@click.group(
    cls=Program,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(package_name="reassembly", message="%(prog)s %(version)s")
@with_data
@with_who
@with_photos
@click.option(
    "--tool", default="", envvar="REASSEMBLY_TOOL", metavar="PORT", help="Serial port of a measuring tool, PORT@SPEED."
)
@click.pass_context
def main(context: click.Context, tool: str) -> None:
    """The memory of a driveline technician: what came off, and how it goes back.

    Without a command the screens are opened.

    \b
    Example:
      reassembly
      reassembly --data /srv/shop --who ann
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal of few letters shows ? and goes on
    if context.invoked_subcommand is None:
        if not sys.stdout.isatty():
            raise Wrong("The screens need a terminal: see reassembly --help for the commands that need none.")
        gc.disable()  # what is loaded now is never garbage: looking through it took a fifth of the start
        with at_desk(begin=True) as desk:
            open_screens(desk, tool, photos_named())


def open_screens(desk: Desk, tool: str = "", photos: str = "") -> None:
    from reassembly.record.beside import Beside
    from reassembly.record.place import terminal
    from reassembly.screens.app import ReassemblyApp

    gc.freeze()
    gc.set_threshold(_LOOKS_AFTER)
    gc.enable()
    app = ReassemblyApp(desk, tool, terminal(), photos, Beside(desk.path), stranger(desk))
    app.run()
    if app.return_code:  # Textual has told of the crash, and would leave with 0
        raise SystemExit(app.return_code)


@main.command()
@with_who
@click.option("--dir", "folder", type=click.Path(path_type=Path), metavar="DIR", help="Where to make it; a new folder.")
def demo(folder: Path | None) -> None:
    """Make an invented workshop with jobs in hand, and open it.

    Where standard output is not a terminal, one whole job is played instead, from check-in to sign-off.

    \b
    Example:
      reassembly demo
      reassembly demo --dir played | less
    """
    folder = _empty_folder(folder)
    now = datetime.now().astimezone()
    if not sys.stdout.isatty():
        with in_words():
            _play(folder, now)
        return
    from reassembly.record.demo.build import build, print_for_scanner
    from reassembly.record.desk import Desk
    from reassembly.record.printing import write_sheet

    with in_words():
        made = build(folder, now)
        with Desk.open(folder) as desk:
            desk.who = desk.shop().who(who_is_here()) or ""
            printed = [*print_for_scanner(desk, now), folder / "bags.pdf"]
            write_sheet(desk.job(made.half_refitted), printed[-1], now)
            open_screens(desk)
    tell(f"The demo is kept in {folder}")
    tell(f"to be scanned: {', '.join(map(str, printed))}")
    tell(f"open it again: {called_as()} --data {quote(str(folder))}")


def _empty_folder(named: Path | None) -> Path:
    """A folder of the demo's own: nobody's record is built into."""
    from tempfile import mkdtemp

    from reassembly.record.trouble import of_file

    try:
        if named is None:
            return Path(mkdtemp(prefix="reassembly-demo-"))
        named.mkdir(parents=True, exist_ok=True)
        empty = not any(named.iterdir())
    except OSError as error:
        raise NotNow(str(of_file(error, named or Path()))) from error
    if not empty:
        raise Wrong(
            f"{named} is not empty: name a new folder, or open what is in it with {called_as()} --data {named}."
        )
    return named


def _play(folder: Path, now: datetime) -> None:
    from reassembly.job.job import title
    from reassembly.job.plan import plan
    from reassembly.job.signoff import signoff
    from reassembly.record.demo.build import Scene, play, print_for_scanner
    from reassembly.record.gathering import gather
    from reassembly.record.paper import write_pdf
    from reassembly.record.printing import write_sheet

    for scene, desk, job_id in play(folder, now):
        job = desk.job(job_id)
        match scene:
            case Scene.STRIPPED:
                tell(f"REFIT CHECKLIST  {title(job)}")
                _tell_checks(job, plan(job).checks)
            case Scene.FORGOTTEN:
                found = signoff(job, desk.shop())
                tell()
                tell(f"SIGN-OFF  {title(job)}")
                tell(f"NOT CONFIRMED: {len(found.open)}")
                _tell_checks(job, found.open)
                for warning in found.warnings:
                    tell(f"warning: {warning}")
            case Scene.SIGNED_OFF:
                tell()
                tell(f"SIGNED OFF by {desk.shop().called(desk.who)}")
                write_sheet(job, folder / "labels.pdf", now)
                write_pdf(folder / "record.pdf", gather(desk, job_id))
                for path in print_for_scanner(desk, now):
                    tell(f"{path.stem}: {path}")
                tell(f"labels: {folder / 'labels.pdf'}")
                tell(f"record: {folder / 'record.pdf'}")
                tell(f"all of it is kept in {folder}")


@main.command()
@with_data
@click.option("--find", default="", metavar="TEXT", help="Registration, VIN, name, telephone, words of the complaint.")
@with_json
def jobs(find: str, as_json: bool) -> None:
    """List the jobs, the newest first.

    \b
    Example:
      reassembly jobs
      reassembly jobs --find 4tn881
    """
    from reassembly.record.finding import LONGEST

    with at_desk() as desk:
        lines = desk.jobs(safe(find))
        here = notation()
        rows = [_row(line, desk.called(line.earlier) if line.earlier else "", here) for line in lines]
    if len(find) > LONGEST:
        warn(f"The first {LONGEST} characters were looked for.")
    if as_json:
        tell_data([line._asdict() for line in lines])
    elif lines:
        _tell_rows(rows)
    else:
        click.echo(safe(f"No job has {find} in it." if find else "No vehicle was checked in yet."), err=True)


def _row(line: JobLine, earlier: str, here: Notation) -> tuple[str, ...]:
    back = f"come-back from {here.dated(earlier)}" if earlier else ""
    state = f"signed off {here.day(line.last)}" if line.signed_off else f"open since {here.day(line.opened)}"
    return (line.id, line.order, line.registration, line.vehicle, state, back, line.complaint)


def _tell_rows(rows: Iterable[tuple[str, ...]]) -> None:
    table = [[safe(cell) for cell in row] for row in rows]
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    for row in table:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=True) if width]
        tell("  ".join(cells).rstrip())


@main.command()
@named_job
@with_data
@click.option("--open", "only_open", is_flag=True, help="Only those that are not confirmed.")
@with_json
@click.pass_context
def checks(context: click.Context, name: str, only_open: bool, as_json: bool) -> None:
    """Print the refit checklist of a JOB. Exit code 1 while a check is open.

    JOB is its id, its order number, or a part of the registration that fits no other.

    \b
    Example:
      reassembly checks 412
      reassembly checks 4tn881 --open --json
    """
    from reassembly.job.job import title
    from reassembly.job.plan import plan
    from reassembly.job.wording import many

    with at_desk() as desk:
        job = desk.job(find_job(desk, name))
    refit = plan(job)
    chosen = refit.open if only_open else refit.checks
    if as_json:
        tell_data([_check_data(check) for check in chosen])
    else:
        tell(title(job))
        _tell_checks(job, chosen)
        tell()
        is_open = "is" if len(refit.open) == 1 else "are"
        tell(f"{len(refit.open)} of {many(len(refit.checks), 'check')} {is_open} open")
    context.exit(OPEN if refit.open else 0)


def _tell_checks(job: Job, chosen: Iterable[Check]) -> None:
    """The checks under their parts, each with its box."""
    from reassembly.job.checks import SHAPE
    from reassembly.job.job import parts

    every = parts(job)
    last = None
    for check in chosen:
        if check.part != last:
            last = check.part
            tell()
            tell(every[last].name.upper() if last in every else "THE WHOLE JOB")
        safety = "  (safety-critical)" if check.safety else ""
        tell(f"  {SHAPE[check.state]} {check.wording}{f'  {check.detail}' if check.detail else ''}{safety}")


def _check_data(check: Check) -> dict[str, Any]:
    from reassembly.job.signoff import accepted

    reason, accepted_by = accepted(check)
    answer = check.answer
    return {
        "key": check.key,
        "state": check.state,
        "part": check.part,
        "wording": check.wording,
        "detail": check.detail,
        "way": check.way,
        "safety_critical": check.safety,
        "asked_by": {"entry": check.asked_by.id, "who": check.asked_by.who, "time": check.asked_by.time},
        "answer": {"entry": answer.id, "who": answer.who, "time": answer.time} if answer else None,
        "reason": reason,
        "accepted_by": accepted_by,
    }


@main.command()
@named_job
@with_data
@click.option("--pdf", type=OUT, metavar="FILE", help="Write it as a PDF.")
@with_json
def record(name: str, pdf: Path | None, as_json: bool) -> None:
    """Give out the record of a JOB: everything said, confirmed and excepted, by whom and when.

    \b
    Example:
      reassembly record 412 --pdf record.pdf
      reassembly record 412 --json
    """
    if (pdf is None) == (not as_json):
        raise click.UsageError("Name either --pdf FILE or --json.")
    from reassembly.record.gathering import gather
    from reassembly.record.paper import as_data, write_pdf

    with at_desk() as desk:
        gathered = gather(desk, find_job(desk, name))
        if pdf is None:
            tell_data(as_data(gathered))
        else:
            with Progress() as progress:
                write_pdf(pdf, gathered, progress)
            tell(str(pdf))


main.add_command(journal)
main.add_command(labels)
main.add_command(cards)
for command in (backup, restore, verify, evidence, recall, comeback):
    main.add_command(command)
main.add_command(workings)
main.add_command(erase)
main.add_command(photo)


def _documented(command: click.Command) -> None:
    """Every help ends with what the exit codes mean."""
    command.epilog = EXIT_CODES
    for below in command.commands.values() if isinstance(command, click.Group) else ():
        _documented(below)


_documented(main)
