"""One typed line, read into facts; what is not understood is said back."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from reassembly.job import entries as said
from reassembly.job.capture import capture
from reassembly.job.capture_words import SHORTHAND
from reassembly.job.doubts import doubts
from reassembly.job.entries import Entry, Fact, Stage
from reassembly.job.job import Job
from reassembly.job.shop import Shop


def told(*facts: Fact, job: str = "A.1") -> Job:
    return Job.of(
        Entry(bench="A", number=n, hlc=n, time="", who="ann", job=job, previous="", fact=fact)
        for n, fact in enumerate(facts, 1)
    )


JOB = told(
    said.JobOpened(vehicle="Kestrel van"),
    said.PartRemoved(part="gearbox pan", name="gearbox pan"),
    said.FastenersRemoved(part="gearbox pan", count=13, thread="M6", lengths=("20",), strength="8.8"),
    said.TorqueSpecified(part="gearbox pan", stages=(Stage("torque", "8 Nm"),), layout="perimeter", source="p 118"),
    said.PartRemoved(part="bracket, left", name="bracket", side="left"),
    said.PartRemoved(part="bracket, right", name="bracket", side="right"),
    said.FastenersRemoved(
        part="bracket, right", count=2, thread="M10x1.25", lengths=("35",), strength="10.9", note="as found"
    ),
)
SHOP = Shop.of(
    told(
        said.SpecNoted(
            vehicle="Kestrel van",
            joint="propshaft to pinion flange",
            stages=(Stage("torque", "40 N.m"), Stage("torque", "70 N.m")),
            source="manual, page 212",
        ),
        said.SpecNoted(vehicle="Other van", joint="drain plug", stages=(Stage("torque", "22 N.m"),), source="p 4"),
        job="",
    ).entries
)


def off(name: str, how: Any = "off", side: str = "", parent: str = "", note: str = "") -> said.PartRemoved:
    return said.PartRemoved(part="", name=name, how=how, side=side, parent=parent, note=note)


def bolts(count: int, thread: str = "", *lengths: str, **more: Any) -> said.FastenersRemoved:
    return said.FastenersRemoved(part="", count=count, thread=thread, lengths=lengths, **more)


def torque(*stages: str, **more: Any) -> said.TorqueSpecified:
    kinds = {"by hand": "by hand", "back off": "back off"}
    made = [
        Stage("check pass", s.removeprefix("check ")) if s.startswith("check ")
        else Stage("angle", s) if "deg" in s or "°" in s
        else Stage(kinds[s]) if s in kinds  # type: ignore[arg-type]
        else Stage("torque", s)
        for s in stages
    ]  # fmt: skip
    return said.TorqueSpecified(part="", stages=tuple(made), **more)


def mark(text: str, to: str = "", **more: Any) -> said.MarkMade:
    return said.MarkMade(part="", mark=text, to=to, **more)


def faces(feature: str, **more: Any) -> said.OrientationNoted:
    return said.OrientationNoted(part="", feature=feature, **more)


def weight(position: str, mass: str = "", **more: Any) -> said.WeightFound:
    return said.WeightFound(part="", position=position, mass=mass, **more)


def renew(what: str, **more: Any) -> said.RenewalNeeded:
    return said.RenewalNeeded(what=what, **more)


def care(verb: Any, what: str) -> said.CareNoted:
    return said.CareNoted(care=verb, what=what)


def bare(facts: tuple[Fact, ...]) -> list[Fact]:
    """Without the part: its id is the job's to give."""
    return [msgspec.structs.replace(fact, part="") for fact in facts]


