"""Places labels so that they overlap no line, no handle and no other label.

All places are device units with y down. Each label has the same slots around its anchor: eight
directions (and half steps beside it) at growing distances. Labels choose in order of priority;
a label keeps last frame's slot while that is free and not much worse than the best, so labels
stay put under a drag.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from app.drawing.strokes import Side

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

DISTANCES: Final = (5.0, 16.0, 34.0, 62.0)  # from anchor to the box, in units
LEADER_FROM: Final = 12.0  # beyond this distance a leader joins box and anchor, in units
CLEARANCE: Final = 3.0  # between a box and what it avoids, in units
KEPT_CLEARANCE: Final = 1.0  # the same for last frame's slot
KEEPING: Final = 2.5  # how much worse than the best last frame's slot may be
EIGHT: Final = [(1, 0), (1, -1), (0, -1), (-1, -1), (-1, 0), (-1, 1), (0, 1), (1, 1)]
BETWEEN: Final = [(1, -0.5), (1, 0.5), (-1, -0.5), (-1, 0.5)]
ASIDE: Final = [(0.5, -1), (-0.5, -1), (0.5, 1), (-0.5, 1)]
RINGS: Final = (EIGHT + BETWEEN + ASIDE, EIGHT, EIGHT, EIGHT)  # directions at each distance
DIRECTIONS: Final = np.array([place for ring in RINGS for place in ring], dtype=float)
RING: Final = np.repeat(np.arange(len(RINGS)), [len(ring) for ring in RINGS])
SIDES: Final[dict[Side, tuple[float, float]]] = {
    "right": (1, 0),
    "left": (-1, 0),
    "above": (0, -1),
    "below": (0, 1),
}


@dataclass(frozen=True, slots=True)
class Request:
    """A label that wants a place: its anchor, its size and the side it would like."""

    key: str
    anchor: tuple[float, float]
    size: tuple[float, float]
    prefer: Side = "right"
    priority: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Obstacles:
    """What labels avoid: `segments` shape (m, 4) as x1 y1 x2 y2, `boxes` (b, 4) as x y w h."""

    segments: Floats
    boxes: Floats


@dataclass(frozen=True, slots=True)
class Placed:
    """A label's slot, its box (x, y, w, h), and whether a leader joins it to its anchor."""

    slot: int
    box: tuple[float, float, float, float]
    leader: bool


def place_labels(
    requests: Sequence[Request],
    obstacles: Obstacles,
    area: tuple[float, float, float, float],
    unit: float = 1.0,
    previous: Mapping[str, int] | None = None,
) -> dict[str, Placed]:
    """Return the place of each label by key; a label for which there is no room has none."""
    inside = [r for r in requests if _within(r.anchor, area)]
    if not inside:
        return {}
    centres, halves, costs, leaders = _candidates(inside, unit)
    kept = np.array([(previous or {}).get(r.key, -1) for r in inside])
    costs = _with_habit(costs, kept)
    costs = np.where(_blocked(centres, halves, kept, obstacles, area, unit), np.inf, costs)
    order = sorted(range(len(inside)), key=lambda i: (-inside[i].priority, i))
    slots = _choose(order, centres, halves, costs, unit)
    return {
        inside[i].key: Placed(slot, _box(centres[i, slot], halves[i]), bool(leaders[slot]))
        for i, slot in slots.items()
    }


def _within(place: tuple[float, float], area: tuple[float, float, float, float]) -> bool:
    x, y, width, height = area
    return x <= place[0] <= x + width and y <= place[1] <= y + height


@lru_cache(maxsize=4)
def _costs(prefer: Side) -> Floats:
    """Return what each slot (k,) costs: turning from the side preferred, and being far off."""
    wanted = np.array(SIDES[prefer])
    turn = 1.0 - DIRECTIONS @ wanted / np.linalg.norm(DIRECTIONS, axis=1)
    slanted = (np.abs(DIRECTIONS) == 0.5).any(axis=1)
    cost: Floats = turn + 0.2 * slanted + 2.0 * RING
    return cost


def _candidates(
    requests: Sequence[Request], unit: float
) -> tuple[Floats, Floats, Floats, NDArray[np.bool_]]:
    """Return centres (n, k, 2), half sizes (n, 2), costs (n, k) and leaders (k,)."""
    halves = np.array([r.size for r in requests]) / 2
    anchors = np.array([r.anchor for r in requests])
    distance = np.array(DISTANCES)[RING]
    outward = DIRECTIONS * (np.abs(DIRECTIONS) == 1) * (distance * unit)[:, None]
    centres = anchors[:, None, :] + DIRECTIONS * halves[:, None, :] + outward
    return centres, halves, np.array([_costs(r.prefer) for r in requests]), distance > LEADER_FROM


