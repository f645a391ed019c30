"""The units of the trade: what each is worth, and how a technician writes it.

A closed list. pint's own list reads `Nm` as a textile unit, `nm` as nanometre and `ounce*inch` as mass times length;
what is not written here is refused, and the list loads in 2 ms where pint's own takes a tenth of a second.
Radian and turn have no dimension, so pint would turn rpm into Hz by a wrong factor: go from one to the other by hand.
"""

from collections.abc import Iterator
from itertools import product
from typing import Literal, NamedTuple

Dimension = Literal[
    "torque",
    "length",
    "mass",
    "temperature",
    "volume",
    "angle",
    "speed",
    "rotational speed",
    "frequency",
    "force",
    "pressure",
    "duration",
    "unbalance",
]

# Exact by definition (NIST SP 811, 2008, appendix B.8): inch, pound, standard gravity, US gallon, imperial gallon.
DEFINITIONS = """
kilo- = 1e3 = k-
mega- = 1e6 = M-
giga- = 1e9 = G-
deca- = 1e1 = da-
deci- = 1e-1 = d-
centi- = 1e-2 = c-
milli- = 1e-3 = m-
micro- = 1e-6 = µ- = u-
meter = [length] = m = metre
second = [time] = s
gram = [mass] = g
kelvin = [temperature]; offset: 0 = K
degree_Celsius = kelvin; offset: 273.15 = °C = degC = celsius
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = °F = degF = fahrenheit
radian = [] = rad
turn = 2 * 3.14159265358979323846 * radian
degree = turn / 360 = deg
percent = 0.01 = %
minute = 60 * second = min
hour = 60 * minute = h
day = 24 * hour = d
hertz = 1 / second = Hz
cycle_per_minute = 1 / minute = cpm
rpm = turn / minute
inch = 0.0254 * meter = in
foot = 12 * inch = ft
mile = 5280 * foot = mi
thou = 0.001 * inch
kph = kilometer / hour
mph = mile / hour
pound = 0.45359237 * kilogram = lb
ounce = pound / 16 = oz
standard_gravity = 9.80665 * meter / second ** 2 = g_0
newton = kilogram * meter / second ** 2 = N
pound_force = pound * standard_gravity = lbf
ounce_force = ounce * standard_gravity = ozf
kilogram_force = kilogram * standard_gravity = kgf
pascal = newton / meter ** 2 = Pa
bar = 1e5 * pascal
psi = pound_force / inch ** 2
joule = newton * meter = J
watt = joule / second = W
liter = 0.001 * meter ** 3 = l = L = litre
gallon = 231 * inch ** 3
quart = gallon / 4
pint = gallon / 8
fluid_ounce = gallon / 128
imperial_gallon = 4.54609 * liter
imperial_quart = imperial_gallon / 4
imperial_pint = imperial_gallon / 8
"""


class Unit(NamedTuple):
    """One unit of one dimension: how it is shown, what pint calls it, and how people write it (folded, see `fold`)."""

    symbol: str
    pint: str
    spellings: frozenset[str]


def fold(unit: str) -> str:
    """A unit as typed, down to what tells it from another: no case, space, dot, hyphen or multiplication sign."""
    return "".join(sign for sign in unit.lower() if sign not in " .-*·⋅∙•×").replace("#", "lb")


def _both_ways(force: str, length: str, slash: str = "") -> str:
    """Every spelling of force times length, either first: "lb lbs" and "ft foot" to "lbft ftlb lbsft ...".

    With `slash` also ft/lb, as "foot-pounds" is often written; lb/ft is a force per length and stays refused."""
    pairs = list(product(force.split(), length.split()))
    written = [f + x for f, x in pairs] + [x + f for f, x in pairs] + [f"{x}/{f}" for f, x in pairs if slash]
    return " ".join(written)


