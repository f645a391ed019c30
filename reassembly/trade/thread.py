"""Screw threads with the ISO 68-1 profile: a designation read, and the diameters and area that follow from it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from math import pi
from typing import TYPE_CHECKING

from reassembly.trade.quantity import of, plain, read
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from pint import Quantity

    from reassembly.trade.quantity import Reading

# Pitches in mm, coarse first (ISO 261, ISO 262). M4 to M24 as in copies of the standard; the others from memory.
METRIC = {
    "1.6": "0.35", "2": "0.4 0.25", "2.5": "0.45 0.35", "3": "0.5 0.35", "3.5": "0.6 0.35", "4": "0.7 0.5",
    "5": "0.8 0.5", "6": "1 0.75", "7": "1 0.75", "8": "1.25 1 0.75", "9": "1.25 1 0.75", "10": "1.5 1.25 1 0.75",
    "11": "1.5 1 0.75", "12": "1.75 1.5 1.25 1", "14": "2 1.5 1.25 1", "16": "2 1.5 1", "18": "2.5 2 1.5 1",
    "20": "2.5 2 1.5 1", "22": "2.5 2 1.5 1", "24": "3 2 1.5 1", "27": "3 2 1.5 1", "30": "3.5 3 2 1.5 1",
    "33": "3.5 3 2 1.5", "36": "4 3 2 1.5", "39": "4 3 2 1.5", "42": "4.5 4 3 2 1.5", "45": "4.5 4 3 2 1.5",
    "48": "5 4 3 2 1.5", "52": "5 4 3 2 1.5", "56": "5.5 4 3 2 1.5", "60": "5.5 4 3 2 1.5", "64": "6 4 3 2 1.5",
}  # fmt: skip

# Threads per inch, UNC then UNF (ASME B1.1). 1/4, 3/8, 1/2, 5/8, 3/4 as in copies of it; the others from memory.
UNIFIED = {
    "#0": "- 80", "#1": "64 72", "#2": "56 64", "#3": "48 56", "#4": "40 48", "#5": "40 44", "#6": "32 40",
    "#8": "32 36", "#10": "24 32", "#12": "24 28", "1/4": "20 28", "5/16": "18 24", "3/8": "16 24",
    "7/16": "14 20", "1/2": "13 20", "9/16": "12 18", "5/8": "11 18", "3/4": "10 16", "7/8": "9 14",
    "1": "8 12", "1 1/8": "7 12", "1 1/4": "7 12", "1 3/8": "6 12", "1 1/2": "6 12",
}  # fmt: skip

_SERIES = {"": "", "UN": "UN", "UNC": "UNC", "NC": "UNC", "UNF": "UNF", "NF": "UNF"}
_LARGEST_PITCH = Decimal(6)
_LONGEST = 64
_BY = "x"
_TOLERANCE = re.compile(r"[- ]+(?:\d[a-hA-H](?:\d[a-hA-H])?|[123][AB])(?= *(?:x|$))")
_LEFT = re.compile(r"[- ]*\b(?:lh|left[- ]?hand(?:ed)?)\b", re.IGNORECASE)
_METRIC = re.compile(
    r"m ?(\d+(?:[.,]\d+)?)(?:(?: ?x ?| ?- ?)(\d+(?:[.,]\d+)?))?(?: ?x ?(.+))?", re.IGNORECASE | re.ASCII
)
_UNIFIED = re.compile(
    r"(?:(?:#|no\.? ?)(?P<number>\d+)|(?P<size>(?:\d+[ -])?\d+/\d+|\d+))(?: ?(?:\"|in|inch))?"
    r"(?: ?- ?(?P<tpi>\d+)(?! ?/))?(?: ?-? ?(?P<series>unc|unf|un|nc|nf))?(?: ?x ?(?P<length>.+))?",
    re.IGNORECASE | re.ASCII,
)


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread as designated. `major` and `pitch_or_tpi` are mm and mm, or inches and threads per inch when `inch`.

    `doubt` is a sentence when the size is none of the standard's."""

    designation: str
    inch: bool
    major: Decimal
    pitch_or_tpi: Decimal
    reach: Reading | None = None
    coarse_assumed: bool = False
    left_hand: bool = False
    doubt: str = ""

    @property
    def diameter(self) -> Quantity[float]:
        return of(float(self.major), "in" if self.inch else "mm")

    @property
    def pitch(self) -> Quantity[float]:
        return of(1 / float(self.pitch_or_tpi), "in") if self.inch else of(float(self.pitch_or_tpi), "mm")

    @property
    def length(self) -> Quantity[float] | None:
        return self.reach.quantity if self.reach else None