def _with_habit(costs: Floats, kept: NDArray[np.int_]) -> Floats:
    rows = np.flatnonzero(kept >= 0)
    costs[rows, kept[rows]] -= KEEPING
    return costs


def _blocked(
    centres: Floats,
    halves: Floats,
    kept: NDArray[np.int_],
    obstacles: Obstacles,
    area: tuple[float, float, float, float],
    unit: float,
) -> NDArray[np.bool_]:
    """Return which candidates (n, k) leave the area or touch an obstacle."""
    x, y, width, height = area
    middle, room = np.array((x + width / 2, y + height / 2)), np.array((width / 2, height / 2))
    blocked: NDArray[np.bool_] = (np.abs(centres - middle) > (room - halves)[:, None]).any(axis=-1)
    margin = np.full(centres.shape[:2], CLEARANCE * unit)
    rows = np.flatnonzero(kept >= 0)
    margin[rows, kept[rows]] = KEPT_CLEARANCE * unit
    blocked |= _meets(centres, halves, margin, obstacles)
    return blocked


def _meets(
    centres: Floats, halves: Floats, margin: Floats, obstacles: Obstacles
) -> NDArray[np.bool_]:
    """Return which candidates (n, k) meet an obstacle, testing only the obstacles in reach."""
    boxes = obstacles.boxes
    corners = np.hstack([boxes[:, :2], boxes[:, :2] + boxes[:, 2:]])
    ends = np.concatenate([obstacles.segments, corners])
    label, which = _within_reach(centres, halves + margin.max(), ends)
    meets = np.zeros(margin.shape, bool)
    if len(label):
        is_box = (which >= len(obstacles.segments))[:, None]
        # single precision is exact enough here and halves the time
        tested = [centres[label], halves[label], margin[label], ends[which]]
        met = _overlap(is_box, *(values.astype(np.float32) for values in tested))
        rows, starts = np.unique(label, return_index=True)
        meets[rows] = np.logical_or.reduceat(met, starts, axis=0)
    return meets


def _within_reach(
    centres: Floats, reach: Floats, ends: Floats
) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """Return the pairs of a label and an obstacle that one of its slots might meet."""
    low, high = (centres.min(axis=1) - reach)[:, None], (centres.max(axis=1) + reach)[:, None]
    one, other = ends[:, :2], ends[:, 2:]
    near = (np.minimum(one, other) < high) & (np.maximum(one, other) > low)
    label, which = np.nonzero(near[..., 0] & near[..., 1])
    return label, which


def _overlap(
    is_box: NDArray[np.bool_], centres: Singles, halves: Singles, margin: Singles, ends: Singles
) -> NDArray[np.bool_]:
    """Return which candidates (p, k) meet their obstacle (p, 4): the separating axes."""
    x = centres[..., 0] - (ends[:, :1] + ends[:, 2:3]) / 2
    y = centres[..., 1] - (ends[:, 1:2] + ends[:, 3:]) / 2
    half_x, half_y = (ends[:, 2:3] - ends[:, :1]) / 2, (ends[:, 3:] - ends[:, 1:2]) / 2
    wide, high = margin + halves[:, :1], margin + halves[:, 1:]
    met = np.abs(x) < wide + np.abs(half_x)
    met &= np.abs(y) < high + np.abs(half_y)
    across = wide * np.abs(half_y) + high * np.abs(half_x)
    met &= (np.abs(x * half_y - y * half_x) < across) | is_box
    return met


def _choose(
    order: Sequence[int], centres: Floats, halves: Floats, costs: Floats, unit: float
) -> dict[int, int]:
    """Return the cheapest free slot by label, each label avoiding those before it."""
    chosen: dict[int, int] = {}
    for i in order:
        slot = int(costs[i].argmin())
        if not np.isfinite(costs[i, slot]):
            continue
        chosen[i] = slot
        apart = np.abs(centres - centres[i, slot])
        near = apart < (halves + halves[i] + CLEARANCE * unit)[:, None, :]
        costs[near[..., 0] & near[..., 1]] = np.inf
    return chosen


def _box(centre: Floats, half: Floats) -> tuple[float, float, float, float]:
    (x, y), (w, h) = centre, half
    return float(x - w), float(y - h), float(2 * w), float(2 * h)
