"""A scanner's keys told from fingers: keys with their times stated, in seconds."""

from __future__ import annotations

from itertools import groupby
from random import Random
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.events import Key
from textual.keys import _character_to_key

from labels.code import ALPHABET, Kind, make
from reassembly.job.entries import PersonAdded
from reassembly.screens.app import ReassemblyApp
from reassembly.screens.held import AGAIN
from reassembly.screens.wedge import ENTER_PATIENCE, PACE, PREFIX_PATIENCE, Unsaid, Wedge
from tests.screens.at_once import SLIP, story
from tests.screens.bench import new_desk
from tests.screens.terminal import ENTER

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from reassembly.record.desk import Desk
    from reassembly.screens.wedge import Caught

CODE = make(Kind.BAG, "KD", 4711)
OTHER = make(Kind.BAG, "KD", 815)
TIMED = tuple[str, float]  # a character or a key's name, and the pause before it


def key(name: str, at: float) -> Key:
    character = name if len(name) == 1 else {"enter": "\r", "tab": "\t", "space": " "}.get(name)
    found = Key(_character_to_key(name) if len(name) == 1 else name, character)
    found.time = at
    return found


def feed(wedge: Wedge, keys: Iterable[TIMED], typing: bool, at: float = 100.0, *, starved: bool = False) -> list[str]:
    """What comes out of the wedge: scans as text in brackets, replayed keys by what they type or are called. On a
    starved processor no timer fires before the last key came."""
    out: list[str] = []

    def take(caught: Iterable[Caught]) -> None:
        for each in caught:
            if isinstance(each, str):
                out.append(f"[{each}]")
            elif isinstance(each, Unsaid):
                out.append(f"<{each.text}>")
            else:
                out.append(each.character if each.is_printable and each.character else each.key)

    for name, pause in keys:
        at += pause
        while not starved and wedge.due is not None and wedge.due < at:  # the timer fires before the key comes
            take(wedge.overdue(wedge.due + 0.001, typing))
        take(wedge.key(key(name, at), typing))
    while wedge.due is not None:
        take(wedge.overdue(wedge.due + 0.001, typing))
    return out


def evenly(text: str, gap: float, end: Sequence[str] = ("enter",)) -> list[TIMED]:
    return [(c, gap) for c in text] + [(name, gap) for name in end]


GAPS = (0.0, 0.005, 0.012, 0.03)


@pytest.mark.parametrize("gap", GAPS)
@pytest.mark.parametrize("typing", [True, False])
@pytest.mark.parametrize("code", [CODE, CODE.lower()])
def test_a_scan_is_one_text_and_its_enter_is_gone(code: str, typing: bool, gap: float) -> None:
    assert feed(Wedge(), evenly(code, gap), typing) == [f"[{code}]"]


@pytest.mark.parametrize(("typing", "comes"), [(True, [" ", f"[{CODE}]"]), (False, [f"[{CODE[:5]} {CODE[5:]}]"])])
def test_the_blank_of_a_code_sent_in_its_two_groups_confirms_nothing(typing: bool, comes: list[str]) -> None:
    assert feed(Wedge(), evenly(f"{CODE[:5]} {CODE[5:]}", 0.005), typing) == comes


@pytest.mark.parametrize("end", ["ctrl+j", "tab"])
def test_a_scanner_may_end_with_line_feed_or_tab(end: str) -> None:
    assert feed(Wedge(), evenly(CODE, 0.005, (end,)), typing=True) == [f"[{CODE}]"]


@pytest.mark.parametrize("typing", [True, False])
@pytest.mark.parametrize(
    "foreign", ["4006381333931", "96385074", "036000291452", "https://example.org/a?b=c", CODE[:5], CODE[:7]]
)
def test_a_foreign_code_is_answered_and_never_typed_or_carried_out(foreign: str, typing: bool) -> None:
    assert feed(Wedge(), evenly(foreign, 0.005), typing) == [f"[{foreign}]"]


