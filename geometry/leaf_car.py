"""One car's rear on leaf springs, from measured and moved points to every result.

The measured points give the spring's loop; holes that were moved since, a block, a wedge, another
shackle or pack make the proposed one. It stands where the pack carries its load; travel counts
from the measured height, as at the front.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot

import numpy as np

from geometry.conventions import GRAVITY
from geometry.hop import Damper, HopAxle, Modes, damper_layouts, layout_modes, modes
from geometry.leaf_axle import leaf_path
from geometry.leaf_fit import (
    loop_from_points,
    with_block,
    with_rates,
    with_reversed_eye,
    with_shackle,
    with_wedge,
)
from geometry.leaf_load import (
    HalfRates,
    LeafStresses,
    LoadCurve,
    Model,
    PackStages,
    leaf_stresses,
    load_curve,
    pack_stages,
)
from geometry.leaf_loop import LeafLoop, Point
from geometry.leaf_pack import LeafPack
from geometry.leaf_reach import design_wheel, out_of_reach, travel_limits
from geometry.leaf_ride import SpringOnCar, free_change, roll_wheel_rate, settled, spring_on_car
from geometry.leaf_roll import leaf_roll
from geometry.leaf_steer import roll_centres, roll_steer
from geometry.rear_centres import anti_squat_from_stiffness, side_view
from geometry.springs import ride_frequency, ride_rate
from geometry.vectors import Array
from geometry.wind_up import (
    Thrust,
    TractionBars,
    WindUp,
    bar_stiffness,
    closing_thrust,
    driving_thrust,
    pitch_arm_inverse,
    seat_stiffness,
    wind_up,
    wind_up_stiffness,
)

Results = dict[str, Array]
Place = tuple[float, float, float]

WIND_UP_STEPS = 41
"""Thrusts at which the torque-rotation curve is worked out, from full braking to full drive."""


@dataclass(frozen=True)
class LeafPoints:
    """Points of the left side, body axes (x forward, y left, z up) [mm]."""

    front_eye: Place
    rear_eye: Place
    shackle_body: Place
    centre_bolt: Place
    wheel_centre: Place


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
    reversed_eyes
        Which eyes are rolled under instead of over, (front, rear), against the measured spring.
    eye
        Inner diameter of an eye [mm].
    """

    block: float = 0.0
    wedge: float = 0.0
    shackle: float | None = None
    reversed_eyes: tuple[bool, bool] = (False, False)
    eye: float = 0.0


@dataclass(frozen=True)
class Drive:
    """Engine torque [N·mm], ratios, driveline efficiency and tyre grip."""

    engine_torque: float
    gear: float
    final_drive: float
    grip: float
    efficiency: float = 1.0


