"""The first page of a record: it alone answers what is asked first; the pages after it tell everything in full."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reassembly.job.wording import many, minute
from reassembly.record.heads import grouped
from reassembly.record.typeset import SMALL, Column, Pages, Words, cell, time

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from reassembly.job.notation import Notation
    from reassembly.record.typeset import Cell

Data = dict[str, Any]

_LONGEST, _LONG_LIST, _LINE = 230, 320, 150  # characters: three lines, four, one or two
_MOST = 3  # exceptions, warnings, open checks, fluids
_UNDER_THE_JOINTS = 20.0  # mm
_ROW = (Column("", 0.17), Column("", 0.83))
_TORQUE = (
    Column("joint", 0.27),
    Column("specified", 0.21),
    Column("state", 0.13),
    Column("wrench", 0.16),
    Column("by", 0.10),
    Column("when", 0.13),
)


def who(data: Data, short: str) -> str:
    """Full name and short name of a person."""
    full = data["people"].get(short, short)
    return f"{full} ({short})" if full != short else short


def job_line(line: Data, notation: Notation) -> str:
    """Another job in one line, as people call it; its id last."""
    order = f"order {line['order']}" if line["order"] else ""
    vehicle = f"{line['vehicle']} {line['registration']}".strip()
    told = (order, vehicle, notation.day(line["opened"]), line["complaint"])
    return f"{', '.join(filter(None, told))} (job {line['job']})"


def first_page(pages: Pages, data: Data) -> None:
    """All of it on one page, whatever the job; lists and texts that would not fit are cut, and say so."""
    _head(pages, data)
    pages.grid(_ROW, [[[cell(Words(name, "quiet")), told] for name, told in _rows(data) if told]])
    _torque(pages, data["in_short"]["joints"])
    said = f"{many(len(data['entries']), 'entry')} about this job follow in full on the next pages"
    pages.paragraph(f"{grouped(data['digest'])} stands for every entry of the journal; {said}.", "quiet")
    pages.next_page()


def _head(pages: Pages, data: Data) -> None:
    job, done, still = data["job"], data["signed_off"], len(data["open"])
    if done:
        state = f"Signed off {pages.notation.minute(done['when'])} by {who(data, done['who'])}"
    else:
        state = f"NOT SIGNED OFF: {many(still, 'check')} open"
    pages.title_block("Record of work", data["title"] or job["id"], state)
    customer = data["customer"] or {}
    erased = "erased on request" if data["details_erased"] and not data["customer"] else ""
    pages.pairs(
        [
            ("vehicle", job["vehicle"]),
            ("registration", job["registration"]),
            ("VIN", job["vin"]),
            ("odometer", job["odometer"]),
            ("job", job["id"]),
            ("order", job["order"]),
            ("checked in", " by ".join(w for w in (pages.notation.minute(job["opened"]), job["opened_by"]) if w)),
            ("customer", customer.get("name", "") or erased),
            ("telephone", customer.get("phone", "")),
            ("address", customer.get("address", "")),
            ("e-mail", customer.get("email", "")),
        ]
    )
    if data["earlier"]:
        pages.paragraph(f"Come-back from {job_line(data['earlier'], pages.notation)}")
    for later in data["later"]:
        pages.paragraph(f"Came back as {job_line(later, pages.notation)}")
    if data["since_signoff"]:
        pages.paragraph(f"Changed after sign-off: {many(len(data['since_signoff']), 'entry')}, listed there.", "bold")


def _rows(data: Data) -> Iterator[tuple[str, Cell]]:
    short = data["in_short"]
    yield "complaint", cell(_cut(data["job"]["complaint"] or "none noted"))
    yield "found before", cell(_cut("; ".join(entry["told"] for entry in data["check_in"])))
    yield "taken off", cell(_listed(short["off"], "part"))
    yield "renewed", cell(_listed(short["renewed"], "part"))
    yield "fluids", cell(*(_cut(f"{fluid['fluid']}: {fluid['total']}", _LINE) for fluid in data["fluids"][:_MOST]))
    yield "after the work", cell(_cut("; ".join(entry["told"] for entry in data["after"])))
    yield "done by", cell(_cut("; ".join(f"{did}: {_people(data, several)}" for did, several in short["who"].items())))
    yield "second checks", cell(*_second_checks(data))
    yield (
        "exceptions",
        _several(
            [f"{e['check']}: {e['reason']}, accepted by {who(data, e['accepted_by'])}" for e in data["exceptions"]],
            "none",
        ),
    )
    yield "warnings", _several(data["warnings"], "none", ": see page 2")
    yield "not confirmed", _several([", ".join(w for w in (c["wording"], c["part"]) if w) for c in data["open"]], "")
    yield "struck out", cell(many(len(data["struck"]), "entry") if data["struck"] else "nothing")


def _second_checks(data: Data) -> Iterator[Words]:
    """Of each safety-critical set: who looked at it, or that nobody did. Those that nobody made come first, then those
    of which there is more to know."""
    several = sorted(data["in_short"]["second"], key=lambda each: (each["state"] == "confirmed", not each["told"]))
    once: set[str] = set()
    for each in several[:_MOST]:
        made = each["state"] == "confirmed"
        told = f"{who(data, each['who'])}, {minute(each['when'])}" if made else f"NOT MADE, {each['state']}"
        yield Words(_cut(f"{each['joint']}: {told}", _LINE), "plain" if made else "bold", ours=True)
        if each["told"] and each["told"] not in once:
            once.add(each["told"])
            yield Words(_cut(each["told"], _LINE), "bold", ours=True)
    if len(several) > _MOST:
        yield Words(f"and {len(several) - _MOST} more", "bold")


def _people(data: Data, several: Iterable[str]) -> str:
    return ", ".join(who(data, short) for short in several)


def _listed(several: Sequence[str], noun: str) -> str:
    return _cut(f"{many(len(several), noun)}: {'; '.join(several)}", _LONG_LIST) if several else ""


def _several(lines: Sequence[str], otherwise: str, where: str = "") -> Cell:
    shown = [Words(_cut(line, _LINE), "bold") for line in lines[:_MOST]]
    more = len(lines) - len(shown)
    return cell(*shown, Words(f"and {more} more{where}", "bold") if more else "") if lines else cell(otherwise)


def _cut(text: str, longest: int = _LONGEST) -> str:
    line = " ".join(text.split())
    return line if len(line) <= longest else f"{line[: longest - 1]}…"


def _torque(pages: Pages, joints: Sequence[Data]) -> None:
    """As many joints as this page has room for: each takes one or two lines."""
    if not joints:
        return
    pages.heading("Joints tightened")
    rows = [_joint(each) for each in joints]
    room = pages.room_left - _UNDER_THE_JOINTS
    shown = 0
    while shown < len(rows) and (room := room - pages.height(_TORQUE, rows[shown], SMALL)) >= 0:
        shown += 1
    pages.grid(_TORQUE, [rows[:shown]], SMALL)
    if shown < len(rows):
        pages.paragraph(f"and {many(len(rows) - shown, 'joint')} more", "bold")


def _joint(each: Data) -> list[Cell]:
    count = f"{each['positions']} x " if each["positions"] else ""
    done = each["state"] == "confirmed"
    return [
        cell(_brief(f"{count}{each['joint']}")),
        cell(_brief(each["specified"])),
        cell(Words(each["state"] if done else each["state"].upper(), "plain" if done else "bold")),
        cell(_brief(", ".join(each["wrenches"])), *(Words(_brief(why), "bold") for why in each["untrusted"])),
        cell(_brief(", ".join(each["who"]))),
        cell(time(each["when"][:10])),
    ]


def _brief(text: str) -> str:
    return _cut(text, 60)