@pytest.mark.parametrize("cut", [3, 4, 6, 9])
def test_where_letters_are_commands_no_piece_of_a_scan_is_carried_out(cut: int) -> None:
    assert feed(Wedge(), evenly(CODE[:cut], 0.005), typing=False) == [f"[{CODE[:cut]}]"]


@pytest.mark.parametrize("typing", [True, False])
def test_two_labels_in_one_breath_of_a_scanner_without_an_end_are_two_scans(typing: bool) -> None:
    assert feed(Wedge(), evenly(CODE + OTHER, 0.005, ()), typing) == [f"[{CODE}]", f"[{OTHER}]"]
    assert feed(Wedge(), evenly(CODE * 2, 0.005), typing) == [f"[{CODE}]"] * 2


def test_a_scan_without_an_end_is_a_scan_and_a_late_enter_presses_nothing() -> None:
    wedge = Wedge()
    assert feed(wedge, evenly(CODE, 0.005, ()), typing=False) == [f"[{CODE}]"]
    assert feed(wedge, [("enter", 0.0)], typing=False, at=100.3) == []
    assert feed(wedge, [("enter", 0.0)], typing=False, at=100.6) == ["enter"]


def test_an_enter_long_after_a_scan_is_the_persons_own() -> None:
    wedge = Wedge()
    feed(wedge, evenly(CODE, 0.005, ()), typing=False)
    assert feed(wedge, [("enter", 0.0)], typing=False, at=101 + ENTER_PATIENCE) == ["enter"]


def test_enter_after_a_key_is_not_the_late_one_of_a_scan() -> None:
    wedge = Wedge()
    feed(wedge, evenly(CODE, 0.005, ()), typing=False)
    assert feed(wedge, [("n", 0.3), ("enter", 0.2)], typing=False) == ["n", "enter"]


@pytest.mark.parametrize("pauses", [(0.1, 0.06), (0.1, 0.01), (0.02, 0.03)])
def test_a_late_enter_with_a_letter_before_it_is_the_scanner_s(pauses: tuple[float, float]) -> None:
    wedge = Wedge()
    feed(wedge, evenly(CODE, 0.005, ()), typing=True)
    letter, enter = pauses
    assert feed(wedge, [("n", letter - 0.05), ("enter", enter)], typing=True, at=100.095) == ["n"]


@pytest.mark.parametrize("stall", [0.05, 0.15])
@pytest.mark.parametrize("cut", range(2, 10))
def test_a_scanner_kept_waiting_after_two_letters_types_one_scan(cut: int, stall: float) -> None:
    pauses = [0.005] * cut + [stall] + [0.005] * (10 - cut)
    keys = list(zip([*CODE, "enter"], pauses, strict=True))
    assert feed(Wedge(), keys, typing=True) == feed(Wedge(), keys, typing=False) == [f"[{CODE}]"]


@pytest.mark.parametrize("stall", [0.05, 0.15])
@pytest.mark.parametrize("cut", range(2, 10))
def test_a_letter_of_a_hand_does_not_hurry_a_scanner_that_is_kept_waiting(cut: int, stall: float) -> None:
    rest = [(CODE[cut], stall), *evenly(CODE[cut + 1 :], 0.005)]
    keys = [*evenly(CODE[:cut], 0.005, ()), ("p", 0.002), *rest]
    assert feed(Wedge(), keys, typing=True) == ["p", f"[{CODE}]"]


@pytest.mark.parametrize("key", ["enter", "backspace", "left", "escape", "tab"])
@pytest.mark.parametrize("at", range(1, 10))
def test_no_key_of_a_hand_cuts_a_scan_in_two(key: str, at: int) -> None:
    keys = [*evenly(CODE[:at], 0.005, ()), (key, 0.002), *evenly(CODE[at:], 0.003)]
    assert feed(Wedge(), keys, typing=True) == [key, f"[{CODE}]"]


def test_half_a_code_right_before_a_whole_one_is_answered_and_not_typed() -> None:
    keys = [*evenly(CODE[:5], 0.0), *evenly(OTHER, 0.0)]
    assert feed(Wedge(), keys, typing=True, starved=True) == [f"[{CODE[:5]}]", f"[{OTHER}]"]


