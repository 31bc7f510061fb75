"""From wheel travel to poses: survey the design branch once, then solve all poses together.

A *line* is the run of a wheel at one place of the tie rod's inner end. Its survey evaluates the
closures at a few arm angles, finds where the design branch ends if that is inside the range asked
for, and fits the angle as a polynomial of travel. Poses start from that fit, stay inside the
branch's bracket, and need no Newton step, or a few.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from geometry.conventions import MAX_ITERATIONS, MAX_SWING, TRAVEL_TOLERANCE
from geometry.dataclass import dataclass
from geometry.front.parts import Corner
from geometry.front.runs import Fit, Lines, Start, Table
from geometry.front.wishbone import Linkage, close_linkage
from geometry.numeric import solved
from geometry.rows import repeated
from geometry.vectors import Array, Vector

NODES = np.cos(np.pi * (np.arange(20) + 0.5) / 20)[::-1]
"""Chebyshev nodes on [-1, 1], rising: as many as make the fit exact on ordinary cars, so that their
travel needs no Newton step."""

TABLE = np.cos(np.linspace(-np.pi, 0.0, 33))
"""Where lines that end in folds are tabled on [-1, 1]: closest together at the ends."""

SEARCH = np.linspace(-1.0, 1.0, 129)
"""Where the branch is looked for when none of the nodes is on it."""

SECTION = np.linspace(0.0, 1.0, 40)
"""Shares of a bracket that are tried at once when a fold is hunted."""

SECTIONS = 7
"""Times that the bracket is cut to one section: the fold is then exact to rounding."""

SPARE = 12.0
"""Travel beyond the range asked for that a survey takes in [mm], so that its ends fit well."""

PATIENCE = 4
"""Newton steps after which poses off the branch, or at an end of the bracket, are given up."""

LEAST_RISE = 500.0
"""Rise of the wheel from which on a step counts by its travel, else by its angle [mm/rad]."""

SLOWEST = 0.8
"""Share of the last miss that a pose must come below; beside a fold it is a half."""

MOST_GAIN = 0.01
"""Largest share by which a Newton step is lengthened: beyond it the estimate means nothing."""

PINNED = 1e-13
"""Distance from an end of the bracket at which a pose counts as pinned to it [rad]."""

CREEP = 0.01
"""What is left of the way to a bracket's end after a step that would leave it."""


def survey(corner: Corner, inner: Vector, low: Array, high: Array) -> Lines:
    """Survey lines over travels from `low` to `high` [mm], both of shape (..., lines).

    Parameters
    ----------
    corner
        Corners of shape (..., 1).
    inner
        The tie rod's inner end on each line [mm], components of shape (..., lines).
    low, high
        Ends of the travel looked over [mm], + in bump, shape (..., lines).
    """
    inner, angles, run = _spread(corner, inner, low, high)
    if not run.good.all():
        return _cut_off(corner, inner, angles, run)
    first, last = run.height[..., 0], run.height[..., -1]
    never = np.zeros(first.shape, dtype=bool)
    ends = _Ends(angles[..., 0], angles[..., -1], first, last, never, never)
    return _lines(inner, ends, _fitted(angles, run.height))


def poses_along(
    corner: Corner, inner: Vector, low: Array, high: Array
) -> tuple[Linkage, Array] | None:
    """Return poses spread over one line as Chebyshev's nodes are, and their travels, (rows, k).

    What is smooth over travel follows from them to rounding. None where the branch ends.

    Parameters
    ----------
    corner
        Corners of shape (rows, 1).
    inner
        The tie rod's inner end [mm], components of shape (rows, 1).
    low, high
        Ends of the travel that they cover [mm], + in bump, shape (rows, 1).
    """
    _, _, run = _spread(corner, inner, low, high)
    return (run.linkage, run.height[..., 0, :]) if run.good.all() else None


def _spread(corner: Corner, inner: Vector, low: Array, high: Array) -> tuple[Vector, Array, Run]:
    """Return the inner ends (..., lines), and angles that cover a range of travel, (..., lines, k).

    The linkage is closed at them.
    """
    shape = np.broadcast_shapes(np.shape(low), np.shape(inner[1]), np.shape(corner.lower.radius_2))
    zero = np.zeros(shape)
    inner = inner[0] + zero, inner[1] + zero, inner[2] + zero
    start, end = _span(corner, low - SPARE + zero, high + SPARE + zero)
    for _ in range(8):
        angles = _at_nodes(start, end)
        run = _evaluate(corner, inner, angles)
        # a survey grows at each end that is on the branch and not far enough
        short_low = (run.height[..., 0] > low) & run.good[..., 0]
        short_high = (run.height[..., -1] < high) & run.good[..., -1]
        if not (short_low.any() or short_high.any()):
            break
        start = np.where(short_low, np.maximum(1.6 * start - 0.05, -MAX_SWING), start)
        end = np.where(short_high, np.minimum(1.6 * end + 0.05, MAX_SWING), end)
    return inner, angles, run


