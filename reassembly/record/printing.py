"""Where the words on a bag meet a label: new codes, pictures and sheets."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labels.code import Kind, grouped, make
from labels.label import Label

if TYPE_CHECKING:
    from reassembly.job.tag import Tag
    from reassembly.record.desk import Desk


def new_code(desk: Desk, kind: Kind = Kind.BAG) -> str:
    """Ten letters that no label ever had."""
    return make(kind, desk.bench, desk.new_serial(kind))


def label_of(tag: Tag) -> Label:
    """The label for a bag's words."""
    return Label(code=tag.code, heading=tag.heading, name=tag.name, lines=tag.lines, footer=tag.footer)