PLAIN = bolts(4, "M10", "35")
FLANGE = (
    "propshaft rear flange  4xM10x1.25x35 10.9 renew safety  30 Nm 60 Nm 90 deg circle  white paint to pinion  "
    "14 g hole 2  slots front"
)
READ: list[tuple[str, list[Fact]]] = [
    # the name, how it came off, its side
    ("gearbox cover", [off("gearbox cover")]),
    ("  Gearbox   Cover  ", [off("Gearbox, Cover")]),
    ("propshaft, rear flange", [off("propshaft, rear flange")]),
    ("4 pin plug disconnected", [off("4 pin plug", "disconnected")]),
    ("sensor - loose", [off("sensor", "loosened")]),
    ("crossmember left aside", [off("crossmember", "aside", "left")]),
    ("hanger; Rear; OFF", [off("hanger", side="rear")]),
    ("wheel sensor, front left, unplugged", [off("wheel sensor", "disconnected", "front left")]),
    ("arm fl", [off("arm", side="front left")]),
    ("filter, on the left side", [off("filter", side="left")]),
    ("arm lh", [off("arm", side="left")]),
    ("filter, of gearbox pan", [off("filter", parent="gearbox pan")]),
    ("spacer, of right bracket", [off("spacer", parent="bracket, right")]),
    ("cover (cracked, one corner), note old sealer", [off("cover", note="cracked, one corner; old sealer")]),
    # fasteners
    ("x, 4xM10x35", [off("x"), PLAIN]),
    ("x  4 x m10 x 35", [off("x"), PLAIN]),
    ("x 4 M10×35", [off("x"), PLAIN]),
    ("x, 4 bolts, M10x35", [off("x"), PLAIN]),
    ("x, 4 off M10x35 hex17", [off("x"), bolts(4, "M10", "35", drive="hex17")]),
    ("x, M10x35, x4", [off("x"), PLAIN]),
    ("x, 4 x M10x1,25x35 10,9", [off("x"), bolts(4, "M10x1,25", "35", strength="10.9")]),
    ("x, 7 screws M6x16 hex 8", [off("x"), bolts(7, "M6", "16", what="screw", drive="hex 8")]),
    ("x, nut M20x1.5 class 10", [off("x"), bolts(1, "M20x1.5", what="nut", strength="10")]),
    ("x, 3 clips", [off("x"), bolts(3, what="clip")]),
    ("x, 4 x 3/8-24 unf x 1 grade 5", [off("x"), bolts(4, "3/8-24 UNF", "1", strength="grade 5")]),
    ("x, 2 x M14x1.5 LH", [off("x"), bolts(2, "M14x1.5 LH")]),
    ("x, 4xM12x60/60/90/90", [off("x"), bolts(4, "M12", "60", "60", "90", "90")]),
    ("x, 4xM12x60, 90 at 3 and 4", [off("x"), bolts(4, "M12", "60", "60", "90", "90")]),
    ("x, 10.9 safety renew 4xM10x35",
     [off("x"), bolts(4, "M10", "35", strength="10.9", reuse="renew", safety_critical=True)]),
    ("x, 4xM10x35, new bolts, T50", [off("x"), bolts(4, "M10", "35", reuse="renew", drive="T50")]),
    ("x, 8xM6x20, 2xM8x30, 25 Nm", [
        off("x"), bolts(8, "M6", "20", fasteners="M6 bolts"), bolts(2, "M8", "30", fasteners="M8 bolts"),
        torque("25 Nm", fasteners="M8 bolts"),
    ]),
    ("x, 8xM6x20, 2xM6x28", [
        off("x"), bolts(8, "M6", "20", fasteners="M6 bolts"), bolts(2, "M6", "28", fasteners="M6x28 bolts"),
    ]),
    ("x, same bolts as the last", [off("x"), bolts(2, "M10x1.25", "35", strength="10.9")]),
    ("x, same bolts as bracket, 45 Nm", [off("x"), bolts(2, "M10x1.25", "35", strength="10.9"), torque("45 Nm")]),
    ("x, same bolts and torque as gearbox pan", [
        off("x"), bolts(13, "M6", "20", strength="8.8"), torque("8 Nm", source="p 118"),
    ]),
    ("x, 13 nuts, same torque", [off("x"), bolts(13, what="nut"), torque("8 Nm", source="p 118")]),
    # torque
    ("drain plug 22 Nm", [off("drain plug"), torque("22 Nm")]),
    ("x, torque to 62 Nm", [off("x"), torque("62 Nm")]),
    ("x, 62 ft lbs", [off("x"), torque("62 ft lbs")]),
    ("x, 30 N m 60 N m 90 deg", [off("x"), torque("30 N m", "60 N m", "90 deg")]),
    ("x, 30+60 Nm +90°", [off("x"), torque("30 Nm", "60 Nm", "90°")]),
    ("x, by hand, 30 Nm, back off, 60 Nm, check 60 Nm",
     [off("x"), torque("by hand", "30 Nm", "back off", "60 Nm", "check 60 Nm")]),
    ("x, 4xM10x35 60Nm circle from the rear order 1-3-2-4",
     [off("x"), PLAIN, torque("60 Nm", layout="circle", seen_from="rear", order=(1, 3, 2, 4))]),
    ("x, 60 Nm, rectangle 2x5, workshop manual p 9",
     [off("x"), torque("60 Nm", layout="rectangle 2x5", source="workshop manual p 9")]),
    ("x, 60 Nm, source blue book, page 212, retorque after 50 km",
     [off("x"), torque("60 Nm", source="blue book, page 212", retorque="after 50 km")]),
    ("pinion flange, book", [off("pinion flange"), torque("40 N.m", "70 N.m", source="manual, page 212")]),
    # marks, facings, weights
    ("x, white paint to pinion", [off("x"), mark("white paint", "pinion")]),
    ("x, 2 punch dots", [off("x"), mark("2 punch dots")]),
    ("x, two punch dots", [off("x"), mark("two punch dots")]),
    ("x, marked to the floor", [off("x"), mark("witness mark", "floor")]),
    ("x, tooth 3 of 27", [off("x"), mark("tooth marked", spline_teeth=27, marked_tooth=3)]),
    ("x, yellow paint to tube tooth 7/28", [off("x"), mark("yellow paint", "tube", spline_teeth=28, marked_tooth=7)]),
    ("x, scribe, tooth 7 of 27 seen from the rear",
     [off("x"), mark("scribe", spline_teeth=27, marked_tooth=7, seen_from="rear")]),
    ("x, 27 teeth tooth 7 from front", [off("x"), mark("tooth marked", spline_teeth=27, marked_tooth=7,
     seen_from="front")]),
    ("x, tooth 7 of 27, from rear", [off("x"), mark("tooth marked", spline_teeth=27, marked_tooth=7,
     seen_from="rear")]),
    ("x, 4xM10x35, 60 Nm circle, tooth 7 of 27, from rear",  # the circle, whose side is not said yet
     [off("x"), PLAIN, torque("60 Nm", layout="circle", seen_from="rear"),
      mark("tooth marked", spline_teeth=27, marked_tooth=7)]),
    ("x, 14 g hole 2 from the rear", [off("x"), weight("hole 2", "14 g", seen_from="rear")]),
    ("x, lug 4 o'clock front", [off("x"), faces("lug", clock="4", seen_from="front")]),
    ("x, grease nipple at 4:30 from the rear", [off("x"), faces("grease nipple", clock="4:30", seen_from="rear")]),
    ("x, slots face front", [off("x"), faces("slots", faces="front")]),
    ("x, slots point up", [off("x"), faces("slots", faces="up")]),
    ("x, slots front", [off("x"), faces("slots", faces="front")]),
    ("x, rubber nose faces into the slot", [off("x"), faces("rubber nose", faces="into the slot")]),
    ("x, 14 g hole 2", [off("x"), weight("hole 2", "14 g")]),
    ("x, locking plate 6 g at hole 3 of 4 r 48 mm",
     [off("x"), weight("hole 3 of 4", "6 g", radius="48 mm", what="locking plate")]),
    ("x, 0.5 oz in hole 2", [off("x"), weight("hole 2", "0.5 oz")]),  # and no torque of 0.5 ozf.in
    ("x, riveted weight 140 deg", [off("x"), weight("140 deg", what="riveted weight")]),
    ("x, magnet at the ridge left of the drain", [off("x"), weight("the ridge left of the drain", what="magnet")]),
    # drives by their lobes, hoses and pipes
    ("x, 4 x M6x20 hexalobular 30", [off("x"), bolts(4, "M6", "20", drive="T30")]),
    ("x, 4 x M6x20, drive T30", [off("x"), bolts(4, "M6", "20", drive="T30")]),
    ("x, 4 x M6x20 drive hex 10", [off("x"), bolts(4, "M6", "20", drive="hex 10")]),
    ("x, 4 x M6x20 drive: star 30", [off("x"), bolts(4, "M6", "20", drive="T30")]),
    ("final drive, 4 x M6x20 T30", [off("final drive"), bolts(4, "M6", "20", drive="T30")]),
    ("x, 4 x M6x20, star 30", [off("x"), bolts(4, "M6", "20", drive="T30")]),
    ("x, 4 x M6x20 e10 star", [off("x"), bolts(4, "M6", "20", drive="E10")]),
    ("x, 4 x M6x20 external star 10", [off("x"), bolts(4, "M6", "20", drive="E10")]),
    ("star wheel, 2 x M6x20", [off("star wheel"), bolts(2, "M6", "20")]),
    ("cam star wheel, 2 x M6x20", [off("cam star wheel"), bolts(2, "M6", "20")]),
    ("x, 1 banjo bolt", [off("x"), bolts(1, what="banjo bolt")]),
    ("x, banjo M12x1.5", [off("x"), bolts(1, "M12x1.5", what="banjo bolt")]),
    ("x, 2 hose clips", [off("x"), bolts(2, what="hose clip")]),
    ("x, 2 clamps", [off("x"), bolts(2, what="clamp")]),
    # stuck
    (
        "x, stuck penetrating oil copper grease",
        [off("x"), said.PartStuck(part="", freed="penetrating oil", grease="copper grease")],
    ),
    (
        "x, stuck puller copper paste on the hub",
        [off("x"), said.PartStuck(part="", freed="puller", grease="copper paste on the hub")],
    ),
    (
        "x, stuck puller grease assembly paste",
        [off("x"), said.PartStuck(part="", freed="puller", grease="assembly paste")],
    ),
    # aids, renewals, care
    ("x, aid locking pin in bellcrank", [off("x"), said.AidFitted(aid="locking pin", where="in bellcrank")]),
    ("x, wire round the joint", [off("x"), said.AidFitted(aid="wire", where="round the joint")]),
    ("x, wire aid", [off("x"), said.AidFitted(aid="wire")]),
    ("x, aid wire from A to B", [off("x"), said.AidFitted(aid="wire", where="from A to B")]),
    ("x, locking pin aid in bellcrank", [off("x"), said.AidFitted(aid="locking pin", where="in bellcrank")]),
    ("x, tied up with wire to the frame", [off("x"), said.AidFitted(aid="wire", where="to the frame")]),
    ("x, renewed gasket, seal new", [off("x"), renew("gasket"), renew("seal")]),
    ("x, renew gasket, O-ring", [off("x"), renew("gasket"), renew("O-ring")]),
    ("x renew 4 snap rings pn SR-27 (once only) and seal",
     [off("x"), renew("snap rings", count=4, part_number="SR-27", why="once only"), renew("seal")]),
    ("x, stuck heat", [off("x"), said.PartStuck(part="", freed="heat")]),
    ("x, stuck puller grease assembly paste",
     [off("x"), said.PartStuck(part="", freed="puller", grease="assembly paste")]),
    ("x, clean (both faces, no burr), look at rim",
     [off("x"), care("clean", "both faces, no burr"), care("look", "rim")]),
    ("x, 5 nuts M12x1.5 prevailing 8 Nm, 60 Nm oiled", [
        off("x"), bolts(5, "M12x1.5", what="nut"), torque("60 Nm"),
        care("inspect", "prevailing torque 8 Nm"), care("grease", "threads with oil"),
    ]),
    ("x, prevailing torque, threads oiled",
     [off("x"), care("inspect", "prevailing torque"), care("grease", "threads with oil")]),
    ("oiled gasket, off", [off("oiled gasket")]),
    # pairs and repeats
    ("driveshaft l+r, 6xM8x50", [
        off("driveshaft", side="left"), bolts(6, "M8", "50"), off("driveshaft", side="right"), bolts(6, "M8", "50"),
    ]),
    ("arm, left and right", [off("arm", side="left"), off("arm", side="right")]),
    ("hose clip x2", [off("hose clip 1"), off("hose clip 2")]),
    # a whole part in one line
    ("crossmember, left  aside  3 x M12x1.75x60 10.9, 110 Nm",
     [off("crossmember", "aside", "left"), bolts(3, "M12x1.75", "60", strength="10.9"), torque("110 Nm")]),
    (FLANGE, [
         off("propshaft rear flange"),
         bolts(4, "M10x1.25", "35", strength="10.9", reuse="renew", safety_critical=True),
         torque("30 Nm", "60 Nm", "90 deg", layout="circle"),
         mark("white paint", "pinion"), faces("slots", faces="front"), weight("hole 2", "14 g"),
     ]),
]  # fmt: skip


