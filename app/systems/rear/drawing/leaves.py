"""The leaves of a pack as they lie in a pose: outlines in side view, on their true thickness."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from math import cos, sin
from typing import Final

import numpy as np

from app.drawing.strokes import Points
from app.systems.rear.places import Spring
from geometry.dataclass import dataclass
from geometry.leaf.loop import LeafLoop
from geometry.leaf.pack import Leaf, LeafPack
from geometry.leaf.rear import LeafRear
from geometry.leaf.shape import bent_line

STEPS: Final = 10  # lines to a half of a leaf
TIP: Final = 0.35  # thickness of a parabolic leaf's tip over that at the clamp


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """One leaf: its upper and lower edge, front to rear, (n, 2) [mm]; and what it is."""

    upper: Points
    lower: Points
    leaf: Leaf

    @property
    def outline(self) -> Points:
        """The edge all around."""
        return np.concatenate([self.upper, self.lower[::-1]])


def drawn_leaves(
    loop: LeafLoop, pack: LeafPack, spring: Spring, helper_gap: float
) -> Iterator[Drawn]:
    """Yield the leaves of one spring from the main leaf down.

    `helper_gap` is the travel that is left until helpers bear [mm].
    """
    depth = -0.5 * pack.main.thickness
    for leaf in pack.leaves:
        gap = helper_gap if leaf.contact > 0 else 0.0
        yield _leaf(loop, pack, spring, leaf, depth, gap)
        depth += leaf.thickness


def stack_depth(pack: LeafPack) -> float:
    """Return how far the pack reaches below the middle of its main leaf [mm]."""
    return sum(leaf.thickness for leaf in pack.leaves) - 0.5 * pack.main.thickness


def bearing(leaf: LeafRear, helper_gap: float) -> LeafPack:
    """Return the pack without the helpers that don't touch yet."""
    pack = leaf.stages.pack
    if helper_gap <= 0.0:
        return pack
    return replace(pack, leaves=tuple(part for part in pack.leaves if part.contact == 0.0))


def _leaf(
    loop: LeafLoop, pack: LeafPack, spring: Spring, leaf: Leaf, depth: float, gap: float
) -> Drawn:
    flatter = 2.0 * max(gap, 0.0) / (loop.front_arm * loop.rear_arm)
    bends = spring.bends[0] - flatter, spring.bends[1] - flatter
    line, normal = _line(loop, bends, spring.angle)
    along = _along(loop)
    ends = (leaf.rear, leaf.front)
    if leaf is pack.main:
        ends = (loop.rear_arm, loop.front_arm)
    at = _stations(ends, 0.5 * loop.clamp)
    thick = leaf.thickness * (_taper(at, ends, 0.5 * loop.clamp) if leaf.parabolic else 1.0)
    seat = np.array([spring.seat[0], spring.seat[2]])
    middle = _on(along, line, at) + seat
    across = _on(along, normal, at)
    upper = middle - across * depth
    return Drawn(upper, upper - across * np.reshape(thick, (-1, 1)) * np.ones((len(at), 1)), leaf)


@lru_cache(maxsize=16)
def _line(loop: LeafLoop, bends: tuple[float, float], angle: float) -> tuple[Points, Points]:
    """Return the main leaf's middle about its seat, rear eye first, and its upward normals."""
    line = bent_line(loop, bends, angle, STEPS + 1)[::-1]
    step = np.gradient(line, axis=0)
    step[STEPS] = step[STEPS + 1] = cos(angle), sin(angle)
    size = np.hypot(step[:, 0], step[:, 1])[:, None]
    return line, np.column_stack([-step[:, 1], step[:, 0]]) / size


@lru_cache(maxsize=16)
def _along(loop: LeafLoop) -> Points:
    """Return the distance of each place of `_line` from the centre bolt, forward, (n,)."""
    half = 0.5 * loop.clamp
    rear = -half - np.linspace(loop.rear, 0.0, STEPS + 1)
    return np.concatenate([rear, half + np.linspace(0.0, loop.front, STEPS + 1)])


def _stations(ends: tuple[float, float], half: float) -> Points:
    """Return the places along a leaf at which its edge bends, (n,), rear to front."""
    rear, front = ends
    rear_part = -half - np.linspace(max(rear - half, 1.0), 0.0, STEPS)
    return np.concatenate([rear_part, half + np.linspace(0.0, max(front - half, 1.0), STEPS)])


def _taper(at: Points, ends: tuple[float, float], half: float) -> Points:
    """Return the thickness of a parabolic leaf over that at its clamp, (n,)."""
    length = np.where(at > 0, ends[1], ends[0]) - half
    share = 1.0 - (np.abs(at) - half) / np.maximum(length, 1.0)
    root: Points = np.maximum(np.sqrt(np.clip(share, 0.0, 1.0)), TIP)
    return root


def _on(along: Points, line: Points, at: Points) -> Points:
    return np.column_stack([np.interp(at, along, line[:, axis]) for axis in (0, 1)])
