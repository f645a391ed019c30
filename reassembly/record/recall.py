"""The search table of recalls: what a wrench, a batch, a part number, a fluid batch or a person had to do with."""

import json
import sqlite3
from collections.abc import Iterable, Mapping
from typing import Any

from reassembly.job.entries import (
    Entry,
    ExceptionAccepted,
    FluidFilled,
    RenewalNeeded,
    RenewalReceived,
    SecondCheckMade,
    SignedOff,
    StageTightened,
)
from reassembly.job.recall import InJob, Outline, Recall, Vehicle, Window
from reassembly.job.uses import Find, Use, What, key, uses
from reassembly.record import readback

RECALLED = (
    StageTightened,
    RenewalReceived,
    RenewalNeeded,
    FluidFilled,
    SecondCheckMade,
    ExceptionAccepted,
    SignedOff,
)
_ONE = f"insert into found_use values ({', '.join('?' * 19)})"  # noqa: S608 - question marks only


def keep(connection: sqlite3.Connection, entry: Entry[Any], before: Mapping[str, Entry[Any]] | None = None) -> None:
    """Take in one entry that stands. `before` are the entries of its job, where they are read already."""
    if isinstance(entry.fact, RECALLED):
        find = _in_journal(connection, entry) if before is None else _among(before, entry)
        connection.executemany(_ONE, (_row(entry, what, use) for what, use in uses(entry, find)))


def leave(connection: sqlite3.Connection, entries: Iterable[Entry[Any]]) -> None:
    """Take out all that was kept of these entries of one job."""
    every = {entry.id: entry for entry in entries}
    connection.executemany(
        "delete from found_use where what = ? and key = ? and hlc = ? and bench = ? and number = ?",
        (
            (what, key(use.typed), entry.hlc, entry.bench, entry.number)
            for entry in every.values()
            if isinstance(entry.fact, RECALLED)
            for what, use in uses(entry, _among(every, entry))
        ),
    )


_WANTED = """what = ?1 and key = ?2 and (substr(time, 1, 10) between ?4 and ?3
    or (doubt <> '' and doubt between ?4 and ?3))"""


def _wanted(what: What, name: str, window: Window) -> tuple[str, ...]:
    return what, key(name.encode("utf-8", "replace").decode()), window.until or "9999", window.since


def outline(connection: sqlite3.Connection, what: What, name: str, window: Window, listed: int) -> Outline:
    """In which jobs how much was done with it in these days, the newest first; the vehicles of the first `listed`."""
    rows = connection.execute(
        f"""
        select job, count(*), min(hlc), max(hlc), total(doubt <> '') from found_use where {_WANTED}
        group by job order by max(hlc) desc
        """,  # noqa: S608 - the words above
        _wanted(what, name, window),
    ).fetchall()
    jobs = tuple(InJob(*row[:4]) for row in rows)
    vehicles = _vehicles(connection, [each.job for each in jobs[:listed]])
    return Outline(what, name, window, jobs, int(sum(row[4] for row in rows)), vehicles)


def recall(connection: sqlite3.Connection, what: What, name: str, window: Window, of: InJob | None = None) -> Recall:
    """What was done with it in these days, the newest first, and the vehicles concerned; `of` one job alone."""
    found = connection.execute(
        f"""
        select typed, did,
            coalesce((select called from found_part where found_part.job = found_use.job
                and found_part.part = found_use.part order by hlc desc, bench desc, number desc limit 1), part),
            about, position, value, wrench, setting, part_number, batch, job, bench || '.' || number, time, who, doubt
        from found_use where {_WANTED} {"and job = ?5 and hlc between ?6 and ?7" if of else ""}
        order by hlc desc, bench desc, number desc
        """,  # noqa: S608 - the words above
        [*_wanted(what, name, window), *((of.job, of.first, of.last) if of else ())],
    )
    several = tuple(map(Use._make, found))
    return Recall(what, name, window, several, _vehicles(connection, dict.fromkeys(use.job for use in several)))


def _vehicles(connection: sqlite3.Connection, jobs: Iterable[str]) -> dict[str, Vehicle]:
    """Each with whom to call."""
    rows = connection.execute(
        """
        select job, shop_order, vehicle, registration, vin,
            coalesce(json_extract(detail.body, '$.name'), ''), coalesce(json_extract(detail.body, '$.phone'), ''),
            coalesce(json_extract(detail.body, '$.email'), ''),
            case when customer_bench is not null and detail.body is null then exists
                (select 1 from entry where entry.job = found_job.job and kind = 'DetailsErased') else 0 end
        from json_each(?) join found_job on found_job.job = value
            left join detail on detail.bench = customer_bench and detail.number = customer_number
        """,
        [json.dumps(list(jobs))],
    )
    return {row[0]: Vehicle._make((*row[:8], bool(row[8]))) for row in rows}


def cycles(connection: sqlite3.Connection, wrench: str, since: str, until: str) -> int:
    """How often a wrench was used in these days (ISO dates, both counted): once a position, and for a whole stage as
    often as its part has fasteners."""
    found = connection.execute(
        """
        with used as (
            select job, part, sum(position is not null) as single, sum(position is null) as whole
            from found_use
            where what = 'wrench' and key = ? and lower(typed) = lower(?) and substr(time, 1, 10) between ? and ?
            group by job, part
        ), fastened as (
            -- beside max() SQLite takes the other columns from the same row: the count that was said last
            select job, json_extract(body, '$.fact.part') as part, json_extract(body, '$.fact.count') as count, max(hlc)
            from entry where kind = 'FastenersRemoved' and job in (select job from used where whole)
            group by job, json_extract(body, '$.fact.part')
        )
        select sum(single + whole * max(1, coalesce(count, 1))) from used left join fastened using (job, part)
        """,
        [key(wrench), wrench, since, until],
    ).fetchone()
    return int(found[0] or 0)


def names(connection: sqlite3.Connection, what: What) -> list[str]:
    """Everything of this kind that something was done with, each in one spelling."""
    rows = connection.execute("select max(typed) from found_use where what = ? group by key", [what])
    return [name for (name,) in rows]


def _row(entry: Entry[Any], what: What, use: Use) -> tuple[Any, ...]:
    return (
        what,
        key(use.typed),
        entry.hlc,
        entry.bench,
        entry.number,
        entry.job,
        use.time,
        use.doubt,
        use.who,
        use.typed,
        use.did,
        use.part,
        use.about,
        use.position,
        use.value,
        use.wrench,
        use.setting,
        use.part_number,
        use.batch,
    )


def _among(every: Mapping[str, Entry[Any]], entry: Entry[Any]) -> Find:
    def find(name: str) -> Entry[Any] | None:
        found = every.get(name)
        return found if found and found.order < entry.order else None

    return find


def _in_journal(connection: sqlite3.Connection, entry: Entry[Any]) -> Find:
    """Of an entry said just now all others are earlier, and it stands in the journal itself."""

    def find(name: str) -> Entry[Any] | None:
        bench, _, number = name.rpartition(".")
        if name == entry.id or not number.isdecimal() or len(number) > 18 or f"{bench}.{int(number)}" != name:
            return None
        row = connection.execute(
            "select body from entry where bench = ? and number = ? and job = ?", [bench, int(number), entry.job]
        ).fetchone()
        return readback.entry(row[0]) if row else None

    return find