def read_thread(text: str) -> Thread:
    """Understand "M10", "m10 x 1,25 x 35", "M8x25", "3/8-24 UNF x 1", "1/2-13", "#10-32", with "LH" for left-hand.

    Without a pitch the coarse one is taken and marked as assumed. A single number after an M size is a pitch where it
    can be one, else a length. Raises ValueError with one sentence; a size outside the standards is refused only when no
    pitch was typed, because then none is known, and is doubted otherwise.
    """
    line = " ".join(text.replace("×", _BY).replace("*", _BY).replace("–", "-").replace("”", '"').split())
    if not line or len(line) > _LONGEST or not line.isprintable() or not line.isascii():
        raise ValueError("that is no thread: type for example M10x1.25 or 3/8-24 UNF")
    left = bool(_LEFT.search(line))
    bare = _TOLERANCE.sub("", _LEFT.sub("", line).replace("X", _BY)).strip()
    if found := _METRIC.fullmatch(bare):
        return _metric(*found.groups(), left=left)
    if found := _UNIFIED.fullmatch(bare):
        return _unified(line, found, left=left)
    if _METRIC.fullmatch(meant := f"M{bare.removesuffix('mm').strip()}"):
        raise ValueError(f"{line}: is it {meant}? A metric thread begins with M")
    raise ValueError(f"{line} is no thread that is known here: type for example M10x1.25 or 3/8-24 UNF")


def thread_or_none(text: str) -> Thread | None:
    """The same; None for what is no thread, and for nothing typed."""
    try:
        return read_thread(text) if text.strip() else None
    except ValueError:
        return None


def _metric(size: str, second: str | None, third: str | None, *, left: bool) -> Thread:
    major = Decimal(size.replace(",", "."))
    pitches = [Decimal(pitch) for pitch in METRIC.get(_digits(major), "").split()]
    pitch = Decimal(second.replace(",", ".")) if second else None
    if pitch is not None and third is None and pitch not in pitches and pitch > min(major * 3 / 10, _LARGEST_PITCH):
        pitch, third = None, second
    name, doubt = f"M{_digits(major)}", ""
    if pitch is None:
        if not pitches:
            raise ValueError(f"{name} is not a standard size, so its pitch has to be typed: {_nearest_metric(major)}")
        chosen = pitches[0]
    else:
        chosen = pitch
        if pitch not in pitches:
            doubt = f"{name}x{_digits(pitch)} is not a standard size: {_nearest_metric(major, pitch)}"
    designation = name if pitches and chosen == pitches[0] else f"{name}x{_digits(chosen)}"
    if major <= 0 or chosen <= 0 or float(major) - 1.226869 * float(chosen) <= 0:
        raise ValueError(f"a pitch of {_digits(chosen)} mm leaves no core in {name}: type diameter x pitch x length")
    return Thread(designation, False, major, chosen, _length(third, "mm"), pitch is None, left, doubt)


def _nearest_metric(major: Decimal, pitch: Decimal | None = None) -> str:
    """The two nearest standard threads, in words: of this diameter where it is standard, else of its neighbours."""
    pitches = METRIC.get(_digits(major), "").split()
    if pitch is not None and len(pitches) > 1:
        near = sorted(pitches, key=lambda each: abs(Decimal(each) - pitch))[:2]
        return f"the nearest are M{_digits(major)}x{near[0]} and M{_digits(major)}x{near[1]}"
    near = sorted(METRIC, key=lambda each: abs(Decimal(each) - major))[:2]
    names = [f"M{size}x{min(METRIC[size].split(), key=lambda p: abs(Decimal(p) - (pitch or 99)))}" for size in near]
    return f"the nearest are {names[0]} and {names[1]}"


def _unified(line: str, found: re.Match[str], *, left: bool) -> Thread:
    tpi, series = found["tpi"], _SERIES[(found["series"] or "").upper()]
    size = f"#{int(found['number'])}" if found["number"] else found["size"].replace("-", " ")
    if size.isdigit() and (tpi not in (None, *UNIFIED.get(size, "").split())) and f"#{size}" in UNIFIED:
        size = f"#{size}"
    major = _inches(size)
    known = UNIFIED.get(size, "- -").split()
    if tpi is None:
        tpi = known[series == "UNF"] if series != "UN" else "-"
        if not series and found["length"] in known and found["length"] != "-":
            right = f"{size}-{found['length']}, or {size}-{known[0]} x {found['length']}"
            raise ValueError(f"{line}: is {found['length']} the threads per inch or the length? Type {right}")
        if tpi == "-" and size.isdigit() and size not in UNIFIED:
            raise ValueError(f"{line}: is it M{line}? An inch size has its threads per inch, such as #10-32")
        if tpi == "-":
            raise ValueError(f"{line}: the threads per inch have to be typed: {_nearest_unified(major)}")
    threads = Decimal(tpi)
    if threads == 0 or float(major) - 1.226869 / float(threads) <= 0:
        raise ValueError(f"{tpi} threads an inch leave no core in {size}: type size-threads, for example 3/8-24")
    standard = tpi in known
    real = ("UNC", "UNF")[known.index(tpi)] if standard else "UN"
    doubt = "" if standard else f"{size}-{tpi} is not a standard size: {_nearest_unified(major, size)}"
    if standard and series not in ("", "UN", real):
        right = known[series == "UNF"]
        raise ValueError(
            f"{line}: {size}-{tpi} is {real}, and {series} has {right} threads an inch: type one of the two"
        )
    assumed = found["tpi"] is None and not series
    return Thread(f"{size}-{tpi} {real}", True, major, threads, _length(found["length"], "in"), assumed, left, doubt)


