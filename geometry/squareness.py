"""How square a live axle stands to the car, from where each side holds its wheel."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from geometry.vectors import Array, Scalar

Results = dict[str, Array]


def thrust_results(ahead: Array, base: Scalar, track: Scalar, front_ahead: Scalar = 0.0) -> Results:
    """Return thrust angle [rad] and the wheelbase's difference side to side [mm] by key, (n,).

    Parameters
    ----------
    ahead
        How far the right side's hold on the axle stands ahead of the left one's [mm], shape (n,).
    base
        Between the two [mm].
    track
        Between the wheel centres [mm].
    front_ahead
        How far the left front wheel centre stands ahead of the right one [mm].

    Notes
    -----
    + points the car to the left: the right wheel stands ahead. The left wheelbase is the longer by
    as much, and by what the left front wheel stands ahead.
    """
    slope = np.asarray(ahead / base)
    difference = front_ahead + track * slope
    return {"thrust_angle": np.arctan(slope), "wheelbase_difference": difference}


def leaning_thrust(level: Mapping[str, Array], steer: Array, track: Scalar) -> Results:
    """Return the same where the body leans and the axle steers with it.

    Parameters
    ----------
    level
        Of `thrust_results` in the level pose, shape (n,) or (1,).
    steer
        Of the axle in the lean [rad], + to the left, shape (n,).
    track
        Between the wheel centres [mm].
    """
    angle = np.asarray(level["thrust_angle"] + steer)
    turned = track * (np.tan(angle) - np.tan(level["thrust_angle"]))
    return {
        "thrust_angle": angle,
        "wheelbase_difference": np.asarray(level["wheelbase_difference"] + turned),
    }
