"""The right spring beside the left one as measured: what has sagged, how a body leans."""

from __future__ import annotations

from math import atan
from typing import NamedTuple

from geometry.leaf.car import LeafCar, LeafPoints


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


def loaded_arch(points: LeafPoints) -> float:
    """Return how far the line through a spring's eyes stands above its centre bolt [mm]."""
    (front, _, high), (rear, _, low), (at, _, bolt) = (
        points.front_eye,
        points.rear_eye,
        points.centre_bolt,
    )
    return low + (high - low) * (at - rear) / (front - rear) - bolt