@dataclass(frozen=True)
class AxleMass:
    """Axle with wheels: mass [kg], inertias about its tube and along the car [kg·m²]."""

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
    pinion
        Pinion angle measured [rad], + nose up.
    tyre_radius, tyre_rate
        [mm], [N/mm].
    load
        Sprung weight on one spring [N].
    friction
        Share of the load that rubbing leaves add and take.
    wheelbase, cg_height, brake_share
        Of the car [mm], [mm], rear share of braking.
    mass
        Of the car [kg].
    dampers
        Left and right: (axle end, body end, rate N·s/mm) in car axes.
    drive, axle, bars, bush_rate
        As far as known.
    bump
        Travel to the bump stop [mm].
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
    mass: float | None = None
    dampers: tuple[tuple[Place, Place, float | None], ...] = ()
    drive: Drive | None = None
    axle: AxleMass | None = None
    bars: TractionBars | None = None
    bush_rate: float | None = None
    bump: float = 80.0


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
    rates
        One spring's halves at ride, all leaves that bear there.
    """

    car: LeafCar
    stages: PackStages
    loop: LeafLoop
    reference: LeafReference
    rates: HalfRates

    @property
    def spring_base(self) -> float:
        """Between the springs [mm]."""
        return 2.0 * abs(self.car.moved.centre_bolt[1])

    @property
    def track(self) -> float:
        """Between the wheel centres [mm]."""
        return 2.0 * abs(self.car.moved.wheel_centre[1])

    @property
    def settled_travel(self) -> float | None:
        """Rise of the wheel into the body until the pack carries its load [mm], + sits lower."""
        if self.reference.free is None:
            return None
        return design_wheel(self.loop)[1] - self.reference.datum[1]

    def bounce(self, travel: Array) -> tuple[Results, Array]:
        """Return results over travels [mm] of both wheels, (n,), and where they are reached."""
        car, loop = self.car, self.loop
        low, high = travel_limits(loop, self.reference.datum[1])
        reached = (travel >= low) & (travel <= high)
        if not reached.any():
            raise out_of_reach(loop, float(travel[np.abs(travel).argmin()]), self.reference.datum[1])
        path = leaf_path(loop, travel, self.reference.datum)
        steer = roll_steer(loop, path)
        gillespie, leaf_line = roll_centres(loop, path, car.tyre_radius)
        values: Results = {
            "wheel_travel": travel,
            "wheelbase_change": path.wheelbase_change,
            "pinion_angle": path.pinion,
            "shackle_angle": path.shackle_to_leaf,
            "roll_steer": steer.kinematic,
            "roll_steer_textbook": steer.eyes_line,
            "roll_centre_height": gillespie,
            "roll_centre_other": leaf_line,
        }
        values |= self._side(path)
        values |= self._ride(path)
        return values, reached & path.reachable

    def lean(self, roll: Array) -> tuple[Results, Array]:
        """Return results over body rolls [rad], (n,), and where they are reached."""
        car = self.car
        poses = leaf_roll(
            self.loop, roll, self.spring_base, car.tyre_radius, 0.0, self.reference.datum
        )
        values: Results = {
            "axle_steer": poses.steer,
            "pinion_angle": poses.pinion,
            "axle_shift": poses.axle_shift,
            "roll_centre_height": poses.roll_centre,
            "roll_centre_other": poses.roll_centre_leaf,
        }
        return values, np.asarray(poses.reachable)

    def on_car(self, travel: Array, model: Model) -> SpringOnCar | None:
        """Return one spring's load and rate over travels [mm], None where its load isn't known."""
        if self.car.load is None:
            return None
        path = leaf_path(self.loop, travel, self.reference.datum)
        return spring_on_car(self.stages, self.loop, path, self.car.load, model)

    def _side(self, path: object) -> Results:
        car = self.car
        wheelbase, height = car.wheelbase or 1.0, car.cg_height or 1.0
        view = side_view(path, car.tyre_radius, wheelbase, height, car.brake_share or 0.0)  # type: ignore[arg-type]
        arm = np.where(view.inverse_arm == 0.0, np.nan, view.inverse_arm)
        values: Results = {
            "side_centre_x": _finite(view.centre_x),
            "side_centre_z": _finite(view.centre_z),
            "side_swing_arm_length": 1.0 / arm,
        }
        if car.wheelbase is not None and car.cg_height is not None:
            values["anti_squat"] = view.anti_squat
            if car.brake_share is not None:
                values["anti_lift"] = view.anti_lift
        return values

    def _ride(self, path: object) -> Results:
        car = self.car
        if car.load is None:
            return {}
        both = [spring_on_car(self.stages, self.loop, path, car.load, model) for model in Model]  # type: ignore[arg-type]
        values: Results = {
            "spring_load": both[0].load,
            "wheel_rate": both[0].rate,
            "wheel_rate_tips": both[1].rate,
            "wheel_rate_pack": both[0].pack_rate,
            "wheel_rate_shackle": both[0].shackle_rate,
        }
        rate = values["wheel_rate"]
        if car.tyre_rate is not None:
            rate = values["ride_rate"] = ride_rate(rate, car.tyre_rate)
        values["ride_frequency"] = ride_frequency(rate, car.load / GRAVITY)
        return values

    def thrust(self) -> Thrust:
        """Return how a push at the contact patches loads the seats, in the design pose."""
        path = leaf_path(self.loop, np.zeros(1) + (self.settled_travel or 0.0), self.reference.datum)
        steer = roll_steer(self.loop, path)
        height = float(path.seat.z[0] - path.wheel_z[0]) + self.car.tyre_radius
        return Thrust(height, float(steer.front_slope[0]), steer.hinge)

    def stresses(self, load: float) -> LeafStresses:
        """Return each leaf's stress under a load on one seat [N]."""
        return leaf_stresses(self.stages, load)

    def curve(self) -> LoadCurve:
        """Return load against deflection from free, past full bump."""
        static = self.on_car(np.zeros(1), Model.COMMON_CURVATURE)
        most = (static.static_deflection if static else 100.0) + 1.15 * self.car.bump
        return load_curve(self.stages, np.linspace(0.0, most, 49), self.car.friction)


