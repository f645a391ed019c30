"""Text as it is typed, read into what a computation takes: quantities, numbers, threads, classes, places and so on."""

# ruff: noqa: ARG001 - one signature for every kind of input
from __future__ import annotations

import re
from math import isfinite
from typing import TYPE_CHECKING, Any, NamedTuple, cast

from reassembly.trade.facing import read_clock
from reassembly.trade.grade import read_grade
from reassembly.trade.layout import positions
from reassembly.trade.quantity import LONGEST, of, plain, read, show, value
from reassembly.trade.rotation import read_tyre
from reassembly.trade.spline import read_place
from reassembly.trade.thread import read_thread
from reassembly.trade.units import UNITS, USUAL
from reassembly.trade.wrench import day_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.trade.units import Dimension

_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)", re.ASCII)
_AT = re.compile(r"\s*(?:\bat\b|@|<|∠)\s*", re.IGNORECASE)
_LARGEST_RATIO = 100.0  # turns in for one out: engine to wheel in the lowest crawler gear (common practice, no source)
_ROLLOUTS = 0.3, 12.0  # metres: a trolley's wheel, an earth mover's (geometry of rims from 4 to 63 inches)
_BETWEEN = re.compile(r"\s*(?:;|,\s|\s)\s*")


class Understood(NamedTuple):
    """A value, and what was assumed in reading it."""

    value: Any
    remark: str = ""


def understand(text: str, kind: str, unit: str = "") -> Understood:
    """Read a text of one kind: a dimension of `units`, or one of KINDS. Raises ValueError with one sentence."""
    if kind in KINDS:
        return KINDS[kind](text.strip(), unit)
    return _quantity(text, cast("Dimension", kind), unit)


def _quantity(text: str, dimension: Dimension, unit: str) -> Understood:
    reading = read(text, dimension, unit or USUAL.get(dimension))
    return Understood(reading.quantity, f"{reading.typed} was taken as {reading.shown}" if reading.assumed else "")


def number(text: str, unit: str = "") -> float:
    """A plain number with point or comma; its unit may stand behind it. Raises ValueError."""
    bare = text.strip()
    bare = bare[: -len(unit)].strip() if unit and bare.casefold().endswith(unit.casefold()) else bare
    if len(bare) > LONGEST or not _NUMBER.fullmatch(bare):
        raise ValueError(f"{bare[:30]} is not a number: type digits with a decimal point{f', in {unit}' * bool(unit)}")
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", bare):
        raise ValueError(f"{bare} can mean {bare.replace(',', '')} or {bare.replace(',', '.')}: type one of the two")
    found = float(bare.replace(",", "."))
    if not isfinite(found):
        raise ValueError(f"{bare[:30]}... is too large a number")
    return found


def _ratio(text: str, unit: str) -> Understood:
    """A ratio, or the teeth it comes from: "3.73", "41:11"."""
    teeth = re.fullmatch(r"(\d{1,3})\s*[:/]\s*(\d{1,3})", text, re.ASCII)
    if teeth and int(teeth[2]):
        found = int(teeth[1]) / int(teeth[2])
        remark = f"{text} was taken as {teeth[1]} teeth over {teeth[2]}, a ratio of {plain(found)}"
    else:
        found, remark = number(text), ""
    if not found > 0:
        raise ValueError(f"a ratio of {text} cannot be: type how many turns in make one turn out")
    if found > _LARGEST_RATIO:
        raise ValueError(f"a ratio of {text} is none that a vehicle has: is the decimal point missing?")
    return Understood(found, remark)


def _joint_angle(text: str, unit: str) -> Understood:
    angle = _degrees(text, "").value
    if not 0 <= angle < 90:
        raise ValueError(f"a joint at {plain(angle)} deg cannot turn: type its working angle, from 0 to under 90")
    return Understood(angle)


def _count(text: str, unit: str) -> Understood:
    if not re.fullmatch(r"[+-]?\d{1,9}", text, re.ASCII):
        raise ValueError(f"{text[:30]} is not a whole number: count them and type the number")
    return Understood(int(text))


def _degrees(text: str, unit: str) -> Understood:
    reading = read(text, "angle", "deg")
    return Understood(float(reading.number) if reading.unit == "deg" else value(reading.quantity, "deg"))


def _degrees_list(text: str, unit: str) -> Understood:
    if re.fullmatch(r"\d+,\d+", text):
        one, two = text.split(",")
        raise ValueError(f"{text} can be one angle or two: type {one}.{two}, or {one} {two}")
    return Understood(tuple(_degrees(piece, "").value for piece in _pieces(text)))


def _pieces(text: str) -> list[str]:
    """What stands between blanks, semicolons, or commas with a blank; a unit stays with its number."""
    return [piece for piece in _BETWEEN.split(re.sub(r"(?<=\d)\s*(?:degrees|deg|°)", "", text)) if piece]


def _thread(text: str, unit: str) -> Understood:
    thread = read_thread(text)
    coarse = f"no pitch typed: {thread.designation} has the coarse one, {show(thread.pitch)}"
    return Understood(thread, "; ".join(filter(None, [coarse * thread.coarse_assumed, thread.doubt])))


def _diameter(text: str, unit: str) -> Understood:
    try:
        return _quantity(text, "length", unit)
    except ValueError as why:
        try:
            return Understood(read_thread(text).diameter)
        except ValueError:
            raise why from None


