"""The right spring beside the left one as measured: what has sagged, how a body leans."""

from __future__ import annotations

from math import atan
from typing import NamedTuple

from geometry.leaf.car import LeafCar, LeafPoints
from geometry.vectors import Point


class Sides(NamedTuple):
    """The right side against the left.

    Parameters
    ----------
    sag
        How much flatter the right spring stands under its load [mm].
    lean
        Of the body over its spring pins [rad], + right side lower.
    """

    sag: float
    lean: float


def side_by_side(car: LeafCar) -> Sides | None:
    """Return the right side against the left, None where the right spring has no points measured.

    References
    ----------
    A spring's loaded arch is the height of the line through its eyes above the main leaf at the
    centre bolt, common practice among spring makers.
    """
    if car.right is None or not car.right.is_own:
        return None
    left, right = car.points, car.right.points
    drops = [
        getattr(left, pin)[2] - getattr(right, pin)[2] for pin in ("front_eye", "shackle_body")
    ]
    between = left.front_eye[1] + right.front_eye[1]
    return Sides(loaded_arch(left) - loaded_arch(right), atan(sum(drops) / 2.0 / between))


def right_pins_rise(car: LeafCar) -> float:
    """Return how far new holes lift the right spring's pins over the axle, less the left's [mm].

    About as far the body comes down on that side more than on the other.

    Parameters
    ----------
    car
        The proposed car.
    """
    if car.right is None:
        return 0.0
    left = _pins_over_bolt(car.moved) - _pins_over_bolt(car.points)
    return _pins_over_bolt(car.right.moved) - _pins_over_bolt(car.right.points) - left


def _pins_over_bolt(points: LeafPoints) -> float:
    """Return the height of the line through a spring's pins on the body, at its bolt [mm]."""
    return _line_at(points.front_eye, points.shackle_body, points.centre_bolt[0])


def loaded_arch(points: LeafPoints) -> float:
    """Return how far the line through a spring's eyes stands above its centre bolt [mm]."""
    at, _, bolt = points.centre_bolt
    return _line_at(points.front_eye, points.rear_eye, at) - bolt


def _line_at(front: Point, rear: Point, at: float) -> float:
    """Return the height of a line through two points where it passes over x = `at` [mm]."""
    return rear[2] + (front[2] - rear[2]) * (at - rear[0]) / (front[0] - rear[0])
