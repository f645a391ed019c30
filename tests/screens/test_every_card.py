"""Every key of the screens for dirty hands has a card, or a reason why it has none."""

from __future__ import annotations

import pytest
from textual.binding import Binding

from reassembly.record.cards import CARDS
from reassembly.screens.frame import Frame
from reassembly.screens.refit import RefitScreen
from reassembly.screens.stripdown import StripdownScreen
from reassembly.screens.tighten import TightenScreen

A_LABEL_DOES_IT = "a scan says it"
ITS_OWN_CARD = "a card of that name works on every screen"
WORDS = "is followed by typing: a line or a form is filled in"
READ = "is for reading, by whoever stands before the keyboard"

EXCEPTIONS: dict[type[Frame], dict[str, str]] = {
    Frame: {
        "photo": ITS_OWN_CARD, "photos": ITS_OWN_CARD, "who": A_LABEL_DOES_IT, "type_code": A_LABEL_DOES_IT,
    },
    StripdownScreen: {
        "say_line": WORDS, "form": WORDS, "part": WORDS, "strike": WORDS, "whole_job": WORDS, "repeat": WORDS,
        "shorthand": READ, "into_list": A_LABEL_DOES_IT, "leave": ITS_OWN_CARD, "workings": READ,
    },
    RefitScreen: {},
    TightenScreen: {"dismiss(None)": ITS_OWN_CARD},
}  # fmt: skip


def actions(screen: type[Frame]) -> set[str]:
    """What the keys of a screen do, its own and those it has from the screens it is made of."""
    found: set[str] = set()
    for base in screen.__mro__:
        if issubclass(base, Frame):
            for binding in base.__dict__.get("BINDINGS", ()):
                found.add(binding.action if isinstance(binding, Binding) else binding[1])
    return found


@pytest.mark.parametrize("screen", [RefitScreen, TightenScreen, StripdownScreen])
def test_every_key_has_a_card_or_a_reason_for_none(screen: type[Frame]) -> None:
    exceptions = EXCEPTIONS[Frame] | EXCEPTIONS[screen]
    without = actions(screen) - set(screen.CARDS.values())
    assert without - set(exceptions) == set()
    assert set(EXCEPTIONS[screen]) <= without, "an exception that is none any more"


@pytest.mark.parametrize("screen", [RefitScreen, TightenScreen, StripdownScreen])
def test_what_a_card_stands_for_is_an_action_and_the_card_is_printed(screen: type[Frame]) -> None:
    printed = {card.name for card in CARDS.values()}
    assert set(screen.CARDS) <= printed
    assert all(hasattr(screen, f"action_{action.partition('(')[0]}") for action in screen.CARDS.values())
