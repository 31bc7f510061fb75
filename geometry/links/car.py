"""One car's rear on five links, from measured and moved points to every result."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from geometry.conventions import GRAVITY
from geometry.dampers import HousingMove, stroke_results
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.leaf.car import AxleMass, Drive
from geometry.links.axle import Link, LinkAxle, Strut
from geometry.links.poses import LINK_KEYS, AxlePoses, check_at_rest, check_reachable, solve_poses
from geometry.links.results import LinkAxleResults, link_axle_results, nose_to_ground
from geometry.links.ride import (
    Carried,
    anti_lift,
    anti_squat,
    carried,
    ride_frequency,
    settled_between,
    settled_by_energy,
    settled_travel,
    settling_place,
    settling_step,
)
from geometry.numeric import quietly, refuse_far_points
from geometry.propshaft import Propshaft
from geometry.squareness import thrust_results
from geometry.vectors import Array, Point

Results = dict[str, Array]

# Step towards the settled height after which nothing but rounding is left [mm].
_STANDS: Final = 1e-4


@dataclass(frozen=True)
class LinkCar:
    """Everything that a study of a link axle reads; None where not known.

    Parameters
    ----------
    axle
        Links, coils and dampers as bolted up; kept links carry their length.
    load
        Sprung weight on one wheel [N].
    tyre_rate
        [N/mm].
    wheelbase, cg_height, brake_share
        Of the car [mm], [mm], rear share of braking.
    pinion, has_pinion
        Pinion angle measured [rad], + nose up; whether it was: else 0, and only its turn is known.
    propshaft
        Gearbox and joints, None where not known.
    has_coils, has_dampers
        Whether their points are given.
    free_given
        Coil's free length as given [mm], None when not.
    damper_closed, damper_open
        Lengths at which the dampers bottom and top out [mm].
    axle_load, weight
        Of both rear wheels, and of the whole car, on the road [N].
    drive
        Engine, ratios and grip.
    axle_mass
        Of the axle with its wheels.
    damper_rate
        Of each damper [N·s/mm].
    bolt_diameter
        Of the links' bolts [mm].
    has_bush_rates, has_lateral_rate
        Whether the rates of the links along the car, and of the one across, are given: else they
        count as `LINK_RATE`.
    front_ahead
        How far the left front wheel centre stands ahead of the right one [mm], 0 if not known.
    """

    axle: LinkAxle
    load: float | None = None
    tyre_rate: float | None = None
    wheelbase: float | None = None
    cg_height: float | None = None
    brake_share: float | None = None
    pinion: float = 0.0
    has_pinion: bool = True
    propshaft: Propshaft | None = None
    has_coils: bool = True
    has_dampers: bool = True
    free_given: float | None = None
    damper_closed: float | None = None
    damper_open: float | None = None
    axle_load: float | None = None
    weight: float | None = None
    drive: Drive | None = None
    axle_mass: AxleMass | None = None
    damper_rate: float | None = None
    bolt_diameter: float | None = None
    has_bush_rates: bool = False
    has_lateral_rate: bool = False
    front_ahead: float = 0.0

    @property
    def leverage(self) -> float | None:
        """Wheelbase over the centre of gravity's height (no unit), None where not known."""
        if self.wheelbase is None or self.cg_height is None or not np.any(self.cg_height):
            return None
        return self.wheelbase / self.cg_height

    @property
    def tyre_radius(self) -> float:
        """Of the loaded tyres [mm]."""
        return self.axle.tyre_radius


@dataclass(frozen=True)
class LinkReference:
    """Free length of the measured coils that carries the load [mm], and the one given."""

    free: float | None
    free_given: float | None