def _nearest_unified(major: Decimal, size: str = "") -> str:
    known = [tpi for tpi in UNIFIED.get(size, "").split() if tpi != "-"]
    if len(known) == 2:
        return f"the nearest are {size}-{known[0]} UNC and {size}-{known[1]} UNF"
    near = sorted(UNIFIED, key=lambda each: abs(_inches(each) - major))[:2]
    one, other = (f"{each}-{next(tpi for tpi in UNIFIED[each].split() if tpi != '-')}" for each in near)
    return f"the nearest are {one} and {other}"


def _inches(size: str) -> Decimal:
    """The diameter of an inch size. Numbered sizes: 0.060 in + 0.013 in each (ASME B1.1)."""
    if size.startswith("#"):
        return Decimal("0.060") + Decimal("0.013") * int(size[1:])
    return read(size, "length", "in").number


def _length(text: str | None, unit: str) -> Reading | None:
    if text is None:
        return None
    reading = read(text, "length", unit)
    if reading.number == 0:
        raise ValueError("a bolt is longer than nothing: type its length or leave it out")
    return reading


def _digits(number: Decimal) -> str:
    return plain(float(number), 4).rstrip("0").rstrip(".")


def _lengths(diameter: Quantity[float], pitch: Quantity[float]) -> tuple[Quantity[float], Quantity[float]]:
    """Both in the unit of the diameter, once it is sure that a core is left."""
    pitch = pitch.to(diameter.units)
    if (diameter - 1.226869 * pitch).m <= 0:
        raise ValueError(f"a pitch of {pitch:~P} leaves no core in a thread of {diameter:~P}")
    return diameter, pitch


def pitch_diameter(diameter: Quantity[float], pitch: Quantity[float]) -> Quantity[float]:
    """d2 = d - 0.649519 P, metric and inch (ISO 724; ASME B1.1). Raises ValueError when no core is left."""
    d, p = _lengths(diameter, pitch)
    across: Quantity[float] = d - 0.649519 * p
    return across


def minor_diameter(diameter: Quantity[float], pitch: Quantity[float]) -> Quantity[float]:
    """D1 = d - 1.082532 P, of the internal thread, metric and inch (ISO 724; ASME B1.1)."""
    d, p = _lengths(diameter, pitch)
    across: Quantity[float] = d - 1.082532 * p
    return across


def root_diameter(diameter: Quantity[float], pitch: Quantity[float]) -> Quantity[float]:
    """d3 = d - 1.226869 P, of the external metric thread (ISO 68-1)."""
    d, p = _lengths(diameter, pitch)
    across: Quantity[float] = d - 1.226869 * p
    return across


def stress_area(diameter: Quantity[float], pitch: Quantity[float], *, inch: bool = False) -> Quantity[float]:
    """Area that carries the load in an external thread, in mm² (in² when `inch`).

    Takes two lengths in any unit. Raises DimensionalityError for anything but lengths, ValueError when no core is left
    (typically the two were swapped). Sources: ISO 898-1, As = π/4 · ((d2 + d3)/2)²; ASME B1.1, π/4 · (D - 0.9743/n)².
    """
    d, p = _lengths(diameter.to("inch" if inch else "mm"), pitch)
    across = d - 0.9743 * p if inch else (pitch_diameter(d, p) + root_diameter(d, p)) / 2
    area: Quantity[float] = pi / 4 * across**2
    return area


def geometry(thread: Thread) -> dict[str, Workings[Quantity[float]]]:
    """The numbers of one thread with their workings, by name."""
    d, p = thread.diameter, thread.pitch
    standard = "ASME B1.1" if thread.inch else "ISO 724"
    given = {"d": d, "P": p}
    area = ("pi/4 (d - 0.9743 P)^2", "ASME B1.1") if thread.inch else ("pi/4 ((d2 + d3)/2)^2", "ISO 898-1")
    diameters = given if thread.inch else {**given, "d2": pitch_diameter(d, p), "d3": root_diameter(d, p)}
    found = {
        "pitch diameter": Workings(pitch_diameter(d, p), "d - 0.649519 P", given, standard),
        "minor diameter": Workings(minor_diameter(d, p), "d - 1.082532 P", given, standard),
        "stress area": Workings(stress_area(d, p, inch=thread.inch), area[0], diameters, area[1]),
    }
    if not thread.inch:
        found["root diameter"] = Workings(root_diameter(d, p), "d - 1.226869 P", given, "ISO 68-1")
    return found
