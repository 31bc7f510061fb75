"""Hop, tramp and wind-up of an axle on links: its six freedoms on bushes, coils and tyres.

What holds it, in the pose in which the car stands: each link along its own line by its bushes,
coils, tyres at the wheel centres, and what the forces in links and coils do as these swing. The
bushes' damping, and their stiffness against twist and across the link, are not in it.

References
----------
K = Σ k·u·uᵀ + Σ T·∂²l/∂q² (derived): the second derivative of the stored energy by the freedoms.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.links.axle import Coil, Link
from geometry.links.car import LinkCar
from geometry.links.poses import AxlePoses, placed
from geometry.links.results import LinkAxleResults
from geometry.links.statics import part_forces
from geometry.modes.dampers import Damper, lever
from geometry.modes.hop import Hop, all_layouts
from geometry.modes.modes import (
    FORE_AFT,
    HOP,
    SIDEWAYS,
    TRAMP,
    WIND_UP,
    YAW,
    HeldAxle,
)
from geometry.numeric import quietly, solved
from geometry.vectors import Array, Point

_UP: Final = (0.0, 0.0, 1.0)
_FREEDOMS: Final = 6
_LED: Final = [HOP, TRAMP]  # z and φ: the freedoms on whose ways links lead the axle
_HELD: Final = [FORE_AFT, WIND_UP, SIDEWAYS, YAW]  # x, θ, y and χ: those that they hold


@dataclass(frozen=True)
class _Part:
    """A link or a coil: axle end from the axle's centre, from body to axle [mm], rate, tension.

    Rate in N/mm and tension in N, + pulls.
    """

    at: Array
    along: Array
    rate: float
    tension: float


@quietly
def link_hop(car: LinkCar, results: LinkAxleResults) -> Hop | None:
    """Return the modes, None where masses, rates or dampers aren't known, or mean nothing.

    Parameters
    ----------
    car
        The car.
    results
        Of one pose, that in which it stands.
    """
    rate = car.damper_rate
    if rate is None or not (car.has_dampers and results.poses.reachable[0]):
        return None
    held = held_by_links(car, results)
    if held is None:
        return None
    sides = (car.axle.damper_left, car.axle.damper_right)
    dampers = tuple(_damper(results.poses, each.body, each.axle, rate) for each in sides)
    swings = all_layouts(held, dampers)
    if swings is None:
        return None
    return Hop(dampers, swings[0].modes, swings[1:], known=_known(car), on_links=True)


def _known(car: LinkCar) -> frozenset[int]:
    """Return the modes that are told: without the bushes' rates those that hardly hang on them."""
    by_bushes = {FORE_AFT, WIND_UP, YAW} if car.has_bush_rates else set()
    by_lateral = {SIDEWAYS} if car.has_lateral_rate else set()
    return frozenset({HOP, TRAMP} | by_bushes | by_lateral)


def _damper(poses: AxlePoses, body: Point, axle: Point, rate: float) -> Damper:
    at = placed(poses, axle)[0]
    return Damper(_point(at - poses.centre[0]), _point(np.array(body) - at), rate)


def _point(place: Array) -> Point:
    x, y, z = place.tolist()
    return x, y, z


def held_by_links(car: LinkCar, results: LinkAxleResults) -> HeldAxle | None:
    """Return the axle with what holds it; None where masses, coils or tyres aren't known.

    Parameters
    ----------
    car
        The car.
    results
        Of one pose.
    """
    if car.axle_mass is None or car.tyre_rate is None or not car.has_coils:
        return None
    poses, mass = results.poses, car.axle_mass
    # a long tube turns as hard about the upright as about the car's length
    inertias = np.array([mass.roll_inertia, mass.pitch_inertia, mass.roll_inertia]) / 1e6
    masses = np.array([mass.mass, mass.mass, inertias[0], inertias[1], mass.mass, inertias[2]])
    links, coils = _parts(car, results)
    by_links = sum((_stiffness(link) for link in links), np.zeros((_FREEDOMS, _FREEDOMS)))
    stiffness = by_links + sum(_stiffness(coil) for coil in coils)
    for wheel in (car.axle.wheel_left, car.axle.wheel_right):
        u = lever(_point(placed(poses, wheel)[0] - poses.centre[0]), _UP)
        stiffness = stiffness + 1e3 * car.tyre_rate * np.outer(u, u)
    stiffness = stiffness + sum(_swinging(part) for part in (*links, *coils))
    motions = _pure_motions(by_links, stiffness, masses)
    still = np.zeros((_FREEDOMS, _FREEDOMS))
    return None if motions is None else HeldAxle(masses, stiffness, motions, car.axle.track, still)


