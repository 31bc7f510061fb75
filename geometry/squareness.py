"""How square a live axle stands to the car, from where each side holds its wheel."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from geometry.vectors import Array, Scalar

Results = dict[str, Array]


def thrust_results(ahead: Array, base: Scalar, track: Scalar) -> Results:
    """Return thrust angle [rad] and the wheelbase's difference side to side [mm] by key, (n,).

    Parameters
    ----------
    ahead
        How far the right side's hold on the axle stands ahead of the left one's [mm], shape (n,).
    base
        Between the two [mm].
    track
        Between the wheel centres [mm].

    Notes
    -----
    + points the car to the left: the right wheel stands ahead, the left wheelbase is the longer.
    """
    slope = np.asarray(ahead / base)
    return {"thrust_angle": np.arctan(slope), "wheelbase_difference": track * slope}


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
    return {"thrust_angle": angle, "wheelbase_difference": track * np.tan(angle)}