@dataclass(frozen=True)
class LinkRear:
    """A car's link axle put together; its coils are as long as the load asks."""

    car: LinkCar
    reference: LinkReference

    @property
    def axle(self) -> LinkAxle:
        """The axle."""
        return self.car.axle

    def solve(self, travel: Array, roll: Array) -> LinkAxleResults:
        """Return everything that follows from poses; travel [mm] and roll [rad], (n,).

        Parameters
        ----------
        travel
            Rise of the axle's centre [mm], + in bump, shape (n,).
        roll
            Of the body against the axle [rad], + to the right, shape (n,).
        """
        return link_axle_results(solve_poses(self.car.axle, travel, roll))

    @quietly
    def values(self, solution: LinkAxleResults) -> tuple[Results, Array]:
        """Return results by key, (n,), and where the poses are reached."""
        car = self.car
        values: Results = {
            "wheel_travel": solution.poses.travel,
            "wheelbase_change": solution.path.wheelbase_change,
            "axle_steer": solution.path.steer,
            "axle_shift": solution.path.lateral_shift,
            "roll_steer": solution.roll.roll_steer,
            "roll_steer_textbook": solution.roll.roll_steer_by_slope,
            "roll_centre_height": solution.roll.roll_centre_height,
            "roll_centre_other": solution.roll.roll_centre_height_by_force,
            "roll_axis_slope": solution.roll.roll_axis_slope,
            "side_centre_x": solution.side.centre[:, 0],
            "side_centre_z": solution.side.centre[:, 1],
        }
        values["side_swing_arm_length"] = values["side_centre_x"] - solution.poses.centre[:, 0]
        if car.wheelbase is not None and car.cg_height is not None:
            support = solution.side.support
            values["anti_squat"] = anti_squat(support, car.wheelbase, car.cg_height)
            if car.brake_share is not None:
                values["anti_lift"] = anti_lift(
                    support, car.wheelbase, car.cg_height, car.brake_share
                )
        values |= self._squareness(solution)
        values |= self._propshaft(solution)
        values |= self._ride(solution)
        return values, np.asarray(solution.poses.reachable)

    def _squareness(self, results: LinkAxleResults) -> Results:
        left, right = self.car.axle.wheel_left, self.car.axle.wheel_right
        across = left[1] - right[1]
        made = np.arctan((right[0] - left[0]) / across)
        heading = np.tan(made + results.path.steer)
        return thrust_results(heading * across, across, across, self.car.front_ahead)

    def _propshaft(self, results: LinkAxleResults) -> Results:
        car, turn = self.car, results.path.pinion_angle
        to_ground = nose_to_ground(results.poses, car.pinion)
        values: Results = {"pinion_turn": to_ground - car.pinion}
        if car.has_pinion:
            values["pinion_angle"] = to_ground
        if car.propshaft is not None:
            left, right = car.axle.wheel_left, car.axle.wheel_right
            made = (
                0.5 * (left[0] + right[0]),
                0.5 * (left[1] + right[1]),
                0.5 * (left[2] + right[2]),
            )
            x, y, z = results.poses.centre.T
            move = HousingMove((x - made[0], y - made[1], z - made[2]), turn)
            values |= car.propshaft.results(car.pinion + turn, made, move)
        return values

    def _ride(self, results: LinkAxleResults) -> Results:
        car, rates = self.car, results.rates
        values: Results = {}
        if car.has_dampers:
            lengths = results.dampers.length.T
            values |= stroke_results(lengths, car.damper_closed, car.damper_open)
            values["damper_motion_ratio"] = results.dampers.bounce_ratio.T
        if not car.has_coils:
            return values
        values |= {
            "spring_length": results.coils.length[:, 0],
            "spring_motion_ratio": results.coils.bounce_ratio[:, 0],
        }
        if self.reference.free is None:
            return values
        values |= {
            "spring_load": rates.coil_force[:, 0],
            "wheel_rate": rates.wheel_rate.total,
            "wheel_rate_spring": rates.wheel_rate.by_coil,
            "wheel_rate_geometry": rates.wheel_rate.by_force,
            "wheel_rate_bushes": rates.wheel_rate.by_links,
            "roll_wheel_rate": rates.roll_wheel_rate,
        }
        if car.load is not None:
            values["ride_frequency"] = ride_frequency(
                rates.wheel_rate.total, car.load / GRAVITY, car.tyre_rate
            )
        if car.tyre_rate is not None:
            wheel = rates.wheel_rate.total
            values["ride_rate"] = wheel * car.tyre_rate / (wheel + car.tyre_rate)
        return values

    @quietly
    def settled_on(self, level: AxlePoses) -> float | None:
        """Return what `settled` does from level poses of which no results are at hand.

        Parameters
        ----------
        level
            Their travel rising evenly, shape (n,).
        """
        if self.reference.free is None or self.car.load is None or not self.car.has_coils:
            return None
        place = settled_by_energy(level, 2.0 * self.car.load)
        return self.settled(carried(level)) if place is None else place

    @quietly
    def settled(self, level: Carried) -> float | None:
        """Return the travel at which the coils carry the load [mm], + sits lower, or None.

        Parameters
        ----------
        level
            What is carried in level poses that are solved already.
        """
        if self.reference.free is None or self.car.load is None or not self.car.has_coils:
            return None
        try:
            return self._settled(2.0 * self.car.load, level)
        except GeometryError:
            return None

    def _settled(self, load: float, level: Carried) -> float:
        if not np.isfinite(level.push).any():
            return settled_travel(self.car.axle, load)
        between = settled_between(level, load)
        if between is not None:
            return between
        steps = np.where(np.isfinite(level.push), settling_step(level, load), np.inf)
        nearest = settling_place(level, load)
        if nearest is None:  # beyond the poses, if anywhere
            nearest = int(np.abs(steps).argmin())
        step, travel = float(steps[nearest]), float(level.travel[nearest])
        if abs(step) < _STANDS:
            return travel + step
        return settled_travel(self.car.axle, load, travel + step)


