"""The record of a job as A4 pages, composed from the data of paper.py and from nothing else."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from reassembly.job.notation import USUAL, Notation
from reassembly.job.wording import many, minute, plural
from reassembly.record.first_page import first_page, who
from reassembly.record.heads import grouped
from reassembly.record.progress import Progress, nothing
from reassembly.record.trouble import Trouble
from reassembly.record.typeset import PLATE_DOTS, SMALL, Cell, Column, Pages, Words, cell, moment, time

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from reassembly.record.typeset import Style

Data = dict[str, Any]

_STATES = {
    "open": "OPEN",
    "confirmed": "confirmed",
    "excepted": "EXCEPTED",
    "contradiction": "CONTRADICTION",
    "unknown": "NOT UNDERSTOOD",
}
_SAID = (Column("what", 0.66), Column("by", 0.12), Column("when", 0.22))
_CHECKS = (Column("check", 0.54), Column("state", 0.17), Column("by", 0.10), Column("when", 0.19))


def document(
    data: Data, photos: Mapping[str, Path] | None = None, notation: Notation = USUAL, progress: Progress = nothing
) -> bytes:
    """The PDF; `photos` has the files of its photos by digest. The same data give the same bytes; any text in them is
    shown or visibly replaced, a photo that cannot be read is said to be so, and nothing raises."""
    data = _cut(data)
    rows = _rows(data)
    title = data["title"] or data["job"]["id"]
    foot = f"journal {grouped(data['digest'])}   {title}"
    pages = Pages(f"Record {title}", foot, moment(data["job"]["last"]), notation)
    first_page(pages, data)
    pages.drawn, pages.told = 0, lambda done: progress("lines and pictures drawn", done, rows)
    _warnings(pages, data)
    _check_in(pages, data)
    _strip_down(pages, data)
    _refit(pages, data)
    _exceptions(pages, data)
    _photos(pages, data, photos or {})
    _fluids(pages, data)
    _after(pages, data)
    _wrenches(pages, data)
    _sign_off(pages, data)
    _struck(pages, data)
    _workings(pages, data)
    _everything(pages, data)
    return bytes(pages.output())


_LONGEST = 20_000
"""Characters of one text on paper, ten times what is kept today."""


def _cut(data: Any) -> Any:
    """The same data with each longer text cut: it was kept when nothing refused it, and would fill the paper."""
    match data:
        case str() if len(data) > _LONGEST:
            return f"{data[:_LONGEST]} ... (cut here: {len(data):,} characters, all of them are in the journal)"
        case dict():
            return {key: _cut(value) for key, value in data.items()}
        case list() | tuple():
            return [_cut(value) for value in data]
    return data


def _rows(data: Data) -> int:
    """How many rows and pictures the pages after the first have."""
    alone = ("check_in", "of_no_part", "last", "exceptions", "photos", "after", "wrenches", "open", "since_signoff")
    under = {"parts": "facts", "steps": "checks", "fluids": "said"}
    rows = sum(len(data[each]) for each in (*alone, "struck", "workings", "entries"))
    return rows + sum(1 + len(each[more]) for name, more in under.items() for each in data[name])


def _each(rows: Sequence[list[Cell]]) -> list[list[list[Cell]]]:
    """Every row a group of its own."""
    return [[row] for row in rows]


def _said_row(entry: Data) -> list[Cell]:
    return [cell(entry["told"]), cell(entry["who"]), cell(time(entry["when"]))]


def _said_table(pages: Pages, heading: str, several: Sequence[Data]) -> None:
    if several:
        pages.heading(heading)
        pages.grid(_SAID, _each([_said_row(entry) for entry in several]))


def _warnings(pages: Pages, data: Data) -> None:
    """All of them, on the page that the first one names."""
    if data["warnings"]:
        pages.heading("Warnings, the gravest first")
        for warning in data["warnings"]:
            pages.paragraph(warning)


def _check_in(pages: Pages, data: Data) -> None:
    pages.heading("Complaint, and what was found before the work")
    pages.paragraph(data["job"]["complaint"] or "No complaint noted.", "plain" if data["job"]["complaint"] else "quiet")
    if data["check_in"]:
        pages.grid(_SAID, _each([_said_row(entry) for entry in data["check_in"]]))


def _strip_down(pages: Pages, data: Data) -> None:
    if data["parts"]:
        pages.heading("Strip-down, in the order the parts came off")
        pages.grid(_SAID, [list(_part(number, part)) for number, part in enumerate(data["parts"], 1)])
    _said_table(pages, "Of the vehicle as a whole", data["of_no_part"])


def _part(number: int, part: Data) -> Iterator[list[Cell]]:
    spoken_of = "" if part["how"] != "only spoken of" else ", only spoken of"
    yield [cell(Words(f"{number}  {part['name']}{spoken_of}", "bold")), cell(), cell()]
    for fact in part["facts"]:
        told = _without(part["name"], fact["told"])
        yield [
            cell(told, *(Words(line, "quiet") for line in fact["more"])),
            cell(fact["who"]),
            cell(time(fact["when"])),
        ]


def _without(name: str, told: str) -> str:
    """A line about a part without the name it stands under."""
    rest = told.removeprefix(name).removeprefix(":").removesuffix(f", {name}").strip()
    return rest or told


def _refit(pages: Pages, data: Data) -> None:
    if data["steps"]:
        pages.heading("Refit, step by step")
        pages.grid(_CHECKS, [list(_step(step)) for step in data["steps"]])
    if data["last"]:
        pages.heading("Checks of the vehicle as a whole")
        pages.grid(_CHECKS, _each([_check(check, name=True) for check in data["last"]]))


def _step(step: Data) -> Iterator[list[Cell]]:
    more = f" and {step['and_more']} more" if step["and_more"] else ""
    waits = f"waits for {step['waits_for']}{more}" if step["waits_for"] else ""
    yield [cell(Words(step["name"], "bold"), Words(waits, "quiet")), cell(Words(step["state"], "bold")), cell(), cell()]
    for check in step["checks"]:
        yield _check(check)


def _check(check: Data, *, name: bool = False) -> list[Cell]:
    loud: Style = "plain" if check["state"] == "confirmed" else "bold"
    safety = "safety-critical" if check["safety_critical"] else ""
    part = check["part"] if name and check["part"] not in check["detail"] else ""
    detail = ", ".join(w for w in (part, check["detail"], safety) if w)
    return [
        cell(
            check["wording"],
            Words(detail, "quiet"),
            check["answer"],
            Words(check["second_person"], "bold", ours=True),
            *(Words(line, "quiet") for line in _positions(check["tightened"])),
        ),
        cell(Words(_STATES[check["state"]], loud)),
        cell(check["who"]),
        cell(time(check["when"])),
    ]


def _positions(tightened: Sequence[Data]) -> Iterator[str]:
    """Positions in the order they were tightened, together where the rest is the same."""
    groups: list[tuple[Data, list[Data]]] = []
    for each in tightened:
        same = {key: each[key] for key in ("who", "measured", "wrench", "setting")} | {
            "whole": each["position"] is None
        }
        if groups and groups[-1][0] == same:
            groups[-1][1].append(each)
        else:
            groups.append((same, [each]))
    for same, several in groups:
        where = "whole stage at once" if same["whole"] else _numbered(several)
        wrench = f"wrench {same['wrench']}" if same["wrench"] else ""
        setting = f"set to {same['setting']}" if same["setting"] else ""
        told = f"measured {same['measured']}" if same["measured"] else ""
        yield ", ".join(w for w in (where, " ".join(w for w in (wrench, setting) if w), told, same["who"]) if w)


def _numbered(several: Sequence[Data]) -> str:
    numbers = " ".join(str(each["position"]) for each in several)
    return f"{plural('position', len(several))} {numbers}"


def _exceptions(pages: Pages, data: Data) -> None:
    if not data["exceptions"]:
        return
    pages.heading("Exceptions: checks knowingly not met")
    columns = (Column("check", 0.36), Column("reason", 0.30), Column("accepted by", 0.15), Column("said", 0.19))
    rows = [
        [
            cell(each["check"]),
            cell(each["reason"]),
            cell(who(data, each["accepted_by"])),
            cell(time(each["when"]), Words(f"by {each['who']}", "quiet")),
        ]
        for each in data["exceptions"]
    ]
    pages.grid(columns, _each(rows))


def _photos(pages: Pages, data: Data, files: Mapping[str, Path]) -> None:
    """Four a page, each above what it shows."""
    if not data["photos"]:
        return
    pages.heading("Photos")
    pages.plates([(partial(_thumbnail, photo, files), _caption(data, photo)) for photo in data["photos"]])


def _thumbnail(photo: Data, files: Mapping[str, Path]) -> bytes | str:
    """A small JPEG, or why there is none."""
    from reassembly.record.pictures import thumbnail

    if photo["digest"] not in files:
        return "This photo is gone: bring it back from a backup."
    try:
        return thumbnail(files[photo["digest"]], PLATE_DOTS, PLATE_DOTS)
    except Trouble:
        return "This photo cannot be read: it was altered or is damaged."


def _caption(data: Data, photo: Data) -> Cell:
    taken = f", taken {minute(photo['taken'])}" if photo["taken"] else ""
    kept = f"{who(data, photo['who'])}, {minute(photo['when'])}{taken}"
    return cell(
        Words(photo["part"] or "the whole vehicle", "bold"),
        photo["caption"],
        Words(kept, "quiet", ours=True),
        Words(f"{photo['entry']}  {photo['digest'][:16]}", "quiet"),
    )


def _fluids(pages: Pages, data: Data) -> None:
    if data["fluids"]:
        pages.heading("Fluids")
    for fluid in data["fluids"]:
        name = [cell(Words(fluid["fluid"], "bold"), fluid["total"]), cell(), cell()]
        pages.grid(_SAID, [[name, *(_said_row(entry) for entry in fluid["said"])]])


def _after(pages: Pages, data: Data) -> None:
    _said_table(pages, "After the work", data["after"])


def _wrenches(pages: Pages, data: Data) -> None:
    if not data["wrenches"]:
        return
    pages.heading("Torque tools used")
    columns = (Column("tool", 0.30), Column("range", 0.22), Column("used", 0.20), Column("calibrated", 0.28))
    pages.grid(columns, _each([_wrench(each) for each in data["wrenches"]]))


def _wrench(each: Data) -> list[Cell]:
    until = each["good_until"] or "not said"
    held = Words(f"{each['calibrated']}, good until {until}" if each["calibrated"] else "never", ours=True)
    return [
        cell(Words(each["wrench"], "bold"), each["name"]),
        cell(each["range"]),
        cell(many(each["used"], "time"), time(each["last_used"], "last")),
        cell(
            held,
            Words(each["certificate"], "quiet"),
            *(Words(f"failed {failure}", "bold", ours=True) for failure in each["failed"]),
        ),
    ]


def _sign_off(pages: Pages, data: Data) -> None:
    pages.heading("Sign-off")
    done = data["signed_off"]
    if done:
        pages.paragraph(f"Signed off {pages.notation.minute(done['when'])} by {who(data, done['who'])}.", "bold")
        if done["note"]:
            pages.paragraph(done["note"])
    else:
        pages.paragraph("This job is not signed off.", "bold")
    if data["open"]:
        pages.paragraph(f"{len(data['open'])} not confirmed:", "bold")
        pages.grid(_CHECKS, _each([_check(check, name=True) for check in data["open"]]))
    for erased in data["details_erased"]:
        pages.paragraph(f"{erased['told']} ({pages.notation.minute(erased['when'])}, {erased['who']})")
    _said_table(pages, "Changed after sign-off", data["since_signoff"])


def _struck(pages: Pages, data: Data) -> None:
    if not data["struck"]:
        return
    pages.heading("Struck out")
    columns = (Column("what was said", 0.46), Column("why it was struck out", 0.33), Column("struck", 0.21))
    rows = [
        [
            cell(each["told"], time(each["when"], f"{each['who']},")),
            cell(each["why"]),
            cell(each["struck_by"], time(each["struck_when"])),
        ]
        for each in data["struck"]
    ]
    pages.grid(columns, _each(rows))


def _workings(pages: Pages, data: Data) -> None:
    """Every number that was computed, so that it can be checked with a pencil."""
    if not data["workings"]:
        return
    pages.heading("Workings: numbers computed from what was said")
    columns = (Column("number", 0.34), Column("how it comes about", 0.66))
    rows = [
        [
            cell(each["title"], Words(each["about"], "quiet")),
            cell(each["lines"][0], Words("; ".join(each["lines"][1:]), "quiet")),
        ]
        for each in data["workings"]
    ]
    pages.grid(columns, _each(rows), SMALL)


def _everything(pages: Pages, data: Data) -> None:
    """Whatever was said stands here once more, in its order: nothing is left out of the record."""
    pages.heading("Everything said, in order")
    struck = {each["entry"] for each in data["struck"]}
    columns = (Column("entry", 0.11), Column("what", 0.58), Column("by", 0.10), Column("when", 0.21))
    rows = [
        [
            cell(Words(each["entry"], "quiet")),
            cell(each["told"], *([Words("struck out", "bold")] if each["entry"] in struck else [])),
            cell(each["who"]),
            cell(time(each["when"])),
        ]
        for each in data["entries"]
    ]
    pages.grid(columns, [rows[at : at + 5] for at in range(0, len(rows), 5)], SMALL)
    if data["clock_not_trusted"]:
        pages.paragraph(f"{data['clock_not_trusted']} times come from a clock that nothing was keeping right.", "quiet")
    pages.heading("The journal when this was printed")
    for bench, head in data["heads"].items():
        pages.paragraph(f"bench {bench}: {many(head['number'], 'entry')}, the last {head['hash']}", "quiet")
    pages.paragraph(f"{grouped(data['digest'])} stands for all of it.")
