"""The words on a label, before anybody has thought of dots."""

import unicodedata
from dataclasses import dataclass

from labels.code import Code, read

UNPRINTABLE = "\N{REPLACEMENT CHARACTER}"


@dataclass(frozen=True, slots=True)
class Label:
    """What a label says, of a bag, a tag, a person, a wrench, a shelf or anything else.

    Only `code` and `name` are always there; `name` is what a person looks for and is printed biggest. `heading` says
    where it belongs (job and registration, shop), `lines` the rest, most important first: what finds no room is left
    out from the end, and the label says so. `footer` is a few letters beside the code (copy 2, a shelf).
    Raises ValueError when `code` is no code of ours: nobody could scan that label.
    """

    code: str
    name: str
    heading: str = ""
    lines: tuple[str, ...] = ()
    footer: str = ""

    def __post_init__(self) -> None:
        answer = read(self.code)
        if not isinstance(answer, Code) or answer.text != self.code:
            raise ValueError(f"a label needs a code of ten letters in capitals, not {self.code!r}")


def plain(text: str) -> str:
    """Text as one line that means what it shows: whatever is invisible or turns the writing round is replaced, seen.

    Control, format and bidirectional characters become U+FFFD; line breaks and tabs become spaces.
    """
    one_line = unicodedata.normalize("NFC", " ".join(text.split()))
    return "".join(letter if letter.isprintable() else UNPRINTABLE for letter in one_line)