def build_leaf(car: LeafCar, reference: LeafReference | None = None) -> LeafRear:
    """Put a car's leaf axle together; the measured car makes its own reference.

    Raises
    ------
    GeometryError
        The points define no loop, or the pack can't be.
    """
    stages = pack_stages(car.pack)
    loop = _measured_loop(car)
    rates = _rates_at_ride(stages, car.load)
    if reference is None:
        loop = with_rates(loop, rates)
        free = None
        if car.load is not None:
            free = free_change(stages, loop, car.load, Model.COMMON_CURVATURE)
        own = LeafReference(design_wheel(loop), free, car.pack.free_arch)
        return LeafRear(car, stages, loop, own, rates)
    loop = with_rates(_changed(loop, car), rates)
    if reference.free is not None and car.load is not None:
        free = reference.free + _arch_change(car, reference)
        loop = settled(stages, loop, free, car.load, Model.COMMON_CURVATURE)
    return LeafRear(car, stages, loop, reference, rates)


def _measured_loop(car: LeafCar) -> LeafLoop:
    points = car.points
    loop, _ = loop_from_points(
        _flat(points.front_eye),
        _flat(points.centre_bolt),
        _flat(points.rear_eye),
        _flat(points.shackle_body),
        _flat(points.wheel_centre),
        car.pack.clamp,
        car.pinion,
    )
    return loop


def _changed(loop: LeafLoop, car: LeafCar) -> LeafLoop:
    """Bolt the measured spring to moved holes, with what is fitted now."""
    before, now = car.measured_fit, car.fit
    loop = replace(
        loop,
        front_eye=_flat(car.moved.front_eye),
        shackle_pivot=_flat(car.moved.shackle_body),
    )
    if now.shackle is not None:
        loop = with_shackle(loop, now.shackle - (before.shackle or loop.shackle))
    if now.block != before.block:
        loop = with_block(loop, now.block - before.block)
    if now.wedge != before.wedge:
        loop = with_wedge(loop, now.wedge - before.wedge)
    for end in (0, 1):
        if now.reversed_eyes[end] and not before.reversed_eyes[end]:
            loop = with_reversed_eye(loop, now.eye, car.pack.main.thickness, end)
    return loop


def _rates_at_ride(stages: PackStages, load: float | None) -> HalfRates:
    """Return the halves of those leaves that bear at ride."""
    if load is None:
        return stages.halves[0][Model.COMMON_CURVATURE]
    stage, carried = 0, 0.0
    for index in range(1, len(stages.contacts)):
        rate = stages.rates[Model.COMMON_CURVATURE, index - 1]
        carried += rate * (stages.contacts[index] - stages.contacts[index - 1])
        if carried < load:
            stage = index
    return stages.halves[stage][Model.COMMON_CURVATURE]


def _arch_change(car: LeafCar, reference: LeafReference) -> float:
    """Return what another free arch adds to the free curvature [1/mm]: arch = a·b·κ/2."""
    main = car.pack.main
    return 2.0 * (car.pack.free_arch - reference.arch) / (main.front * main.rear)


def _flat(place: Place) -> Point:
    return place[0], place[2]


def _finite(value: Array) -> Array:
    return np.where(np.isfinite(value), value, np.nan)


# --- what exists once per car -------------------------------------------------------------------


@dataclass(frozen=True)
class Hop:
    """The axle's modes as the dampers are, and in the four layouts."""

    axle: HopAxle
    dampers: tuple[Damper, ...]
    own: Modes
    layouts: tuple[Modes, ...]


def torque_curve(rear: LeafRear) -> tuple[WindUp, float, bool] | None:
    """Return the axle from full braking to full drive, the full thrust [N] and if grip limits it.

    None where engine, ratios, grip or the load aren't known.
    """
    car = rear.car
    if car.drive is None or car.load is None:
        return None
    weight = 2.0 * car.load + (car.axle.mass * GRAVITY if car.axle else 0.0)
    drive = car.drive
    full, by_grip = driving_thrust(
        drive.engine_torque,
        drive.gear,
        drive.final_drive,
        car.tyre_radius,
        weight,
        drive.grip,
        drive.efficiency,
    )
    braking = drive.grip * weight
    pushes = np.unique(np.concatenate([np.linspace(-braking, full, WIND_UP_STEPS), [0.0, full]]))
    return wind_up(rear.rates, pushes, rear.thrust(), car.load, car.bars), full, by_grip


