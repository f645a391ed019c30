"""What a cat, a cleaning rag, a scanner, a second terminal and an enemy do at a bench."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from textual import events
from textual.geometry import Size

from labels.code import Code
from labels.code import read as read_code
from reassembly.record.cards import CARDS
from reassembly.record.printing import code_of

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator

    from reassembly.record.desk import Desk
    from tests.screens.bench import Bench

SIZES = [(50, 15), (66, 20), (80, 24), (100, 30), (200, 50), (80, 12), (120, 10), (40, 12), (20, 6), (1, 1)]
USUAL = [0, 0, 0, 0, 1, 1, 2, 2, 2, 2, 3, 4]
"""Which of the sizes a terminal begins with; a large one takes its time to paint."""
MOVES = ["up", "down", "left", "right", "pageup", "pagedown", "home", "end", "tab", "shift+tab", "backspace", "delete"]
CONTROLS = [f"ctrl+{letter}" for letter in "abcdefghjklmnoprstuvwxyz"]  # but ctrl+q, which ends the program
OTHERS = [*(f"f{n}" for n in range(1, 13)), *CONTROLS, "insert", "shift+left", "ctrl+left", "ctrl+right", "shift+f3"]
PRINTED = "abcdefghijklmnopqrstuvwxyzABCXYZ0123456789 ,.;:-/?*+=%[](){}<>\"'äß€·"
HOSTILE = [
    "[b]x[/b] [/x] [@click=app.quit]go[/]",
    "\x1b[2J\x1b]0;title\x07\x9b31m",
    "\u202etxet\u2066 \u200b\u200f\ufeff",
    "\U0001f527\U0001f1e9\U0001f1ea e\u0301\u0301\u0301",
    "x" * 3000,
    "one\ntwo\nthree\n",
    "\x00\x01\x7f",
    "4 x M10x1.25x40 10.9, 60 Nm",
    "2026-13-45",
    "1e400 Nm",
    "-0",
]
FOREIGN = ["4006381333931", "https://example.invalid/x", "BBBBB", "bbbbb bbbbb", "KDTRBNVXCX", "55.2 Nm", "A", "-12,5"]
KINDS = {
    "key": 44, "offered": 8, "letter": 20, "enter": 8, "escape": 1, "scan": 9, "paste": 4, "touch": 6, "wheel": 1,
    "resize": 2, "hold": 1, "other": 1,
}  # fmt: skip


def codes(desk: Desk) -> list[str]:
    """Every label in the workshop: bags, badges, wrenches, shelves, cards."""
    found = {code_of(card) for card in CARDS.values()}
    for _, _, body in desk.journal.bodies():
        words = json.dumps(json.loads(body)["fact"], ensure_ascii=False).split('"')
        found.update(word for word in words if isinstance(read_code(word), Code))
    return sorted(found)


def inputs(chance: random.Random, labels: list[str]) -> Iterator[tuple[str, str]]:
    """Without end: (kind, what). What the screen offers, and what the other terminal says, is settled when it is
    sent."""
    while True:
        match chance.choices([*KINDS], [*KINDS.values()])[0]:
            case "key":
                yield "key", chance.choice([*MOVES, *MOVES, *MOVES, *OTHERS, "space", "space", "space"])
            case "letter":
                yield "letter", chance.choice(PRINTED)
            case "scan":
                yield "scan", chance.choice(labels if chance.random() < 0.7 else FOREIGN)
            case "paste":
                yield "paste", chance.choice([*HOSTILE, *labels, f"{chance.choice(labels)}\n"])
            case "resize":
                yield "resize", str(chance.randrange(len(SIZES)))
            case "touch" | "wheel" as kind:
                yield kind, f"{chance.randrange(100)},{chance.randrange(30)}"
            case "hold":
                yield "hold", chance.choice(["space", "enter", "a", "y", "x", "f9", "backspace"])
            case "offered" | "other" as kind:
                yield kind, ""
            case key:
                yield "key", key


def send(bench: Bench, kind: str, what: str) -> None:
    """To the program, not waited for."""
    match kind:
        case "key":
            bench.key(what)
        case "letter":
            bench.burst(what)
        case "scan":
            bench.burst(what)
            bench.key("enter", 0)
        case "paste":
            bench.app.post_message(events.Paste(what))
        case "hold":
            for _ in range(12):
                bench.key(what, 0.033)
        case "resize":
            size = Size(*SIZES[int(what)])
            bench.app.post_message(events.Resize(size, size))
        case "touch":
            _mouse(bench, what, events.MouseDown, events.MouseUp)
        case "wheel":
            _mouse(bench, what, events.MouseMove, events.MouseScrollDown, events.MouseScrollUp)


def _mouse(bench: Bench, where: str, *several: type[events.MouseEvent]) -> None:
    x, y = (int(each) for each in where.split(","))
    for sent in several:
        bench.app.post_message(sent(None, x, y, 0, 0, 1, False, False, False, x, y))
