"""The usual cautions, at the step they concern. Each defers to whoever knows this vehicle and these rules better."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from reassembly.job import entries as said
from reassembly.job.job import parts

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from reassembly.job.job import Job, Part

_NO_SOURCE = "common practice, no source"
_MEMORY = "common practice, from memory"


class Caution(NamedTuple):
    """One caution: the words of the trade that call for it (a star stands for any ending), itself, its source.

    With `itself` the words have to name the part: a gearbox is heavy, a gearbox pan is not.
    """

    words: str
    sentence: str
    source: str
    itself: bool = False


RAISED = Caution(
    "propshaft|propeller shaft|drive shaft|driveshaft|half shaft|gearbox|transmission|transaxle|axle|differential"
    "|exhaust|crossmember|subframe|pan|sump|transfer case|transfer box|clutch|flywheel|bellhousing|wheel",
    "Raised vehicle: on stands at the maker's points, shaken before anyone goes under it.",
    _NO_SOURCE,
)
ROLLS = Caution(
    "propshaft|propeller shaft|drive shaft|driveshaft|half shaft|axle shaft|gearbox|transmission|differential",
    "With the driveline open, park does not hold the vehicle: chock the wheels as the maker's procedure says.",
    _NO_SOURCE,
    itself=True,
)
HOT = Caution(
    "fluid|oil|coolant|pan|sump|drain*|filter|cooler|radiator|hose*|exhaust|manifold|catalyst",
    "Hot fluid and hot parts burn: let them cool as far as the maker's procedure allows; gloves and glasses on.",
    _NO_SOURCE,
)
SPRUNG = Caution(
    "spring*|strut*|torsion bar*|clutch|pressure plate|tensioner*|snap ring*|circlip*|accumulator*|servo",
    "Sprung parts fly: hold them with the tool the maker names before the last fastener is out.",
    _NO_SOURCE,
)
PYROTECHNIC = Caution(
    "airbag*|air bag*|pretensioner*|belt tensioner*|seat belt|safety belt|belt buckle|srs|pyrotechnic|steering wheel"
    "|column|seat|battery|batteries",
    "Airbag and belt circuits may be near: power off and waited as the maker says, no test lamp; "
    "work on them only where local rules allow you to.",
    _NO_SOURCE,
)
HIGH_VOLTAGE = Caution(
    "hybrid|high voltage|orange cable*|inverter|traction battery|electric motor",
    "High voltage kills: made dead and proved dead by a person licensed for it, as the maker's procedure says.",
    _NO_SOURCE,
)
STRETCHED = Caution(
    "stretch*|torque-to-yield|torque to yield|torque-angle",
    "Bolts tightened by angle are stretched: once only, new ones unless the maker says otherwise.",
    "several general pages, as in the check values",
)
ONCE = Caution(
    "self-locking|self locking|locknut*|lock nut*|split pin*|cotter*|crush washer*|sealing washer*|copper washer*"
    "|seal|seals|gasket*|o-ring*|o ring*|sealing ring*|tab washer*|lock plate*",
    "Self-locking nuts, split pins, crush washers and seals go in once: new ones, as the maker says.",
    _MEMORY,
)
GREASED = Caution(
    "",
    "Grease on a thread overloads a bolt whose torque was given dry: only where the maker says so.",
    _MEMORY,
)
CONVERTER = Caution(
    "converter|torque converter",
    "Converter fully seated before bolting up: turned and pushed home, depth measured against the maker's figure; "
    "never drawn in by the bolts.",
    _MEMORY,
)
CRUSH_SLEEVE = Caution(
    "crush sleeve|crush tube|collapsible*|pinion nut",
    "A crush sleeve is never backed off to correct it: past the maker's preload it takes a new sleeve.",
    _MEMORY,
)
BRAKES = Caution(
    "brake*|caliper*|abs|handbrake|parking brake|steering|tie rod*|track rod*|ball joint*|steering rack|drag link",
    "Brakes and steering: maker's procedure and local rules first, licensed persons where they ask for one, "
    "and a second person looks.",
    "second check: common practice, from memory",
)
HEAVY = Caution(
    "gearbox|transmission|transaxle|engine|axle|differential|transfer case|transfer box|subframe|flywheel|propshaft"
    "|propeller shaft|crossmember",
    "Heavy: carried by a jack or hoist rated for it, strapped, balanced as the maker's procedure shows.",
    _NO_SOURCE,
    itself=True,
)
WHEELS = Caution(
    "wheel nut*|wheel bolt*|wheel*",
    "Wheel nuts are tightened with the wheel on the ground and again after the distance the maker gives.",
    _MEMORY,
)

TABLE = (
    RAISED, ROLLS, HEAVY, HOT, SPRUNG, PYROTECHNIC, HIGH_VOLTAGE, BRAKES, CONVERTER, CRUSH_SLEEVE, STRETCHED, ONCE,
    GREASED, WHEELS,
)  # fmt: skip
"""Every caution, in the order in which they are shown."""

_NOT_WORDS = {"part", "parent", "other", "parts", "digest", "bag", "check", "entry", "source"}


def cautions(job: Job, part_id: str) -> tuple[str, ...]:
    """The cautions of one step, chosen by the words said of the part. Empty for a part nobody spoke of."""
    part = parts(job).get(part_id)
    return _sentences(_of_part(part)) if part else ()


def job_cautions(job: Job) -> tuple[str, ...]:
    """The cautions of the job as a whole: chosen by what was said of no part; a raised vehicle wherever parts are off.

    Cautions of the steps are not repeated here.
    """
    called = set(_called_for(_texts(e.fact for e in job.entries if not getattr(e.fact, "part", ""))))
    if any(job.said(said.PartRemoved)):
        called.add(RAISED)
    return _sentences(called)


def _sentences(called: Iterable[Caution]) -> tuple[str, ...]:
    wanted = set(called)
    return tuple(caution.sentence for caution in TABLE if caution in wanted)


def _of_part(part: Part) -> Iterator[Caution]:
    facts = [e.fact for e in part.about]
    yield from _called_for([part.name, *_texts(facts)], part.removed.fact.name if part.removed else part.name)
    specified = [e.fact for e in part.said(said.TorqueSpecified)]
    if any(stage.kind == "angle" for spec in specified for stage in spec.stages):
        yield STRETCHED
    if specified and _greased(part):
        yield GREASED


def _greased(part: Part) -> bool:
    stuck = any(e.fact.grease.strip() for e in part.said(said.PartStuck))
    return stuck or any(e.fact.care == "grease" for e in part.said(said.CareNoted))


def _called_for(texts: Iterable[str], name: str = "") -> Iterator[Caution]:
    text = "\n".join(texts)
    for caution in TABLE:
        if caution.words and _pattern(caution).search(name if caution.itself else text):
            yield caution


@cache
def _pattern(caution: Caution) -> re.Pattern[str]:
    """Whole words, singular or plural: `pan` is found in "pan bolts" and not in "panel"."""
    each = (re.escape(word).replace(r"\*", r"\w*") for word in caution.words.split("|"))
    end = r"(?=\s*(?:[,(]|$))" if caution.itself else r"(?!\w)"
    return re.compile(rf"(?<!\w)(?:{'|'.join(each)})(?:e?s)?{end}", re.IGNORECASE)


def _texts(facts: Iterable[object]) -> Iterator[str]:
    for fact in facts:
        for name in getattr(fact, "__struct_fields__", ()):
            value = getattr(fact, name)
            if isinstance(value, str) and name not in _NOT_WORDS:
                yield value
