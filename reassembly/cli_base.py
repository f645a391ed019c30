"""What every command shares: its options, the desk it works at, and how it speaks."""

from __future__ import annotations

import errno
import json
import os
import sys
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from reassembly.job.notation import Notation
    from reassembly.record.desk import Desk

OPEN = 1
_SHORT = 3  # of T9 and T3 half the letters differ
EXIT_CODES = """Exit codes: 0 all is well; 1 checks are open, or something was found wrong; 2 wrong usage or input, or a
name that nobody knows; 3 the record, a file or the output cannot be read or written now; 141 whoever read the output
wanted no more of it, as head does."""
_NO_MORE = 141
"""What a shell shows for a program that ended by SIGPIPE."""


class Wrong(click.ClickException):
    """What was typed cannot be done: one sentence on stderr."""

    exit_code = 2

    def __init__(self, sentence: str) -> None:
        super().__init__(safe(sentence))


class NotNow(Wrong):
    """The record or a file cannot be read or written now."""

    exit_code = 3


def safe(text: str) -> str:
    """One line that a terminal only shows: what would move the cursor, hide or turn writing round becomes visible."""
    return "".join(c if c.isprintable() else " " if c.isspace() else "\N{REPLACEMENT CHARACTER}" for c in text)


def tell(text: str = "") -> None:
    click.echo(safe(text))


def warn(text: str) -> None:
    """What goes beside the answer, on standard error."""
    click.echo(safe(text), err=True)


def tell_data(data: object) -> None:
    """As JSON, everything but ASCII escaped, so that no terminal obeys it."""
    import msgspec

    click.echo(json.dumps(msgspec.to_builtins(data), indent=2))


def _remember(context: click.Context, parameter: click.Parameter, value: str | None) -> None:
    settings = context.ensure_object(dict)
    if value:
        settings[parameter.name] = value


with_data = click.option(
    "--data", metavar="DIR", callback=_remember, expose_value=False, help="The data folder [REASSEMBLY_DATA]."
)
"""It may stand before or after the command's name."""

with_who = click.option(
    "--who", metavar="NAME", callback=_remember, expose_value=False, help="Who is at the bench [REASSEMBLY_WHO]."
)

with_photos = click.option(
    "--photos",
    metavar="DIR",
    callback=_remember,
    expose_value=False,
    help="Where new pictures come to, this time [REASSEMBLY_PHOTOS].",
)

FILE = click.Path(path_type=Path)


