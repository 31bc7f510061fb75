"""One car's front, from measured and moved points to every result.

`build_front` makes the axle that a shop would have after bolting up and aligning; `Front.results`
evaluates the whole catalogue at any poses; the sweeps and the settled height are in `front_sweeps`.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import field, replace

import numpy as np

from geometry.conventions import GRAVITY
from geometry.dataclass import dataclass
from geometry.errors import DegenerateGeometry, Flaw
from geometry.front.alignment import tie_length_for_toe
from geometry.front.joints import Joints, measure_joints
from geometry.front.parts import CornerPoints, bolt_up, with_tie_length
from geometry.front.reach import unsurveyed
from geometry.front.results import Results, front_results
from geometry.front.road import Axle, Demand, Poses, drive
from geometry.front.springs import (
    ArmName,
    ArmRates,
    Compression,
    Spring,
    Strut,
    arm_rates,
    bar_compression,
    free_from_load,
    measure_seat,
    strut_compression,
)
from geometry.front.steering import Steering
from geometry.front.wishbone import Linkage
from geometry.numeric import FARTHEST, quietly, refuse_far_points
from geometry.vectors import Array, Scalar, Vector


@dataclass(frozen=True)
class SpringPart:
    """The spring as fitted.

    Parameters
    ----------
    kind
        "coil" or "torsion bar".
    on
        The arm it bears on (a torsion bar turns with the lower arm).
    rate
        [N/mm] or [N·mm/rad]; None when not known.
    free_length
        A coil's free length [mm], or None.
    preload
        A torsion bar's torque at the measured height [N·mm], or None.
    solid_length
        A coil's length when bound [mm], or None.
    """

    kind: str
    on: ArmName
    rate: Scalar | None = None
    free_length: Scalar | None = None
    preload: Scalar | None = None
    solid_length: Scalar | None = None


@dataclass(frozen=True)
class FrontCar:
    """Everything a front study reads; corners as arrays of shape (2, 1), the right one mirrored.

    Several cars alike in what they have are one as well: m of them with arrays of shape (2, m), and
    their numbers, a spring's too, of shape (m,). See `geometry.front.many`.

    Parameters
    ----------
    design
        Points of the measured pose with the moves that are made to fit: they define the parts.
    body
        The same with the moves of holes added: where the parts are bolted.
    steering
        Rack or relay, bolted to the moved points.
    reset_toe
        Whether the tie rods are turned until the toe is as measured.
    spring, damper_on
        What stands where; None where the points aren't given.
    seats
        Points "spring_arm", "damper_arm" (in the design) and "spring_body", "damper_body" (moved).
    joint_axes
        Stud directions by joint, where given.
    sprung_mass, unsprung_mass
        Of one corner [kg], None when not known.
    tyre_rate
        [N/mm], None when not known.
    toe_diameter
        Over which toe is quoted as a length [mm].
    brake_share, leverage
        Braking share of this axle; wheelbase over centre-of-gravity height; None when not known.
    wheelbase
        [mm], None when not known.
    target_toe
        Toe that the tie rods are turned to [rad], (2, 1); the design's when None.
    """

    design: CornerPoints
    body: CornerPoints
    steering: Steering
    reset_toe: bool
    spring: SpringPart | None
    damper_on: ArmName | None
    seats: dict[str, Vector]
    joint_axes: dict[str, Vector] = field(default_factory=dict)
    sprung_mass: Scalar | None = None
    unsprung_mass: Scalar | None = None
    tyre_rate: Scalar | None = None
    toe_diameter: Scalar = 600.0
    brake_share: Scalar | None = None
    leverage: Scalar | None = None
    wheelbase: Scalar | None = None
    target_toe: Array | None = None


@dataclass(frozen=True)
class Reference:
    """What the measured car fixes for every proposal.

    Parameters
    ----------
    free
        Spring's compression without force (see springs.py), None when the load isn't known.
    spring
        The measured spring, to tell what a change of it means.
    contact_y, hub_x
        Contact centre's y and wheel centre's x at the measured pose [mm], (2, 1).
    body_height
        Height of the datum there [mm], (1,).
    force
        Spring force [N] or torque [N·mm] that carries the corner at the measured height, (2, 1).
    compression
        Spring's compression at the measured height, (2, 1).
    """

    spring: SpringPart | None
    free: Array | None
    force: Array | None
    compression: Array | None
    contact_y: Array
    hub_x: Array
    body_height: Array


@dataclass(frozen=True)
class Front:
    """A car bolted up and aligned, ready to be posed."""

    car: FrontCar
    axle: Axle
    joints: Joints
    spring: Strut | None
    damper: Strut | None
    reference: Reference

    def spring_compression(
        self, link: Linkage, rates: ArmRates | None = None
    ) -> Compression | None:
        """Return the spring's compression in poses, None where there is none.

        Parameters
        ----------
        link
            This axle's wheels in n poses.
        rates
            The arms' rates of turning in those poses, when they are at hand.
        """
        return _compression(self.car, self.axle, self.spring, link, rates)

    def fitted_spring(self) -> Spring | None:
        """Return the spring with its free state as now fitted, None where its load isn't known."""
        return _fitted_spring(self.car.spring, self.reference)

    def wheel_load(self, poses: Poses) -> Array:
        """Return what the springs carry at the wheels [N], the mean of both, shape (n,)."""
        spring, squeeze = self.fitted_spring(), self.spring_compression(poses.linkage)
        if spring is None or squeeze is None:
            return np.full(poses.roll.shape, np.nan)
        return spring.load(squeeze).mean(axis=0)

    def results(self, poses: Poses, keys: Collection[str] | None = None) -> Results:
        """Return the wheel and axle results of the catalogue that this car allows.

        Of all, or of those asked for and what is worked out with them. A value that doesn't exist
        in a pose is NaN or infinite there.

        Parameters
        ----------
        poses
            n poses of this axle.
        keys
            Which results are asked for; None for all.
        """
        # centres run to infinity, and poses that aren't reached mean nothing
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            return front_results(self, poses, keys)


