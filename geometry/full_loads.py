"""Full drive and full braking of the rear axle: what engine, brakes or tyres let it have.

Load moves to the rear pulling away and off it braking, in a steady state on a level road (textbook
statics: Gillespie, Fundamentals of Vehicle Dynamics, ch. 1, from memory of the source).
"""

from __future__ import annotations

from typing import Final, Literal, Protocol

import numpy as np

from geometry.dataclass import dataclass
from geometry.leaf.car import Drive

FULL_LOADS: Final = frozenset({"full_thrust", "full_braking"})
"""Keys of what both come to."""

Limiter = Literal["engine", "tyres", "brakes"]


class RearCar(Protocol):
    """What a car says of its rear's loads; None where not known."""

    @property
    def drive(self) -> Drive | None:
        """Engine torque, ratios, efficiency and grip."""

    @property
    def load(self) -> float | None:
        """Sprung weight on one wheel [N]."""

    @property
    def axle_load(self) -> float | None:
        """Of both rear wheels on the road [N]."""

    @property
    def weight(self) -> float | None:
        """Of the whole car [N]."""

    @property
    def brake_share(self) -> float | None:
        """Of the braking force at the rear, 0 to 1."""

    @property
    def leverage(self) -> float | None:
        """Wheelbase over the centre of gravity's height (no unit)."""

    @property
    def tyre_radius(self) -> float:
        """Loaded [mm]."""


@dataclass(frozen=True)
class FullLoad:
    """The most that the rear axle pushes or brakes with.

    Parameters
    ----------
    force
        At both contact patches together [N], never negative.
    by
        What limits it: the engine's torque, the brakes' share, or the tyres' grip.
    tyres
        What the tyres would hold [N]; infinite where the front wheels lift first, or where it isn't
        known.
    other
        What the engine or the brakes would bring [N]; infinite where the brakes' share isn't known.
    """

    force: float
    by: Limiter
    tyres: float
    other: float


def full_drive(car: RearCar) -> FullLoad | None:
    """Return the thrust of full drive, None where the engine or its ratios aren't known.

    Parameters
    ----------
    car
        The car; without its centre of gravity's height or its wheelbase load transfer is left out,
        without grip or load the engine alone limits.

    References
    ----------
    The tyres hold F = µ·(W_r + F·h/ℓ) = µ·W_r/(1 - µ·h/ℓ) at a driven rear axle (textbook).
    """
    drive, standing = car.drive, _axle_load(car)
    engine = None if drive is None else engine_thrust(drive, car.tyre_radius)
    if drive is None or engine is None:
        return None
    tyres = float("inf")
    if drive.grip is not None and standing is not None:
        left = 1.0 - drive.grip * _height_over_wheelbase(car)
        tyres = drive.grip * standing / left if left > 0.0 else float("inf")
    return FullLoad(min(tyres, engine), "tyres" if tyres < engine else "engine", tyres, engine)


def engine_thrust(drive: Drive, tyre_radius: float) -> float | None:
    """Return what the engine's torque comes to at the contact patches [N], None if not known.

    Parameters
    ----------
    drive
        Torque, ratios and efficiency.
    tyre_radius
        Loaded [mm].
    """
    if drive.engine_torque is None or drive.gear is None or drive.final_drive is None:
        return None
    torque = drive.engine_torque * drive.gear * drive.final_drive * drive.efficiency
    return float(np.divide(torque, tyre_radius))


def full_braking(car: RearCar) -> FullLoad | None:
    """Return the rear's force when the whole car brakes at its grip, None where that isn't known.

    Parameters
    ----------
    car
        The car; without its brakes' share the tyres alone limit, without the centre of gravity's
        height or the wheelbase load transfer is left out.

    References
    ----------
    The car slows by µ·g: the brakes bring share·µ·m·g to the rear, whose tyres, unloaded, hold
    µ·(W_r - µ·m·g·h/ℓ) (textbook).
    """
    drive, standing = car.drive, _axle_load(car)
    if drive is None or drive.grip is None or standing is None:
        return None
    total = drive.grip * (car.weight or standing)
    left = standing - total * _height_over_wheelbase(car)
    tyres = drive.grip * max(left, 0.0)
    brakes = float("inf")
    if car.brake_share is not None and car.weight is not None:
        brakes = car.brake_share * total
    return FullLoad(min(tyres, brakes), "tyres" if tyres < brakes else "brakes", tyres, brakes)


def _axle_load(car: RearCar) -> float | None:
    """Return what both rear wheels stand on [N]; without the axle's weight, what it carries."""
    if car.axle_load:
        return car.axle_load
    return None if car.load is None else 2.0 * car.load


def _height_over_wheelbase(car: RearCar) -> float:
    """Return h/ℓ, which moves load between the axles; 0 where it isn't known."""
    return 1.0 / car.leverage if car.leverage else 0.0


def full_load_results(car: RearCar) -> dict[str, float]:
    """Return the forces of full drive and full braking by key [N], as far as they are known.

    Parameters
    ----------
    car
        The car.
    """
    loads = {"full_thrust": full_drive(car), "full_braking": full_braking(car)}
    return {
        key: load.force
        for key, load in loads.items()
        if load is not None and np.isfinite(load.force)
    }
