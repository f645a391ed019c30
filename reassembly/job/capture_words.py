"""The words and signs of the line typed at strip-down: trade terms and ISO designations, nothing else."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from reassembly.trade.grade import GRADES

if TYPE_CHECKING:
    from reassembly.job.capture_meanings import Care, HowOff

NUMBER = r"\d{1,5}(?:[.,]\d{1,4})?"
END = r"(?=[\s+]|$)"
KIND = r"(?:split pin|bolt|nut|screw|stud|clip|rivet|clamp|strap)"
SIDE = r"(?:front|rear|left|right|upper|lower|inner|outer)"
SEEN = r"(?:front|rear|left|right|top|bottom|above|below|inboard|outboard|input end|output end)"
FACING = (
    r"(?:front|rear|left|right|up|down|top|bottom|forwards?|backwards?|rearwards?|upwards?|downwards?"
    r"|inboard|outboard|inwards?|outwards?|inside|outside)"
)
FEATURE = (
    r"(?:lugs?|slots?|arrows?|nipples?|lips?|lettering|letters|tabs?|tongues?|notch(?:es)?|grooves?|keys?|keyways?"
    r"|flats?|chamfers?|steps?|cones?|tapers?|springs?|hooks?|ears?|ridges?|part number|writing|seam"
    r"|(?:open|closed|long|short) (?:end|side)|outlet|inlet|vent|drain hole|oil holes?|bevel)"
)
COLOUR = r"(?:white|yellow|red|green|blue|orange|pink|silver|black)"
MARK = r"(?:paint(?:ed)?|scrib(?:e|ed)|punch(?:ed)?|dots?|chalk(?:ed)?|marker pen|marked|marks?|witness marks?|stripe)"
WEIGHT = r"(?:(?:[a-z-]+ )?weight|(?:[a-z-]+ )?locking plate|(?:[a-z-]+ )?magnet)"
AID = r"(?:wire|plug|stand|rag|locking pin|strap|jack|tape|cap|wedge|prop|bung|tie)"
WHERE = r"(?:in|into|on|under|over|round|around|from|through|between|behind|to|across|above|below|at)"
NEW = (
    r"(?:gaskets?|seals?|o-?rings?|rings?|washers?|filters?|bearings?|bush(?:es)?|boots?|joints?|circlips?|clips?"
    r"|pins?|hoses?|rubbers?|mounts?|caps?|gaiters?|bolts?|nuts?|screws?|plugs?|belts?|sleeves?)"
)

HOW: dict[str, HowOff] = {
    "off": "off",
    "loose": "loosened", "loosened": "loosened", "slackened": "loosened",
    "disconnected": "disconnected", "unplugged": "disconnected",
    "aside": "aside", "swung aside": "aside", "moved aside": "aside",
}  # fmt: skip
CARE: dict[str, Care] = {
    "clean": "clean", "inspect": "inspect", "grease": "grease", "seal with": "seal", "fit": "fit",
    "connect": "connect", "look at": "look",
}  # fmt: skip
SHORT_SIDES = {
    "l": "left", "lh": "left", "r": "right", "rh": "right",
    "fl": "front left", "fr": "front right", "rl": "rear left", "rr": "rear right",
}  # fmt: skip
OPPOSITES = (("left", "right"), ("front", "rear"), ("upper", "lower"), ("inner", "outer"))


def words_of(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, re.IGNORECASE | re.ASCII)


CLASSES = "|".join(re.escape(name).replace(r"\.", "[.,]") for name in GRADES if "." in name)

SHORTHAND: tuple[tuple[str, str], ...] = (
    ("crossmember, left, aside", "name first, then what else is known, in any order, parted by commas or two spaces"),
    ("sensor, loosened", "off unless it says loosened, disconnected or aside"),
    ("driveshaft l+r", "two parts, left and right, with the same facts; also front and rear, upper and lower"),
    ("hose clip x3", "three parts: hose clip 1, 2 and 3"),
    ("filter, of gearbox pan", "taken off a part that is off already"),
    (
        "pan, 13 x M6x20 8.8",
        "count x thread, length, class; also 4 nuts M8, 2 hose clips, 1 banjo bolt, 4 x 3/8-24 UNF x 1",
    ),
    ("mount, 4 x M12x60, 90 at 3 4", "length 60, but 90 at positions 3 and 4; or M12x60/60/90/90"),
    (
        "flange, 4 x M10x35 10.9 hex 15 renew safety",
        "drive, also T30 or star 30; new ones at refit; a second person confirms",
    ),
    ("mount, same bolts as the last", "the fasteners of the last part; same bolts as centre bearing; same torque"),
    ("pan, 13 x M6x20, by hand, 4 Nm, 8 Nm", "stages in turn; also 60 Nm + 90 deg, back off, check 60 Nm"),
    ("flange, 4 x M10x35, 60 Nm circle from rear, order 1 3 2 4", "layout, the side it is seen from, order"),
    (
        "hub, 5 nuts M12, 60 Nm oiled, prevailing 8 Nm",
        "threads oiled before they are tightened; what a self-locking nut takes to turn",
    ),
    ("flange, 60 Nm, manual p 212", "the source: manual or source, and page; book takes it from the spec book"),
    ("flange, white paint to pinion", "a mark, and what it is in line with"),
    ("yoke, scribe to shaft, tooth 3 of 27 from rear", "the marked tooth, and the side it is counted from"),
    ("flange, 14 g hole 2 from rear", "balance weight and its place; also weight 140 deg, locking plate hole 1"),
    ("sleeve, lug 4 o'clock front", "clock position, and the side it is seen from"),
    ("centre bearing, slots front", "which way a feature faces; also grease nipple faces the gearbox"),
    ("joint, aid locking pin in bellcrank", "fitted only for the work, and where"),
    ("pan, renew gasket, O-ring", "new parts; also renew 4 snap rings pn SR-27 (once only)"),
    ("hanger, stuck heat", "would not come; what freed it; stuck puller grease assembly paste"),
    ("pan, clean sealing face", "to do at refit: clean, inspect, grease, seal with, fit, connect, look at"),
    ("pan (cracked at one corner)", "a note, in brackets"),
    ("+ 14 g hole 2", "begins with +: adds to the part under the bar, the last one unless you moved it"),
)
"""What may be typed, and what it means: the help screen of the line."""
