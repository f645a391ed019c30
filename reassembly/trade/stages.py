"""A torque specification read into its stages, and stages made from a final value when the manual gives none."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from typing import TYPE_CHECKING, Literal

from reassembly.trade.fastener import NUT_FACTORS
from reassembly.trade.quantity import read, value
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pint import Quantity

    from reassembly.trade.quantity import Reading

Kind = Literal["by hand", "torque", "angle", "back off", "check pass"]

LONGEST, MOST = 300, 20
_ANGLE = re.compile(r"°|º|deg|turn|rev|\brad", re.IGNORECASE)
# A comma parts two stages unless digits stand on both its sides; a plus parts them too, except in +/-.
_BETWEEN = re.compile(r"\s*(?:[;\n]|,(?!(?<=\d,)\d)|\+(?!\s*/)|->|→|\bthen\b)\s*", re.IGNORECASE)
_REPEAT = re.compile(r"([2-9]) ?[x×] ?(?=\d)", re.IGNORECASE)
_KINDS: dict[Kind, str] = {
    "by hand": r"by hand|hand[- ]tight(?:en)?|finger[- ]tight|hand|start(?: all)? by hand|run (?:in|down) by hand",
    "back off": r"back(?:ed)?[- ]?off|loosen|slacken|undo|release",
    "check pass": r"check[- ]?pass|check|circular pass",
    "angle": r"angle|turn(?: by| another)?",
    "torque": r"tighten to|tighten|torque to|torque|to",
}
_WORDS = {
    kind: re.compile(rf"(?:{words})\b[\s:]*(?:to\b|by\b|pass\b)?[\s:]*", re.IGNORECASE)
    for kind, words in _KINDS.items()
}


@dataclass(frozen=True, slots=True)
class Stage:
    """One pass. `value` is decimal text with its unit: a torque, an angle, or nothing for a hand or back-off stage.

    `assumed` when the unit was not typed; `generic` when the program made the stage and no manual gave it."""

    kind: Kind
    value: str = ""
    assumed: bool = False
    generic: bool = False

    @property
    def reading(self) -> Reading | None:
        """The value understood; None when the stage has none."""
        if not self.value:
            return None
        return read(self.value, "angle" if self.kind in ("angle", "back off") else "torque")

    @property
    def words(self) -> str:
        """The stage as read aloud: "60 N.m", "by hand", "back off 90 deg", "check pass 60 N.m"."""
        return self.value if self.kind in ("torque", "angle") else f"{self.kind} {self.value}".rstrip()


def read_stages(text: str, default_unit: str | None = None) -> tuple[Stage, ...]:
    """Understand "30 N.m, 60 N.m, 90 deg" and "by hand; 30 Nm; back off; 60; +90°; check 60".

    Stages are parted by a semicolon, a comma, a plus, "then" or a new line. A bare torque takes the unit of the torque
    before it, else `default_unit`. Raises ValueError with one sentence that names the stage it is about.
    """
    if len(text) > LONGEST:
        raise ValueError(f"{len(text)} characters are too many for stages: type for example 30 N.m, 60 N.m, 90 deg")
    pieces = [piece for piece in _BETWEEN.split(text.strip()) if piece]
    if not pieces:
        raise ValueError("no stage typed: type for example 30 N.m, 60 N.m, 90 deg")
    stages: list[Stage] = []
    for piece in pieces:
        repeat = _REPEAT.match(piece)
        times = int(repeat[1]) if repeat else 1
        try:
            stage = _stage(piece[repeat.end() :] if repeat else piece, stages, default_unit)
        except ValueError as why:
            raise ValueError(f"stage {len(stages) + 1}: {why}") from None
        stages += [stage] * times
    if len(stages) > MOST:
        raise ValueError(f"{len(stages)} stages are more than {MOST}: look whether one was typed twice")
    return tuple(stages)


def _stage(piece: str, before: Sequence[Stage], default_unit: str | None) -> Stage:
    kind, rest = _kind(piece)
    if kind == "by hand":
        if rest:
            raise ValueError(f"{rest}: a stage by hand has no value: type it as a stage of its own")
        return Stage(kind)
    last = next((stage for stage in reversed(before) if stage.kind in ("torque", "check pass")), None)
    if kind in ("angle", "back off"):
        if not rest and kind == "back off":
            return Stage(kind)
        turn = read(rest, "angle", "deg")
        if turn.number <= 0:
            raise ValueError(f"{rest}: an angle is more than nothing: type for example 90 deg")
        if kind == "angle" and not any(stage.kind in ("torque", "by hand") for stage in before):
            raise ValueError(f"{rest}: an angle counts from a snug joint: type by hand or a torque before it")
        return Stage(kind, turn.shown, turn.assumed)
    if not rest and kind == "check pass":
        if last is None:
            raise ValueError("a check pass needs a torque: type for example check 60 N.m")
        return Stage(kind, last.value, True)
    unit = last.reading.unit if last and last.reading else default_unit
    torque = read(rest, "torque", unit)
    if torque.number == 0:
        raise ValueError(f"{rest}: a torque is more than nothing: type it again, or by hand")
    return Stage(kind, torque.shown, torque.assumed)


def _kind(piece: str) -> tuple[Kind, str]:
    """What a piece is, and what is left of it after the words that say so."""
    for kind, words in _WORDS.items():
        if found := words.match(piece):
            rest = piece[found.end() :]
            return ("angle" if kind == "torque" and _ANGLE.search(rest) else kind), rest
    return ("angle" if _ANGLE.search(piece) else "torque"), piece


def doubt_about_stages(stages: Sequence[Stage]) -> str | None:
    """One sentence on stages that do not follow from each other (a torque that falls, a pass that differs), or None."""
    reached: Reading | None = None
    for number, stage in enumerate(stages, 1):
        if stage.kind in ("back off", "by hand"):
            reached = None
        reading = stage.reading
        if stage.kind not in ("torque", "check pass") or reading is None:
            continue
        ratio = value(reading.quantity, "N.m") / value(reached.quantity, "N.m") if reached else 1
        if stage.kind == "torque" and ratio < 1 and reached:
            return (
                f"stage {number}, {stage.value}, is less than {reached.shown} before it, and nothing is backed off "
                f"between: is the order right?"
            )
        if stage.kind == "check pass" and abs(ratio - 1) > 0.02 and reached:
            return f"the check pass is at {stage.value} and the stage before it at {reached.shown}: is one mistyped?"
        reached = reading
    return None


SHARES = (30, 70, 100)  # per cent of the final torque
SHARES_SOURCE = "ASME PCC-1 table 2: round 1 at 20-30 %, round 2 at 50-70 %, round 3 at 100 %, then a circular pass"


def generic_stages(final: str, default_unit: str | None = None, *, count: int | None = None) -> tuple[Stage, ...]:
    """Stages from one final torque, for when the manual gives none; each is marked generic.

    By hand, 30, 70 and 100 per cent, a check pass; with one or two bolts (`count`) by hand and the final value.
    The shares are rounded down to two figures, so that they can be set. Raises ValueError as `read` does.
    """
    reading = read(final, "torque", default_unit)
    if reading.number == 0:
        raise ValueError(f"{final}: a torque is more than nothing: type it again")
    last = Stage("torque", reading.shown, reading.assumed, generic=True)
    by_hand = Stage("by hand", generic=True)
    if count is not None and count <= 2:
        return by_hand, last
    shares = (Stage("torque", f"{_share(reading.number, share)} {reading.unit}", generic=True) for share in SHARES[:-1])
    return by_hand, *shares, last, Stage("check pass", reading.shown, reading.assumed, generic=True)


def _share(number: Decimal, percent: int) -> str:
    part = number * percent / 100
    step = Decimal(1).scaleb(part.adjusted() - 1)
    return f"{part.quantize(step, ROUND_FLOOR):f}"


def generic_workings(final: str, default_unit: str | None = None) -> list[Workings[Quantity[float]]]:
    """How the torques of `generic_stages` were made, one for each share."""
    torque = read(final, "torque", default_unit).quantity
    note = "rounded down to two figures; generic: the maker's stages go first"
    return [
        Workings(
            torque * percent / 100, "final x share / 100", {"final": torque, "share": percent}, SHARES_SOURCE, note
        )
        for percent in SHARES
    ]


def with_prevailing(torque: Quantity[float], prevailing: Quantity[float]) -> Workings[Quantity[float]]:
    """The torque to set on a self-locking thread: what the joint wants plus what the thread eats.

    `prevailing` is the torque measured while the nut runs down, before it seats. Source: AC 43.13-1B, 7-40.
    """
    if value(torque, "N.m") <= 0 or value(prevailing, "N.m") < 0:
        raise ValueError("neither torque is below nothing: type both again")
    inputs = {"torque": torque, "prevailing": prevailing}
    total = (torque + prevailing).to(torque.units)
    return Workings(total, "torque + prevailing", inputs, "FAA AC 43.13-1B, 7-40", "only where the manual says so")


def lubricated(torque: Quantity[float], given_for: str, now: str) -> Workings[Quantity[float]]:
    """A torque given for one thread surface, brought to another at the same preload: T x K now / K given.

    `given_for` and `now` are rows of `fastener.NUT_FACTORS`; the middle of each range is used. Only a guide: sources
    scatter, and the maker's own value for the surface goes first. Raises ValueError for an unknown surface.
    """
    for surface in (given_for, now):
        if surface not in NUT_FACTORS:
            raise ValueError(f"{surface} is no surface in the table: type one of {'; '.join(NUT_FACTORS)}")
    given, new = (sum(NUT_FACTORS[surface]) / 2 for surface in (given_for, now))
    return Workings(
        torque * new / given,
        "torque x K now / K given",
        {"torque": torque, f"K given ({given_for})": given, f"K now ({now})": new},
        "T = K d F at the same preload (NASA RP-1228); K as on a supplier's page",
        "a guide only: the maker's value for this surface goes first",
    )
