"""An axle on leaf springs put together from a car's points, and its results in bounce and roll.

The measured points give the spring's loop; holes that were moved since, a block, a wedge, another
shackle or pack make the proposed one. It stands where the pack carries its load; travel counts
from the measured height, as at the front.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from functools import cached_property
from math import dist
from typing import Final

import numpy as np

from geometry.dampers import HousingMove
from geometry.dataclass import dataclass
from geometry.errors import DegenerateGeometry, Flaw, ShackleOutOfReach
from geometry.leaf.axle import LeafPath, leaf_path, path_at_curvature
from geometry.leaf.car import LeafCar, LeafPoints, Place
from geometry.leaf.fit import (
    eye_height,
    loop_from_points,
    with_block,
    with_raised_eye,
    with_rates,
    with_shackle,
    with_wedge,
)
from geometry.leaf.helper_contact import bearing_stage, height_at_bend
from geometry.leaf.housing import bolted_on, known_pinion, leaning_housing, level_housing
from geometry.leaf.load import (
    HalfRates,
    LeafStresses,
    LoadCurve,
    Model,
    PackStages,
    leaf_stresses,
    load_at,
    pack_stages,
)
from geometry.leaf.loop import LeafLoop, Point
from geometry.leaf.poses import LeafPoses, leaning_poses, level_poses
from geometry.leaf.reach import check_stands, design_wheel, out_of_reach, travel_limits
from geometry.leaf.results import Results, level_results, ride_results, with_snubbers
from geometry.leaf.ride import (
    SpringOnCar,
    deflection_per_curvature,
    free_change,
    roll_wheel_rate,
    settled,
    spring_on_car,
)
from geometry.leaf.roll import leaf_roll
from geometry.leaf.snubbers import Snubbers, in_roll, snubbers_of, tip_height
from geometry.leaf.steer import roll_steer
from geometry.leaf.wind_up import Thrust, TractionBars
from geometry.numeric import quietly, refuse_far_points
from geometry.squareness import thrust_results
from geometry.vectors import Array

_APART: Final = 1.0  # mm, that the front eye and the shackle's body pin are at least


@dataclass(frozen=True)
class LeafReference:
    """What the measured car fixes for every proposal.

    Parameters
    ----------
    datum
        Wheel centre (x, z) at zero travel [mm].
    free
        Change of curvature from the measured loop to the free spring [1/mm], None without load.
    arch
        Free arch given for the measured pack [mm].
    """

    datum: Point
    free: float | None
    arch: float


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
        return roll_wheel_rate(self.rates, self.spring_base, self.track)

    @cached_property
    def snubbers(self) -> Snubbers | None:
        """The traction bars' snubbers, None without bars."""
        if self.car.bars is None:
            return None
        path = self._stand
        if self.car.gap_as_measured:
            with suppress(ShackleOutOfReach):
                path = leaf_path(self.loop, 0.0, self.reference.datum)
        return snubbers_of(self.car.bars, self.rates, path)

    @cached_property
    def bars(self) -> TractionBars | None:
        """The traction bars with the gap that they have where the car stands."""
        if self.car.bars is None or self.snubbers is None:
            return None
        seat = self._stand.seat
        height = tip_height(self.car.bars.length, seat.z, seat.angle)
        return replace(self.car.bars, gap=float(self.snubbers.touch - height[0]))

    @property
    def settled_travel(self) -> float | None:
        """Rise of the wheel into the body until the pack carries its load [mm], + sits lower."""
        if self.reference.free is None:
            return None
        return design_wheel(self.loop)[1] - self.reference.datum[1]

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
        low, high = travel_limits(loop, self.reference.datum[1])
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
            springs = with_snubbers(values, springs, self.snubbers, path, self._base_share)
            poses = replace(poses, pinion=values["pinion_angle"])
        values |= level_housing(path, values["pinion_angle"], bolted_on(self.car))
        values |= thrust_results(self._right_ahead(path), self.spring_base, self.track)
        return (
            known_pinion(values | ride_results(self.car, springs), self.car),
            reached & path.reachable,
            poses,
        )

    @property
    def _base_share(self) -> float:
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
        poses = leaf_roll(
            self.loop,
            roll,
            self.spring_base,
            self.car.tyre_radius,
            heave,
            self.reference.datum,
        )
        values: Results = {
            "axle_steer": poses.steer,
            "pinion_angle": poses.pinion,
            "axle_shift": poses.axle_shift,
            "roll_centre_height": poses.roll_centre,
            "roll_centre_other": poses.roll_centre_leaf,
        }
        axles = leaning_poses(self.loop, poses)
        if self.snubbers is not None:
            added, turn = in_roll(self.snubbers, poses.seat_z, axles.seat_angle)
            values["roll_wheel_rate"] = self.roll_wheel_rate + self._base_share * added
            values["pinion_angle"] = poses.pinion + turn
            axles = replace(axles, pinion=values["pinion_angle"])
        place = poses.wheel_x.mean(axis=0), poses.wheel_z.mean(axis=0), poses.axle_shift
        turned = values["pinion_angle"], poses.roll, poses.steer
        values |= leaning_housing(place, turned, bolted_on(self.car))
        return known_pinion(values, self.car), np.asarray(poses.reachable), axles

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

    def wound_up(self, turn: float) -> Results:
        """Return the propshaft's angles by key, (1,), in the design pose, wound up [rad]."""
        car, path = self.car, self._stand
        if car.propshaft is None:
            return {}
        x, _, z = car.middle
        pinion = path.pinion + turn
        move = HousingMove((path.wheel_x - x, 0.0, path.wheel_z - z), pinion - car.pinion)
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


