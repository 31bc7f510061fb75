"""What is read off a steer sweep: caster on turn plates, toe-out on turns, Ackermann share."""

from __future__ import annotations

from collections.abc import Mapping
from math import radians
from typing import Final

import numpy as np

from geometry.conventions import TURN_PLATE_ANGLE
from geometry.front.wheel import caster_from_turn_plates, interpolate
from geometry.vectors import Array, Scalar

TRACK_ANGLE: Final = radians(10.0)
"""Of the outer wheel, at which the share by the track is stated [rad]."""

LEAST_STEER: Final = radians(5.0)
"""Below it the toe as set outweighs what the steering does: no share is stated [rad]."""


def wheels_on_turn_plates(
    steer: Mapping[str, Array],
    reached: Array,
    locks: tuple[float, float] = (TURN_PLATE_ANGLE, TURN_PLATE_ANGLE),
) -> dict[str, Array]:
    """Return the caster [rad] that turn plates read of each wheel, shape (2,), NaN without one.

    Parameters
    ----------
    steer
        Results over a sweep of steer by key, shape (2, n).
    reached
        Which poses the steering reaches, shape (n,).
    locks
        Steer of the wheel that is read, toe-out and toe-in [rad].
    """
    angles = [steer[key][:, reached] for key in ("toe", "camber_road", "kingpin_inclination")]
    casters = [caster_from_turn_plates((t, c, k), locks) for t, c, k in zip(*angles, strict=True)]
    return {"caster_turn_plates": np.array(casters, dtype=float)}


def turning_results(
    steer: Mapping[str, Array],
    reached: Array,
    between: float,
    track: float,
    wheelbase: float | None,
) -> dict[str, float]:
    """Return the outer wheel's angle [rad], and two Ackermann shares [%].

    What the steering doesn't reach is left out.

    Parameters
    ----------
    steer
        Results over a sweep of steer by key, shape (2, n).
    reached
        Which poses the steering reaches, shape (n,).
    between
        Distance of the kingpin axes at the ground, straight ahead [mm].
    track
        Distance of the contact centres, straight ahead [mm].
    wheelbase
        Of the car [mm], None where not known.
    """
    toe = steer["toe"][:, reached]
    values: dict[str, float] = {}
    left, right = -toe[0], toe[1]  # of a left turn: the inner one and the outer one
    outer = _angle_at(left, right, TURN_PLATE_ANGLE)
    if outer is not None:
        values["toe_out_on_turns"] = outer
    if outer is not None and wheelbase is not None:
        share = ackermann_share(TURN_PLATE_ANGLE, outer, between, wheelbase)
        values["ackermann"] = float(share)
    inner = _angle_at(right, left, TRACK_ANGLE)
    if inner is not None and wheelbase is not None:
        share = share_by_track(inner, TRACK_ANGLE, track, wheelbase)
        values["ackermann_track"] = float(share)
    return {key: value for key, value in values.items() if np.isfinite(value)}


def _angle_at(one: Array, other: Array, angle: float) -> float | None:
    """Return the other wheel's angle when one is at an angle [rad], None where it isn't reached."""
    order = np.argsort(one)
    if one.size < 6 or not one[order[0]] < angle < one[order[-1]]:
        return None
    return interpolate(one[order], other[order], angle)


def shares_over_steer(
    headings: tuple[Array, Array], between: Array, track: Array, wheelbase: Scalar
) -> tuple[Array, Array]:
    """Return both Ackermann shares of each pose [%], shape (n,), of left and right turns alike.

    The first is by the kingpin axes, the second by the track. NaN where the inner wheel is steered
    less than `LEAST_STEER`.

    Parameters
    ----------
    headings
        Of the left and the right wheel [rad], + to the car's left, shape (n,).
    between
        Distance of the kingpin axes at the ground [mm], shape (n,).
    track
        Distance of the contact centres [mm], shape (n,).
    wheelbase
        Of the car [mm].
    """
    left, right = headings
    turns_left = left + right > 0.0
    inner = np.where(turns_left, left, -right)
    outer = np.where(turns_left, right, -left)
    inner = np.where(inner < LEAST_STEER, np.nan, inner)
    by_kingpins = ackermann_share(inner, outer, between, wheelbase)
    by_track = share_by_track(inner, outer, track, wheelbase)
    return np.asarray(by_kingpins), np.asarray(by_track)


def share_by_track(inner: Scalar, outer: Scalar, track: Scalar, wheelbase: Scalar) -> Scalar:
    """Return 100·(inner - outer)/(ideal inner - outer) [%], the ideal from the outer wheel's angle.

    The ideal: cot(outer) - cot(inner) = t/L, with the track instead of the kingpins' distance. It
    is how reports of racing cars often state it (common practice, no source).

    Parameters
    ----------
    inner, outer
        Steer angles of the wheels [rad], above zero.
    track
        Distance of the contact centres [mm].
    wheelbase
        Of the car [mm].
    """
    ideal = np.arctan2(1.0, 1.0 / np.tan(outer) - np.divide(track, wheelbase))
    return 100.0 * np.divide(inner - outer, ideal - outer)


def ideal_outer(inner: Scalar, between: Scalar, wheelbase: Scalar) -> Scalar:
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
    return np.arctan(1.0 / (1.0 / np.tan(inner) + np.divide(between, wheelbase)))


def ackermann_share(inner: Scalar, outer: Scalar, between: Scalar, wheelbase: Scalar) -> Scalar:
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
    return 100.0 * np.divide(inner - outer, apart)
