"""From wheel travel to poses: survey the design branch once, then solve all poses together.

A *line* is the run of a wheel at one place of the tie rod's inner end. Its survey evaluates the
closures at a few arm angles, finds where the design branch ends if that is inside the range asked
for, and fits the angle as a polynomial of travel. Poses start from that fit, stay inside the
branch's bracket, and need one or two Newton steps.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from geometry.conventions import FOLD_MARGIN, MAX_ITERATIONS, MAX_SWING, STEP_TOLERANCE
from geometry.parts import Corner
from geometry.vectors import Array, Vector
from geometry.wishbone import Linkage, close_linkage

NODES = np.cos(np.pi * (np.arange(9) + 0.5) / 9)[::-1]
"""Chebyshev nodes on [-1, 1], rising: the fit's error is then even over the range."""

SECTION = np.linspace(0.0, 1.0, 12)
"""Shares of a bracket that are tried at once when a fold is hunted."""

SPARE = 12.0
"""Travel beyond the range asked for that a survey takes in [mm], so that its ends fit well."""


@dataclass(frozen=True)
class Lines:
    """Surveyed runs of a wheel; arrays of shape (..., lines).

    Parameters
    ----------
    inner
        Tie rod's inner end [mm].
    low, high
        Ends of the lower-arm angle's bracket [rad].
    lowest, highest
        Travel at those ends [mm], + bump.
    ends_low, ends_high
        Whether the design branch ends there (otherwise only the survey does).
    middle, half
        Travel is scaled to (travel - middle)/half for the fit [mm].
    fit
        Coefficients of the angle [rad], shape (..., lines, nodes), lowest power first.
    """

    inner: Vector
    low: Array
    high: Array
    lowest: Array
    highest: Array
    ends_low: Array
    ends_high: Array
    middle: Array
    half: Array
    fit: Array

    def angle_at(self, travel: Array) -> Array:
        """Return the first guess of the arm angle [rad] at travels [mm], inside the bracket."""
        scaled = (travel - self.middle) / self.half
        angle = self.fit[..., -1]
        for power in range(self.fit.shape[-1] - 2, -1, -1):
            angle = angle * scaled + self.fit[..., power]
        return np.minimum(np.maximum(angle, self.low), self.high)

    def holds(self, travel: Array) -> Array:
        """Return where travels [mm] lie on the design branch."""
        slack = 1e-9
        return (travel >= self.lowest - slack) & (travel <= self.highest + slack)


def survey(corner: Corner, inner: Vector, low: Array, high: Array) -> Lines:
    """Survey lines over travels from `low` to `high` [mm], both of shape (..., lines)."""
    shape = np.broadcast_shapes(np.shape(low), np.shape(inner[1]), np.shape(corner.lower.radius_2))
    inner = inner[0] + np.zeros(shape), inner[1] + np.zeros(shape), inner[2] + np.zeros(shape)
    start, end = _span(corner, low - SPARE, high + SPARE, shape)
    off_low = off_high = np.zeros(shape, dtype=bool)
    for _ in range(8):
        angles, run = _nodes(corner, inner, start, end)
        if not run.good.all():
            start, end, off_low, off_high = _trim(corner, inner, angles, run.good)
            angles, run = _nodes(corner, inner, start, end)
            break
        short_low, short_high = run.height[..., 0] > low, run.height[..., -1] < high
        if not (short_low.any() or short_high.any()):
            break
        start = np.where(short_low, np.maximum(1.6 * start - 0.05, -MAX_SWING), start)
        end = np.where(short_high, np.minimum(1.6 * end + 0.05, MAX_SWING), end)
    return _fitted(corner, inner, (start, end), (off_low, off_high), angles, run.height)


def follow(corner: Corner, lines: Lines, travel: Array) -> Linkage:
    """Solve poses at travels [mm] of shape (..., n) on one line or on n lines.

    Travels beyond the branch give its end; ask :meth:`Lines.holds` which ones were.
    """
    target = corner.parts.height + travel

    def step(linkage: Linkage) -> Array:
        return (linkage.wheel_centre[2] - target) / rising(linkage)

    bracket = (lines.low, lines.high)
    return iterate(corner, lines.inner, lines.angle_at(travel), bracket, step)


def iterate(
    corner: Corner,
    inner: Vector,
    angle: Array,
    bracket: tuple[Array, Array],
    step_of: Callable[[Linkage], Array],
) -> Linkage:
    """Take Newton steps of the arm angle [rad] inside a bracket until they vanish."""
    low, high = bracket
    for _ in range(MAX_ITERATIONS):
        step = step_of(close_linkage(corner, angle, inner))
        after = angle - step
        # a step out of the bracket goes half the way to its end, so that folds are crept up to
        after = np.where(after < low, 0.5 * (angle + low), after)
        after = np.where(after > high, 0.5 * (angle + high), after)
        moved = np.abs(after - angle).max(initial=0.0)
        angle = after
        if moved < STEP_TOLERANCE:
            break
    return close_linkage(corner, angle, inner)


def rising(linkage: Linkage) -> Array:
    """Return the rise per radian [mm/rad], kept off zero where the branch ends."""
    return np.where(linkage.rise > 0.1, linkage.rise, 0.1)


