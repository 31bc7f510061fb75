"""A front in many poses of travel and steer, level, without the results of each."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from geometry.front.axle import Front
from geometry.front.road import Demand, Poses, drive, survey_axle
from geometry.front.sweeps import steerable
from geometry.numeric import first_of_each
from geometry.vectors import Array


def level_poses(front: Front, travel: Array, steer: Array) -> Poses:
    """Solve any mix of travel and steer; `reached` is false where the linkage can't go.

    Parameters
    ----------
    front
        The front.
    travel
        Of both wheels [mm], + in bump, shape (n,).
    steer
        Of the rack or the relay [mm], + to the left, shape (n,).
    """
    own_steers = steer[first_of_each(steer)]
    every = np.ones_like(own_steers)
    low, high = min(travel.min(), -1.0), max(travel.max(), 1.0)
    lines = survey_axle(front.axle, own_steers, low * every, high * every)
    zero = np.zeros_like(travel)
    demand = Demand(travel, zero, steer, zero != 0.0)
    poses = drive(front.axle, lines.of(np.searchsorted(own_steers, steer)), demand)
    return replace(poses, reached=poses.reached & steerable(front, steer))
