"""What is said in plain words: marks, facings, aids, renewals, care, notes, and what is asked when nothing fits."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from reassembly.job import capture_meanings as m
from reassembly.job import entries as said
from reassembly.job.capture_meanings import Item
from reassembly.job.capture_pieces import MASS, SAME, token_at
from reassembly.job.capture_words import (
    AID,
    CARE,
    FACING,
    FEATURE,
    MARK,
    NEW,
    NUMBER,
    SEEN,
    WEIGHT,
    WHERE,
    words_of,
)
from reassembly.trade.units import SLIPS, fold

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

_CLOCK = r"\d{1,2}(?::[0-5]\d)?"
_AT_CLOCK = (
    rf"(?:at )?(?P<clock>{_CLOCK})(?P<oclock> ?o ?'? ?clock)?"
    rf"(?: (?:seen )?(?:(?P<from>from )(?:the )?(?P<own>[a-z]+(?: end)?)|(?P<side>{SEEN})))?"
)
_MARKED = words_of(rf"\b{MARK}\b")
_COUNTED = words_of(r"[1-9] (?:[a-z]+ )?(?:dots?|marks?|lines?|stripes?)\b")
_TO = words_of(r"^(?P<mark>.*?) ?\b(?:to|in line with|against)\b (?:the )?(?P<to>.+)$")
_AT_A_CLOCK = words_of(rf"(?P<feature>[a-z][a-z' -]*?) {_AT_CLOCK}$")
_FACES = words_of(rf"(?P<feature>[a-z][a-z -]*?) (?:faces?|facing|points?|pointing) (?P<faces>.+?)(?: {_AT_CLOCK})?$")
_KNOWN_FACES = words_of(
    rf"(?P<feature>(?:[a-z-]+ ){{0,3}}?{FEATURE}) (?:(?:to|towards?) )?(?:the )?"
    rf"(?P<faces>{FACING}(?: (?:and )?{FACING})?)$"
)


def to_the_end(piece: str, position: int) -> tuple[list[Item], int]:
    """What begins with a word that says what it is, and runs to the end of the piece."""
    for pattern, means in _TO_THE_END:
        found = pattern.fullmatch(piece, position)
        several = list(means(found)) if found else []
        if found and several:
            texts = [found[0]] * len(several)
            return [Item(text, each) for text, each in zip(texts, several, strict=True)], len(piece)
    return [], position


def _note(found: re.Match[str]) -> Iterator[m.Meaning]:
    yield m.Note(_bare(found[1]))


def _bare(text: str) -> str:
    """Without the brackets that keep commas together."""
    whole = re.fullmatch(r"\(([^()]*)\)", text.strip())
    return whole[1].strip() if whole else text.strip()


def _aid(found: re.Match[str]) -> Iterator[m.Meaning]:
    told = _bare(found[1])
    where = words_of(rf"(?P<aid>.+?) (?P<where>{WHERE} .+)").fullmatch(told)
    yield m.Said(said.AidFitted(aid=where["aid"] if where else told, where=where["where"] if where else ""))


def _named_aid(found: re.Match[str]) -> Iterator[m.Meaning]:
    """`wire aid`, `plug fitted in the tail housing`, as it is said at the bench."""
    yield m.Said(said.AidFitted(aid=found[1], where=found["where"] or ""))


def _tied(found: re.Match[str]) -> Iterator[m.Meaning]:
    yield m.Said(said.AidFitted(aid=found["tie"] or "tie", where=found["where"] or ""))


def _stuck(found: re.Match[str]) -> Iterator[m.Meaning]:
    freed, grease = _bare(found["freed"] or ""), _bare(found["grease"] or found["product"] or "")
    if not freed:
        yield m.Unread("what freed it? Type stuck heat")
    elif found["product"] and not _FREES.search(freed):
        yield m.Unread("freed by what, and greased with what? Type stuck heat greased copper paste")
    else:
        yield m.Said(said.PartStuck(part="", freed=freed, grease=grease))


# What frees a part, and what it is greased with, so that one is told from the other without a word between them.
_FREES = words_of(
    r"\b(?:heat(?:ed)?|torch|oil|spray|fluid|puller|press|hammer|bar|lever|wedge|chisel|impact|extractor|cold|freez\w+"
    r"|tapp\w+|knock\w+|wire brush|acid|rust remover)$"
)
_PRODUCT = (
    r"(?:(?:copper|graphite|lithium|assembly|ceramic|moly\w*|silicone|white|high|temperature|temp|brake|nickel"
    r"|aluminium|water\w*) )*(?:grease|paste|anti-?seize)(?: (?:on|to|round|in) .+)?"
)


def _care(found: re.Match[str]) -> Iterator[m.Meaning]:
    verb = found["verb"].lower()
    what = _bare(found["what"])
    yield m.Said(said.CareNoted(part="", care=CARE[verb], what=f"with {what}" if verb == "seal with" else what))


def _renewals(found: re.Match[str]) -> Iterator[m.Meaning]:
    """Nothing where only the fasteners are meant: `renew` alone, before a short form, or `renew bolts`."""
    told = found["what"]
    fasteners = token_at(found.string, found.start())
    if (fasteners and fasteners[1] > found.start("what")) or token_at(found.string, found.start("what")):
        return
    for each in re.split(r" (?:and|\+|&) (?:new )?", told):
        one = _RENEWAL.fullmatch(each)
        count = one and (one["count"] or one["times"])
        if one:
            yield m.Said(
                said.RenewalNeeded(
                    part="",
                    what=one["what"],
                    count=int(count or 1),
                    part_number=one["number"] or "",
                    why=one["why"] or "",
                )
            )


def _same(found: re.Match[str]) -> Iterator[m.Meaning]:
    what = found["what"].lower()
    yield m.Same(what != "torque", "torque" in what, found["of"].strip())


def _weight(found: re.Match[str]) -> Iterator[m.Meaning]:
    yield m.Said(
        said.WeightFound(part="", what=found["what"], mass=found["mass"] or "", position=_bare(found["place"]))
    )


_RENEWAL = words_of(
    r"(?:(?P<count>\d{1,3}) ?(?:x )?)?(?P<what>\S.*?)(?: x ?(?P<times>\d{1,3}))?"
    r"(?: (?:pn|part number) (?P<number>\S+))?(?: (?:\((?P<why>[^()]+)\)))?"
)
_TO_THE_END: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], Iterator[m.Meaning]]], ...] = tuple(
    (words_of(pattern), means)
    for pattern, means in (
        (r"note:? (.+)", _note),
        (r"of (?:the )?(.+)", lambda found: iter([m.Of(_bare(found[1]))])),
        (r"source:? (.+)", lambda found: iter([m.Source(_bare(found[1]))])),
        (r"(?:[a-z]+ ){0,2}manual(?: .+)?", lambda found: iter([m.Source(_bare(found[0]))])),
        (r"(?:page|p\.?) ?(\d.*)", lambda found: iter([m.Page(f"page {found[1]}")])),
        (r"retorque:? (.+)", lambda found: iter([m.Retorque(found[1])])),
        (rf"{SAME} as (?!(?:the )?last\b)(?:the )?(?P<of>.+)", _same),
        (r"aid:? (.+)", _aid),
        (rf"((?:[a-z]+ )?{AID}) (?:aid|fitted)(?: (?P<where>{WHERE} .+))?", _named_aid),
        (rf"((?:[a-z]+ )?{AID} (?:in|into|on|under|over|round|around|through|between|behind|across) .+)", _aid),
        (rf"tied(?: up| back)?(?: with (?P<tie>[a-z]+))?(?: (?P<where>{WHERE} .+))?", _tied),
        ((r"(?:stuck|seized)(?: (?:by )?(?P<freed>.+?)(?: (?:then )?greased?(?: with)? (?P<grease>.+)| (?P<product>"
         rf"{_PRODUCT}))?)?"), _stuck),
        (rf"(?P<verb>{'|'.join(CARE)})\b:? (?!nipple|rag\b)(?P<what>.+)", _care),
        (r"(?:renew(?:ed)?|new) (?P<what>.+)", _renewals),
        (rf"(?P<what>(?:[a-z-]+ ){{0,2}}{NEW}) (?:renew(?:ed)?|new)", _renewals),
        (rf"(?:(?P<mass>{MASS}) )?(?P<what>{WEIGHT}) at (?P<place>\D.*)", _weight),
    )
)  # fmt: skip


def another_renewal(piece: str) -> Item | None:
    """`O-ring` after `renew gasket`: another thing that has to be new."""
    one = _RENEWAL.fullmatch(piece)
    if one is None or not words_of(rf"(?:.* )?{NEW}").fullmatch(one["what"]):
        return None
    found = words_of(r"(?:renew|new) (?P<what>.+)").fullmatch(f"renew {piece}")
    means = list(_renewals(found)) if found else []
    return Item(piece, means[0]) if len(means) == 1 else None


def up_to_next(piece: str, position: int) -> tuple[list[Item], int]:
    """A mark or a facing in plain words, as far as the next short form."""
    starts = (at for at in _word_starts(piece, position) if at > position)
    end = next((at for at in starts if token_at(piece, at, firm=True)), len(piece))
    told = piece[position:end].strip()
    if _MARKED.search(told) and (not told[0].isdigit() or _COUNTED.match(told)):
        return [Item(told, m.Said(_mark(told)))], position + len(told)
    for pattern in (_FACES, _AT_A_CLOCK, _KNOWN_FACES):
        found = pattern.match(told)
        means = _facing(found) if found else None
        if found and means:
            return [Item(found[0], m.Said(means))], position + found.end()
    return [], position


def _word_starts(piece: str, position: int) -> Iterator[int]:
    return (found.start() for found in re.compile(r"(?<!\S)\S").finditer(piece, position))


def _mark(told: str) -> said.MarkMade:
    to = _TO.match(told)
    mark = to["mark"].strip() if to else told
    if mark.lower() in {"", "mark", "marks", "marked"}:
        mark = "witness mark"
    return said.MarkMade(part="", mark=mark, to=to["to"] if to else "")


def _facing(found: re.Match[str]) -> said.OrientationNoted | None:
    told = {name: text or "" for name, text in found.groupdict().items()}
    clock = told.get("clock", "")
    if clock and not (told["oclock"] or ":" in clock or told["from"]):
        return None
    return said.OrientationNoted(
        part="",
        feature=told["feature"].removesuffix(" at"),
        faces=told.get("faces", ""),
        clock=clock,
        seen_from=told.get("side") or told.get("own", ""),
    )


_HINTS: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (words_of(pattern), why)
    for pattern, why in (
        (
            rf"{NUMBER}",
            "of what? A torque has a unit (110 Nm), a count an x (4 x M10), a drive a word (hex 13)",
        ),
        (rf"(?:(?:{WEIGHT}) )?{MASS}|{WEIGHT}", "at which place? Type 14 g hole 2, or weight 140 deg"),
        (rf"{NUMBER} ?(?:mm|cm|in)", "of what? A length stands after the thread (M10x35), a drive after hex (hex 13)"),
        (r".*\bo ?'? ?clock.*", "which feature? Type lug 4 o'clock from front"),
        (rf"(?:.* )?{FEATURE} (?:at )?{_CLOCK}(?: {SEEN})?", "a clock position? Type lug 4 from front"),
        (r"(?:banjo(?: bolt)?|hose (?:clip|clamp))s?", "how many? Type 2 hose clips, or 1 banjo bolt M12x1.5"),
        (rf"(?:.* )?{FEATURE}", "which way? Type slots front, or lug 4 o'clock front"),
        (rf".+ {FACING}", "does it face that way? Type slots faces front; of the side of the part, only left"),
        (r"\d{1,2} ?x ?\d+.*", "a thread begins with M (4 x M10x35), or is typed 4 x 3/8-24"),
        (
            rf"{NUMBER} ?[-/] ?{NUMBER} ?\S+",
            "one value and its unit: two stages are typed 25+30 Nm, a range goes into a note",
        ),
        (r"[a-z]+ ?[te]?\d{1,2}", "of what? Say T30 for a star drive (E10 outside), hex 13 for a hexagon"),
        (
            r"(?:in a |in )?(?:criss[- ]?)?cross(?:wise|ing|ed)?(?: (?:pattern|order|sequence))?",
            "type the layout, such as circle, or order 1 3 2 4",
        ),
        (r"(?:clean|inspect|grease|fit|connect)", "what? Type the word and the thing: connect sensor plug"),
        (r"seal with", "with what? Type seal with sealing paste"),
        (r"(?:before|after|drained|filled)\b.*", "that has a form of its own"),
        (r"tooth|teeth", "which of how many? Type tooth 3 of 27"),
        (r"renew|new", "renew what? Type renew gasket, or the fasteners first"),
    )
)  # fmt: skip


def hint(text: str) -> str:
    """What is missing from a piece that nobody can read, as a question; empty when nothing comes near."""
    number = re.match(rf"{NUMBER} ?(?=\D)", text)
    slip = SLIPS["torque"].get(fold(text[number.end() :])) if number else None
    if slip and not words_of(MASS).fullmatch(text):
        return slip
    return next((why for pattern, why in _HINTS if pattern.fullmatch(text)), "")