def _parts(car: LinkCar, results: LinkAxleResults) -> tuple[list[_Part], list[_Part]]:
    """Return the links and the coils in a pose, with what they carry of the car standing."""
    axle, poses = car.axle, results.poses
    carried = float(results.rates.wheel_force[0].sum())
    pulls, pushes = part_forces(axle, poses, 0.0, carried)
    links, coils = axle.links.values(), (axle.coil_left, axle.coil_right)

    def part(fitted: Link | Coil, tension: float) -> _Part:
        at = placed(poses, fitted.axle)[0]
        return _Part(at - poses.centre[0], at - np.array(fitted.body), fitted.rate, tension)

    return (
        [part(link, pull) for link, pull in zip(links, pulls.tolist(), strict=True)],
        [part(coil, -push) for coil, push in zip(coils, pushes.tolist(), strict=True)],
    )


def _stiffness(part: _Part) -> Array:
    """Return what a part's rate makes of K in N, m and rad, shape (6, 6)."""
    u = lever(_point(part.at), _point(part.along))
    return 1e3 * part.rate * np.outer(u, u)


def _swinging(part: _Part) -> Array:
    """Return what a part's tension T makes of K as its direction changes, shape (6, 6).

    T·∂²l/∂q² = T·((JᵀJ - u·uᵀ)/l + ∂²(e·d)/∂q²), J the movement of the part's end by the freedoms.
    """
    length = float(np.linalg.norm(part.along)) / 1e3
    moved = np.array([lever(_point(part.at), _point(axis)) for axis in np.eye(3)])
    u = lever(_point(part.at), _point(part.along))
    p, e = part.at / 1e3, part.along / 1e3 / length
    bend = np.zeros((_FREEDOMS, _FREEDOMS))
    turns = [2, 3, 5]  # φ about X, θ against Y, χ about Z
    sign = np.array([1.0, -1.0, 1.0])
    # e·(w × (w × p)) = (e·w)(p·w) - (e·p)·w²
    block = 0.5 * (np.outer(e, p) + np.outer(p, e)) - float(e @ p) * np.eye(3)
    bend[np.ix_(turns, turns)] = block * np.outer(sign, sign)
    swinging: Array = part.tension * ((moved.T @ moved - np.outer(u, u)) / length + bend)
    return swinging


def _pure_motions(by_links: Array, stiffness: Array, masses: Array) -> Array | None:
    """Return the motions that modes are named by, as of `HeldAxle`; None where links are loose.

    Hop and tramp are the ways on which the links lead the axle in bounce and in roll; the others
    are the modes of what is square to these, each named by the freedom that it has most of.

    Parameters
    ----------
    by_links
        K of the links alone, shape (6, 6).
    stiffness
        K of all that holds the axle, shape (6, 6).
    masses
        Of the freedoms, shape (6,).
    """
    root = np.sqrt(masses)
    scaled = stiffness / np.outer(root, root)
    if not (np.isfinite(scaled).all() and np.isfinite(by_links).all()):
        return None
    ways = np.zeros((_FREEDOMS, 2))
    ways[_LED, [0, 1]] = 1.0
    ways[_HELD] = -solved(by_links[np.ix_(_HELD, _HELD)], by_links[np.ix_(_HELD, _LED)])
    weighted = ways * root[:, None]
    if not np.isfinite(weighted).all():
        return None
    led, _ = np.linalg.qr(weighted)
    apart = np.eye(_FREEDOMS)[:, [FORE_AFT, WIND_UP, SIDEWAYS, YAW]]
    held, _ = np.linalg.qr(apart - led @ (led.T @ apart))
    pair = held[:, :2]
    pair = pair @ np.linalg.eigh(pair.T @ scaled @ pair)[1]
    if abs(pair[FORE_AFT, 0]) < abs(pair[FORE_AFT, 1]):
        pair = pair[:, ::-1]
    motions = np.empty((_FREEDOMS, _FREEDOMS))
    motions[:, _LED] = led
    motions[:, [FORE_AFT, WIND_UP]] = pair
    motions[:, [SIDEWAYS, YAW]] = held[:, 2:]
    return motions
