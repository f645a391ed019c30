"""How the screens look by night, in daylight, and where every shade has to tell: colours by theme variables only."""

from __future__ import annotations

from textual.theme import Theme

NIGHT, DAYLIGHT, CONTRAST = "night", "daylight", "high contrast"
LOOKS = (
    Theme(
        name=NIGHT,
        dark=True,
        primary="#3b82b8",
        secondary="#5f7f95",
        accent="#f0b35a",
        warning="#e3a008",
        error="#b03024",
        success="#2a7543",
        foreground="#e4e7ea",
        background="#14181c",
        surface="#1b2126",
        panel="#28313a",
        variables={"text-muted": "#b4bcc4", "text-disabled": "#a2abb3"},
    ),
    Theme(
        name=DAYLIGHT,
        dark=False,
        primary="#1d5d8f",
        secondary="#4a6172",
        accent="#7a3e00",
        warning="#f2b63c",
        error="#a81e12",
        success="#186a33",
        foreground="#101418",
        background="#fafaf5",
        surface="#f0efe8",
        panel="#dcdbd2",
        variables={"text-muted": "#3c454d", "text-disabled": "#4c555d"},
    ),
    Theme(
        name=CONTRAST,
        dark=True,
        primary="#0050c8",
        secondary="#0050c8",
        accent="#ffff00",
        warning="#ffff00",
        error="#ff8080",
        success="#80ff80",
        foreground="#ffffff",
        background="#000000",
        surface="#000000",
        panel="#000000",
        boost="#303030",
        variables={"text-muted": "#ffffff", "text-disabled": "#d8d8d8", "primary-background": "#000000"},
    ),
)