def _turning(text: str, unit: str) -> Understood:
    """A rotational speed or a frequency, whichever its unit says."""
    counted = any(unit == each.symbol for each in UNITS["frequency"])
    try:
        return _quantity(text, "frequency" if counted else "rotational speed", unit)
    except ValueError as why:
        try:
            return Understood(read(text, "rotational speed" if counted else "frequency").quantity)
        except ValueError:
            raise why from None


def _rollout(text: str, unit: str) -> Understood:
    """A measured roll-out, or a tyre size it follows from."""
    try:
        tyre = read_tyre(text)
    except ValueError as why:
        try:
            length = _quantity(text, "length", "m")
        except ValueError:
            raise ValueError(
                f"{text[:30]} is neither a tyre size such as 235/60R18 nor a length such as 2.2 m"
            ) from why
        if not _ROLLOUTS[0] <= value(length.value, "m") <= _ROLLOUTS[1]:
            turn = show(length.value)
            raise ValueError(f"{turn} is no turn of a tyre: type it with its unit, 2.2 m or 2200 mm") from None
        return length
    return Understood(tyre.rollout.result, f"roll-out {show(tyre.rollout.result)} reckoned from {tyre.code}")


def _unbalance(text: str, unit: str) -> Understood:
    """Unbalance, or a mass at a radius: "1030 g.mm", "14 g at 45 mm"."""
    mass, *radius = _AT.split(text, maxsplit=1)
    if not radius:
        return _quantity(text, "unbalance", unit)
    grams, millimetres = read(mass, "mass", "g"), read(radius[0], "length", "mm")
    moment = of(value(grams.quantity, "g") * value(millimetres.quantity, "mm"), "g.mm")
    assumed = f"{text} was taken as {grams.shown} at {millimetres.shown}"
    return Understood(moment, assumed if grams.assumed or millimetres.assumed else "")


def _run(text: str, unit: str) -> Understood:
    """An amplitude and an angle: "7 at 160"."""
    size, *angle = _AT.split(text, maxsplit=1)
    if not angle:
        raise ValueError(f"{text[:30]} is no run: type amplitude and angle, for example 7 at 160")
    return Understood((number(size), _degrees(angle[0], "").value))


def _balance_grade(text: str, unit: str) -> Understood:
    return Understood(number(re.sub(r"^[gG]\s*", "", text), "mm/s"))


def _texts(text: str, unit: str) -> Understood:
    """Several amounts: parted by semicolon, plus, "and", or a comma with a blank."""
    return Understood(tuple(piece for piece in re.split(r"\s*(?:;|\+|\band\b|,\s)\s*", text) if piece))


def _date(text: str, unit: str) -> Understood:
    day = day_of(text)
    if day is None:
        raise ValueError(f"{text[:30]} is no date: type year-month-day, 2026-03-14")
    return Understood(day)


def _bytes(text: str, unit: str) -> Understood:
    plain_hex = re.sub(r"0x|[\s:,-]", "", text, flags=re.IGNORECASE)
    if not re.fullmatch(r"[0-9a-fA-F]{4}", plain_hex):
        raise ValueError(f"{text[:30]} is not two bytes: type four signs 0-9 and A-F, for example 0735")
    return Understood(bytes.fromhex(plain_hex))


KINDS: dict[str, Callable[[str, str], Understood]] = {
    "number": lambda text, unit: Understood(number(text, unit)),
    "ratio": _ratio,
    "count": _count,
    "degrees": _degrees,
    "joint angle": _joint_angle,
    "angles": _degrees_list,
    "thread": _thread,
    "class": lambda text, _: Understood(read_grade(text)),
    "diameter": _diameter,
    "turning": _turning,
    "tyre": lambda text, _: Understood(read_tyre(text)),
    "rollout": _rollout,
    "unbalance": _unbalance,
    "run": _run,
    "balance grade": _balance_grade,
    "layout": lambda text, _: Understood(positions(text)),
    "place": lambda text, _: Understood(read_place(text)),
    "clock": lambda text, _: Understood(read_clock(text)),
    "date": _date,
    "bytes": _bytes,
    "amounts": _texts,
    "text": lambda text, _: Understood(text),
}
"""How a text of each kind that is no single quantity is read; the second argument is the unit meant where none is."""

IN_WORDS: dict[str, str] = {
    "number": "a number",
    "count": "a whole number",
    "ratio": "a ratio",
    "degrees": "degrees",
    "angles": "degrees, several",
    "class": "class or grade",
    "diameter": "a length, or a thread",
    "turning": "rpm or Hz",
    "tyre": "tyre size",
    "rollout": "tyre size, or a length",
    "unbalance": "unbalance, or mass at radius",
    "run": "amplitude at angle",
    "bytes": "two bytes in hex",
    "amounts": "amounts, several",
    "clock": "clock position and side",
}


def in_words(kind: str, unit: str = "") -> str:
    """What an input takes, for a list of inputs: "torque, N.m" or "amplitude at angle"."""
    if kind in KINDS:
        return f"{IN_WORDS.get(kind, kind)}{f', {unit}' if unit and kind == 'number' else ''}"
    return f"{kind}, {unit or USUAL.get(cast('Dimension', kind), '')}".rstrip(", ")