TYPED = (
    "gearbox pan",
    "4TN 881",
    "Kestrel van",
    "13 x M6x1x20",
    "0555 01426",
    "30 N.m, 60 N.m, 90 deg",
    "P0735",
    "ann",
)


@pytest.mark.parametrize("text", TYPED)
@pytest.mark.parametrize("gap", [*GAPS, 0.06, 0.15])
def test_text_in_a_field_arrives_whole_and_its_enter_works(text: str, gap: float) -> None:
    assert feed(Wedge(), evenly(text, gap), typing=True) == [*text, "enter"]


@pytest.mark.parametrize("gap", [0.06, 0.1, 0.15])
@pytest.mark.parametrize("typing", [True, False])
def test_even_the_letters_of_a_code_may_be_typed_by_fingers(gap: float, typing: bool) -> None:
    code = CODE if typing or gap > AGAIN else "BCDFGHJKLN"
    assert feed(Wedge(), evenly(code, gap), typing) == [*code, "enter"]


def test_a_key_held_down_is_no_scan() -> None:
    held = [("n", 0.033)] * 20
    assert feed(Wedge(), held, typing=True) == ["n"] * 20
    assert feed(Wedge(), [*held, ("enter", 0.03)], typing=True) == [*["n"] * 20, "enter"]
    assert feed(Wedge(), [*held, ("enter", 0.03)], typing=False) == ["n", "enter"]


PIECES = ("BBSBBB", "BSBSB", "BBBBBBBBBS", "SKDBBB", "bbsbbb")


@pytest.mark.parametrize("typing", [True, False])
@pytest.mark.parametrize("piece", PIECES)
def test_part_of_a_label_is_a_scan_even_of_two_letters(piece: str, typing: bool) -> None:
    assert feed(Wedge(), evenly(piece, 0.005), typing) == [f"[{piece}]"]


WORDS = (
    "pan",
    "nnn",
    "xx",
    "tt",
    "ss",
    "boss",
    "off",
    "aaaaaa",
    "M8",
    "12 x M8",
    "222222",
    "BB SS BB",
    "SSSSSS",
    "ttst",
)
"""What people type in a burst, by a macro or a paste: words have vowels, and none of five letters has only two."""


@pytest.mark.parametrize("text", WORDS)
def test_a_word_in_a_burst_is_no_scan(text: str) -> None:
    assert feed(Wedge(), evenly(text, 0.005), typing=True) == [*text, "enter"]


@pytest.mark.parametrize("end", [("enter",), ("ctrl+j",), ("enter", "ctrl+j")])
@pytest.mark.parametrize("text", ["AB12345MQ", "ZMTRXAQW", "BXHBBBBFCM", "WDB1234567"])
@pytest.mark.parametrize("gap", GAPS)
def test_the_letters_of_a_foreign_code_stay_in_the_field_and_its_enter_says_nothing(
    text: str, gap: float, end: tuple[str, ...]
) -> None:
    wedge = Wedge()
    assert feed(wedge, evenly(text, gap, end), typing=True) == [*text, f"<{text}>"]
    assert feed(wedge, [("enter", 0.0)], typing=True, at=200.0) == ["enter"], "a person's own says it"
    assert feed(Wedge(), evenly(text, gap, ("tab",)), typing=True) == [*text, "tab"]
    assert feed(Wedge(), evenly(text, gap), typing=False) == [f"[{text}]"]
    assert feed(Wedge(), evenly(text, 0.06), typing=True) == [*text, "enter"]


def test_rollover_is_typing() -> None:
    text = "crossmember"
    pauses = [0.09, 0.012, 0.1, 0.02, 0.08, 0.012, 0.012, 0.11, 0.03, 0.012, 0.1]
    assert feed(Wedge(), [*zip(text, pauses, strict=True), ("enter", 0.12)], typing=True) == [*text, "enter"]


