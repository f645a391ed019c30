"""Joints, shafts, ratios, vibration and fluid: what can be run by name."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from reassembly.trade import driveline, fluid, rotation, vibration
from reassembly.trade.computation import Computation, Input
from reassembly.trade.quantity import of, plain, value
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pint import Quantity

SPEED = Input("speed", "turning", "3000 rpm", unit="rpm", also=("n", "rpm", "shaft speed"))
JOINT = Input("angle", "joint angle", "10 deg", also=("b", "joint angle", "working angle"))
ROAD_SPEED = Input("road speed", "speed", "100 km/h", also=("speed", "v"))
ROLLOUT = Input("rollout", "rollout", "235/60R18", also=("tyre", "tire", "roll out", "circumference"))
AXLE = Input("axle ratio", "ratio", "3.73", also=("axle", "final drive"))
GEAR = Input("gear ratio", "ratio", "1.4", also=("gear", "ratio"))
CYLINDERS = Input("cylinders", "count", "4", default="")
ENGINE = Input("engine speed", "turning", "2400 rpm", default="", unit="rpm", also=("engine", "engine rpm"))
IN = Input("input speed", "turning", "2400 rpm", unit="rpm", also=("input", "in"))
OUT = Input("output speed", "turning", "1200 rpm", unit="rpm", also=("output", "out"))
VOLUME = Input("volume", "volume", "9 l", also=("amount",))
MATERIALS = {each.name: each for each in (driveline.STEEL, driveline.ALUMINIUM)}


def _if_known(given: Input) -> Input:
    return given._replace(default="", usual=True)


def _residual(
    angles: Sequence[float], phases: Sequence[float] | None, planes: Sequence[float] | None
) -> Workings[Quantity[float]]:
    found = driveline.residual_angle(angles, phases or (), planes or ())
    doubts = "; ".join(driveline.joint_doubts(angles, value(found.result, "deg")))
    return replace(found, note="; ".join(filter(None, [found.note, doubts])))


def _working_angle(side: float, plan: float, second_side: float, second_plan: float) -> Workings[Quantity[float]]:
    return driveline.working_angle((side, plan), (second_side, second_plan))


def critical_speed(
    length: Quantity[float],
    outer: Quantity[float],
    inner: Quantity[float] | None,
    wall: Quantity[float] | None = None,
    material: str = driveline.STEEL.name,
    modulus: float | None = None,
    density: float | None = None,
) -> Workings[Quantity[float]]:
    """Critical speed of a tube given by inner diameter or by wall; a solid bar where neither is."""
    if inner is not None and wall is not None:
        raise ValueError("inner diameter and wall say the same: leave one of them out")
    known = MATERIALS.get(material.casefold().replace("aluminum", "aluminium"))
    if known is None:
        raise ValueError(f"{material[:30]} is not in the table: type {' or '.join(MATERIALS)}, or modulus and density")
    known = replace(
        known,
        modulus=known.modulus if modulus is None else modulus,
        density=known.density if density is None else density,
    )
    bore = of(0, "mm") if inner is None else inner
    return driveline.critical_speed(length, outer, bore if wall is None else outer - 2 * wall, known)


def _tyre(tyre: rotation.Tyre) -> list[tuple[str, Workings[Any]]]:
    return [("diameter", tyre.workings), ("roll-out", tyre.rollout)]


def orders(
    road_speed: Quantity[float] | None,
    rollout: Quantity[float] | None,
    axle: float | None,
    gear: float | None,
    engine: Quantity[float] | None,
    cylinders: int | None,
) -> list[tuple[str, Workings[Any]]]:
    """The frequency of every order of what turns, after their speeds; the answer names them all."""
    turning = vibration.speeds(road_speed, rollout, axle, gear, engine)
    found = vibration.orders(turning, cylinders)
    if not found:
        raise ValueError("nothing can be told: give road speed and tyre, or engine speed")
    answer: Workings[Any] = Workings(
        tuple(f"{order.name}: {plain(order.hertz)} Hz" for order in found),
        "order x speed / 60 of wheel, propeller shaft and engine",
        {f"{what} speed": speed.result for what, speed in turning.items()},
        found[0].workings.source,
    )
    return [
        ("", answer),
        *((f"{what} speed", speed) for what, speed in turning.items()),
        *((order.name, order.workings) for order in found),
    ]


def suspects(felt: Quantity[float], *known: Any) -> list[tuple[str, Workings[Any]]]:
    """What was felt against every order, best first."""
    every = orders(*known)
    turning = vibration.speeds(*known[:-1])
    ranked = vibration.suspects(felt, vibration.orders(turning, known[-1]))
    answer: Workings[Any] = Workings(
        tuple(suspect.sentence for suspect in ranked),
        f"order frequency / felt - 1; good to {plain(vibration.GOOD * 100)} %, fair to {plain(vibration.FAIR * 100)} %",
        {"felt": felt, **every[0][1].inputs},
        "imbalance is the first order, a cardan joint the second; the other causes are common practice",
        vibration.not_told_apart(ranked) or "",
    )
    return [("", answer), *every[1:]]


def _level_error(volume: Quantity[float], measured: str, low: str | None, high: str | None) -> Workings[Any]:
    found = fluid.level_error(volume, measured, low or "", high or "")
    return replace(found, note=fluid.within_window(measured, low or "", high or "").sentence)


def _fill_total(filled: Sequence[str], drained: Sequence[str] | None) -> list[tuple[str, Workings[Any]]]:
    totals = fluid.filled_of_drained(filled, drained or ())
    titled = [("filled", totals.filled), ("drained", totals.drained), ("still out", totals.still_out)]
    return [(title, replace(each, note=totals.sentence)) for title, each in titled if each]


ROWS = (
    Computation(
        "joint speed ratio",
        "speed of the driven shaft over the driving one",
        driveline.speed_ratio,
        (
            JOINT,
            Input(
                "turned",
                "degrees",
                "30 deg",
                default="0",
                also=("t", "rotation"),
                says="yoke from the plane of the joint",
            ),
        ),
        ("speed ratio", "cardan ratio"),
    ),
    Computation(
        "joint speed band",
        "highest and lowest speed behind a joint",
        driveline.speed_band,
        (SPEED, JOINT),
        ("speed band",),
    ),
    Computation(
        "joint unevenness",
        "highest less lowest, as a share",
        driveline.unevenness,
        (JOINT,),
        ("unevenness", "fluctuation"),
    ),
    Computation(
        "angle for fluctuation",
        "joint angle that gives a fluctuation",
        driveline.angle_for_fluctuation,
        (SPEED, Input("fluctuation", "turning", "100 rpm", unit="rpm", says="highest less lowest")),
    ),
    Computation("equal speed angle", "where both shafts turn equally fast", driveline.equal_speed_angle, (JOINT,)),
    Computation(
        "working angle",
        "true angle between two shafts from two views",
        _working_angle,
        (
            Input("side", "degrees", "3 deg", also=("side view", "first side")),
            Input("plan", "degrees", "4 deg", also=("plan view", "first plan", "top")),
            Input("second side", "degrees", "1 deg", default="0"),
            Input("second plan", "degrees", "0 deg", default="0"),
        ),
        ("compound angle", "joint angle"),
    ),
    Computation(
        "bend plane",
        "how far the plane of a joint is turned",
        driveline.bend_plane,
        (
            Input("side", "degrees", "3 deg", also=("side view",)),
            Input("plan", "degrees", "4 deg", also=("plan view",)),
        ),
    ),
    Computation(
        "residual angle",
        "one to three joints in a row as one joint",
        _residual,
        (
            Input("angles", "angles", "3; 5", also=("joints", "joint angles", "b")),
            Input("out of phase", "angles", "0", default="", also=("phase",), says="of each shaft between two joints"),
            Input("planes", "angles", "0; 0", default="", says="of each joint, as from bend plane"),
        ),
    ),
    Computation(
        "joint acceleration",
        "angular acceleration behind a joint",
        driveline.joint_acceleration,
        (SPEED, JOINT._replace(also=(*JOINT.also, "residual", "residual angle"))),
        ("angular acceleration",),
    ),
    Computation(
        "largest second joint",
        "second joint that keeps within an acceleration",
        lambda speed, first, limit: driveline.largest_second_joint(speed, first, of(limit, "rad/s**2")),
        (
            SPEED,
            Input("first", "degrees", "3 deg", also=("angle", "first joint")),
            Input("acceleration", "number", "400", unit="rad/s2"),
        ),
    ),
    Computation(
        "critical speed",
        "speed at which a tube whips",
        critical_speed,
        (
            Input("length", "length", "1500 mm", also=("L",)),
            Input("outer", "length", "76.2 mm", also=("outer diameter", "OD", "diameter")),
            Input("inner", "length", "72.9 mm", default="", usual=True, also=("inner diameter", "ID", "bore")),
            Input("wall", "length", "1.65 mm", default=""),
            Input("material", "text", "steel", default="steel", says=" or ".join(MATERIALS)),
            Input("modulus", "number", "207", default="", unit="GPa", also=("E",)),
            Input("density", "number", "7830", default="", unit="kg/m3", also=("rho",)),
        ),
        ("whirling speed",),
    ),
    Computation(
        "tyre",
        "diameter and roll-out from the size code",
        _tyre,
        (Input("size", "tyre", "235/60R18", also=("tyre", "tire", "code")),),
        ("tire", "tyre diameter"),
    ),
    Computation(
        "roll-out",
        "distance of one turn of a tyre",
        lambda tyre: tyre.rollout,
        (Input("tyre", "tyre", "235/60R18", also=("size", "tire", "code")),),
        ("rollout", "circumference"),
    ),
    Computation("wheel speed", "how fast a wheel turns", rotation.wheel_speed, (ROAD_SPEED, ROLLOUT)),
    Computation(
        "shaft speed",
        "how fast the propeller shaft turns",
        rotation.shaft_speed,
        (Input("wheel speed", "turning", "800 rpm", unit="rpm", also=("wheel",)), AXLE),
    ),
    Computation(
        "engine speed",
        "how fast the engine turns",
        rotation.engine_speed,
        (Input("shaft speed", "turning", "2500 rpm", unit="rpm", also=("shaft",)), GEAR),
    ),
    Computation("gear ratio", "turns in for one turn out", rotation.gear_ratio, (IN, OUT), ("ratio",)),
    Computation("slip", "what a clutch or converter slips", rotation.slip, (IN, OUT, GEAR)),
    Computation(
        "slip share", "slip as a share of the input speed", rotation.slip_share, (IN, OUT, GEAR), ("slip percent",)
    ),
    Computation(
        "planetary ratio",
        "sun driving, ring held, carrier driven",
        rotation.planetary_ratio,
        (Input("sun", "count", "30", also=("sun teeth",)), Input("ring", "count", "72", also=("ring teeth",))),
        ("planetary",),
    ),
    Computation(
        "vibration orders",
        "frequency of every order of wheel, shaft and engine",
        orders,
        (_if_known(ROAD_SPEED), _if_known(ROLLOUT), _if_known(AXLE), GEAR._replace(default=""), ENGINE, CYLINDERS),
        ("orders", "frequencies"),
    ),
    Computation(
        "vibration suspects",
        "what fits a felt frequency, best first",
        suspects,
        (
            Input("felt", "turning", "42 Hz", unit="Hz", also=("frequency",)),
            _if_known(ROAD_SPEED),
            _if_known(ROLLOUT),
            _if_known(AXLE),
            GEAR._replace(default=""),
            ENGINE,
            CYLINDERS,
        ),
        ("suspects", "vibration"),
    ),
    Computation(
        "oil expansion",
        "what a volume of oil gains with temperature",
        fluid.expansion,
        (
            VOLUME,
            Input("from", "temperature", "20 °C", also=("start", "cold")),
            Input("to", "temperature", "90 °C", also=("end", "hot")),
            Input("expansion", "number", "0.0007", default=str(fluid.EXPANSION), unit="/K", also=("beta",)),
        ),
        ("expansion", "fluid expansion"),
    ),
    Computation(
        "level error",
        "litres by which a level outside its window misleads",
        _level_error,
        (
            VOLUME,
            Input("measured", "text", "60 °C", also=("temperature", "at")),
            Input("low", "text", "35 °C", default="", usual=True, also=("from",)),
            Input("high", "text", "45 °C", default="", usual=True, also=("to",)),
        ),
    ),
    Computation(
        "fluid total",
        "filled of drained",
        _fill_total,
        (Input("filled", "amounts", "2.5 l + 1.5 l"), Input("drained", "amounts", "5.8 l", default="", usual=True)),
        ("filled of drained", "still out"),
    ),
)
