"""Dampers of an axle on leaf springs, with the body level and leaning."""

from __future__ import annotations

from geometry.dampers import DamperPair, HousingMove, Results
from geometry.leaf.axle import LeafPath
from geometry.vectors import Array, Scalar


def level_dampers(pair: DamperPair, path: LeafPath, pinion: Scalar) -> Results:
    """Return length, motion ratio and stroke by key, shape (2, n), of level poses.

    Parameters
    ----------
    pair
        Both dampers.
    path
        The axle in n poses.
    pinion
        Its pinion angle as measured [rad], nose up positive.
    """
    x, _, z = pair.middle
    move = HousingMove((path.wheel_x - x, 0.0, path.wheel_z - z), path.pinion - pinion)
    ratios = pair.level_ratios(move, path.slope, path.pitch_rate)
    return {**pair.results(move), "damper_motion_ratio": ratios}


def leaning_dampers(
    pair: DamperPair,
    middle: tuple[Array, Array, Array],
    turn: tuple[Array, Array, Array],
) -> Results:
    """Return length and stroke by key, shape (2, n), where the body leans.

    Parameters
    ----------
    pair
        Both dampers.
    middle
        Of the wheel centres forward and up in body axes, and its shift to the left [mm], (n,) each.
    turn
        Of the housing since it was measured, nose up; roll of the body, + to the right; steer of
        the axle, + to the left [rad], (n,) each.
    """
    x, _, z = pair.middle
    forward, up, left = middle
    nose_up, roll, steer = turn
    return pair.results(HousingMove((forward - x, left, up - z), nose_up, -roll, steer))