def test_space_is_held_back_only_where_it_is_a_command() -> None:
    """A tool that sends a blank before its number must confirm nothing."""
    wedge = Wedge()
    assert [k for k in wedge.key(key("space", 100.0), typing=True) if isinstance(k, Key)]
    wedge = Wedge()
    times = iter(100.0 + n * 0.005 for n in range(9))
    sent = [each for letter in ("space", *"45.2") for each in wedge.key(key(letter, next(times)), typing=False)]
    assert sent == []
    assert list(wedge.key(key("enter", next(times)), typing=False)) == ["45.2"]
    assert wedge.due is None


def test_a_prefix_makes_whatever_follows_a_scan_at_any_pace() -> None:
    keys = [("ctrl+b", 0.0), *evenly("Kestrel 7", 0.08)]
    assert feed(Wedge(), keys, typing=True) == ["[Kestrel 7]"]


def test_a_prefix_pressed_by_mistake_holds_nothing_back_for_long() -> None:
    wedge = Wedge()
    assert feed(wedge, [("ctrl+b", 0.0)], typing=True) == []
    assert feed(wedge, [("n", 0.0), ("enter", 0.2)], typing=True, at=100 + 2 * PREFIX_PATIENCE) == ["n", "enter"]
    assert feed(Wedge(), [("ctrl+b", 0.0), ("n", 0.2)], typing=False) == ["n"]


@pytest.mark.parametrize("typing", [True, False])
def test_a_pasted_code_is_a_scan_and_the_enter_after_it_presses_nothing(typing: bool) -> None:
    wedge = Wedge()
    assert wedge.paste(f"  {CODE} ", typing, 100.0) == CODE
    assert feed(wedge, [("enter", 0.0)], typing, at=100.5) == []
    assert feed(wedge, [("enter", 0.0)], typing, at=100.6) == ["enter"]


def test_a_pasted_code_with_its_own_line_end_leaves_the_next_enter_alone() -> None:
    wedge = Wedge()
    assert wedge.paste(f"{CODE}\n", True, 100.0) == CODE
    assert feed(wedge, [("enter", 0.0)], typing=True, at=100.5) == ["enter"]


@pytest.mark.parametrize("text", [*TYPED, "two\nlines", ""])
def test_other_text_is_pasted_into_a_field(text: str) -> None:
    assert Wedge().paste(text, True, 100.0) is None


@given(
    st.lists(st.tuples(st.sampled_from([*"aeb7 BKn", "enter", "escape", "ctrl+b", "tab"]), st.floats(0, 0.2))),
    st.booleans(),
    st.booleans(),
)
def test_no_letter_is_lost_altered_or_reordered(keys: list[TIMED], typing: bool, starved: bool) -> None:
    """Where letters are commands one that comes again at once is a key held down."""
    out = feed(Wedge(), keys, typing, starved=starved)
    letters = [one for each in out for one in (each[1:-1] if each.startswith("[") else [each])]
    came, went = ([c for c in several if len(c) == 1 and c != " "] for several in ([c for c, _ in keys], letters))
    assert went == came if typing else [c for c, _ in groupby(went)] == [c for c, _ in groupby(came)]


@given(st.lists(st.floats(PACE + 0.001, 1), min_size=10, max_size=10), st.text(ALPHABET, min_size=10, max_size=10))
def test_slower_than_a_scanner_is_never_a_scan(pauses: list[float], text: str) -> None:
    keys = list(zip(text, pauses, strict=True))
    assert feed(Wedge(), keys, typing=True) == list(text)
    assert not any(each.startswith("[") for each in feed(Wedge(), keys, typing=False))


@pytest.mark.parametrize("typing", [True, False])
@pytest.mark.parametrize("read", [(1, 9), (4, 6), (9, 1), (3, 4, 3), (2, 2, 2, 2, 2), (10,)])
@pytest.mark.parametrize("gap", GAPS[:-1])
def test_a_scan_that_a_starved_processor_reads_in_pieces_is_one_scan(
    read: tuple[int, ...], typing: bool, gap: float
) -> None:
    """Each piece is read at once or at the scanner's pace, long after the one before; the Enter comes with the last."""
    pauses = [pause for many in read for pause in (0.2, *[gap] * (many - 1))]
    keys = [*zip(CODE, pauses, strict=True), ("enter", gap)]
    assert feed(Wedge(), keys, typing, starved=True) == [f"[{CODE}]"]


