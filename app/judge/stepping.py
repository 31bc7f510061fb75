"""An answer in steps that a shop can make: its neighbours, each worked out as a whole car."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import ceil, floor
from typing import Final

import numpy as np

from app.judge.freedoms import Freedom
from geometry.seeking import KEPT, Model, Problem, misses
from geometry.vectors import Array

_MOST: Final = 80  # neighbours that are worked out
_MOST_GRID: Final = 20_000  # that a straight line looks at
_AROUND: Final = 2  # steps each way


def in_steps(
    freedoms: Sequence[Freedom], problem: Problem, model: Model, step: float | None
) -> Array:
    """Return the best moves in steps near an answer: all wants met, the least move; else nearest.

    `step` is in mm, of points and of values that are lengths; values that exist in steps only take
    these.
    """
    widths = np.array([freedom.width for freedom in freedoms])
    choices = [
        _choices(freedom, float(move), step)
        for freedom, move in zip(freedoms, model.place * widths, strict=True)
    ]
    while np.prod([len(each) for each in choices]) > _MOST_GRID:
        longest = max(range(len(choices)), key=lambda place: len(choices[place]))
        choices[longest] = choices[longest][:-1]
    grid = np.array(list(product(*choices))) / widths
    told = model.values + (grid - model.place) @ model.slopes.T
    nearest = np.lexsort((_size(problem, grid), *_badness(problem, told)[::-1]))[:_MOST]
    tried = grid[nearest]
    values = problem.evaluate(tried)
    badness = _badness(problem, np.where(np.isfinite(values), values, 1e9))
    best = np.lexsort((_size(problem, tried), *badness[::-1]))[0]
    return np.asarray(tried[best] * widths)


def _choices(freedom: Freedom, move: float, step: float | None) -> list[float]:
    """Return the moves near one that a shop can make, the nearest first."""
    if freedom.steps:
        near = list(freedom.steps)
    elif step is None:
        near = [move]
    else:
        start = freedom.start if freedom.axis is None else 0.0
        low, high = floor(move / step) - _AROUND + 1, ceil(move / step) + _AROUND - 1
        near = [place * step for place in range(low, high + 1)]
        near = [each for each in near if np.isfinite(start + each)]
    inside = [each for each in near if freedom.low - 1e-9 <= each <= freedom.high + 1e-9]
    return sorted(inside or [move], key=lambda each: abs(each - move))


def _badness(problem: Problem, values: Array) -> tuple[Array, Array, Array]:
    """Return how far walls are passed, wants missed beyond what counts as met, and missed at all.

    Shape (m,) each. Among neighbours that meet everything all are nought: the least move decides.
    """
    missed = misses(problem, values)
    passed = np.where(problem.walls, missed, 0.0).max(axis=1, initial=0.0)
    wanted = np.where(problem.walls, 0.0, missed)
    beyond = np.where(wanted > 1.0 + 1e-6, wanted - 1.0, 0.0)
    total = (problem.weights * np.square(beyond)).sum(axis=1)
    at_all = np.where(total > 0.0, np.square(wanted).sum(axis=1), 0.0)
    return np.where(passed > KEPT, passed, 0.0), np.round(total, 9), at_all


def _size(problem: Problem, shares: Array) -> Array:
    return np.asarray((problem.costs * np.square(shares)).sum(axis=1))