@quietly
def build_links(car: LinkCar, reference: LinkReference | None = None) -> LinkRear:
    """Put a car's link axle together; the measured car makes its own reference.

    Parameters
    ----------
    car
        The car as measured, or as proposed.
    reference
        What the measured car has; None for the measured car itself.

    Raises
    ------
    GeometryError
        The links can't be joined at the measured height.
    """
    refuse_far_points(_ends(car.axle), "rear.")
    check_at_rest(car.axle)
    if reference is None:
        free = _free_of_load(car) if car.has_coils else None
        reference = LinkReference(free, car.free_given)
        return LinkRear(_with_free(car, free), reference)
    free = reference.free
    if free is not None and car.free_given is not None:
        # where none was given for the measured car, its weighed one is meant
        free += car.free_given - (free if reference.free_given is None else reference.free_given)
    return LinkRear(_with_free(car, free), reference)


@quietly
def held_links(rear: LinkRear, travel: float) -> LinkRear:
    """Return the axle with coils as long as they must be to carry the load at a travel.

    Parameters
    ----------
    rear
        The axle on the coils that it has.
    travel
        Of the axle from the measured height [mm], + sits lower.

    Raises
    ------
    GeometryError
        It can't be there.
    """
    if rear.reference.free is None or rear.car.load is None or not rear.car.has_coils:
        return rear
    return replace(rear, car=_with_free(rear.car, _free_of_load(rear.car, travel)))


def _ends(axle: LinkAxle) -> dict[str, Point]:
    """Return every point of an axle by its key without "rear."."""
    parts: dict[str, Link | Strut] = {
        **{LINK_KEYS[name]: link for name, link in axle.links.items()},
        "spring": axle.coil_left,
        "right.spring": axle.coil_right,
        "damper": axle.damper_left,
        "right.damper": axle.damper_right,
    }
    bodies = {f"{name}_body": part.body for name, part in parts.items()}
    axles = {f"{name}_axle": part.axle for name, part in parts.items()}
    wheels = {"wheel_centre": axle.wheel_left, "right.wheel_centre": axle.wheel_right}
    return bodies | axles | wheels


def _free_of_load(car: LinkCar, travel: float = 0.0) -> float | None:
    """Weigh the coils: their free length is what carries the load, else the one given."""
    if car.load is None:
        return car.free_given
    poses = solve_poses(car.axle, np.full(1, travel), np.zeros(1))
    check_reachable(poses)
    coils = link_axle_results(poses).coils
    ratio, length = coils.bounce_ratio[0], coils.length[0]
    compressed = 2.0 * car.load / car.axle.coil_left.rate  # times their ratios, by virtual work
    return float((compressed + ratio @ length) / ratio.sum())


def _with_free(car: LinkCar, free: float | None) -> LinkCar:
    if free is None:
        return car
    axle = car.axle
    return replace(
        car,
        axle=replace(
            axle,
            coil_left=replace(axle.coil_left, free_length=free),
            coil_right=replace(axle.coil_right, free_length=free),
        ),
    )
