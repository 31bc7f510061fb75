"""What a study of an axle on leaf springs reads: measured and moved points, pack, masses."""

from __future__ import annotations

import numpy as np

from geometry.dampers import DamperPair
from geometry.dataclass import dataclass
from geometry.leaf.pack import LeafPack
from geometry.leaf.wind_up import TractionBars
from geometry.propshaft import Propshaft

Place = tuple[float, float, float]


@dataclass(frozen=True)
class LeafPoints:
    """Points of the left side, body axes (x forward, y left, z up) [mm]."""

    front_eye: Place
    rear_eye: Place
    shackle_body: Place
    centre_bolt: Place
    wheel_centre: Place


@dataclass(frozen=True)
class RightSpring:
    """The right-hand spring's points as a left one's mirror, where they aren't the left one's.

    Parameters
    ----------
    points, moved
        As of `LeafCar`.
    is_own
        Whether it is a spring as its own points say; else the left one's twin on these holes.
    """

    points: LeafPoints
    moved: LeafPoints
    is_own: bool


@dataclass(frozen=True)
class Fitted:
    """What is fitted between spring and axle, and at the spring's ends.

    Parameters
    ----------
    block
        Thickness between spring and axle [mm].
    wedge
        Turn of the axle against the seat [rad], + nose up.
    shackle
        Length [mm], None for as measured.
    eyes
        How the front and the rear eye are rolled: "upturned", "central" or "downturned".
    eye
        Inner diameter of an eye [mm].
    """

    block: float = 0.0
    wedge: float = 0.0
    shackle: float | None = None
    eyes: tuple[str, str] = ("upturned", "upturned")
    eye: float = 0.0


@dataclass(frozen=True)
class Drive:
    """Engine torque [N·mm], ratios, tyre grip and driveline efficiency; None where not known."""

    engine_torque: float | None
    gear: float | None
    final_drive: float | None
    grip: float | None
    efficiency: float = 1.0


@dataclass(frozen=True)
class AxleMass:
    """Axle with wheels: mass [kg], inertias about its tube and along the car [kg·mm²]."""

    mass: float
    pitch_inertia: float
    roll_inertia: float


@dataclass(frozen=True)
class LeafCar:
    """Everything that a study of a leaf axle reads; None or empty where not known.

    Parameters
    ----------
    points
        Of the measured pose with the moves made to fit.
    moved
        The same with the moves of holes added.
    pack, measured_fit, fit
        The leaves; what was fitted when the car was measured, and what is now.
    pinion, has_pinion
        Pinion angle measured [rad], + nose up; whether it was: else 0, and only its turn is known.
    tyre_radius, tyre_rate
        [mm], [N/mm].
    load
        Sprung weight on one spring [N].
    friction
        Share of the load that rubbing leaves add loading and take unloading.
    wheelbase, cg_height, brake_share
        Of the car [mm], [mm], rear share of braking.
    axle_load, weight
        Of both rear wheels, and of the whole car, on the road [N].
    dampers
        Left and right: (axle end, body end, rate N·s/mm) in car axes.
    damper_closed, damper_open
        Lengths at which the dampers bottom and top out [mm].
    drive, axle, bars, bush_rate, propshaft
        As far as known.
    gap_as_measured
        Whether the bars' gap is that of the measured height, not that where the car stands.
    bump
        Travel to the bump stop [mm].
    right
        The right-hand spring, None where it mirrors the left one.
    front_ahead
        How far the left front wheel centre stands ahead of the right one [mm], 0 if not known.
    """

    points: LeafPoints
    moved: LeafPoints
    pack: LeafPack
    measured_fit: Fitted
    fit: Fitted
    pinion: float
    tyre_radius: float
    tyre_rate: float | None = None
    load: float | None = None
    friction: float = 0.0
    wheelbase: float | None = None
    cg_height: float | None = None
    brake_share: float | None = None
    axle_load: float | None = None
    weight: float | None = None
    dampers: tuple[tuple[Place, Place, float | None], ...] = ()
    damper_closed: float | None = None
    damper_open: float | None = None
    drive: Drive | None = None
    axle: AxleMass | None = None
    bars: TractionBars | None = None
    bush_rate: float | None = None
    has_pinion: bool = True
    propshaft: Propshaft | None = None
    right: RightSpring | None = None
    gap_as_measured: bool = False
    bump: float = 80.0
    front_ahead: float = 0.0

    @property
    def middle(self) -> Place:
        """Middle between the wheel centres in the measured pose [mm], the left one's x and z."""
        x, _, z = self.points.wheel_centre
        return x, 0.0, z

    @property
    def damper_pair(self) -> DamperPair | None:
        """Both dampers, None where they aren't given."""
        if not self.dampers:
            return None
        ends = tuple((axle, body) for axle, body, _ in self.dampers)
        return DamperPair(ends, self.middle, self.damper_closed, self.damper_open)

    @property
    def leverage(self) -> float | None:
        """Wheelbase over the centre of gravity's height (no unit), None where not known."""
        if self.wheelbase is None or self.cg_height is None or not np.any(self.cg_height):
            return None
        return self.wheelbase / self.cg_height