@pytest.mark.parametrize("text", TYPED)
@pytest.mark.parametrize("gap", [0.06, 0.15])
def test_text_typed_on_a_starved_processor_arrives_whole(text: str, gap: float) -> None:
    assert feed(Wedge(), evenly(text, gap), typing=True, starved=True) == [*text, "enter"]


def test_a_scan_without_an_end_and_a_key_long_after_it_are_two_things_on_a_starved_processor_too() -> None:
    keys = [*evenly(CODE, 0.005, ()), ("n", 0.2), ("o", 0.2)]
    assert feed(Wedge(), keys, typing=False, starved=True) == [f"[{CODE}]", "n", "o"]
    assert feed(Wedge(), [*evenly(CODE, 0.005, ()), ("n", 0.2)], typing=True, starved=True) == [f"[{CODE}]", "n"]


@pytest.mark.parametrize("typing", [True, False])
@pytest.mark.parametrize("at", range(11))
@pytest.mark.parametrize("typed", ["a", "n", "7", "t", "ao", "pa", "gearbox pan"])
def test_letters_typed_while_the_scanner_types_are_kept_apart(typed: str, at: int, typing: bool) -> None:
    text = CODE[:at] + typed[:1] + CODE[at:] + typed[1:]
    assert feed(Wedge(), evenly(text, 0.005), typing) == [*typed, f"[{CODE}]"]


def test_letters_typed_while_half_a_code_comes_are_not_lost_with_it() -> None:
    assert feed(Wedge(), evenly(f"{CODE[:4]}r{CODE[4:7]}t", 0.005), typing=True) == [
        "r", "t", f"[{CODE[:4]}r{CODE[4:7]}t]",
    ]  # fmt: skip
    assert feed(Wedge(), evenly(CODE[:7].lower(), 0.005), typing=True) == [f"[{CODE[:7].lower()}]"]


@pytest.mark.parametrize("at", range(1, 10))
def test_a_space_typed_while_the_scanner_types_is_kept(at: int) -> None:
    assert feed(Wedge(), evenly(f"{CODE[:at]} {CODE[at:]}", 0.005), typing=True) == [" ", f"[{CODE}]"]


def test_a_label_printed_under_an_earlier_name_of_the_bench_is_told_from_a_hand_as_well(tmp_path: Path) -> None:
    def renamed(desk: Desk) -> Desk:
        with desk.journal.writing() as writing:
            writing.take_new_bench()
        return desk

    with renamed(new_desk(tmp_path)) as desk:  # the first name that a test's bench takes is that of the cards
        desk.say(PersonAdded(person="cara"))
        earlier = make(Kind.BAG, desk.bench, 4711)
        renamed(desk)
        keys = evenly(f"{earlier[:3]}p{earlier[3:5]}a{earlier[5:7]}n{earlier[7:]}", 0.005)
        assert feed(ReassemblyApp(desk).wedge, keys, typing=True) == [*"pan", f"[{earlier}]"]


@pytest.mark.parametrize("starved", [True, False])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_hand_that_never_pauses_and_a_scanner_are_told_apart_key_by_key(seed: int, starved: bool) -> None:
    told = story(200, "KD", Random(seed))
    called = {ENTER: "enter", SLIP: "backspace"}
    times = [0.0, *(sent.at for sent in told.keys)]
    keys = [(called.get(sent.key, sent.key), sent.at - before) for sent, before in zip(told.keys, times, strict=False)]
    codes, names, line = [], [], ""
    for came in feed(Wedge({"KD"}), keys, typing=True, starved=starved):
        match came:
            case "enter":
                names.append(line)
                line = ""
            case "backspace":
                line = line[:-1]
            case letter if len(letter) == 1:
                line += letter
            case scan:
                codes.append(scan[1:-1])
    assert codes == told.codes
    assert names[: len(told.names) - 1] == told.names[:-1]
