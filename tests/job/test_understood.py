"""What a screen shows beside what is typed."""

import pytest

from reassembly.job import entries as said
from reassembly.job.entries import Entry, Fact, Stage, kinds
from reassembly.job.job import Job
from reassembly.job.understood import lines, understood

JOB = Job.of(
    Entry(bench="A", number=n, hlc=n, time="", who="ann", job="A.1", previous="", fact=fact)
    for n, fact in enumerate(
        (
            said.JobOpened(vehicle="Kestrel van", torque_unit="lbf.ft"),
            said.PartRemoved(part="shaft", name="propshaft"),
            said.FastenersRemoved(part="shaft", count=4),
            said.PartRemoved(part="pan", name="gearbox pan"),
            said.FluidDrained(fluid="ATF", amount="5.8 l"),
            said.FluidFilled(fluid="ATF", amount="2.5 l"),
            said.LevelSpecified(fluid="ATF", low="35 °C", high="45 °C"),
        ),
        1,
    )
)
FLANGE = said.TorqueSpecified(part="shaft", stages=(Stage("by hand"), Stage("torque", "60"), Stage("angle", "90")))

# In the brackets: 110 N.m is 81.13 lbf.ft, 60 lbf.ft 81.35 N.m, 14 g 0.4938 oz, 5.8 l 6.129 US qt (NIST SP 811).
READ: list[tuple[Fact, list[str]]] = [
    (said.JobOpened(vehicle="v"), ["a torque typed bare is in N.m"]),
    (said.CodeRead(code="P0735"), ["P0735: gear 5: incorrect ratio; standard code"]),
    (said.CodeRead(), []),
    (said.CodeRead(none_stored=True), ["no code stored"]),
    (said.RoadTested(speed="50 mph"), ["50 mph"]),
    (said.RoadTested(speed="80"), ["80 km/h (49.71 mph)"]),
    (said.DrivelineNoted(tyre="235/60R18"), ["roll-out 2.322 m by the size; on the ground it is less"]),
    (said.DrivelineNoted(tyre="2.24 m"), []),
    (said.PartRemoved(part="c", name="c", how="aside"), ["swung aside, not off"]),
    (said.PartRemoved(part="c", name="c", parent="pan"), ["off", "goes back before gearbox pan does"]),
    (
        said.OrientationNoted(part="pan", feature="lug", clock="4", seen_from="front"),
        ["lug at 4 o'clock seen from the front (8 o'clock seen from the rear)"],
    ),
    (
        said.OrientationNoted(part="pan", feature="slots", faces="front"),
        ["slots facing the front, away from the rear"],
    ),
    (said.AidFitted(aid="stand"), ["it bears weight: asked out when all parts are back"]),
    (said.AidFitted(aid="wire"), ["it holds: asked out last, when the part is back and tight"]),
    (said.AidFitted(aid="rag"), ["it is in the way: asked out before the part goes back"]),
    (
        said.AidFitted(aid="gadget"),
        ["asked before the part goes back whether it is in the way, and out when the part is tight"],
    ),
    (said.MarkMade(part="shaft", mark="m", spline_teeth=27), ["360/27 = 13.3 deg a tooth"]),
    (
        said.MarkMade(part="shaft", mark="m", spline_teeth=16, marked_tooth=3),
        ["360/16 = 22.5 deg a tooth", "tooth 3 of 16"],
    ),
    (said.WeightFound(part="shaft", position="hole 2", mass="14 g"), ["14 g (0.4938 oz)"]),
    (
        said.FastenersRemoved(part="pan", count=3, thread="M12", lengths=("60",), strength="10.9"),
        ["3 bolts", "M12, pitch not said (coarse would be 1.75 mm)", "length 60 mm", "class 10.9"],
    ),
    (
        said.FastenersRemoved(part="pan", count=4, thread="M10x1.25", lengths=("35", "35", "50", "35"), reuse="renew"),
        ["4 bolts, new ones at refit", "M10, pitch 1.25 mm", "length 35 mm, 50 mm at 3"],
    ),
    (
        said.FastenersRemoved(part="pan", count=2, lengths=("35", "50 mm")),
        ["2 bolts", "lengths by position: 35 mm, 50 mm"],
    ),
    (
        said.TorqueSpecified(part="shaft", stages=(Stage("torque", "110 N.m"),)),
        ["torque 110 N.m (81 lbf.ft)"],
    ),
    (
        FLANGE,
        ["stage 1 of 3: by hand", "stage 2 of 3: torque 60 lbf.ft (81 N.m)", "stage 3 of 3: turn 90 deg further"],
    ),
    (
        said.TorqueSpecified(part="shaft", stages=(), layout="circle", seen_from="rear"),
        ["circle of 4 seen from the rear", "order 1 3 2 4: generic, the manual's own goes first"],
    ),
    (
        said.TorqueSpecified(part="shaft", stages=(), order=(1, 2, 3, 4)),
        ["order 1 2 3 4: as the manual gives it"],
    ),
    (said.FluidDrained(fluid="ATF", amount="5.8 l"), ["5.8 l (6.129 US qt)"]),
    (said.FluidFilled(fluid="atf", amount="1.5 l"), ["2.5 l + 1.5 l = 4.0 l of 5.8 l drained"]),
    (said.LevelChecked(fluid="ATF", temperature="40 °C"), ["40 °C is in the window 35 °C to 45 °C"]),
    (said.LevelChecked(fluid="ATF", temperature="50 °C"), []),
    (said.OrderSaid(part="shaft", goes="before", other="pan"), ["first propshaft, then gearbox pan"]),
    (
        said.OrderSaid(part="shaft", goes="after", other="pan"),
        ["first gearbox pan, then propshaft: so it was already"],
    ),
    (said.StageTightened(specification="A.9", stage=1), ["the whole stage at once"]),
    (
        said.StageTightened(specification="A.9", stage=1, position=2, value="60"),
        ["position 2", "measured 60 lbf.ft (81 N.m)"],
    ),
]


@pytest.mark.parametrize(("fact", "shown"), READ, ids=[type(fact).__name__ for fact, _ in READ])
def test_what_was_understood_is_shown_beside_what_is_typed(fact: Fact, shown: list[str]) -> None:
    assert understood(fact, JOB) == shown


def test_every_kind_says_what_is_understood_of_it() -> None:
    assert [k for k in kinds() if lines.dispatch(k) is lines.dispatch(object)] == []


def test_what_cannot_be_read_is_left_to_the_doubts() -> None:
    assert understood(said.FastenersRemoved(part="pan", count=3, thread="pipe", lengths=("long",)), JOB) == ["3 bolts"]
