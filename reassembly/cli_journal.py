"""`reassembly journal`: entries out, entries in, and the proof that nobody altered them."""

from __future__ import annotations

import json
import sys
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import click

from reassembly.cli_base import (
    OPEN,
    Commands,
    Wrong,
    at_desk,
    data_folder,
    find_job,
    in_words,
    nearest,
    stranger,
    sure,
    tell,
    tell_data,
    warn,
    with_data,
    with_json,
    with_who,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reassembly.record.desk import Desk


@click.group(cls=Commands)
def journal() -> None:
    """Give out the entries as lines of JSON, take them in, and prove that nobody altered them.

    \b
    Example:
      reassembly journal dump 412 > 412.jsonl
      reassembly journal append --anew 412.jsonl
    """


@journal.command()
@click.argument("name", metavar="[JOB]", required=False)
@with_data
@click.option("--details", is_flag=True, help="With the customers' words, which stand beside the entries.")
def dump(name: str | None, details: bool) -> None:
    """Print every entry, or those of one JOB, one a line and just as it is kept.

    \b
    Example:
      reassembly journal dump > shop.jsonl
      reassembly journal dump 412 --details
    """
    from reassembly.record.lines import dump as lines_of

    to_terminal = sys.stdout.isatty()
    with at_desk() as desk:
        for line in lines_of(desk.journal, find_job(desk, name) if name else None, details=details):
            click.echo(_shown(line) if to_terminal else line)


def _shown(line: bytes) -> str:
    """The same JSON with everything escaped that a terminal might obey."""
    return "".join(c if c.isprintable() else json.dumps(c)[1:-1] for c in line.decode())


@journal.command()
@click.argument("file", type=click.File("rb"), default="-")
@with_data
@with_who
@click.option("--job", "name", metavar="JOB", help="The job meant by lines that name none.")
@click.option("--anew", is_flag=True, help="Tell dumped entries again at this bench, under numbers of its own.")
@with_json
def append(file: Any, name: str | None, anew: bool, as_json: bool) -> None:
    """Keep the entries in FILE, every line or none; - is standard input.

    A line is an entry as it was dumped, or a fact written by hand, {"fact": {"kind": ...}}. A JobOpened that names no
    job opens one, and the lines after it belong to that. Dumped entries keep their numbers, so a whole journal has to
    come; --anew takes one job alone, or one that was edited. A customer's details are then left out.

    \b
    Example:
      reassembly journal append shop.jsonl
      reassembly journal append --anew 412.jsonl
      echo '{"fact": {"kind": "RoadTested", "felt": "drone at 70 km/h"}}' |
        reassembly --who ann journal append --job 412 -
    """
    from reassembly.record import lines

    with at_desk(begin=True) as desk:
        try:
            job = find_job(desk, name) if name else ""
            kept = lines.append(desk.journal, file, who=desk.who, job=job, anew=anew)
        except lines.LinesRefused as refused:
            for error in refused.errors:
                warn(str(error))
            if nobody := stranger(desk):
                warn(f"{nobody}: a line that does not name who said it needs somebody who is.")
            raise Wrong(str(refused)) from refused
        doubtful = list(_doubts_of(desk, kept.entries))
    opened = list(dict.fromkeys(entry.job for entry in kept.entries if entry.job))
    if as_json:
        tell_data(
            {
                "kept": [e.id for e in kept.entries],
                "already": kept.already,
                "left_out": kept.left_out,
                "jobs": opened,
                "doubts": doubtful,
            }
        )
        return
    tell(f"{len(kept.entries)} entries kept, {kept.already} were here already")
    if kept.left_out:
        tell(f"{kept.left_out} lines could not be told anew and were left out: customers' details, unknown kinds")
    for job in opened:
        tell(f"job {job}")
    for sentence in doubtful:
        warn(sentence)


def _doubts_of(desk: Desk, entries: list[Any]) -> Iterator[str]:
    """What a screen would have refused to say, of facts that are kept all the same: nothing said is thrown away."""
    from reassembly.job.entries import BagPacked
    from reassembly.job.hindsight import out_of_time, refused

    people, shop, among = desk.journal.people(), desk.shop(), {entry.id for entry in entries}
    found: dict[str, list[str]] = {}
    for job in dict.fromkeys(entry.job for entry in entries):
        said = desk.journal.read(job)
        for entry, doubt in refused(said, among, people, shop):
            found.setdefault(entry.id, []).append(doubt.sentence)
        for entry, sentence in out_of_time(said, among, datetime.now(UTC)):
            found.setdefault(entry.id, []).append(sentence)
    for entry in entries:
        for sentence in found.get(entry.id, ()):
            yield f"doubtful: {entry.id} {type(entry.fact).__name__}: {sentence}"
        if not isinstance(entry.fact, BagPacked) or not entry.fact.bag.strip():
            continue
        if others := [job for job in desk.packed_in(entry.fact.bag) if job != entry.job]:
            yield (
                f"doubtful: {entry.id} BagPacked: label {entry.fact.bag} is on a bag of job {', '.join(others)} "
                "as well: put a new label on one of the two"
            )


@journal.command()
@click.argument("kind", metavar="[KIND]", required=False)
@with_json
def kinds(kind: str | None, as_json: bool) -> None:
    """List the kinds of fact that can be kept, or the fields of one KIND and a line that can be appended.

    \b
    Example:
      reassembly journal kinds
      reassembly journal kinds PartRemoved
    """
    from reassembly.job import entries
    from reassembly.record import facts_table as table

    every = {each.__name__: each for each in entries.kinds()}
    if kind is None:
        if as_json:
            tell_data([{"kind": name, "says": table.says(each)} for name, each in every.items()])
            return
        for name, each in every.items():
            tell(f"{name:<20}{table.says(each)}")
        tell()
        tell("Its fields: reassembly journal kinds PartRemoved")
        return
    meant = next((each for name, each in every.items() if name.casefold() == kind.casefold()), None)
    if meant is None:
        raise Wrong(f"There is no kind {kind[:80]}{nearest(kind, every)} See reassembly journal kinds.")
    if as_json:
        tell_data({"kind": meant.__name__, "says": table.says(meant), "fields": table.described(meant)})
        return
    tell(f"{meant.__name__}: {table.says(meant)}")
    for field in table.described(meant):
        default = "needed" if field["needed"] else f"{json.dumps(field['default'])} if left out"
        tell(f"  {field['name']:<16}{field['json']}; {default}")
        tell(f"  {'':<16}{field['what']}")
    tell("Example of a line:")
    tell(f"  {table.example(meant)}")


@journal.command("new-bench")
@with_data
@click.option("--yes", is_flag=True, help="Do not ask.")
@with_json
def new_bench(yes: bool, as_json: bool) -> None:
    """Go on with the journal that lies in the data folder under a new bench name, whatever was written there last.

    For a journal that is not the one that was last written there: an old copy was put in its place, or it is gone. What
    was said in between is then not in it. The labels of the old bench go on to work.

    \b
    Example:
      reassembly journal new-bench --data /srv/shop
    """
    from reassembly.record.restore import go_on

    folder = data_folder()
    if not yes:
        sure(f"Go on with what is in {folder}, without what it lacks?")
    with in_words():
        bench = go_on(folder)
    if as_json:
        tell_data({"bench": bench})
    else:
        tell(f"bench {bench}: {folder}")


@journal.command()
@with_data
@with_json
def verify(as_json: bool) -> None:
    """Prove that every entry is as it was said and none is missing between others. Exit code 1 when one is not.

    Compare the digest with the one printed on a record: a cut end shows only there.

    \b
    Example:
      reassembly journal verify
    """
    from reassembly.record.proof import verify as prove

    with at_desk() as desk:
        found, digest = prove(desk.journal), desk.digest()
        kept = sum(head.number for head in desk.heads().values())
    if as_json:
        tell_data({"entries": kept, "digest": digest, "found": found})
    else:
        for sentence in found:
            tell(sentence)
        tell(f"{kept} entries, digest {digest}: {f'{len(found)} found wrong' if found else 'all as they were said'}")
    click.get_current_context().exit(OPEN if found else 0)
