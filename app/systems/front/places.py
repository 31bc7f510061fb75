"""Where every point of a posed front is: plain numbers, both sides, in car axes [mm]."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from app.document.address import SIDES, key_of, keyed, mirrored
from app.document.model import Setup
from app.document.moves import measured_points, proposed_points
from app.drawing.space import Vec, cross, dot, minus, plus_scaled, unit
from app.systems.answers import Study
from app.systems.drawing.wheel import Wheel
from app.systems.front.study import FrontAnswers
from geometry.dataclass import dataclass
from geometry.front.axle import Front
from geometry.front.springs import Seat, measure_seat
from geometry.front.steering import Relay
from geometry.front.sweeps import Sweep
from geometry.vectors import Vector, vector

BODY_POINTS: Final = ("upper_front", "upper_rear", "lower_front", "lower_rear")
KEYS_OF_JOINT: Final = frozenset(key_of("front", side, "strut_joint") for side in SIDES)
MOVING: Final = ("upper_ball", "lower_ball", "tie_inner", "tie_outer", "wheel_centre")


@dataclass(frozen=True, slots=True)
class Side:
    """One side's points by their bare names, its wheel, and where the seats' feet are.

    A seat's foot is the place in the arm's plane that the seat stands over.
    """

    points: Mapping[str, Vec]
    wheel: Wheel
    feet: Mapping[str, Vec]


@dataclass(frozen=True, slots=True)
class Places:
    """Both sides of a car in one pose; `up` is the road's normal, `road` its level along that."""

    left: Side
    right: Side
    up: Vec
    road: float

    def on_road(self, place: Vec) -> Vec:
        """Return the place on the road under (along the road's normal) a place."""
        return plus_scaled(place, self.up, self.road - dot(place, self.up))


def places_of(setup: Setup, front: Front, sweep: Sweep, proposed: bool) -> Places:
    """Return where everything is in a sweep of one pose."""
    poses = sweep.poses
    joint = _strut_seat(setup, front, proposed)
    left, right = (_side(front, sweep, side, joint) for side in (0, 1))
    up = _vec(poses.normal, 0)
    return Places(left, right, up, -float(poses.body_height[0]))


def proposed_places(study: Study[FrontAnswers]) -> dict[str, Vec]:
    """Return where points are in the proposed car at the measured wheel height, by key [mm]."""
    car = study.unsettled
    places = places_of(study.setup, car.front, car.rest, True)
    left, right = places.left.points, places.right.points
    return keyed("front", "left", left) | keyed("front", "right", right)


def _vec(value: Vector, side: int) -> Vec:
    x, y, z = value
    return float(x[side, 0]), float(y[side, 0]), float(z[side, 0])


def _side(front: Front, sweep: Sweep, side: int, joint: Seat | None) -> Side:
    poses, body = sweep.poses, front.car.body
    link = poses.linkage
    points = {name: _vec(getattr(body, name), side) for name in BODY_POINTS}
    points |= {name: _vec(getattr(link, name), side) for name in MOVING}
    feet: dict[str, Vec] = {}
    for name, strut in (("spring", front.spring), ("damper", front.damper)):
        if strut is not None:
            points[f"{name}_body"] = _vec(strut.body, side)
            points[f"{name}_arm"], feet[name] = _seat(front, points, strut.seat, side)
    if joint is not None:
        points["strut_joint"], _ = _seat(front, points, joint, side)
    wheel = _wheel(points, _vec(link.axle, side), _vec(poses.normal, side), _radius(poses, side))
    if side == 0:
        return Side(points | _relay(front, sweep), wheel, feet)
    return _mirrored(Side(points, wheel, feet))


def _radius(poses: Any, side: int) -> float:
    return float(poses.tyre_radius[side, 0])


def _seat(front: Front, points: Mapping[str, Vec], seat: Seat, side: int) -> tuple[Vec, Vec]:
    """Return a seat's place on its arm, and the place in the arm's plane below it."""
    upper = seat.on == "upper arm"
    arm = front.axle.corners.upper if upper else front.axle.corners.lower
    axis, centre = _vec(arm.axis, side), _vec(arm.centre, side)
    radius = minus(points["upper_ball" if upper else "lower_ball"], centre)
    along, out, up = (float(share[side, 0]) for share in (seat.along, seat.out, seat.up))
    foot = plus_scaled(plus_scaled(centre, axis, along), radius, out)
    return plus_scaled(foot, cross(axis, radius), up), foot


def _wheel(points: Mapping[str, Vec], spin: Vec, up: Vec, radius: float) -> Wheel:
    centre, lower = points["wheel_centre"], points["lower_ball"]
    down = unit(plus_scaled((-up[0], -up[1], -up[2]), spin, dot(up, spin)))
    contact = plus_scaled(centre, down, radius)
    axis = minus(points["upper_ball"], lower)
    share = dot(up, minus(contact, lower)) / dot(up, axis)
    kingpin = plus_scaled(lower, axis, share)
    return Wheel(centre, radius, spin, down, unit(cross(spin, up)), contact, kingpin)


def _mirrored(side: Side) -> Side:
    """Return a right-hand side, which the kernel holds as a left one, in car axes."""
    wheel = side.wheel
    return Side(
        {name: mirrored(place) for name, place in side.points.items()},
        Wheel(
            mirrored(wheel.centre),
            wheel.radius,
            mirrored(wheel.spin),
            mirrored(wheel.down),
            mirrored(wheel.heading),
            mirrored(wheel.contact),
            mirrored(wheel.kingpin),
        ),
        {name: mirrored(place) for name, place in side.feet.items()},
    )


def _relay(front: Front, sweep: Sweep) -> dict[str, Vec]:
    """Return the pitman and idler arms, which cross the car and are no mirror images."""
    steering = front.axle.steering
    if not isinstance(steering, Relay):
        return {}
    pitman, idler = steering.arm_ends(sweep.poses.rack)
    return {
        "pitman_pivot": _single(steering.pitman_pivot),
        "pitman_end": _single(pitman),
        "idler_pivot": _single(steering.idler_pivot),
        "idler_end": _single(idler),
    }


def _single(value: Vector) -> Vec:
    x, y, z = value
    return float(x.flat[0]), float(y.flat[0]), float(z.flat[0])


def _strut_seat(setup: Setup, front: Front, proposed: bool) -> Seat | None:
    """Return where the strut rod bolts to the lower arm, as a seat on it."""
    named = KEYS_OF_JOINT & setup.evidence.keys()
    if not named and not any(KEYS_OF_JOINT & change.sets.keys() for change in setup.changes):
        return None  # as on most cars: nothing is worked out for it
    points_of = proposed_points if proposed else measured_points
    left, right = (points_of(setup, "front", side).made.get("strut_joint") for side in SIDES)
    if left is None or right is None:
        return None
    seats = zip(left, mirrored(right), strict=True)  # the kernel holds the right one as a left one
    return measure_seat(front.car.design, "lower arm", vector([[[a], [b]] for a, b in seats]))
