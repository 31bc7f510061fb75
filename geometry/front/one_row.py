"""Fronts whose right sides mirror their left ones, on one row: half the work, the same answers."""

from __future__ import annotations

from dataclasses import replace

from geometry.front.axle import Front
from geometry.front.steering import Rack
from geometry.rows import arrays_in, first_row


def on_one_row(front: Front) -> Front:
    """Keep the left sides, straight ahead and level, where the right ones are their mirrors.

    Parameters
    ----------
    front
        Cars as one, arrays of shape (2, s).
    """
    return _one_sided(front) if _sides_alike(front) else front


def _sides_alike(front: Front) -> bool:
    """Tell whether all cars' right sides are mirrors of their left ones."""
    parts = (front.axle.corners, front.joints, front.spring, front.damper, front.reference)
    return all(
        len(array) == 2 and (array[0] == array[1]).all()
        for array in arrays_in((*parts, front.car.design))
        if array.ndim == 2
    )


def _one_sided(front: Front) -> Front:
    """Keep the left sides, straight ahead."""
    ahead = Rack(front.axle.corners.tie_inner)
    return first_row(replace(front, axle=replace(front.axle, steering=ahead)))
