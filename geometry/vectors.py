"""The few vector operations the kernel shares, batched over poses.

A vector is a tuple of its three components, each a float or an array of one broadcastable shape.
Components kept apart are about twice as fast in numpy as a stacked ``(3, n)`` array at the sizes of
a sweep, and need no axis bookkeeping.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[Any]  # of floats, or of truths where it says so
Point = tuple[float, float, float]
Scalar = Any  # a float or an Array: numpy broadcasts both alike
Vector = tuple[Scalar, Scalar, Scalar]


def vector(values: Sequence[ArrayLike]) -> Vector:
    """Return three components as float arrays."""
    x, y, z = values
    return (
        np.asarray(x, dtype=float),
        np.asarray(y, dtype=float),
        np.asarray(z, dtype=float),
    )


def add(a: Vector, b: Vector) -> Vector:
    """Return a + b.

    Parameters
    ----------
    a, b
        Components of shapes that go together.
    """
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def subtract(a: Vector, b: Vector) -> Vector:
    """Return a - b.

    Parameters
    ----------
    a, b
        Components of shapes that go together.
    """
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def scale(a: Vector, factor: Scalar) -> Vector:
    """Return factor · a.

    Parameters
    ----------
    a
        Components of any shape.
    factor
        A number, or an array of that shape.
    """
    return a[0] * factor, a[1] * factor, a[2] * factor


def add_scaled(a: Vector, b: Vector, factor: Scalar) -> Vector:
    """Return a + factor · b.

    Parameters
    ----------
    a, b
        Components of shapes that go together.
    factor
        A number, or an array of that shape.
    """
    return a[0] + b[0] * factor, a[1] + b[1] * factor, a[2] + b[2] * factor


def dot(a: Vector, b: Vector) -> Scalar:
    """Return the scalar product.

    Parameters
    ----------
    a, b
        Components of shapes that go together.
    """
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Return the vector product a x b, right-handed.

    Parameters
    ----------
    a, b
        Components of shapes that go together.
    """
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def norm(a: Vector) -> Array:
    """Return the length."""
    return np.sqrt(dot(a, a))


def unit(a: Vector) -> Vector:
    """Return a / |a|."""
    return scale(a, 1.0 / norm(a))


def pick(a: Vector, index: Any) -> Vector:
    """Return the same index of each component.

    Parameters
    ----------
    a
        Components of one shape.
    index
        What numpy takes as an index.
    """
    return a[0][index], a[1][index], a[2][index]
