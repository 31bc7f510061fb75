"""What is read off a steer sweep: caster on turn plates, toe-out on turns, Ackermann share."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from geometry.conventions import TURN_PLATE_ANGLE
from geometry.front.wheel import caster_from_turn_plates, interpolate
from geometry.vectors import Array


def turning_results(
    steer: Mapping[str, Array], reached: Array, between: float, wheelbase: float | None
) -> dict[str, float]:
    """Return turn-plate caster and the outer wheel's angle [rad], and the Ackermann share [%].

    `steer` holds the results over a sweep; `between` is the distance of the kingpin axes at the
    ground, straight ahead [mm]. What the steering doesn't reach is left out.

    Parameters
    ----------
    steer
        Results over a sweep of steer by key, shape (2, n).
    reached
        Which poses the steering reaches, shape (n,).
    between
        Distance of the kingpin axes at the ground, straight ahead [mm].
    wheelbase
        Of the car [mm], None where not known.
    """
    toe, camber = steer["toe"][:, reached], steer["camber_road"][:, reached]
    values: dict[str, float] = {}
    caster = caster_from_turn_plates((toe[0], camber[0]), TURN_PLATE_ANGLE)
    if caster is not None:
        values["caster_turn_plates"] = caster
    inner = -toe[0]  # of a left turn
    order = np.argsort(inner)
    if inner.size < 6 or not inner[order[0]] < TURN_PLATE_ANGLE < inner[order[-1]]:
        return values
    outer = interpolate(inner[order], toe[1][order], TURN_PLATE_ANGLE)
    values["toe_out_on_turns"] = outer
    if wheelbase is not None:
        values["ackermann"] = ackermann_share(TURN_PLATE_ANGLE, outer, between, wheelbase)
    return {key: value for key, value in values.items() if np.isfinite(value)}


def ideal_outer(inner: float, between: float, wheelbase: float) -> float:
    """Return the outer wheel's ideal steer angle [rad]: cot(outer) - cot(inner) = b/L.

    Parameters
    ----------
    inner
        Steer angle of the inner wheel [rad], above zero.
    between
        Distance of the kingpin axes at the ground [mm].
    wheelbase
        Of the car [mm].

    References
    ----------
    ISO 8855, 7.1.9.
    """
    return float(np.arctan(1.0 / (1.0 / np.tan(inner) + np.divide(between, wheelbase))))


def ackermann_share(inner: float, outer: float, between: float, wheelbase: float) -> float:
    """Return 100·(inner - outer)/(inner - ideal outer) [%]; common practice.

    Parameters
    ----------
    inner, outer
        Steer angles of the wheels [rad], above zero.
    between
        Distance of the kingpin axes at the ground [mm].
    wheelbase
        Of the car [mm].
    """
    apart = inner - ideal_outer(inner, between, wheelbase)
    return float(100.0 * np.divide(inner - outer, apart))