class _ToWrite(click.Path):
    """A file to be written: a slip in the name of its folder makes no folder."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        path = Path(os.fsdecode(super().convert(value, param, ctx)))
        with suppress(PermissionError):  # told when it is written
            if not path.absolute().parent.exists():
                raise NotNow(f"There is no folder {path.parent}: make it, or name another.")
        return path


OUT = _ToWrite(path_type=Path)
with_json = click.option("--json", "as_json", is_flag=True, help="Print data instead of words.")
named_job = click.argument("name", metavar="JOB")


def data_folder() -> Path:
    named = click.get_current_context().ensure_object(dict).get("data") or os.environ.get("REASSEMBLY_DATA")
    if named:
        return Path(named)
    from reassembly.record.folder import usual

    return usual()


def notation() -> Notation:
    """How this shop writes dates and decimals for people; data are ISO 8601 with a point."""
    from reassembly.record import settings

    return settings.notation(data_folder())


def who_is_here() -> str:
    return click.get_current_context().ensure_object(dict).get("who") or os.environ.get("REASSEMBLY_WHO", "")


def called_as() -> str:
    """What to type to call this program again: its name where the shell finds it, else as it was called now."""
    from shlex import quote
    from shutil import which

    program = Path(sys.argv[0])
    if program.name == "__main__.py":
        return f"{quote(sys.executable)} -m reassembly"
    found = which(program.name)
    return program.name if found and Path(found).resolve() == program.resolve() else quote(sys.argv[0])


@contextmanager
def in_words() -> Iterator[None]:
    """What the record refuses or cannot do, as one sentence and its exit code."""
    from reassembly.record.trouble import Refused, Trouble

    try:
        yield
    except Refused as refused:
        raise Wrong(str(refused)) from refused
    except Trouble as trouble:
        raise NotNow(str(trouble)) from trouble


@contextmanager
def at_desk(*, begin: bool = False) -> Iterator[Desk]:
    """The desk in the data folder; only with `begin` is a record begun where there is none.

    Nobody is at it where the name is one that nobody here has: to read and to take in entries nobody needs to be.
    """
    from reassembly.cli_progress import Progress
    from reassembly.record import witness
    from reassembly.record.desk import Desk

    folder = data_folder()
    with in_words():
        if not (begin or _exists(folder / "shop.db") or _exists(folder / witness.FILE)):
            raise NotNow(f"There is no record in {folder}: name its folder with --data, or begin one with reassembly.")
        progress = Progress()
        with Desk.open(folder, progress=progress.of("making the index anew")) as desk:
            progress.end()
            desk.who = _known(desk, who_is_here())
            if desk.warning:
                warn(desk.warning)
            yield desk


def _known(desk: Desk, name: str) -> str:
    """The short name of whoever is called so. Before anybody was added, one person may work under any name."""
    shop = desk.shop()
    return shop.who(name) or ("" if shop.people else name)


def stranger(desk: Desk) -> str:
    """That nobody here has the name that was given, in words; empty where there is no such name."""
    name = "" if desk.who else safe(who_is_here()).strip()
    people = ", ".join(list(desk.shop().people)[:8])
    return f"Nobody in this workshop is called {name[:80]} (known: {people})" if name else ""


def somebody(desk: Desk) -> None:
    """Before something is said: whoever says it is known here. Raises Wrong for a name that nobody here has."""
    if nobody := stranger(desk):
        raise Wrong(f"{nobody}: look at the spelling, or leave the name out, open reassembly and add yourself with p.")


def _exists(path: Path) -> bool:
    from reassembly.record.trouble import of_file

    try:
        return path.exists()
    except OSError as error:
        raise of_file(error, path) from error


def photos_named() -> str:
    """The folder that pictures come to this time; empty for the one of the settings."""
    return click.get_current_context().ensure_object(dict).get("photos") or os.environ.get("REASSEMBLY_PHOTOS", "")


def find_job(desk: Desk, name: str) -> str:
    """The id of the job meant by its id, its order number, or a part of a registration that fits only one vehicle.

    Of several jobs of one vehicle the only one that is open is meant, and that is said.
    """
    from reassembly.trade.identity import registration_key

    name = safe(name).strip()
    if not name:
        raise Wrong("Name a job: its id, its order number or a part of its registration.")
    for exact in (name, name.upper()):
        if desk.job(exact).entries:
            return exact
    key, lines = registration_key(name), desk.jobs(name, limit=1000)
    ordered = [line for line in lines if line.order.casefold() == name.casefold()]
    plated = [line for line in lines if key and key in registration_key(line.registration)]
    several = ordered or plated
    if not several:
        jobs = desk.jobs(limit=1000)
        known = [word for line in jobs for word in (line.id, line.order, line.registration) if word]
        raise Wrong(f"No job is called {name[:80]}{nearest(name, known)} Look for it with reassembly jobs --find.")
    if len(several) == 1:
        return several[0].id
    still_open = [line for line in several if not line.signed_off]
    one_vehicle = len({registration_key(line.registration) for line in several}) == 1
    if len(still_open) == 1 and one_vehicle:
        others = ", ".join(line.id for line in several if line.signed_off)
        warn(f"{name} fits {len(several)} jobs: {still_open[0].id} is meant, which is open; signed off: {others}.")
        return still_open[0].id
    named = ", ".join(f"{line.id} ({line.registration}, {notation().day(line.opened)})" for line in several[:5])
    raise Wrong(f"{name} fits {len(several)} jobs, name one by its id: {named}.")


def nearest(slip: str, known: Iterable[str]) -> str:
    """`: did you mean T3?` where one of the known words is near, else a full stop."""
    import difflib

    by_folded = {word.casefold(): word for word in known}
    near = difflib.get_close_matches(slip[:80].casefold(), by_folded, 1, 0.6 if len(slip) > _SHORT else 0.5)
    return f": did you mean {by_folded[near[0]]}?" if near else "."


class Commands(click.Group):
    """A group that knows the command that was meant."""

    def get_command(self, context: click.Context, name: str) -> click.Command | None:
        found = super().get_command(context, name)
        if found is None and not name.startswith("-"):
            meant = nearest(name, self.commands)
            raise Wrong(f"There is no command {name[:80]}{meant} See {context.command_path} --help.")
        return found


class Program(Commands):
    """The group of all: when its output cannot be written, it says so, or is quiet where nobody reads on."""

    def make_context(self, *given: Any, **named: Any) -> click.Context:
        with _printing():
            return super().make_context(*given, **named)

    def invoke(self, ctx: click.Context) -> Any:
        with _printing():
            return super().invoke(ctx)


@contextmanager
def _printing() -> Iterator[None]:
    try:
        yield
    except OSError as error:
        if error.errno not in _OF_OUTPUT or error.filename is not None:  # files are told of where they are written
            raise
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # what is left in it would be told again
        if isinstance(error, BrokenPipeError):
            raise SystemExit(_NO_MORE) from error
        raise NotNow(
            f"What is printed cannot be written ({error.strerror}): make room on that disk, or print elsewhere."
        ) from error


_OF_OUTPUT = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO, errno.EPIPE}


def sure(question: str) -> None:
    """Ask before something that cannot be taken back; anything but a plain yes ends the command."""
    if not click.confirm(safe(question), err=True):
        raise Wrong("Nothing was done.")