@pytest.mark.parametrize(("line", "facts"), READ, ids=[line for line, _ in READ])
def test_a_line_gives_its_facts(line: str, facts: list[Fact]) -> None:
    found = capture(line, JOB, SHOP)
    assert bare(found.facts) == facts
    assert found.not_understood == ()


ASKED: list[tuple[str, str, list[Fact]]] = [  # the line, words of what is said back, and the facts all the same
    ("110", "which part? Type its name first, or + to add to bracket, right", []),
    ("13xM6x20 pan", "which part?", []),
    ("x, 110", "110: of what? A torque has a unit", [off("x")]),
    ("x, 14 g", "14 g: at which place?", [off("x")]),
    ("x, 60 lb", "60 lb: pounds alone are a force", [off("x")]),
    ("x, 35 mm", "35 mm: of what? A length stands after the thread", [off("x")]),
    ("x, 4xM8, 25-30 Nm", "25-30 Nm: one value and its unit", [off("x"), bolts(4, "M8")]),
    ("x, 8 Nm cross", "cross: type the layout", [off("x"), torque("8 Nm")]),
    ("x, before pan", "before pan: that has a form of its own", [off("x")]),
    ("x, drained 5 l", "drained 5 l: that has a form of its own", [off("x")]),
    ("x, M10x35 (4)", "(4): of what?", [off("x")]),
    ("x, lug 4", "lug 4: a clock position?", [off("x")]),
    ("x, 3xM6, 4 o'clock", "4 o'clock: which feature?", [off("x"), bolts(3, "M6")]),
    ("x, aside, hook left of it", "hook left: does it face that way?", [off("x", "aside")]),
    ("x, aside, cable left", "cable left: does it face that way?", [off("x", "aside")]),
    ("x, M10 x35", "M10 x35: is 35 the length or the number?", [off("x")]),
    ("x, M10x35", "M10x35: how many?", [off("x")]),
    ("x, M10x35 10.9 renew", "M10x35 10.9 renew: how many?", [off("x")]),
    ("x, 10.9", "10.9: of which fasteners?", [off("x")]),
    ("x, renew", "renew: of which fasteners?", [off("x")]),
    (
        "x, 4xM10x35, 60 Nm circle, row",
        "row: another one is typed already",
        [off("x"), PLAIN, torque("60 Nm", layout="circle")],
    ),
    ("x, 4 x M6x20, somebrand 30", "somebrand 30: of what? Say T30", [off("x"), bolts(4, "M6", "20")]),
    ("x, 4 x M6x20, T30 somebrand", "somebrand", [off("x"), bolts(4, "M6", "20", drive="T30")]),
    ("x, 4 x M6x20 star", "star: which size?", [off("x"), bolts(4, "M6", "20")]),
    ("x, banjo", "banjo: how many?", [off("x")]),
    ("x, hose clips", "hose clips: how many?", [off("x")]),
    ("x, stuck heat wonder grease", "stuck heat wonder grease: freed by what, and greased with what?", [off("x")]),
    ("x, aside, front+left", "front+left: not understood", [off("x", "aside")]),
    ("x, circle", "circle: for which torque?", [off("x")]),
    ("x, 90 deg", "90 deg: stage 1: 90 deg: an angle counts from a snug joint", [off("x")]),
    ("x, 3xM6, 8.8, 10.9", "10.9: 8.8, or 10.9?", [off("x"), bolts(3, "M6", strength="8.8")]),
    ("x, 4xM12x60, 90 at 5", "90 at 5: there is no position 5 of 4", [off("x"), bolts(4, "M12", "60")]),
    ("x, 4xM12x60/90", "4xM12x60/90: 2 lengths for 4 positions", [off("x")]),
    ("x, 250 x M6", "250 x M6: count has to be a whole number from 1 to 200", [off("x")]),
    ("x, 4xM10.11", "4xM10.11: M10.11 is not a standard size", [off("x")]),
    ("x, 4xM6x20,8 Nm", "4xM6x20,8: is that comma in a number or after it?", [off("x")]),
    ("x, 3xM6x20, x4", "x4: 4 of what?", [off("x"), bolts(3, "M6", "20")]),
    ("x x90", "x90: from 2 to 20 parts", [off("x")]),
    ("x, aside, loosened", "loosened: aside or loosened?", [off("x", "aside")]),
    ("x, left, right", "right: left, or right?", [off("x", side="left")]),
    ("x, of sump", "of sump: no such part; parts are bracket, right; bracket, left; gearbox pan", [off("x")]),
    ("x, of pan", "of pan: no such part; parts are", [off("x")]),
    ("x, of bracket", "of bracket: which one, bracket, left, or bracket, right?", [off("x")]),
    ("x, same bolts as sump", "no part has any to take them from", [off("x")]),
    ("x, book", "book: the spec book has nothing for x of Kestrel van", [off("x")]),
    ("drain plug, book", "nothing for drain plug of Kestrel van", [off("drain plug")]),
    ("x, tooth 30 of 27", "there is no tooth 30 of 27", [off("x")]),
    ("x, lug 13 o'clock front", "13 o'clock front: ", [off("x")]),
    ("x, 4xM10x35, 60 Nm, order 1 2 3", "4 is missing", [off("x"), PLAIN]),
    ("x, stuck", "stuck: what freed it?", [off("x")]),
    ("x, off, wibble wobble", "wibble wobble: not understood", [off("x")]),
    ("x, 3xM6x20 wibble 10.9", "wibble: not understood", [off("x"), bolts(3, "M6", "20", strength="10.9")]),
    ("+ left", "left: that belongs to the part", []),
    ("+ wibble", "wibble: not understood", []),
    ("x " * 400, "characters are too many for one line", []),
]


