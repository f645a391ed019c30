"""`reassembly photo`: the photos of a job listed, opened and given out, and where new pictures are looked for."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from reassembly.cli_base import (
    FILE,
    OPEN,
    Wrong,
    at_desk,
    find_job,
    notation,
    photos_named,
    tell,
    tell_data,
    with_data,
    with_json,
    with_photos,
)

if TYPE_CHECKING:
    from reassembly.job.job import Job
    from reassembly.record.desk import Desk
    from reassembly.record.photos import Photo


@click.command()
@click.argument("name", metavar="[JOB]", required=False)
@click.argument("number", metavar="[N]", type=click.IntRange(1), required=False)
@with_data
@with_photos
@click.option("--open", "opened", is_flag=True, help="Open photo N, else the newest, by the system's viewer.")
@click.option("--out", type=FILE, metavar="DIR", help="Write copies of photo N, else of all, into DIR.")
@click.option("--watch", metavar="DIR", help="From now on look for new pictures in DIR; '' for the usual folder.")
@with_json
def photo(
    name: str | None, number: int | None, opened: bool, out: Path | None, watch: str | None, as_json: bool
) -> None:
    """List the photos of a JOB, or without one the new pictures that wait. Exit code 1 when a photo is gone.

    New pictures are looked for in a folder of the data folder, photos-in, or the one named by --watch or --photos, and
    on every card, stick or phone that is plugged in. A key on the screens keeps one.

    \b
    Example:
      reassembly photo --watch /srv/reassembly/phone
      reassembly photo 412
      reassembly photo 412 3 --open
      reassembly photo 412 --out photos-of-412
    """
    if name is None and (opened or out):
        raise click.UsageError("Name a job.")
    with at_desk() as desk:
        if watch is not None:
            _watch(desk, watch)
        if name is None:
            _tell_waiting(desk, as_json)
            return
        job = desk.job(find_job(desk, name))
        chosen = _chosen(desk, job, number)
        if out is not None:
            for n, each in chosen:
                tell(str(_give_out(each, out, f"{job.id}-{n:02}")))
        elif opened:
            _open(chosen, job)
        elif as_json:
            tell_data([_data(n, each) for n, each in chosen])
        else:
            _tell_photos(job, chosen)
    click.get_current_context().exit(OPEN if any(each.path is None for _, each in chosen) else 0)


def _watch(desk: Desk, named: str) -> None:
    import msgspec

    from reassembly.record import settings

    folder = str(Path(named).expanduser().absolute()) if named else ""
    if folder and not Path(folder).is_dir():
        raise Wrong(f"There is no folder {folder}: make it, or name another.")
    settings.write(desk.path, msgspec.structs.replace(settings.read(desk.path), photos=folder))


def _tell_waiting(desk: Desk, as_json: bool) -> None:
    from reassembly.cli_progress import Progress
    from reassembly.job.wording import many
    from reassembly.record import settings
    from reassembly.record.watched import Watch, size, written

    watch, progress = Watch(desk.path, photos_named() or settings.read(desk.path).photos), Progress()
    waiting = watch.look(desk.photo_sources(), progress.of("looking"))
    progress.end()
    if as_json:
        tell_data([{"path": str(each.path), "written": written(each), "size": each.size} for each in waiting])
        return
    for place in watch.places:
        tell(f"looked into {place}")
    tell(f"{many(len(waiting), 'new picture')}{':' if waiting else ''}")
    here = notation()
    for each in waiting:
        tell(f"  {each.path.name}, {here.dated(written(each))}, {here.computed(size(each.size))}")


def _chosen(desk: Desk, job: Job, number: int | None) -> list[tuple[int, Photo]]:
    from reassembly.job.wording import many
    from reassembly.record.photos import standing

    every = list(enumerate(standing(desk.path, job), 1))
    if number is not None and number > len(every):
        raise Wrong(f"Job {job.id} has {many(len(every), 'photo')}.")
    return every if number is None else every[number - 1 : number]


def _give_out(photo: Photo, out: Path, name: str) -> Path:
    from reassembly.record.photos import give_out

    return give_out(photo, out, name)


def _open(chosen: list[tuple[int, Photo]], job: Job) -> None:
    from reassembly.record.photos import gone, view

    if not chosen:
        raise Wrong(f"Job {job.id} has no photo.")
    _, photo = chosen[-1]
    tell(view(photo.path) if photo.path else gone(photo.entry.id))


def _tell_photos(job: Job, chosen: list[tuple[int, Photo]]) -> None:
    from reassembly.job.job import title
    from reassembly.job.telling import Names
    from reassembly.job.telling import tell as told
    from reassembly.record.photos import gone

    names, here = Names.of(job), notation()
    tell(title(job))
    for n, each in chosen:
        tell(f"{n:>3}  {here.minute(each.entry.time)}  {each.entry.who}  {told(each.entry, names)}")
        tell(f"     {each.path or gone(each.entry.id)}")
    if not chosen:
        tell("no photos")


def _data(number: int, photo: Photo) -> dict[str, Any]:
    entry = photo.entry
    return {
        "number": number,
        "entry": entry.id,
        "when": entry.time,
        "who": entry.who,
        "part": entry.fact.part,
        "caption": entry.fact.caption,
        "taken": entry.fact.taken,
        "digest": entry.fact.digest,
        "path": str(photo.path) if photo.path else None,
    }
