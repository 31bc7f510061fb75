"""The least move that brings conditions about: linear models of them, solved one after the other.

Unknowns are moves in shares of their room, conditions are in units of how near counts as met, so
that all are of the size of 1. Each step solves two problems of the model, never one sum with a
penalty: first the least misses, then, holding these, the least move. Walls come before both: a
want is missed by as much as it takes to keep them.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

import numpy as np
from scipy.optimize import minimize

from geometry.dataclass import dataclass
from geometry.least_move import KEPT
from geometry.vectors import Array

MET: Final = 1e-4
"""A miss that is none, in units of how near counts as met."""
_ON_THE_WAY: Final = 1.0  # by which a step may miss walls that the next one comes back to
_STILL: Final = 1e-6  # a step that ends the search, in shares of the room
_AT_BOUND: Final = 1e-10  # of the room: a move that is at its bound
_MOST_STEPS: Final = 14
_LEAST_STEP: Final = 1e-4  # that is tried when poses are lost
_PARALLEL: Final = 0.9995

Evaluate = Callable[[Array], Array]
Cost = Callable[[Array], tuple[float, Array]]


@dataclass(frozen=True)
class Problem:
    """What is sought.

    Parameters
    ----------
    low, high
        Bounds of the n moves, in shares of their room, shape (n,).
    costs
        What the square of each move costs, shape (n,).
    least, most
        Bounds of the k conditions, in units of how near counts as met, shape (k,).
    weights
        Of their misses, shape (k,).
    walls
        Which conditions may not be missed, shape (k,).
    evaluate
        Conditions of m points, (m, n) to (m, k); NaN where there is no such car.
    """

    low: Array
    high: Array
    costs: Array
    least: Array
    most: Array
    weights: Array
    walls: Array
    evaluate: Evaluate


class Model(NamedTuple):
    """Conditions about a point: its place (n,), their values (k,) and slopes (k, n)."""

    place: Array
    values: Array
    slopes: Array

    def at(self, place: Array) -> Array:
        """Return what a straight line makes of the conditions elsewhere, shape (k,)."""
        return np.asarray(self.values + self.slopes @ (place - self.place))


@dataclass(frozen=True)
class Found:
    """Where a search ended: the place, the model there, whether it came to rest.

    Parameters
    ----------
    model
        Conditions about the place.
    is_met
        Whether all conditions are met.
    came_to_rest
        Whether the last step was too small to matter.
    """

    model: Model
    is_met: bool
    came_to_rest: bool


def misses(problem: Problem, values: Array) -> Array:
    """Return by how much conditions are missed, 0 where they are met, shape (..., k).

    Parameters
    ----------
    problem
        What is sought.
    values
        Conditions, shape (..., k).
    """
    return np.maximum(problem.least - values, 0.0) + np.maximum(values - problem.most, 0.0)


def seek(problem: Problem, start: Array, going: Callable[[], bool] = lambda: True) -> Found | None:
    """Find the least move from nought that meets the conditions, or misses them least.

    Parameters
    ----------
    problem
        What is sought.
    start
        Where to begin, in shares of the room, shape (n,).
    going
        Asked before each batch; false ends the search.

    Returns
    -------
    Found | None
        None where no car can be built at the start, or the search was ended before its first step.
    """
    model = model_at(problem, np.clip(start, problem.low, problem.high)) if going() else None
    if model is None:
        return None
    best, reach, rests = model, 0.5, False
    for _ in range(_MOST_STEPS):
        place = best_of_model(problem, model, reach)
        step = float(np.abs(place - model.place).max(initial=0.0))
        if step < _STILL:
            rests = True
            break
        if not going():
            break
        after = model_at(problem, place)
        if after is None or _worse(problem, model, after):
            reach = 0.25 * step
            if reach < _LEAST_STEP:
                break
            continue
        reach = max(reach, 2.0 * step)
        model = after
        if _rank(problem, model)[:2] <= _rank(problem, best)[:2]:  # of equals the last, at rest
            best = model
    missed = misses(problem, best.values).max(initial=0.0)
    return Found(best, bool(missed <= MET), rests and best is model)


def rank(problem: Problem, place: Array, values: Array) -> tuple[float, float, float]:
    """Return what tells the better of two places, the lesser rank: walls, then wants, then size.

    Parameters
    ----------
    problem
        What is sought.
    place
        In shares of the room, shape (n,).
    values
        Conditions there, shape (k,).
    """
    missed = misses(problem, values)
    walls = float(missed[problem.walls].max(initial=0.0))
    wants = float((problem.weights * missed**2)[~problem.walls].sum())
    size = float((problem.costs * place**2).sum())
    return _told(walls, KEPT), _told(wants, 1e-3), size


def _rank(problem: Problem, model: Model) -> tuple[float, float, float]:
    return rank(problem, model.place, model.values)


def _told(number: float, least: float) -> float:
    """Return a number without the digits that mean nothing when answers are compared."""
    return float(f"{number:.3g}") if number > least else 0.0


def model_at(problem: Problem, place: Array) -> Model | None:
    """Return conditions and their slopes about a place, by one batch; None where there is no car.

    Parameters
    ----------
    problem
        What is sought.
    place
        Where, in shares of the room, shape (n,).
    """
    step = 1e-3 * np.eye(place.size)
    values = problem.evaluate(np.vstack([place, place + step, place - step]))
    at, above, below = values[0], values[1 : 1 + place.size], values[1 + place.size :]
    if not np.isfinite(at).all():
        return None
    slopes = (above - below) / 2e-3
    one_sided = np.where(np.isfinite(above), above - at, at - below) / 1e-3
    slopes = np.where(np.isfinite(slopes), slopes, one_sided)
    return Model(place, at, np.where(np.isfinite(slopes), slopes, 0.0).T)


def best_of_model(problem: Problem, model: Model, reach: float = np.inf) -> Array:
    """Return the best place of a model: the least misses first, then the least move, shape (n,).

    Parameters
    ----------
    problem
        What is sought.
    model
        Conditions about a place.
    reach
        How far from there each move may go.
    """
    low = np.maximum(problem.low, model.place - reach)
    high = np.minimum(problem.high, model.place + reach)
    nearest = _least_misses(problem, model, low, high)
    missed = misses(problem, model.at(nearest))
    return _least_move(problem, model, low, high, nearest, missed)


def _least_misses(problem: Problem, model: Model, low: Array, high: Array) -> Array:
    """Return where wants are missed least, of the places where walls are missed least."""
    start = np.clip(model.place, low, high)
    walls = _cost_of(problem, model, problem.walls, np.ones_like(problem.weights))
    if walls(start)[0] > 0.0:
        start = _solved(problem, model, walls, start, low, high, None)
    wall_misses = np.where(problem.walls, misses(problem, model.at(start)), 0.0)
    wants = _cost_of(problem, model, ~problem.walls, problem.weights)
    if wants(start)[0] == 0.0:
        return start
    found = _solved(problem, model, wants, start, low, high, wall_misses)
    missed = misses(problem, model.at(found))
    return start if (problem.walls & (missed > wall_misses + 10.0 * MET)).any() else found


def _cost_of(problem: Problem, model: Model, those: Array, weights: Array) -> Cost:
    def cost(place: Array) -> tuple[float, Array]:
        at = model.at(place)
        over = np.maximum(at - problem.most, 0.0) - np.maximum(problem.least - at, 0.0)
        pull = np.where(those, weights * over, 0.0)
        return float(pull @ over), 2.0 * model.slopes.T @ pull

    return cost


def _least_move(
    problem: Problem, model: Model, low: Array, high: Array, nearest: Array, missed: Array
) -> Array:
    def cost(place: Array) -> tuple[float, Array]:
        pull = problem.costs * place
        return float(pull @ place), 2.0 * pull

    found = _solved(problem, model, cost, nearest, low, high, missed, hold=True)
    worse = misses(problem, model.at(found)) > missed + 10.0 * MET
    return nearest if worse.any() else found


def _solved(
    problem: Problem,
    model: Model,
    cost: Cost,
    start: Array,
    low: Array,
    high: Array,
    missed: Array | None,
    hold: bool = False,
) -> Array:
    """Solve a quadratic problem of the model, walls held to what they may miss; none with None.

    With `hold` wants stay where they are missed too.
    """
    held = np.ones_like(problem.walls) if hold else problem.walls
    if missed is None:
        held, missed = np.zeros_like(held), np.zeros_like(model.values)
    sides = np.concatenate([problem.least - missed, -(problem.most + missed)])
    slopes = np.vstack([model.slopes, -model.slopes])
    values = np.concatenate([model.values, -model.values])
    used = np.isfinite(sides) & np.concatenate([held, held])
    slopes, offset = slopes[used], (values - sides)[used] - slopes[used] @ model.place
    size = max(cost(start)[0], 1.0)

    def scaled(place: Array) -> tuple[float, Array]:
        """Return the cost about 1 at the start: SLSQP loses its way among large ones."""
        value, slope = cost(place)
        return value / size, slope / size

    constraint = {"type": "ineq", "fun": lambda x: slopes @ x + offset, "jac": lambda _x: slopes}
    answer = minimize(
        scaled,
        start,
        jac=True,
        method="SLSQP",
        bounds=list(zip(low, high, strict=True)),
        constraints=[constraint] if used.any() else [],
        options={"maxiter": 200, "ftol": 1e-14},
    )
    if not np.isfinite(answer.x).all():
        return start
    place = np.where(answer.x - low < _AT_BOUND, low, answer.x)
    return np.where(high - place < _AT_BOUND, high, place)


def _worse(problem: Problem, before: Model, after: Model) -> bool:
    """Tell whether a step went the wrong way: walls or wants are missed by more, and no little."""

    def cost(model: Model) -> tuple[float, float]:
        missed = misses(problem, model.values)
        walls = float(missed[problem.walls].max(initial=0.0))
        return walls, float((problem.weights * missed**2)[~problem.walls].sum())

    (walls, wants), (walls_after, wants_after) = cost(before), cost(after)
    if walls_after > max(walls, _ON_THE_WAY):
        return True
    return walls <= KEPT and wants_after > 1.2 * wants + 1.0


def same_wants(slopes: Array) -> list[tuple[int, int]]:
    """Return pairs of conditions that move alike, so that one can't be had without the other.

    Parameters
    ----------
    slopes
        Of the conditions, shape (k, n).
    """
    lengths = np.linalg.norm(slopes, axis=1)
    directions = slopes / np.where(lengths > 0.0, lengths, 1.0)[:, None]
    are_parallel = np.abs(directions @ directions.T) > _PARALLEL
    first, second = np.nonzero(np.triu(are_parallel, 1))
    return [(int(i), int(j)) for i, j in zip(first, second, strict=True)]


def price_of_bound(problem: Problem, model: Model, bound: int, is_high: bool, by: float) -> Array:
    """Return what conditions would come to if a bound gave way, less what they are, shape (k,).

    Parameters
    ----------
    problem
        What is sought.
    model
        Conditions about the answer.
    bound
        Which move's bound.
    is_high
        Whether it is the upper one.
    by
        How far it gives way, in shares of the room.
    """
    low, high = problem.low.copy(), problem.high.copy()
    if is_high:
        high[bound] += by
    else:
        low[bound] -= by
    wider = Problem(
        low,
        high,
        problem.costs,
        problem.least,
        problem.most,
        problem.weights,
        problem.walls,
        problem.evaluate,
    )
    return model.at(best_of_model(wider, model)) - model.at(best_of_model(problem, model))
