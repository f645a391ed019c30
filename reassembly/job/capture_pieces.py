"""The short forms of the line: sizes, torques, teeth, weights, sides, each wherever it stands in a piece."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job import capture_meanings as m
from reassembly.job import entries as said
from reassembly.job.capture_words import (
    CLASSES,
    END,
    HOW,
    KIND,
    NUMBER,
    OPPOSITES,
    SEEN,
    SHORT_SIDES,
    SIDE,
    WEIGHT,
    words_of,
)
from reassembly.trade.thread import read_thread
from reassembly.trade.units import UNITS, fold

if TYPE_CHECKING:
    from collections.abc import Callable

METRIC = rf"m\d{{1,3}}(?:[.,]\d+)?(?: ?[x*] ?{NUMBER}){{0,2}}(?: ?mm)?(?:/{NUMBER})*(?: lh)?"
INCH = (
    r"(?:#\d{1,2}|\d{1,2}/\d{1,2})(?: ?in)? ?- ?\d{1,2}(?: ?(?:unc|unf|un|nc|nf))?"
    rf"(?: ?x ?(?:(?:\d{{1,2}}[ -])?\d{{1,2}}/\d{{1,2}}|{NUMBER})(?: ?in(?:ch)?)?)?(?: lh)?"
)
PLACE = rf"(?:(?:hole|bolt|stud|position) \d{{1,3}}(?: ?(?:of|/) ?\d{{1,3}})?|{NUMBER} ?(?:deg(?:rees)?|°))"
MASS = rf"{NUMBER} ?(?:kg|g|gr|grams?|oz|mg)"
_TORQUE = frozenset(spelling for unit in UNITS["torque"] for spelling in unit.spellings)
_KINDS = rf"(?:(?:banjo(?: bolt)?|hose (?:clip|clamp)|{KIND})s?)"


class Token(NamedTuple):
    """How something is written, and what it means; `firm` when it ends a name or a mark that stands before it."""

    pattern: re.Pattern[str]
    means: Callable[[re.Match[str]], m.Meaning]
    firm: bool


def _fasteners(found: re.Match[str]) -> m.Meaning:
    told = {name: text or "" for name, text in found.groupdict().items()}
    what = (told.get("what") or told.get("after") or "").lower()
    count = int(told["count"]) if told.get("count") else 1 if what and not what.endswith("s") else None
    if what.startswith("banjo"):
        what = "banjo bolt"
    text = " ".join(told.get("thread", "").replace("*", "x").split())
    if not text:
        return m.Fasteners(count, what.removesuffix("s"))
    if re.search(r",\d+$", text) and unit_end(found.string, found.end()):
        return m.Unread("is that comma in a number or after it? Type a point in decimals, a space after a comma")
    return _size(count, what.removesuffix("s"), text)


def _size(count: int | None, what: str, text: str) -> m.Meaning:
    first, *others = [text] if text[0] in "#0123456789" else text.split("/")
    if doubtful := re.search(r" [x*](\d\S*)$", first, re.IGNORECASE):
        return m.Unread(f"is {doubtful[1]} the length or the number? Type 4 x M10x35")
    try:
        thread = read_thread(first)
    except ValueError as error:
        return m.Unread(str(error))
    left = " LH" if thread.left_hand else ""
    size = re.sub(r" lh$", "", first, flags=re.IGNORECASE).replace("X", "x")
    if thread.reach is None:
        if others:
            return m.Unread("which lengths? For one at each position type M12x60/60/90/90")
        return m.Fasteners(count, what, _tidy(size) + left)
    size, _, length = size.rpartition("x")
    return m.Fasteners(count, what, _tidy(size) + left, (length.strip(), *others))


def _tidy(size: str) -> str:
    return re.sub(r" ?X ?", "x", size.strip().upper())


def _star(found: re.Match[str]) -> m.Meaning:
    """A six-lobed drive by its size in ISO 10664, however the shop calls it: T30, or E10 on the outside."""
    if not found["size"]:
        return m.Unread("which size? Type T30 or star 30, and E10 where it is outside")
    outside = (found["letter"] or "").lower() == "e" or found.groupdict().get("outside")
    return m.Drive(f"{'E' if outside else 'T'}{found['size']}")


def _several(found: re.Match[str]) -> tuple[int, ...]:
    return tuple(int(number) for number in re.findall(r"\d+", found["positions"]))


def _strength(found: re.Match[str]) -> m.Meaning:
    typed = (found["bare"] or found["number"]).replace(",", ".")
    return m.Strength(f"grade {typed}" if found["word"] and found["word"].lower()[0] in "gs" else typed)


def _weight(found: re.Match[str]) -> m.Meaning:
    what = found["what"] or ""
    plain = "" if what.lower() in {"weight", "balance weight"} else what
    return m.Said(
        said.WeightFound(
            part="",
            position=found["place"],
            mass=found["mass"] or "",
            radius=found["radius"] or "",
            what=plain,
            seen_from=(found["side"] or "").lower(),
        )
    )


def _tooth(found: re.Match[str]) -> m.Meaning:
    tooth, teeth = found.groupdict().get("tooth"), found.groupdict().get("teeth")
    return m.Tooth(int(tooth) if tooth else None, int(teeth) if teeth else None, (found["side"] or "").lower())


def _same(found: re.Match[str]) -> m.Meaning:
    return m.Same(found["what"].lower() != "torque", "torque" in found["what"].lower(), "")


def _note(found: re.Match[str]) -> m.Meaning:
    told = found["note"].strip()
    return m.Note(told) if any(sign.isalpha() for sign in told) else m.Unread("of what? A note has words")


_COUNT, _WHAT, _AFTER = r"(?P<count>\d{1,3})", rf"(?:(?P<what>{_KINDS}) )", rf"(?: (?P<after>{_KINDS}))"
_NEWS = r"(?:renew(?:ed)?|new)"
_SEEN = rf"(?:seen )?from (?:the )?(?P<side>{SEEN})"
_AT = rf"(?:at |in )?(?P<place>{PLACE})(?: (?:r|radius) ?(?P<radius>{NUMBER} ?(?:mm|cm|in)))?(?: {_SEEN})?"
_DRIVE = rf"(?:internal |external )?(?:hex|square|splined?) ?{NUMBER}|[te]\d{{1,2}}|\d{{1,2}} ?af"
_STAR = (
    r"(?P<outside>external |outside )?(?:internal )?(?:star|hexalobular|six[- ]?lobed?)"
    r"(?: (?P<letter>[te])?(?P<size>\d{1,2})|$)"
)
SAME = r"same (?P<what>(?:bolts|nuts|screws|fasteners)(?: and torque)?|torque)"
_FIRM: tuple[tuple[str, Callable[[re.Match[str]], m.Meaning]], ...] = (
    (rf"{_COUNT} ?(?:[x*]|no\.?|off)? ?{_WHAT}?(?P<thread>{METRIC}){_AFTER}?", _fasteners),
    (rf"{_COUNT} ?[x*] ?{_WHAT}?(?P<thread>{INCH}){_AFTER}?", _fasteners),
    (rf"{_COUNT} {_WHAT}(?P<thread>{INCH})", _fasteners),
    (rf"{_COUNT} ?[x*]? ?(?P<what>{_KINDS})", _fasteners),
    (rf"{_WHAT}?(?P<thread>{METRIC}|{INCH}){_AFTER}?", _fasteners),
    (rf"(?P<what>{WEIGHT}) (?:(?P<mass>{MASS}) )?{_AT}", _weight),
    (rf"(?P<mass>{MASS}) (?:(?P<what>{WEIGHT}) )?{_AT}", _weight),
    (
        rf"(?:long )?(?P<length>{NUMBER}) ?(?:mm )?at (?P<positions>\d{{1,3}}(?:(?: ?[+/&] ?| and | )\d{{1,3}})*)",
        lambda found: m.LengthAt(found["length"], _several(found)),
    ),
    (rf"tooth (?P<tooth>\d{{1,3}})(?: ?(?:of|/) ?(?P<teeth>\d{{1,3}}))?(?: teeth)?(?: {_SEEN})?", _tooth),
    (rf"(?P<teeth>\d{{1,3}}) teeth(?: tooth (?P<tooth>\d{{1,3}}))?(?: {_SEEN})?", _tooth),
    (
        rf"(?P<bare>{CLASSES})|(?P<word>property class|class|cl\.?|grade|gr\.?|sae) ?(?P<number>\d{{1,2}}(?:[.,]\d)?)",
        _strength,
    ),
    (
        _DRIVE,
        lambda found: m.Drive(found[0]),
    ),
    (_STAR, _star),
    (r"(?P<letter>[te])(?P<size>\d{1,2}) star", _star),
    (r"safety(?:[- ]critical)?|second check", lambda _: m.SafetyCritical()),
    (rf"{_NEWS} {KIND}s|{KIND}s {_NEWS}|renew(?:ed)?", lambda _: m.Renewed()),
    (rf"{SAME}(?: as (?:the )?last(?: one| part)?)?", _same),
    (r"order (?P<positions>\d{1,3}(?:[ -]\d{1,3})+)", lambda found: m.Order(_several(found))),
    (r"\((?P<note>(?:[^()]|\([^()]*\))+)\)", _note),
)  # fmt: skip
_LOOSE: tuple[tuple[str, Callable[[re.Match[str]], m.Meaning]], ...] = (
    (r"by hand|hand[- ]tight|finger[- ]tight", lambda _: m.Tighten("by hand")),
    (
        r"(?:threads? |lightly )?oiled(?: threads?)?",
        lambda _: m.Said(said.CareNoted(part="", care="grease", what="threads with oil")),
    ),
    (rf"back(?:ed)?[- ]?off(?: {NUMBER} ?(?:deg(?:rees)?|°))?", lambda found: m.Tighten(found[0])),
    (r"check(?: pass)?(?! [a-z])", lambda _: m.Tighten("check pass")),
    (
        rf"\+? ?(?P<angle>(?:{NUMBER}|\d ?/ ?\d) ?(?:deg(?:rees)?|°|turns?))",
        lambda found: m.Tighten(found["angle"]),
    ),
    (
        (
            r"(?:circle|row)(?: \d+)?|rectangle(?: \d+ ?x ?\d+)?|perimeter(?: \d+)?(?: \d+x\d+)?"
            r"|points(?: [\d.-]+,[\d.-]+)+"
        ),
        lambda found: m.Layout(found[0].lower()),
    ),
    (_SEEN, lambda found: m.SeenFrom(found["side"].lower())),
    (r"(?:from )?(?:the )?(?:spec )?book", lambda _: m.FromBook()),
    (r"x ?(?P<times>\d{1,2})", lambda found: m.Times(int(found["times"]))),
    # Not in a name: a final drive is a part, `drive hex 13` after a comma is not.
    (rf"drive:? (?P<drive>{_DRIVE})", lambda found: m.Drive(found["drive"])),
    (rf"drive:? {_STAR}", _star),
    ("|".join(sorted(HOW, key=len, reverse=True)), lambda found: m.How(HOW[found[0].lower()])),
)
TOKENS = tuple(
    Token(words_of(rf"(?:{pattern}){END}"), means, firm)
    for table, firm in ((_FIRM, True), (_LOOSE, False))
    for pattern, means in table
)
_TORQUES = words_of(
    rf"(?:(?P<check>check(?: pass)?)|torque(?: to)?|tighten(?:ed)?(?: to)?)? ?(?P<numbers>{NUMBER}(?: ?\+ ?{NUMBER})*)"
)


def token_at(piece: str, position: int, *, firm: bool = False) -> tuple[m.Meaning, int] | None:
    """The longest short form that begins here, and where it ends; `firm` for those that end a name."""
    best = _torque(piece, position) or (None if firm else _prevailing(piece, position))
    for token in TOKENS:
        found = token.pattern.match(piece, position) if token.firm or not firm else None
        if found and (best is None or found.end() > best[1]):
            best = token.means(found), found.end()
    return best


def _torque(piece: str, position: int) -> tuple[m.Meaning, int] | None:
    """One torque or several in a chain, `30+60 Nm`, all in the unit that is typed."""
    found = _TORQUES.match(piece, position)
    end = unit_end(piece, found.end()) if found else 0
    if not found or not end:
        return None
    unit = piece[found.end() : end].strip()
    check = "check pass " if found["check"] else ""
    return m.Tighten(", ".join(f"{check}{number.strip()} {unit}" for number in found["numbers"].split("+"))), end


_PREVAILING = words_of(rf"prevailing(?: torque)?(?P<value> {NUMBER})?")


def _prevailing(piece: str, position: int) -> tuple[m.Meaning, int] | None:
    """What a self-locking thread takes to turn before it seats: measured again before it is tightened."""
    found = _PREVAILING.match(piece, position)
    if found is None:
        return None
    end = unit_end(piece, found.end()) if found["value"] else found.end()
    if not end:
        return m.Unread("how much is prevailing? Type its unit as well: prevailing 8 Nm"), found.end()
    much = piece[found.start("value") : end] if found["value"] else ""
    return m.Said(said.CareNoted(part="", care="inspect", what=f"prevailing torque{much}")), end


def unit_end(piece: str, position: int) -> int:
    """Where a unit of torque that begins here ends; 0 where none does."""
    words = re.compile(r" ?([^\s+]+)(?: ([^\s+]+))?(?: ([^\s+]+))?").match(piece, position)
    for last in (3, 2, 1):
        if words and words[last] and fold(piece[position : words.end(last)]) in _TORQUE:
            return words.end(last)
    return 0


def sides_of(text: str) -> m.Sides | None:
    """A side, `front left` and `l+r` included; None for any other words."""
    plain = re.sub(r"^on the | side$", "", text.lower())
    if text.lower() == "both sides":
        return m.Sides(OPPOSITES[0])
    words = tuple(" ".join(SHORT_SIDES.get(word, word) for word in re.split(r" ?[+/&] ?| and | ", plain)).split())
    if not 1 <= len(words) <= 2 or not all(re.fullmatch(SIDE, word) for word in words):
        return None
    if len(words) == 1:
        return m.Sides(words)
    opposite = words in OPPOSITES or words[::-1] in OPPOSITES
    pair = bool(re.search(r"[+/&]| and ", plain))
    if pair != opposite:
        return None
    return m.Sides(words) if pair else m.Sides((" ".join(words),))
