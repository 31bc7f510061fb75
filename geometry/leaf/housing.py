"""What is bolted to an axle on leaf springs: its pinion and dampers, body level and leaning."""

from __future__ import annotations

from geometry.dampers import DamperPair, HousingMove, Results
from geometry.leaf.axle import LeafPath
from geometry.propshaft import Propshaft
from geometry.vectors import Array, Scalar, Vector


def level_housing(
    path: LeafPath,
    pinion: Scalar,
    middle: Vector,
    pair: DamperPair | None,
    propshaft: Propshaft | None,
) -> Results:
    """Return results of pinion, propshaft (n,) and dampers (2, n) by key, of level poses.

    Parameters
    ----------
    path
        The axle in n poses.
    pinion
        Its pinion angle as measured [rad], nose up positive.
    middle
        Between the wheel centres as measured [mm].
    pair, propshaft
        Dampers and propshaft, None where not known.
    """
    x, _, z = middle
    move = HousingMove((path.wheel_x - x, 0.0, path.wheel_z - z), path.pinion - pinion)
    values: Results = {"pinion_turn": move.nose_up}
    if pair is not None:
        ratios = pair.level_ratios(move, path.slope, path.pitch_rate)
        values |= {**pair.results(move), "damper_motion_ratio": ratios}
    if propshaft is not None:
        values |= propshaft.results(path.pinion, middle, move)
    return values


def leaning_housing(
    place: tuple[Array, Array, Array],
    turn: tuple[Array, Array, Array],
    pinion: Scalar,
    middle: Vector,
    pair: DamperPair | None,
    propshaft: Propshaft | None,
) -> Results:
    """Return the same by key where the body leans, but for the dampers' motion ratios.

    Parameters
    ----------
    place
        Of the wheel centres' middle forward and up in body axes, its shift to the left [mm], (n,).
    turn
        Pinion angle, nose up positive; body's roll to the right; steer to the left [rad], (n,).
    pinion, middle, pair, propshaft
        As of `level_housing`.
    """
    (x, _, z), (forward, up, left) = middle, place
    angle, roll, steer = turn
    move = HousingMove((forward - x, left, up - z), angle - pinion, -roll, steer)
    values: Results = {"pinion_turn": move.nose_up}
    if pair is not None:
        values |= pair.results(move)
    if propshaft is not None:
        values |= propshaft.results(angle, middle, move)
    return values
