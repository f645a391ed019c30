"""Threads, strength, torque and wrenches: what can be run by name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reassembly.trade import fastener, grade, stages, wrench
from reassembly.trade.computation import Computation, Input
from reassembly.trade.conversion import converted
from reassembly.trade.quantity import show
from reassembly.trade.thread import geometry
from reassembly.trade.workings import Workings

if TYPE_CHECKING:
    from collections.abc import Callable

    from pint import Quantity

    from reassembly.trade.grade import Grade
    from reassembly.trade.thread import Thread

THREAD = Input("thread", "thread", "M10x1.25")
CLASS = Input("class", "class", "10.9", also=("grade", "property class", "strength"))
TORQUE = Input("torque", "torque", "60 N.m")
FRICTION = Input("friction", "number", "0.12", also=("mu", "coefficient of friction"))
PRELOAD = Input("preload", "force", "30 kN", unit="N", also=("F", "force", "load"))
FACTOR = Input("factor", "number", "0.2", also=("K", "nut factor"))
DIAMETER = Input("diameter", "diameter", "10 mm", also=("d", "thread", "size"))
UNDER_HEAD = Input("under head", "number", "0.14", default="", says="friction under the head where it is another")
LEVER = Input("lever", "length", "400 mm", also=("L", "length"), says="drive square to middle of hand")
ADAPTER = Input("adapter", "length", "50 mm", also=("E", "extension", "offset"), says="drive square to bolt")
ANGLE = Input("angle", "degrees", "90 deg", default="0", says="0 straight out, 90 square, 180 turned back")


def _geometry(name: str) -> Callable[[Thread], Workings[Any]]:
    def run(thread: Thread) -> Workings[Any]:
        found = geometry(thread)
        if name not in found:
            raise ValueError(f"the table has no {name} of inch threads: ask for the minor diameter")
        return found[name]

    return run


def _thread(thread: Thread) -> list[tuple[str, Workings[Any]]]:
    """Everything about a thread; its pitch is the answer, the others stand beside it."""
    standard = "ASME B1.1" if thread.inch else "ISO 261"
    pitch = Workings(thread.pitch, "as designated", {"thread": thread.designation}, standard, thread.doubt)
    return [("pitch", pitch), *geometry(thread).items()]


def _head_mark(strength: Grade) -> Workings[str]:
    return Workings(strength.head_mark, "what the head shows", {"class": strength.name}, strength.source)


def torque_window(thread: Thread, strength: Grade) -> Workings[tuple[Quantity[float], Quantity[float]]]:
    """Both ends of the window as one number, worded as the guard it is."""
    low, high = fastener.torque_window(thread, strength)
    return Workings(
        (low.result, high.result),
        fastener.AT_YIELD,
        {
            **fastener.shared(low),
            "mu": (fastener.SLIPPERY, fastener.ROUGH),
            "FM": (low.inputs["FM"], high.inputs["FM"]),
        },
        low.source,
        fastener.GUARD,
    )


def _fits(thread: Thread, strength: Grade, torque: Quantity[float]) -> Workings[str]:
    window = torque_window(thread, strength)
    doubt = fastener.doubt_about_torque(thread.designation, strength.name, show(torque))
    return Workings(
        doubt or "no doubt: it is within what such a bolt usually takes",
        "the torque against 0.3 of the lower and 1.15 of the upper end of the window",
        {"torque": torque, "window": window.result},
        window.source,
        window.note,
    )


def _generic_stages(final: str) -> list[tuple[str, Workings[Any]]]:
    made = ", ".join(stage.words for stage in stages.generic_stages(final))
    *parts, whole = stages.generic_workings(final)
    answer: Workings[Any] = Workings(
        made,
        "by hand, 30, 70 and 100 % of final, check pass",
        {"final": whole.inputs["final"]},
        whole.source,
        whole.note,
    )
    return [("", answer), *((f"{share} % of final", each) for share, each in zip(stages.SHARES, parts, strict=False))]


def _band(setting: Quantity[float]) -> Workings[tuple[Quantity[float], Quantity[float]]]:
    low, high = wrench.true_torque_band(setting)
    return Workings(
        (low.result, high.result),
        f"{low.formula}, {high.formula}",
        low.inputs,
        low.source,
        "of a wrench in calibration",
    )


def _lowest(low: str, high: str) -> Workings[Any]:
    return wrench.lowest_usable(wrench.Wrench("the wrench", low, high))


ROWS = (
    Computation(
        "convert",
        "a quantity in another unit",
        converted,
        (
            Input("value", "text", "85 Nm", also=("from", "quantity", "typed")),
            Input("to", "text", "lbf.ft", also=("unit", "in")),
        ),
        ("unit", "units", "conversion"),
    ),
    Computation("thread", "pitch, diameters and stress area", _thread, (THREAD,), ("thread geometry", "pitch")),
    Computation("pitch diameter", "d2 of a thread", _geometry("pitch diameter"), (THREAD,), ("d2",)),
    Computation("minor diameter", "D1 of the internal thread", _geometry("minor diameter"), (THREAD,), ("D1",)),
    Computation("root diameter", "d3 of the external metric thread", _geometry("root diameter"), (THREAD,), ("d3",)),
    Computation(
        "stress area", "area that carries the load", _geometry("stress area"), (THREAD,), ("tensile stress area", "As")
    ),
    Computation("head mark", "what the head of a class or grade shows", _head_mark, (CLASS,)),
    Computation("proof load", "load borne without staying longer", grade.proof_load, (THREAD, CLASS)),
    Computation("yield load", "load at which a bolt stays longer", grade.yield_load, (THREAD, CLASS)),
    Computation(
        "tensile load",
        "least load at which a bolt breaks",
        grade.tensile_load,
        (THREAD, CLASS),
        ("breaking load", "ultimate load"),
    ),
    Computation(
        "preload at yield",
        "preload that uses 90 % of yield at a friction",
        fastener.preload_at_yield,
        (THREAD, CLASS, FRICTION),
        ("VDI preload", "assembly preload"),
    ),
    Computation(
        "torque at yield",
        "torque that uses 90 % of yield at a friction: a guard, no specification",
        fastener.torque_at_yield,
        (THREAD, CLASS, FRICTION),
        ("VDI torque", "tightening torque"),
    ),
    Computation(
        "torque window", "the same at friction 0.08 and 0.20: a guard, no specification", torque_window, (THREAD, CLASS)
    ),
    Computation(
        "torque check",
        "whether a torque fits its bolt, and the likely slip if not",
        _fits,
        (THREAD, CLASS, TORQUE),
        ("plausible torque", "does it fit"),
    ),
    Computation(
        "share of window",
        "a torque as a share of both ends of the window",
        fastener.share_of_window,
        (TORQUE, THREAD, CLASS),
    ),
    Computation(
        "torque for preload",
        "VDI 2230 long form",
        lambda preload, thread, friction, head, across: fastener.torque_for(
            preload, thread, friction, under_head=head, bearing=across
        ),
        (
            PRELOAD,
            THREAD,
            FRICTION,
            UNDER_HEAD,
            Input("bearing", "length", "13.8 mm", default="", says="mean diameter under the head"),
        ),
        ("torque from preload",),
    ),
    Computation(
        "preload from torque",
        "VDI 2230 long form, the other way round",
        lambda torque, thread, friction, head: fastener.preload_from(torque, thread, friction, under_head=head),
        (TORQUE, THREAD, FRICTION, UNDER_HEAD),
        ("preload",),
    ),
    Computation(
        "nut factor",
        "K of T = K d F that a friction means",
        fastener.nut_factor,
        (THREAD, FRICTION),
        ("K factor", "torque coefficient"),
    ),
    Computation(
        "short torque",
        "T = K d F",
        fastener.short_torque,
        (PRELOAD, DIAMETER, FACTOR),
        ("T=KdF", "KdF", "torque by nut factor"),
    ),
    Computation(
        "short preload",
        "F = T / (K d)",
        fastener.short_preload,
        (TORQUE, DIAMETER, FACTOR),
        ("F=T/(Kd)", "preload by nut factor"),
    ),
    Computation(
        "generic stages",
        "stages from a final value, where the manual gives none",
        _generic_stages,
        (Input("final", "text", "60 N.m", also=("torque",)),),
        ("stages",),
    ),
    Computation(
        "prevailing torque",
        "what a self-locking thread eats, added",
        stages.with_prevailing,
        (TORQUE, Input("prevailing", "torque", "8 N.m", also=("drag", "run-down torque"))),
        ("self-locking",),
    ),
    Computation(
        "lubricated torque",
        "a value given for one surface, brought to another",
        stages.lubricated,
        (
            TORQUE,
            Input("given for", "text", "dry steel", also=("given",), says="; ".join(fastener.NUT_FACTORS)),
            Input("now", "text", "oiled"),
        ),
        ("lubrication",),
    ),
    Computation(
        "wrench setting",
        "what to set through an adapter",
        wrench.setting_with_adapter,
        (TORQUE, LEVER, ADAPTER, ANGLE),
        ("adapter", "setting", "setting with adapter", "crow foot", "extension"),
    ),
    Computation(
        "torque through adapter",
        "what reaches the bolt at a setting",
        wrench.torque_through_adapter,
        (Input("setting", "torque", "50 N.m", also=("torque", "set")), LEVER, ADAPTER, ANGLE),
    ),
    Computation(
        "true torque",
        "least and most that a wrench in calibration gives",
        _band,
        (Input("setting", "torque", "50 N.m", also=("torque", "set")),),
        ("true torque band", "wrench tolerance", "wrench accuracy"),
    ),
    Computation(
        "lowest setting",
        "lowest setting to use on a wrench",
        _lowest,
        (
            Input("low", "text", "20 N.m", also=("from",), says="lowest mark"),
            Input("high", "text", "200 N.m", also=("to", "full scale"), says="highest mark"),
        ),
        ("lowest usable",),
    ),
    Computation(
        "calibration",
        "last good day of a calibration",
        wrench.calibration_workings,
        (Input("calibrated", "date", "2026-03-14", also=("on", "date")), Input("months", "count", "12", default="12")),
        ("calibration due",),
    ),
)
