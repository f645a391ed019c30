"""Order, positions, teeth, holes, yokes, clock faces, and codes: what can be run by name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.trade import facing, identity, order, spline
from reassembly.trade.computation import Computation, Input
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from pint import Quantity

    from reassembly.trade.layout import Layout
    from reassembly.trade.spline import Place

TEETH = Input("teeth", "count", "16", also=("count", "n"))
HOLES = Input("holes", "count", "8", also=("count", "n", "bolts"))
CLOCK = Input("clock", "clock", "4 seen from the front", also=("position",))
LAYOUT = Input("layout", "layout", "circle 8", also=("positions",))


def _unevenness(layout: Layout, typed: str) -> Workings[float]:
    sequence = order.read_order(typed, layout.count)
    return Workings(
        order.unevenness(layout.points, sequence),
        "mean distance of the middle of what is tight from the middle of all, in widths of the joint",
        {"layout": layout.kind, "order": sequence},
        "geometry; 0 is even",
    )


def _noted_and_found(noted: Place, found: Place) -> Workings[str]:
    return Workings(
        spline.tooth_doubt(noted, found) or "the same place",
        "found - noted, the short way round",
        {"noted": str(noted), "found": str(found)},
        "geometry",
    )


def _yoke_phase(angle: float) -> list[tuple[str, Workings[Quantity[float]]]]:
    found = spline.phase_out(angle)
    note = spline.phase_sentence(angle)
    return [("", Workings(found.result, found.formula, found.inputs, found.source, note))]


def _registrations(one: str, other: str) -> Workings[str]:
    return Workings(
        identity.compare_registrations(one, other),
        "letters and digits compared; then O and 0, I and 1 taken for one",
        {"one": identity.registration_key(one), "other": identity.registration_key(other)},
        "as people compare them",
    )


def _vin(text: str) -> Workings[str]:
    return identity.vin_workings(identity.read_vin(text))


ROWS = (
    Computation(
        "tightening order", "generic order of a layout", order.order_workings, (LAYOUT,), ("order", "sequence")
    ),
    Computation(
        "unevenness of order",
        "how far off the middle an order pulls",
        _unevenness,
        (LAYOUT, Input("order", "text", "1 5 3 7 2 6 4 8", also=("sequence",))),
        ("evenness",),
    ),
    Computation(
        "tooth angle",
        "degrees from tooth to tooth",
        lambda teeth: spline.degrees_apart(teeth),
        (TEETH,),
        ("degrees a tooth", "spline"),
    ),
    Computation(
        "hole angle",
        "degrees from hole to hole",
        lambda holes: spline.degrees_apart(holes, "hole"),
        (HOLES,),
        ("degrees a hole",),
    ),
    Computation(
        "place angle",
        "angle of a tooth or hole from the first",
        spline.place_angle,
        (Input("place", "place", "tooth 3 of 16", also=("tooth", "hole")),),
    ),
    Computation(
        "teeth out",
        "how far a part is turned, some teeth out",
        lambda out, teeth: spline.angle_out(out, teeth),
        (Input("out", "count", "1", also=("teeth out", "j")), TEETH),
        ("tooth out",),
    ),
    Computation(
        "holes out",
        "how far a part is turned, some holes out",
        lambda out, holes: spline.angle_out(out, holes, "hole"),
        (Input("out", "count", "1", also=("holes out", "k")), HOLES),
        ("hole out",),
    ),
    Computation(
        "noted and found",
        "how many teeth or holes apart two places are",
        _noted_and_found,
        (Input("noted", "place", "tooth 3 of 16"), Input("found", "place", "tooth 5 of 16")),
        ("places out",),
    ),
    Computation(
        "yokes out",
        "phase of the yokes, the slip joint some teeth out",
        spline.yokes_out,
        (Input("out", "count", "1", also=("teeth out",)), TEETH),
    ),
    Computation(
        "yoke phase",
        "how far two yokes are out of phase",
        _yoke_phase,
        (Input("angle", "degrees", "12 deg", also=("between",)),),
        ("phase",),
    ),
    Computation("clock angle", "degrees of a clock position", facing.clock_angle, (CLOCK,)),
    Computation(
        "clock from other side",
        "the same place from the opposite side",
        facing.clock_from_other_side,
        (CLOCK,),
        ("other side", "mirror"),
    ),
    Computation(
        "angle from other side",
        "the same angle from the opposite side",
        lambda degrees: facing.angle_from_other_side(degrees),
        (Input("angle", "degrees", "90 deg"),),
    ),
    Computation(
        "VIN",
        "check digit of a vehicle identification number",
        _vin,
        (Input("VIN", "text", "11111111111111111", also=("number",)),),
        ("check digit",),
    ),
    Computation(
        "trouble code",
        "what a trouble code means",
        lambda text: identity.code_workings(identity.read_code(text)),
        (Input("code", "text", "P0735"),),
        ("code", "DTC", "fault code"),
    ),
    Computation(
        "trouble code bytes",
        "the code in two bytes",
        lambda two: identity.code_workings(identity.code_of_bytes(two)),
        (Input("bytes", "bytes", "0735", also=("hex", "code")),),
        ("code bytes",),
    ),
    Computation(
        "registration",
        "whether two plates are the same",
        _registrations,
        (Input("one", "text", "4TN 881"), Input("other", "text", "4tn-881")),
        ("compare registrations",),
    ),
)