@quietly
def held_leaf(rear: LeafRear, travel: float) -> LeafRear:
    """Return the axle with springs set so that they carry their load at a travel.

    The loop takes no other way for it: more or less arch only says how much load is where.

    Parameters
    ----------
    rear
        The axle on the springs that it has.
    travel
        Of the axle from the measured height [mm], + sits lower.

    Raises
    ------
    ShackleOutOfReach
        It can't be there.
    """
    if rear.reference.free is None:
        return rear
    change = leaf_path(rear.loop, [travel], rear.reference.datum).curvature_change[0]
    return replace(rear, loop=replace(rear.loop, sag=rear.loop.sag + float(change)))


@quietly
def build_leaf(car: LeafCar, reference: LeafReference | None = None) -> LeafRear:
    """Put a car's leaf axle together; the measured car makes its own reference.

    Parameters
    ----------
    car
        The car as measured, or as proposed.
    reference
        What the measured car has; None for the measured car itself.

    Raises
    ------
    GeometryError
        The points define no loop, or the pack can't be.
    """
    for points in (car.points, car.moved):
        _check_points(points)
    stages = pack_stages(car.pack)
    loop = measured_loop(car.points, car.pack.clamp, car.pinion)
    if reference is None:
        loop, stage = _bearing(stages, car.load, lambda rates: with_rates(loop, rates))
        check_stands(loop)
        free = None
        if car.load is not None:
            free = free_change(stages, loop, car.load, Model.COMMON_CURVATURE)
        own_reference = LeafReference(design_wheel(loop), free, car.pack.free_arch)
        rates = stages.halves[stage][Model.COMMON_CURVATURE]
        return LeafRear(car, stages, loop, own_reference, stage, _right_loop(car, rates))
    changed = _changed(loop, car, car.moved)
    loop, stage = _bearing(
        stages, car.load, lambda rates: _settled(stages, with_rates(changed, rates), car, reference)
    )
    rates = stages.halves[stage][Model.COMMON_CURVATURE]
    check_stands(loop, reference.datum[1])
    return LeafRear(car, stages, loop, reference, stage, _right_loop(car, rates))


def _right_loop(car: LeafCar, rates: HalfRates) -> LeafLoop | None:
    """Return the right-hand spring: by its own points, or the left one's twin on its holes."""
    if car.right is None:
        return None
    points = car.right.points if car.right.is_own else car.points
    loop = measured_loop(points, car.pack.clamp, car.pinion)
    return with_rates(_changed(loop, car, car.right.moved), rates)


def _bearing(
    stages: PackStages, load: float | None, stand: Callable[[HalfRates], LeafLoop]
) -> tuple[LeafLoop, int]:
    """Return a loop where it stands and the stage in which its pack then is.

    A stage's rates shape the loop, and the loop says which stage it is: the last that bears there.
    """
    last = len(stages.halves) - 1 if load is not None else 0
    for stage in range(last, -1, -1):
        loop = stand(stages.halves[stage][Model.COMMON_CURVATURE])
        if stage == 0 or load is None or bearing_stage(stages, loop, load) >= stage:
            break
    return loop, stage


def _settled(
    stages: PackStages, loop: LeafLoop, car: LeafCar, reference: LeafReference
) -> LeafLoop:
    """Return a proposed loop where its pack carries the load, as it is where that isn't known."""
    if reference.free is None or car.load is None:
        return loop
    raised = car.pack.free_arch - reference.arch
    free = reference.free + raised / deflection_per_curvature(loop)
    return settled(stages, loop, free, car.load, Model.COMMON_CURVATURE, reference.datum[1])


def measured_loop(points: LeafPoints, clamp: float, pinion: float = 0.0) -> LeafLoop:
    """Return the loop of a spring through its points, its halves taken as alike.

    Parameters
    ----------
    points
        As measured.
    clamp
        Length of the straight seat [mm].
    pinion
        Pinion angle measured [rad], + nose up.

    Raises
    ------
    GeometryError
        The points define no loop.
    """
    _check_points(points)
    loop, _ = loop_from_points(
        _flat(points.front_eye),
        _flat(points.centre_bolt),
        _flat(points.rear_eye),
        _flat(points.shackle_body),
        _flat(points.wheel_centre),
        clamp,
        pinion,
    )
    return loop


def _changed(loop: LeafLoop, car: LeafCar, moved: LeafPoints) -> LeafLoop:
    """Bolt the measured spring to moved holes, with what is fitted now."""
    before, now = car.measured_fit, car.fit
    loop = replace(
        loop,
        front_eye=_flat(moved.front_eye),
        shackle_pivot=_flat(moved.shackle_body),
    )
    if now.shackle is not None:
        loop = with_shackle(loop, now.shackle - (before.shackle or loop.shackle))
    if now.block != before.block:
        loop = with_block(loop, now.block - before.block)
    if now.wedge != before.wedge:
        loop = with_wedge(loop, now.wedge - before.wedge)
    for end in (0, 1):
        if now.eyes[end] != before.eyes[end]:
            then, since = (
                eye_height(fit.eyes[end], now.eye, car.pack.main.thickness) for fit in (before, now)
            )
            loop = with_raised_eye(loop, end, since - then)
    return loop


def _check_points(points: LeafPoints) -> None:
    refuse_far_points(vars(points), "rear.")
    if dist(_flat(points.front_eye), _flat(points.shackle_body)) < _APART:
        raise DegenerateGeometry("rear.front_eye", "rear.shackle_body", Flaw.NOTHING_HANGS)


def _flat(place: Place) -> Point:
    return place[0], place[2]
