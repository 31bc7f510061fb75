"""Where a car stands: how far its wheels have risen into the body, and how the body then lies.

A car that stands where it was measured has nothing of all this. The road under a car that pitches
is turned against its body: directions in side view are taken to that road.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Protocol

import numpy as np

from geometry.dataclass import dataclass
from geometry.vectors import Array, Scalar

Place = tuple[float, float]

_LEAST: Final = 1e-9  # mm and rad below which a car stands where it was measured


@dataclass(frozen=True)
class Stand:
    """Where one end of a car stands, against the measured height.

    Parameters
    ----------
    travel
        Rise of this end's wheels into the body [mm], + when the car sits lower.
    pitch
        Of the body to the road [rad], + nose down.
    drop
        Of the car's centre of gravity [mm], + lower.
    is_held
        Whether the springs are made to carry the load there, whatever they would do by themselves.
    """

    travel: float = 0.0
    pitch: float = 0.0
    drop: float = 0.0
    is_held: bool = False

    @property
    def has_travel(self) -> bool:
        """Tell whether the wheels stand elsewhere in the body."""
        return self.travel != 0.0

    @property
    def has_drop(self) -> bool:
        """Tell whether the centre of gravity has moved."""
        return self.drop != 0.0

    @property
    def is_as_measured(self) -> bool:
        """Tell whether the car stands as it was measured, on the springs that it has."""
        moved = max(abs(self.travel), abs(self.pitch), abs(self.drop))
        return moved < _LEAST and not self.is_held


AS_MEASURED: Final = Stand()


@dataclass(frozen=True)
class Stands:
    """Where many cars stand: the same of each.

    Parameters
    ----------
    travel, pitch, drop
        As of one `Stand`, shape (m,) [mm, rad, mm].
    is_held
        Whether springs are made to carry the load there, in all of them.
    """

    travel: Array
    pitch: Array
    drop: Array
    is_held: bool = False

    @property
    def is_as_measured(self) -> bool:
        """Tell whether every car stands as it was measured, on the springs that it has."""
        moved = max(np.abs(each).max(initial=0.0) for each in (self.travel, self.pitch, self.drop))
        return bool(moved < _LEAST) and not self.is_held

    @property
    def has_travel(self) -> bool:
        """Tell whether the wheels of any car stand elsewhere in the body."""
        return bool(self.travel.any())

    @property
    def has_drop(self) -> bool:
        """Tell whether the centre of gravity of any car has moved."""
        return bool(self.drop.any())

    def of(self, place: int) -> Stand:
        """Return where one of them stands.

        Parameters
        ----------
        place
            Which car, from 0.
        """
        travel, pitch, drop = (each[place] for each in (self.travel, self.pitch, self.drop))
        return Stand(float(travel), float(pitch), float(drop), self.is_held)


def turned(x: Array, z: Array, pitch: Scalar) -> tuple[Array, Array]:
    """Return vectors of the body (forward, up) in the road's axes, of the same shape.

    Parameters
    ----------
    x, z
        Components forward and up [mm], of one shape.
    pitch
        Of the body [rad], + nose down.
    """
    ahead, up = x * np.cos(pitch) + z * np.sin(pitch), z * np.cos(pitch) - x * np.sin(pitch)
    return np.asarray(ahead), np.asarray(up)


def contact_slope_to_road(hub: Scalar, contact: Scalar, pitch: Scalar) -> Array:
    """Return dx/dz of the point under the hub, fixed to upright or housing, to the road.

    The rise is across the road; the contact point is the one that then lies under the hub.

    Parameters
    ----------
    hub
        dx/dz of the wheel centre in the body's axes (no unit), + forward as it rises, any shape.
    contact
        The same of the point under it along the body's upright, of the same shape.
    pitch
        Of the body [rad], + nose down.

    References
    ----------
    Derived: the upright turns as it did, about an axis across the car; the hub's path turns with
    the body.
    """
    rise = np.cos(pitch) - hub * np.sin(pitch)
    return np.asarray((hub * np.cos(pitch) + np.sin(pitch) + contact - hub) / rise)


def in_body(centre: tuple[float, float], hub: tuple[float, float], stand: Stand) -> Place:
    """Return a side-view centre (forward, up) in body axes, as construction lines meet [mm].

    Parameters
    ----------
    centre
        As results give it: forward, and above the road on which the car stands [mm].
    hub
        Wheel centre forward and up in body axes [mm].
    stand
        Where the car stands.
    """
    ahead, up = centre[0] - hub[0], centre[1] + stand.travel - hub[1]
    pitch = stand.pitch
    forward = ahead * np.cos(pitch) - up * np.sin(pitch)
    above = up * np.cos(pitch) + ahead * np.sin(pitch)
    return float(hub[0] + forward), float(hub[1] + above)


class AxleCar(Protocol):
    """What a car with a live axle says of its tyre and masses; None where not known."""

    @property
    def tyre_radius(self) -> float:
        """Loaded [mm]."""

    @property
    def leverage(self) -> float | None:
        """Wheelbase over the centre of gravity's height (no unit)."""

    @property
    def brake_share(self) -> float | None:
        """Of the braking force at this axle, 0 to 1."""


def axle_to_road(
    values: Mapping[str, Array], hub: tuple[Array, Array], car: AxleCar, stand: Stand | Stands
) -> dict[str, Array]:
    """Return results of a live axle with the side view taken to the road.

    The housing takes the wheels' torque, so one contact slope serves drive and brakes. The
    side-view centre's height is above the road on which the car stands; travel counts from there.

    Parameters
    ----------
    values
        Results by key, in body axes, shape (n,).
    hub
        Wheel centre forward and up in body axes [mm], each of shape (n,).
    car
        Its tyre and its masses.
    stand
        Where the car stands, or each pose's car.
    """
    at_road = dict(values)
    pitch, (x, z) = stand.pitch, hub
    at_road["wheel_travel"] = values["wheel_travel"] - stand.travel
    for key in ("pinion_angle", "pinion_turn", "roll_axis_slope"):
        if key in values:
            at_road[key] = values[key] - pitch
    forward, above = values["side_centre_x"] - x, values["side_centre_z"] - z
    is_near = np.isfinite(forward) & np.isfinite(above)
    ahead, up = turned(forward, above, pitch)
    at_road["side_centre_x"] = np.where(is_near, x + ahead, values["side_centre_x"])
    at_road["side_centre_z"] = np.where(is_near, z - stand.travel + up, values["side_centre_z"])
    at_road["side_swing_arm_length"] = np.where(is_near, ahead, values["side_swing_arm_length"])
    if car.leverage is not None and "anti_squat" in values:
        contact = -values["anti_squat"] / (100.0 * car.leverage)
        # a wheel centre goes round the side-view centre; where that is far off, all points go alike
        hub_slope = np.where(is_near, -above / np.where(is_near, forward, 1.0), contact)
        slope = contact_slope_to_road(hub_slope, contact, pitch)
        at_road["anti_squat"] = -100.0 * slope * car.leverage
        if car.brake_share is not None:
            at_road["anti_lift"] = at_road["anti_squat"] * car.brake_share
    return at_road