@pytest.mark.parametrize(("line", "words", "facts"), ASKED, ids=[line[:40] for line, _, _ in ASKED])
def test_what_is_not_understood_is_said_back_and_the_rest_is_kept(line: str, words: str, facts: list[Fact]) -> None:
    found = capture(line, JOB, SHOP)
    assert bare(found.facts) == facts
    assert any(words in sentence for sentence in found.not_understood), found.not_understood


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("x, of gearbox", "of gearbox: gearbox pan? Enter again says so"),
        ("x, of Gearbox PAN", ""),
        ("x, of right bracket", ""),
    ],
)
def test_a_part_that_only_begins_so_is_shown_and_asked(line: str, asked: str) -> None:
    found = capture(line, JOB, SHOP)
    assert not found.not_understood
    assert "; ".join(found.asks) == asked


def test_the_same_torque_brings_no_positions_along() -> None:
    ring = torque("8 Nm", "90 deg", layout="circle", seen_from="the front", order=(1, 3, 2), source="p 9", retorque="x")
    lid, tight = (msgspec.structs.replace(fact, part="lid") for fact in (off("lid"), ring))
    assert bare(capture("x, same torque", told(lid, tight), SHOP).facts)[1:] == [torque("8 Nm", "90 deg", source="p 9")]


def test_a_plus_adds_to_the_part_that_came_off_last() -> None:
    found = capture("+ 14 g hole 2, slots front", JOB, SHOP)
    assert bare(found.facts) == [faces("slots", faces="front"), weight("hole 2", "14 g")]
    assert {fact.part for fact in found.facts} == {"bracket, right"}  # type: ignore[attr-defined]
    assert found.understood[0] == "adds to bracket, right"
    assert (found.part, found.adds) == ("bracket, right", True)


