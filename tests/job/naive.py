"""The checks of a job told slowly and another way, from the words of the design: loops over entries, no index, no
sharing with the program. Gives the key of every check and whether it is open, confirmed or excepted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from reassembly.job.entries import (
    AidFitted,
    AidRemoved,
    BagPacked,
    CareNoted,
    CheckConfirmed,
    CodeRead,
    CodesCleared,
    EntryStruck,
    ExceptionAccepted,
    FastenersRemoved,
    FindingNoted,
    FluidDrained,
    FluidFilled,
    JobOpened,
    JobReopened,
    LevelChecked,
    LevelSpecified,
    MarkMade,
    OrderSaid,
    OrientationNoted,
    PartRemoved,
    PartStuck,
    RenewalNeeded,
    RenewalReceived,
    RoadTested,
    SecondCheckMade,
    SignedOff,
    StageTightened,
    TorqueSpecified,
    Unknown,
    WeightFound,
)

if TYPE_CHECKING:
    from reassembly.job.entries import Entry


Known = tuple[tuple[str, str], ...]


@dataclass
class Asked:
    key: str
    by: Entry[Any]
    kind: str = "confirm"
    safety: bool = False
    part: str = ""
    stage: int = 0


def states(entries: list[Entry[Any]], known: Known = ()) -> dict[str, str]:
    """`known` are the names of each person of the shop, the short one and the full one."""
    story = standing(entries)
    found = {asked.key: state_of(asked, story, known) for asked in everything_asked(story)}
    signed, holds = None, False
    for e in story:
        if isinstance(e.fact, SignedOff):
            signed = e
            holds = holds or nothing_open_in(e, entries, known)
        elif isinstance(e.fact, JobReopened):
            signed, holds = None, False
    if signed is not None and not holds:
        asked = Asked(f"{signed.id}.signed", signed, "settle")
        found[asked.key] = state_of(asked, story, known)
    return found


def nothing_open_in(signed: Entry[SignedOff], entries: list[Entry[Any]], known: Known) -> bool:
    """By what was said before it, and was known of at the bench where it was said."""
    earlier = [e for e in entries if (e.hlc, e.bench, e.number) < (signed.hlc, signed.bench, signed.number)]
    heard = [e for e in earlier if e.bench == signed.bench or e.number <= signed.fact.covers.get(e.bench, 0)]
    story = standing(heard)
    return heard != [] and all(state_of(a, story, known) != "open" for a in everything_asked(story))


def standing(entries: list[Entry[Any]]) -> list[Entry[Any]]:
    story = sorted(entries, key=lambda e: (e.hlc, e.bench, e.number))
    stands: dict[str, bool] = {}
    for place in range(len(story) - 1, -1, -1):
        strikes = [s for s in story[place + 1 :] if isinstance(s.fact, EntryStruck) and s.fact.entry == story[place].id]
        stands[story[place].id] = not any(stands[s.id] for s in strikes)
    return [e for e in story if stands[e.id]]


def everything_asked(story: list[Entry[Any]]) -> list[Asked]:
    asked: list[Asked] = []
    for e in story:
        match e.fact:
            case JobOpened(vehicle=vehicle, complaint=complaint):
                vehicles = [o.fact.vehicle for o in story if isinstance(o.fact, JobOpened)]
                if vehicle or not any(vehicles):
                    asked += [Asked(f"{e.id}.left", e), Asked(f"{e.id}.road", e, "road")]
                if complaint:
                    asked.append(Asked(f"{e.id}.complaint", e))
            case CodeRead(when="before"):
                asked += [Asked(f"{e.id}.cleared", e, "cleared"), Asked(f"{e.id}.again", e, "read")]
            case CodeRead(when="after", code=code):
                if code != "":
                    asked.append(Asked(f"{e.id}.dealt", e, "dealt"))
            case RoadTested(when="before"):
                asked.append(Asked(f"{e.id}.again", e, "road"))
            case FindingNoted(part="", when="before") if hidden_by(e, story):
                asked.append(Asked(f"{e.id}.shut", e, part=hidden_by(e, story)))
                asked.append(Asked(f"{e.id}.again", e))
            case FindingNoted(part=part):
                asked.append(Asked(f"{e.id}.again", e, part=part))
            case PartRemoved(part=part):
                if not any(came_off(other, part) and other is not e for other in after(e, story)):
                    asked.append(Asked(f"{e.id}.back", e, part=part))
            case OrientationNoted(part=part):
                asked.append(Asked(f"{e.id}.way", e, part=part))
            case MarkMade(part=part, spline_teeth=teeth, marked_tooth=tooth):
                asked.append(Asked(f"{e.id}.mark", e, part=part))
                if teeth is not None or tooth is not None:
                    asked.append(Asked(f"{e.id}.tooth", e, part=part))
            case WeightFound(part=part):
                asked.append(Asked(f"{e.id}.weight", e, part=part))
            case FastenersRemoved():
                asked += of_fasteners(e, story)
            case TorqueSpecified():
                asked += of_torque(e, story)
            case AidFitted(part=part, aid=aid, where=where):
                asked.append(Asked(f"{e.id}.out", e, "aid", part=part))
                if comes_out(aid, where) == (True, True):
                    asked.append(Asked(f"{e.id}.clear", e, "aid", part=part))
            case FluidDrained(fluid=fluid):
                asked += [Asked(f"{e.id}.fill", e), Asked(f"{e.id}.dry", e)]
                if not any(isinstance(o.fact, LevelSpecified) and alike(o.fact.fluid, fluid) for o in story):
                    asked.append(Asked(f"{e.id}.level", e, "level"))
            case LevelSpecified(engine=engine):
                if engine == "running":
                    asked += [Asked(f"{e.id}.started", e), Asked(f"{e.id}.positions", e)]
                asked.append(Asked(f"{e.id}.level", e, "level"))
            case BagPacked(parts=parts):
                asked += [Asked(f"{e.id}.bag:{part}", e, part=part) for part in set(parts)]
                if len(parts) == 0:
                    asked.append(Asked(f"{e.id}.bag", e))
            case PartStuck(part=part):
                asked += [Asked(f"{e.id}.cleaned", e, part=part), Asked(f"{e.id}.greased", e, part=part)]
            case CareNoted(part=part):
                asked.append(Asked(f"{e.id}.care", e, part=part))
            case RenewalNeeded(part=part):
                asked += [Asked(f"{e.id}.hand", e, "receive", part=part), Asked(f"{e.id}.fitted", e, part=part)]
            case Unknown():
                asked.append(Asked(f"{e.id}.unknown", e, "settle"))
    return asked + of_contradictions(story)


def of_fasteners(e: Entry[FastenersRemoved], story: list[Entry[Any]]) -> list[Asked]:
    part, safety = e.fact.part, e.fact.safety_critical
    asked = [Asked(f"{e.id}.started", e, safety=safety, part=part)]
    if e.fact.reuse == "renew":
        asked.append(Asked(f"{e.id}.hand", e, "receive", part=part))
    if not any(len(spec.fact.stages) > 0 for spec in torques_of(e, story)):
        asked.append(Asked(f"{e.id}.tight", e, safety=safety, part=part))
    if safety:
        asked.append(Asked(f"{e.id}.second", e, "second", safety=True, part=part))
    return asked


def of_torque(e: Entry[TorqueSpecified], story: list[Entry[Any]]) -> list[Asked]:
    part = e.fact.part
    fasteners = set_of(e, story)
    asked = []
    if fasteners is None and len(e.fact.stages) == 0:
        asked.append(Asked(f"{e.id}.tight", e, part=part))
    if fasteners is not None and fasteners.fact.safety_critical:
        asked.append(Asked(f"{e.id}.stripe", e, part=part))
    if e.fact.retorque:
        asked.append(Asked(f"{e.id}.retorque", e, part=part))
    for n, stage in enumerate(e.fact.stages):
        if fasteners is not None and n == 0 and stage.kind == "by hand":
            continue  # all started by hand: the set asks it
        safety = fasteners is not None and fasteners.fact.safety_critical
        asked.append(Asked(f"{e.id}.stage{n + 1}", e, "stage", safety, part, n + 1))
    return asked


def of_contradictions(story: list[Entry[Any]]) -> list[Asked]:
    asked: list[Asked] = []
    spoken_of = {part for e in story for part in parts_named(e)}
    holds: set[tuple[str, str]] = set()
    for e in story:
        pair = None
        match e.fact:
            case PartRemoved(part=part, parent=parent):
                if part and parent in spoken_of and not any(came_off(o, part) for o in after(e, story)):
                    pair = (part, parent)
            case OrderSaid(part=part, goes="before", other=other):
                pair = (part, other)
            case OrderSaid(part=part, goes="after", other=other):
                pair = (other, part)
        if pair is None or not set(pair) <= spoken_of:
            continue
        first, then = pair
        if first == then or (then, first) in closure(holds):
            asked.append(Asked(f"{e.id}.clash", e, "settle"))
        else:
            holds.add(pair)
    for part in spoken_of:
        removals = [e for e in story if came_off(e, part)]
        for earlier, later in pairwise(removals):
            between = [e for e in after(earlier, story) if e in story[: story.index(later)]]
            back = [e for e in between if isinstance(e.fact, CheckConfirmed) and e.fact.check == f"{earlier.id}.back"]
            if earlier.fact.how == later.fact.how and not back:
                asked.append(Asked(f"{later.id}.twice", later, "settle"))
    return asked


def state_of(asked: Asked, story: list[Entry[Any]], known: Known) -> str:
    later = after(asked.by, story)
    for e in list(later):
        if (asked.part and came_off(e, asked.part)) or (looks_at_all(asked) and isinstance(e.fact, PartRemoved)):
            later = after(e, story)
    state = "open"
    for e in later:
        if isinstance(e.fact, ExceptionAccepted) and e.fact.check == asked.key:
            by = e.fact.accepted_by
            named = by.strip() != "" and e.fact.reason.strip() != "" and (known == () or person(by, known) is not None)
            others = [e.who, *(w.who for w in whole_work(asked, story))] if asked.safety else []
            if named and all(two_people(by, other, known) for other in others):
                state = "excepted"
        elif confirms(e, asked, later, story, known):
            state = "confirmed"
    return state


HOLDERS = ["jack", "stand", "strap", "wire", "support", "pin", "clamp"]
CLOSERS = ["plug", "rag", "cap", "cover", "bung"]


def comes_out(aid: str, where: str) -> tuple[bool, bool]:
    """(asked after its part is tight, asked before its part goes back); both where nobody can tell."""
    words = aid.lower().split()
    holder, closer = any(w in HOLDERS for w in words), any(w in CLOSERS for w in words)
    if holder is closer:
        holder, closer = "holds" in where.lower(), "closes" in where.lower()
    return (True, True) if holder is closer else (holder, closer)


def looks_at_all(asked: Asked) -> bool:
    """A road test, the complaint and nothing left over are of the whole vehicle: one more part off asks them again."""
    return asked.kind == "road" or asked.key.endswith((".left", ".complaint", ".bag"))


def confirms(e: Entry[Any], asked: Asked, later: list[Entry[Any]], story: list[Entry[Any]], known: Known) -> bool:
    match asked.kind, e.fact:
        case "settle", _:
            return False
        case "second", SecondCheckMade(check=key):
            work = whole_work(asked, story)
            by_others = all(two_people(w.who, e.who, known) for w in work)
            done = work_on(asked, story) != []
            return key == asked.key and done and by_others and not any(w in after(e, story) for w in work)
        case "second", _:
            return False
        case "aid", AidRemoved(aid=aid) if aid == asked.by.id:
            return True
        case "receive", RenewalReceived(needed=needed) if needed == asked.by.id:
            return True
        case "road", RoadTested(when="after", felt=felt, outcome=outcome):
            told = felt.strip() != "" or outcome != ""
            return told and stands_still(e.fact) is False and driven_as_before(asked.by.fact, e.fact)
        case "dealt", CheckConfirmed(check=key, value=value, note=note):
            return key == asked.key and (value + note).strip() != ""
        case "road", CheckConfirmed(check=key, value=value, note=note):
            return key == asked.key and (value + note).strip() != "" and "not driven" not in (value, note)
        case "cleared", CodesCleared(module=module):
            return module.strip() == "" or alike(module, asked.by.fact.module)
        case "stage", StageTightened():
            return last_of_stage(asked, later, story) is e
        case "level", _:
            return tells_level(e, asked, story)
        case "read", CodeRead(when="after", module=module, code=code, none_stored=none):
            told = (module.strip() == "" or alike(module, asked.by.fact.module)) and (code.strip() != "" or none)
            if not none and code not in {"P0735", "4E2A0"} and not alike(code, asked.by.fact.code):
                return False
            return told and not cleared_after(e, asked, story)
        case "read", CheckConfirmed(check=key, value=value, note=note) if key == asked.key:
            return (value + note).strip() != "" and not cleared_after(e, asked, story)
        case "stage", CheckConfirmed(check=key, value=value):
            if key != asked.key or tool_is_wrong(value, "", asked):
                return False
            fasteners = set_of(asked.by, story)
            counts = [s.fact.count for s in sets_told(fasteners, story) if s in story[: story.index(e)]]
            of_another_number = fasteners is not None and counts[-1:] != [fasteners.fact.count]
            if of_another_number and asked.by.fact.count != fasteners.fact.count:  # type: ignore[union-attr]
                return False
            return not any(
                (
                    isinstance(o.fact, CheckConfirmed)
                    and o.fact.check == asked.key
                    and tool_is_wrong(o.fact.value, "", asked)
                )
                or measured_wrong(o, asked, story)
                for o in after(e, story)
            )
        case _, CheckConfirmed(check=key):
            return key == asked.key
    return False


N_M = {"60 N.m": 60.0, "62 N.m": 62.0, "55 N.m": 55.0, "600 N.m": 600.0, "20 N.m": 20.0, "8 N.m": 8.0}
DEGREES = {"90 deg": 90.0, "94 deg": 94.0}


def tool_is_wrong(value: str, setting: str, asked: Asked) -> bool:
    """Of the values of the histories: anything else is no torque and no angle, or not more than nothing."""
    stage = asked.by.fact.stages[asked.stage - 1]
    if value == "" or stage.kind in ("by hand", "back off"):
        return False
    if stage.kind == "angle":
        if value not in DEGREES or stage.value not in {"", *DEGREES}:
            return True
        return stage.value != "" and abs(DEGREES[value] - DEGREES[stage.value]) > 5
    if value not in N_M or stage.value not in {"", *N_M}:
        return True
    right = [N_M[stage.value]] if stage.value else []
    if setting:
        if right and near(N_M[value], right[0]):
            return False
        if setting not in N_M:
            return True
        right += [N_M[setting]] if not right or N_M[setting] <= 2 * right[0] else []
    return right != [] and not any(near(N_M[value], torque) for torque in right)


def near(got: float, torque: float) -> bool:
    """ISO 6789: 6 % up to 10 N.m, 4 % above."""
    return abs(got - torque) <= torque * (0.06 if torque <= 10 else 0.04) + 1e-6


def measured_wrong(e: Entry[Any], asked: Asked, story: list[Entry[Any]]) -> bool:
    match e.fact:
        case StageTightened(specification=spec, stage=n, position=at, value=value, setting=setting):
            fasteners = set_of(asked.by, story)
            count = fasteners.fact.count if fasteners is not None else asked.by.fact.count or 0
            of_it = (spec, n) == (asked.by.id, asked.stage) and (at is None or count == 0 or at <= count)
            return of_it and tool_is_wrong(value, setting, asked)
    return False


def sets_told(fasteners: Entry[FastenersRemoved] | None, story: list[Entry[Any]]) -> list[Entry[Any]]:
    """This set however often it was told, up to the word that counts."""
    if fasteners is None:
        return []
    upto = story[: story.index(fasteners) + 1]
    sets = [e for e in upto if isinstance(e.fact, FastenersRemoved) and e.fact.part == fasteners.fact.part]
    return [e for e in sets if alike(e.fact.fasteners, fasteners.fact.fasteners)]


def hidden_by(finding: Entry[Any], story: list[Entry[Any]]) -> str:
    """The part that came off last before it."""
    off = [e for e in story if isinstance(e.fact, PartRemoved) and e.fact.part and finding in after(e, story)]
    return str(off[-1].fact.part) if off else ""


def stands_still(drive: RoadTested) -> bool:
    """Of road tests whose words for it are `not driven` alone."""
    return "0 km" in (drive.distance, drive.speed) or drive.speed == "0" or drive.felt == "not driven"


KM_H = {"80 km/h": 80.0, "60 mph": 96.56}


def driven_as_before(before: object, after: RoadTested) -> bool:
    """Of road tests that say no speed in words."""
    if not isinstance(before, RoadTested) or after.as_before:
        return True
    if before.speed.strip():
        speeds = KM_H.get(before.speed), KM_H.get(after.speed)
        return after.speed.strip() != "" and (None in speeds or speeds[1] >= 0.9 * speeds[0])  # type: ignore[operator]
    digits = {sign for sign in before.felt if sign.isdigit()}
    if not before.distance.strip() and not digits:
        return True
    measured = after.distance + after.speed + after.engine_speed + after.gear_ratio
    return measured.strip() != "" or (digits != set() and digits <= set(after.felt))


def tells_level(e: Entry[Any], asked: Asked, story: list[Entry[Any]]) -> bool:
    fluid = asked.by.fact.fluid
    for o in after(e, story):
        match o.fact:
            case FluidDrained() | FluidFilled() if alike(o.fact.fluid, fluid):
                return False
            case LevelChecked(found="low" | "high") if alike(o.fact.fluid, fluid):
                return False
    low, high, engine = "", "", ""
    if isinstance(asked.by.fact, LevelSpecified):
        low, high, engine = asked.by.fact.low, asked.by.fact.high, asked.by.fact.engine
    match e.fact:
        case CheckConfirmed(check=key):
            return key == asked.key and low == high == ""
        case LevelChecked(fluid=of, found="right", temperature=temperature, engine=running):
            if not alike(of, fluid) or (engine != "" and running != engine):
                return False
            if low == high == "":
                return True
            if not temperature.endswith(" degC"):
                return False
            at = float(temperature.removesuffix(" degC"))
            bottom = float(low.removesuffix(" degC")) if low else -1000
            top = float(high.removesuffix(" degC")) if high else 1000
            return bottom <= at <= top
    return False


def cleared_after(e: Entry[Any], asked: Asked, story: list[Entry[Any]]) -> bool:
    cleared = [o for o in after(e, story) if isinstance(o.fact, CodesCleared)]
    return any(o.fact.module.strip() == "" or alike(o.fact.module, asked.by.fact.module) for o in cleared)


def last_of_stage(asked: Asked, later: list[Entry[Any]], story: list[Entry[Any]]) -> Entry[Any] | None:
    """The entry that last turned a wrench on this stage, if the stage is complete."""
    fasteners = set_of(asked.by, story)
    count = fasteners.fact.count if fasteners is not None else asked.by.fact.count or 0
    same = fasteners is None or asked.by.fact.count == count
    tight: list[Entry[Any]] = []
    for e in later:
        match e.fact:
            case StageTightened(specification=spec, stage=n, position=at) if (spec, n) == (asked.by.id, asked.stage):
                if measured_wrong(e, asked, story):
                    tight = [t for t in tight if at is not None and t.fact.position not in (None, at)]
                elif at is None:
                    told = [s.fact.count for s in sets_told(fasteners, story) if e in after(s, story)]
                    tight += [e] if same or told[-1:] == [count] else []
                elif count == 0 or at <= count:
                    tight.append(e)
    places = {t.fact.position for t in tight}
    return tight[-1] if None in places or (count > 0 and places == set(range(1, count + 1))) else None


def work_on(asked: Asked, story: list[Entry[Any]]) -> list[Entry[Any]]:
    by = asked.by
    if isinstance(by.fact, TorqueSpecified):
        by = set_of(by, story) or by
    torques = torques_of(by, story)
    specs = [s.id for s in torques]
    keys = {f"{by.id}.started", f"{by.id}.tight"}
    keys |= {f"{s.id}.stage{n + 1}" for s in torques for n in range(len(s.fact.stages))}
    work: list[Entry[Any]] = []
    off = False
    for e in story:
        if asked.part and came_off(e, asked.part):
            work = []
            off = True
        match e.fact:
            case CheckConfirmed(check=key) if key in keys:
                work.append(e)
            case StageTightened(specification=spec) if spec in specs:
                work.append(e)
    if not off and asked.part:  # only spoken of: from the first word about it
        about = next(e for e in story if asked.part in parts_named(e))
        work = [w for w in work if w in after(about, story)]
    return work


def whole_work(asked: Asked, story: list[Entry[Any]]) -> list[Entry[Any]]:
    """Whatever was done under the name of this set, however often the set was told."""
    by = asked.by
    if isinstance(by.fact, TorqueSpecified):
        by = set_of(by, story) or by
    work = work_on(asked, story)
    for e in story:
        if isinstance(e.fact, FastenersRemoved) and e.fact.part == by.fact.part != "":
            work = work + (work_on(replace(asked, by=e), story) if alike(e.fact.fasteners, by.fact.fasteners) else [])
    return work


def set_of(spec: Entry[TorqueSpecified], story: list[Entry[Any]]) -> Entry[FastenersRemoved] | None:
    if spec.fact.part == "":
        return None
    sets = [e for e in story if isinstance(e.fact, FastenersRemoved) and e.fact.part == spec.fact.part]
    same = [e for e in sets if alike(e.fact.fasteners, spec.fact.fasteners)]
    if same:
        return same[-1]
    return sets[0] if sets and spec.fact.fasteners.strip() == "" else None


def torques_of(fasteners: Entry[FastenersRemoved], story: list[Entry[Any]]) -> list[Entry[TorqueSpecified]]:
    return [e for e in story if isinstance(e.fact, TorqueSpecified) and set_of(e, story) is fasteners]


def closure(pairs: set[tuple[str, str]]) -> set[tuple[str, str]]:
    found = set(pairs)
    while True:
        more = {(a, d) for a, b in found for c, d in found if b == c} - found
        if not more:
            return found
        found |= more


def parts_named(e: Entry[Any]) -> list[str]:
    named = list(e.fact.parts) if isinstance(e.fact, BagPacked) else [getattr(e.fact, "part", "")]
    return [part for part in named if part != ""]


def came_off(e: Entry[Any], part: str) -> bool:
    return isinstance(e.fact, PartRemoved) and e.fact.part == part


def after(e: Entry[Any], story: list[Entry[Any]]) -> list[Entry[Any]]:
    return story[story.index(e) + 1 :]


def alike(one: str, other: str) -> bool:
    return one.lower().split() == other.lower().split()


def two_people(one: str, other: str, known: Known) -> bool:
    first, second = person(one, known), person(other, known)
    return first is not None and second is not None and first != second


def person(name: str, known: Known) -> int | None:
    """Which of the known people this is. No two of these share a name."""
    bare = "".join(name.lower().split())
    for number, names in enumerate(known):
        if bare in ["".join(one.lower().split()) for one in names if one != ""]:
            return number
    return None
