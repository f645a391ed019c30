"""What is known of a vehicle's driveline, put together from all that was noted; and how fast its parts turn."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reassembly.job.entries import DrivelineNoted
from reassembly.trade.inputs import understand
from reassembly.trade.quantity import of
from reassembly.trade.vibration import SHAFT, WHEEL, speeds

if TYPE_CHECKING:
    from pint import Quantity

    from reassembly.job.job import Job
    from reassembly.trade.workings import Workings

AT = "100 km/h"


class Vehicle(NamedTuple):
    """Quantities as last noted, None where nobody has or it cannot be read."""

    tyre: str
    rollout: Quantity[float] | None
    axle_ratio: float | None
    cylinders: int | None
    joint_angles: tuple[float, ...]
    shaft_mass: Quantity[float] | None
    shaft_length: Quantity[float] | None
    tube: Quantity[float] | None
    wall: Quantity[float] | None

    def turning(self, name: str) -> Workings[Quantity[float]] | None:
        """The speed of wheel or propeller shaft at 100 km/h."""
        try:
            return speeds(of(100, "km/h"), self.rollout, self.axle_ratio).get(name)
        except ValueError:
            return None

    @property
    def shaft(self) -> Workings[Quantity[float]] | None:
        return self.turning(SHAFT)

    @property
    def wheel(self) -> Workings[Quantity[float]] | None:
        return self.turning(WHEEL)

    @property
    def missing(self) -> str:
        """What has to be noted before a shaft speed follows from a road speed; empty when nothing."""
        wanted = [("tyre size", self.rollout), ("axle ratio", self.axle_ratio)]
        return " and ".join(name for name, known in wanted if known is None)


def vehicle(job: Job) -> Vehicle:
    """The driveline of a job's vehicle: each thing as it was noted last."""
    noted: dict[str, Any] = {}
    for entry in job.said(DrivelineNoted):
        for name in entry.fact.__struct_fields__:
            if getattr(entry.fact, name):
                noted[name] = getattr(entry.fact, name)
    angles = [_read(angle, "joint angle") for angle in noted.get("joint_angles", ())]
    return Vehicle(
        tyre=noted.get("tyre", ""),
        rollout=_read(noted.get("tyre", ""), "rollout"),
        axle_ratio=_read(noted.get("axle_ratio", ""), "ratio"),
        cylinders=noted.get("cylinders"),
        joint_angles=tuple(angle for angle in angles if angle is not None) if None not in angles else (),
        shaft_mass=_read(noted.get("shaft_mass", ""), "mass", "kg"),
        shaft_length=_read(noted.get("shaft_length", ""), "length"),
        tube=_read(noted.get("tube", ""), "length"),
        wall=_read(noted.get("wall", ""), "length"),
    )


def _read(text: str, kind: str, unit: str = "") -> Any:
    if not text.strip():
        return None
    try:
        return understand(text, kind, unit).value
    except ValueError:
        return None