_POUND = "lb lbs lbf lbsf pound pounds poundforce poundsforce"
_FOOT, _INCH = "ft foot feet", "in ins inch inches"
_KILO = "kg kgf kgs kp kilo kilos"

# Symbol, pint's name, spellings already folded. The first symbol of a dimension is the one refusals suggest first.
_TABLE: dict[Dimension, list[tuple[str, str, str]]] = {
    "torque": [
        ("N.m", "newton * meter", "nm newtonmetre newtonmetres newtonmeter newtonmeters"),
        ("lbf.ft", "pound_force * foot", _both_ways(_POUND, _FOOT, "/")),
        ("lbf.in", "pound_force * inch", _both_ways(_POUND, _INCH, "/")),
        ("kgf.m", "kilogram_force * meter", _both_ways(_KILO, "m") + " kpm mkp"),
        ("kgf.cm", "kilogram_force * centimeter", _both_ways(_KILO, "cm")),
        ("ozf.in", "ounce_force * inch", _both_ways("oz ozf ozs ounce ounces", _INCH, "/")),
        ("cN.m", "centinewton * meter", "cnm ncm"),
        ("daN.m", "decanewton * meter", "danm"),
        ("kN.m", "kilonewton * meter", "knm"),
    ],
    "length": [
        ("mm", "millimeter", "mm millimetre millimetres millimeter millimeters"),
        ("cm", "centimeter", "cm centimetre centimetres centimeter centimeters"),
        ("m", "meter", "m metre metres meter meters"),
        ("km", "kilometer", "km kilometre kilometres kilometer kilometers"),
        ("µm", "micrometer", "µm μm um micron microns"),
        ("in", "inch", "in ins inch inches \" '' ” ″"),
        ("ft", "foot", "ft foot feet ' ’ ′"),
        ("mi", "mile", "mi mile miles"),
        ("thou", "thou", "thou thous mil mils"),
    ],
    "mass": [
        ("g", "gram", "g gr gram grams gramme grammes"),
        ("kg", "kilogram", "kg kgs kilo kilos kilogram kilograms"),
        ("mg", "milligram", "mg milligram milligrams"),
        ("oz", "ounce", "oz ozs ounce ounces"),
        ("lb", "pound", "lb lbs pound pounds"),
    ],
    "temperature": [
        ("°C", "degree_Celsius", "°c degc c celsius degreec degreesc degreecelsius degreescelsius"),
        ("°F", "degree_Fahrenheit", "°f degf f fahrenheit degreef degreesf degreefahrenheit degreesfahrenheit"),
        ("K", "kelvin", "k kelvin"),
    ],
    "volume": [
        ("l", "liter", "l lt ltr ltrs litre litres liter liters"),
        ("ml", "milliliter", "ml cc ccm cm3 cm³ millilitre millilitres milliliter milliliters"),
        ("cl", "centiliter", "cl"),
        ("dl", "deciliter", "dl"),
        ("US qt", "quart", "usqt qt qts quart quarts usquart usquarts"),
        ("US pt", "pint", "uspt pt pts pint pints uspint uspints"),
        ("US gal", "gallon", "usgal gal gals gallon gallons usgallon usgallons"),
        ("US fl oz", "fluid_ounce", "usfloz floz fluidounce fluidounces"),
        ("imp qt", "imperial_quart", "impqt imperialquart imperialquarts ukqt"),
        ("imp pt", "imperial_pint", "imppt imperialpint imperialpints ukpt"),
        ("imp gal", "imperial_gallon", "impgal imperialgallon imperialgallons ukgal"),
    ],
    "angle": [
        ("deg", "degree", "deg degs degree degrees ° º ˚"),
        ("rad", "radian", "rad rads radian radians"),
        ("turn", "turn", "turn turns rev revs revolution revolutions"),
    ],
    "speed": [
        ("km/h", "kph", "km/h kph kmh k/h"),
        ("mph", "mph", "mph mi/h miles/h"),
        ("m/s", "meter / second", "m/s mps"),
    ],
    "rotational speed": [
        ("rpm", "rpm", "rpm rev/min revs/min r/min 1/min min1 min⁻¹ /min u/min t/min revolutions/minute revsperminute"),
        ("rad/s", "radian / second", "rad/s"),
        ("turn/s", "turn / second", "turn/s turns/s rev/s revs/s r/s rps"),
    ],
    "frequency": [
        ("Hz", "hertz", "hz hertz 1/s /s cps"),
        ("cpm", "cycle_per_minute", "cpm cycles/min 1/min /min"),
    ],
    "force": [
        ("N", "newton", "n newton newtons"),
        ("kN", "kilonewton", "kn kilonewton kilonewtons"),
        ("daN", "decanewton", "dan"),
        ("lbf", "pound_force", "lbf lb lbs pound pounds"),
        ("kgf", "kilogram_force", "kgf kp kg kilo kilos"),
    ],
    "pressure": [
        ("bar", "bar", "bar bars"),
        ("kPa", "kilopascal", "kpa"),
        ("MPa", "megapascal", "mpa n/mm2 n/mm²"),
        ("psi", "psi", "psi lb/in2 lb/in² lbf/in2 lbf/in²"),
    ],
    "duration": [
        ("min", "minute", "min mins minute minutes"),
        ("s", "second", "s sec secs second seconds"),
        ("h", "hour", "h hr hrs hour hours"),
        ("d", "day", "d day days"),
    ],
    "unbalance": [
        ("g.mm", "gram * millimeter", "gmm"),
        ("g.cm", "gram * centimeter", "gcm"),
        ("kg.mm", "kilogram * millimeter", "kgmm"),
        ("oz.in", "ounce * inch", "ozin inoz"),
    ],
}

