"""Which lines, handles and labels the places meet at which a label might stand."""

from __future__ import annotations

from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass

Floats = NDArray[np.float64]
Reals = NDArray[np.floating[Any]]
Area = tuple[float, float, float, float]  # x, y, width, height; or x1, y1, x2, y2 of a leader

SOLID: Final = 1000  # a handle or a label counts as so many lines


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """Where labels are placed: what they avoid, the area they stay in, the size of a unit."""

    segments: Floats
    boxes: Floats
    area: Area
    unit: float


class Candidates(NamedTuple):
    """Where labels might stand: centres (n, k, 2), half sizes (n, 2) and costs (n, k)."""

    centres: Floats
    halves: Floats
    costs: Floats

    def repeated(self, times: int) -> Candidates:
        """Return each place so many times, with costs of its own."""
        return Candidates(
            np.tile(self.centres, (1, times, 1)), self.halves, np.tile(self.costs, times)
        )


def lines_met(places: Candidates, margin: float, field: Field) -> NDArray[np.int_]:
    """Return how many lines come nearer than `margin` to each candidate (n, k).

    Handles, labels and the edge of the area count as many lines.
    """
    centres, halves, _ = places
    crossed = np.where(_outside(centres, halves, field.area, margin), SOLID, 0)
    ends = _obstacle_ends(field)
    # single precision is exact enough here and halves the time
    tested = [values.astype(np.float32) for values in (centres, halves + margin, ends)]
    label, which = _within_reach(centres, halves + margin, ends)
    pair, slot = _near_pairs(label, which, *tested)
    label, which = label[pair], which[pair]
    is_box = which >= len(field.segments)
    met = _overlap(is_box, tested[0][label, slot], tested[1][label], tested[2][which])
    candidate = (label * crossed.shape[1] + slot)[met]
    lines = np.bincount(candidate, np.where(is_box, SOLID, 1)[met], crossed.size)
    total: NDArray[np.int_] = crossed + lines.reshape(crossed.shape).astype(int)
    return total


def lines_met_by_one(
    centres: Floats, halves: Floats, margin: float, field: Field
) -> NDArray[np.int_]:
    """Return the same for one candidate of each label (n, 2): few, so each meets all obstacles."""
    ends, lines = _obstacle_ends(field), len(field.segments)
    is_box = np.arange(len(ends)) >= lines
    met = _overlap(is_box, centres[:, None], (halves + margin)[:, None], ends[None])
    outside = _outside(centres[:, None], halves, field.area, margin)[:, 0]
    crossed: NDArray[np.int_] = met @ np.where(is_box, SOLID, 1) + SOLID * outside
    return crossed


def _obstacle_ends(field: Field) -> Floats:
    """Return lines, and boxes by two corners, shape (m, 4)."""
    corners = np.hstack([field.boxes[:, :2], field.boxes[:, :2] + field.boxes[:, 2:]])
    return np.concatenate([field.segments, corners])


def _outside(centres: Floats, halves: Floats, area: Area, margin: float) -> NDArray[np.bool_]:
    """Return which candidates (n, k) come nearer than `margin` to the edge of the area."""
    x, y, width, height = area
    middle = np.array((x + width / 2, y + height / 2))
    room = np.array((width / 2, height / 2)) - margin
    outside: NDArray[np.bool_] = (np.abs(centres - middle) > (room - halves)[:, None]).any(axis=-1)
    return outside


def _within_reach(
    centres: Floats, reach: Floats, ends: Floats
) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """Return the pairs of a label and an obstacle that one of its slots might meet."""
    low, high = (centres.min(axis=1) - reach)[:, None], (centres.max(axis=1) + reach)[:, None]
    one, other = ends[:, :2], ends[:, 2:]
    near = (np.minimum(one, other) < high) & (np.maximum(one, other) > low)
    label, which = np.nonzero(near[..., 0] & near[..., 1])
    return label, which


def _near_pairs(
    label: NDArray[np.int_], which: NDArray[np.int_], centres: Reals, halves: Reals, ends: Reals
) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """Return pair and slot where a candidate meets the upright box about its pair's obstacle."""
    middles, half_ends = (ends[:, :2] + ends[:, 2:]) / 2, np.abs(ends[:, 2:] - ends[:, :2]) / 2
    near: NDArray[np.bool_] = np.ones((len(label), centres.shape[1]), dtype=bool)
    for axis in (0, 1):
        reach = halves[label, axis] + half_ends[which, axis]
        apart = centres[:, :, axis][label]
        apart -= middles[which, axis, None]
        near &= np.abs(apart, out=apart) < reach[:, None]
    pair, slot = np.nonzero(near)
    return pair, slot


def _overlap(
    is_box: NDArray[np.bool_], centres: Reals, halves: Reals, ends: Reals
) -> NDArray[np.bool_]:
    """Return which candidates (…, 2) meet their obstacle (…, 4): the separating axes."""
    x = centres[..., 0] - (ends[..., 0] + ends[..., 2]) / 2
    y = centres[..., 1] - (ends[..., 1] + ends[..., 3]) / 2
    half_x, half_y = (ends[..., 2] - ends[..., 0]) / 2, (ends[..., 3] - ends[..., 1]) / 2
    wide, high = halves[..., 0], halves[..., 1]
    met: NDArray[np.bool_] = np.abs(x) < wide + np.abs(half_x)
    met &= np.abs(y) < high + np.abs(half_y)
    across = wide * np.abs(half_y) + high * np.abs(half_x)
    met &= (np.abs(x * half_y - y * half_x) < across) | is_box
    return met
