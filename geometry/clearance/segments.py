"""The nearest points of two straight lines of a given length, exactly, in many poses."""

from __future__ import annotations

import numpy as np

from geometry.clearance.shapes import inner
from geometry.vectors import Array

_POINT = 1e-18  # squared length of a segment that is a point [mm²]
_PARALLEL = 1e-14  # squared sine of the angle below which two segments are parallel


def nearest_of_segments(
    first: tuple[Array, Array], second: tuple[Array, Array]
) -> tuple[Array, Array]:
    """Return the nearest point on each of two segments [mm], both of shape (n, 3).

    Of parallel segments, where many are as near, one pair of them.

    Parameters
    ----------
    first, second
        Ends of each [mm], shape (n, 3); they may coincide.

    References
    ----------
    C. Ericson, "Real-Time Collision Detection" (2005), 5.1.9 (from memory).
    """
    start, other = first[0], second[0]
    along, beside, apart = first[1] - start, second[1] - other, start - other
    a, e = inner(along, along), inner(beside, beside)
    b, c, f = inner(along, beside), inner(along, apart), inner(beside, apart)
    sine = a * e - b * b
    with np.errstate(divide="ignore", invalid="ignore"):
        s = np.where(sine > _PARALLEL * a * e, np.clip((b * f - c * e) / sine, 0.0, 1.0), 0.0)
        t = np.where(e > _POINT, (b * s + f) / e, 0.0)
        t = np.clip(t, 0.0, 1.0)
        s = np.where(a > _POINT, np.clip((b * t - c) / a, 0.0, 1.0), 0.0)
    return start + s[:, None] * along, other + t[:, None] * beside