UNITS: dict[Dimension, tuple[Unit, ...]] = {
    dimension: tuple(Unit(symbol, name, frozenset([*words.split(), fold(symbol)])) for symbol, name, words in rows)
    for dimension, rows in _TABLE.items()
}

# What people type in place of a unit, and what they should be told.
SLIPS: dict[Dimension, dict[str, str]] = {
    "torque": {
        **dict.fromkeys(["lb", "lbs", "lbf", "pound", "pounds"], "pounds alone are a force: type lbf.ft or lbf.in"),
        **dict.fromkeys(["n", "newton", "newtons"], "newtons alone are a force: type N.m"),
        **dict.fromkeys(["kg", "kgf", "kp", "kilo"], "kilograms alone are a force: type kgf.m or kgf.cm"),
        **dict.fromkeys(["ft", "foot", "feet"], "feet alone are a length: type lbf.ft"),
        **dict.fromkeys(["in", "inch"], "inches alone are a length: type lbf.in"),
        **dict.fromkeys(["lb/ft", "lbs/ft", "lbf/ft"], "that is a force per length: for a torque type lbf.ft"),
        **dict.fromkeys(["lb/in", "lbs/in", "lbf/in"], "that is a force per length: for a torque type lbf.in"),
        "n/m": "that is a force per length: for a torque type N.m",
        "j": "joules are energy: for a torque type N.m",
        "deg": "degrees are an angle: that is a stage of its own",
        "°": "degrees are an angle: that is a stage of its own",
    },
    "length": {"nm": "N.m is a torque, and nanometres are not measured at a bench: for a length type mm"},
}


USUAL: dict[Dimension, str] = {
    "torque": "N.m", "length": "mm", "mass": "g", "temperature": "°C", "volume": "l", "angle": "deg", "speed": "km/h",
    "rotational speed": "rpm", "frequency": "Hz", "force": "N", "unbalance": "g.mm",
}  # fmt: skip
"""The unit meant where none is typed."""


def every_unit() -> Iterator[Unit]:
    """Each unit once, in the order of the table."""
    for units in UNITS.values():
        yield from units
