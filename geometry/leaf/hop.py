"""Hop, tramp and wind-up: the modes of an axle on leaf springs under a body that stands still.

Four freedoms of the axle's mass centre: fore-aft x [m], bounce z [m], roll φ [rad] (+ left side
up), wind-up θ [rad] (+ nose up). A linear indication: tyre grip, friction of the leaves and the
body's own motion are not in it.

References
----------
M·q'' + C·q' + K·q = 0 with K = Σ k·u·uᵀ, C = Σ c·u·uᵀ (derived); solved as the eigenvalues of its
companion matrix (textbook).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.leaf.load import HalfRates
from geometry.leaf.named_modes import NamedModes, name_modes
from geometry.leaf.wind_up import TractionBars
from geometry.vectors import Array, Point

Complex = NDArray[np.complex128]

MODE_NAMES: Final = ("fore-aft", "hop", "tramp", "wind-up")
# Imaginary part, relative to size, below which an eigenvalue counts as real.
_REAL: Final = 1e-9
# Turn below which a mode, scaled to 1, has no node [rad].
_STILL: Final = 1e-6


@dataclass(frozen=True)
class Damper:
    """One damper.

    Parameters
    ----------
    at
        Lower eye from the axle's mass centre, (forward, left, up) [mm].
    towards
        Direction to the body's eye, any length, (forward, left, up).
    rate
        [N·s/mm], mean of both directions.
    """

    at: Point
    towards: Point = (0.0, 0.0, 1.0)
    rate: float = 0.0

    @property
    def lever(self) -> Array:
        """Its shortening per unit of (x, z, φ, θ), in m and rad, shape (4,)."""
        return lever(self.at, self.towards)


def lever(at: Point, towards: Point) -> Array:
    """Movement of a point of the axle along a direction per unit of (x, z, φ, θ), in m and rad.

    Parameters
    ----------
    at
        Point from the axle's mass centre, (forward, left, up) [mm].
    towards
        Direction, any length, (forward, left, up).
    """
    x, y, z = (value / 1e3 for value in at)
    size = sum(value * value for value in towards) ** 0.5
    e_x, e_y, e_z = (value / size for value in towards)
    # φ moves the point by (0, -z, y), θ by (-z, 0, x).
    return np.array([e_x, e_z, e_z * y - e_y * z, e_z * x - e_x * z])


@dataclass(frozen=True)
class HopAxle:
    """The axle, what it stands on and what holds it.

    Parameters
    ----------
    mass
        Of the axle with its wheels [kg].
    roll_inertia, pitch_inertia
        About its mass centre, along and across the car [kg·mm²]; the pitch inertia with wheels if
        they are locked or driven, without if they roll.
    rates
        One spring.
    spring_base, track
        [mm].
    tyre_rate
        Of one tyre [N/mm].
    seat
        Centre bolt from the axle's mass centre, (forward, up) [mm].
    fore_aft_rate
        Of one front eye's bush and leaf along the car [N/mm].
    slope, hinge
        tan λ of the front half's link, + when it falls to the front, and its hinge ahead of the
        bolt [mm].
    bars
        Traction bars with their snubbers closed; None where they are open.
    grip_slope, axle_load, tyre_radius
        Fall of friction with slip speed [s/m], load on both tyres [N], loaded radius [mm]: adds
        negative damping where the tyres slip; 0 leaves it out.
    """

    mass: float
    roll_inertia: float
    pitch_inertia: float
    rates: HalfRates
    spring_base: float
    track: float
    tyre_rate: float
    seat: tuple[float, float] = (0.0, 0.0)
    fore_aft_rate: float = 2000.0
    slope: float = 0.0
    hinge: float = 0.0
    bars: TractionBars | None = None
    grip_slope: float = 0.0
    axle_load: float = 0.0
    tyre_radius: float = 0.0

    @property
    def masses(self) -> Array:
        """Of (x, z, φ, θ) [kg, kg, kg·m², kg·m²], shape (4,)."""
        inertias = np.array([self.roll_inertia, self.pitch_inertia]) / 1e6
        return np.concatenate([[self.mass, self.mass], inertias])


def stiffness_matrix(axle: HopAxle) -> Array:
    """K of (x, z, φ, θ) in N, m and rad, shape (4, 4)."""
    levers, rates = zip(*_spring_levers(axle), strict=True)
    u = np.array(levers)
    stiffness: Array = (u.T * (1e3 * np.array(rates))) @ u
    return stiffness


def _spring_levers(axle: HopAxle) -> list[tuple[Array, float]]:
    """Every spring's lever and rate [N/mm]."""
    up = (0.0, 0.0, 1.0)
    forward, height = axle.seat
    springs = []
    for side in (1.0, -1.0):
        y = side * axle.spring_base / 2
        front = (forward + axle.rates.front_arm, y, height)
        rear = (forward - axle.rates.rear_arm, y, height)
        link = (forward + axle.hinge, y, height)
        springs += [
            (lever(front, up), axle.rates.front),
            (lever(rear, up), axle.rates.rear),
            (lever((0.0, side * axle.track / 2, 0.0), up), axle.tyre_rate),
            (lever(link, (1.0, 0.0, -axle.slope)), axle.fore_aft_rate),
        ]
        if axle.bars is not None:
            snubber = (forward + axle.bars.length, y, height)
            springs.append((lever(snubber, up), axle.bars.stiffness))
    return springs


