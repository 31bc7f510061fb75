"""What judges distances of envelopes: a general collision library, and a general minimiser."""

from __future__ import annotations

import fcl
import numpy as np
from scipy.optimize import minimize
from scipy.spatial.transform import Rotation

from geometry.clearance.shapes import Shape, box, box_halves, capsule, cylinder
from geometry.vectors import Array

KINDS = ("capsule", "cylinder", "box")


def invented(kind: str, ends: Array, size: tuple[float, float]) -> Shape:
    """Return a shape of a kind about one line or many, ends of shape (2, n, 3)."""
    start, end = ends
    if kind == "box":
        return box(start, end, *box_halves(start, end, *size))
    return (capsule if kind == "capsule" else cylinder)(start, end, size[0])


def random_shapes(kind: str, count: int, seed: int) -> Shape:
    """Return shapes of about the sizes and distances that a car has [mm]."""
    chance = np.random.default_rng(seed)
    start = chance.uniform(-350.0, 350.0, (count, 3))
    ends = np.stack([start, start + chance.uniform(-250.0, 250.0, (count, 3))])
    return invented(kind, ends, (float(chance.uniform(20.0, 120.0)), 90.0))


def turned(shape: Shape, rotation: Array, shift: Array) -> Shape:
    """Return a shape turned and shifted as a rigid body."""
    start, end = shape.start @ rotation.T + shift, shape.end @ rotation.T + shift
    halves = (half @ rotation.T for half in (shape.across, shape.over))
    return Shape(start, end, shape.ball, shape.disc, *halves)


def library_distance(first: Shape, second: Shape, pose: int) -> float:
    """Return the distance by the collision library; below 0 where it says that they overlap."""
    pair = [_object(shape, pose) for shape in (first, second)]
    request = fcl.DistanceRequest(enable_nearest_points=True)
    return float(fcl.distance(*pair, request, fcl.DistanceResult()))


def _object(shape: Shape, pose: int) -> object:
    start, end = shape.start[pose], shape.end[pose]
    length = float(np.linalg.norm(end - start))
    along = (end - start) / length
    disc, ball = float(shape.disc[pose]), float(shape.ball[pose])
    if shape.across[pose].any():
        u, v = shape.across[pose], shape.over[pose]
        sizes = [2.0 * float(np.linalg.norm(half)) for half in (u, v)]
        axes = np.stack([u / (sizes[0] / 2), v / (sizes[1] / 2), along], axis=1)
        body = fcl.Box(*sizes, length)
        axes[:, 0] *= np.sign(np.linalg.det(axes))
    else:
        helper = np.eye(3)[np.argmin(np.abs(along))]
        side = np.cross(helper, along)
        side /= np.linalg.norm(side)
        axes = np.stack([side, np.cross(along, side), along], axis=1)
        body = (fcl.Cylinder if disc else fcl.Capsule)(disc or ball, length)
    return fcl.CollisionObject(body, fcl.Transform(axes, 0.5 * (start + end)))


def minimised_distance(first: Shape, second: Shape, pose: int) -> float:
    """Return the distance by minimising over what every point of both is made of.

    A point of a shape is its line's, plus its rectangle's or its disc's: all bounded numbers.
    """
    parts = [_parts(shape, pose) for shape in (first, second)]
    counts = [len(bounds) for _, bounds, _ in parts]

    def line(numbers: Array) -> Array:
        one, other = (
            point(share)
            for (point, _, _), share in zip(parts, np.split(numbers, counts[:1]), strict=True)
        )
        return one - other

    def squared(numbers: Array) -> float:
        return float(np.square(line(numbers) / 100.0).sum())

    bounds = [pair for _, pairs, _ in parts for pair in pairs]
    conditions = []
    for place, (_, _, round_at) in enumerate(parts):
        if round_at is not None:
            at = round_at + (counts[0] if place else 0)
            conditions.append(
                {"type": "ineq", "fun": lambda n, at=at: 1.0 - n[at] ** 2 - n[at + 1] ** 2}
            )
    starts = np.random.default_rng(3).uniform(-0.5, 0.5, (3, len(bounds)))
    best = min(
        minimize(
            squared,
            begin,
            bounds=bounds,
            constraints=conditions,
            method="SLSQP",
            options={"ftol": 1e-15, "maxiter": 500},
        ).fun
        for begin in starts
    )
    return 100.0 * float(np.sqrt(best)) - float(first.ball[pose] + second.ball[pose])


def _parts(shape: Shape, pose: int):  # type: ignore[no-untyped-def]
    start, end = shape.start[pose], shape.end[pose]
    directions = [0.5 * (end - start)]
    round_at = None
    disc = float(shape.disc[pose])
    if disc:
        helper = np.eye(3)[np.argmin(np.abs(end - start))]
        side = np.cross(helper, end - start)
        side /= np.linalg.norm(side)
        across = np.cross(side, (end - start) / np.linalg.norm(end - start))
        directions += [disc * side, disc * across]
        round_at = 1
    directions += [half[pose] for half in (shape.across, shape.over) if half[pose].any()]
    matrix, middle = np.stack(directions, axis=1), 0.5 * (start + end)
    return lambda share: middle + matrix @ share, [(-1.0, 1.0)] * len(directions), round_at


def any_turn(seed: int) -> Array:
    """Return a random rotation, shape (3, 3)."""
    return np.asarray(Rotation.random(random_state=seed).as_matrix())