@quietly
def build_front(car: FrontCar, reference: Reference | None = None) -> Front:
    """Bolt a car up and align it; the measured car makes its own reference.

    Parameters
    ----------
    car
        The car as measured, or as proposed.
    reference
        What the measured car has at rest; None for the measured car itself.

    Raises
    ------
    DegenerateGeometry, LegsDontMeet, OnOneLine, TooFarApart, Unreachable
        The points define no linkage, or it can't stand at its measured height.
    """
    for points in (car.design, car.body):
        if not points.greatest < 0.25 * FARTHEST:  # else no two of them can be that far apart
            for corner in range(points.camber.size):
                refuse_far_points(_places(points, corner), "front.")
    parts = car.design.parts
    car.steering.refuse_open()
    body = replace(car.body, tie_inner=car.steering.inner_ends(np.zeros(1)))
    corners = bolt_up(parts, body)
    target = car.design.toe if car.target_toe is None else car.target_toe
    if car.reset_toe and (car.body is not car.design or np.any(target != car.design.toe)):
        corners = with_tie_length(corners, tie_length_for_toe(corners, target))
    axle = Axle(corners, car.steering)
    front = Front(
        car=car,
        axle=axle,
        joints=measure_joints(car.design, car.joint_axes),
        spring=_strut(car, "spring", car.spring.on if car.spring else None),
        damper=_strut(car, "damper", car.damper_on),
        reference=_NOTHING,
    )
    return replace(front, reference=reference or _measure_reference(front))


def _places(points: CornerPoints, corner: int) -> dict[str, tuple[float, ...]]:
    """Return one corner's points by key [mm]."""
    return {
        key: tuple(float(np.ravel(part)[corner % np.size(part)]) for part in value)
        for key, value in points.places.items()
    }


_NOTHING = Reference(None, None, None, None, np.zeros((2, 1)), np.zeros((2, 1)), np.zeros(1))


