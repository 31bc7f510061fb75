"""The right spring beside the left one: what has sagged, how a body leans, what settles apart."""

from __future__ import annotations

from dataclasses import replace
from math import atan
from typing import NamedTuple

from geometry.leaf.build import build_leaf
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


def settles_apart(car: LeafCar, measured: LeafCar) -> float | None:
    """Return how much lower the body settles at the right spring than at the left one [mm].

    Each by itself, under its load, from where it was found; None where the load isn't known. The
    right spring is put together as a left one by its own points: as found it carries its load at
    the measured height, sagged as it may be.

    Parameters
    ----------
    car
        As proposed.
    measured
        As found.

    Raises
    ------
    GeometryError
        A spring carries its load nowhere.
    """
    if car.right is None and measured.right is None:
        return 0.0
    left, right = (
        build_leaf(proposed, build_leaf(found).reference).settled_travel
        for proposed, found in ((car, measured), (_right_as_left(car), _right_as_left(measured)))
    )
    return None if left is None or right is None else right - left


def _right_as_left(car: LeafCar) -> LeafCar:
    """Return a car both of whose springs are its right one."""
    right = car.right
    if right is None:
        return car
    points = right.points if right.is_own else car.points
    return replace(car, points=points, moved=right.moved, right=None)


def loaded_arch(points: LeafPoints) -> float:
    """Return how far the line through a spring's eyes stands above its centre bolt [mm]."""
    at, _, bolt = points.centre_bolt
    return _line_at(points.front_eye, points.rear_eye, at) - bolt


def _line_at(front: Point, rear: Point, at: float) -> float:
    """Return the height of a line through two points where it passes over x = `at` [mm]."""
    return rear[2] + (front[2] - rear[2]) * (at - rear[0]) / (front[0] - rear[0])
