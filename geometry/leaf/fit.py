"""The loop of a leaf spring from measured points, and what a workshop changes on it."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, hypot, sin
from typing import Final

from geometry.errors import DegenerateGeometry, Flaw
from geometry.leaf.load import HalfRates
from geometry.leaf.loop import LeafLoop, Point


def loop_from_points(
    front_eye: Point,
    seat: Point,
    rear_eye: Point,
    shackle_pivot: Point,
    wheel_centre: Point,
    clamp: float = 0.0,
    pinion: float = 0.0,
) -> tuple[LeafLoop, float]:
    """Fit the loop through measured points.

    Parameters
    ----------
    front_eye, rear_eye, shackle_pivot, wheel_centre
        (x, z) [mm].
    seat
        Main leaf at the centre bolt, (x, z) [mm].
    clamp
        Length of the straight seat [mm].
    pinion
        Pinion angle measured on the car [rad], + nose up.

    Returns
    -------
    tuple
        The loop, and the angle of the seat at design [rad], + nose up. The half-lengths are those
        that the points ask for: compare them with the tape.

    Raises
    ------
    DegenerateGeometry
        The seat isn't between the eyes, or the shackle has no length.
    """
    if not rear_eye[0] + clamp / 2 < seat[0] < front_eye[0] - clamp / 2:
        raise DegenerateGeometry("rear.centre_bolt", "rear.front_eye", Flaw.NO_ROOM)
    shackle = hypot(rear_eye[0] - shackle_pivot[0], rear_eye[1] - shackle_pivot[1])
    if shackle < 1.0:
        raise DegenerateGeometry("rear.rear_eye", "rear.shackle_body", Flaw.NO_SHACKLE)
    angle = _seat_angle(front_eye, seat, rear_eye, clamp)
    forward, up = _into_seat(front_eye, seat, angle)
    backward, up_rear = _into_seat(rear_eye, seat, angle)
    front, curvature = _arc_through(forward - clamp / 2, up)
    rear, _ = _arc_through(-backward - clamp / 2, up_rear)
    axle = _into_seat(wheel_centre, seat, angle)
    side = _cross(front_eye, shackle_pivot, rear_eye)
    loop = LeafLoop(
        front_eye=front_eye,
        shackle_pivot=shackle_pivot,
        shackle=shackle,
        front=front,
        rear=rear,
        clamp=clamp,
        curvature=curvature,
        axle=axle,
        pinion=pinion - angle,
        side=1.0 if side >= 0 else -1.0,
    )
    return loop, angle


def _into_seat(point: Point, seat: Point, angle: float) -> Point:
    x, z = point[0] - seat[0], point[1] - seat[1]
    return x * cos(angle) + z * sin(angle), z * cos(angle) - x * sin(angle)


def _cross(origin: Point, towards: Point, point: Point) -> float:
    return (towards[0] - origin[0]) * (point[1] - origin[1]) - (towards[1] - origin[1]) * (
        point[0] - origin[0]
    )


def _arc_through(along: float, up: float) -> tuple[float, float]:
    """Length and curvature of the arc that leaves along the seat and ends at (along, up)."""
    chord = hypot(along, up)
    half = atan2(up, along)
    return chord * (half / sin(half) if half else 1.0), 2 * sin(half) / chord


def _seat_angle(front_eye: Point, seat: Point, rear_eye: Point, clamp: float) -> float:
    """Angle of the seat at which both halves are arcs of one curvature [rad], by secant steps."""

    def difference(angle: float) -> float:
        forward, up = _into_seat(front_eye, seat, angle)
        backward, up_rear = _into_seat(rear_eye, seat, angle)
        front = _arc_through(forward - clamp / 2, up)[1]
        return front - _arc_through(-backward - clamp / 2, up_rear)[1]

    first = atan2(front_eye[1] - rear_eye[1], front_eye[0] - rear_eye[0])
    second = first + 1e-3
    at_first, at_second = difference(first), difference(second)
    for _ in range(20):
        if abs(second - first) < 1e-13 or at_second == at_first:
            break
        step = at_second * (second - first) / (at_second - at_first)
        first, at_first = second, at_second
        second = second - step
        at_second = difference(second)
    return second


def with_rates(loop: LeafLoop, rates: HalfRates) -> LeafLoop:
    """Return the loop with the curvature shared as the halves' rates ask (seat's moment zero).

    Parameters
    ----------
    loop
        The loop, fitted.
    rates
        Of its two halves.

    References
    ----------
    k_f·a·δ_f = k_r·b·δ_r with δ = l²·Δκ/2 of each arc (derived); ideal halves come out at (1, 1).
    """
    front = 1 / (rates.front * loop.front_arm * loop.front**2)
    rear = 1 / (rates.rear * loop.rear_arm * loop.rear**2)
    mean = (front + rear) / 2
    return replace(loop, split=(front / mean, rear / mean))


def with_block(loop: LeafLoop, height: float) -> LeafLoop:
    """Return the loop with a block between spring and axle [mm]: the axle moves off the leaf.

    With the axle above the leaf (spring under the axle) the car comes down by it; with the spring
    over the axle it goes up.

    Parameters
    ----------
    loop
        The loop, fitted.
    height
        Of the block [mm].
    """
    along, up = loop.axle
    return replace(loop, axle=(along, up + (height if up >= 0 else -height)))


def with_wedge(loop: LeafLoop, angle: float) -> LeafLoop:
    """Return the loop with a wedge at the seat that turns the pinion up by an angle [rad].

    Parameters
    ----------
    loop
        The loop, fitted.
    angle
        Of the wedge [rad], + turns the pinion nose up.
    """
    along, up = loop.axle
    turned = (along * cos(angle) - up * sin(angle), along * sin(angle) + up * cos(angle))
    return replace(loop, axle=turned, pinion=loop.pinion + angle)


def with_shackle(loop: LeafLoop, longer: float) -> LeafLoop:
    """Return the loop with a shackle longer by so much [mm].

    Parameters
    ----------
    loop
        The loop, fitted.
    longer
        By so much [mm].
    """
    return replace(loop, shackle=loop.shackle + longer)


EYE_HEIGHTS: Final = {"upturned": 0.5, "central": 0.0, "downturned": -0.5}
"""Height of an eye's centre over the leaf's middle, in bores plus leaf thicknesses."""


def eye_height(rolled: str, bore: float, thickness: float) -> float:
    """Height of an eye's centre over the middle of the main leaf's end [mm].

    Parameters
    ----------
    rolled
        "upturned", "central" or "downturned" (a reversed eye).
    bore
        Inner diameter of the eye, its bush out [mm].
    thickness
        Of the main leaf [mm].
    """
    return EYE_HEIGHTS[rolled] * (bore + thickness)


def with_raised_eye(loop: LeafLoop, end: int, by: float) -> LeafLoop:
    """Return the loop with an eye rolled higher on its leaf.

    Parameters
    ----------
    loop
        The loop, fitted with the eyes as measured.
    end
        0 for the front eye, 1 for the rear.
    by
        New `eye_height` less the measured one [mm]; negative for a reversed eye, which lowers the
        car.
    """
    front, rear = loop.eye_offsets
    offsets = (front + by, rear) if end == 0 else (front, rear + by)
    return replace(loop, eye_offsets=offsets)
