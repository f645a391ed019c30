"""Which vehicle, and which trouble code: text that is compared and checked, never calculated with."""

import re
import unicodedata
from dataclasses import dataclass
from typing import Literal

from reassembly.trade.workings import Workings

# One letter for all that look alike on a dirty plate, whatever alphabet the keyboard was set to.
_LOOK_ALIKE = str.maketrans("OQIАВЕІКМНОРСТУХΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "001ABE1KMH0PCTYXABEZH1KMN0PTYX")


def registration_key(text: str) -> str:
    """A registration as people compare it: letters and digits only, in capitals. Empty when there are none."""
    return "".join(c for c in unicodedata.normalize("NFKC", text).upper() if c.isalnum())


def look_alike_key(text: str) -> str:
    """A registration with O and 0, I and 1 taken for one, and accents left out. Second best: it can join two plates."""
    bare = unicodedata.normalize("NFD", registration_key(text))
    return "".join(c for c in bare if not unicodedata.combining(c)).translate(_LOOK_ALIKE)


def compare_registrations(one: str, other: str) -> Literal["same", "look-alike", "different"]:
    """How near two registrations are. A "look-alike" needs a person's word that it is the same vehicle."""
    if not registration_key(one) or not registration_key(other):
        return "different"
    if registration_key(one) == registration_key(other):
        return "same"
    return "look-alike" if look_alike_key(one) == look_alike_key(other) else "different"


# 49 CFR 565.15(c): value of each letter, weight of each position, the remainder written as a digit or X.
_VALUE = {c: int(c) for c in "0123456789"} | dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", map(int, "12345678123457923456789"), strict=True)
)
_WEIGHT = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_REMAINDER = "0123456789X"
_NEVER = {"I": "1", "O": "0", "Q": "0"}  # not allowed in a VIN, and the digit each is taken for

# ISO 3780, from memory: the part of the world that the first character belongs to. H has changed hands and is left out.
_REGION = {
    "ABCDEFG": "Africa",
    "JKLMNPR": "Asia",
    "STUVWXYZ": "Europe",
    "12345": "North America",
    "67": "Oceania",
    "89": "South America",
}
# 49 CFR 565.15(d), from memory: the model year in position 10, beginning in 1980 and again in 2010.
_YEAR = "ABCDEFGHJKLMNPRSTVWXY123456789"


@dataclass(frozen=True, slots=True)
class Vin:
    """A vehicle identification number as typed, and what can be told from it.

    `key` is what to compare and search by. `certain` and `doubts` are sentences; a doubt asks for a second look at the
    plate and blocks nothing. `check_digit` is the one the other sixteen ask for, None when they cannot be reckoned.
    """

    text: str
    key: str
    check_digit: str | None
    certain: tuple[str, ...]
    doubts: tuple[str, ...]


def check_sum(vin: str) -> int:
    """Weighted sum of 17 characters; its remainder by 11 is the check digit (10 is X). Position 9 does not count.

    Raises ValueError for any other length or a character that a VIN never has. Source: 49 CFR 565.15(c).
    """
    if len(vin) != len(_WEIGHT):
        raise ValueError(f"a check digit needs 17 characters, {vin} has {len(vin)}")
    counted = [(c, w) for c, w in zip(vin.upper(), _WEIGHT, strict=True) if w]
    if strange := [c for c, _ in counted if c not in _VALUE]:
        raise ValueError(f"{strange[0]} has no value in a check digit")
    return sum(_VALUE[c] * w for c, w in counted)


def read_vin(text: str) -> Vin:
    """Read a VIN in any case, with spaces and hyphens. Raises ValueError only when nothing was typed."""
    key = re.sub(r"[\s*.\-]", "", unicodedata.normalize("NFKC", text)).upper()
    if not key:
        raise ValueError("no VIN was typed: seventeen letters and digits, from the plate or the windscreen")
    certain: list[str] = []
    if len(key) == len(_WEIGHT) + 1 and key[0] == "I":
        key = key[1:]
        certain.append("the I in front is the import mark of a bar code, not part of the VIN")
    doubts = [*_form_doubts(key)]
    check_digit = None
    if not doubts:
        check_digit = _REMAINDER[check_sum(key) % 11]
        checked, doubted = _check(key, check_digit)
        certain += [*checked, *_told(key)]
        doubts += doubted
    elif suggestion := _without_never(key):
        doubts.append(suggestion)
    return Vin(text, key, check_digit, tuple(certain), tuple(doubts))