def damping_matrix(axle: HopAxle, dampers: tuple[Damper, ...]) -> Array:
    """C of (x, z, φ, θ) in N·s, m and rad, shape (4, 4).

    Parameters
    ----------
    axle
        The axle.
    dampers
        Those it has.
    """
    u = np.array([damper.lever for damper in dampers]).reshape(-1, 4)
    rates = 1e3 * np.array([damper.rate for damper in dampers])
    slip = lever((0.0, 0.0, -axle.tyre_radius), (1.0, 0.0, 0.0))
    falling = axle.grip_slope * axle.axle_load
    damping: Array = (u.T * rates) @ u - falling * np.outer(slip, slip)
    return damping


def pure_motions(axle: HopAxle) -> Array:
    """Motions that the modes are named by, in the order of `MODE_NAMES`.

    Those of the axle without dampers, with springs that don't couple bounce with wind-up: bounce,
    roll, and two of fore-aft with wind-up, since the axle turns about its seats. Columns in
    (x, z, φ, θ) times the root of the masses, of size 1, shape (4, 4).
    """
    root = np.sqrt(axle.masses)
    held = np.ix_([0, 3], [0, 3])
    _, shapes = np.linalg.eigh((stiffness_matrix(axle) / np.outer(root, root))[held])
    if abs(shapes[1, 0]) > abs(shapes[1, 1]):
        shapes = shapes[:, ::-1]
    motions = np.eye(4)
    motions[held] = shapes
    return motions


# --- modes --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Modes:
    """The four modes of an axle, in the order of `MODE_NAMES`.

    Parameters
    ----------
    frequency
        Undamped natural frequency |λ|/2π [Hz], shape (4,).
    damping
        Damping ratio, 1 is aperiodic, below 0 grows, shape (4,).
    shapes
        Motion of (x, z, φ, θ) of each mode in m and rad, complex for its phase, scaled so that the
        fastest coordinate of the axle, taken with half the track or 0.5 m for angles, is 1;
        shape (4 modes, 4).
    shares
        Share of each pure motion in the mode's kinetic energy, shape (4 modes, 4); see
        `pure_motions`.
    node_ahead
        Where along the axle's own fore-aft line it doesn't move up or down [mm], + ahead of the
        axle; infinite without wind-up, shape (4,).
    node_left
        The same across the car, + left; infinite without roll, shape (4,).
    work
        Share of each damper in the mode's dissipation, shape (4 modes, dampers).
    """

    frequency: Array
    damping: Array
    shapes: Complex
    shares: Array
    node_ahead: Array
    node_left: Array
    work: Array

    @cached_property
    def named(self) -> NamedModes:
        """Frequency and damping by name: what is told of fore-aft, hop, tramp and wind-up."""
        return name_modes(self.frequency, self.damping, self.shares)


def layout_modes(
    axle: HopAxle, layouts: tuple[tuple[Damper, ...], ...]
) -> tuple[Modes, ...] | None:
    """Work out the modes of one axle with several sets of dampers, in one batch.

    None where masses or rates are so far from each other that there are none in numbers.

    Parameters
    ----------
    axle
        The axle.
    layouts
        Sets of dampers, each worked out alone.
    """
    stiffness = stiffness_matrix(axle)
    damping = np.array([damping_matrix(axle, dampers) for dampers in layouts])
    companion = np.zeros((len(layouts), 8, 8))
    companion[:, :4, 4:] = np.eye(4)
    companion[:, 4:, :4] = -stiffness / axle.masses[:, None]
    companion[:, 4:, 4:] = -damping / axle.masses[:, None]
    if not np.isfinite(companion).all():
        return None
    values, vectors = np.linalg.eig(companion)
    if not (np.isfinite(values).all() and np.isfinite(vectors).all()):
        return None
    return tuple(
        _describe(axle, dampers, np.asarray(value, complex), np.asarray(vector[:4], complex))
        for dampers, value, vector in zip(layouts, values, vectors, strict=True)
    )