def rest_pose(axle: Axle) -> Poses:
    """Return the pose at zero travel and straight ahead."""
    zero = np.zeros(axle.corners.lower.radius_2.shape[-1])
    demand = Demand(zero, zero, zero, zero != 0.0)
    return drive(axle, unsurveyed(axle.steering.inner_ends(zero)), demand)


def _strut(car: FrontCar, name: str, on: ArmName | None) -> Strut | None:
    arm, body = car.seats.get(f"{name}_arm"), car.seats.get(f"{name}_body")
    if arm is None or body is None or on is None:
        return None
    return Strut(measure_seat(car.design, on, arm), body)


def _compression(
    car: FrontCar, axle: Axle, strut: Strut | None, link: Linkage, rates: ArmRates | None = None
) -> Compression | None:
    if car.spring is None:
        return None
    turning = rates or arm_rates(axle, link)
    if car.spring.kind == "torsion bar":
        return bar_compression(axle, link, turning, car.design)
    return strut_compression(axle, link, strut, turning) if strut else None


def _measure_reference(front: Front) -> Reference:
    pose = rest_pose(front.axle)
    if (pose.linkage.rise <= 0.0).any():
        raise DegenerateGeometry("front.lower_ball", "front.wheel_centre", Flaw.AGAINST)
    squeeze = front.spring_compression(pose.linkage)
    spring = front.car.spring
    force = free = None
    if squeeze is not None and spring is not None:
        force = _force_at_rest(front.car, squeeze)
        if force is not None and spring.rate is not None and np.all(spring.rate):
            free = free_from_load(spring.rate, squeeze, force * squeeze.slope)
    return Reference(
        spring=spring,
        free=free,
        force=force,
        compression=None if squeeze is None else squeeze.value,
        contact_y=pose.contact[1],
        hub_x=pose.linkage.wheel_centre[0],
        body_height=pose.body_height,
    )


def _force_at_rest(car: FrontCar, squeeze: Compression) -> Array | None:
    """Weigh the spring's force: by the corner's mass, else by what the spring itself says."""
    if car.sprung_mass is not None:
        return np.asarray(car.sprung_mass * GRAVITY / squeeze.slope)
    return declared_force(car.spring, squeeze.value)


def declared_force(spring: SpringPart | None, compression: Array) -> Array | None:
    """Return the force that free length or preload claim at the measured height, or None.

    Parameters
    ----------
    spring
        As fitted, None without one.
    compression
        At the measured height: minus the length [mm], or the twist [rad], shape (2, 1).
    """
    if spring is None:
        return None
    if spring.kind == "torsion bar":
        return None if spring.preload is None else np.full_like(compression, spring.preload)
    if spring.free_length is None or spring.rate is None:
        return None
    return np.asarray(spring.rate * (spring.free_length + compression))


def _fitted_spring(spring: SpringPart | None, reference: Reference) -> Spring | None:
    """Carry the measured spring's free state over to the fitted one.

    A coil keeps its free length when only its rate is changed; a torsion bar keeps its torque at
    the measured height. A changed free length or preload counts by its difference, so an error of
    the given figure against the weighed one doesn't enter; where none was given, the weighed one is
    meant.
    """
    before = reference.spring
    if spring is None or before is None or spring.rate is None or reference.free is None:
        return None
    if spring.kind != before.kind:
        return None
    if spring.kind == "torsion bar":
        if reference.force is None or reference.compression is None:
            return None
        torque: Scalar | Array = reference.force
        if spring.preload is not None:
            told = reference.force if before.preload is None else before.preload
            torque = torque + spring.preload - told
        return Spring(spring.rate, reference.compression - torque / spring.rate)
    longer: Scalar | Array = 0.0
    if spring.free_length is not None:
        weighed = -reference.free  # what a coil is compressed by without force is minus its length
        longer = spring.free_length - (
            weighed if before.free_length is None else before.free_length
        )
    return Spring(spring.rate, reference.free - longer)