def test_a_part_that_came_off_again_is_the_last_one() -> None:
    again = told(*(entry.fact for entry in JOB.entries), said.PartRemoved(part="gearbox pan", name="gearbox pan"))
    assert capture("+ 14 g hole 2", again, SHOP).part == "gearbox pan"


def test_the_spec_book_is_asked_by_the_whole_name_first() -> None:
    specs = [
        said.SpecNoted(vehicle="Kestrel van", joint=joint, stages=(Stage("torque", value),), source="p 1")
        for joint, value in (("pan", "8 N.m"), ("pan baffle", "5 N.m"))
    ]
    shop = Shop.of(told(*specs, job="").entries)
    assert bare(capture("Pan, book", JOB, shop).facts)[1:] == [torque("8 N.m", source="p 1")]
    assert bare(capture("large pan, book", JOB, shop).facts)[1:] == [torque("8 N.m", source="p 1")]
    assert "book: which one, pan, or pan baffle?" in capture("large pan baffle, book", JOB, shop).not_understood


def test_more_fasteners_of_a_part_get_a_name_that_tells_them_apart() -> None:
    found = capture("+ 2 x M8x30, 25 Nm", JOB, SHOP)
    assert bare(found.facts) == [
        bolts(2, "M8", "30", fasteners="M8 bolts"),
        torque("25 Nm", fasteners="M8 bolts"),
    ]


