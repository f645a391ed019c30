"""What one piece of a typed line can mean, before it is known which part and which fasteners it is about."""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

from reassembly.job.entries import (
    AidFitted,
    CareNoted,
    MarkMade,
    OrientationNoted,
    PartStuck,
    RenewalNeeded,
    WeightFound,
)

Ready: TypeAlias = (
    MarkMade | OrientationNoted | WeightFound | AidFitted | RenewalNeeded | PartStuck | CareNoted
)  # all but for the part


Care: TypeAlias = Literal["clean", "inspect", "grease", "seal", "fit", "connect", "look"]
HowOff: TypeAlias = Literal["off", "loosened", "disconnected", "aside"]


class How(NamedTuple):
    how: HowOff


class Sides(NamedTuple):
    """One side, or two for a pair."""

    sides: tuple[str, ...]


class Times(NamedTuple):
    """The part several times, or the number of a fastener set that was typed without."""

    number: int


class Of(NamedTuple):
    parent: str


class Note(NamedTuple):
    note: str


class Fasteners(NamedTuple):
    number: int | None
    what: str = ""
    thread: str = ""
    lengths: tuple[str, ...] = ()


class LengthAt(NamedTuple):
    length: str
    positions: tuple[int, ...]


class Strength(NamedTuple):
    strength: str


class Drive(NamedTuple):
    drive: str


class Renewed(NamedTuple):
    """The fasteners are not to be used again."""


class SafetyCritical(NamedTuple):
    """A second person confirms the fasteners."""


class Tighten(NamedTuple):
    """One stage or several, as trade.stages reads them."""

    stages: str


class Layout(NamedTuple):
    layout: str


class SeenFrom(NamedTuple):
    side: str


class Order(NamedTuple):
    positions: tuple[int, ...]


class Source(NamedTuple):
    source: str


class Page(NamedTuple):
    page: str


class Retorque(NamedTuple):
    retorque: str


class FromBook(NamedTuple):
    """The stages and their source as they stand in the spec book."""


class Same(NamedTuple):
    """Fasteners, torque or both as on another part; `of` is empty for the last one that has them."""

    bolts: bool
    torque: bool
    of: str


class Tooth(NamedTuple):
    tooth: int | None
    teeth: int | None
    seen_from: str = ""


class Said(NamedTuple):
    """A fact that lacks nothing but the part."""

    fact: Ready


class Unread(NamedTuple):
    """What nobody guessed; `why` asks what is missing, where that can be told."""

    why: str = ""


Meaning: TypeAlias = (
    How
    | Sides
    | Times
    | Of
    | Note
    | Fasteners
    | LengthAt
    | Strength
    | Drive
    | Renewed
    | SafetyCritical
    | Tighten
    | Layout
    | SeenFrom
    | Order
    | Source
    | Page
    | Retorque
    | FromBook
    | Same
    | Tooth
    | Said
    | Unread
)


class Item(NamedTuple):
    """A piece as typed, and its meaning."""

    text: str
    means: Meaning
