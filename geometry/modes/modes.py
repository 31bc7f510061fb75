"""The modes of a rigid axle under a body that stands still, whatever holds it.

Freedoms of the axle's mass centre: fore-aft x [m], bounce z [m], roll φ [rad] (+ left side up),
wind-up θ [rad] (+ nose up); where the axle needs them also sideways y [m] (+ to the left) and yaw
χ [rad] (+ to the left). A linear indication: tyre grip, friction and the body's own motion are not
in it.

References
----------
M·q'' + C·q' + K·q = 0 with K = Σ k·u·uᵀ, C = Σ c·u·uᵀ (derived); solved as the eigenvalues of its
companion matrix (textbook).
"""

from __future__ import annotations

from functools import cached_property
from math import pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.modes.dampers import Damper
from geometry.modes.named_modes import NamedModes, name_modes
from geometry.vectors import Array

Complex = NDArray[np.complex128]

MODE_NAMES: Final = ("fore-aft", "hop", "tramp", "wind-up", "sideways", "yaw")
"""Names of modes and of the motions that they are named by: of f freedoms the first f."""

FORE_AFT, HOP, TRAMP, WIND_UP, SIDEWAYS, YAW = range(len(MODE_NAMES))
"""Places in `MODE_NAMES`, and of the freedoms that give the names."""

# Imaginary part, relative to size, below which an eigenvalue counts as real.
_REAL: Final = 1e-9
# Turn below which a mode, scaled to 1, has no node [rad].
_STILL: Final = 1e-6


@dataclass(frozen=True)
class HeldAxle:
    """A rigid axle and what holds it, in its first four freedoms (f = 4) or in all (f = 6).

    Parameters
    ----------
    masses
        Of each freedom [kg, kg·m²], shape (f,).
    stiffness
        K in N, m and rad, shape (f, f).
    motions
        What modes are named by, in the order of `MODE_NAMES`: columns in the freedoms times the
        root of the masses, of size 1 and square to each other, shape (f, f).
    track
        [mm].
    slipping
        Damping of slipping tyres in N·s, m and rad, shape (f, f), below zero where it feeds.
    """

    masses: Array
    stiffness: Array
    motions: Array
    track: float
    slipping: Array

    @property
    def reach(self) -> Array:
        """Length that makes each freedom comparable to a shift [m], shape (f,)."""
        half = self.track / 2e3
        return np.array([1.0, 1.0, half, 0.5, 1.0, half])[: self.masses.size]


@dataclass(frozen=True)
class Modes:
    """The modes of an axle in f freedoms, in the order of `MODE_NAMES`.

    Parameters
    ----------
    frequency
        Undamped natural frequency |λ|/2π [Hz], shape (f,).
    damping
        Damping ratio, 1 is aperiodic, below 0 grows, shape (f,).
    shapes
        Motion of the freedoms in each mode in m and rad, complex for its phase, scaled so that the
        fastest coordinate of the axle, taken with half the track or 0.5 m for angles, is 1;
        shape (f modes, f).
    shares
        Share of each pure motion in the mode's kinetic energy, shape (f modes, f); see
        `HeldAxle.motions`.
    node_ahead
        Where along the axle's own fore-aft line it doesn't move up or down [mm], + ahead of the
        axle; infinite without wind-up, shape (f,).
    node_left
        The same across the car, + left; infinite without roll, shape (f,).
    work
        Share of each damper in the mode's dissipation, shape (f modes, dampers).
    values, parts
        Eigenvalues [rad/s], shape (2f,), and the shares of pure motions in each one's shape,
        shape (2f, f).
    """

    frequency: Array
    damping: Array
    shapes: Complex
    shares: Array
    node_ahead: Array
    node_left: Array
    work: Array
    values: Complex
    parts: Array

    @cached_property
    def named(self) -> NamedModes:
        """Frequency and damping by name: what is told of hop, tramp, wind-up and the others."""
        return name_modes(self.values, self.parts, self.shares)

    def motion(self, mode: int) -> Complex:
        """Return a mode's motion in all six freedoms, in m and rad, shape (6,)."""
        whole = np.zeros(len(MODE_NAMES), complex)
        whole[: self.frequency.size] = self.shapes[mode]
        return whole


def damping_of(dampers: tuple[Damper, ...], freedoms: int) -> Array:
    """Return what dampers alone make of C in N·s, m and rad, shape (f, f).

    Parameters
    ----------
    dampers
        Those that the axle has.
    freedoms
        How many of them are taken, f.
    """
    u = _levers(dampers, freedoms)
    damping: Array = (u.T * (1e3 * np.array([damper.rate for damper in dampers]))) @ u
    return damping