def _form_doubts(key: str) -> list[str]:
    doubts = []
    if short := len(_WEIGHT) - len(key):
        slip = f"{short} missing" if short > 0 else f"{-short} too many"
        doubts.append(f"{len(key)} characters, a VIN has 17: {slip}, unless the vehicle is older than 1981")
    for place, c in enumerate(key, 1):
        if c in _NEVER:
            doubts.append(f"position {place} is the letter {c}, which a VIN never has: is it {_NEVER[c]}?")
        elif c not in _VALUE:
            doubts.append(f"position {place} is {c}, which a VIN never has")
    if len(key) == len(_WEIGHT) and (letters := [c for c in key[-4:] if c in _VALUE and not c.isdigit()]):
        doubts.append(f"the last four are digits in most VINs (ISO 3779, from memory), here {', '.join(letters)}")
    return doubts


def _without_never(key: str) -> str | None:
    mended = "".join(_NEVER.get(c, c) for c in key)
    if mended == key or len(mended) != len(_WEIGHT) or not set(mended) <= set(_VALUE):
        return None
    right = mended[8] == _REMAINDER[check_sum(mended) % 11]
    return f"{mended} has the right check digit: very likely the plate says that" if right else None


def _check(key: str, check_digit: str) -> tuple[list[str], list[str]]:
    workings = f"sum {check_sum(key)}, remainder {check_sum(key) % 11}"
    american = key[0] in "12345"
    if key[8] == check_digit:
        return [f"check digit {check_digit} is right ({workings})"], []
    if key[8] not in _REMAINDER and not american:
        return [f"position 9 is {key[8]}, so this maker gives no check digit"], []
    excuse = (
        "read the plate again" if american else "read the plate again; only North America requires a right check digit"
    )
    return [], [f"position 9 is {key[8]}, the other sixteen ask for {check_digit} ({workings}): {excuse}"]


def _told(key: str) -> list[str]:
    told = [f"maker {key[:3]}"]
    told += [f"maker registered in {region}" for firsts, region in _REGION.items() if key[0] in firsts]
    if key[0] in "12345" and key[9] in _YEAR:
        early = 1980 + _YEAR.index(key[9])
        meant, other = (early, early + 30) if key[6].isdigit() else (early + 30, early)
        told.append(f"model year {meant} for a car or light truck by position 7, otherwise {other}")
    return told


def vin_workings(vin: Vin) -> Workings[str]:
    """The check digit that the other sixteen characters ask for. Raises ValueError when it cannot be reckoned."""
    if vin.check_digit is None:
        raise ValueError(f"no check digit: {'; '.join(vin.doubts)}")
    total = check_sum(vin.key)
    return Workings(
        vin.check_digit,
        "sum of value x weight, remainder of 11, 10 written X",
        {
            "VIN": vin.key,
            "values": " ".join(
                str(_VALUE[sign]) if weight else "-" for sign, weight in zip(vin.key, _WEIGHT, strict=True)
            ),
            "weights": " ".join(map(str, _WEIGHT)),
            "sum": total,
            "remainder": total % 11,
            "position 9": vin.key[8],
        },
        "49 CFR 565.15(c)",
        "; ".join((*vin.certain, *vin.doubts)),
    )


_SYSTEM = {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}  # in the order of bits 15 and 14
# SAE J2012, from memory: third character of a standardised P0 code.
_PART = {
    "0": "fuel, air and emission",
    "1": "fuel and air",
    "2": "fuel and air, injectors",
    "3": "ignition or misfire",
    "4": "emission aids",
    "5": "speed, idle and auxiliary inputs",
    "6": "control unit and its outputs",
    "7": "transmission",
    "8": "transmission",
    "9": "transmission",
}
# SAE J2012 / ISO 15031-6, generic meanings of the codes that a transmission bench sees most.
_MEANING = {
    "P0700": "transmission control unit has stored a fault and asks for the warning lamp",
    "P0715": "input (turbine) speed sensor circuit",
    "P0720": "output speed sensor circuit",
    "P0730": "incorrect gear ratio",
    **{f"P073{gear}": f"gear {gear}: incorrect ratio" for gear in range(1, 6)},
    "P0736": "reverse: incorrect ratio",
    "P0740": "torque converter clutch circuit",
    "P0741": "torque converter clutch does not hold, or stuck off",
}


@dataclass(frozen=True, slots=True)
class TroubleCode:
    """A trouble code as typed or read, its two bytes, and what its parts say.

    `standard`: True when its meaning is the same for every maker, False when it is the maker's own, None when not
    certain. `failure_type` is the third byte in hex, where one was given. `doubts` says what was
    read otherwise than typed.
    """

    text: str
    code: str
    number: int
    system: str
    standard: bool | None
    part: str | None
    meaning: str | None
    failure_type: str | None = None
    doubts: tuple[str, ...] = ()

    def __str__(self) -> str:
        whose = {
            True: "standard code",
            False: "maker's own code: see the maker's list",
            None: "standard or maker's own",
        }
        words = [self.meaning or f"{self.system}{f', {self.part}' if self.part else ''}", whose[self.standard]]
        return f"{self.code}{f'-{self.failure_type}' if self.failure_type else ''}: {'; '.join(words)}"


