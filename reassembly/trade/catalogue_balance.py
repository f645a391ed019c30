"""Balance: what can be run by name."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from reassembly.trade import balance, trial_run
from reassembly.trade.computation import Computation, Input

if TYPE_CHECKING:
    from pint import Quantity

    from reassembly.trade.workings import Workings

MASS = Input("mass", "mass", "14 g", also=("m", "weight"))
RADIUS = Input("radius", "length", "45 mm", also=("r",))
UNBALANCE = Input("unbalance", "unbalance", "14 g at 45 mm", also=("U", "weight"))
SPEED = Input("speed", "turning", "2500 rpm", unit="rpm", also=("n", "rpm", "shaft speed"))
ROTOR = Input("rotor mass", "mass", "9 kg", unit="kg", also=("mass", "rotor", "shaft mass"))
GRADE = Input("grade", "balance grade", "16", unit="mm/s", also=("G",))
TRIAL = Input("trial", "mass", "10 g", also=("trial weight", "trial mass"))
HEAD = Input("head", "mass", "20 g", also=("clamp head", "clamp"))


def _grade_reached(weight: Quantity[float], mass: Quantity[float], speed: Quantity[float]) -> Workings[Quantity[float]]:
    found = balance.grade_reached(weight, mass, speed)
    return replace(found, note=balance.grade_sentence(found.result))


def _four_runs(
    original: float,
    one: tuple[float, float],
    two: tuple[float, float],
    three: tuple[float, float],
    trial: Quantity[float],
) -> Workings[trial_run.Weight]:
    return trial_run.correction_without_phase(original, (one, two, three), trial)


def _run(name: str, example: str) -> Input:
    return Input(name, "run", example, also=(name.replace(" ", ""),), says="amplitude at the place of the trial weight")


ROWS = (
    Computation("unbalance", "mass times radius", balance.unbalance, (MASS, RADIUS)),
    Computation(
        "turned weight",
        "unbalance left when a weight goes back an angle out",
        balance.left_by_angle,
        (UNBALANCE, Input("angle", "degrees", "30 deg", also=("turned",))),
        ("left by angle", "refit error"),
    ),
    Computation(
        "weight holes out",
        "unbalance left when a weight goes back some holes out",
        balance.left_by_holes,
        (
            UNBALANCE,
            Input("out", "count", "1", also=("holes out", "k")),
            Input("holes", "count", "8", also=("count", "n")),
        ),
        ("left by holes",),
    ),
    Computation(
        "unbalance force",
        "force of an unbalance at a speed",
        balance.force,
        (UNBALANCE, SPEED),
        ("force", "centrifugal force"),
    ),
    Computation(
        "permissible unbalance",
        "what a balance grade allows",
        balance.permissible,
        (GRADE, ROTOR, SPEED),
        ("Uper", "allowed unbalance", "balance limit"),
    ),
    Computation(
        "balance grade", "grade that an unbalance means", _grade_reached, (UNBALANCE, ROTOR, SPEED), ("grade reached",)
    ),
    Computation(
        "weight at radius",
        "the same weight at another radius",
        balance.at_radius,
        (MASS, RADIUS, Input("new radius", "length", "60 mm", also=("r2", "other radius"))),
        ("other radius",),
    ),
    Computation(
        "split weight",
        "one weight as two at other places",
        balance.split,
        (
            MASS,
            Input("wanted", "degrees", "20 deg", also=("at", "angle")),
            Input("first", "degrees", "0 deg", also=("one",)),
            Input("second", "degrees", "45 deg", also=("two", "other")),
        ),
        ("split",),
    ),
    Computation(
        "trial run",
        "correction from one run with a trial weight and phase",
        trial_run.correction_with_phase,
        (
            Input("original", "run", "6 at 40", also=("before",), says="amplitude at phase"),
            Input("with trial", "run", "8 at 110", also=("after", "trial run"), says="amplitude at phase"),
            TRIAL,
            Input("trial at", "degrees", "0 deg", default="0", also=("at", "trial angle")),
        ),
        ("correction with phase", "vector method"),
    ),
    Computation(
        "four runs",
        "correction without a phase reading",
        _four_runs,
        (
            Input("original", "number", "10", also=("before",)),
            _run("run 1", "8 at 0"),
            _run("run 2", "14 at 120"),
            _run("run 3", "9 at 240"),
            TRIAL,
        ),
        ("four-run method", "correction without phase"),
    ),
    Computation(
        "two clamps",
        "what two clamp heads do that stand apart",
        trial_run.clamps_together,
        (HEAD, Input("apart", "degrees", "120 deg", also=("angle",))),
        ("clamps together",),
    ),
    Computation(
        "clamps apart",
        "how far apart two clamp heads stand for a weight",
        trial_run.clamps_apart,
        (Input("wanted", "mass", "15 g", also=("weight", "mass")), HEAD),
    ),
)
