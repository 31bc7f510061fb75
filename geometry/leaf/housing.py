"""What is bolted to an axle on leaf springs: its pinion and dampers, body level and leaning."""

from __future__ import annotations

from typing import NamedTuple

from geometry.dampers import DamperPair, HousingMove, Results
from geometry.leaf.axle import LeafPath
from geometry.leaf.car import LeafCar
from geometry.leaf.snubbers import Snubbers, in_level_poses
from geometry.propshaft import Propshaft
from geometry.vectors import Array, Scalar, Vector


class BoltedOn(NamedTuple):
    """What goes with a housing.

    Parameters
    ----------
    pinion
        Its pinion angle as measured [rad], nose up positive.
    middle
        Between the wheel centres as measured [mm].
    pair, propshaft
        Dampers and propshaft, None where not known.
    """

    pinion: Scalar
    middle: Vector
    pair: DamperPair | None
    propshaft: Propshaft | None


def bolted_on(car: LeafCar) -> BoltedOn:
    """Return what goes with a car's housing."""
    return BoltedOn(car.pinion, car.middle, car.damper_pair, car.propshaft)


def level_housing(
    path: LeafPath, angle: Array, bolted: BoltedOn, snubbers: Snubbers | None
) -> Results:
    """Return results of pinion, propshaft (n,) and dampers (2, n) by key, of level poses.

    Parameters
    ----------
    path
        The axle in n poses.
    angle
        Of the pinion [rad], nose up positive, shape (n,).
    bolted
        What goes with the housing.
    snubbers
        Of traction bars, which turn the housing once they are closed; None without bars.
    """
    x, _, z = bolted.middle
    move = HousingMove((path.wheel_x - x, 0.0, path.wheel_z - z), angle - bolted.pinion)
    values = _moved(move, angle, bolted)
    if bolted.pair is not None:
        nose_rate = path.pitch_rate
        if snubbers is not None:
            nose_rate = nose_rate + in_level_poses(snubbers, path).turn_rate
        values["damper_motion_ratio"] = bolted.pair.level_ratios(move, path.slope, nose_rate)
    return values


def leaning_housing(
    place: tuple[Array, Array, Array], turn: tuple[Array, Array, Array], bolted: BoltedOn
) -> Results:
    """Return the same by key where the body leans, but for the dampers' motion ratios.

    Parameters
    ----------
    place
        Of the wheel centres' middle forward and up in body axes, its shift to the left [mm], (n,).
    turn
        Pinion angle, nose up positive; body's roll to the right; steer to the left [rad], (n,).
    bolted
        What goes with the housing.
    """
    (x, _, z), (forward, up, left) = bolted.middle, place
    angle, roll, steer = turn
    move = HousingMove((forward - x, left, up - z), angle - bolted.pinion, -roll, steer)
    return _moved(move, angle, bolted)


def known_pinion(values: Results, car: LeafCar) -> Results:
    """Leave the pinion's angle out where it wasn't measured: its turn alone is known.

    Parameters
    ----------
    values
        Results by key.
    car
        The car that they are of.
    """
    if car.has_pinion:
        return values
    return {key: value for key, value in values.items() if key != "pinion_angle"}


def _moved(move: HousingMove, angle: Array, bolted: BoltedOn) -> Results:
    values: Results = {"pinion_turn": move.nose_up}
    if bolted.pair is not None:
        values |= bolted.pair.results(move)
    if bolted.propshaft is not None:
        values |= bolted.propshaft.results(angle, bolted.middle, move)
    return values