def test_a_torque_added_later_goes_with_the_fasteners_recorded() -> None:
    assert bare(capture("+ 45 Nm", JOB, SHOP).facts) == [torque("45 Nm")]
    both = told(
        *(e.fact for e in JOB.entries), said.TorqueSpecified(part="bracket, right", stages=(Stage("torque", "45 Nm"),))
    )
    again = capture("+ 50 Nm", both, SHOP)
    assert again.facts == ()
    assert again.not_understood == ("50 Nm: a torque is recorded already: strike it out first",)


def test_nothing_can_be_added_before_a_part_is_off() -> None:
    found = capture("+ 14 g hole 2", told(said.JobOpened(vehicle="van")), SHOP)
    assert found.facts == ()
    assert "no part is off yet" in found.not_understood[0]


def test_the_ids_are_free_in_the_job() -> None:
    found = capture("gearbox pan", JOB, SHOP)
    assert found.part == "gearbox pan 2"
    assert found.doubts == (
        "gearbox pan is in the list already: is this another one? Say which, such as gearbox pan, rear",
    )
    pair = capture("bracket l+r", JOB, SHOP)
    assert [fact.part for fact in pair.facts] == ["bracket, left 2", "bracket, right 2"]  # type: ignore[attr-defined]


def test_what_was_understood_stands_beside_it_in_plain_words() -> None:
    # 110 N.m is 81.13 lbf.ft (NIST SP 811)
    assert capture("crossmember, left  aside  3 x M12x1.75x60 10.9, 110 N.m", JOB, SHOP).understood == (
        "crossmember, left",
        "swung aside, not off",
        "3 bolts M12 x 1.75 x 60, class 10.9",
        "torque 110 N.m (81 lbf.ft)",
        "no source given yet",
        "inside the usual window for M12x1.75 10.9",
    )
    assert capture("x, 2 x M12x60, 3 nuts M8 renew safety", JOB, SHOP).understood[2:] == (
        "2 bolts M12 x 60, pitch not said (coarse would be 1.75 mm)",
        "3 nuts M8, pitch not said (coarse would be 1.25 mm), new ones at refit, a second person confirms",
    )
    assert capture("x, M14 banjo bolt", JOB, SHOP).understood[-1] == (
        "1 banjo bolt M14, pitch not said (coarse would be 2 mm)"
    )
    line = "x, white paint to pinion tooth 3 of 16, renew seal, stuck heat, clean face, aid rag in bore"
    assert capture(line, JOB, SHOP).understood[2:] == (
        "mark: white paint, in line with pinion",
        "360/16 = 22.5 deg a tooth",
        "tooth 3 of 16",
        "aid to come out again: rag, in bore",
        "renew seal",
        "stuck, freed by heat",
        "at refit clean face",
    )  # fmt: skip