def hop_modes(rear: LeafRear) -> Hop | None:
    """Return the modes, None where masses, tyre rate or dampers aren't known."""
    car = rear.car
    rated = [damper for damper in car.dampers if damper[2] is not None]
    if car.axle is None or car.tyre_rate is None or len(rated) < 2:
        return None
    thrust = rear.thrust()
    centre = car.moved.wheel_centre
    bolt = car.moved.centre_bolt
    axle = HopAxle(
        mass=car.axle.mass,
        roll_inertia=car.axle.roll_inertia,
        pitch_inertia=car.axle.pitch_inertia,
        rates=rear.rates,
        spring_base=rear.spring_base,
        track=rear.track,
        tyre_rate=car.tyre_rate,
        seat=(bolt[0] - centre[0], bolt[2] - centre[2]),
        fore_aft_rate=car.bush_rate or HopAxle.fore_aft_rate,
        slope=thrust.slope,
        hinge=thrust.hinge,
        bars=car.bars,
    )
    dampers = tuple(_damper(centre, at, body, rate or 0.0) for at, body, rate in rated)
    layouts = layout_modes(axle, damper_layouts(dampers[0], dampers[1]))
    return Hop(axle, dampers, modes(axle, dampers), layouts)


def _damper(centre: Place, at: Place, body: Place, rate: float) -> Damper:
    return Damper(
        (at[0] - centre[0], at[1], at[2] - centre[2]),
        (body[0] - at[0], body[1] - at[1], body[2] - at[2]),
        rate,
    )


def damper_lengths(car: LeafCar) -> list[float]:
    """Return each damper's length at the measured height [mm]."""
    return [
        hypot(body[0] - at[0], body[1] - at[1], body[2] - at[2]) for at, body, _ in car.dampers
    ]


def single_results(rear: LeafRear, twist: tuple[WindUp, float, bool] | None, hop: Hop | None) -> (
    dict[str, float]
):
    """Return the results that exist once per car, by key."""
    car, rates = rear.car, rear.rates
    single = {
        "wind_up_stiffness": wind_up_stiffness(rates, "load"),
        "roll_wheel_rate": roll_wheel_rate(rates, rear.spring_base, rear.track),
        "pack_rate": float(rear.stages.rates[Model.COMMON_CURVATURE, -1]),
        "pack_rate_tips": float(rear.stages.rates[Model.POINT_CONTACT, -1]),
    }
    single |= _stress_results(rear)
    if rear.settled_travel is not None:
        single["settled_travel"] = rear.settled_travel
    if twist is not None:
        single |= _twist_results(rear, *twist)
    if hop is not None:
        for index, name in ((1, "hop"), (2, "tramp"), (3, "wind_up")):
            single[f"{name}_frequency"] = float(hop.own.frequency[index])
            single[f"{name}_damping"] = float(hop.own.damping[index])
    if car.wheelbase and car.cg_height:
        inverse = _closed_arm(rates, car.bars)
        path = rear.thrust()
        single["anti_squat_bars"] = anti_squat_from_stiffness(
            inverse, path, car.wheelbase, car.cg_height
        )
        if car.bars is None:
            del single["anti_squat_bars"]
    return {key: value for key, value in single.items() if np.isfinite(value)}


def _closed_arm(rates: HalfRates, bars: TractionBars | None) -> float:
    stiffness = seat_stiffness(rates)
    return pitch_arm_inverse(stiffness if bars is None else stiffness + bar_stiffness(bars))


def _stress_results(rear: LeafRear) -> dict[str, float]:
    ride = rear.on_car(np.zeros(1) + (rear.settled_travel or 0.0), Model.COMMON_CURVATURE)
    bump = rear.on_car(np.array([rear.car.bump]), Model.COMMON_CURVATURE)
    if ride is None or bump is None:
        return {}
    at_ride, at_bump = rear.stresses(float(ride.load[0])), rear.stresses(float(bump.load[0]))
    found = {
        "static_deflection": ride.static_deflection,
        "stress_ride": float(at_ride.worst.max()),
        "stress_bump": float(at_bump.worst.max()),
    }
    if np.isfinite(rear.stages.pack.limits).any():
        found["stress_margin"] = 100.0 * float(at_bump.margin.min())
    return found


def _twist_results(
    rear: LeafRear, twist: WindUp, full: float, by_grip: bool
) -> dict[str, float]:
    last = int(np.flatnonzero(twist.thrust == full)[-1])
    found = {
        "full_thrust": full,
        "wind_up_full": float(twist.rotation[last]),
        "lift_full": -float(twist.rise[last]),
        "eye_load_least": float(twist.eye_load[:, last].min()),
    }
    if rear.car.bars is not None:
        found["bars_close_at"] = closing_thrust(rear.rates, rear.thrust(), rear.car.bars, "load")
    return found
