"""Places and directions on the car as three plain floats: quicker than arrays for a single pose."""

from __future__ import annotations

import math

Vec = tuple[float, float, float]


def plus(a: Vec, b: Vec) -> Vec:
    """Return a + b."""
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def minus(a: Vec, b: Vec) -> Vec:
    """Return a - b."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def plus_scaled(a: Vec, b: Vec, factor: float) -> Vec:
    """Return a + factor · b."""
    return a[0] + factor * b[0], a[1] + factor * b[1], a[2] + factor * b[2]


def dot(a: Vec, b: Vec) -> float:
    """Return the scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    """Return the vector product, right-handed."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def unit(a: Vec) -> Vec:
    """Return a / |a|; nothing has no direction, and stays nothing."""
    length = math.sqrt(dot(a, a)) or 1.0
    return a[0] / length, a[1] / length, a[2] / length
