"""The rear's answers, of one shape for an axle on leaf springs and for one on links."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, ClassVar, Final

import numpy as np

from app.document.model import FrozenMap
from app.systems.answers import FURTHEST, Driver, Pose, Ranges, Stance
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.links.statics import full_link_forces
from geometry.modes.hop import HOP_RESULTS
from geometry.numeric import quietly
from geometry.rows import Cut
from geometry.standing import AS_MEASURED, AxleCar, Stand, axle_to_road
from geometry.vectors import Array

if TYPE_CHECKING:
    from geometry.leaf.car import LeafCar
    from geometry.leaf.load import LoadCurve
    from geometry.leaf.poses import LeafPoses
    from geometry.leaf.rear import LeafRear
    from geometry.leaf.single import TorqueCurve
    from geometry.leaf.wind_up import WindUp
    from geometry.links.car import LinkCar, LinkRear
    from geometry.links.results import LinkAxleResults
    from geometry.links.statics import LinkForces
    from geometry.modes.hop import Hop


LATE: Final = frozenset(
    HOP_RESULTS
    | {"full_thrust", "full_braking", "wind_up_full", "lift_full", "eye_load_least"}
    | {"bars_close_at", "bars_push_full", "bars_lift_full"}
    | {"bars_close_travel", "bars_wheel_rate", "bars_roll_rate", "bars_turn_bump"}
    | {"damper_bump_roll", "damper_droop_roll"}
    | {
        f"{what}_full"
        for what in ("pinion_to_gearbox", "pinion_joint_angle", "gearbox_joint_angle")
    }
)
"""Results of the modes, of the torque curve, of bars in bump and of roll."""


@dataclass(frozen=True)
class RearSweep:
    """Results over one driver: arrays (n,) or, of wheels, (2, n); unreached poses mean nothing.

    `leaf` or `links` is where the axle is, by what is fitted.
    """

    driver: str
    at: Array
    values: Mapping[str, Array]
    reached: Array
    links: LinkAxleResults | None = None
    leaf: LeafPoses | None = None

    def part(self, part: slice) -> RearSweep:
        """Return some of the poses."""
        values = Cut(self.values, part)
        poses = None if self.leaf is None else self.leaf.part(part)
        links = None if self.links is None else self.links.part(part)
        return RearSweep(self.driver, self.at[part], values, self.reached[part], links, poses)


def stood(sweep: RearSweep, car: AxleCar, stand: Stand) -> RearSweep:
    """Return a sweep of a car that stands elsewhere: travel from there, side view to the road."""
    if stand.is_as_measured:
        return sweep
    if sweep.leaf is not None:
        hub = sweep.leaf.x, sweep.leaf.z
    else:
        assert sweep.links is not None  # one of both is fitted
        centre = sweep.links.poses.centre
        hub = centre[:, 0], centre[:, 2]
    at = sweep.at if sweep.driver == "roll" else sweep.at - stand.travel
    return replace(sweep, at=at, values=axle_to_road(sweep.values, hub, car, stand))


@dataclass(frozen=True, kw_only=True)
class RearAnswers(ABC):
    """One car's rear and its answers; `leaf` or `links` is what is fitted.

    `torque` is the axle from full braking to full drive, and what ends it; `hop` its modes. A
    short solve lacks these and `roll`.
    """

    kind: ClassVar[str]
    results: ClassVar[tuple[Result, ...]]
    steer: ClassVar[None] = None
    wheels: ClassVar[Mapping[str, Array]] = FrozenMap()
    rest: RearSweep
    travel: RearSweep
    roll: RearSweep | None
    single: Mapping[str, float]
    leaf: LeafRear | None = None
    links: LinkRear | None = None
    torque: TorqueCurve | None = None
    hop: Hop | None = None
    stand: Stand = AS_MEASURED

    @cached_property
    def curve(self) -> LoadCurve | None:
        """Load against deflection of the pack, None where there is none or its load isn't known."""
        if self.leaf is None or self.leaf.car.load is None:
            return None
        return self.leaf.curve()

    @cached_property
    def link_forces(self) -> tuple[LinkForces, ...]:
        """Forces in the links where it stands; nothing on leaves, or where they aren't known."""
        if self.links is None or self.rest.links is None:
            return ()
        return full_link_forces(self.links.car, self.rest.links.poses)

    @property
    def pinion_on_springs(self) -> float | None:
        """Pinion angle to the road at rest, no snubber pushing [rad]; None without leaves."""
        return None if self.leaf is None else self.leaf.pinion_on_springs - self.stand.pitch

    @property
    def twist(self) -> WindUp | None:
        """The axle under torque at its thrusts, None where it isn't known."""
        return None if self.torque is None else self.torque.twist

    @property
    def short(self) -> bool:
        """Tell whether roll, modes and torque curve are left out."""
        return self.roll is None

    @property
    def late(self) -> frozenset[str]:
        """The results that a short solve leaves out."""
        return LATE if self.short else frozenset()

    @property
    def stance(self) -> Stance | None:
        """How it stands in a corner, None where the springs aren't known."""
        values = self.rest.values
        if "roll_wheel_rate" not in values:
            return None
        return Stance(
            float(values["roll_centre_height"][0]),
            float(values["roll_wheel_rate"][0]),
            self.track,
        )

    @cached_property
    def settled(self) -> RearSweep | None:
        """The pose in which the springs carry the load, None where it isn't known."""
        travel = self.single.get("settled_travel")
        if travel is None:
            return None
        return self.tried_pose(Pose(travel=travel - self.stand.travel))

    def at_pose(self, pose: Pose) -> RearSweep:
        """Solve one pose: travel [mm] and roll [rad] together.

        Raises
        ------
        GeometryError
            The axle can't go there; the error tells the two points and their distances. In roll
            that of a leaf spring tells the travel of the spring that stops, which is the travel
            asked for less or more half the spring base times the sine of the roll.
        """
        sweep = self.tried_pose(pose)
        if not sweep.reached[0]:
            raise self.reason(pose)
        return sweep

    @quietly
    def tried_pose(self, pose: Pose) -> RearSweep:
        """Solve one pose; an unreachable one has `reached` false, or raises a GeometryError."""
        travel = np.array([pose.travel + self.stand.travel])
        return self._stood(self.solve_poses("pose", travel, np.array([pose.roll])))

    def _stood(self, sweep: RearSweep) -> RearSweep:
        return stood(sweep, self.car, self.stand)

    @quietly
    def sweep_at(self, driver: Driver, values: Sequence[float], steer: float = 0.0) -> RearSweep:
        """Solve exactly these travels [mm] or rolls [rad]; a rear isn't steered."""
        at = np.asarray(values, dtype=float)
        tried = np.abs(at) <= FURTHEST[driver]
        # Zero, which every car reaches, goes with them: a run may lie out of reach as a whole.
        place = np.append(np.where(tried, at, 0.0), 0.0)
        if driver == "roll":
            swept = self.solve_poses(driver, np.full_like(place, self.stand.travel), place)
        else:
            swept = self.solve_poses(driver, place + self.stand.travel, None)
        run = self._stood(swept).part(slice(0, at.size))
        return replace(run, at=at, reached=run.reached & tried)

    @property
    @abstractmethod
    def car(self) -> LeafCar | LinkCar:
        """The car that it was made from."""

    @property
    @abstractmethod
    def track(self) -> float:
        """Distance between the wheels [mm]."""

    @abstractmethod
    def solve_poses(self, driver: str, travel: Array, roll: Array | None) -> RearSweep:
        """Solve a run of poses, travel from the measured height; roll None is a level body."""

    @abstractmethod
    def completed(self, ranges: Ranges) -> RearAnswers:
        """Return the same car with what a short solve left out."""

    @abstractmethod
    def reason(self, pose: Pose) -> GeometryError:
        """Say what keeps the axle from a pose that it can't take."""
