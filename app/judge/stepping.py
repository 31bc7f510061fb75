"""An answer in steps that a shop can make: its neighbours, each worked out as a whole car."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import islice, product
from math import ceil, floor
from typing import Final

import numpy as np

from app.judge.freedoms import Freedom
from geometry.least_move import KEPT
from geometry.seeking import Model, Problem, best_of_model, misses, seek
from geometry.vectors import Array

_MOST: Final = 80  # neighbours that are worked out
_MOST_GRID: Final = 20_000  # that a straight line looks at
_AROUND: Final = 2  # steps each way
_MOST_SOLVED: Final = 40  # of whose free moves a straight line is solved anew
_MOST_SOUGHT: Final = 4  # and the whole search
_BACK: Final = (0.8, 0.6, 0.4, 0.2, 0.0)  # of the way, where no neighbour keeps the limits

Allowed = Callable[[Sequence[float]], bool]


def in_steps(
    freedoms: Sequence[Freedom],
    problem: Problem,
    model: Model,
    step: float | None,
    allowed: Allowed = lambda _: True,
    going: Callable[[], bool] = lambda: True,
) -> Array:
    """Return the best moves in steps near an answer: all wants met, the least move; else nearest.

    `step` is in mm, of points and of values that are lengths; values that exist in steps only take
    these. What has no steps is sought anew for them. `allowed` tells whether moves can be made
    together.
    """
    widths = np.array([freedom.width for freedom in freedoms])
    moves = (model.place * widths).tolist()
    choices = [_choices(f, move, step) for f, move in zip(freedoms, moves, strict=True)]
    free = np.array([not each for each in choices])
    near = [each or [move] for each, move in zip(choices, moves, strict=True)]
    while np.prod([len(each) for each in near]) > _MOST_GRID:
        longest = max(range(len(near)), key=lambda place: len(near[place]))
        near[longest] = near[longest][:-1]
    grid = np.array([*product(*near)]) / widths
    if free.any():
        tried = _solved_anew(problem, model, grid, free, widths, allowed, going)
    else:
        tried = np.array([*islice(_made(_by_line(problem, model, grid), widths, allowed), _MOST)])
    if tried.size:
        best, is_kept = _best(problem, tried)
        if is_kept:
            return np.asarray(best * widths)
    every = [_all_of(f, step, move) for f, move in zip(freedoms, moves, strict=True)]
    back = [
        [_nearest(all_of, share * move) for all_of, move in zip(every, moves, strict=True)]
        for share in _BACK
    ]
    further = np.array([row for row in back if allowed(row)]).reshape(-1, widths.size) / widths
    tried = np.vstack([tried.reshape(-1, widths.size), further])
    return np.asarray(_best(problem, tried if tried.size else model.place[None])[0] * widths)


def badness(problem: Problem, values: Array) -> tuple[Array, Array, Array]:
    """Return how far walls are passed, wants missed beyond what counts as met, and missed at all.

    Shape (m,) each. Among neighbours that meet everything all are nought: the least move decides.
    """
    missed = misses(problem, np.where(np.isfinite(values), values, 1e9))
    passed = np.where(problem.walls, missed, 0.0).max(axis=1, initial=0.0)
    missed_wants = np.where(problem.walls, 0.0, missed)
    beyond = np.where(missed_wants > 1.0 + 1e-6, missed_wants - 1.0, 0.0)
    total = (problem.weights * np.square(beyond)).sum(axis=1)
    at_all = np.where(total > 0.0, np.square(missed_wants).sum(axis=1), 0.0)
    return np.where(passed > KEPT, passed, 0.0), np.round(total, 9), at_all


def _best(problem: Problem, tried: Array) -> tuple[Array, bool]:
    """Return the best of these as whole cars, and whether it keeps all walls."""
    bad = badness(problem, problem.evaluate(tried))
    best = int(np.lexsort((_size(problem, tried), *bad[::-1]))[0])
    return tried[best], bool(bad[0][best] == 0.0)


def _by_line(problem: Problem, model: Model, grid: Array) -> Array:
    """Return places, those first that a straight line puts first."""
    badness_of = badness(problem, model.values + (grid - model.place) @ model.slopes.T)
    return np.asarray(grid[np.lexsort((_size(problem, grid), *badness_of[::-1]))])


def _made(places: Array, widths: Array, allowed: Allowed) -> Iterator[Array]:
    return (place for place in places if allowed((place * widths).tolist()))


def _solved_anew(
    problem: Problem,
    model: Model,
    grid: Array,
    free: Array,
    widths: Array,
    allowed: Allowed,
    going: Callable[[], bool],
) -> Array:
    """Return places with what has no steps sought anew: by a straight line, the best by cars."""
    nearest = grid[np.argsort(np.abs(grid - model.place).max(axis=1), kind="stable")]
    fixed = [
        replace(
            problem,
            low=np.where(free, problem.low, place),
            high=np.where(free, problem.high, place),
        )
        for place in islice(_made(nearest, widths, allowed), _MOST_SOLVED)
    ]
    solved = np.array([best_of_model(each, model) for each in fixed]).reshape(-1, widths.size)
    badness_of = badness(problem, model.values + (solved - model.place) @ model.slopes.T)
    order = np.lexsort((_size(problem, solved), *badness_of[::-1]))[:_MOST_SOUGHT]
    found = (seek(fixed[place], solved[place], going) for place in order.tolist())
    places = [each.model.place for each in found if each is not None]
    return np.array(places).reshape(-1, widths.size)


def _choices(freedom: Freedom, move: float, step: float | None) -> list[float]:
    """Return the moves near one that a shop can make, the nearest first; none where all can be."""
    if freedom.steps:
        near = list(freedom.steps)
    elif step is None or freedom.kind != "length":
        return []
    else:
        low, high = floor(move / step) - _AROUND + 1, ceil(move / step) + _AROUND - 1
        near = [place * step for place in range(low, high + 1)]
    inside = [each for each in near if freedom.low - 1e-9 <= each <= freedom.high + 1e-9]
    return sorted(inside or [move], key=lambda each: abs(each - move))


def _all_of(freedom: Freedom, step: float | None, move: float) -> list[float]:
    """Return the moves from where the car stands to one that a shop can make."""
    if freedom.steps:
        return list(freedom.steps)
    if step is None or freedom.kind != "length":
        return [share * move for share in (1.0, *_BACK)]
    count = ceil(abs(move) / step)
    every = [float(np.copysign(place * step, move)) for place in range(count + 1)]
    return [each for each in every if freedom.low <= each <= freedom.high] or [move]


def _nearest(all_of: Sequence[float], move: float) -> float:
    return min(all_of, key=lambda each: abs(each - move))


def _size(problem: Problem, shares: Array) -> Array:
    return np.asarray((problem.costs * np.square(shares)).sum(axis=1))