def test_a_slip_of_unit_is_doubted_but_may_be_said() -> None:
    found = capture("x, 4 x M8x30 8.8, 250 Nm", JOB, SHOP)
    assert torque("250 Nm") in bare(found.facts)
    assert any("250 Nm is" in doubt and "usually takes" in doubt for doubt in found.doubts)
    assert not any("usual window" in line for line in found.understood)


@pytest.mark.parametrize("line", ["gearbox cover 110", "cover 110 x Q6"])
def test_a_number_in_a_name_is_asked_about(line: str) -> None:
    assert capture(line, JOB, SHOP).doubts == (
        "110 is read as part of the name: a torque has a unit, a count an x (4 x M10)",
    )
    assert capture("4 pin plug", JOB, SHOP).doubts == ()


@pytest.mark.parametrize("line", [line for line, _ in SHORTHAND])
def test_the_help_screen_shows_only_what_is_understood(line: str) -> None:
    off_already = told(
        said.JobOpened(vehicle="Kestrel van"),
        said.PartRemoved(part="gearbox pan", name="gearbox pan"),
        said.FastenersRemoved(part="gearbox pan", count=13),
    )
    found = capture(line, off_already, SHOP)
    assert found.facts
    assert found.not_understood == ()


@pytest.mark.parametrize("line", [line for line, _ in READ])
def test_the_facts_are_said_one_after_another_without_a_refusal(line: str) -> None:
    job = JOB
    for fact in capture(line, JOB, SHOP).facts:
        assert not [doubt for doubt in doubts(fact, job, SHOP) if doubt.refuses]
        job = told(*(entry.fact for entry in job.entries), fact)


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("x, 60 Nm cross", "cross: type the layout, such as circle, or order 1 3 2 4"),
        ("x, 60 Nm, then criss-cross", "criss-cross: type the layout, such as circle, or order 1 3 2 4"),
        ("x, connect", "connect: what? Type the word and the thing: connect sensor plug"),
        ("x, seal with", "seal with: with what? Type seal with sealing paste"),
    ],
)
def test_a_word_of_the_trade_that_lacks_something_says_what(line: str, asked: str) -> None:
    assert capture(line, JOB, SHOP).not_understood == (asked,)


def test_a_stage_begins_with_then_after_a_comma_as_well() -> None:
    stages = [said.Stage("torque", "60 Nm"), said.Stage("angle", "90 deg")]
    for line in ("x, 60 Nm, then 90 deg", "x, 60 Nm then 90 deg", "x, 60 Nm, and then 90 deg"):
        found = capture(line, JOB, SHOP)
        assert found.not_understood == ()
        assert [list(fact.stages) for fact in found.facts if isinstance(fact, said.TorqueSpecified)] == [stages]


def test_a_bracket_inside_a_bracket_is_part_of_the_note() -> None:
    found = capture("pan (cracked (twice) at a corner)", JOB, SHOP)
    assert (found.not_understood, found.understood[-1]) == ((), "note: cracked (twice) at a corner")


def test_what_is_to_do_without_its_part_is_doubted() -> None:
    assert "is read as the name of a part" in capture("connect plug", JOB, SHOP).doubts[0]
    assert capture("connector plug", JOB, SHOP).doubts == ()