def _levers(dampers: tuple[Damper, ...], freedoms: int) -> Array:
    levers = [damper.lever[:freedoms] for damper in dampers]
    return np.array(levers).reshape(-1, freedoms)


@dataclass(frozen=True)
class Swings:
    """What an axle with a set of dampers does by itself, its modes not yet told apart.

    Parameters
    ----------
    axle, dampers
        The axle and the set.
    values, vectors
        Eigenvalues [rad/s], shape (2f,), and the motions of the freedoms, columns, shape (f, 2f).
    """

    axle: HeldAxle
    dampers: tuple[Damper, ...]
    values: Complex
    vectors: Complex

    @cached_property
    def modes(self) -> Modes:
        """The modes by name."""
        return _describe(self.axle, self.dampers, self.values, self.vectors)


def modes_of(axle: HeldAxle, layouts: tuple[tuple[Damper, ...], ...]) -> tuple[Modes, ...] | None:
    """Work out the modes of one axle with several sets of dampers; see `swings_of`.

    Parameters
    ----------
    axle
        The axle.
    layouts
        Sets of dampers, each worked out alone.
    """
    found = swings_of(axle, layouts)
    return None if found is None else tuple([swings.modes for swings in found])


def swings_of(axle: HeldAxle, layouts: tuple[tuple[Damper, ...], ...]) -> tuple[Swings, ...] | None:
    """Solve one axle with several sets of dampers, in one batch.

    None where masses or rates are so far from each other that there are no modes in numbers.

    Parameters
    ----------
    axle
        The axle.
    layouts
        Sets of dampers, each worked out alone.
    """
    count = axle.masses.size
    damping = np.array([damping_of(dampers, count) + axle.slipping for dampers in layouts])
    companion = np.zeros((len(layouts), 2 * count, 2 * count))
    companion[:, :count, count:] = np.eye(count)
    companion[:, count:, :count] = -axle.stiffness / axle.masses[:, None]
    companion[:, count:, count:] = -damping / axle.masses[:, None]
    if not np.isfinite(companion).all():
        return None
    values, vectors = np.linalg.eig(companion)
    if not (np.isfinite(values).all() and np.isfinite(vectors).all()):
        return None
    return tuple(
        [
            Swings(axle, dampers, np.asarray(value, complex), np.asarray(vector[:count], complex))
            for dampers, value, vector in zip(layouts, values, vectors, strict=True)
        ]
    )


def _describe(
    axle: HeldAxle, dampers: tuple[Damper, ...], values: Complex, vectors: Complex
) -> Modes:
    frequency, ratio, shapes = _pair(values, vectors)
    shares = _shares(axle, shapes)
    order = _named_order(shares)
    shapes = _scaled(axle, shapes[order])
    return Modes(
        frequency=frequency[order] / (2 * pi),
        damping=ratio[order],
        shapes=shapes,
        shares=shares[order],
        node_ahead=_node(shapes[:, 1], shapes[:, 3]),
        node_left=_node(shapes[:, 1], shapes[:, 2]),
        work=_work(dampers, shapes),
        values=values,
        parts=_shares(axle, vectors.T),
    )


def _shares(axle: HeldAxle, shapes: Complex) -> Array:
    """Share of each pure motion in the kinetic energy of shapes (n, f), shape (n, f)."""
    energy = np.abs((shapes * np.sqrt(axle.masses)) @ axle.motions) ** 2
    shares: Array = energy / energy.sum(axis=1, keepdims=True)
    return shares


def _pair(values: Complex, vectors: Complex) -> tuple[Array, Array, Complex]:
    """Turn 2·f eigenvalues into f modes: |λ| [rad/s], damping ratio, shape."""
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


def _named_order(shares: Array) -> list[int]:
    """Return the place of the mode that bears each name: the clearest one is named first."""
    remaining = shares.copy()
    order = [0] * len(shares)
    for _ in order:
        mode, motion = np.unravel_index(np.argmax(remaining), remaining.shape)
        order[motion] = int(mode)
        remaining[mode, :] = -1.0
        remaining[:, motion] = -1.0
    return order


def _scaled(axle: HeldAxle, shapes: Complex) -> Complex:
    """Scale each shape so that its largest motion is 1 and real."""
    moved = shapes * axle.reach
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
    """Share of each damper in what a mode loses, shape (f, dampers)."""
    speed = shapes @ _levers(dampers, shapes.shape[1]).T
    lost = np.abs(speed) ** 2 * np.array([damper.rate for damper in dampers])
    total = np.maximum(lost.sum(axis=1, keepdims=True), 1e-30)
    shares: Array = lost / total
    return shares