def _describe(
    axle: HopAxle, dampers: tuple[Damper, ...], values: Complex, vectors: Complex
) -> Modes:
    frequency, ratio, shapes = _pair(values, vectors)
    shares = np.abs((shapes * np.sqrt(axle.masses)) @ pure_motions(axle)) ** 2
    shares = shares / shares.sum(axis=1, keepdims=True)
    order = _name(shares)
    shapes = _scaled(axle, shapes[order])
    return Modes(
        frequency=frequency[order] / (2 * pi),
        damping=ratio[order],
        shapes=shapes,
        shares=shares[order],
        node_ahead=_node(shapes[:, 1], shapes[:, 3]),
        node_left=_node(shapes[:, 1], shapes[:, 2]),
        work=_work(dampers, shapes),
    )


def _pair(values: Complex, vectors: Complex) -> tuple[Array, Array, Complex]:
    """Turn eight eigenvalues into four modes: |λ| [rad/s], damping ratio, shape."""
    swings = np.flatnonzero(values.imag > _REAL * np.abs(values))
    creeps = np.flatnonzero(np.abs(values.imag) <= _REAL * np.abs(values))
    pairs = [(i, i) for i in swings] + _creep_pairs(creeps, vectors)
    first, second = np.array(pairs).T
    size = np.sqrt(np.abs(values[first]) * np.abs(values[second]))
    ratio = -(values[first].real + values[second].real) / (2 * size)
    return size, ratio, vectors[:, first].T


def _creep_pairs(creeps: NDArray[np.intp], vectors: Complex) -> list[tuple[int, int]]:
    """Pair the real eigenvalues of overdamped modes by the likeness of their shapes."""
    left = [int(i) for i in creeps]
    pairs = []
    while left:
        one = left.pop(0)
        unit = vectors[:, one] / np.linalg.norm(vectors[:, one])
        like = [abs(np.vdot(unit, vectors[:, i])) / np.linalg.norm(vectors[:, i]) for i in left]
        pairs.append((one, left.pop(int(np.argmax(like)))))
    return pairs


def _name(shares: Array) -> list[int]:
    """Order the modes as `MODE_NAMES`: the clearest one is named first, by its largest share."""
    remaining = shares.copy()
    order = [0, 0, 0, 0]
    for _ in range(4):
        mode, freedom = np.unravel_index(np.argmax(remaining), remaining.shape)
        order[freedom] = int(mode)
        remaining[mode, :] = -1.0
        remaining[:, freedom] = -1.0
    return order


def _scaled(axle: HopAxle, shapes: Complex) -> Complex:
    """Scale each shape so that its largest motion is 1 and real."""
    reach = np.array([1.0, 1.0, axle.track / 2e3, 0.5])
    moved = shapes * reach
    largest = np.take_along_axis(
        moved, np.argmax(np.abs(moved), axis=1)[:, None].astype(np.intp), axis=1
    )
    scaled: Complex = shapes / largest
    return scaled


def _node(rise: Complex, turn: Complex) -> Array:
    """Lever at which rise + lever·turn vanishes [mm], in phase; infinite where there is no turn."""
    still = np.abs(turn) < _STILL
    node: Array = np.where(still, np.inf, -1e3 * np.real(rise / np.where(still, 1.0, turn)))
    return node


def _work(dampers: tuple[Damper, ...], shapes: Complex) -> Array:
    """Share of each damper in what a mode loses, shape (4, dampers)."""
    speed = shapes @ np.array([damper.lever for damper in dampers]).reshape(-1, 4).T
    lost = np.abs(speed) ** 2 * np.array([damper.rate for damper in dampers])
    total = np.maximum(lost.sum(axis=1, keepdims=True), 1e-30)
    shares: Array = lost / total
    return shares


# --- layouts ------------------------------------------------------------------------------------

LAYOUTS: Final = ("both ahead", "both behind", "one ahead, one behind", "at the axle")


def damper_layouts(left: Damper, right: Damper) -> tuple[tuple[Damper, Damper], ...]:
    """Put a car's two dampers into the four layouts of `LAYOUTS`.

    Distance from the axle and fore-aft lean are mirrored with the damper; the staggered layout has
    the left one behind, as the right one stays ahead.

    Parameters
    ----------
    left, right
        The dampers as they are.
    """
    ahead = (_placed(left, 1.0), _placed(right, 1.0))
    behind = (_placed(left, -1.0), _placed(right, -1.0))
    return (ahead, behind, (behind[0], ahead[1]), (_placed(left, 0.0), _placed(right, 0.0)))


def _placed(damper: Damper, sign: float) -> Damper:
    """Return the damper ahead (+1) of the axle, behind it (-1), or at it (0)."""
    x, y, z = damper.at
    lean, across, up = damper.towards
    turn = sign if x >= 0 else -sign
    return Damper((sign * abs(x), y, z), (turn * lean, across, up), damper.rate)