def on_branch(linkage: Linkage) -> Array:
    """Return where a linkage stands on the branch that the wheel rises on."""
    closed = np.minimum(linkage.upper_sine, linkage.tie_sine) > FOLD_MARGIN
    return np.asarray(closed & (linkage.rise > 0.0))


def _span(corner: Corner, low: Array, high: Array, shape: tuple[int, ...]) -> tuple[Array, Array]:
    """First guess of the angles that cover a range of travel."""
    lever = np.maximum(np.abs(corner.lower.upward[2]), 0.35 * np.sqrt(corner.lower.radius_2))
    start = np.maximum(1.12 * low / lever, -MAX_SWING)
    end = np.minimum(1.12 * high / lever, MAX_SWING)
    return np.broadcast_to(start, shape), np.broadcast_to(end, shape)


def _nodes(corner: Corner, inner: Vector, start: Array, end: Array) -> tuple[Array, Run]:
    """Evaluate the nodes of each line; results get shape (..., lines, nodes)."""
    middle, half = 0.5 * (start + end), 0.5 * (end - start)
    angles = middle[..., None] + half[..., None] * NODES
    return angles, _evaluate(corner, angles, inner)


@dataclass(frozen=True)
class Run:
    """What a survey reads of linkages at several angles of each line, (..., lines, k)."""

    height: Array
    good: Array


def _evaluate(corner: Corner, angles: Array, inner: Vector) -> Run:
    """Close the linkage at several angles of each line: laid out flat, so corners broadcast."""
    shape = angles.shape
    flat = (*shape[:-2], shape[-2] * shape[-1])
    repeated = tuple(np.repeat(part, shape[-1], axis=-1) for part in inner)
    linkage = close_linkage(corner, angles.reshape(flat), repeated)  # type: ignore[arg-type]
    height = linkage.wheel_centre[2] - corner.parts.height
    return Run(height.reshape(shape), on_branch(linkage).reshape(shape))


def _trim(
    corner: Corner, inner: Vector, angles: Array, good: Array
) -> tuple[Array, Array, Array, Array]:
    """Cut lines to the part of the branch that is connected to the pose nearest angle 0."""
    seed = np.argmin(np.where(good, np.abs(angles), np.inf), axis=-1)[..., None]
    places = np.arange(angles.shape[-1])
    bad_below = np.where(~good & (places < seed), places, -1).max(axis=-1)
    bad_above = np.where(~good & (places > seed), places, places.size).min(axis=-1)
    off_low, off_high = bad_below >= 0, bad_above < places.size
    seed_angle = np.take_along_axis(angles, seed, axis=-1)[..., 0]
    low = _end(corner, inner, angles, bad_below, seed_angle, off_low, -1)
    high = _end(corner, inner, angles, bad_above, seed_angle, off_high, +1)
    return low, high, off_low, off_high


def _end(
    corner: Corner,
    inner: Vector,
    angles: Array,
    bad: Array,
    seed: Array,
    off: Array,
    side: int,
) -> Array:
    """Find the last good angle between the seed and the first bad node by repeated sectioning."""
    last = angles[..., 0] if side < 0 else angles[..., -1]
    place = np.clip(bad, 0, angles.shape[-1] - 1)
    beyond = np.take_along_axis(angles, place[..., None], axis=-1)[..., 0]
    inside, outside = seed, np.where(off, beyond, last)
    if not off.any():
        return outside
    for _ in range(11):
        tries = inside[..., None] + (outside - inside)[..., None] * SECTION
        good = _evaluate(corner, tries, inner).good
        good[..., 0] = True
        count = np.argmin(np.concatenate([good, np.zeros_like(good[..., :1])], axis=-1), axis=-1)
        count = np.minimum(count, SECTION.size - 1)
        pick = np.take_along_axis(tries, np.stack([count - 1, count], axis=-1), axis=-1)
        inside, outside = pick[..., 0], pick[..., 1]
    return np.where(off, inside, last)


def _fitted(
    corner: Corner,
    inner: Vector,
    span: tuple[Array, Array],
    off: tuple[Array, Array],
    angles: Array,
    height: Array,
) -> Lines:
    # where a branch ends, the bracket's own ends count; elsewhere the outermost nodes do
    ends = np.stack(
        [np.where(off[0], span[0], angles[..., 0]), np.where(off[1], span[1], angles[..., -1])],
        axis=-1,
    )
    lowest, highest = height[..., 0], height[..., -1]
    if off[0].any() or off[1].any():
        rise = _evaluate(corner, ends, inner).height
        lowest, highest = rise[..., 0], rise[..., 1]
    middle, half = (
        0.5 * (height[..., 0] + height[..., -1]),
        0.5 * np.abs(height[..., -1] - height[..., 0]),
    )
    # a line that can't be assembled anywhere has no heights to fit: its nodes stand in for them
    point = half < 1e-6
    half = np.where(point, 1.0, half)
    scaled = np.where(point[..., None], NODES, (height - middle[..., None]) / half[..., None])
    powers = scaled[..., None] ** np.arange(NODES.size)
    return Lines(
        inner=inner,
        low=ends[..., 0],
        high=ends[..., 1],
        lowest=lowest,
        highest=highest,
        ends_low=off[0],
        ends_high=off[1],
        middle=middle,
        half=half,
        fit=np.linalg.solve(powers, angles[..., None])[..., 0],
    )