def read_code(text: str) -> TroubleCode:
    """Read "P0735", "p 0735", "PO735" or "P0735-64" (with a failure type). Raises ValueError, in words, for others."""
    typed = re.sub(r"[\s.]", "", unicodedata.normalize("NFKC", text)).upper()
    mended = typed[:1] + typed[1:].translate(str.maketrans("OI", "01"))
    match = re.fullmatch(r"([PCBU])([0-3][0-9A-F]{3})(?:[-:/]?([0-9A-F]{2}))?", mended, re.ASCII)
    if match is None:
        raise ValueError(
            f'"{text.strip()}" is not a trouble code: P, C, B or U, a digit 0 to 3, then three of 0-9 and A-F, as P0735'
        )
    letter, digits, failure_type = match.groups()
    number = [*_SYSTEM].index(letter) << 14 | int(digits, 16)
    doubts = () if mended == typed else (f"{typed} read as {mended}: after the first letter there is no letter O or I",)
    return _code(text, number, failure_type, doubts)


# From memory: J1939's SPN and FMI; a maker's own number, in 4 to 6 hex digits or counted by the flashes of a lamp.
_OWN_FORM = re.compile(r"(?:SPN)?\d{1,6}(?:[-/,]|[-/,]?FMI)\d{1,2}|(?=[A-F]*\d)[0-9A-F]{4,6}|\d{1,3}", re.ASCII)


def has_form_of_code(text: str) -> bool:
    """Whether it is a trouble code, or has the form of one that some makers use: "4E2A0", "SPN 191 FMI 2", "25"."""
    try:
        return bool(read_code(text).code)
    except ValueError:
        return _OWN_FORM.fullmatch("".join(unicodedata.normalize("NFKC", text).split()).upper()) is not None


def code_before_words(text: str) -> str:
    """The code that a longer text begins with, where a word or another code goes on after it; "" where none does:
    "P0735clunk on 2-3" gives "P0735"."""
    match = re.match(r"\s*([PCBU]\s?[0-3OI][0-9A-FOI]{3})(?:[-:/][0-9A-F]{2})?(.+)", text.upper(), re.ASCII | re.DOTALL)
    if match is None or not re.search(r"[^\W\d_]{3}|[PCBU][0-3][0-9A-F]{3}", match[2]):
        return ""
    try:
        read_code(text)
    except ValueError:
        return read_code(match[1]).code
    return ""


def code_of_bytes(two: bytes) -> TroubleCode:
    """The code in two bytes as a control unit sends it, high byte first. Raises ValueError unless there are two.

    Source: ISO 15031-6: bits 15-14 the letter, 13-12 the first digit, then three hex digits.
    """
    if len(two) != 2:
        raise ValueError(f"a trouble code is two bytes, not {len(two)}")
    return _code(two.hex(" ").upper(), int.from_bytes(two, "big"))


def code_workings(code: TroubleCode) -> Workings[str]:
    """What a trouble code says, from the bits it is made of."""
    return Workings(
        str(code),
        "bits 15-14 P C B U, bits 13-12 the first digit, then three hex digits",
        {
            "as typed": code.text,
            "two bytes": f"{code.number:04X}",
            "system": code.system,
            "standard": {True: "yes", False: "no, the maker's own", None: "not certain"}[code.standard],
            **({"part": code.part} if code.part else {}),
            **({"failure type": code.failure_type} if code.failure_type else {}),
        },
        "SAE J2012, ISO 15031-6",
        "; ".join(code.doubts),
    )


def _code(text: str, number: int, failure_type: str | None = None, doubts: tuple[str, ...] = ()) -> TroubleCode:
    if number == 0:
        raise ValueError("P0000 says that no code is stored: there is no trouble code to note")
    letter = [*_SYSTEM][number >> 14]
    code = f"{letter}{number & 0x3FFF:04X}"
    part = _PART.get(code[2]) if code[:2] == "P0" else "transmission" if code[:3] == "P27" else None
    return TroubleCode(
        text, code, number, _SYSTEM[letter], _standard(code), part, _MEANING.get(code), failure_type, doubts
    )


def _standard(code: str) -> bool | None:
    """SAE J2012, from memory: x0 and P2 are standardised, x1 and x2 the maker's own, P3 is divided at P34 to P39."""
    match code[0], code[1]:
        case _, "0":
            return True
        case "P", "2":
            return True
        case _, "1" | "2":
            return False
        case "P", "3" if code[2] in "0123":
            return False
        case "P", "3" if code[2] in "456789":
            return True
    return None
