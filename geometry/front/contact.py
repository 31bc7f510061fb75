"""Where a wheel touches a road that the body leans over, in the corner's body axes.

The road's normal has no x: the body rolls about X alone. Rows are (left, mirrored right).
"""

from __future__ import annotations

import numpy as np

from geometry.front.steering import SIDES
from geometry.vectors import Array, Scalar, Vector, add_scaled, scale


def road_normal(roll: Array, rows: int = 2) -> Vector:
    """Return the road's unit normal in body axes, mirrored rows, shape (rows, n).

    Parameters
    ----------
    roll
        Body roll [rad], right side down positive, shape (n,).
    rows
        2 for both sides, 1 for the left one alone.
    """
    upright = np.cos(roll) + np.zeros((rows, 1))
    return np.zeros_like(upright), SIDES[:rows] * np.sin(roll), upright


def wheel_down(axle: Vector, normal: Vector) -> Vector:
    """Return the unit vector in the wheel plane that points at the road.

    Parameters
    ----------
    axle
        Unit vector of the spin axis, components of any shape.
    normal
        Unit normal of the road, up.
    """
    lean = normal[1] * axle[1] + normal[2] * axle[2]
    across = 1.0 / upright_share(lean)
    return scale(add_scaled(scale(normal, -1.0), axle, lean), across)


def upright_share(lean: Array) -> Array:
    """Return the cosine of a wheel's lean from its sine; a pose out of reach may lean past 90°."""
    return np.sqrt(np.maximum(1.0 - lean * lean, 1e-9))


def road_height(
    axle: Vector, hub: Vector, normal: Vector, radius: Scalar, axle_rate: Vector, hub_rate: Vector
) -> tuple[Array, Array]:
    """Return n·P of the contact centre [mm] and its rate, P = W + R·d as it moves.

    n·P = n·W - R·sqrt(1 - (n·e)²), since the wheel's lowest point lies in its plane. The normal's
    x is zero.

    Parameters
    ----------
    axle
        Unit vector of the spin axis, components of any shape.
    hub
        Wheel centre [mm].
    normal
        Unit normal of the road, up.
    radius
        Of the tyre, loaded [mm].
    axle_rate, hub_rate
        Rates of the first two, by any one variable.
    """
    _, across, above = normal
    lean = across * axle[1] + above * axle[2]
    upright = upright_share(lean)
    leaning = across * axle_rate[1] + above * axle_rate[2]
    rate = across * hub_rate[1] + above * hub_rate[2] + radius * lean / upright * leaning
    return across * hub[1] + above * hub[2] - radius * upright, rate


def contact_height(axle: Vector, hub: Vector, normal: Vector, radius: Scalar) -> Array:
    """Return n·P of the contact centre alone [mm].

    Parameters
    ----------
    axle
        Unit vector of the spin axis, components of any shape.
    hub
        Wheel centre [mm].
    normal
        Unit normal of the road, up.
    radius
        Of the tyre, loaded [mm].
    """
    _, across, above = normal
    upright = upright_share(across * axle[1] + above * axle[2])
    return across * hub[1] + above * hub[2] - radius * upright
