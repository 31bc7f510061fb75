"""The bent shape of a leaf spring to draw: its arcs in a pose, and the S under wind-up."""

from __future__ import annotations

import numpy as np

from geometry.leaf.bending import bending_stiffness_at
from geometry.leaf.loop import LeafLoop
from geometry.leaf.pack import LeafPack
from geometry.vectors import Array


def bent_line(loop: LeafLoop, bends: tuple[float, float], angle: float, points: int = 12) -> Array:
    """Middle of the main leaf with its seat at the origin, its halves bent to given curvatures.

    Parameters
    ----------
    loop
        The loop.
    bends
        Curvature of the front and the rear half [1/mm], + with the eyes above the seat.
    angle
        Of the seat [rad], + nose up.
    points
        For each half.

    Returns
    -------
    Array
        (x, z) [mm] from the centre bolt, front eye first, shape (2·points, 2).
    """
    return _bent(loop, np.array(bends)[:, None] * np.ones(points), angle)


def wound_line(
    loop: LeafLoop,
    pack: LeafPack,
    eye_change: Array,
    rotation: float,
    exaggeration: float,
    change: float = 0.0,
    angle: float = 0.0,
    points: int = 24,
) -> Array:
    """Middle of the main leaf bent to its S by wind-up, drawn larger than it is.

    Parameters
    ----------
    loop
        The loop.
    pack
        Its leaves.
    eye_change
        Change of the load at the front and the rear eye [N], shape (2,).
    rotation
        Wind-up [rad], + nose up.
    exaggeration
        Factor on the wind-up's part of the shape: state it beside the drawing.
    change, angle
        Of the pose that is wound up: curvature from design [1/mm], seat angle [rad].
    points
        For each half.

    Returns
    -------
    Array
        (x, z) [mm], shape (2·points, 2); it starts at the front eye, and its rear eye may be off
        the shackle's circle by a second-order amount.

    References
    ----------
    The load at the eye takes the curvature F·s/(ΣE·I), s from the eye, from its half: load flattens
    a spring whose eyes are above its seat (textbook beam theory).
    """
    along = np.linspace(0.0, 1.0, points)
    halves = np.array([[loop.front], [loop.rear]])
    # Sections a little inside the eye, where the pack's own stiffness starts.
    from_eye = np.maximum(halves * (1 - along), 1e-3 * halves)
    scale = pack.half_lengths[:, :1] / halves
    stiffness = bending_stiffness_at(pack, from_eye * scale)
    added = -exaggeration * eye_change[:, None] * from_eye / stiffness
    resting = np.array(loop.curvatures) + np.array(loop.split) * change
    return _draw(loop, resting[:, None] + added, angle + exaggeration * rotation)


def _draw(loop: LeafLoop, curvature: Array, angle: float) -> Array:
    """Hang a bent leaf on the front eye."""
    line = _bent(loop, curvature, angle)
    hung: Array = line - line[0] + np.array(loop.front_eye)
    return hung


def _bent(loop: LeafLoop, curvature: Array, angle: float) -> Array:
    """Integrate each half's curvature outwards from the seat, shape (2, n) to (2n, 2)."""
    points = curvature.shape[1]
    steps = np.array([[loop.front], [loop.rear]]) / (points - 1)
    turned = np.cumsum((curvature[:, 1:] + curvature[:, :-1]) / 2 * steps, axis=1)
    turned = np.concatenate([np.zeros((2, 1)), turned], axis=1)
    middle = (turned[:, 1:] + turned[:, :-1]) / 2
    along = np.concatenate([np.zeros((2, 1)), np.cumsum(np.cos(middle) * steps, axis=1)], axis=1)
    up = np.concatenate([np.zeros((2, 1)), np.cumsum(np.sin(middle) * steps, axis=1)], axis=1)
    forward = (along + loop.clamp / 2) * np.array([[1.0], [-1.0]])
    line_x = np.concatenate([forward[0, ::-1], forward[1]])
    line_z = np.concatenate([up[0, ::-1], up[1]])
    x = line_x * np.cos(angle) - line_z * np.sin(angle)
    z = line_x * np.sin(angle) + line_z * np.cos(angle)
    return np.column_stack([x, z])