def unsurveyed(inner: Vector) -> Lines:
    """Return lines that start every pose from arm angle 0: enough for the pose of the design."""
    zero = np.zeros_like(inner[1])
    never = np.zeros(zero.shape, dtype=bool)
    wide = np.full(zero.shape, MAX_SWING)
    ends = _Ends(-wide, wide, zero - np.inf, zero + np.inf, never, never)
    return _lines(inner, ends, Fit(zero, zero + 1.0, zero[None]))


def follow(corner: Corner, lines: Lines, travel: Array, steps: int = MAX_ITERATIONS) -> Linkage:
    """Solve poses at travels [mm] of shape (..., n) on one line or on n lines.

    Travels beyond the branch give its end; ask :meth:`Lines.holds` which ones were. Few steps are
    enough for poses that only lead to others.

    Parameters
    ----------
    corner
        Corners of shape (..., 1).
    lines
        One line, or n of them.
    travel
        Of the wheel centre [mm], + in bump, shape (..., n).
    steps
        Most that are taken.
    """
    target = corner.parts.height + travel

    def step(linkage: Linkage) -> Array:
        return (linkage.wheel_centre[2] - target) / rising(linkage)

    return iterate(corner, lines.inner, lines.start(travel), step, steps)


def iterate(
    corner: Corner,
    inner: Vector,
    start: Start,
    step_of: Callable[[Linkage], Array],
    steps: int = MAX_ITERATIONS,
) -> Linkage:
    """Take Newton steps of the arm angle [rad] inside a bracket until they vanish or lead nowhere.

    A step that would leave the bracket goes most of the way to its end instead, so that a fold is
    crept up to and a pose just before it is still found. Where the wheels of an axle depend on each
    other, both rows of a pose go on or give up together.

    Parameters
    ----------
    corner
        Corners of shape (..., 1).
    inner
        The tie rod's inner end [mm], components of shape (..., n).
    start
        First angle, and both ends of the bracket [rad], shape (..., n).
    step_of
        What is to be taken off the angle [rad], shape (..., n), from a pose.
    steps
        Most that are taken.
    """
    angle, low, high = start
    last_size = last_miss = np.full(np.shape(angle), np.inf)
    for count in range(steps):
        linkage = close_linkage(corner, angle, inner)
        step = step_of(linkage)
        size = np.abs(step)
        # where rates are huge a hair's turn is a long way
        miss = size * np.maximum(linkage.rise, LEAST_RISE)
        moving = miss > TRAVEL_TOLERANCE
        if not moving.any():
            break
        if count >= PATIENCE and not _hopeful(linkage, start, moving, miss < SLOWEST * last_miss):
            break
        # a Newton step misses by that share of its square that the last one missed by
        share = size / last_size
        after = angle - step * (1.0 + np.minimum(share * share, MOST_GAIN))
        last_size, last_miss = size + 1e-15, miss
        inside = np.minimum(np.maximum(after, low), high)
        angle = np.where(inside == after, after, inside + CREEP * (angle - inside))
    return linkage


def _hopeful(linkage: Linkage, start: Start, moving: Array, nearing: Array) -> bool:
    """Tell whether any pose that still moves, and by ever less, may yet be found."""
    off_ends = np.minimum(linkage.angle - start.low, start.high - linkage.angle) > PINNED
    good = (off_ends & on_branch(linkage)).all(axis=0)
    return bool((good & moving.any(axis=0) & nearing.any(axis=0)).any())


def rising(linkage: Linkage) -> Array:
    """Return the rise per radian [mm/rad], kept off zero where the branch ends."""
    return np.maximum(linkage.rise, 0.1)


def _many(corner: Corner) -> bool:
    """Tell whether each line has a corner of its own."""
    return corner.lower.radius_2.shape[-1] > 1


def on_branch(linkage: Linkage) -> Array:
    """Return where a linkage stands on the branch that the wheel rises on."""
    least = np.minimum(np.minimum(linkage.upper_sine, linkage.tie_sine), linkage.rise)
    return np.asarray(least > 0.0)


def _span(corner: Corner, low: Array, high: Array) -> tuple[Array, Array]:
    """First guess of the angles that cover a range of travel."""
    lever = np.maximum(np.abs(corner.lower.upward[2]), 0.35 * np.sqrt(corner.lower.radius_2))
    start = np.maximum(1.12 * low / lever, -MAX_SWING)
    end = np.minimum(1.12 * high / lever, MAX_SWING)
    return start, end


def _at_nodes(start: Array, end: Array, nodes: Array = NODES) -> Array:
    """Return angles spread over brackets as the nodes are over [-1, 1], shape (..., nodes)."""
    middle, half = 0.5 * (start + end), 0.5 * (end - start)
    return middle[..., None] + half[..., None] * nodes


