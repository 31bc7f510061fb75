"""An axle on leaf springs that is put together, and its results in bounce and roll.

The measured points give the spring's loop; holes that were moved since, a block, a wedge, another
shackle or pack make the proposed one. It stands where the pack carries its load; travel counts
from the measured height, as at the front.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import Final

import numpy as np

from geometry.dampers import HousingMove
from geometry.dataclass import dataclass
from geometry.errors import ShackleOutOfReach
from geometry.leaf.axle import LeafPath, leaf_path, path_at_curvature
from geometry.leaf.car import LeafCar
from geometry.leaf.helper_contact import height_at_bend
from geometry.leaf.housing import bolted_on, known_pinion, leaning_housing, level_housing
from geometry.leaf.load import (
    HalfRates,
    LeafStresses,
    LoadCurve,
    Model,
    PackStages,
    leaf_stresses,
    load_at,
)
from geometry.leaf.loop import LeafLoop
from geometry.leaf.poses import LeafPoses, leaning_poses, level_poses
from geometry.leaf.reach import design_wheel, out_of_reach, travel_limits
from geometry.leaf.reference import LeafReference
from geometry.leaf.results import Results, level_results, ride_results, with_snubbers
from geometry.leaf.ride import (
    SpringOnCar,
    deflection_per_curvature,
    free_change,
    roll_wheel_rate,
    spring_on_car,
)
from geometry.leaf.roll import LeafRoll, leaf_roll
from geometry.leaf.snubbers import TOUCHES, Snubbers, in_roll, snubbers_of, tip_height
from geometry.leaf.steer import roll_steer
from geometry.leaf.wind_up import Thrust, TractionBars
from geometry.numeric import quietly
from geometry.squareness import thrust_results
from geometry.vectors import Array, Scalar

LEAST_PRESSED: Final = 0.05  # mm: what no feeler tells from a snubber that just touches


@dataclass(frozen=True)
class LeafRear:
    """A car's leaf axle put together.

    Parameters
    ----------
    car
        What it was made from.
    stages
        The pack by both models.
    loop
        One spring, its design curvature where it carries its load.
    reference
        What the measured car fixes.
    stage
        Of the pack at ride: which helpers bear there.
    right_loop
        The right-hand spring where it isn't the left one's mirror, for how square the axle stands.
    """

    car: LeafCar
    stages: PackStages
    loop: LeafLoop
    reference: LeafReference
    stage: int
    right_loop: LeafLoop | None = None

    @property
    def rates(self) -> HalfRates:
        """One spring's halves at ride, all leaves that bear there."""
        return self.stages.halves[self.stage][Model.COMMON_CURVATURE]

    @property
    def spring_base(self) -> float:
        """Between the springs [mm]."""
        return 2.0 * abs(self.car.moved.centre_bolt[1])

    @property
    def track(self) -> float:
        """Between the wheel centres [mm]."""
        return 2.0 * abs(self.car.moved.wheel_centre[1])

    @property
    def roll_wheel_rate(self) -> float:
        """Rate at one wheel in roll [N/mm], the least it can be."""
        return float(roll_wheel_rate(self.rates, self.spring_base, self.track))

    @cached_property
    def snubbers(self) -> Snubbers | None:
        """The traction bars' snubbers, None without bars.

        What a snubber meets on the body stays where it was measured. Where the springs alone would
        press the snubbers into it, the gap is set again, as measured, where the car stands.
        """
        if self.car.bars is None:
            return None
        seat = self._stand.seat
        height, angle = float(seat.z[0]), float(seat.angle[0])
        if self.car.gap_as_measured and not self.pressed:
            height, angle = self.reference.seat_height, self.reference.seat_angle
        return snubbers_of(self.car.bars, self.rates, height, angle)

    @cached_property
    def pressed(self) -> float:
        """How far the springs press snubbers in whose gap isn't set again [mm], 0 where open."""
        bars, seat, reference = self.car.bars, self._stand.seat, self.reference
        if bars is None or not self.car.gap_as_measured:
            return 0.0
        met = bars.gap + tip_height(bars.length, reference.seat_height, reference.seat_angle)
        past = float(tip_height(bars.length, seat.z, seat.angle)[0] - met)
        return past if past > LEAST_PRESSED else 0.0

    @cached_property
    def bars(self) -> TractionBars | None:
        """The traction bars with the gap that they have where the car stands."""
        if self.car.bars is None or self.snubbers is None:
            return None
        seat = self._stand.seat
        height = tip_height(self.car.bars.length, seat.z, seat.angle)
        gap = float(self.snubbers.touch - height[0])
        return replace(self.car.bars, gap=0.0 if abs(gap) < TOUCHES else gap)

    @property
    def pinion_on_springs(self) -> float:
        """Pinion angle where the springs alone carry the car, no snubber pushing [rad]."""
        return float(self._stand.pinion[0])

    @property
    def settled_travel(self) -> float | None:
        """Rise of the wheel into the body until the pack carries its load [mm], + sits lower."""
        if self.reference.free is None:
            return None
        return design_wheel(self.loop)[1] - self.reference.datum[1]

    @property
    def stands_at(self) -> float:
        """Where it stands [mm] of travel: settled, or as measured where its load wasn't known."""
        return self.settled_travel or 0.0

    @property
    def free_arch(self) -> float | None:
        """Free arch of the pack [mm], as weighed where none is given; None where neither is."""
        given = self.car.pack.free_arch
        return self.reference.arch if given is None else given

    def travel_at_contact(self, contact: float) -> float | None:
        """Return the travel at which a helper of a contact from free touches, None without load.

        Parameters
        ----------
        contact
            Of the leaf, from free [mm].
        """
        if self.car.load is None:
            return None
        free = free_change(self.stages, self.loop, self.car.load, Model.COMMON_CURVATURE)
        return height_at_bend(self.loop, free, contact) - self.reference.datum[1]

    @quietly
    def bounce(self, travel: Array) -> tuple[Results, Array, LeafPoses]:
        """Return results over travels [mm] of both wheels, (n,), where reached, and the poses."""
        loop = self.loop
        low, high = travel_limits(loop, self.reference.datum[1], travel)
        reached = (travel >= low) & (travel <= high)
        if not reached.any():
            raise out_of_reach(
                loop, float(travel[np.abs(travel).argmin()]), self.reference.datum[1]
            )
        path = leaf_path(loop, travel, self.reference.datum)
        values = level_results(self.car, loop, path) | {
            "wheel_travel": travel,
            "roll_wheel_rate": np.full_like(travel, self.roll_wheel_rate),
        }
        load, springs = self.car.load, []
        if load is not None:
            springs = [spring_on_car(self.stages, loop, path, load, model) for model in Model]
        poses = level_poses(loop, path)
        if self.snubbers is not None:
            springs = with_snubbers(values, springs, self.snubbers, path, self.base_share)
            poses = replace(poses, pinion=values["pinion_angle"])
        values |= level_housing(path, values["pinion_angle"], bolted_on(self.car), self.snubbers)
        ahead, stagger = self._right_ahead(path), self.car.front_ahead
        values |= thrust_results(ahead, self.spring_base, self.track, stagger)
        return (
            known_pinion(values | ride_results(self.car, springs), self.car),
            reached & path.reachable,
            poses,
        )

    @property
    def base_share(self) -> float:
        """Rate at a wheel in roll per rate at a seat."""
        return (self.spring_base / self.track) ** 2 if self.track else float("nan")

    @property
    def right_offset(self) -> float:
        """What takes the wheel centres' measured stagger from the track to the spring base [mm]."""
        right = self.car.right
        if right is None or not right.is_own:
            return 0.0
        stagger = right.points.wheel_centre[0] - self.car.points.wheel_centre[0]
        return (self.spring_base / self.track - 1.0) * stagger

    def _right_ahead(self, path: LeafPath) -> Array:
        """Return how far the right spring holds the axle ahead of the left one [mm], (n,)."""
        if self.right_loop is None:
            return np.zeros_like(path.travel)
        try:
            right = leaf_path(self.right_loop, path.travel, self.reference.datum)
        except ShackleOutOfReach:
            return np.full_like(path.travel, np.nan)
        return np.where(right.reachable, right.wheel_x - path.wheel_x + self.right_offset, np.nan)

    @quietly
    def lean(self, roll: Array, heave: float = 0.0) -> tuple[Results, Array, LeafPoses]:
        """Return results over body rolls [rad], (n,), at a mean travel [mm]; reached; poses.

        Parameters
        ----------
        roll
            Of the body [rad], + to the right, shape (n,).
        heave
            Mean travel [mm], + in bump.
        """
        poses, axles, added = self._leant(roll, heave)
        values: Results = {
            "axle_steer": poses.steer,
            "pinion_angle": poses.pinion,
            "axle_shift": poses.axle_shift,
            "roll_centre_height": poses.roll_centre,
            "roll_centre_other": poses.roll_centre_leaf,
        }
        if added is not None:
            values["roll_wheel_rate"] = self.roll_wheel_rate + self.base_share * added
            values["pinion_angle"] = axles.pinion
        place = poses.wheel_x.mean(axis=0), poses.wheel_z.mean(axis=0), poses.axle_shift
        turned = values["pinion_angle"], poses.roll, poses.steer
        values |= leaning_housing(place, turned, bolted_on(self.car))
        return known_pinion(values, self.car), np.asarray(poses.reachable), axles

    @quietly
    def leant(self, roll: Array, heave: Array) -> tuple[LeafPoses, Array]:
        """Return the axle's poses at body rolls [rad] and mean travels [mm], and which it reaches.

        Parameters
        ----------
        roll
            Of the body [rad], + to the right, shape (n,).
        heave
            Mean travel [mm], + in bump, shape (n,).

        Raises
        ------
        ShackleOutOfReach
            None of them can be reached.
        """
        poses, axles, _ = self._leant(roll, heave)
        return axles, np.asarray(poses.reachable)

    def _leant(self, roll: Array, heave: Scalar) -> tuple[LeafRoll, LeafPoses, Array | None]:
        """Return both springs and the axle, and what closed snubbers add to the rates."""
        poses = leaf_roll(
            self.loop,
            roll,
            self.spring_base,
            self.car.tyre_radius,
            heave,
            self.reference.datum,
        )
        axles = leaning_poses(self.loop, poses)
        if self.snubbers is None:
            return poses, axles, None
        added, turn = in_roll(self.snubbers, poses.seat_z, axles.seat_angle)
        return poses, replace(axles, pinion=poses.pinion + turn), added

    @quietly
    def on_car(self, travel: Array, model: Model) -> SpringOnCar | None:
        """Return one spring's load and rate over travels [mm].

        None where its load isn't known, or no such travel can be reached.

        Parameters
        ----------
        travel
            Of the axle [mm], + in bump, shape (n,).
        model
            How the leaves share the load.
        """
        if self.car.load is None:
            return None
        try:
            path = leaf_path(self.loop, travel, self.reference.datum)
        except ShackleOutOfReach:
            return None
        return spring_on_car(self.stages, self.loop, path, self.car.load, model)

    @cached_property
    def ride(self) -> SpringOnCar | None:
        """One spring where it carries its load, None where that isn't known."""
        if self.car.load is None:
            return None
        model = Model.COMMON_CURVATURE
        return spring_on_car(self.stages, self.loop, self._stand, self.car.load, model)

    @cached_property
    def full_bump(self) -> LeafPoses | None:
        """The axle on its springs alone at full bump, None where that isn't reached."""
        try:
            path = leaf_path(self.loop, self.car.bump, self.reference.datum)
        except ShackleOutOfReach:
            return None
        return level_poses(self.loop, path)

    def pack_load_in(self, poses: LeafPoses) -> Array | None:
        """Return what one pack bears in level poses [N], (n,), None without a load.

        Parameters
        ----------
        poses
            Of the axle.
        """
        if self.car.load is None:
            return None
        loop, model = self.loop, Model.COMMON_CURVATURE
        change = (poses.front_curvature[0] - loop.curvatures[0]) / loop.split[0]
        free = free_change(self.stages, loop, self.car.load, model)
        return load_at(self.stages, deflection_per_curvature(loop) * (free - change), model)

    @cached_property
    def _stand(self) -> LeafPath:
        """The design pose, in which the pack carries its load."""
        return path_at_curvature(self.loop, np.zeros(1), self.reference.datum)

    @cached_property
    def thrust(self) -> Thrust:
        """How a push at the contact patches loads the seats, in the design pose."""
        path = self._stand
        steer = roll_steer(self.loop, path)
        height = float(path.seat.z[0] - path.wheel_z[0]) + self.car.tyre_radius
        return Thrust(height, float(steer.front_slope[0]), steer.hinge)

    def wound_up(self, turn: float, rise: float) -> Results:
        """Return the propshaft's angles by key, (1,), wound up from the design pose.

        Parameters
        ----------
        turn
            Of the axle [rad], + nose up.
        rise
            Of the seats against the body [mm]: the body lifts by as much when it is negative.
        """
        car, path = self.car, self._stand
        if car.propshaft is None:
            return {}
        x, _, z = car.middle
        forward, up = path.wheel_x - path.seat.x, path.wheel_z - path.seat.z
        wheel_x = path.seat.x + forward * np.cos(turn) - up * np.sin(turn)
        wheel_z = path.seat.z + rise + forward * np.sin(turn) + up * np.cos(turn)
        pinion = path.pinion + turn
        move = HousingMove((wheel_x - x, 0.0, wheel_z - z), pinion - car.pinion)
        return car.propshaft.results(pinion, car.middle, move)

    def stresses(self, load: float) -> LeafStresses:
        """Return each leaf's stress under a load on one seat [N]."""
        return leaf_stresses(self.stages, load)

    def curve(self) -> LoadCurve:
        """Return load against deflection from free, past full bump."""
        most = (self.ride.static_deflection if self.ride else 100.0) + 1.15 * self.car.bump
        at = np.linspace(0.0, most, 49)
        load = np.array([load_at(self.stages, at, model) for model in Model])
        return LoadCurve(at, load, self.car.friction * load)