@dataclass(frozen=True)
class Run:
    """What a survey reads of linkages at several angles of each line, (..., lines, k).

    The linkages have all angles of a row on their last axis.
    """

    height: Array
    good: Array
    linkage: Linkage


def _evaluate(corner: Corner, inner: Vector, angles: Array) -> Run:
    """Close the linkage at several angles of each line: laid out flat, so corners broadcast."""
    shape = angles.shape
    flat = (*shape[:-2], shape[-2] * shape[-1])
    if shape[-2] > 1:
        inner = repeated(inner, shape[-2], shape[-1])
        corner = repeated(corner, shape[-2], shape[-1]) if _many(corner) else corner
    linkage = close_linkage(corner, angles.reshape(flat), inner)
    height = linkage.wheel_centre[2] - corner.parts.height
    return Run(height.reshape(shape), on_branch(linkage).reshape(shape), linkage)


@dataclass(frozen=True)
class _Ends:
    """Both ends of each line: angles [rad], travels [mm], and whether the branch ends there."""

    low: Array
    high: Array
    lowest: Array
    highest: Array
    off_low: Array
    off_high: Array


def _cut_off(corner: Corner, inner: Vector, angles: Array, run: Run) -> Lines:
    """Keep of each line the part of the branch that holds the pose nearest to zero travel."""
    if not run.good.any(axis=-1).all():
        angles = _at_nodes(angles[..., 0], angles[..., -1], SEARCH)
        run = _evaluate(corner, inner, angles)
    low, high, off = _find_ends(corner, inner, angles, run)
    angles = _at_nodes(low, high, TABLE)
    travels = _evaluate(corner, inner, angles).height
    has_good = run.good.any(axis=-1)
    lowest = np.where(has_good, travels[..., 0], np.inf)
    highest = np.where(has_good, travels[..., -1], -np.inf)
    ends = _Ends(low, high, lowest, highest, off[..., 0], off[..., 1])
    return _lines(inner, ends, Table(angles, travels))


def _find_ends(
    corner: Corner, inner: Vector, angles: Array, run: Run
) -> tuple[Array, Array, Array]:
    """Return both ends of the branch [rad], and whether they are folds, (..., lines, 2)."""
    seed = np.argmin(np.where(run.good, np.abs(run.height), np.inf), axis=-1)[..., None]
    places = np.arange(angles.shape[-1])
    bad = [
        np.where(~run.good & (places < seed), places, -1).max(axis=-1),
        np.where(~run.good & (places > seed), places, places.size).min(axis=-1),
    ]
    off = np.stack([bad[0] >= 0, bad[1] < places.size], axis=-1)
    start = np.take_along_axis(angles, seed, axis=-1)
    outside = np.clip(np.stack(bad, axis=-1), 0, places.size - 1)
    beyond = np.take_along_axis(angles, outside, axis=-1)
    ends = _folds(corner, inner, np.broadcast_to(start, beyond.shape), beyond, off)
    return ends[..., 0], ends[..., 1], off


def _folds(corner: Corner, inner: Vector, inside: Array, outside: Array, off: Array) -> Array:
    """Find the last good angles between good and bad ones by repeated sectioning, (..., lines, 2).

    Where an end isn't `off`, the outside angle is returned.
    """
    last = outside
    for _ in range(SECTIONS):
        tries = inside[..., None] + (outside - inside)[..., None] * SECTION
        good = _evaluate(corner, inner, tries.reshape(*tries.shape[:-2], -1)).good
        good = good.reshape(tries.shape)
        good[..., 0], good[..., -1] = True, False
        count = np.argmin(good, axis=-1)
        pair = np.take_along_axis(tries, np.stack([count - 1, count], axis=-1), axis=-1)
        inside, outside = pair[..., 0], pair[..., 1]
    return np.where(off, inside, last)


def _fitted(angles: Array, height: Array) -> Fit:
    middle = 0.5 * (height[..., 0] + height[..., -1])
    half = 0.5 * (height[..., -1] - height[..., 0])
    scaled = (height - middle[..., None]) / half[..., None]
    powers = np.empty((*scaled.shape, scaled.shape[-1]))
    powers[..., 0], powers[..., 1:] = 1.0, scaled[..., None]
    np.multiply.accumulate(powers, axis=-1, out=powers)  # an array's power is ten times dearer
    fit = solved(powers, angles[..., None])[..., ::-1, 0]
    return Fit(middle, half, np.moveaxis(fit, -1, 0))


def _lines(inner: Vector, ends: _Ends, guess: Fit | Table) -> Lines:
    return Lines(
        inner=inner,
        low=ends.low,
        high=ends.high,
        lowest=ends.lowest,
        highest=ends.highest,
        ends_low=ends.off_low,
        ends_high=ends.off_high,
        guess=guess,
    )
